"""Where two cost curves cross: every crossing, in order, and who is cheaper on each side."""

from dataclasses import dataclass

import numpy as np

EQUAL = 1e-6  # money; two totals closer than this are the same, whatever the order they were added in
TOUCH = 1e-9  # of the largest difference met; a dip that comes this near to 0 touches it
STEEPER = 16  # a dip this many times the fall from one point of the scan to the next is not looked for; that of a parabola is a quarter


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
    from scipy.optimize import brentq, minimize_scalar

    x = np.linspace(low, high, points)
    f = np.asarray(difference(x), dtype=float)
    if not np.all(np.isfinite(f)):
        raise ValueError(f"difference must be finite from {low} to {high}.")

    def one(at):
        return float(difference(np.array([at]))[0])

    for a, b in _dips(x, f):
        side = np.sign(one(a)) or np.sign(one(b))
        dip = minimize_scalar(lambda at, side=side: side * one(at), bounds=(a, b), method="bounded", options={"xatol": 1e-12 * (high - low)})
        if dip.fun <= TOUCH * np.max(np.abs(f)):
            x, f = np.append(x, dip.x), np.append(f, side * dip.fun if dip.fun < -TOUCH * np.max(np.abs(f)) else 0.0)
    order = np.argsort(x)
    x, f = x[order], f[order]
    return _in_words(_meetings(x, f, lambda a, b, fa, fb: brentq(one, a, b, xtol=1e-13, rtol=1e-14), one), x, f)


def _dips(x, f):
    """Spans in which a curve of one sign may come to 0 between points of a scan; both ends of the scan are looked into as well."""
    size = np.abs(f)
    same = f[:-1] * f[1:] > 0
    low = np.flatnonzero(same[:-1] & same[1:] & (size[1:-1] < size[:-2]) & (size[1:-1] <= size[2:])) + 1
    spans = [(k - 1, k + 1) for k in low] + [(a, a + 1) for a in sorted({0, len(f) - 2}) if same[a]]
    return [(x[a], x[b]) for a, b in spans if size[a : b + 1].min() <= STEEPER * np.abs(np.diff(f[a : b + 1])).max()]


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
