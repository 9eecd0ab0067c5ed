"""Where two cost curves cross: every crossing, in order, and who is cheaper on each side."""

from dataclasses import dataclass

import numpy as np

TOLERANCE = 1e-9  # of the largest difference met; below it two costs are equal


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
        Exact for the broken line. [-]
    """
    f, x = np.asarray(difference, dtype=float), np.asarray(grid, dtype=float)
    if not np.all(np.isfinite(f)):
        raise ValueError("difference must be finite at every point of the grid.")
    return _in_words(_meetings(x, f, lambda a, b, fa, fb: a + (b - a) * fa / (fa - fb)), x, f)


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

    scale = TOLERANCE * max(np.max(np.abs(f)), np.finfo(float).tiny)
    inner = np.abs(f)
    for k in np.flatnonzero((inner[1:-1] < inner[:-2]) & (inner[1:-1] <= inner[2:]) & (f[1:-1] * f[:-2] > 0) & (f[1:-1] * f[2:] > 0)) + 1:
        dip = minimize_scalar(lambda at, s=np.sign(f[k]): s * one(at), bounds=(x[k - 1], x[k + 1]), method="bounded", options={"xatol": 1e-12})
        value = 0.0 if abs(dip.fun) <= scale else float(np.sign(f[k]) * dip.fun)
        if value == 0 or value * f[k] < 0:
            x, f = np.append(x, dip.x), np.append(f, value)
    order = np.argsort(x)
    x, f = x[order], f[order]
    return _in_words(_meetings(x, f, lambda a, b, fa, fb: brentq(one, a, b, xtol=1e-13, rtol=1e-14), one), x, f)


def _meetings(x, f, root, value=None):
    """(place, kind, sign before, sign after) of every meeting between points of one sign and the next."""
    scale = TOLERANCE * max(np.max(np.abs(f)), np.finfo(float).tiny)
    sign = np.where(np.abs(f) <= scale, 0, np.sign(f)).astype(int)
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
        verdict = "equal" if largest == 0 else "first always" if largest < 0 else "second always"
    return BreakEven(crossings, verdict, float(x[0]), float(x[-1]))
