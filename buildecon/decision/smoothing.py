"""What is left of a figure once one input is known: curves through draws, for all inputs at once, each also drawn without the draws it is judged on."""

from functools import lru_cache

import numpy as np

DEGREE = 3
FOLDS = 8
FEWEST = 128  # draws; a span of 12 knots then still holds a draw of each fold
DISTINCT = 4  # values a span needs to hold a cubic
RIDGE = 1e-10  # of the mean diagonal; keeps a fold solvable that lost the only draw of some value
LOCAL = np.arange(DEGREE + 1) / DEGREE  # places in a span at which its cubics are read off
READ_OFF = np.linalg.inv(np.vander(LOCAL, increasing=True))


def smooth(inputs, figures, knots):
    """Smooth curve of each figure on each input, and the same from the draws of the other folds only.

    Parameters
    ----------
    inputs : ndarray, shape (d, n)
        Draws. [-]
    figures : ndarray, shape (m, n)
        What came of them. [money]
    knots : int
        Inside the range, so that each span between them holds as many draws as the next. [-]

    Returns
    -------
    fitted, left_out, seen : ndarray, shape (d, knots + 1, 8, m, b)
        Curve, curve without the own fold, and the figure itself, draws in rising order of the input; 0 in the places that are left over. [money]

    Notes
    -----
    Least squares on cubic B-splines. A cubic in a span is four powers of the place in it, so the sums of a fold and span serve the whole fit, every fit
    that leaves a fold out, and no spline is worked out draw by draw. An input with fewer than four values in some span is binned instead: by value if
    there are at most n^(1/3), else into as many bins of as many draws, equal values never parted.
    Folds are dealt by lot within the rising order, since even points have a pattern there. All of them together being all but exact, a fold that is above
    the curve leaves the others below it: judged by the others, what does not matter comes out below 0.

    References
    ----------
    Piegl and Tiller, *The NURBS Book*, 2nd ed., 1997, algorithm A2.2 (from memory): the recurrence.
    """
    order = np.argsort(inputs, axis=1)
    rising = np.take_along_axis(inputs, order, axis=1)
    places, present = _dealt(inputs.shape[1], knots + 1)
    starts = _starts(inputs.shape[1], knots + 1)[:-1]
    rises = np.diff(rising, axis=1) > 0
    tied = np.flatnonzero(np.any(np.add.reduceat(rises, starts, axis=1) < DISTINCT, axis=1))
    x = rising[:, places]
    seen = np.moveaxis(np.where(present, figures[:, order[:, places]], 0), 0, 3)
    edges = np.concatenate([rising[:, starts], rising[:, -1:]], axis=1)
    edges[tied] = np.arange(knots + 2)  # of any use only to keep the sums finite
    fitted, left_out = _splines(x, edges, seen, present)
    for k in tied:
        fitted[k], left_out[k] = _bins(rising[k], places, seen[k], present)
    return fitted, left_out, seen


@lru_cache(maxsize=16)
def _dealt(n, spans):
    """Places in the rising order by span and fold, and which of them there are."""
    starts = _starts(n, spans)
    each = -(-int(np.diff(starts).max()) // FOLDS)
    groups = np.random.default_rng(1).permuted(starts[:-1, None, None] + np.arange(each * FOLDS).reshape(each, FOLDS), axis=2)
    places = np.ascontiguousarray(np.swapaxes(groups, 1, 2))
    return np.minimum(places, n - 1), places < starts[1:, None, None]


def _starts(n, spans):
    return np.arange(spans + 1) * n // spans


def _splines(x, edges, seen, present):
    m = seen.shape[3]
    powers, cubics = _powers(x, edges, seen, present), _cubics(edges)[:, :, None]
    heights = _heights(cubics, powers @ np.swapaxes(powers, -1, -2))
    curves = np.swapaxes(heights, -1, -2) @ cubics
    whole, without = np.broadcast_to(curves[:, :, :1], curves[:, :, 1:].shape), curves[:, :, 1:]
    both = np.concatenate([whole, without], axis=3) @ powers[..., : DEGREE + 1, :]
    return both[..., :m, :], both[..., m:, :]


def _powers(x, edges, seen, present):
    """1, t, t^2, t^3 of the place t in its span, and the figures, in one block for one product."""
    d, spans, folds, m, each = seen.shape
    powers = np.empty((d, spans, folds, DEGREE + 1 + m, each))
    start, width = edges[:, :-1, None, None], np.diff(edges, axis=1)[:, :, None, None]
    powers[..., 0, :] = present
    np.multiply((x - start) / width, present, out=powers[..., 1, :])
    for k in range(2, DEGREE + 1):
        np.multiply(powers[..., k - 1, :], powers[..., 1, :], out=powers[..., k, :])
    powers[..., DEGREE + 1 :, :] = seen
    return powers


def _heights(cubics, sums):
    """Heights of the four splines of each span: of the curve through all folds first, then without each; shape (d, spans, 1 + folds, 4, m)."""
    d, spans, folds, four = *sums.shape[:3], DEGREE + 1
    size = spans + DEGREE
    own = cubics @ sums[..., :four, :]
    gram, right = own[..., :four] @ np.swapaxes(cubics, -1, -2), own[..., four:]
    known = np.zeros((d, folds, size, size + right.shape[-1]))
    for j in range(spans):
        known[:, :, j : j + four, j : j + four] += gram[:, j]
        known[:, :, j : j + four, size:] += right[:, j]
    everything = known.sum(axis=1, keepdims=True)
    known = np.concatenate([everything, everything - known], axis=1)
    gram = known[..., :size]
    gram += RIDGE * np.trace(gram, axis1=-2, axis2=-1)[..., None, None] / size * np.eye(size)
    found = np.linalg.solve(gram, known[..., size:])
    return np.stack([found[:, :, j : j + four] for j in range(spans)], axis=1)


def _cubics(edges):
    """The four B-splines of each span as powers of the place in it, shape (d, spans, 4, 4)."""
    spans = edges.shape[1] - 1
    knots = np.pad(edges, ((0, 0), (DEGREE, DEGREE)), mode="edge")
    at = edges[:, :-1, None] + np.diff(edges, axis=1)[:, :, None] * LOCAL

    def knot(k):
        return knots[:, DEGREE + k : DEGREE + k + spans, None]

    values = [np.ones_like(at)]
    for j in range(1, DEGREE + 1):
        carried, raised = np.zeros_like(at), []
        for r, value in enumerate(values):
            share = value / (knot(r + 1) - knot(1 - j + r))
            raised.append(carried + (knot(r + 1) - at) * share)
            carried = (at - knot(1 - j + r)) * share
        values = [*raised, carried]
    return np.stack(values, axis=2) @ READ_OFF.T


def _bins(rising, places, seen, present):
    """Means by bin, with and without the own fold."""
    n, folds, m = rising.size, *seen.shape[1:3]
    run = np.concatenate([[0], np.cumsum(np.diff(rising) > 0)])
    most = round(n ** (1 / 3))
    if run[-1] >= most:
        run = np.searchsorted(rising, rising) * most // n
    number, count = run[places], int(run[-1]) + 1
    cell = number * folds + np.arange(folds)[:, None]
    fitted, left_out = np.empty_like(seen), np.empty_like(seen)
    draws = np.bincount(cell.ravel(), present.ravel(), count * folds).reshape(count, folds)
    for o in range(m):
        sums = np.bincount(cell.ravel(), seen[:, :, o].ravel(), count * folds).reshape(count, folds)
        others, mean = draws.sum(axis=1, keepdims=True) - draws, (sums.sum() - sums.sum(axis=0)) / (draws.sum() - draws.sum(axis=0))
        without = np.where(others > 0, (sums.sum(axis=1, keepdims=True) - sums) / np.maximum(others, 1), mean)
        whole = sums.sum(axis=1) / np.maximum(draws.sum(axis=1), 1)
        fitted[:, :, o], left_out[:, :, o] = whole[number] * present, without.ravel()[cell] * present
    return fitted, left_out
