"""Use that is counted on, against the use that the log shows."""

from datetime import date

import pytest
from demos import changed, demo, money

from buildecon.decision.compare import compare
from buildecon.decision.honest_use import logged_distance
from buildecon.decision.honesty import all_traps
from buildecon.project.rows import Fill


def figures(project):
    return {trap.id: trap.figure for trap in all_traps(compare(project))}


def used(project, **use):
    return changed(project, use=project.file.use.model_copy(update=use))


def fills(*rows):
    return tuple(Fill(date=day, odometer=money(odometer), source="petrol", filled=money(30), full="yes", **more) for day, odometer, more in rows)


def test_distance_a_year_by_the_log():
    log = fills((date(2026, 1, 1), 50000, {}), (date(2026, 7, 1), 51000, {}))  # 1,000 mi in 181 days
    project = demo("roadster").model_copy(update={"energy": log})
    assert logged_distance(project) == (pytest.approx(1000 * 365.25 / 181), 181)
    swapped = fills((date(2026, 1, 1), 50000, {"odometer_now": money(100)}), (date(2026, 7, 1), 1100, {}))
    assert logged_distance(demo("roadster").model_copy(update={"energy": swapped})) == (pytest.approx(1000 * 365.25 / 181), 181)
    short = fills((date(2026, 1, 1), 50000, {}), (date(2026, 3, 31), 51000, {}))  # 89 days
    assert logged_distance(demo("roadster").model_copy(update={"energy": short})) is None
    just = fills((date(2026, 1, 1), 50000, {}), (date(2026, 4, 1), 51000, {}))
    assert logged_distance(demo("roadster").model_copy(update={"energy": just}))[1] == 90
    assert logged_distance(demo("roadster")) is None


def test_a_distance_hoped_for_against_the_log():
    log = fills((date(2025, 9, 28), 50000, {}), (date(2026, 9, 28), 51900, {}))  # 1,900 in 365 days: 1,901 a year
    project = demo("roadster").model_copy(update={"energy": log})
    assert figures(project)["hoped_distance"] == "2,400 mi a year are counted; the log shows 1,901 a year over 365 days"  # 1.26 times
    assert "hoped_distance" not in figures(used(project, distance_a_year=money(2370)))


def test_a_distance_hoped_for_against_all_its_years():
    roadster = demo("roadster")  # 55,000 mi in 43 years: 1,279 a year
    assert figures(used(roadster, distance_a_year=money(3840)))["hoped_distance"] == "3,840 mi a year are counted; in all its years the car did 1,279"
    assert "hoped_distance" not in figures(used(roadster, distance_a_year=money(3830)))
    for unknown in ({"year": None}, {"distance": None}, {"year": 2026}):
        car = roadster.file.this_car.model_copy(update=unknown)
        assert "hoped_distance" not in figures(changed(used(roadster, distance_a_year=money(90000)), this_car=car))


@pytest.mark.parametrize(("text", "told"), [
    ("It saves 900 on fuel at 20,000 miles a year.", True), ("It saves fuel at 4,000 km a year.", False),  # 2,485 mi
    ("It was leased for 20,000 miles a year.", False), ("Charging saves at 9000 km per year.", True), ("Cheaper from 3,300 mi a year on.", False),  # a tenth above the range's end
    ("It saves fuel even at 1,400 mi a year.", False), ("It saves fuel even at 1,300 mi a year.", True),  # the range begins at 1,500
])  # fmt: skip
def test_a_saving_at_another_distance(text, told):
    roadster = demo("roadster")
    build, bought, *rest = roadster.options
    project = changed(roadster, options=(build, bought.model_copy(update={"note": text}), *rest))
    assert ("another_distance" in figures(project)) == told


def test_more_days_hired_than_driven():
    roadster = demo("roadster")  # 40 drive days, 12 of hire
    assert figures(used(roadster, drive_days_a_year=money(10)))["more_hire_days"] == "hire a classic: 12 days a year, the build is driven 10"
    assert "more_hire_days" not in figures(used(roadster, drive_days_a_year=money(12)))


def test_a_consumption_that_the_log_does_not_bear_out():
    pickup = demo("pickup")  # measured 9.80 L/100 km, which is the stated 24 mpg US
    build, *rest = pickup.options
    part = build.energy[0].model_copy(update={"amount": money(27)})  # 235.215 / 27 = 8.712 L/100 km
    told = figures(changed(pickup, options=(build.model_copy(update={"energy": (part,)}), *rest)))["spec_consumption"]
    assert told == "diesel: 27.00 mpg US bought is stated, the log measures 24.00, give or take 0.15: it takes 12% more"  # two errors; 27 / 24 = 1.125
    assert "spec_consumption" not in figures(pickup)
    thirsty = build.energy[0].model_copy(update={"amount": money(20)})  # 11.76: stated above what is measured
    assert figures(changed(pickup, options=(build.model_copy(update={"energy": (thirsty,)}), *rest)))["spec_consumption"].endswith("it takes 17% less")  # 20 / 24 = 0.833
