"""Value as the years go by."""

import numpy as np


def value_after(value, decline_rate, years):
    """Value after some years of losing the same share each year, value (1 - rate)^years.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start. [money]
    decline_rate : array_like, shape (...)
        Share lost a year; below 0 where the value rises. [1/year]
    years : array_like, shape (...)
        May be a fraction. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]

    References
    ----------
    Storchmann, "On the Depreciation of Automobiles", *Transportation* 31 (2004): a constant share a year is a good approximation (abstract read).
    """
    return np.asarray(value, dtype=float)[()] * (1 - np.asarray(decline_rate, dtype=float)) ** np.asarray(years, dtype=float)[()]


def held_then_declining(value, held_years, decline_rate, years):
    """Value that stands still for some years and then loses a share each year.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start and until `held_years`. [money]
    held_years : array_like, shape (...)
        How long it stands still. [year]
    decline_rate : array_like, shape (...)
        Share lost a year after that. [1/year]
    years : array_like, shape (...)
        When it is asked for. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]
    """
    past = np.maximum(np.asarray(years, dtype=float) - np.asarray(held_years, dtype=float), 0)
    return value_after(value, decline_rate, past)
