"""Break-even in anything: where a dial must stand for the answer to turn, which single change is nearest, and the border between two dials."""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.breakeven import EQUAL, BreakEven, find_crossings
from buildecon.quantities.bounds import within


@dataclass(frozen=True)
class Turning:
    """Where one dial turns the answer, all else as it is.

    Parameters
    ----------
    name : str
        The dial. [-]
    now : float
        Where it stands. [unit of the search]
    cheaper_now : {"first", "second", "neither"}
        There. [-]
    found : BreakEven
        All crossings, touches and jumps over its range, and the verdict. [unit of the search]
    nearest : float
        The crossing or jump nearest to now; NaN where there is none. A jump counts from beyond it. [unit of the search]
    change : float
        From now to there. [unit of the search]
    share_of_now, share_of_range : float
        The change by the size of what it is now, NaN where that is 0, and by the length of the range. [-]
    """

    name: str
    now: float
    cheaper_now: str
    found: BreakEven
    nearest: float
    change: float
    share_of_now: float
    share_of_range: float


def turning_points(differences, ranges):
    """Break-even in each of several dials.

    Parameters
    ----------
    differences : dict of str to callable
        By dial, from its places, shape (m,), to cost of the first less cost of the second, shape (m,), all else as it is. [money]
    ranges : dict of str to tuple
        By dial: low, high and where it stands now. [unit of the search]

    Returns
    -------
    dict of str to Turning
        By dial, in the order of the ranges; nothing is said of what lies outside a range. [-]

    Raises
    ------
    ValueError
        If low is not below high, now is outside of them, or a difference is not finite.
    """
    return {name: _turning(name, differences[name], *(float(within(f"{name}", place)) for place in places)) for name, places in ranges.items()}


def nearest_changes(turnings):
    """Single changes that turn the answer, the nearest first.

    Parameters
    ----------
    turnings : dict of str to Turning
        By dial. [-]

    Returns
    -------
    tuple of Turning
        Those that have a turning point, by share of their range: the range is what is held possible, so this says how much of that it takes. A share
        of what it is now does not exist for a dial at 0, and is small for one that hardly moves, as years or a resale price seldom double. [-]
    """
    there = [turning for turning in turnings.values() if np.isfinite(turning.nearest)]
    return tuple(sorted(there, key=lambda turning: abs(turning.share_of_range)))


@dataclass(frozen=True)
class Border:
    """Who is cheaper over two dials at once.

    Parameters
    ----------
    xs, ys : ndarray, shape (nx,) and (ny,)
        Places of the dials, rising. [unit of the search]
    difference : ndarray, shape (ny, nx)
        Cost of the first less cost of the second. [money]
    at : ndarray, shape (ny,)
        For each y the least x at which the cheaper one changes; NaN where none does. [unit of the search]
    points : ndarray, shape (k, 2)
        x and y of every change along the rows and then along the columns, so that a border lying flat is seen as well. [unit of the search]
    """

    xs: np.ndarray
    ys: np.ndarray
    difference: np.ndarray
    at: np.ndarray
    points: np.ndarray


def border(difference, xs, ys):
    """Map of who is cheaper over two dials, with the line between.

    Parameters
    ----------
    difference : callable
        From x and y, each of shape (m,), to cost of the first less cost of the second; asked once, with m = nx ny. [money]
    xs, ys : array_like, shape (nx,) and (ny,)
        Places of the dials, rising, at least two each. [unit of the search]

    Returns
    -------
    Border
        Straight between the places, so exact where the difference is. [unit of the search]

    Raises
    ------
    ValueError
        If the places do not rise or a difference is not finite.
    """
    xs, ys = _places("xs", xs), _places("ys", ys)
    x, y = np.meshgrid(xs, ys)
    found = np.asarray(within("difference", difference(x.ravel(), y.ravel())), dtype=float).reshape(x.shape)
    along, rows = _changes(found, xs)
    across, columns = _changes(found.T, ys)
    at = np.full(len(ys), np.nan)
    at[rows[::-1]] = along[::-1]  # the least of a row is written last
    points = np.concatenate([np.stack([along, ys[rows]], axis=1), np.stack([xs[columns], across], axis=1)])
    return Border(xs, ys, found, at, points)


def _turning(name, difference, low, high, now):
    if not low < high:
        raise ValueError(f"range of {name} must rise, got {low:,} to {high:,}.")
    if not low <= now <= high:
        raise ValueError(f"{name} must be within its range, {low:,} to {high:,}, got {now:,}. Widen the range.")

    def spread(x):  # a model that leaves out what is 0 forgets how many places it was asked for
        return np.broadcast_to(np.asarray(difference(x), dtype=float), x.shape)

    found, here = find_crossings(spread, low, high), float(spread(np.array([now]))[0])
    return nearest_turning(name, now, here, found)


def nearest_turning(name, now, here, found):
    """Turning point of one dial from a search that was made already.

    Parameters
    ----------
    name : str
        The dial. [-]
    now : float
        Where it stands. [unit of the search]
    here : float
        Cost of the first less cost of the second there. [money]
    found : BreakEven
        Over its range. [unit of the search]

    Returns
    -------
    Turning
        With the nearest crossing or jump. [unit of the search]
    """
    cheaper = "neither" if abs(here) <= EQUAL else "first" if here < 0 else "second"
    if not found.at:
        return Turning(name, now, cheaper, found, np.nan, np.nan, np.nan, np.nan)
    nearest = min(found.at, key=lambda at: abs(at - now))
    change = nearest - now
    return Turning(name, now, cheaper, found, nearest, change, change / abs(now) if now else np.nan, change / (found.high - found.low))


def _changes(rows, places):
    """Where the sign changes along each row, and in which row, in rising order; a 0 counts once, if the sign is another behind it."""
    at, which = [], []
    sign = np.sign(rows)
    for k, row in enumerate(rows):
        apart = np.flatnonzero(sign[k])
        left, right = apart[:-1], apart[1:]
        turns = sign[k][left] != sign[k][right]
        left, right = left[turns], right[turns]
        straight = places[left] + (places[right] - places[left]) * row[left] / (row[left] - row[right])
        found = np.where(right > left + 1, places[np.minimum(left + 1, len(places) - 1)], straight)
        at.append(found)
        which.append(np.full(len(found), k))
    return np.concatenate(at), np.concatenate(which)


def _places(name, places):
    found = np.asarray(within(name, places), dtype=float)
    if found.ndim != 1 or len(found) < 2 or not np.all(np.diff(found) > 0):
        raise ValueError(f"{name} must be at least two places that rise, got {found.tolist()}.")
    return found
