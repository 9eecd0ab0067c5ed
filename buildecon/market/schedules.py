"""Depreciation as it is booked: what each year takes of a cost, by the schedules of accounting and tax."""

import numpy as np

from buildecon.quantities.bounds import within
from buildecon.quantities.timevalue import discount_factor, level_payment

SMALLEST_LIFE = 1e-9  # what others are divided by
# What a declining-balance year takes, from: what the rate takes, the straight share, what is above salvage, whether it is the last year.
ENDINGS = {
    "unfloored": lambda declining, straight, rest, last: declining,
    "floored": lambda declining, straight, rest, last: np.minimum(declining, rest),
    "landed": lambda declining, straight, rest, last: rest if last else np.minimum(declining, rest),
    "switched": lambda declining, straight, rest, last: np.minimum(np.maximum(declining, straight), rest),
    "straight": lambda declining, straight, rest, last: straight,
}


def straight_line(cost, salvage, life):
    """The same amount every year.

    Parameters
    ----------
    cost, salvage : array_like, shape (...)
        What it cost, and what is left in the end. [money]
    life : int
        Years. [year]

    Returns
    -------
    ndarray, shape (..., life)
        Depreciation of each year, (cost - salvage) / life. [money]
    """
    cost, salvage = _cost(cost, salvage, life)
    return (cost - salvage)[..., None] / life * np.ones(life)


def sum_of_years_digits(cost, salvage, life):
    """Amounts that fall by the same step every year, the last being one step.

    Parameters
    ----------
    cost, salvage : array_like, shape (...)
        What it cost, and what is left in the end. [money]
    life : int
        Years. [year]

    Returns
    -------
    ndarray, shape (..., life)
        Depreciation of each year k, (cost - salvage) (life - k + 1) / (1 + 2 + ... + life). [money]
    """
    cost, salvage = _cost(cost, salvage, life)
    return (cost - salvage)[..., None] * np.arange(life, 0, -1) / (life * (life + 1) / 2)


def sinking_fund(cost, salvage, life, rate):
    """Amounts that grow as equal deposits do which make up the loss with their interest.

    Parameters
    ----------
    cost, salvage : array_like, shape (...)
        What it cost, and what is left in the end. [money]
    life : int
        Years. [year]
    rate : float
        Interest of the fund, at least 0; at 0 it is the straight line. [1/year]

    Returns
    -------
    ndarray, shape (..., life)
        Depreciation of each year k, (cost - salvage) rate (1 + rate)^(k - 1) / ((1 + rate)^life - 1). [money]
    """
    cost, salvage = _cost(cost, salvage, life)
    rate = within("rate", rate, 0)
    return level_payment(cost - salvage, rate, life)[..., None] * discount_factor(rate, np.arange(life, 0, -1))


def declining_balance(cost, salvage, life, factor=2.0, ending="floored", first_share=1.0):
    """Amounts that are the same share of what is left, factor / life, every year.

    Parameters
    ----------
    cost, salvage : array_like, shape (...)
        What it cost, and what is left in the end. [money]
    life : int
        Years. [year]
    factor : float, optional
        2 for double declining, 1.5 for 150 %; at most `life`. [-]
    ending : {"floored", "landed", "unfloored", "switched", "straight"} or int, optional
        Stops at salvage; the last year takes the rest; salvage is not looked at; each year the straight line over what is left of the life
        where that is more; the straight line always; or from the year of that number on, counted from 1. [-]
    first_share : float, optional
        Share of a year in use in the first one; below 1 the schedule is a year longer. [-]

    Returns
    -------
    ndarray, shape (..., life) or (..., life + 1)
        Depreciation of each year. [money]

    Notes
    -----
    A year in which it is used in part takes that part. A `first_share` of 0.5, no salvage and "switched" is the half-year convention
    of IRS Publication 946, whose Table A-1 rounds each entry by hand so that every column adds up to 100.

    Examples
    --------
    >>> print(declining_balance(100, 0, 5, 2, "switched", first_share=0.5))
    [20.   32.   19.2  11.52 11.52  5.76]
    """
    cost, salvage = _cost(cost, salvage, life)
    first, rate = _first_share(first_share), within("factor", factor, 0, life) / life
    years = life if first == 1 else life + 1
    endings = _endings(ending, years)
    book, taken = cost, []
    for k in range(years):
        left = life - k + (1 - first if k else 0)  # of the life, at the start of that year
        used = min(1.0, left) if k else first
        rest = np.maximum(book - salvage, 0)  # rounding may leave it a hair below
        taken.append(endings[k](book * rate * used, rest * used / left, rest, k == years - 1))
        book = book - taken[-1]
    return np.stack(taken, axis=-1)


def part_year(depreciation, first_share):
    """A schedule whose years begin in the course of a calendar year.

    Parameters
    ----------
    depreciation : array_like, shape (..., n)
        Of each year of use; not for declining balance, which has a `first_share` of its own. [money]
    first_share : float
        Share of the first calendar year in use; above 0. [-]

    Returns
    -------
    ndarray, shape (..., n) or (..., n + 1)
        Of each calendar year; one more unless the share is 1. [money]

    Examples
    --------
    >>> print(part_year(straight_line(100, 0, 5), 0.5))
    [10. 20. 20. 20. 20. 10.]
    """
    amounts, first = within("depreciation", depreciation), _first_share(first_share)
    if first == 1:
        return amounts
    none = np.zeros((*amounts.shape[:-1], 1))
    return first * np.concatenate([amounts, none], axis=-1) + (1 - first) * np.concatenate([none, amounts], axis=-1)


def units_of_activity(cost, salvage, life, activity):
    """The same amount for every unit of use, until the life is used up.

    Parameters
    ----------
    cost, salvage : array_like, shape (...)
        What it cost, and what is left in the end. [money]
    life : array_like, shape (...)
        Units it lasts: a distance, or hours. [km, hour]
    activity : array_like, shape (..., n)
        Units used in each year. [km, hour]

    Returns
    -------
    ndarray, shape (..., n)
        Depreciation of each year; nothing once the life is used up. [money]
    """
    cost, salvage = _cost(cost, salvage)
    life = np.asarray(within("life", life, SMALLEST_LIFE))[..., None]
    used = np.minimum(np.cumsum(within("activity", activity, 0), axis=-1), life)
    return (cost - salvage)[..., None] / life * np.diff(used, axis=-1, prepend=0)


def book_value(cost, depreciation):
    """What is left of a cost at the end of each year.

    Parameters
    ----------
    cost : array_like, shape (...)
        What it cost. [money]
    depreciation : array_like, shape (..., n)
        Of each year. [money]

    Returns
    -------
    ndarray, shape (..., n)
        Book value. [money]
    """
    return np.asarray(within("cost", cost, 0))[..., None] - np.cumsum(within("depreciation", depreciation), axis=-1)


def _cost(cost, salvage, life=1):
    """Cost and salvage as arrays of one shape; salvage is at most the cost and the life whole years."""
    cost, salvage = np.broadcast_arrays(within("cost", cost, 0), within("salvage", salvage, 0))
    if not np.all(salvage <= cost):
        raise ValueError(f"salvage must be at most the cost, got {salvage[salvage > cost].flat[0]:,}.")
    if isinstance(life, bool) or not isinstance(life, (int, np.integer)) or not life >= 1:
        raise ValueError(f"life must be whole years, at least 1, got {life}.")
    return cost, salvage


def _first_share(share):
    if not within("first_share", share, 0, 1) > 0:
        raise ValueError(f"first_share must be above 0, got {share}.")
    return float(share)


def _endings(ending, years):
    """The function of each year."""
    if isinstance(ending, str):
        if ending not in ENDINGS:
            raise ValueError(f"ending must be one of {', '.join(ENDINGS)} or the year of the switch, got {ending!r}.")
        return [ENDINGS[ending]] * years
    if isinstance(ending, bool) or not isinstance(ending, (int, np.integer)) or not 1 <= ending <= years:
        raise ValueError(f"ending must be a year from 1 to {years}, got {ending}.")
    return [ENDINGS["floored" if k + 1 < ending else "straight"] for k in range(years)]
