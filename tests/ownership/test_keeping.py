"""The cost of keeping: cases by hand, and what must hold whatever the numbers. Published tables stand in test_keeping_published.py."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis.extra.numpy import arrays

from buildecon.ownership.keeping import Terms, cost_if_kept, level_cost, running_costs, total_if_kept
from buildecon.quantities.timevalue import annuity_factor, discount_factor, present_value, rate_per_period, real_rate

steadily = settings(deadline=None, derandomize=True)
money = st.floats(0, 1e5)
rates = st.one_of(st.just(0.0), st.floats(-0.1, 0.4))


def flows(n):
    return arrays(float, n, elements=money)


# cost_if_kept


def test_a_cost_if_kept_by_hand():
    # 10 paid, 1 and 2 running, worth 10, 8, 6, at 25 %: 10 - 10; 10 + 0.8 - 6.4 = 4.4; 10 + 0.8 + 1.28 - 3.84 = 8.24.
    np.testing.assert_allclose(cost_if_kept(10, [1, 2], [10, 8, 6], 0.25, periods_a_year=1), [0, 4.4, 8.24], rtol=1e-14, atol=1e-14)


def test_a_month_is_a_twelfth_of_a_year_of_discount():
    # A rate of 1.01^12 - 1 a year is 1 % a month: 100 + 50 / 1.01 - 60 / 1.01.
    found = cost_if_kept(100, [50], [0, 60], 1.01**12 - 1)
    np.testing.assert_allclose(found, [100, 100 - 10 / 1.01], rtol=1e-13)


@steadily
@given(money, flows(9), flows(10), rates)
def test_a_cost_if_kept_is_the_present_value_of_its_flows(paid, running, end_value, rate):
    total = cost_if_kept(paid, running, end_value, rate)
    for k in range(10):
        one_by_one = np.array([paid, *running[:k]])
        one_by_one[k] -= end_value[k]
        assert total[k] == pytest.approx(present_value(one_by_one, rate, periods_a_year=12), rel=1e-12, abs=1e-7)


@steadily
@given(money, flows(6), flows(7), rates, st.floats(0.01, 1e4))
def test_each_unit_more_paid_at_the_start_costs_a_unit_and_each_unit_more_at_the_end_saves_its_discounted_worth(paid, running, end_value, rate, more):
    total = cost_if_kept(paid, running, end_value, rate)
    np.testing.assert_allclose(cost_if_kept(paid + more, running, end_value, rate) - total, more, rtol=1e-9, atol=1e-9)
    saved = total - cost_if_kept(paid, running, end_value + more, rate)
    np.testing.assert_allclose(saved, more * discount_factor(rate, np.arange(7) / 12), rtol=1e-9, atol=1e-9)


@steadily
@given(arrays(float, (2, 3), elements=money), arrays(float, (2, 3, 5), elements=money), arrays(float, (2, 3, 6), elements=money), rates)
def test_many_cars_cost_what_each_costs_alone(paid, running, end_value, rate):
    together = cost_if_kept(paid, running, end_value, rate)
    for option in range(2):
        for scenario in range(3):
            alone = cost_if_kept(paid[option, scenario], running[option, scenario], end_value[option, scenario], rate)
            np.testing.assert_array_equal(together[option, scenario], alone)


# level_cost


def test_a_level_cost_by_hand():
    # 4.4 a year on is 5.5; 8.24 over two years at 25 % is 8.24 / (0.8 + 0.64) = 5.722...; there is no period to spread the start over.
    found = level_cost([1.0, 4.4, 8.24], 0.25, periods_a_year=1)
    assert np.isnan(found[0])
    np.testing.assert_allclose(found[1:], [5.5, 8.24 / 1.44], rtol=1e-14)
    np.testing.assert_allclose(level_cost([0, 12, 12, 12])[1:], [12, 6, 4], rtol=1e-14)


@steadily
@given(flows(13), rates, st.sampled_from([1, 4, 12]))
def test_a_level_cost_paid_to_the_end_is_worth_the_total(total, rate, periods_a_year):
    level = level_cost(total, rate, periods_a_year)
    per_period = rate_per_period(rate, periods_a_year)
    np.testing.assert_allclose(level[1:] * annuity_factor(per_period, np.arange(1, 13)), total[1:], rtol=1e-12, atol=1e-12)
    np.testing.assert_array_equal(level_cost([total, total], rate, periods_a_year), [level, level])


@steadily
@given(money, money, rates)
def test_a_car_that_keeps_its_value_costs_its_interest_and_its_upkeep_every_period(price, upkeep, rate):
    total = cost_if_kept(price, np.full(8, upkeep), np.full(9, price), rate)
    per_month = rate_per_period(rate, 12)
    np.testing.assert_allclose(level_cost(total, rate)[1:], price * per_month + upkeep, rtol=1e-9, atol=1e-6)


# running_costs


def test_running_costs_by_hand():
    # Tax 120 a year is 10 a month; 480 of fuel growing to 1.21 in two years is 1.1 in one, so month 12 costs 44;
    # 600 borrowed free of interest over 6 months is 100 a month, and half of it half a year on at 300 % inflation: 100 / 4^0.5 = 50.
    terms = Terms(1000, {"tax": 120}, [480, 0], [0.10, 0.5], loan=600, loan_months=6)
    costs = running_costs(terms, 24, inflation_rate=3.0)
    assert list(costs) == ["tax", "energy", "loan payments"]
    np.testing.assert_allclose(costs["tax"], np.full(24, 10.0), rtol=1e-14)
    np.testing.assert_allclose(costs["energy"][[11, 23]], [44, 48.4], rtol=1e-14)
    assert costs["loan payments"][5] == pytest.approx(50, rel=1e-13)
    assert np.all(costs["loan payments"][:6] > 0)
    assert not costs["loan payments"][6:].any()


def test_an_option_without_energy_or_loan_has_neither():
    costs = running_costs(Terms(1000, {"tax": 120}), 3)
    np.testing.assert_array_equal(costs.pop("energy"), np.zeros(3))
    assert list(costs) == ["tax"]
    np.testing.assert_array_equal(running_costs(Terms(1000, energy=np.zeros(0), energy_growth=np.zeros(0)), 3)["energy"], np.zeros(3))


@steadily
@given(arrays(float, 3, elements=money), arrays(float, 3, elements=st.floats(-0.2, 0.3)), st.integers(1, 5))
def test_the_last_month_of_a_year_has_the_price_of_that_year_and_energy_without_growth_never_changes(energy, growth, years):
    monthly = running_costs(Terms(0, energy=energy, energy_growth=growth), 12 * years)["energy"]
    yearly = running_costs(Terms(0, energy=energy, energy_growth=growth), years, periods_a_year=1)["energy"]
    np.testing.assert_allclose(12 * monthly[11::12], yearly, rtol=1e-12, atol=1e-300)
    np.testing.assert_allclose(yearly, [np.dot(energy, (1 + growth) ** year) for year in range(1, years + 1)], rtol=1e-12, atol=1e-300)
    level = running_costs(Terms(0, energy=energy), 12 * years)["energy"]
    np.testing.assert_allclose(level, np.sum(energy) / 12, rtol=1e-14, atol=1e-300)


# total_if_kept


def test_a_total_with_a_loan_by_hand():
    # 1000 with 600 borrowed free of interest over 24 months, 100 a year, worth 1000, 800, 700.
    terms = Terms(1000, {"upkeep": 100}, loan=600, loan_months=24)
    # Year 1: 400 + 100 + 300 - (800 - 300) = 300; year 2: 400 + 200 + 600 - 700 = 500, as without the loan.
    np.testing.assert_allclose(total_if_kept(terms, [1000, 800, 700], 2, periods_a_year=1), [0, 300, 500], rtol=1e-12, atol=1e-12)
    # At 25 % inflation 300 is 240 after one year and 192 after two: 400 + 100 + 240 - (800 - 240) = 180; 400 + 200 + 240 + 192 - 700 = 332.
    found = total_if_kept(terms, [1000, 800, 700], 2, inflation_rate=0.25, periods_a_year=1)
    np.testing.assert_allclose(found, [0, 180, 332], rtol=1e-12, atol=1e-12)


@steadily
@given(st.floats(1, 1e5), st.one_of(st.just(0.0), st.floats(1e-6, 0.5)), st.integers(1, 40), st.one_of(st.just(0.0), st.floats(-0.05, 0.3)))
def test_a_loan_at_the_discount_rate_is_worth_its_principal_at_every_exit(loan, rate, months, inflation):
    # Discounting monthly at the loan's own monthly rate, in today's money: the loan neither costs nor saves anything.
    end_value = np.linspace(20000, 9000, 25)
    with_loan = Terms(20000, {"upkeep": 900}, loan=loan, loan_rate=rate, loan_months=months)
    discount = real_rate(np.expm1(12 * np.log1p(rate / 12)), inflation)
    without = total_if_kept(Terms(20000, {"upkeep": 900}), end_value, 24, discount, inflation)
    np.testing.assert_allclose(total_if_kept(with_loan, end_value, 24, discount, inflation), without, rtol=0, atol=1e-11 * (loan + 20000))


@steadily
@given(st.floats(1, 1e5), st.floats(0.01, 0.5), st.integers(1, 40))
def test_a_loan_dearer_than_the_discount_costs_and_one_that_is_cheaper_saves(loan, rate, months):
    end_value = np.zeros(25)
    terms = Terms(20000, loan=loan, loan_rate=rate, loan_months=months)
    own = np.expm1(12 * np.log1p(rate / 12))
    assert np.all(total_if_kept(terms, end_value, 24, own - 0.005)[1:] > total_if_kept(Terms(20000), end_value, 24, own - 0.005)[1:])
    assert np.all(total_if_kept(terms, end_value, 24, own + 0.005)[1:] < total_if_kept(Terms(20000), end_value, 24, own + 0.005)[1:])


@steadily
@given(flows(13), rates)
def test_at_the_start_having_a_car_costs_what_selling_it_at_once_would_lose(end_value, rate):
    terms = Terms(5000, {"upkeep": 900}, [100], [0.1], loan=2000, loan_rate=0.06, loan_months=24)
    assert total_if_kept(terms, end_value, 12, rate, 0.02)[0] == pytest.approx(5000 - end_value[0], abs=1e-7)
