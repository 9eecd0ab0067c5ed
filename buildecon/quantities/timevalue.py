"""Money over time: discounting, level payments, loans, inflation."""

import numpy as np


def discount_factor(rate, years):
    """Present worth of one unit paid after some years, (1 + rate)^-years.

    Parameters
    ----------
    rate : array_like, shape (...)
        Effective, above -1. [1/year]
    years : array_like, shape (...)
        May be a fraction. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Factor. [-]
    """
    return (1 + np.asarray(rate, dtype=float)) ** -np.asarray(years, dtype=float)[()]


def present_value(flows, rate, periods_a_year=1):
    """Present value of flows; the first is now, each next one a period later.

    Parameters
    ----------
    flows : array_like, shape (..., n)
        One flow a period. [money]
    rate : array_like, shape (...)
        Effective. [1/year]
    periods_a_year : int, optional
        12 for monthly flows. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Worth now. [money]

    References
    ----------
    Blank and Tarquin, *Engineering Economy*, chapter 2 (from memory).
    """
    flows = np.asarray(flows, dtype=float)
    years = np.arange(flows.shape[-1]) / periods_a_year
    return np.sum(flows * discount_factor(np.asarray(rate, dtype=float)[..., None], years), axis=-1)[()]


def annuity_factor(rate, periods):
    """Present worth of one unit at the end of every period, (1 - (1 + rate)^-n) / rate, n where the rate is 0.

    Parameters
    ----------
    rate : array_like, shape (...)
        A period. [-]
    periods : array_like, shape (...)
        Number of payments. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Factor. [-]

    Notes
    -----
    expm1 and log1p keep tiny rates exact, where the plain form loses all its digits.
    """
    rate, periods = np.broadcast_arrays(np.asarray(rate, dtype=float), np.asarray(periods, dtype=float))
    growth = np.where(rate == 0, 1.0, rate)
    return np.where(rate == 0, periods, -np.expm1(-periods * np.log1p(growth)) / growth)[()]


def growing_annuity_factor(rate, growth, periods):
    """Present worth of payments whose first, a period from now, is 1 + growth and which then grow at that rate.

    Parameters
    ----------
    rate, growth : array_like, shape (...)
        Discount and growth, a period. [-]
    periods : array_like, shape (...)
        Number of payments. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Factor on today's price; n where growth equals the rate. [-]

    References
    ----------
    NISTIR 85-3273, table A-3: modified uniform present value.
    """
    net = (1 + np.asarray(rate, dtype=float)) / (1 + np.asarray(growth, dtype=float)) - 1
    return annuity_factor(net, periods)


def level_payment(principal, rate, periods):
    """Payment at the end of each period that clears a loan.

    Parameters
    ----------
    principal : array_like, shape (...)
        Amount borrowed. [money]
    rate : array_like, shape (...)
        Interest a period; 0 is allowed. [-]
    periods : array_like, shape (...)
        Number of payments. [-]

    Returns
    -------
    ndarray or float, shape (...)
        The payment. [money]

    Examples
    --------
    >>> print(f"{level_payment(12000, 0.099 / 12, 36):.2f}")
    386.64
    """
    return np.asarray(principal, dtype=float)[()] / annuity_factor(rate, periods)


def loan_balance(principal, rate, periods, paid):
    """What is still owed after some payments; 0 once all are paid.

    Parameters
    ----------
    principal : array_like, shape (...)
        Amount borrowed. [money]
    rate : array_like, shape (...)
        Interest a period. [-]
    periods : array_like, shape (...)
        Number of payments. [-]
    paid : array_like, shape (...)
        Payments made so far. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Principal left. [money]
    """
    left = np.maximum(np.asarray(periods, dtype=float) - np.asarray(paid, dtype=float), 0)
    return level_payment(principal, rate, periods) * annuity_factor(rate, left)


def real_rate(nominal, inflation):
    """Rate in today's money, (1 + nominal) / (1 + inflation) - 1.

    Parameters
    ----------
    nominal, inflation : array_like, shape (...)
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        Effective. [1/year]
    """
    nominal, inflation = np.asarray(nominal, dtype=float)[()], np.asarray(inflation, dtype=float)[()]
    return (nominal - inflation) / (1 + inflation)


def nominal_rate(real, inflation):
    """Rate in the money of the day, (1 + real)(1 + inflation) - 1.

    Parameters
    ----------
    real, inflation : array_like, shape (...)
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        Effective. [1/year]
    """
    real, inflation = np.asarray(real, dtype=float)[()], np.asarray(inflation, dtype=float)[()]
    return real + inflation + real * inflation


def rate_per_period(rate, periods_a_year):
    """Rate a period of an effective yearly rate, (1 + rate)^(1/periods) - 1.

    Parameters
    ----------
    rate : array_like, shape (...)
        Effective. [1/year]
    periods_a_year : int
        12 for months. [-]

    Returns
    -------
    ndarray or float, shape (...)
        A period. [-]
    """
    return np.expm1(np.log1p(np.asarray(rate, dtype=float)) / periods_a_year)[()]
