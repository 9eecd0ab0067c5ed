"""Keep what one has, or go over to another: for how long, and what that saves."""

from dataclasses import dataclass

import numpy as np

from buildecon.ownership.economic_life import AT_ONCE, INSIDE, NONE, OR_MORE, SAME, EconomicLife, economic_life, totals_and_rate
from buildecon.ownership.keeping import level_cost
from buildecon.quantities.timevalue import annuity_factor, rate_per_period


@dataclass(frozen=True)
class KeepUntil:
    """When to go over to another that costs the same every period from then on.

    Parameters
    ----------
    years : ndarray or float, shape (...)
        Keep until the end of this; NaN where there is nothing to go over to. [year]
    status : ndarray or str, shape (...)
        "at once": no stretch ahead costs less a period than the other; "inside": cheaper until then, and no stretch after it is;
        "or more": still cheaper at the end of the range, so never inside it; "none": nothing to go over to. [-]
    first_dearer : ndarray or float, shape (...)
        End of the last period before the first that by itself costs as much as the other or more; the end of the range if none does. [year]
    saving : ndarray or float, shape (...)
        Present value of keeping until `years` against going over at once, from 0. [money]
    cost : ndarray or float, shape (...)
        Level cost a period of keeping until `years`; NaN at once. [money/month]
    least : ndarray or float, shape (...)
        Level cost a period of the cheapest stretch from now on, kept or not; NaN where there is none to look at. [money/month]
    on : ndarray of bool, shape (..., n)
        Whether to keep on at the end of period 0, 1, ...: some stretch from there is cheaper than the other. [-]
    one_more : ndarray of bool, shape (..., n)
        Whether the next period by itself is cheaper than the other. [-]
    searched : float
        The last exit looked at. [year]
    """

    years: np.ndarray
    status: np.ndarray
    first_dearer: np.ndarray
    saving: np.ndarray
    cost: np.ndarray
    least: np.ndarray
    on: np.ndarray
    one_more: np.ndarray
    searched: float

    @property
    def lumpy(self):
        """Whether looking ahead gives another answer than stopping before the first dear period."""
        return np.isfinite(self.years) & (self.years != self.first_dearer)


@dataclass(frozen=True)
class Switch:
    """What one has against what one could go over to.

    Parameters
    ----------
    one_more_year : ndarray or float, shape (...)
        Level cost a period of keeping it one year more; NaN where the range is shorter. [money/month]
    saves : ndarray or float, shape (...)
        What the other costs a period at its cheapest, less that; below 0 the year is dearer than the other. [money/month]
    other : EconomicLife
        The other at its cheapest; "or more" there: it may be cheaper still if kept longer. [-]
    keep : KeepUntil
        When to go over. [-]
    """

    one_more_year: np.ndarray
    saves: np.ndarray
    other: EconomicLife
    keep: KeepUntil


def keep_until(total, other_cost, discount_rate=0.0, periods_a_year=12):
    """How long to keep what one has, where another can be had at any time for the same cost every period from then on.

    Parameters
    ----------
    total : array_like, shape (..., n + 1)
        Cost if kept of the one that is there; its start is selling it at once. [money]
    other_cost : array_like, shape (...)
        Level cost a period of the other, at its cheapest; NaN where there is none. [money/month]
    discount_rate : array_like, shape (...)
        The rate both were made with. [1/year]
    periods_a_year : int, optional
        12 for months, 1 for years. [-]

    Returns
    -------
    KeepUntil
        Looking ahead over the whole range, with the answer of the first dear period beside it. [-]

    Notes
    -----
    Keeping n periods and then having the other for ever costs total_n + v^n c / i, so it saves c a(n) - (total_n - total_0) against going over at
    once; the n with the largest saving is the answer, the shorter of two that save the same. From any period on it pays to keep on as long as some
    stretch from there has a level cost below c. Where the cost of single periods only rises, that is the first period dearer than c; a large
    bill that is followed by cheap years, or a value that falls fastest at first, makes the two differ.

    References
    ----------
    Newnan and others, *Engineering Economic Analysis*, chapter 13: replacement techniques 1 and 2 and the assumptions of repeated replacement.

    Examples
    --------
    A first year of 150, then years of 50, beside another at 100 a year.

    >>> rule = keep_until([0, 150, 200, 250, 400], other_cost=100, periods_a_year=1)
    >>> print(f"{rule.years:.0f} years, {rule.status}, saves {rule.saving:.0f}; the first dear year comes after {rule.first_dearer:.0f}")
    3 years, inside, saves 50; the first dear year comes after 0
    """
    total, rate = totals_and_rate(total, discount_rate, periods_a_year)
    other = np.asarray(other_cost, dtype=float)
    if np.any(np.isinf(other)):
        raise ValueError(f"other_cost must be finite, or NaN where there is nothing to go over to, got {other[np.isinf(other)].flat[0]:,}.")
    factors = annuity_factor(rate_per_period(rate, periods_a_year)[..., None], np.arange(total.shape[-1]))
    spent, elsewhere = total - total[..., :1], other[..., None] * factors
    saving, there = elsewhere - spent, ~np.isnan(other)
    same = SAME * np.maximum(np.abs(elsewhere).max(axis=-1), np.abs(spent).max(axis=-1))[..., None]
    best_ahead = np.maximum.accumulate(saving[..., :0:-1], axis=-1)[..., ::-1]
    on, one_more = best_ahead > saving[..., :-1] + same, np.diff(saving, axis=-1) > same
    kept, n = _first_stop(on), on.shape[-1]
    at_best = np.take_along_axis(saving, kept[..., None], axis=-1)[..., 0] + 0.0  # never -0.0
    level = level_cost(spent, rate, periods_a_year)
    cost = np.take_along_axis(np.broadcast_to(level, saving.shape), kept[..., None], axis=-1)[..., 0]
    status = np.select([~there, kept == 0, kept == n], [NONE, AT_ONCE, OR_MORE], INSIDE)[()]
    years, first = (np.where(there, periods / periods_a_year, np.nan)[()] for periods in (kept, _first_stop(one_more)))
    least = level[..., 1:].min(axis=-1) if n else np.full(level.shape[:-1], np.nan)[()]
    return KeepUntil(years, status, first, at_best[()], np.where(there, cost, np.nan)[()], least, on, one_more, n / periods_a_year)


def keep_or_switch(have, other, discount_rate=0.0, periods_a_year=12):
    """Keep one more year of what one has, or go over to another.

    Parameters
    ----------
    have, other : array_like, shape (..., n + 1), (..., m + 1)
        Cost if kept of each, over as many periods as each can be looked at; leading axes of the two broadcast. [money]
    discount_rate : array_like, shape (...)
        The rate both were made with. [1/year]
    periods_a_year : int, optional
        12 for months, 1 for years. [-]

    Returns
    -------
    Switch
        Against the other at its cheapest level cost, had again and again. [-]

    Notes
    -----
    The other must be one that can be had again on the same terms. A gain that comes once, as of a build that is worth more on the day it is
    finished than what is still to come, shows as an `other.status` of "at once" at a cost below 0, and is no cost to go over to.
    """
    total, rate = totals_and_rate(have, discount_rate, periods_a_year)
    life = economic_life(other, rate, periods_a_year)
    if total.shape[-1] > periods_a_year:
        year = level_cost(total[..., : periods_a_year + 1] - total[..., :1], rate, periods_a_year)[..., -1]
    else:
        year = np.full(total.shape[:-1], np.nan)[()]
    return Switch(year, life.cost - year, life, keep_until(total, life.cost, rate, periods_a_year))


def _first_stop(on):
    """Periods before the first at which it is not kept on; all of them where there is none."""
    stop = ~np.concatenate([on, np.zeros((*on.shape[:-1], 1), dtype=bool)], axis=-1)
    return np.argmax(stop, axis=-1)
