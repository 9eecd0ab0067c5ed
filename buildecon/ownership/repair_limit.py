"""Pay the bill or sell: the most that is worth paying for a repair, by age."""

from dataclasses import dataclass

import numpy as np

from buildecon.quantities.bounds import within

SUM_OF_CHANCES = 1e-9  # what rounding may leave of a sum of chances


@dataclass(frozen=True)
class YearsAhead:
    """What a car brings, costs and would fetch in the years ahead; leading axes are scenarios.

    Parameters
    ----------
    joy, running : array_like, shape (..., n)
        What having it that year is worth, and what it costs without repairs, both as of the start of the year. [money/year]
    sound_value, scrap : array_like, shape (..., n + 1)
        What it would fetch with nothing to repair, and in any state, at the start of each year and at the end of the last, selling cost
        taken off; scrap is below 0 if taking it away costs money. [money]
    """

    joy: np.ndarray
    running: np.ndarray
    sound_value: np.ndarray
    scrap: np.ndarray


@dataclass(frozen=True)
class RepairLimit:
    """The most worth paying, year by year.

    Parameters
    ----------
    limit : ndarray, shape (..., n)
        Sell if a bill above this comes at the start of the year; NaN where it is sold whatever the bill. [money]
    status : ndarray of str, shape (..., n)
        "limit"; "pay any": no bill that can come is above it; "sell": whatever the bill, even none. [-]
    ahead : ndarray, shape (..., n)
        What keeping is worth before the bill of that year. [money]
    value : ndarray, shape (..., n + 1)
        What having the car at the start of each year is worth, before its bill is known; the last is what it fetches in the end. [money]
    still_kept : ndarray, shape (..., n + 1)
        Chance that it is still there at the start of each year, before its bill; the last, at the end of the last year. [-]
    """

    limit: np.ndarray
    status: np.ndarray
    ahead: np.ndarray
    value: np.ndarray
    still_kept: np.ndarray


def keep_or_sell(years, bills, chances, discount_rate=0.0, another=None):
    """The best choice each year, where the year's repair bill is seen and then paid, or the car sold.

    Parameters
    ----------
    years : YearsAhead
        n years. [money]
    bills, chances : array_like, shape (b,) or (..., n, b)
        Amounts a year's repairs may come to, with 0 for none, and the chance of each; the same every year where there is one axis. [money, -]
    discount_rate : array_like, shape (...)
        Effective. [1/year]
    another : array_like, shape () or (..., n), optional
        What another like it costs, with nothing to repair; left out where there is none to be had. [money]

    Returns
    -------
    RepairLimit
        By year, the first being now. [money]

    Notes
    -----
    V_t = sum over bills B of their chance times max(ahead_t - B, scrap_t, sound_t - B), with ahead_t = joy_t - running_t + V_(t+1) / (1 + i) and
    V_n = max(scrap_n, sound_n), worked from the last year back. If ahead >= sound, any bill up to ahead - scrap is paid; else it is sold whatever
    the bill. Where buyers take the whole bill off the price, the bill does not decide until scrap is the better price. Equal: kept.
    Where another like it can be had, a bill counts at no more than that one's price less scrap, and none above it is paid.

    References
    ----------
    Hastings, "The repair limit replacement method", 1969 (from memory): a limit by age. Bellman, *Dynamic Programming*, chapter 1 (from memory).

    Examples
    --------
    >>> ahead = YearsAhead(joy=[800], running=[300], sound_value=[1500, 1200], scrap=[200, 200])
    >>> found = keep_or_sell(ahead, bills=[0, 2000], chances=[0.9, 0.1])
    >>> print(f"sell if a bill over {found.limit[0]:.0f} comes; worth {found.value[0]:.0f}")
    sell if a bill over 1500 comes; worth 1550
    """
    joy, running, sound, scrap = _years(years)
    n = joy.shape[-1]
    bills, chances = _bills(bills, chances, n)
    rate = np.asarray(within("discount_rate", discount_rate))
    if not np.all(rate > -1):
        raise ValueError(f"discount_rate must be above -1, got {rate[rate <= -1].flat[0]:,}.")
    shape = np.broadcast_shapes(joy.shape[:-1], running.shape[:-1], sound.shape[:-1], scrap.shape[:-1], bills.shape[:-2], rate.shape)
    ahead, value, kept = np.empty((*shape, n)), np.empty((*shape, n + 1)), np.ones((*shape, n + 1))
    dearest = np.full(scrap[..., :-1].shape, np.inf) if another is None else np.maximum(np.asarray(within("another", another, 0)) - scrap[..., :-1], 0)
    value[..., n] = np.maximum(scrap, sound)[..., n]
    for t in range(n - 1, -1, -1):
        ahead[..., t] = joy[..., t] - running[..., t] + value[..., t + 1] / (1 + rate)
        keeping = np.maximum(ahead[..., t], sound[..., t])[..., None] - np.minimum(bills[..., t, :], dearest[..., t, None])
        value[..., t] = np.sum(chances[..., t, :] * np.maximum(keeping, scrap[..., t, None]), axis=-1)
    limit = ahead - scrap[..., :-1]
    limit = np.where((ahead >= sound[..., :-1]) & (limit >= 0), np.minimum(limit, dearest), np.nan)
    can_come = np.where(chances > 0, bills, 0)
    paid = np.sum(chances * (can_come <= limit[..., None]), axis=-1)  # nothing is at most NaN
    kept[..., 1:] = np.cumprod(np.where(can_come.max(axis=-1) <= limit, 1.0, paid), axis=-1)
    status = np.select([np.isnan(limit), can_come.max(axis=-1) <= limit], ["sell", "pay any"], "limit")
    return RepairLimit(limit, status, ahead, value, kept)


def _years(years):
    """The four series, each as long as it must be."""
    found = [np.atleast_1d(within(name, getattr(years, name))) for name in ("joy", "running", "sound_value", "scrap")]
    n = found[0].shape[-1]
    for name, series, length in zip(("running", "sound_value", "scrap"), found[1:], (n, n + 1, n + 1), strict=True):
        if series.shape[-1] != length:
            raise ValueError(f"{name} must be as long as joy{' and one longer' * (length > n)}, {length}, got {series.shape[-1]}.")
    if n == 0:
        raise ValueError("joy must hold at least one year, got none.")
    return found


def _bills(bills, chances, n):
    """Bills and chances of n years, refused where they are no distribution."""
    bills, chances = np.atleast_1d(within("bills", bills, low=0)), np.atleast_1d(within("chances", chances, low=0, high=1))
    if bills.shape[-1] != chances.shape[-1]:
        raise ValueError(f"chances must be as many as bills, {bills.shape[-1]}, got {chances.shape[-1]}.")
    for name, given in (("bills", bills), ("chances", chances)):
        if given.ndim > 1 and given.shape[-2] != n:
            raise ValueError(f"{name} must be given for all years at once or for each of {n}, got {given.shape[-2]}.")
    sums = chances.sum(axis=-1)
    wrong = np.abs(sums - 1) > SUM_OF_CHANCES
    if np.any(wrong):
        raise ValueError(f"chances must add up to 1, got {np.atleast_1d(sums)[np.atleast_1d(wrong)][0]:.10g}. Give the chance of no repair with a bill of 0.")
    leading = np.broadcast_shapes(bills.shape[:-1], chances.shape[:-1], (n,))
    return tuple(np.broadcast_to(given, (*leading, given.shape[-1])) for given in (bills, chances))
