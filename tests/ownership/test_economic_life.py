"""Economic life and the cost of single years: published tables, cases by hand, what must hold whatever the numbers, refusals."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis.extra.numpy import arrays
from lives import LIVES, kept
from reference.printed import case_ids, numbers, printed

from buildecon.ownership.economic_life import economic_life, marginal_cost, spread_of_lives
from buildecon.ownership.keeping import cost_if_kept, level_cost
from buildecon.quantities.timevalue import annuity_factor, discount_factor, rate_per_period

steadily = settings(deadline=None, derandomize=True)
money = st.integers(0, 10**7).map(lambda cents: cents / 100)
rates = st.sampled_from([0.0, 1e-9, -0.05]) | st.floats(0.001, 0.4)
curves = arrays(float, 9, elements=st.integers(-(10**6), 10**7).map(lambda cents: cents / 100))


def life_of(row):
    return economic_life(kept(row), float(row["rate"]), periods_a_year=1)


# economic_life


@pytest.mark.parametrize("row", LIVES, ids=case_ids(LIVES))
def test_the_economic_life_and_its_cost_are_the_published_ones(row):
    life = life_of(row)
    assert life.years == int(row["best_year"])
    told = dict(enumerate(row["annual_cost"].split(";"), start=1)).get(int(row["best_year"]))
    if told:
        assert life.cost == printed(told, row["tolerance"])
    years = len(numbers(row["running"]))
    assert life.searched == years
    assert life.low <= life.years <= life.high
    assert life.status in ({"or more", "flat"} if life.years == years else {"inside", "flat"} if life.years > 1 else {"at once", "flat"})


@pytest.mark.parametrize("name", ["6 forklift with an overhaul", "8 accountancy question"])
def test_a_least_cost_in_the_last_year_of_a_table_is_so_many_years_or_more(name):
    (row,) = [row for row in LIVES if row["case"] == name]
    assert life_of(row).status == "or more"


def test_years_that_cost_nearly_the_same_are_told_by_hand():
    (row,) = [row for row in LIVES if row["case"] == "problem P13-10"]
    # 18000.00; 17569.38; 17328.57; 17240.11; 17273.37; 17403.37: within 1 % means up to 17412.51, years 3 to 6, four of six exits.
    life = life_of(row)
    assert (life.years, life.low, life.high, life.status) == (4, 3, 6, "flat")
    # Within 0.3 % means up to 17291.83: years 4 and 5, two of six.
    life = economic_life(kept(row), float(row["rate"]), 1, near_share=0.003)
    assert (life.years, life.low, life.high, life.status) == (4, 4, 5, "inside")


def test_half_of_all_exits_are_enough_for_flat():
    (row,) = [row for row in LIVES if row["case"] == "4 a fifth lost a year"]
    # 23000.00; 22714.29; 22655.59; 22776.34; 23037.84; 23408.57: within 1 % means up to 22882.15, years 2 to 4, three of six exits.
    life = life_of(row)
    assert (life.years, life.low, life.high, life.status) == (3, 2, 4, "flat")


def test_an_economic_life_by_hand_in_months():
    # 10, 14, 30, 44 at no interest: 10, 7, 10, 11 a month.
    life = economic_life([0, 10, 14, 30, 44])
    assert (life.years, life.cost, life.status, life.searched) == (2 / 12, 7, "inside", 4 / 12)
    assert (life.low, life.high) == (2 / 12, 2 / 12)
    # 10, 20, 33 costs 10, 10, 11: of two that cost the same the shorter, which is the first exit there is; 10 % more lets in all three.
    life = economic_life([0, 10, 20, 33])
    assert (life.years, life.low, life.high, life.status) == (1 / 12, 1 / 12, 2 / 12, "flat")
    assert economic_life([0, 10, 22, 36]).status == "at once"
    assert economic_life([0, 10, 20, 33], near_share=0.1).high == 3 / 12


def test_the_band_stops_at_the_first_dearer_year():
    # 10, 8, 9, 8, 7.9, 9 a year: within 2 % of 7.9 (8.058) lie years 2, 4 and 5, and year 3 is not one of them.
    life = economic_life(np.array([0, 10, 16, 27, 32, 39.5, 54]), 0, 1, near_share=0.02)
    assert (life.years, life.low, life.high) == (5, 4, 5)


def test_a_hire_at_the_same_price_every_month_has_no_life_to_speak_of():
    life = economic_life(cost_if_kept(0, np.full(120, 300.0), np.zeros(121), 0.05), 0.05)
    assert (life.status, life.years, life.low, life.high) == ("flat", 1 / 12, 1 / 12, 10)
    assert life.cost == pytest.approx(300, rel=1e-12)


def test_a_gain_is_a_cost_below_0_and_the_largest_a_year_is_taken():
    # -8, -20, -27 a year: -8, -10, -9; within 10 % of -10 means up to -9, years 2 and 3.
    life = economic_life([0, -8, -20, -27], 0, 1, near_share=0.1)
    assert (life.years, life.cost, life.low, life.high) == (2, -10, 2, 3)


def test_without_a_period_there_is_no_life_and_it_says_so():
    life = economic_life([[5.0], [6.0]])
    assert np.isnan(life.years).all() and np.isnan(life.cost).all() and np.isnan(life.low).all()
    assert life.status.tolist() == ["none", "none"]
    assert economic_life([5.0]).status == "none"


def test_a_single_exit_is_the_last_there_is():
    assert economic_life([0, 5.0]).status == "or more"


@steadily
@given(curves, rates, st.floats(-5e3, 5e3))
def test_a_constant_running_cost_moves_the_cost_by_itself_and_leaves_the_life(total, rate, more):
    years = np.arange(1, 9)
    dearer = total + np.concatenate([[0], np.cumsum(more * discount_factor(rate, years))])
    before, after = (level_cost(curve, rate, 1)[1:] for curve in (total, dearer))
    np.testing.assert_allclose(after, before + more, rtol=1e-9, atol=1e-6)
    life, moved = economic_life(total, rate, 1), economic_life(dearer, rate, 1)
    assert moved.cost == pytest.approx(life.cost + more, rel=1e-9, abs=1e-3)
    if np.sum(before < before.min() + 1e-2) == 1:
        assert moved.years == life.years


@steadily
@given(curves, rates, st.integers(-8, 8))
def test_other_money_is_the_same_life(total, rate, power):
    one, other = economic_life(total, rate, 1), economic_life(total * 2.0**power, rate, 1)
    assert (other.years, other.status, other.low, other.high) == (one.years, one.status, one.low, one.high)
    assert other.cost == one.cost * 2.0**power


@steadily
@given(arrays(float, (2, 3, 9), elements=money), arrays(float, 3, elements=st.floats(-0.1, 0.4)))
def test_many_lives_are_each_life_alone(total, rate):
    together = economic_life(total, rate)
    for option in range(2):
        for scenario in range(3):
            alone = economic_life(total[option, scenario], rate[scenario])
            for name in ("years", "cost", "status", "low", "high"):
                assert getattr(together, name)[option, scenario] == getattr(alone, name)


@steadily
@given(curves, rates)
def test_no_exit_costs_less_than_the_life_and_every_year_of_the_band_is_near(total, rate):
    life, level = economic_life(total, rate, 1), level_cost(total, rate, 1)
    assert life.cost <= np.nanmin(level) + 1e-8 * np.nanmax(np.abs(level))
    run = level[int(life.low) : int(life.high) + 1]
    assert np.all(run <= life.cost + 0.0101 * abs(life.cost) + 1e-8 * np.nanmax(np.abs(level)))


def test_half_of_the_exits_there_can_be_are_enough_for_flat():
    # 9, 9, 9, 10, 10.05, 12 a year, of which the first three cannot be: years 4 and 5 are within 1 %, two of three.
    total = np.array([0, 9, 9, 9, 10, 10.05, 12]) * np.arange(7)
    life = economic_life(total, 0, 1, first=4)
    assert (life.years, life.low, life.high, life.status) == (4, 4, 5, "flat")


def test_exits_before_the_first_there_can_be_are_not_looked_at_by_hand():
    # 5, 8, 9, 10 a year: the first is cheapest, but it cannot go before the third; 9, 10, 10 and 12: nor before the second.
    totals = np.array([[0, 5, 16, 27, 40], [0, 9, 20, 30, 48], [0, 1, 2, 3, 4]], dtype=float)
    life = economic_life(totals, 0, 1, first=[3, 2, 5])
    assert life.years[:2].tolist() == [3, 2] and life.cost[:2].tolist() == [9, 10] and life.status.tolist() == ["at once", "flat", "none"]
    assert np.isnan([life.years[2], life.cost[2], life.low[2], life.high[2]]).all() and (life.low[1], life.high[1]) == (2, 3)
    assert economic_life(totals[2], 0, 1, first=5).status == "none" and economic_life(totals[0], 0, 1, first=4).status == "or more"
    alone = economic_life(totals, 0, 1, near_share=0, first=[3, 2, 5])
    assert alone.high[:2].tolist() == [3, 3] and np.isnan(alone.high[2])


# spread_of_lives


def test_a_spread_of_lives_by_hand():
    # At no interest 10, 14, 30 is 10, 7, 10 (2 years); 9, 22, 36 is 9, 11, 12 (1); 30, 40, 45 is 30, 20, 15 (3, the end); 10, 18, 30 is 10, 9, 10 (2).
    curves = np.array([[0, 10, 14, 30], [0, 9, 22, 36], [0, 30, 40, 45], [0, 10, 18, 30]], dtype=float)
    found = spread_of_lives(economic_life(curves, periods_a_year=1), at=[0.25, 0.5, 0.75, 0.9])
    assert found.year.tolist() == [1, 2, 3]
    assert found.share.tolist() == [0.25, 0.5, 0.25]
    assert (found.or_more, found.flat, found.searched) == (0.25, 0, 3)
    assert spread_of_lives(economic_life(np.array([[0, 5, 10, 15], [0, 9, 22, 36]]), periods_a_year=1)).flat == 0.5
    # In order 1, 2, 2, 3: a quarter have 1 or less, three quarters 2 or less, nine tenths 3 or less.
    assert found.quantile.tolist() == [1, 2, 2, 3]
    assert found.quantile_is_end.tolist() == [False, False, False, True]


def test_a_life_of_some_months_counts_in_the_year_it_ends_in():
    # Level costs that are least after 12 and after 13 months.
    months = np.arange(25)
    life = economic_life(months * np.array([100 + 5 * np.abs(months - least) for least in (12, 13)]))
    assert life.years.tolist() == [1, 13 / 12]
    assert spread_of_lives(life).share.tolist() == [0.5, 0.5]


def test_options_keep_their_own_spread():
    curves = np.random.default_rng(3).uniform(0, 1, (2, 50, 8)).cumsum(axis=-1)
    life = economic_life(curves, 0.05, 1)
    found = spread_of_lives(life)
    np.testing.assert_allclose(found.share.sum(axis=-1), 1, rtol=1e-14)
    assert (found.share.shape, found.quantile.shape, found.or_more.shape) == ((2, 7), (2, 3), (2,))
    np.testing.assert_array_equal(found.or_more, found.share[:, -1])
    for option in range(2):
        alone = spread_of_lives(economic_life(curves[option], 0.05, 1))
        np.testing.assert_array_equal(found.quantile[option], alone.quantile)


# marginal_cost


@pytest.mark.parametrize("row", LIVES, ids=case_ids(LIVES))
def test_the_cost_of_one_more_year_is_the_published_one_and_lost_value_interest_and_running_cost(row):
    rate, value = float(row["rate"]), np.array([float(row["first_cost"]), *numbers(row["end_value"])])
    found = marginal_cost(kept(row), rate, periods_a_year=1)
    by_hand = value[:-1] * (1 + rate) - value[1:] + numbers(row["running"])
    np.testing.assert_allclose(found, by_hand, rtol=1e-9)
    for year, figure in enumerate(row["marginal_cost"].split(";")):
        if figure:
            assert found[year] == printed(figure, row["tolerance"]), f"year {year + 1}"


@steadily
@given(money, arrays(float, 7, elements=money), arrays(float, 8, elements=money), rates, st.sampled_from([1, 12]))
def test_the_cost_of_single_periods_adds_up_to_the_level_cost(paid, running, end_value, rate, periods_a_year):
    # EAC(n) = CRF (total at the start + sum of MC_k v^k), and each MC_k is value lost, interest and running cost.
    total = cost_if_kept(paid, running, end_value, rate, periods_a_year)
    found, per_period = marginal_cost(total, rate, periods_a_year), rate_per_period(rate, periods_a_year)
    np.testing.assert_allclose(found, end_value[:-1] * (1 + per_period) - end_value[1:] + running, rtol=1e-9, atol=1e-6)
    worth = total[0] + np.cumsum(found * (1 + per_period) ** -np.arange(1.0, 8))
    np.testing.assert_allclose(worth / annuity_factor(per_period, np.arange(1, 8)), level_cost(total, rate, periods_a_year)[1:], rtol=1e-9, atol=1e-6)


def test_years_of_a_monthly_curve_are_every_twelfth_month():
    total = cost_if_kept(9000, np.full(36, 100.0), np.linspace(9000, 3000, 37), 0.06)
    found = marginal_cost(total[::12], 0.06, periods_a_year=1)
    # Interest 6 % of 9000, 2000 lost, and 100 a month with its interest to the end of the year.
    upkeep = sum(100 * 1.06 ** (k / 12) for k in range(12))
    assert found.tolist() == [pytest.approx(0.06 * value + 2000 + upkeep, rel=1e-12) for value in (9000, 7000, 5000)]


# Refusals


@pytest.mark.parametrize("function", [economic_life, marginal_cost])
def test_what_is_no_cost_curve_is_refused(function):
    with pytest.raises(ValueError, match=r"^total must be finite, got nan\.$"):
        function([0, 1, np.nan])
    with pytest.raises(ValueError, match=r"^total must have a last axis of periods, the start first, got none\.$"):
        function(5.0)
    with pytest.raises(ValueError, match=r"^discount_rate must be above -1, got -1\.0\.$"):
        function([0, 1, 2], discount_rate=-1)
    with pytest.raises(ValueError, match=r"^periods_a_year must be at least 1, got 0\.0\.$"):
        function([0, 1, 2], periods_a_year=0)


def test_a_share_below_0_and_a_spread_of_nothing_are_refused():
    with pytest.raises(ValueError, match=r"^near_share must be at least 0, got -0\.1\.$"):
        economic_life([0, 1, 2], near_share=-0.1)
    with pytest.raises(ValueError, match=r"^at must be at least 0 and at most 1, got 1\.5\.$"):
        spread_of_lives(economic_life([[0, 1, 2]]), at=1.5)
    with pytest.raises(ValueError, match=r"^life must have at least one scenario on its last axis, and a life in each\. Give economic_life totals by"):
        spread_of_lives(economic_life([0, 1, 2]))
    with pytest.raises(ValueError, match=r"^life must have at least one scenario"):
        spread_of_lives(economic_life([[0], [0]]))
