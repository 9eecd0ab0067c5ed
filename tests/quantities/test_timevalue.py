"""Money over time: factors as printed in tables, cases by hand, and what must hold for any rate."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, numbers, printed, rows

from buildecon.quantities.timevalue import (
    annuity_factor,
    discount_factor,
    growing_annuity_factor,
    nominal_rate,
    present_value,
    rate_per_period,
    real_rate,
)

steadily = settings(deadline=None, derandomize=True)
rates = st.floats(-0.5, 1.0)
factors_of_nist = rows("nistir_85_3273.csv")
FACTOR = {"SPV": discount_factor, "UPV": annuity_factor}


# discount_factor


@pytest.mark.parametrize("row", factors_of_nist, ids=lambda row: f"{row['factor']} {row['years']}")
def test_factors_agree_with_the_nist_tables(row):
    assert FACTOR[row["factor"]](float(row["rate"]), int(row["years"])) == printed(row["printed"], row["tolerance"])


@pytest.mark.parametrize("row", rows("omb_a94.csv"), ids=lambda row: row["year"])
def test_discount_factors_agree_with_circular_a94_at_the_end_the_middle_and_the_beginning_of_a_year(row):
    year = int(row["year"])
    end, middle, beginning = discount_factor(0.07, np.array([year, year - 0.5, year - 1]))
    assert (end, middle, beginning) == (printed(row["end"]), printed(row["middle"]), printed(row["beginning"]))
    assert middle == pytest.approx(end * np.sqrt(1.07), rel=1e-12)


def test_a_discount_factor_by_hand():
    # 1 / 1.25^2 = 1 / 1.5625 = 0.64, and 3 % over 7 years to all its digits.
    assert discount_factor(0.25, 2) == pytest.approx(0.64, rel=1e-14)
    assert discount_factor(0.03, 7) == pytest.approx(0.8130915113433536, rel=1e-9)


@steadily
@given(rates, st.floats(0, 40), st.floats(0, 40))
def test_waiting_twice_discounts_twice(rate, first, second):
    assert discount_factor(rate, first + second) == pytest.approx(discount_factor(rate, first) * discount_factor(rate, second), rel=1e-10)


@steadily
@given(st.lists(rates, min_size=1, max_size=4), st.floats(0, 40))
def test_discount_factors_of_many_rates_are_those_of_one_rate_each(many, years):
    np.testing.assert_allclose(discount_factor(many, years), [discount_factor(rate, years) for rate in many], rtol=1e-14)
    assert discount_factor(many[0], 0) == 1


# present_value


@pytest.mark.parametrize("row", rows("present_values.csv"), ids=case_ids(rows("present_values.csv")))
def test_present_values_agree_with_published_ones(row):
    rate, flows = float(row["rate"]), numbers(row["flows"])
    worth = present_value(flows, rate)
    if row["measure"] == "future":
        worth = worth / discount_factor(rate, len(flows) - 1)
    assert worth == printed(row["printed"], row["tolerance"])


def test_present_values_hold_all_their_digits():
    assert present_value([-15000, 1500, 2500, 3500, 4500, 6000], 0.05) == pytest.approx(122.894854950942692, rel=1e-9)
    assert present_value([-900, 300, 400, 400, 500, 600], 0.15) == pytest.approx(510.5162, abs=5e-5)


def test_a_present_value_by_hand():
    # 10 at once, 12 after a year at 20 %: 12 / 1.2 = 10; together 20. At half a year each, 10 + 12 / sqrt(1.44) = 20 at 44 %.
    assert present_value([10, 12], 0.20) == pytest.approx(20, rel=1e-14)
    assert present_value([10, 12], 0.44, periods_a_year=2) == pytest.approx(20, rel=1e-14)


@steadily
@given(st.lists(st.floats(-1e5, 1e5), min_size=1, max_size=6), rates)
def test_monthly_flows_that_come_once_a_year_are_worth_the_yearly_ones(flows, rate):
    monthly = np.zeros(12 * (len(flows) - 1) + 1)
    monthly[::12] = flows
    tolerance = 1e-9 * sum(abs(flow) for flow in flows) * max(1, (1 + rate) ** -5)
    assert present_value(monthly, rate, periods_a_year=12) == pytest.approx(present_value(flows, rate), abs=tolerance)


@steadily
@given(st.lists(st.floats(-1e5, 1e5), min_size=1, max_size=6), st.lists(rates, min_size=2, max_size=3))
def test_present_values_at_many_rates_are_those_at_one_rate_each(flows, many):
    np.testing.assert_allclose(present_value(flows, many), [present_value(flows, rate) for rate in many], rtol=1e-12, atol=1e-9)
    np.testing.assert_allclose(present_value([flows, flows], many[:2]), present_value(flows, many[:2]), rtol=1e-12, atol=1e-9)


def test_flows_at_no_discount_simply_add_up():
    assert present_value([1.5, 2.5, -3], 0) == 1.0


# annuity_factor


@pytest.mark.parametrize("row", rows("masters_renewable_power.csv"), ids=lambda row: row["years"])
def test_annuity_factors_agree_with_masters_table(row):
    for rate, factor in list(row.items())[1:]:
        assert annuity_factor(float(rate), int(row["years"])) == printed(factor)


def test_a_uniform_series_agrees_with_johnson():
    (row,) = rows("johnson_wind_energy.csv")
    worth = float(row["amount"]) * annuity_factor(float(row["rate"]), int(row["years"]))
    assert worth == printed(row["printed"])
    assert worth == pytest.approx(746.9443624327598, rel=1e-9)


def test_the_smallest_rates_keep_their_digits_as_kahan_asks():
    (row,) = rows("kahan_precision.csv")
    rate, seconds = float(row["yearly_rate"]) / float(row["seconds"]), int(row["seconds"])
    saved = float(row["payment"]) * annuity_factor(rate, seconds) / np.exp(-seconds * np.log1p(rate))
    assert saved == printed(row["printed"], "1e-4")
    plain = float(row["payment"]) * ((1 + rate) ** seconds - 1) / rate
    assert plain == printed(row["plain_formula"], "1e-3")


def test_an_annuity_factor_by_hand():
    # 1 / 1.1 + 1 / 1.21 = (1.1 + 1) / 1.21 = 2.1 / 1.21; and two published factors to all their digits.
    assert annuity_factor(0.10, 2) == pytest.approx(2.1 / 1.21, rel=1e-14)
    assert annuity_factor(0.03, 7) == pytest.approx(6.230282955221548, rel=1e-9)
    assert annuity_factor(0.03, 20) == pytest.approx(14.877474860455516, rel=1e-9)


@steadily
@given(rates, st.integers(0, 60))
def test_an_annuity_is_the_sum_of_its_discounted_payments(rate, periods):
    one_by_one = sum((1 + rate) ** -k for k in range(1, periods + 1))
    assert annuity_factor(rate, periods) == pytest.approx(one_by_one, rel=1e-10)


@steadily
@given(st.floats(1e-300, 1e-4), st.integers(1, 600))
def test_an_annuity_comes_close_to_its_count_as_the_rate_falls_to_nothing(rate, periods):
    # Two terms of the series bound it: n - n(n+1)/2 i <= a <= n.
    factor = annuity_factor(rate, periods)
    assert periods * (1 - (periods + 1) / 2 * rate) * (1 - 1e-15) <= factor <= periods * (1 + 1e-15)
    assert annuity_factor(0, periods) == periods


@steadily
@given(st.lists(rates, min_size=2, max_size=5, unique=True), st.integers(1, 60))
def test_annuity_factors_fall_as_the_rate_rises_and_many_equal_one_each(many, periods):
    ordered = annuity_factor(sorted(many), periods)
    assert np.all(np.diff(ordered) <= 1e-12 * ordered[:-1])
    np.testing.assert_allclose(ordered, [annuity_factor(rate, periods) for rate in sorted(many)], rtol=1e-14)


# growing_annuity_factor

# Worked out apart from this package from (1+e)/(d-e) (1 - ((1+e)/(1+d))^n) at d = 3 %, in the layout of NISTIR 85-3273 table A-3: not published figures.
GROWTH = np.array([-2, -1, 0, 1, 2, 3, 4, 5]) / 100
AT_10 = "7.6836 8.0946 8.5302 8.9919 9.4813 10.0000 10.5498 11.1327".split()
AT_20 = "12.3551 13.5418 14.8775 16.3827 18.0812 20.0000 22.1699 24.6260".split()


@pytest.mark.parametrize(("periods", "table"), [(10, AT_10), (20, AT_20)])
def test_growing_annuity_factors_agree_with_the_closed_form(periods, table):
    assert list(growing_annuity_factor(0.03, GROWTH, periods)) == [printed(figure) for figure in table]


def test_maintenance_that_grows_agrees_with_newnan():
    # The book's first payment, 100, is already at the price of year 1; here the first is 1.1 of today's price.
    row = rows("newnan_costs.csv")[0]
    worth = 100 / 1.10 * growing_annuity_factor(0.08, 0.10, 5)
    assert worth == printed(row["printed"], row["tolerance"])
    assert worth == pytest.approx(480.4302232741507, rel=1e-9)


def test_a_growing_annuity_by_hand():
    # First payment 1.5, second 2.25, at 25 %: 1.5 / 1.25 + 2.25 / 1.5625 = 1.2 + 1.44 = 2.64.
    assert growing_annuity_factor(0.25, 0.50, 2) == pytest.approx(2.64, rel=1e-14)
    # A saving of 1200 kWh at 0.05 that grows 8 % a year, at 12 % over 20 years.
    assert 60 * growing_annuity_factor(0.12, 0.08, 20) == pytest.approx(837.2381141622169, rel=1e-9)


@steadily
@given(st.floats(-0.3, 0.5), st.floats(-0.3, 0.5), st.integers(1, 40))
def test_a_growing_annuity_is_the_sum_of_its_payments(rate, growth, periods):
    one_by_one = sum(((1 + growth) / (1 + rate)) ** k for k in range(1, periods + 1))
    assert growing_annuity_factor(rate, growth, periods) == pytest.approx(one_by_one, rel=1e-10)


@steadily
@given(st.floats(-0.3, 0.5), st.integers(1, 40))
def test_growth_at_the_discount_rate_leaves_the_count_and_no_growth_leaves_the_annuity(rate, periods):
    assert growing_annuity_factor(rate, rate, periods) == periods
    assert growing_annuity_factor(rate, np.nextafter(rate, 1), periods) == pytest.approx(periods, rel=1e-13)
    assert growing_annuity_factor(rate, 0, periods) == pytest.approx(annuity_factor(rate, periods), rel=1e-12)


# real_rate, nominal_rate, rate_per_period


@pytest.mark.parametrize("row", rows("nist_e3_discounting.csv"), ids=lambda row: row["looked_for"])
def test_real_and_nominal_rates_agree_with_the_nist_engine(row):
    real, inflation, nominal = (float(row[name]) for name in ("real", "inflation", "nominal"))
    assert nominal_rate(real, inflation) == pytest.approx(nominal, abs=1e-12)
    assert real_rate(nominal, inflation) == pytest.approx(real, abs=1e-12)
    assert real_rate(nominal, real) == pytest.approx(inflation, abs=1e-15)


PARK = {
    "nominal": lambda first, second, years: 100 * nominal_rate(first, second),
    "two rises": lambda first, second, years: 100 * nominal_rate(first, second),
    "real": lambda first, second, years: 100 * real_rate(first, second),
    "rise": lambda first, second, years: 100 * rate_per_period(second / first - 1, years),
    "deflated": lambda first, second, years: first * discount_factor(second, years),
    "years to grow": lambda first, second, years: 1 / (np.log(1 / discount_factor(second, 1)) / np.log(first)),
}


@pytest.mark.parametrize("row", rows("park_inflation.csv"), ids=case_ids(rows("park_inflation.csv")))
def test_inflation_agrees_with_park(row):
    years = int(row["years"] or 0)
    assert PARK[row["kind"]](float(row["first"]), float(row["second"]), years) == printed(row["printed"], row["tolerance"])


def test_rates_by_hand():
    # 1.2 x 1.5 = 1.8; and a rate of 21 % a year is 10 % in each half of it.
    assert nominal_rate(0.2, 0.5) == pytest.approx(0.8, rel=1e-14)
    assert real_rate(0.8, 0.5) == pytest.approx(0.2, rel=1e-14)
    assert rate_per_period(0.21, 2) == pytest.approx(0.10, rel=1e-14)


@steadily
@given(rates, st.lists(rates, min_size=1, max_size=3))
def test_real_and_nominal_are_each_others_inverse(real, inflation):
    np.testing.assert_allclose(real_rate(nominal_rate(real, inflation), inflation), real, rtol=1e-12, atol=1e-14)
    np.testing.assert_allclose(nominal_rate(real, inflation), [nominal_rate(real, one) for one in inflation], rtol=1e-14)
    assert nominal_rate(real, inflation[0]) == nominal_rate(inflation[0], real)
    assert real_rate(real, 0) == nominal_rate(real, 0) == real


@steadily
@given(rates, st.integers(1, 365))
def test_the_rate_of_a_period_compounds_to_the_rate_of_the_year(rate, periods):
    assert np.expm1(periods * np.log1p(rate_per_period(rate, periods))) == pytest.approx(rate, rel=1e-12, abs=1e-300)
    assert rate_per_period([rate, 0], periods)[1] == 0
    assert rate_per_period(rate, 1) == pytest.approx(rate, rel=1e-13)
