"""How long a car is cheapest kept, and what each single period of keeping it costs."""

from dataclasses import dataclass

import numpy as np

from buildecon.ownership.keeping import level_cost
from buildecon.quantities.bounds import within
from buildecon.quantities.timevalue import discount_factor

SAME = 1e-9  # of the largest amount met; two costs nearer than this are the same, and the shorter keeping is taken
NEAR_SHARE = 0.01  # convention: years within a hundredth of the smallest level cost are nearly as cheap
FLAT_SHARE = 0.5  # convention: if half of all exits are nearly as cheap, the years hardly matter
AT_ONCE, INSIDE, OR_MORE, FLAT, NONE = "at once", "inside", "or more", "flat", "none"


@dataclass(frozen=True)
class EconomicLife:
    """Years kept that cost least a period.

    Parameters
    ----------
    years : ndarray or float, shape (...)
        The shortest of those that cost the same; NaN where there is none. [year]
    cost : ndarray or float, shape (...)
        Level cost there, a period. [money/month]
    status : ndarray or str, shape (...)
        "inside" the range; "or more": least at its last exit, so it may lie beyond; "at once": least at the first exit there can be; "flat": half of
        all exits or more are nearly as cheap, so the years hardly matter; "none": no exit to look at. [-]
    low, high : ndarray or float, shape (...)
        The unbroken run of years around the least within `near_share` of it. [year]
    searched : float
        The last exit looked at. [year]
    """

    years: np.ndarray
    cost: np.ndarray
    status: np.ndarray
    low: np.ndarray
    high: np.ndarray
    searched: float


@dataclass(frozen=True)
class Lives:
    """Economic life over scenarios.

    Parameters
    ----------
    year : ndarray, shape (years,)
        1, 2, ... to the end of the range; a life of 3.5 is in year 4. [year]
    share : ndarray, shape (..., years)
        Of the scenarios, by year; adds up to 1. [-]
    or_more, flat : ndarray or float, shape (...)
        Of the scenarios, those whose least cost is at the last exit, so that it may lie beyond, and those of status "flat"; one may be both. [-]
    at : ndarray, shape (q,)
        Shares asked for. [-]
    quantile : ndarray, shape (..., q)
        Life that this share of the scenarios does not exceed: one that was met, never a mean of two. [year]
    quantile_is_end : ndarray of bool, shape (..., q)
        Whether it is the last exit looked at, so that "or more" has to be said with it. [-]
    searched : float
        The last exit looked at. [year]
    """

    year: np.ndarray
    share: np.ndarray
    or_more: np.ndarray
    flat: np.ndarray
    at: np.ndarray
    quantile: np.ndarray
    quantile_is_end: np.ndarray
    searched: float


def economic_life(total, discount_rate=0.0, periods_a_year=12, near_share=NEAR_SHARE, first=1):
    """Years kept at which the level cost of a car is least.

    Parameters
    ----------
    total : array_like, shape (..., n + 1)
        From `cost_if_kept`, the start first. [money]
    discount_rate : array_like, shape (...)
        The rate it was made with. [1/year]
    periods_a_year : int, optional
        12 for months, 1 for years. [-]
    near_share : float, optional
        Exits within this share of the least level cost are nearly as cheap. [-]
    first : array_like of int, shape (...), optional
        Period at whose end it can go at the earliest, as a car that is still being built; exits before it are not looked at. [-]

    Returns
    -------
    EconomicLife
        Its cost is for a period: a year where a period is a year. [money/month]

    Notes
    -----
    The n that makes [P + sum c_k v^k - S_n v^n] / a(n) least, where v = 1 / (1 + i) and a(n) = (1 - v^n) / i.

    References
    ----------
    Blank and Tarquin, *Engineering Economy*, chapter 11: economic service life.

    Examples
    --------
    >>> life = economic_life([0, 100, 150, 240], periods_a_year=1)
    >>> print(f"{life.years:.0f} years at {life.cost:.0f} a year, {life.status}")
    2 years at 75 a year, inside
    """
    total, rate = totals_and_rate(total, discount_rate, periods_a_year)
    near_share = within("near_share", near_share, low=0)
    level = level_cost(total, rate, periods_a_year)[..., 1:]
    n, first = level.shape[-1], np.maximum(np.asarray(first), 1)
    can = np.broadcast_to(np.arange(1, n + 1) >= first[..., None], level.shape)
    there = can.any(axis=-1)
    if not there.any():
        nothing = np.full(level.shape[:-1], np.nan)[()]
        return EconomicLife(nothing, nothing, np.full(level.shape[:-1], NONE)[()], nothing, nothing, n / periods_a_year)
    can = can | ~there[..., None]
    level = np.where(can, level, np.inf)
    same = SAME * np.abs(np.where(np.isfinite(level), level, 0.0)).max(axis=-1, keepdims=True)
    best = np.argmax(level <= level.min(axis=-1, keepdims=True) + same, axis=-1)[..., None]
    cost = np.take_along_axis(level, best, axis=-1)
    low, high = _run_around(best, can & (level <= cost + near_share * np.abs(cost) + same))
    cost, best, run = cost[..., 0][()], best[..., 0] + 1, high - low + 1
    status = np.select([~there, (run > 1) & (run >= FLAT_SHARE * can.sum(axis=-1)), best == n, best == first], [NONE, FLAT, OR_MORE, AT_ONCE], INSIDE)[()]
    cost, *told = (np.where(there, figure, np.nan)[()] for figure in (cost, best, low, high))
    return EconomicLife(told[0] / periods_a_year, cost, status, told[1] / periods_a_year, told[2] / periods_a_year, n / periods_a_year)


def spread_of_lives(life, at=(0.1, 0.5, 0.9)):
    """Economic life as shares of scenarios.

    Parameters
    ----------
    life : EconomicLife
        Scenarios on its last axis, each with a life. [-]
    at : array_like, shape (q,)
        Shares whose quantiles are wanted. [-]

    Returns
    -------
    Lives
        Shares by year, and of those that run to the end of the range. [-]
    """
    years, at = np.asarray(life.years, dtype=float), np.atleast_1d(within("at", at, low=0, high=1))
    if years.ndim == 0 or years.shape[-1] == 0 or np.any(np.isnan(years)):
        raise ValueError("life must have at least one scenario on its last axis, and a life in each. Give economic_life totals by scenario and period.")
    year = np.arange(1, np.ceil(life.searched) + 1)
    share = (np.ceil(years)[..., None] == year).mean(axis=-2)
    at_end, flat = (years == life.searched).mean(axis=-1), (life.status == FLAT).mean(axis=-1)
    quantile = np.moveaxis(np.quantile(years, at, axis=-1, method="inverted_cdf"), 0, -1)
    return Lives(year, share, at_end, flat, at, quantile, quantile == life.searched, life.searched)


def marginal_cost(total, discount_rate=0.0, periods_a_year=12):
    """What each single period of keeping costs, told at its end: value lost, interest on it, and running cost.

    Parameters
    ----------
    total : array_like, shape (..., n + 1)
        From `cost_if_kept`, the start first; for single years of a monthly curve every twelfth of it. [money]
    discount_rate : array_like, shape (...)
        The rate it was made with. [1/year]
    periods_a_year : int, optional
        12 for months, 1 for years. [-]

    Returns
    -------
    ndarray, shape (..., n)
        For having it at the start of the period: what was lost by buying it, `total[..., 0]`, is in none of them. [money]

    Notes
    -----
    MC_k = S_(k-1) (1 + i) - S_k + c_k = (total_k - total_(k-1)) (1 + i)^k, so that total_n = total_0 + sum of MC_k (1 + i)^-k.

    References
    ----------
    Sullivan, Wicks and Koelling, *Engineering Economy*, chapter 9: total (marginal) cost for each year.

    Examples
    --------
    >>> print(marginal_cost([0, 100, 150], discount_rate=0.25, periods_a_year=1))
    [125.     78.125]
    """
    total, rate = totals_and_rate(total, discount_rate, periods_a_year)
    years = np.arange(1, total.shape[-1]) / periods_a_year
    return np.diff(total, axis=-1) / discount_factor(rate[..., None], years)


def totals_and_rate(total, discount_rate, periods_a_year):
    """Totals and their rate as arrays, refused where they are no numbers.

    Parameters
    ----------
    total : array_like, shape (..., n + 1)
        Cost if kept, the start first. [money]
    discount_rate : array_like, shape (...)
        Above -1. [1/year]
    periods_a_year : int
        At least 1. [-]

    Returns
    -------
    tuple of ndarray
        Totals, rate. [money, 1/year]

    Raises
    ------
    ValueError
        With the first that is out of bounds.
    """
    total, rate = np.asarray(within("total", total)), np.asarray(within("discount_rate", discount_rate))
    if total.ndim == 0 or total.shape[-1] == 0:
        raise ValueError("total must have a last axis of periods, the start first, got none.")
    if not np.all(rate > -1):
        raise ValueError(f"discount_rate must be above -1, got {rate[rate <= -1].flat[0]:,}.")
    within("periods_a_year", periods_a_year, low=1)
    return total, rate


def _run_around(best, near):
    """First and last period of the unbroken run of near ones around the best, counted from 1."""
    exits, n = np.arange(near.shape[-1]), near.shape[-1]
    low = np.where(~near & (exits < best), exits, -1).max(axis=-1) + 2
    return low, np.where(~near & (exits > best), exits, n).min(axis=-1)
