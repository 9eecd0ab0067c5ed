"""Value as the years go by: published declining-balance books, cases by hand, and what must hold for any rate."""

from fractions import Fraction

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows

from buildecon.market.decline import held_then_declining, value_after

steadily = settings(deadline=None, derandomize=True)
values = st.floats(1, 1e6)
rates = st.floats(-0.5, 0.9)
years = st.floats(0, 30)
BOOKS = rows("declining_balance.csv")


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
