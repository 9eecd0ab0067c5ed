"""What moves the answer: each input to its low and its high by itself, and its share of all that is not known."""

from dataclasses import dataclass

import numpy as np

from buildecon.quantities.sampling import points, with_error

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9


@dataclass(frozen=True)
class Swings:
    """The answer with one input at a time moved from its middle.

    Parameters
    ----------
    names : tuple of str
        Inputs, in their own order. [-]
    middle : float
        All at their middle. [money]
    low, high : ndarray, shape (d,)
        That input at the figure it is below in a tenth of cases, and in nine tenths. [money]
    flips : ndarray of bool, shape (d,)
        Whether the answer changes its sign on the way. [-]
    """

    names: tuple
    middle: float
    low: np.ndarray
    high: np.ndarray
    flips: np.ndarray

    @property
    def widest_first(self):
        """Places of the inputs, the one that moves the answer most first; equal ones as they came."""
        return np.argsort(-np.abs(self.high - self.low), kind="stable")


def tornado(answer, quantiles):
    """Each input at its P10 and its P90 with all others at their median.

    Parameters
    ----------
    answer : callable
        From arrays by input, each of shape (m,), to figures of shape (m,); asked once. [money]
    quantiles : dict of str to callable
        Quantile functions by input. [-]

    Returns
    -------
    Swings
        It shows which way each works; not what two do together, nor whether it matters to the choice. [money]

    Raises
    ------
    ValueError
        If the answer is not finite.
    """
    names, runs = _named(quantiles), {}
    for k, name in enumerate(names):
        low, middle, high = np.asarray(quantiles[name](np.array([LOW, MIDDLE, HIGH])), dtype=float)
        runs[name] = np.full(2 * len(names) + 1, middle)
        runs[name][1 + 2 * k : 3 + 2 * k] = low, high
    found = _finite(answer, runs, 2 * len(names) + 1)
    middle, low, high = found[0], found[1::2], found[2::2]
    ends = np.stack([low, np.full_like(low, middle), high])
    return Swings(names, float(middle), low, high, (ends.min(axis=0) < 0) & (ends.max(axis=0) > 0))


@dataclass(frozen=True)
class Indices:
    """Shares of the answer's variance, inputs taken as independent.

    Parameters
    ----------
    names : tuple of str
        Inputs, in their own order. [-]
    first, total : ndarray, shape (d,)
        What goes with the input by itself, and with it and all it does together with others. [-]
    first_error, total_error : ndarray, shape (d,)
        Standard errors over the scramblings; NaN where there was one. [-]
    variance : float
        Of the answer. [-]
    """

    names: tuple
    first: np.ndarray
    total: np.ndarray
    first_error: np.ndarray
    total_error: np.ndarray
    variance: float


def indices(answer, quantiles, n, seed, scramblings=1):
    """Sobol's indices of each input, first order and total.

    Parameters
    ----------
    answer : callable
        From arrays by input, each of shape (m,), to figures of shape (m,); asked once a scrambling, with m = n (d + 2). [money]
    quantiles : dict of str to callable
        Quantile functions by input. [-]
    n : int
        A power of two. [-]
    seed : int
        Of the first scrambling; the others follow on. [-]
    scramblings : int, optional
        From two on, their mean with its standard error; it takes as many times as long. [-]

    Returns
    -------
    Indices
        For each input; 0 where nothing varies. They hold for independent inputs only: for others see `information.first_order`. [-]

    Raises
    ------
    ValueError
        If n is no power of two, scramblings is below 1, or the answer is not finite.

    Notes
    -----
    With two samples A and B, and A with column i from B: first order mean(f(B) (f(A with i) - f(A))) / V, total mean((f(A) - f(A with i))^2) / (2 V),
    the mean of the answer taken off before. A bootstrap would make the error of even points several times too wide.

    References
    ----------
    Saltelli and others, "Variance based sensitivity analysis of model output", *Computer Physics Communications* 181 (2010), table 2: the first order,
    and Jansen's total (1999); both from memory.
    """
    names = _named(quantiles)
    if not scramblings >= 1:
        raise ValueError(f"scramblings must be at least 1, got {scramblings}.")

    def one(at):
        return _shares(answer, quantiles, n, at)

    if scramblings == 1:
        found = one(seed)
        error = np.full_like(found, np.nan)
    else:
        found, error = with_error(one, range(seed, seed + scramblings))
    return Indices(names, found[0], found[1], error[0], error[1], float(found[2, 0]))


def _shares(answer, quantiles, n, seed):
    """First order, total and variance, shape (3, d)."""
    d = len(quantiles)
    even = points(n, 2 * d, seed)
    runs = {}
    for k, (name, quantile) in enumerate(quantiles.items()):
        column = np.asarray(quantile(even[:, [k, d + k]].T), dtype=float)
        runs[name] = column[np.array([0, 1] + [int(i == k) for i in range(d)])].ravel()
    found = _finite(answer, runs, n * (d + 2)).reshape(d + 2, n)
    first, mixed = found[0], found[2:]
    both = found[:2] - found[:2].mean()
    variance = np.mean(both**2)
    if not variance > 0:
        return np.zeros((3, d))
    return np.stack([
        (mixed - first) @ both[1] / n / variance,
        np.mean((mixed - first) ** 2, axis=1) / (2 * variance),
        np.full(d, variance),
    ])  # fmt: skip


def _named(quantiles):
    if not quantiles:
        raise ValueError("quantiles must hold at least one input, got none.")
    return tuple(quantiles)


def _finite(answer, runs, m):
    found = np.asarray(answer(runs), dtype=float)
    if found.shape != (m,):
        raise ValueError(f"answer must give one figure a run, {m:,}, got shape {found.shape}.")
    if not np.all(np.isfinite(found)):
        at = int(np.flatnonzero(~np.isfinite(found))[0])
        raise ValueError(f"answer must be finite, got {found[at]} at " + ", ".join(f"{name} {column[at]:,.6g}" for name, column in runs.items()) + ".")
    return found
