"""Loans: published payments and tables, numpy-financial as a foreign reference, and what must hold for any loan."""

import hypothesis.strategies as st
import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given, settings
from reference.printed import case_ids, printed, rows

from buildecon.quantities.timevalue import annuity_factor, discount_factor, level_payment, loan_balance, present_value, rate_per_period

steadily = settings(deadline=None, derandomize=True)
monthly_rates = st.one_of(st.just(0.0), st.floats(1e-12, 0.05))
months = st.integers(1, 480)


def first_interest(rate, periods, amount):
    return rate * amount


def first_principal(rate, periods, amount):
    return amount - loan_balance(amount, rate, periods, 1)


# The same quantities under numpy-financial's names; there money paid out is negative.
AS_NUMPY_FINANCIAL = {
    "pmt": lambda rate, n, amount: -level_payment(amount, rate, n),
    "ppmt": lambda rate, n, amount: -first_principal(rate, n, amount),
    "ipmt": lambda rate, n, amount: -(level_payment(amount, rate, n) - first_principal(rate, n, amount)),
    "pv": lambda rate, n, amount: -amount * annuity_factor(rate, n),
    "fv": lambda rate, n, amount: amount * (1 + annuity_factor(rate, n)) / discount_factor(rate, n),
    "fv of payments": lambda rate, n, amount: amount * annuity_factor(rate, n) / discount_factor(rate, n),
}


# level_payment


@pytest.mark.parametrize("row", rows("numpy_financial_docs.csv"), ids=case_ids(rows("numpy_financial_docs.csv")))
def test_loans_agree_with_the_figures_printed_by_numpy_financial(row):
    rate = float(row["yearly_rate"]) / int(row["periods_a_year"])
    found = AS_NUMPY_FINANCIAL[row["function"]](rate, int(row["periods"]), float(row["amount"]))
    assert found == printed(row["printed"], row["tolerance"])


@pytest.mark.parametrize("row", rows("loan_payments.csv"), ids=case_ids(rows("loan_payments.csv")))
def test_payments_agree_with_published_ones(row):
    rate, n, amount = float(row["yearly_rate"]) / 12, int(row["months"]), float(row["amount"])
    found = level_payment(amount, rate, n) if row["measure"] == "payment" else amount * annuity_factor(rate, n)
    assert found == printed(row["printed"], row["tolerance"])


def test_payments_hold_all_their_digits():
    assert level_payment(2500, 0.0824 / 12, 12) == pytest.approx(217.74859, abs=5e-6)
    assert level_payment(200000, 0.075 / 12, 180) == pytest.approx(1854.0247200054619, rel=1e-9)
    assert level_payment(15000, 0.08 / 12, 60) == pytest.approx(304.1459143262052, rel=1e-9)
    assert level_payment(55000, 0.10 / 12, 60) - 55000 * 0.10 / 12 == pytest.approx(710.2541257864, rel=1e-9)
    assert level_payment(5000, 0.1132 / 12, 48) == pytest.approx(130.00599638, rel=1e-9)
    # A car loan of 24 500 repaid with 514.55 over 60 months: 0.79169728 % a month, 9.92515901 % a year.
    assert level_payment(24500, 0.0079169728, 60) == pytest.approx(514.55, rel=1e-8)
    assert rate_per_period(0.0992515901, 12) == pytest.approx(0.0079169728, rel=1e-7)
    assert 12 * rate_per_period(0.0992515901, 12) == pytest.approx(0.0950036732, rel=1e-7)


def test_a_level_payment_by_hand():
    # 210 over two years at 10 %: the factor is 2.1 / 1.21, so 210 / (2.1 / 1.21) = 121.
    assert level_payment(210, 0.10, 2) == pytest.approx(121, rel=1e-14)
    # 12 000 over 36 months at 9.9 % a year: 386.64 a month, 1919.15 in interest.
    assert round(level_payment(12000, 0.099 / 12, 36), 2) == 386.64
    assert round(36 * level_payment(12000, 0.099 / 12, 36) - 12000, 2) == 1919.15


@steadily
@given(st.floats(1, 1e6), monthly_rates, months)
def test_a_level_payment_clears_the_loan(principal, rate, n):
    owed = principal
    payment = level_payment(principal, rate, n)
    for _ in range(n):
        owed = owed * (1 + rate) - payment
    assert owed == pytest.approx(0, abs=1e-10 * principal * (1 + rate) ** n * n)


@steadily
@given(st.floats(1, 1e6), st.floats(1e-12, 0.05), months)
def test_a_payment_grows_with_the_rate_from_that_of_a_loan_without_interest(principal, rate, n):
    assert level_payment(principal, 0, n) == principal / n
    assert level_payment(principal, rate, n) >= principal / n * (1 - 1e-14)
    assert level_payment(principal, 1e-15, n) == pytest.approx(principal / n, rel=1e-12)
    assert level_payment(principal, rate, n) < level_payment(principal, 1.01 * rate, n) * (1 + 1e-14)


def test_payments_of_many_loans_are_those_of_one_each():
    amounts, yearly = np.array([1000.0, 2500.0, 0.0]), np.array([[0.0], [0.06]])
    together = level_payment(amounts, yearly / 12, [12, 24, 36])
    for row, rate in enumerate(yearly[:, 0]):
        for column, n in enumerate((12, 24, 36)):
            assert together[row, column] == level_payment(amounts[column], rate / 12, n)


# loan_balance


def test_a_loan_goes_down_as_in_the_table_of_numpy_financial():
    table = rows("numpy_financial_loan_table.csv")
    balance = loan_balance(2500, 0.0824 / 12, 12, np.arange(13))
    principal = -np.diff(balance)
    interest = level_payment(2500, 0.0824 / 12, 12) - principal
    for month, row in enumerate(table):
        assert principal[month] == printed(row["principal"])
        assert interest[month] == printed(row["interest"])
        assert balance[month + 1] == printed(row["balance"])
    assert interest.sum() == printed("112.98")


def test_a_loan_goes_down_as_in_the_table_of_cashflows():
    balance = loan_balance(100, 0.10, 5, np.arange(6))
    for k, row in enumerate(rows("cashflows_docs.csv")):
        assert level_payment(100, 0.10, 5) == printed(row["payment"])
        assert 0.10 * balance[k] == printed(row["interest"])
        assert balance[k] - balance[k + 1] == printed(row["principal"])
        assert balance[k + 1] == printed(row["balance"])


def test_a_balance_by_hand():
    # 210 at 10 % paid with 121: 231 - 121 = 110 is left, 121 - 121 = 0 after the second; 600 free of interest falls evenly.
    np.testing.assert_allclose(loan_balance(210, 0.10, 2, [0, 1, 2, 3]), [210, 110, 0, 0], rtol=1e-13, atol=1e-12)
    np.testing.assert_allclose(loan_balance(600, 0, 3, [0, 1, 2, 3, 4]), [600, 400, 200, 0, 0], rtol=1e-14)


@steadily
@given(st.floats(1, 1e6), monthly_rates, months)
def test_a_balance_starts_at_the_loan_falls_and_stays_at_nothing(principal, rate, n):
    balance = loan_balance(principal, rate, n, np.arange(n + 3))
    assert balance[0] == pytest.approx(principal, rel=1e-12)
    assert np.all(np.diff(balance[: n + 1]) < 0)
    assert list(balance[n:]) == [0, 0, 0]


@steadily
@given(st.floats(1, 1e6), monthly_rates, months, st.data())
def test_what_is_owed_is_the_worth_of_the_payments_to_come(principal, rate, n, data):
    paid = data.draw(st.integers(0, n))
    to_come = [0, *[level_payment(principal, rate, n)] * (n - paid)]
    assert loan_balance(principal, rate, n, paid) == pytest.approx(present_value(to_come, rate), rel=1e-9, abs=1e-9)


# numpy-financial as a foreign reference; at a rate of 0 it divides 0 by 0 on the way, which is silenced there and not here.

GRID = [(rate, n) for rate in (0.0, 1e-6, 0.0025, 0.01, 0.08) for n in (1, 7, 36, 360)]


@pytest.mark.parametrize(("rate", "n"), GRID)
def test_payments_and_worths_agree_with_numpy_financial(rate, n):
    with np.errstate(divide="ignore", invalid="ignore"):
        payment, worth = npf.pmt(rate, n, -9500.0), npf.pv(rate, n, -125.0)
    # Its plain formula loses digits at a tiny rate: about 1e-16 / rate.
    lost = 1e-11 if rate == 0 or rate > 1e-4 else 1e-9
    assert level_payment(9500.0, rate, n) == pytest.approx(payment, rel=lost)
    assert 125.0 * annuity_factor(rate, n) == pytest.approx(worth, rel=lost)


# Its split of a payment is a difference of terms that grow like (1 + rate)^n / rate: beyond these the foreign digits are gone, not ours.
@pytest.mark.parametrize(("rate", "n"), [(rate, n) for rate, n in GRID if rate != 1e-6 and (1 + rate) ** n < 100])
def test_balances_agree_with_the_principal_numpy_financial_takes_off(rate, n):
    with np.errstate(divide="ignore", invalid="ignore"):
        principal = npf.ppmt(rate, np.arange(1, n + 1), n, -9500.0)
        interest = npf.ipmt(rate, np.arange(1, n + 1), n, -9500.0)
    balance = loan_balance(9500.0, rate, n, np.arange(n + 1))
    np.testing.assert_allclose(balance[1:], 9500.0 - np.cumsum(principal), rtol=1e-9, atol=1e-6)
    np.testing.assert_allclose(rate * balance[:-1], interest, rtol=1e-9, atol=1e-8)


@pytest.mark.parametrize("rate", [-0.2, 0.0, 0.001, 0.07, 1.5])
def test_present_values_agree_with_numpy_financial(rate):
    flows = np.random.default_rng(20261125).normal(0, 1e4, (5, 25))
    for one in flows:
        assert present_value(one, rate) == pytest.approx(npf.npv(rate, one), rel=1e-10, abs=1e-8)
    np.testing.assert_allclose(present_value(flows, rate), [npf.npv(rate, one) for one in flows], rtol=1e-10, atol=1e-8)
