"""Published figures on offer: in the money of the project's year where it is dollars, with whose average they are; nothing of them is in a sum."""

import datetime as dt
from pathlib import Path

import pytest
from demos import changed, demo

import buildecon
from buildecon.ownership.presets import KINDS, presets
from buildecon.ownership.survival import TABLES
from buildecon.story.published_tables import fleets_table, presets_table, services_table


def of_year(year, as_of=2026, name="pickup"):
    base = demo(name)
    return changed(base, build=base.file.build.model_copy(update={"as_of": dt.date(as_of, 6, 30)}), this_car=base.file.this_car.model_copy(update={"year": year}))


def test_every_figure_is_offered_with_its_standing_and_what_to_mind():
    rows = presets_table(demo("van"))
    assert len(rows) == len(presets()) and {one.kind for one in presets()} == set(KINDS)
    assert all(row["source"] and row["how known"] and row["goes under"] for row in rows)
    assert {row["figure"]: row["goes under"] for row in rows}["insurance by class"] == "yearly.insurance"
    assert next(row for row in rows if row["unit"] == "share per 10000 mi")["goes under"] == "value_path.distance_rate"
    assert sum(row["average of"] == "US fleet average" for row in rows) >= 10
    under = {(row["figure"], row["unit"]): row["goes under"] for row in rows}
    # What no key takes as it stands: money where a share is asked, years where a distance is, prices that have the fuel in them.
    assert {under[name] for name in (("lost a year at 10000 miles a year", "USD/year"), ("tyres by age", "year"), ("starter battery by age", "month"), ("business mileage rate 2025", "USD/km"))} == {"no key: to set yours beside"}
    assert [under[name] for name in (("median life by 2020", "year"), ("shock absorber", "Weibull in km"), ("tyres", "km"))] == ["[clocks] shell_years, less its age", "wear.renewals, shape", "wear.renewals, every"]
    by_age = next(row for row in rows if row["figure"] == "maintenance and repair by age")
    assert "another count of the same bills" in by_age["mind"] and by_age["value"].endswith("all 546")
    # 100,000 miles, in the van's kilometres
    assert next((row["value"], row["unit"]) for row in rows if row["figure"] == "rebuilt bus engine") == ("160,934", "km")
    assert next((row["value"], row["unit"]) for row in presets_table(demo("pickup")) if row["figure"] == "rebuilt bus engine") == ("100,000", "mi")
    assert not [row for row in rows if "..." in row["value"]]


def test_dollars_are_brought_to_the_project_s_year_and_other_money_is_left():
    # CPI-U 2019 255.657, 2025 321.943: .00497 x 1.259277 = .006259. 2022 292.655: x 1.144717 = .005689.
    name = "repairs per mile of a car new for 20000"
    for as_of, told, shown in ((2026, "2025", "third year 0.006259"), (2022, "2022", "third year 0.005689")):
        row = next(row for row in presets_table(of_year(2004, as_of)) if row["figure"] == name)
        assert row["money of"] == told and row["value"].startswith(shown)
    row = next(row for row in presets_table(demo("van")) if row["figure"] == name)
    assert row["money of"] == "2019" and row["value"].startswith("third year 0.003088;") and row["unit"] == "USD/km"  # .00497 / 1.609344
    assert {row["money of"] for row in presets_table(demo("pickup"))} == {"2025", ""}


def test_services_in_the_owner_s_unit_and_money():
    # 65 x 321.943 / 255.657 = 81.85; 7,500 miles are 12,070 km.
    oil = services_table(demo("pickup"))[0]
    assert oil == {"item": "engine oil", "bill, USD of 2025": "82", "combustion, mi": "7,500", "hybrid, mi": "7,500", "plug-in hybrid, mi": "9,000", "electric, mi": "-"}
    rows = services_table(demo("van"))
    assert rows[0] == {"item": "engine oil", "bill, USD of 2019": "65", "combustion, km": "12,070", "hybrid, km": "12,070", "plug-in hybrid, km": "14,484", "electric, km": "-"}
    assert len(rows) == 24 and next(row for row in rows if row["item"] == "traction battery coolant")["combustion, km"] == "-"


def test_fleets_from_new_and_from_this_car_s_age_on():
    rows = {row["fleet"]: row for row in fleets_table(of_year(2006))}
    assert list(rows) == list(TABLES) and all(row["average of"] == "US fleet average" and row["source"] for row in rows.values())
    cars = rows["NHTSA cars"]
    # 2026 - 2006: 15,867 further miles at 20 (tests/reference/nhtsa_survival.csv); 7,157 miles in the year after, by the table.
    assert (cars["at 20 years, mi to come"], cars["driven in the year after, mi"], cars["half of them last, years"]) == ("15,867", "7,157", "13.1")
    # What is left of the share .0916 that is there: (.0916 / 2 + .0696 + .0527 + .0399 + .0301 + .0227 / 2 + .0227 / 2) / .0916.
    assert cars["at 20 years, years to come"] == f"{(0.0916 / 2 + 0.0696 + 0.0527 + 0.0399 + 0.0301 + 0.0227 / 2) / 0.0916:.1f}"
    assert "at 20 years, km to come" in fleets_table(of_year(2006, name="van"))[0]


def test_a_car_older_than_a_fleet_has_no_figure_and_one_of_no_year_none_at_all():
    rows = {row["fleet"]: row for row in fleets_table(of_year(1996))}
    assert [rows[name]["at 30 years, years to come"] == "-" for name in TABLES] == [True, False, True, False]
    assert rows["EPA cars"]["at 30 years, mi to come"] == rows["EPA cars"]["driven in the year after, mi"] == "-"
    assert list(fleets_table(of_year(None))[0]) == ["fleet", "goes in its life, mi", "half of them last, years", "average of", "source", "how known"]
    assert list(fleets_table(of_year(2030))[0])[3] == "at 0 years, years to come"


def test_only_these_tables_ask_for_published_figures():
    root = Path(buildecon.__file__).parent
    asking = [path.relative_to(root).as_posix() for path in root.rglob("*.py") if "ownership.presets" in path.read_text(encoding="utf-8")]
    assert asking == ["story/published_tables.py"]


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_demos_have_all_tables(name):
    assert presets_table(demo(name)) and services_table(demo(name)) and fleets_table(demo(name))
