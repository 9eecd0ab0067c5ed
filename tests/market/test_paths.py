"""The curve that a record names: each kind against its own sum, and the end of a car's life on all of them."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from buildecon.market.decline import value_after
from buildecon.market.paths import CURVES, value_path
from buildecon.project.paths import NEEDS, ValuePath

YEARS = np.arange(0, 13) / 2
MI = 1.609344
END = {"scrap_value": 500, "distance_now": 40000, "lifetime_distance": 100000}
# Each kind, 10,000 at the start and 12,000 km a year, and its value after so many years, by hand.
BY_HAND = {
    "steady": ({"decline_rate": 0.1}, {0: 10000, 1: 9000, 2: 8100}),
    "years and distance": ({"decline_rate": 0.1, "distance_rate": 0.05}, {1: 9000 * 0.95**1.2, 5: 5904.9 * 0.95**6}),
    "two stage": ({"decline_rate": 0.5, "first_years": 2, "later_rate": 0.1}, {1: 5000, 2: 2500, 3: 2250}),
    "floor then rise": ({"decline_rate": 0.5, "floor_value": 2500, "rise_rate": 0.1}, {1: 5000, 2: 2500, 3: 2750}),
    "floor then rise, by years": ({"decline_rate": 0.2, "first_years": 1, "rise_rate": 0.1}, {1: 8000, 2: 8800, 3: 9680}),
    "held then declining": ({"held_years": 1.5, "decline_rate": 0.19}, {1: 10000, 1.5: 10000, 2: 9000, 2.5: 8100}),
    "straight line": ({"over_years": 4, "end_value": 2000}, {1: 8000, 4: 2000, 6: 2000}),
    "table": ({"table": [{"years": 1, "value": 8000}, {"years": 3, "value": 6000}], "later_rate": 0.5}, {0.5: 9000, 2: 7000, 3: 6000, 4: 3000}),
    "distance": (END, {0: 10000, 1: 500 + 9500 * 0.8, 5: 500, 6: 500}),
}


def path(name, **more):
    return ValuePath(kind=name.split(",")[0], **(BY_HAND[name][0] | more))


@pytest.mark.parametrize("name", BY_HAND)
def test_each_kind_by_hand(name):
    for after, value in BY_HAND[name][1].items():
        assert value_path(path(name), 10000, after, 12000) == pytest.approx(value, rel=1e-12)


def test_every_kind_of_the_record_has_its_curve_and_is_tried_here():
    assert list(CURVES) == list(NEEDS) == list(dict.fromkeys(name.split(",")[0] for name in BY_HAND))


@pytest.mark.parametrize("name", BY_HAND)
def test_one_year_is_the_same_as_many_and_the_first_day_is_the_value(name):
    found = value_path(path(name), 10000, YEARS, 12000)
    np.testing.assert_allclose(found, [value_path(path(name), 10000, after, 12000) for after in YEARS], rtol=1e-13)
    assert found[0] == 10000


@pytest.mark.parametrize("name", BY_HAND)
def test_from_the_end_of_its_life_on_it_is_scrap_and_never_less_before(name):
    # 60,000 km left at 12,000 a year: five years.
    found, free = value_path(path(name, **END), 10000, YEARS, 12000), value_path(path(name), 10000, YEARS, 12000)
    assert np.array_equal(found[YEARS < 5], np.maximum(free[YEARS < 5], 500))
    assert np.all(found[YEARS >= 5] == 500)
    assert np.all(value_path(path(name, scrap_value=9900), 10000, YEARS, 12000) >= 9900)


@pytest.mark.parametrize("name", BY_HAND)
def test_who_drives_less_reaches_the_end_of_its_life_later_and_who_does_not_drive_never(name):
    assert value_path(path(name, **END), 10000, 6, 9999) != 500
    assert value_path(path(name, **END), 10000, 6, 10000) == 500
    assert value_path(path(name, **END), 10000, 40, 0) == max(value_path(path(name, **END | {"lifetime_distance": 10**9}), 10000, 40, 0), 500)


@pytest.mark.parametrize("name", BY_HAND)
def test_miles_are_miles_throughout(name):
    found = value_path(path(name, **END), 10000, YEARS, 12000 * MI, "mi")
    np.testing.assert_allclose(found, value_path(path(name, **END), 10000, YEARS, 12000), rtol=1e-12)
    assert value_path(path(name, **END), 10000, 5, 12000, "mi") != 500


@settings(deadline=None, derandomize=True)
@given(st.floats(0, 1e6), st.decimals("-0.9", 1, places=4), st.floats(0, 40), st.floats(0, 1e5))
def test_a_steady_path_is_the_decline_to_the_last_bit(value, rate, after, km):
    assert value_path(ValuePath(kind="steady", decline_rate=rate), value, after, km) == value_after(value, float(rate), after)


def test_a_range_counts_at_its_likely_value():
    ranged = ValuePath(kind="steady", decline_rate={"low": 0.05, "likely": 0.1, "high": 0.3})
    assert value_path(ranged, 10000, 1, 0) == pytest.approx(9000)
    life = path("steady", scrap_value={"low": 0, "likely": 700, "high": 900}, distance_now=40000, lifetime_distance={"low": 60000, "likely": 100000, "high": 150000})
    assert list(value_path(life, 10000, [4.9, 5], 12000)) == [pytest.approx(10000 * 0.9**4.9), 700]
