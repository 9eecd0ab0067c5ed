"""The cost of keeping a car to the end of every period: what goes in, what runs, what comes back at the end."""

from dataclasses import dataclass, field

import numpy as np

from buildecon.quantities.timevalue import annuity_factor, discount_factor, level_payment, loan_balance, rate_per_period

NONE = 0.0


@dataclass(frozen=True)
class Terms:
    """What options cost to have, as arrays; leading axes are options and, where there are any, scenarios.

    Parameters
    ----------
    money_in : array_like, shape (...)
        All that is paid at the start: car, tax, fees, kit. [money]
    yearly : dict of str to array_like, shape (...)
        Costs by name that come every year in today's money. [money/year]
    energy : array_like, shape (..., sources)
        Energy at the prices of the start. [money/year]
    energy_growth : array_like, shape (..., sources)
        Real growth of each price. [1/year]
    loan, loan_rate, loan_months : array_like, shape (...)
        Amount borrowed, yearly rate as the lender quotes it (a twelfth a month), number of payments. [money, 1/year, month]
    """

    money_in: np.ndarray
    yearly: dict = field(default_factory=dict)
    energy: np.ndarray = NONE
    energy_growth: np.ndarray = NONE
    loan: np.ndarray = NONE
    loan_rate: np.ndarray = NONE
    loan_months: np.ndarray = 1.0


def cost_if_kept(money_in, running, end_value, discount_rate=0.0, periods_a_year=12):
    """Present value of having a car from the start to the end of each period.

    Parameters
    ----------
    money_in : array_like, shape (...)
        Paid at the start. [money]
    running : array_like, shape (..., n)
        Paid at the end of each period. [money]
    end_value : array_like, shape (..., n + 1)
        What comes back if the car goes at the end of each period; the first is the start. [money]
    discount_rate : array_like, shape (...)
        Effective. [1/year]
    periods_a_year : int, optional
        12 for months, 1 to reproduce yearly tables. [-]

    Returns
    -------
    ndarray, shape (..., n + 1)
        Cost, positive; `cost[..., k]` is for leaving at the end of period k. [money]

    Notes
    -----
    cost(n) = P + sum over k of c_k (1 + i)^-k - S_n (1 + i)^-n, with k counted in periods.

    References
    ----------
    Blank and Tarquin, *Engineering Economy*, chapter 11: capital recovery and operating cost by years kept.
    """
    running, end_value = np.asarray(running, dtype=float), np.asarray(end_value, dtype=float)
    years = np.arange(running.shape[-1] + 1) / periods_a_year
    factors = discount_factor(np.asarray(discount_rate, dtype=float)[..., None], years)
    paid = np.cumsum(running * factors[..., 1:], axis=-1)
    paid = np.concatenate([np.zeros((*paid.shape[:-1], 1)), paid], axis=-1)
    return np.asarray(money_in, dtype=float)[..., None] + paid - end_value * factors


def level_cost(total, discount_rate=0.0, periods_a_year=12):
    """Equal payment at the end of each period that is worth a cost if kept.

    Parameters
    ----------
    total : array_like, shape (..., n + 1)
        From `cost_if_kept`. [money]
    discount_rate : array_like, shape (...)
        The rate it was made with. [1/year]
    periods_a_year : int, optional
        The periods it was made with. [-]

    Returns
    -------
    ndarray, shape (..., n + 1)
        Cost a period: the equivalent annual cost where a period is a year; NaN at the start. [money]
    """
    total = np.asarray(total, dtype=float)
    rate = rate_per_period(np.asarray(discount_rate, dtype=float)[..., None], periods_a_year)
    factors = np.asarray(annuity_factor(rate, np.arange(total.shape[-1])), dtype=float)
    return total / np.where(factors > 0, factors, np.nan)


def running_costs(terms, periods, inflation_rate=0.0, periods_a_year=12):
    """Costs of each period by what they are for, in today's money.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    periods : int
        How many. [-]
    inflation_rate : float, optional
        Deflates the loan payments, which are fixed in the money of their day. [1/year]
    periods_a_year : int, optional
        12 for months. [-]

    Returns
    -------
    dict of str to ndarray, shape (..., periods)
        Paid at the end of each period. [money]
    """
    years = np.arange(1, periods + 1) / periods_a_year
    costs = {name: _column(amount) / periods_a_year * np.ones(periods) for name, amount in terms.yearly.items()}
    growth = (1 + np.asarray(terms.energy_growth, dtype=float)[..., None]) ** years
    energy = np.asarray(terms.energy, dtype=float)[..., None] * growth / periods_a_year
    costs["energy"] = energy.sum(axis=-2) if energy.ndim > 1 else energy
    if np.any(np.asarray(terms.loan) > 0):
        months = np.minimum(np.arange(periods + 1) * 12 / periods_a_year, _column(terms.loan_months))
        payment = level_payment(_column(terms.loan), _column(terms.loan_rate) / 12, _column(terms.loan_months))
        costs["loan payments"] = np.diff(months, axis=-1) * payment * discount_factor(inflation_rate, years)
    return costs


def total_if_kept(terms, end_value, periods, discount_rate=0.0, inflation_rate=0.0, periods_a_year=12):
    """Present value of having each option to the end of every period.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    end_value : array_like, shape (..., periods + 1)
        What would come back by the end of each period, selling cost taken off; a loan is cleared from it here. [money]
    periods : int
        How many. [-]
    discount_rate, inflation_rate : float, optional
        Both effective; money is today's. [1/year]
    periods_a_year : int, optional
        12 for months. [-]

    Returns
    -------
    ndarray, shape (..., periods + 1)
        Cost, positive. [money]
    """
    running = running_costs(terms, periods, inflation_rate, periods_a_year)
    end = np.asarray(end_value, dtype=float)
    if "loan payments" in running:
        months = np.arange(periods + 1) * 12 / periods_a_year
        owed = loan_balance(_column(terms.loan), _column(terms.loan_rate) / 12, _column(terms.loan_months), months)
        end = end - owed * discount_factor(inflation_rate, months / 12)
    money_in = np.asarray(terms.money_in, dtype=float) - np.asarray(terms.loan, dtype=float)
    return cost_if_kept(money_in, sum(running.values()), end, discount_rate, periods_a_year)


def _column(amount):
    """An array with a last axis of one, to run along the periods."""
    return np.asarray(amount, dtype=float)[..., None]
