"""What is said of measured consumption: whole sentences and tables, on small logs and on the demos."""

import pytest
from demos import demo
from fuel import CHARGING, PETROL, fill, project_of

from buildecon.ownership.fuel_log import WINTER_HALF
from buildecon.ownership.measured import read_logs
from buildecon.story.energy_words import (
    NOTHING_YET,
    TANKS_NOTE,
    groups_table,
    measured_sentence,
    measured_table,
    neighbours_sentence,
    places_table,
    tanks_table,
    unit_shown,
)


def said(project, level_sd=None):
    return [measured_sentence(log, project) for log in read_logs(project, level_sd)]


def test_the_demos_say_their_consumption_with_its_error_and_that_it_agrees():
    assert said(demo("pickup")) == [
        "Diesel: 24.0 mpg US, give or take 0.2, over 7,626 mi from full fill to full fill (33 spans, up to 27 August 2026); build.toml states 24 mpg US, and they agree. "
        "1 further span is left out, because a fill in it is not known."
    ]
    assert said(demo("van")) == [
        "Charging: 22.99 kWh/100 km in the battery, give or take 0.10, over 2,085 km from full fill to full fill (28 spans, up to 27 June 2026); build.toml states 23 kWh/100 km, and they agree. "
        "Lost in charging: 12.0%, give or take 0.4%, on 35 charges; build.toml states 12%, and they agree. 1 further span is left out, because a fill in it is not known."
    ]
    assert said(demo("roadster")) == []


def test_a_figure_that_differs_by_more_than_its_error_is_called_so():
    # 56 on 800 km is 7.0; two errors are 2 x sqrt(2) x 0.2 / 56 x 7 = 0.0707, told to the first digit of it; 8 is stated.
    project = project_of([fill(0, 1000, 40), fill(1, 1500, 35), fill(2, 1800, 21)])
    assert said(project, {"fuel": 0.2}) == [
        "Petrol: 7.00 L/100 km, give or take 0.07, over 800 km from full fill to full fill (2 spans, up to 21 March 2026); build.toml states 8 L/100 km, which differs by more than that error."
    ]


def test_without_two_full_fills_it_says_what_is_missing():
    assert said(project_of([fill(0, 1000, 40)])) == [f"Petrol: {NOTHING_YET}."]
    assert said(project_of([])) == []


def test_an_energy_that_the_quoted_build_does_not_use_is_told_in_its_plain_unit():
    project = project_of([fill(0, 0, 20, "charging"), fill(1, 100, 25, "charging")], PETROL | CHARGING)
    (log,) = read_logs(project)
    assert unit_shown(log) == "kWh/100 km"
    assert measured_sentence(log, project) == (
        "Charging: 25 kWh/100 km at the wall, give or take 1, over 100 km from full fill to full fill (1 span, up to 11 March 2026); the quoted build in build.toml states none."
    )


def test_without_any_error_two_decimals_are_told():
    assert said(project_of([fill(0, 0, 20), fill(1, 100, 8)]), {"fuel": 0.0})[0].startswith("Petrol: 8.00 L/100 km, give or take 0.00, over")


def test_the_table_sets_each_figure_beside_what_is_stated():
    project = demo("van")
    rows = measured_table(read_logs(project), project)
    assert [tuple(row.values()) for row in rows] == [
        ("charging", "at the wall", "26.14 kWh/100 km", "0.06", "2,214 km, 29 spans", "26.14 kWh/100 km", "agree"),
        ("charging", "in the battery", "22.99 kWh/100 km", "0.10", "2,085 km, 28 spans", "23 kWh/100 km", "agree"),
        ("charging", "lost in charging", "12.0%", "0.4%", "35 charges", "12%", "agree"),
        ("charging", "price", "0.2416 EUR a kWh", "", "36 fills", "0.2395", ""),
    ]
    assert len({tuple(row) for row in rows}) == 1


def test_one_tank_alone_is_told_with_its_wide_error_and_the_note_under_it():
    # sqrt(2) x 0.5 / 10.728 x 2 = 13 %.
    project = demo("pickup")
    (log,) = read_logs(project)
    rows = tanks_table(log, project)
    assert rows[0] == {
        "from": "04 Oct 2025", "to": "14 Oct 2025", "distance, mi": "253", "filled, gal US": "10.7", "consumption, mpg US": "23.6", "alone, give or take": "13%", "load": "",
    }  # fmt: skip
    assert len(rows) == 33
    assert "Read the pooled figure" in TANKS_NOTE
    assert neighbours_sentence(log).startswith(TANKS_NOTE + " Neighbours here go together by -0.1, over 33 tanks: ")
    assert neighbours_sentence(read_logs(project_of([fill(0, 0, 40), fill(1, 500, 35)]))[0]) == TANKS_NOTE


def test_a_tank_on_which_nothing_was_driven_has_no_consumption():
    project = project_of([fill(0, 0, 20), fill(1, 100, 8), fill(2, 100, 1)])
    assert [row["consumption, L/100 km"] for row in tanks_table(read_logs(project)[0], project)] == ["8.0", "-"]


def test_places_stand_beside_the_tariffs_of_their_name():
    assert places_table(read_logs(demo("van"))[0], "EUR") == [
        {"place": "night, at the bakery", "fills": "30", "bought, kWh": "499.9", "share": "84%", "paid, EUR": "94.96", "EUR a kWh": "0.1900", "build.toml: share": "85%", "build.toml: price": "0.1900"},
        {"place": "public", "fills": "6", "bought, kWh": "92.7", "share": "16%", "paid, EUR": "48.18", "EUR a kWh": "0.5200", "build.toml: share": "15%", "build.toml: price": "0.5200"},
    ]  # fmt: skip
    assert places_table(read_logs(project_of([fill(0, 0, 20, paid=30), fill(1, 9, 1)]))[0], "GBP") == [
        {
            "place": "not said",
            "fills": "1",
            "bought, L": "20.0",
            "share": "100%",
            "paid, GBP": "30.00",
            "GBP a litre": "1.500",
            "build.toml: share": "",
            "build.toml: price": "1.500",
        }
    ]


def test_seasons_and_loads_have_rows_of_their_own():
    (log,) = read_logs(demo("pickup"))
    assert [row["when"] for row in groups_table(log, WINTER_HALF["north"])] == ["winter", "summer", "no load written", "camper on", "trailer"]
    # A trailer pulled once: 23 give or take 3.
    assert groups_table(log, WINTER_HALF["north"])[-1] == {"when": "trailer", "consumption, mpg US": "23", "give or take": "3", "spans": "1"}
    assert [row["when"] for row in groups_table(read_logs(demo("van"))[0], WINTER_HALF["south"])] == ["winter"]


@pytest.mark.parametrize("unit", ["km/L", "mpg imperial"])
def test_a_stated_range_is_told_from_its_lower_to_its_higher_figure(unit):
    project = project_of([fill(0, 0, 20), fill(1, 100, 8)], amount={"low": 9, "likely": 10, "high": 12}, unit=unit)
    assert f"build.toml states 9 to 12, likely 10 {unit}" in said(project)[0]


def test_a_share_that_may_be_none_has_no_end_of_miles_a_gallon():
    # 30 mpg on 0 to 60 % of the distance, likely 40: 30 / 0.6 = 50 and more of the whole distance, 30 / 0.4 = 75.
    project = project_of([fill(0, 0, 20), fill(1, 500, 14)], amount=30, unit="mpg US", distance_share={"low": 0, "likely": 0.4, "high": 0.6})
    assert "build.toml states 50 or more, likely 75 mpg US, and they agree" in said(project)[0]
    never = project_of([fill(0, 0, 20), fill(1, 500, 14)], amount=30, unit="mpg US", distance_share=0)
    assert said(never)[0].endswith("the quoted build in build.toml states none.")


def test_what_was_paid_for_an_amount_that_is_not_written_is_told():
    fills = [fill(0, 0, 40, "charging", paid=8, in_battery=36), fill(1, 100, None, "charging", in_battery=20, paid=12), fill(2, 200, 44, "charging", paid=8.8, in_battery=40)]
    project = project_of(fills, CHARGING, source="charging", amount=20, unit="kWh/100 km")
    assert said(project)[0].endswith("12.00 GBP of 1 charge is in no price here: filled, what the charger gave, is not written.")
    fills.append(fill(3, 300, None, "charging", in_battery=10, paid=6))
    assert "18.00 GBP of 2 charges are in no price here" in said(project.model_copy(update={"energy": tuple(fills)}))[0]


def test_a_fill_that_was_forgotten_is_asked_about():
    usual = [fill(k, 500 * k, 40) for k in range(6)]
    log = read_logs(project_of([*usual, fill(6, 3500, 42), fill(7, 4000, 40)]))[0]
    # 40 L on 500 km are 8; 42 L on 1,000 km are 4.2.
    said = measured_sentence(log, project_of([]))
    assert "Odd: from 20 April to 30 April 2026 it would have used 4.2 L/100 km, where 8.0 is the middle of all. Was a fill in between not written down? Then write gap_before = yes for the later one." in said
    twice = read_logs(project_of([*usual, fill(6, 3000, 95), fill(7, 3500, 40)]))[0]
    assert "it would have used 19.0 L/100 km, where 8.0 is the middle of all. Is a fill written twice, or a reading of the odometer wrong?" in measured_sentence(twice, project_of([]))
    assert "Odd:" not in measured_sentence(read_logs(project_of(usual))[0], project_of([]))
    for name in ("van", "pickup"):
        assert not [log for log in read_logs(demo(name)) if "Odd:" in measured_sentence(log, demo(name))]


def test_what_a_difference_to_the_log_costs_a_month_is_told():
    # 45 L on 500 km are 9, build.toml states 8; 1 L more on 100 km, 200 km a month, at 90 / 45 = 2 GBP a litre.
    log = read_logs(project_of([fill(k, 500 * k, 45, paid=90) for k in range(8)]))[0]
    said = measured_sentence(log, project_of([]))
    assert "which differs by more than that error. By the log it costs 4 GBP a month more than all sums here count, at 2,400 km a year" in said
    less = read_logs(project_of([fill(k, 500 * k, 35, paid=70) for k in range(8)]))[0]
    assert "By the log it costs 4 GBP a month less than" in measured_sentence(less, project_of([]))
    unpaid = read_logs(project_of([fill(k, 500 * k, 45) for k in range(8)]))[0]
    assert "By the log" not in measured_sentence(unpaid, project_of([]))
