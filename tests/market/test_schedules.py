"""Depreciation as it is booked: published schedules, tax tables, a spreadsheet program, cases by hand, and what must hold."""

from fractions import Fraction

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows

from buildecon.market.schedules import (
    book_value,
    declining_balance,
    part_year,
    sinking_fund,
    straight_line,
    sum_of_years_digits,
    units_of_activity,
)

steadily = settings(deadline=None, derandomize=True)
BOOKS, SHEET, MILES, IRS = (rows(f"{name}.csv") for name in ("depreciation_schedules", "libreoffice_depreciation", "units_of_activity", "irs_946_table_a1"))
PERIODS = [name for name in IRS[0] if name != "year"]
costs = st.floats(1, 1e6)
lives = st.integers(1, 25)
kept = st.floats(0, 1)


def _declining(cost, salvage, life, factor, ending, first):
    return declining_balance(cost, salvage, life, float(factor), int(ending) if ending.isdigit() else ending, float(Fraction(first)))


METHODS = {
    "straight line": lambda cost, salvage, life, first: part_year(straight_line(cost, salvage, life), float(first)),
    "sum of years' digits": lambda cost, salvage, life, first: part_year(sum_of_years_digits(cost, salvage, life), float(first)),
    "declining balance": _declining,
    "sinking fund": lambda cost, salvage, life, rate: sinking_fund(cost, salvage, life, float(rate)),
}


def schedule(row):
    return METHODS[row["method"]](float(row["cost"]), float(row["salvage"]), int(row["life"]), *row["terms"].split(";"))


# All methods


@pytest.mark.parametrize("row", BOOKS, ids=case_ids(BOOKS))
def test_schedules_agree_with_published_ones(row):
    found = schedule(row)
    found = book_value(float(row["cost"]), found) if row["figures"] == "book" else found
    asked = [int(year) - 1 for year in row["years"].split(";")]
    assert list(found[asked]) == [printed(figure, row["tolerance"]) for figure in row["printed"].split(";")]


@pytest.mark.parametrize("row", SHEET, ids=case_ids(SHEET))
def test_schedules_agree_with_those_of_a_spreadsheet_program(row):
    np.testing.assert_allclose(schedule(row), numbers(row["printed"]), rtol=1e-12, atol=1e-8)


def test_a_schedule_is_the_same_for_one_and_for_many():
    cost, salvage = np.array([[90000.0, 35000], [8000, 500]]), np.array([5000.0, 100])
    for method in (straight_line, sum_of_years_digits, lambda *terms: sinking_fund(*terms, 0.05), declining_balance,
                   lambda *terms: part_year(declining_balance(*terms, 1.5, "switched"), 0.25)):  # fmt: skip
        found = method(cost, salvage, 6)
        for at in np.ndindex(2, 2):
            assert np.array_equal(found[at], method(cost[at], salvage[at[1]], 6))


@steadily
@given(costs, kept, lives, st.floats(0, 0.3), st.floats(0.01, 1), st.floats(1, 2))
def test_every_schedule_that_looks_at_salvage_takes_what_is_above_it_and_no_more(cost, share, life, rate, first, factor):
    salvage, factor = share * cost, min(factor, life)
    landing = [
        straight_line(cost, salvage, life),
        sum_of_years_digits(cost, salvage, life),
        sinking_fund(cost, salvage, life, rate),
        part_year(sum_of_years_digits(cost, salvage, life), first),
        *(declining_balance(cost, salvage, life, factor, ending, first) for ending in ("landed", "switched", "straight", 1 + life // 2)),
    ]
    for found in landing:
        assert found.sum() == pytest.approx(cost - salvage, rel=1e-9, abs=1e-9 * cost)
        assert np.all(found >= -1e-9 * cost)
    floored = declining_balance(cost, salvage, life, factor, "floored", first)
    assert np.all(book_value(cost, floored) >= salvage - 1e-9 * cost) and np.all(floored >= 0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: straight_line(-1, 0, 5), "cost must be at least 0, got -1.0."),
        (lambda: straight_line(float("nan"), 0, 5), "cost must be at least 0, got nan."),
        (lambda: sum_of_years_digits(100, -1, 5), "salvage must be at least 0, got -1.0."),
        (lambda: sinking_fund(100, [50, 120], 5, 0.1), "salvage must be at most the cost, got 120.0."),
        (lambda: sinking_fund(100, 50, 5, -0.1), "rate must be at least 0, got -0.1."),
        (lambda: straight_line(100, 0, 0), "life must be whole years, at least 1, got 0."),
        (lambda: straight_line(100, 0, 2.5), "life must be whole years, at least 1, got 2.5."),
        (lambda: declining_balance(100, 0, 3, 4), "factor must be at least 0 and at most 3, got 4.0."),
        (lambda: declining_balance(100, 0, 3, 2, "flored"), "ending must be one of unfloored, floored, landed, switched, straight or the year of the switch, got 'flored'."),
        (lambda: declining_balance(100, 0, 3, 2, 0), "ending must be a year from 1 to 3, got 0."),
        (lambda: declining_balance(100, 0, 3, 2, 5, 0.5), "ending must be a year from 1 to 4, got 5."),
        (lambda: declining_balance(100, 0, 3, 2, 1.5), "ending must be a year from 1 to 3, got 1.5."),
        (lambda: declining_balance(100, 0, 3, first_share=0), "first_share must be above 0, got 0."),
        (lambda: part_year([1, 2], 1.2), "first_share must be at least 0 and at most 1, got 1.2."),
        (lambda: part_year([1, float("inf")], 0.5), "depreciation must be finite, got inf."),
        (lambda: units_of_activity(100, 0, 0, [5]), "life must be at least 1e-09, got 0.0."),
        (lambda: units_of_activity(100, 0, 10, [5, -1]), "activity must be at least 0, got -1.0."),
        (lambda: book_value(float("nan"), [1]), "cost must be at least 0, got nan."),
    ],
)
def test_what_cannot_be_is_refused(call, message):
    with pytest.raises(ValueError) as refusal:
        call()
    assert str(refusal.value) == message


# declining_balance


@pytest.mark.parametrize("period", PERIODS)
def test_the_half_year_convention_gives_the_table_of_the_irs(period):
    table = [float(row[period]) for row in IRS if row[period]]
    assert sum(table) == pytest.approx(100, abs=1e-9)  # a copy with a slip in it does not
    found = declining_balance(100, 0, int(period), 2 if int(period) <= 10 else 1.5, "switched", first_share=0.5)
    np.testing.assert_allclose(found, table, rtol=0, atol=0.007)


def test_a_switch_by_hand_where_the_page_forgets_it():
    # 22,500: 9000, 5400, 3240 leave 4860; two fifths of it are 1944, but half of it, over two years, is 2430.
    np.testing.assert_allclose(declining_balance(22500, 0, 5, 2, "switched"), [9000, 5400, 3240, 2430, 2430], rtol=1e-14)
    assert declining_balance(22500, 0, 5, 2, 4) == pytest.approx(declining_balance(22500, 0, 5, 2, "switched"))


def test_a_forced_switch_after_salvage_is_reached_takes_nothing_more():
    # 1000 with 600 left: 400 is taken in the first year, at 40 %.
    np.testing.assert_allclose(declining_balance(1000, 600, 5, 2, 3), [400, 0, 0, 0, 0])


def test_a_year_in_part_by_hand():
    # 1200 at 50 % with a quarter of the first year: 150, then 525, 262.50, 131.25, and three quarters of half of 131.25.
    np.testing.assert_allclose(declining_balance(1200, 0, 4, 2, "unfloored", 0.25), [150, 525, 262.5, 131.25, 49.21875])
    # Landed, the last year takes all of 131.25; straight, 1200 / 4 is spread 75, 300, 300, 300, 225.
    np.testing.assert_allclose(declining_balance(1200, 0, 4, 2, "landed", 0.25), [150, 525, 262.5, 131.25, 131.25])
    np.testing.assert_allclose(declining_balance(1200, 0, 4, 2, "straight", 0.25), [75, 300, 300, 300, 225])


@steadily
@given(costs, kept, lives, st.floats(0.05, 1))
def test_the_straight_ending_is_the_straight_line_and_a_switch_never_takes_later(cost, share, life, first):
    line = part_year(straight_line(cost, share * cost, life), first)
    np.testing.assert_allclose(declining_balance(cost, share * cost, life, min(2, life), "straight", first), line, rtol=1e-9, atol=1e-9 * cost)
    np.testing.assert_allclose(declining_balance(cost, share * cost, life, min(2, life), 1, first), line, rtol=1e-9, atol=1e-9 * cost)
    switched = declining_balance(cost, share * cost, life, min(2, life), "switched", first)
    for slower in (line, declining_balance(cost, share * cost, life, min(2, life), "floored", first)):
        assert np.all(np.cumsum(switched) >= np.cumsum(slower) - 1e-9 * cost)


@steadily
@given(costs, lives, st.floats(0, 1))
def test_the_book_of_an_unfloored_balance_is_one_power(cost, life, share):
    found = book_value(cost, declining_balance(cost, 0, life, share * life, "unfloored"))
    np.testing.assert_allclose(found, cost * (1 - share * life / life) ** np.arange(1, life + 1), rtol=1e-9, atol=1e-9 * cost)


# part_year, sinking_fund


@steadily
@given(costs, kept, lives, st.floats(0.01, 0.99))
def test_a_part_year_moves_amounts_to_the_next_year_and_keeps_their_sum(cost, share, life, first):
    whole = sum_of_years_digits(cost, share * cost, life)
    found = part_year(whole, first)
    assert found.shape == (life + 1,) and found[0] == pytest.approx(first * whole[0]) and found[-1] == pytest.approx((1 - first) * whole[-1])
    assert np.array_equal(part_year(whole, 1), whole)


@steadily
@given(costs, kept, lives, st.floats(1e-9, 0.3))
def test_a_sinking_fund_grows_at_its_rate_and_is_the_straight_line_without_one(cost, share, life, rate):
    found = sinking_fund(cost, share * cost, life, rate)
    np.testing.assert_allclose(found[1:], found[:-1] * (1 + rate), rtol=1e-9)
    np.testing.assert_allclose(sinking_fund(cost, share * cost, life, 0), straight_line(cost, share * cost, life), rtol=1e-12)


# units_of_activity


@pytest.mark.parametrize("row", MILES, ids=case_ids(MILES))
def test_units_of_activity_agree_with_published_ones(row):
    found = units_of_activity(float(row["cost"]), float(row["salvage"]), float(row["life"]), numbers(row["activity"]))
    assert list(found) == [printed(figure, row["tolerance"]) for figure in row["printed"].split(";")]


def test_nothing_is_taken_once_the_life_is_used_up():
    # 40,000 over 120,000 miles is a third each: 60,000 take 20,000, of the next 90,000 only 60,000 count, then nothing.
    np.testing.assert_allclose(units_of_activity(42000, 2000, 120000, [60000, 90000, 5000]), [20000, 20000, 0])


@steadily
@given(costs, kept, st.floats(1, 1e6), st.lists(st.floats(0, 1e5), min_size=1, max_size=8))
def test_units_of_activity_never_take_more_than_there_is(cost, share, life, activity):
    found = units_of_activity(cost, share * cost, life, activity)
    used = min(sum(activity) / life, 1)
    assert np.all(found >= 0) and found.sum() == pytest.approx(used * cost * (1 - share), rel=1e-9, abs=1e-9 * cost)
    both = units_of_activity([cost, cost], [share * cost, 0], life, [activity, activity[::-1]])
    assert np.array_equal(both[0], found) and np.array_equal(both[1], units_of_activity(cost, 0, life, activity[::-1]))
