"""Value as the years go by: published declining-balance books, cases by hand, and what must hold for any rate."""

from fractions import Fraction

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows

from buildecon.market.decline import (
    floor_then_rise,
    held_then_declining,
    no_less_than_scrap,
    value_after,
    value_after_driving,
    value_by_distance,
    value_from_table,
    value_in_stages,
)

steadily = settings(deadline=None, derandomize=True)
values = st.floats(1, 1e6)
rates = st.floats(-0.5, 0.9)
years = st.floats(0, 30)
kept = st.floats(0, 1)
BOOKS = rows("declining_balance.csv")
NAN = float("nan")


# All curves

CALLS = {
    "value_after": lambda value, rate, years: value_after(value, rate, years),
    "held_then_declining": lambda value, rate, years: held_then_declining(value, 3, rate, years),
    "value_in_stages": lambda value, rate, years: value_in_stages(value, np.stack([rate, 0.1 * np.ones_like(rate)], axis=-1), [2], years),
    "floor_then_rise": lambda value, rate, years: floor_then_rise(value, rate, 3000, 0.02, years),
    "value_from_table": lambda value, rate, years: value_from_table([0, 3], np.stack([value, value / 2], axis=-1), rate, years),
    "value_after_driving": lambda value, rate, years: value_after_driving(value, rate, 0.05, years, 9000 * years),
    "value_by_distance": lambda value, rate, years: value_by_distance(value, 100, 50000, 9000 * years),
    "no_less_than_scrap": lambda value, rate, years: no_less_than_scrap(value_after(value, rate, years), 400, 50000, 9000 * years),
}


@pytest.mark.parametrize("name", CALLS)
@steadily
@given(st.lists(st.tuples(values, st.floats(0, 0.9), years), min_size=2, max_size=5))
def test_a_curve_is_the_same_for_one_and_for_many(name, asked):
    many = CALLS[name](*np.array(asked).T)
    assert many.shape == (len(asked),)
    for found, one in zip(many, asked, strict=True):
        alone = CALLS[name](*map(np.float64, one))
        assert np.ndim(alone) == 0 and alone == pytest.approx(found, rel=1e-13)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: value_after(-1, 0.1, 1), "value must be at least 0, got -1.0."),
        (lambda: value_after(1, 1.5, 1), "decline_rate must be at most 1, got 1.5."),
        (lambda: value_after(1, 0.1, [1, NAN]), "years must be finite, got nan."),
        (lambda: held_then_declining(1, -1, 0.1, 1), "held_years must be at least 0, got -1.0."),
        (lambda: value_in_stages(1, [0.1, NAN], [2], 1), "decline_rates must be at most 1, got nan."),
        (lambda: value_in_stages(1, [0.1, 0.1], [2], -1), "years must be at least 0, got -1.0."),
        (lambda: value_in_stages(1, [0.1, 0.1], [2, 3], 1), "decline_rates must be one more than until, got 2 and 2."),
        (lambda: value_in_stages(1, [0.1, 0.1, 0.1], [3, 3], 1), "until must rise, got [3.0, 3.0]."),
        (lambda: floor_then_rise(1, -0.1, 1, 0, 1), "decline_rate must be at least 0 and at most 1, got -0.1."),
        (lambda: floor_then_rise(1, 0.1, NAN, 0, 1), "floor_value must be at least 0, got nan."),
        (lambda: floor_then_rise(1, 0.1, 1, -0.1, 1), "rise_rate must be at least 0, got -0.1."),
        (lambda: value_from_table([0, 2, 1], [3, 2, 1], 0, 1), "at_years must rise, got [0.0, 2.0, 1.0]."),
        (lambda: value_from_table([0, 2], [3, 2, 1], 0, 1), "values must be as many as at_years, 2, got 3."),
        (lambda: value_from_table([0, 2], [3, -2], 0, 1), "values must be at least 0, got -2.0."),
        (lambda: value_after_driving(1, 0.1, 1.1, 1, 1), "wear_rate must be at least 0 and at most 1, got 1.1."),
        (lambda: value_after_driving(1, 0.1, 0.1, 1, -5), "distance must be at least 0, got -5.0."),
        (lambda: value_after_driving(1, 0.1, 0.1, 1, 5, per=0), "per must be at least 1e-09, got 0.0."),
        (lambda: value_by_distance(1, 0, 0, 5), "distance_left must be at least 1e-09, got 0.0."),
        (lambda: value_by_distance(1, -2, 9, 5), "scrap_value must be at least 0, got -2.0."),
        (lambda: no_less_than_scrap(1, 0, NAN, 5), "distance_left must be at least 1e-09, got nan."),
        (lambda: no_less_than_scrap(NAN, 0, 9, 5), "value must be at least 0, got nan."),
    ],
)
def test_what_cannot_be_is_refused(call, message):
    with pytest.raises(ValueError) as refusal:
        call()
    assert str(refusal.value) == message


# value_after


@pytest.mark.parametrize("row", BOOKS, ids=case_ids(BOOKS))
def test_values_agree_with_published_declining_balance_books(row):
    found = value_after(float(row["cost"]), float(Fraction(row["decline_rate"])), numbers(row["years"]))
    assert list(found) == [printed(figure) for figure in row["printed"].split(";")]


def test_the_forklift_of_newnan_falls_as_its_table_has_it():
    # 30 000 less 20 % a year for two years, then 15 % a year: 24 000, 19 200, 16 320, 13 872, ...
    (row,) = [row for row in rows("newnan_economic_life.csv") if row["case"] == "problem 13-24 forklift"]
    table = numbers(row["end_value"])
    np.testing.assert_allclose(value_after(30000, 0.20, [1, 2]), table[:2], rtol=1e-14)
    np.testing.assert_allclose(value_after(19200, 0.15, np.arange(1, 8)), table[2:9], rtol=1e-12)


def test_a_decline_by_hand():
    # 10 000 less 19 % is 8100 after a year and 10 000 x 0.81^0.5 = 9000 after half of one; it was 10 000 / 0.81 a year before.
    np.testing.assert_allclose(value_after(10000, 0.19, [0, 0.5, 1]), [10000, 9000, 8100], rtol=1e-14)
    assert value_after(8100, 0.19, -1) == pytest.approx(10000, rel=1e-14)
    assert value_after(10000, -0.21, 0.5) == pytest.approx(11000, rel=1e-14)
    assert value_after(10000, 1, 3) == 0


@steadily
@given(values, rates, years, years)
def test_two_waits_are_one_long_wait(value, rate, first, second):
    assert value_after(value_after(value, rate, first), rate, second) == pytest.approx(value_after(value, rate, first + second), rel=1e-12)
    assert value_after(value, 0, first) == value
    assert value_after(value, rate, 0) == value


@steadily
@given(values, st.floats(0.001, 0.9), st.lists(years, min_size=2, max_size=6))
def test_a_value_that_falls_keeps_falling_and_many_years_are_one_each(value, rate, asked):
    found = value_after(value, rate, sorted(asked))
    assert np.all(np.diff(found) <= 0)
    np.testing.assert_allclose(found, [value_after(value, rate, one) for one in sorted(asked)], rtol=1e-14)


@steadily
@given(values, rates, st.floats(0.1, 30))
def test_the_rate_can_be_found_back_from_the_value_it_led_to(value, rate, after):
    assert 1 - (value_after(value, rate, after) / value) ** (1 / after) == pytest.approx(rate, rel=1e-9, abs=1e-9)


# held_then_declining


def test_a_value_held_and_then_declining_by_hand():
    # 1000 stands still for two years, then loses half a year: 1000, 1000, 1000, 500, 250.
    np.testing.assert_allclose(held_then_declining(1000, 2, 0.5, np.arange(5)), [1000, 1000, 1000, 500, 250], rtol=1e-14)


@steadily
@given(values, years, rates, years)
def test_a_value_is_held_to_the_day_and_declines_as_any_other_after_it(value, held, rate, after):
    assert held_then_declining(value, held, rate, held + after) == pytest.approx(value_after(value, rate, after), rel=1e-9)
    assert held_then_declining(value, held, rate, held * 0.99) == value
    assert held_then_declining(value, 0, rate, after) == value_after(value, rate, after)


@steadily
@given(values, st.lists(years, min_size=2, max_size=4), st.floats(0, 0.9), years)
def test_holding_longer_never_lowers_a_value_that_falls(value, held, rate, after):
    found = held_then_declining(value, sorted(held), rate, after)
    assert np.all(np.diff(found) >= 0)
    assert list(found) == [pytest.approx(held_then_declining(value, one, rate, after), rel=1e-14) for one in sorted(held)]


# value_in_stages


def test_the_forklift_of_newnan_falls_in_two_stages_as_its_table_has_it():
    (row,) = [row for row in rows("newnan_economic_life.csv") if row["case"] == "problem 13-24 forklift"]
    table = numbers(row["end_value"])
    np.testing.assert_allclose(value_in_stages(30000, [0.20, 0.15], [2], np.arange(1, 10)), table[:9], rtol=1e-12)


def test_three_stages_by_hand():
    # 1000 halves for a year, is held for two, and gains 21 % a year: 500, 500, 500, 605, and 550 half a year before.
    np.testing.assert_allclose(value_in_stages(1000, [0.5, 0, -0.21], [1, 3], [0, 1, 2, 3, 3.5, 4]), [1000, 500, 500, 500, 550, 605], rtol=1e-14)


@steadily
@given(values, rates, rates, years, years)
def test_stages_follow_on_one_another(value, first, later, until, after):
    at_the_end = value_after(value, first, until)
    assert value_in_stages(value, [first, later], [until], until + after) == pytest.approx(value_after(at_the_end, later, after), rel=1e-9)
    assert value_in_stages(value, [first], [], after) == pytest.approx(value_after(value, first, after), rel=1e-13)
    assert value_in_stages(value, [0, later], [until], after) == pytest.approx(held_then_declining(value, until, later, after), rel=1e-12)
    assert value_in_stages(value, [first, first], [until], after) == pytest.approx(value_after(value, first, after), rel=1e-12)


# floor_then_rise


def test_a_floor_and_a_rise_by_hand():
    # 8000 halves each year and meets 1000 after three; from there 10 % a year: 1100, 1210.
    np.testing.assert_allclose(floor_then_rise(8000, 0.5, 1000, 0.1, np.arange(6)), [8000, 4000, 2000, 1000, 1100, 1210], rtol=1e-12)
    # Below its floor it rises from the first day; at a rate of 0, or with no floor, it never gets there; a whole loss is there at once.
    np.testing.assert_allclose(floor_then_rise(500, 0.5, 1000, 0.1, [0, 1]), [500, 550], rtol=1e-14)
    np.testing.assert_allclose(floor_then_rise(8000, 0, 1000, 0.1, [0, 40]), [8000, 8000])
    np.testing.assert_allclose(floor_then_rise(8000, 0.5, 0, 0.1, [0, 4]), [8000, 500])
    np.testing.assert_allclose(floor_then_rise(8000, 1, [1000, 0], 0.1, 1), [1100, 0])
    assert floor_then_rise(0, 0.5, 0, 0.1, 3) == 0


@steadily
@given(values, st.floats(0.001, 0.9), kept, st.floats(0, 0.3), years)
def test_a_value_is_never_below_its_floor_and_falls_as_any_other_before_it(value, rate, share, rise, after):
    floor = share * value
    found = floor_then_rise(value, rate, floor, rise, after)
    fallen = value_after(value, rate, after)
    assert found >= floor * (1 - 1e-9)
    assert found == pytest.approx(fallen, rel=1e-13) if fallen > floor * (1 + 1e-9) else found <= floor * (1 + rise) ** after * (1 + 1e-9)
    assert floor_then_rise(value, rate, floor, 0, after) == pytest.approx(max(fallen, floor), rel=1e-9)


# value_from_table


def test_a_table_by_hand():
    # 10,000 to 7000 over three years and 5000 after five, then a tenth a year: 4500; a year before the first row it holds.
    found = value_from_table([1, 3, 5], [10000, 7000, 5000], 0.1, [0, 1, 2, 3, 4.5, 5, 6])
    np.testing.assert_allclose(found, [10000, 10000, 8500, 7000, 5500, 5000, 4500], rtol=1e-14)
    assert value_from_table([0, 1, 2], [0.9, 0.3, 0], 0, 2) == 0  # 0.9 - 0.6 - 0.3 is a hair below nothing in doubles


@steadily
@given(st.lists(st.tuples(st.floats(0.1, 9), values), min_size=1, max_size=6), st.lists(years, min_size=1, max_size=6))
def test_a_table_without_a_later_rate_is_what_numpy_reads_off(steps, asked):
    at, amounts = np.cumsum([step for step, _ in steps]), [amount for _, amount in steps]
    np.testing.assert_allclose(value_from_table(at, amounts, 0, asked), np.interp(asked, at, amounts), rtol=1e-9, atol=1e-9 * max(amounts))


# value_after_driving


def test_a_decline_by_years_and_distance_by_hand():
    # 10,000 less 19 % for a year is 8100; 20,000 km at a tenth for each 10,000 leave 0.81 of it, 6561; half a year and 5000 km: 9000 x 0.9^0.5.
    np.testing.assert_allclose(value_after_driving(10000, 0.19, 0.1, [1, 0.5], [20000, 5000]), [6561, 9000 * 0.9**0.5], rtol=1e-14)
    # Told for 10,000 miles, the same rate takes as much over as many miles.
    assert value_after_driving(10000, 0.19, 0.1, 1, 20000 * 1.609344, per=10000 * 1.609344) == pytest.approx(6561, rel=1e-14)


@steadily
@given(values, rates, st.floats(0.001, 0.5), years, st.floats(0, 3e5))
def test_driving_costs_value_and_nothing_driven_costs_none(value, rate, wear, after, distance):
    assert value_after_driving(value, rate, wear, after, 0) == value_after(value, rate, after) == value_after_driving(value, rate, 0, after, distance)
    assert value_after_driving(value, rate, wear, after, distance + 1000) < value_after_driving(value, rate, wear, after, distance)


# value_by_distance, no_less_than_scrap


def test_the_end_of_a_life_by_hand():
    # 9000 above a scrap of 1000 over 90,000 km: a tenth of it every 9000 km; then scrap for ever.
    np.testing.assert_allclose(value_by_distance(10000, 1000, 90000, [0, 9000, 45000, 90000, 2e6]), [10000, 9100, 5500, 1000, 1000], rtol=1e-14)
    # Scrap before the end only where the value would be below it, scrap from the end on whatever the value.
    np.testing.assert_allclose(no_less_than_scrap([5000, 300, 5000, 5000], 400, 1000, [0, 10, 999.9, 1000]), [5000, 400, 5000, 400])
    assert no_less_than_scrap(5000, 400, np.inf, 1e9) == 5000
    assert no_less_than_scrap(5000, 400, 0.8, 0.1 + 0.7) == 400 and 0.1 + 0.7 < 0.8  # the last bit of a distance keeps no car alive


@steadily
@given(values, kept, st.floats(1, 1e6), st.lists(st.floats(0, 2e6), min_size=2, max_size=6))
def test_a_value_by_distance_falls_to_scrap_and_not_below(value, share, left, driven):
    found = value_by_distance(value, share * value, left, sorted(driven))
    assert np.all(np.diff(found) <= 1e-9 * value) and np.all(found >= share * value)
    np.testing.assert_allclose(no_less_than_scrap(found, share * value, left, sorted(driven)), found, rtol=1e-12)
