"""Where two cost curves cross: every crossing, in order, and who is cheaper on each side."""

from dataclasses import dataclass

import numpy as np

EQUAL = 1e-6  # money; two totals closer than this are the same, whatever the order they were added in
PIECES = 32  # into which a bracket is cut each time it is narrowed
NARROWINGS = 5  # a bracket of a scan of 257 points ends a millionth of a millionth of the range wide
DIVES = 8  # the same for the foot of a dip, which is narrowed to two pieces each time
STEEPEST = 8.0
TOUCH = 1e-9  # of the largest difference met; a dip that comes this near to 0 touches it


@dataclass(frozen=True)
class Crossing:
    """One meeting of the curves.

    Parameters
    ----------
    at : float
        Where. [unit of the search]
    kind : {"crossing", "touch", "jump"}
        A touch leaves the same one cheaper; a jump steps over without meeting. [-]
    cheaper_before, cheaper_after : {"first", "second"}
        On each side. [-]
    """

    at: float
    kind: str
    cheaper_before: str
    cheaper_after: str


@dataclass(frozen=True)
class BreakEven:
    """All crossings in a range that was searched.

    Parameters
    ----------
    crossings : tuple of Crossing
        In rising order. [-]
    verdict : {"first always", "second always", "equal", "changes"}
        Touches alone change nothing. [-]
    low, high : float
        The range. [unit of the search]
    """

    crossings: tuple
    verdict: str
    low: float
    high: float

    @property
    def at(self):
        """Places where the cheaper one changes."""
        return tuple(crossing.at for crossing in self.crossings if crossing.kind != "touch")

    @property
    def cheaper_at_end(self):
        """Who is cheaper at the end of the range: first, second, or neither."""
        if self.crossings:
            return self.crossings[-1].cheaper_after
        return {"first always": "first", "second always": "second"}.get(self.verdict, "neither")


def break_even(difference, grid):
    """Crossings of a difference that is a straight line between the points of a grid.

    Parameters
    ----------
    difference : array_like, shape (n,)
        Cost of the first less cost of the second at each point. [money]
    grid : array_like, shape (n,)
        Rising. [unit of the search]

    Returns
    -------
    BreakEven
        Exact for the broken line; differences up to a millionth count as none. [-]
    """
    f, x = np.asarray(difference, dtype=float), np.asarray(grid, dtype=float)
    if not np.all(np.isfinite(f)):
        raise ValueError("difference must be finite at every point of the grid.")
    return _in_words(_meetings(x, np.where(np.abs(f) <= EQUAL, 0.0, f), lambda a, b, fa, fb: a + (b - a) * fa / (fa - fb)), x, f)


def find_crossings(difference, low, high, points=257):
    """Crossings of any difference: scanned, then each bracket polished.

    Two roots closer than the scan are found where the curve dips towards 0 between them.

    Parameters
    ----------
    difference : callable
        Takes an array, shape (n,), gives cost of the first less cost of the second, shape (n,). [money]
    low, high : float
        Range to search. [unit of the search]
    points : int, optional
        Of the scan. [-]

    Returns
    -------
    BreakEven
        Roots to about 1e-9 of the range; a bracket that does not close is a jump. [-]

    Raises
    ------
    ValueError
        If the difference is not finite somewhere on the scan.
    """
    x = np.linspace(low, high, points)
    f = np.asarray(difference(x), dtype=float)
    if not np.all(np.isfinite(f)):
        raise ValueError(f"difference must be finite from {low} to {high}.")
    if np.max(np.abs(f)) <= EQUAL:  # what is left of adding the same up in another order is no crossing
        return BreakEven((), "equal", float(low), float(high))
    x, f = _with_dips(difference, x, f)
    return _in_words(_meetings(x, f, *_roots(difference, x, f)), x, f)


def _with_dips(difference, x, f):
    """The scan with the foot of every dip that reaches 0, or goes through it, between its points."""
    touch = TOUCH * np.max(np.abs(f))
    spans = _dips(x, f)
    if not spans:
        return x, f
    ends = np.array(spans)
    feet = np.full(len(ends), np.nan)
    side = np.sign(f[np.searchsorted(x, ends[:, 0])])
    for _ in range(DIVES):
        inside = np.linspace(ends[:, 0], ends[:, 1], PIECES + 1, axis=1)
        found = side[:, None] * _asked(difference, inside)
        lowest = found.argmin(axis=1)
        feet = found[np.arange(len(ends)), lowest]
        place = inside[np.arange(len(ends)), lowest]
        ends = np.stack([inside[np.arange(len(ends)), np.maximum(lowest - 1, 0)], inside[np.arange(len(ends)), np.minimum(lowest + 1, PIECES)]], axis=1)
        if np.all(feet <= 0):
            break
    there = feet <= touch
    x = np.append(x, place[there])
    f = np.append(f, np.where(feet < -touch, side * feet, 0.0)[there])
    order = np.argsort(x, kind="stable")
    return x[order], f[order]


def _roots(difference, x, f):
    """Function from a bracket to its root, and to the difference that is left there: all brackets are narrowed together."""
    sign = np.sign(f)
    at = np.flatnonzero(sign[:-1] * sign[1:] < 0)
    if not len(at):
        return lambda *_: np.nan, lambda _: 0.0
    rows, ends = np.arange(len(at)), np.stack([x[at], x[at + 1]], axis=1)
    for _ in range(NARROWINGS):
        inside = np.linspace(ends[:, 0], ends[:, 1], PIECES + 1, axis=1)
        found = _asked(difference, inside)
        turns = (np.sign(found[:, :-1]) * np.sign(found[:, 1:]) <= 0).argmax(axis=1)
        ends = np.stack([inside[rows, turns], inside[rows, turns + 1]], axis=1)
        values = np.stack([found[rows, turns], found[rows, turns + 1]], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(values[:, 0] == values[:, 1], 0.0, values[:, 0] / (values[:, 0] - values[:, 1]))
    places = ends[:, 0] + np.clip(share, 0, 1) * (ends[:, 1] - ends[:, 0])
    left = dict(zip(places.tolist(), np.abs(values).min(axis=1).tolist(), strict=True))
    roots = dict(zip(x[at].tolist(), places.tolist(), strict=True))
    return lambda a, b, fa, fb: roots[float(a)], lambda place: left[place]


def _asked(difference, places):
    """The difference at places of any shape, in one call."""
    return np.asarray(difference(places.ravel()), dtype=float).reshape(places.shape)


def _dips(x, f):
    """Spans in which a curve of one sign comes nearest to 0 between points of a scan; both ends of the scan are looked into as well.

    A span is left out where the curve would have to fall by more than `STEEPEST` times what it moves from one point to the next.
    """
    size = np.abs(f)
    same = f[:-1] * f[1:] > 0
    moves = np.abs(np.diff(f))
    low = np.flatnonzero(same[:-1] & same[1:] & (size[1:-1] < size[:-2]) & (size[1:-1] <= size[2:])) + 1
    spans = [(x[k - 1], x[k + 1]) for k in low if size[k] <= STEEPEST * max(moves[k - 1], moves[k])]
    spans += [(x[0], x[1])] if same[0] and min(size[:2]) <= STEEPEST * moves[0] else []
    return spans + ([(x[-2], x[-1])] if same[-1] and min(size[-2:]) <= STEEPEST * moves[-1] else [])


def _meetings(x, f, root, value=None):
    """(place, kind, sign before, sign after) of every meeting between points of one sign and the next."""
    sign = np.sign(f).astype(int)
    apart = np.flatnonzero(sign)
    meetings = []
    for left, right in zip(apart[:-1], apart[1:], strict=True):
        a, b = sign[left], sign[right]
        if right > left + 1:
            meetings.append((float(x[left + 1]), "crossing" if a != b else "touch", a, b))
        elif a != b:
            at = float(root(x[left], x[right], f[left], f[right]))
            open_jump = value is not None and abs(value(at)) > 1e-6 * max(abs(f[left]), abs(f[right]))
            meetings.append((at, "jump" if open_jump else "crossing", a, b))
    return meetings


def _in_words(meetings, x, f):
    cheaper = {-1: "first", 1: "second"}
    crossings = tuple(Crossing(at, kind, cheaper[a], cheaper[b]) for at, kind, a, b in meetings)
    changes = [crossing for crossing in crossings if crossing.kind != "touch"]
    largest = f[np.argmax(np.abs(f))]
    if changes:
        verdict = "changes"
    else:
        verdict = "equal" if abs(largest) <= EQUAL else "first always" if largest < 0 else "second always"
    return BreakEven(crossings, verdict, float(x[0]), float(x[-1]))
