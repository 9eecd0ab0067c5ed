"""The cost of keeping a car to the end of every period: what goes in, what runs, what comes back at the end."""

import numpy as np

from buildecon.ownership.terms import WEAR_KM, Terms, column, end_by_exit, renewals_by, value_by_exit
from buildecon.quantities.timevalue import annuity_factor, discount_factor, level_payment, loan_balance, rate_per_period

__all__ = ["Terms", "cost_if_kept", "level_cost", "running_costs", "total_if_kept"]


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
    costs = {name: column(amount) / periods_a_year * np.ones(periods) for name, amount in terms.yearly.items()}
    growth = (1 + np.asarray(terms.energy_growth, dtype=float)[..., None]) ** years
    energy = np.asarray(terms.energy, dtype=float)[..., None] * growth / periods_a_year
    costs["energy"] = energy.sum(axis=-2) if energy.ndim > 1 else energy
    months = np.arange(periods + 1) * 12 / periods_a_year
    if np.any(np.asarray(terms.loan) > 0):
        payment = level_payment(column(terms.loan), column(terms.loan_rate) / 12, column(terms.loan_months))
        paying = np.diff(np.minimum(months, column(terms.loan_months)), axis=-1)
        costs["loan payments"] = paying * payment * discount_factor(inflation_rate, years)
    for cause, (given, of_each_period) in CAUSES.items():
        if np.any(np.asarray(getattr(terms, given)) != 0):
            costs[cause] = costs.get(cause, 0.0) + of_each_period(terms, months)
    return costs


def total_if_kept(terms, end_value, periods, discount_rate=0.0, inflation_rate=0.0, periods_a_year=12):
    """Present value of having each option to the end of every period.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    end_value : array_like, shape (..., periods + 1), or None
        What would come back by the end of each period, selling cost taken off; a loan is cleared from it here.
        None for the value of the terms less their selling share. [money]
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
    months = np.arange(periods + 1) * 12 / periods_a_year
    if end_value is None:
        end_value = end_by_exit(terms, months / 12)
    end = np.asarray(end_value, dtype=float)
    if "loan payments" in running:
        owed = loan_balance(column(terms.loan), column(terms.loan_rate) / 12, column(terms.loan_months), months)
        end = end - owed * discount_factor(inflation_rate, months / 12)
    money_in = np.asarray(terms.money_in, dtype=float) - np.asarray(terms.loan, dtype=float)
    money_in = money_in + np.where(np.asarray(terms.build_months) == 0, terms.build_cost, 0.0)
    return cost_if_kept(money_in, sum(running.values()), end, discount_rate, periods_a_year)


def _building(terms, months):
    """Months of building in each period, a last one in part."""
    return np.diff(np.minimum(months, column(terms.build_months)), axis=-1)


def _build(terms, months):
    return _building(terms, months) * column(terms.build_cost) / np.where(column(terms.build_months) > 0, column(terms.build_months), 1)


def _insurance(terms, months):
    value, starts = value_by_exit(terms, months / 12), months[:-1] // 12 * 12
    return column(terms.insurance_share) * value[..., np.searchsorted(months, starts)] * np.diff(months) / 12


def _upkeep(terms, months):
    rise = column(terms.upkeep_by_year) + column(terms.upkeep_by_km) * column(terms.km_a_year) / WEAR_KM
    return column(terms.upkeep) * (1 + rise * months[1:] / 12) * np.diff(months) / 12


def _renewals(terms, months):
    driven = column(terms.km_a_year)[..., None] * months / 12
    count = renewals_by(column(terms.first_km), column(terms.life_km), driven)
    count[..., 0] = 0  # what is due at the start is paid in the first period
    return (column(terms.renewal_cost) * np.diff(count, axis=-1)).sum(axis=-2)


# What a period costs by cause, from the terms and the months at which periods begin and end; the cause is left out where the field named is 0.
CAUSES = {
    "build": ("build_cost", _build),
    "second car while building": ("downtime", lambda terms, months: _building(terms, months) * column(terms.downtime)),
    "insurance": ("insurance_share", _insurance),
    "upkeep": ("upkeep", _upkeep),
    "renewals": ("renewal_cost", _renewals),
    "enjoyment": ("enjoyment", lambda terms, months: -column(terms.enjoyment) * np.diff(months) / 12),
}
