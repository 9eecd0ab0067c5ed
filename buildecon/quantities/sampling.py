"""Drawing what is not known: spreads by their quantiles, inputs that move together, and even points with an honest error."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from buildecon.quantities.bounds import within

EDGE = 1e-12  # a point on the edge of the unit cube would be infinitely far out
KNOTS = 513  # of a tabulated quantile, evenly spaced on the normal scale
FAR = 8.0  # standard deviations to which the table reaches
TEN_IN_A_HUNDRED = 1.2815515655446004  # normal score of 90 %
SCRAMBLINGS = 8
LEAST_EIGENVALUE = 1e-10


def triangular(low, likely, high):
    """Quantile function of a triangle.

    Parameters
    ----------
    low, likely, high : float
        In rising order; the ends are never left. [-]

    Returns
    -------
    callable
        From chances to figures. [-]

    Notes
    -----
    Mean (low + likely + high) / 3.
    """
    low, likely, high = _rising(low, likely, high)
    if low == high:
        return lambda u: np.full(np.shape(u), low)[()]
    turn = (likely - low) / (high - low)

    def quantile(u):
        u = np.asarray(u, dtype=float)
        rising = low + np.sqrt(u * (high - low) * (likely - low))
        falling = high - np.sqrt((1 - u) * (high - low) * (high - likely))
        return np.where(u < turn, rising, falling)[()]

    return quantile


def pert(low, likely, high):
    """Quantile function of a PERT distribution, a beta with four parts of the likely figure.

    Parameters
    ----------
    low, likely, high : float
        In rising order; the ends are never left. [-]

    Returns
    -------
    callable
        From chances to figures; by a table of 513 knots, of an error near 1e-8 of the range. [-]

    Notes
    -----
    Mean m = (low + 4 likely + high) / 6, variance (m - low) (high - m) / 7.

    References
    ----------
    Malcolm and others, "Application of a Technique for Research and Development Program Evaluation", *Operations Research* 7 (1959), from memory.
    """
    low, likely, high = _rising(low, likely, high)
    if low == high:
        return lambda u: np.full(np.shape(u), low)[()]
    share = (likely - low) / (high - low)
    curve = _beta_curve(1 + 4 * share, 5 - 4 * share)
    return lambda u: (low + (high - low) * np.clip(curve(_score(u)), 0, 1))[()]


def lognormal(tenth, ninetieth):
    """Quantile function of a lognormal that is below one figure in a tenth of cases, and below another in nine tenths.

    Parameters
    ----------
    tenth, ninetieth : float
        Above 0, in rising order. [-]

    Returns
    -------
    callable
        From chances to figures. [-]
    """
    tenth, ninetieth = float(within("tenth", tenth, 1e-300)), float(within("ninetieth", ninetieth, 1e-300))
    if not tenth <= ninetieth:
        raise ValueError(f"tenth must be at most ninetieth, got {tenth:,} and {ninetieth:,}.")
    middle, sd = (np.log(tenth) + np.log(ninetieth)) / 2, np.log(ninetieth / tenth) / (2 * TEN_IN_A_HUNDRED)
    return lambda u: np.exp(middle + sd * _score(u))[()]


def normal(tenth, ninetieth):
    """Quantile function of a normal that is below one figure in a tenth of cases, and below another in nine tenths.

    Parameters
    ----------
    tenth, ninetieth : float
        In rising order. [-]

    Returns
    -------
    callable
        From chances to figures. [-]
    """
    tenth, _, ninetieth = _rising(tenth, (float(tenth) + float(ninetieth)) / 2, ninetieth)
    return lambda u: ((tenth + ninetieth) / 2 + (ninetieth - tenth) / (2 * TEN_IN_A_HUNDRED) * _score(u))[()]


def empirical(figures):
    """Quantile function of what was seen; it never leaves the figures.

    Parameters
    ----------
    figures : array_like, shape (n,)
        At least one. [-]

    Returns
    -------
    callable
        From chances to figures, straight between them. [-]
    """
    seen = np.sort(np.asarray(within("figures", figures), dtype=float).ravel())
    if not seen.size:
        raise ValueError("figures must hold at least one, got none.")
    return lambda u: np.quantile(seen, np.clip(u, 0, 1))


def of_estimate(estimate, shape=triangular):
    """Quantile function of a number of the owner's files.

    Parameters
    ----------
    estimate : Estimate
        A number or a range. [-]
    shape : callable, optional
        `triangular` or `pert`. [-]

    Returns
    -------
    callable
        From chances to figures. [-]
    """
    return shape(*estimate.floats)


@dataclass(frozen=True)
class Together:
    """Correlation between normal scores, made possible where what was asked for is not.

    Parameters
    ----------
    matrix : ndarray, shape (d, d)
        Used. [-]
    root : ndarray, shape (d, d)
        Lower triangle with root root' = matrix. [-]
    moved : float
        The largest change of an entry that was needed; 0 where the wanted ones go together. [-]
    """

    matrix: np.ndarray
    root: np.ndarray
    moved: float


def correlated(wanted):
    """Normal correlation for wanted rank correlations, repaired where they cannot all be had.

    Parameters
    ----------
    wanted : array_like, shape (d, d)
        Spearman's, symmetric, 1 on the diagonal. [-]

    Returns
    -------
    Together
        With the largest change. [-]

    Raises
    ------
    ValueError
        If it is not symmetric, an entry is outside -1 to 1, or its diagonal is not 1.

    Notes
    -----
    2 sin(pi r / 6) of each; negative eigenvalues are clipped and the diagonal made 1 again.

    References
    ----------
    Kruskal, "Ordinal Measures of Association", *Journal of the American Statistical Association* 53 (1958): the formula, from memory.
    """
    wanted = np.asarray(within("wanted", wanted, -1, 1), dtype=float)
    if wanted.ndim != 2 or not np.allclose(wanted, wanted.T) or not np.allclose(np.diag(wanted), 1):
        raise ValueError("wanted must be symmetric with 1 on its diagonal.")
    normal = 2 * np.sin(np.pi * wanted / 6)
    values, vectors = np.linalg.eigh(normal)
    if values.min() < LEAST_EIGENVALUE:
        repaired = (vectors * np.maximum(values, LEAST_EIGENVALUE)) @ vectors.T
        size = np.sqrt(np.diag(repaired))
        repaired = repaired / np.outer(size, size)
    else:
        repaired = normal
    return Together(repaired, np.linalg.cholesky(repaired), float(np.abs(repaired - normal).max()))


def points(n, d, seed):
    """Scrambled Sobol points of the unit cube.

    Parameters
    ----------
    n : int
        A power of two, else their balance is lost. [-]
    d : int
        Inputs. [-]
    seed : int
        The same seed gives the same points. [-]

    Returns
    -------
    ndarray, shape (n, d)
        Never on the edge. [-]
    """
    if n < 1 or n & (n - 1):
        raise ValueError(f"n must be a power of two, got {n:,}. Write 1024 or 4096.")
    from scipy.stats import qmc

    return np.clip(qmc.Sobol(d, scramble=True, seed=seed).random(n), EDGE, 1 - EDGE)


def drawn(quantiles, n, seed, together=None):
    """A sample of every input.

    Parameters
    ----------
    quantiles : dict of str to callable
        Quantile functions by input. [-]
    n : int
        A power of two. [-]
    seed : int
        Of the points. [-]
    together : Together, optional
        In the order of the inputs; each by itself by default. A Gaussian copula: what moves together does so no more in its extremes. [-]

    Returns
    -------
    dict of str to ndarray, shape (n,)
        Figures by input; options that share an input share its draws. [-]
    """
    if not quantiles:
        return {}
    even = points(n, len(quantiles), seed)
    if together is not None:
        from scipy.special import ndtr

        even = np.clip(ndtr(_score(even) @ together.root.T), EDGE, 1 - EDGE)
    return {name: np.asarray(quantile(even[:, k])) for k, (name, quantile) in enumerate(quantiles.items())}


def drawn_in_blocks(quantiles, n, seeds, root=None):
    """A sample of every input from several independent scramblings, one block after the other.

    Parameters
    ----------
    quantiles : dict of str to callable
        Quantile functions by input. [-]
    n : int
        Of each block, a power of two. [-]
    seeds : sequence of int
        One a block. [-]
    root : ndarray, shape (d, d), optional
        Of a `Together`, in the order of the inputs; each by itself by default. [-]

    Returns
    -------
    dict of str to ndarray, shape (blocks x n,)
        Figures by input; each block by itself is even, so the spread of its figures tells their error. [-]
    """
    if not quantiles:
        return {}
    even = np.concatenate([points(n, len(quantiles), seed) for seed in seeds])
    if root is not None:
        from scipy.special import ndtr

        even = np.clip(ndtr(_score(even) @ root.T), EDGE, 1 - EDGE)
    columns = np.ascontiguousarray(even.T)
    return {name: np.asarray(quantile(columns[k])) for k, (name, quantile) in enumerate(quantiles.items())}


def error_of_blocks(figures, blocks):
    """Standard error of a mean over draws that came in blocks.

    Parameters
    ----------
    figures : array_like, shape (..., blocks x n)
        One a draw. [-]
    blocks : int
        At least two. [-]

    Returns
    -------
    ndarray or float, shape (...)
        From the spread of the blocks' means; with even points far below sqrt(p (1 - p) / n). [-]
    """
    figures = np.asarray(figures, dtype=float)
    means = figures.reshape(*figures.shape[:-1], blocks, -1).mean(axis=-1)
    return (means.std(axis=-1, ddof=1) / np.sqrt(blocks))[()]


def with_error(figure, seeds=range(SCRAMBLINGS)):
    """A figure from several independent scramblings, with its standard error.

    Parameters
    ----------
    figure : callable
        From a seed to a figure, or an array of them. [-]
    seeds : sequence of int, optional
        One a scrambling. [-]

    Returns
    -------
    mean, error : ndarray or float, shape (...)
        Over the scramblings. sqrt(p (1 - p) / n) of a single one would be too large for such points. [-]
    """
    found = np.array([figure(seed) for seed in seeds], dtype=float)
    if len(found) < 2:
        raise ValueError(f"seeds must be at least two, got {len(found)}.")
    return found.mean(axis=0)[()], (found.std(axis=0, ddof=1) / np.sqrt(len(found)))[()]


def _rising(low, likely, high):
    low, likely, high = (float(within(name, value)) for name, value in (("low", low), ("likely", likely), ("high", high)))
    if not low <= likely <= high:
        raise ValueError(f"low, likely and high must rise, got {low:,}, {likely:,} and {high:,}.")
    return low, likely, high


def _score(u):
    from scipy.special import ndtri

    return ndtri(np.clip(np.asarray(u, dtype=float), EDGE, 1 - EDGE))


@lru_cache(maxsize=256)
def _beta_curve(a, b):
    """Quantile of a beta on the normal scale, tabulated; scipy's own takes twenty times as long."""
    from scipy.interpolate import PchipInterpolator
    from scipy.special import betaincinv, ndtr

    at = np.linspace(-FAR, FAR, KNOTS)
    return PchipInterpolator(at, betaincinv(a, b, ndtr(at)))
