"""How long components last: by distance, hours or years, whichever clock wears them; one life is in the unit of its clock throughout."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from buildecon.quantities.bounds import within

FARTHEST = 1e300  # stands for never where it is multiplied by a chance of 0
SHORTEST = 1e-9  # no life may be shorter: it is divided by
HAIR = 1e-9  # a sure life may be this share of itself short of a whole number of lives


@dataclass(frozen=True)
class Life:
    """Length of life of one component, as three functions of arrays.

    Parameters
    ----------
    survival : callable
        Chance to last beyond a reading of the clock; 1 at 0. [-]
    quantile : callable
        The reading that a given share of them lasts beyond: the inverse of `survival`. [-]
    tail : callable
        Integral of `survival` from a reading on; at 0 it is the mean life. [-]
    exact : callable, optional
        Expected renewals by a reading, of a part that has run so far, where a formula is known. [-]
    """

    survival: Callable
    quantile: Callable
    tail: Callable
    exact: Callable | None = None

    @property
    def mean(self):
        """Mean life, in the unit of its clock."""
        return float(self.tail(0.0))

    @property
    def median(self):
        """Life that half of them reach, in the unit of its clock."""
        return float(self.quantile(0.5))

    def failed(self, reading):
        """Chance to have failed by a reading of the clock."""
        return 1 - self.survival(reading)


def weibull(shape, scale):
    """Weibull life, survival exp(-(t / scale)^shape).

    Parameters
    ----------
    shape : float
        Above 1 the part wears out, below 1 it fails early, at 1 it has no memory. [-]
    scale : float
        Reading that 36.8 % last beyond, in the unit of the clock. [-]

    Returns
    -------
    Life
        In the unit of `scale`. [-]

    Notes
    -----
    Mean scale gamma(1 + 1 / shape); the tail from u is the mean times the regularised upper incomplete gamma function Q(1 / shape, (u / scale)^shape).

    Examples
    --------
    >>> print(f"{weibull(2.5, 180_000).mean:,.0f}")
    159,707
    """
    from scipy.special import gamma, gammaincc

    shape, scale = within("shape", shape, SHORTEST), within("scale", scale, SHORTEST)

    def wear(t):
        with np.errstate(over="ignore"):  # far beyond any life: survival 0
            return (_reading(t) / scale) ** shape

    return Life(
        lambda t: np.exp(-wear(t)),
        lambda share: scale * (-np.log(_share(share))) ** (1 / shape),
        lambda t: scale * gamma(1 + 1 / shape) * gammaincc(1 / shape, wear(t)),
    )


def lognormal(median, spread):
    """Lognormal life: its logarithm is normal, as found for oil control of petrol car engines.

    Parameters
    ----------
    median : float
        Reading that half of them last beyond, the B50 life, in the unit of the clock. [-]
    spread : float
        Standard deviation of the natural logarithm, above 0. [-]

    Returns
    -------
    Life
        In the unit of `median`. [-]

    Notes
    -----
    Tail from u, with z = ln(u / median) / spread: median exp(spread^2 / 2) Phi(spread - z) - u Phi(-z).

    References
    ----------
    Bertodo, "Reliability and durability of automotive prime movers", *Int. J. Vehicle Design*: wear-out is log-normal (abstract read).
    """
    from scipy.special import ndtr, ndtri

    median, spread = within("median", median, SHORTEST), within("spread", spread, SHORTEST)

    def z(t):
        with np.errstate(divide="ignore"):
            return np.log(_reading(t) / median) / spread

    return Life(
        lambda t: ndtr(-z(t)),
        lambda share: median * np.exp(-spread * ndtri(_share(share))),
        lambda t: np.maximum(median * np.exp(spread**2 / 2) * ndtr(spread - z(t)) - np.minimum(_reading(t), FARTHEST) * ndtr(-z(t)), 0),
    )


def exponential(mean):
    """Life without memory: a used part is as good as a new one.

    Parameters
    ----------
    mean : float
        Mean life, in the unit of the clock. [-]

    Returns
    -------
    Life
        In the unit of `mean`; t / mean renewals are expected by t. [-]
    """
    mean = within("mean", mean, SHORTEST)
    return Life(
        lambda t: np.exp(-_reading(t) / mean),
        lambda share: -mean * np.log(_share(share)),
        lambda t: mean * np.exp(-_reading(t) / mean),
        lambda t, used: _reading(t) / mean,
    )


def sure(length):
    """Life that is always the same, such as a service interval.

    Parameters
    ----------
    length : float
        In the unit of the clock. [-]

    Returns
    -------
    Life
        In the unit of `length`; one renewal whenever another length is full. [-]
    """
    length = within("length", length, SHORTEST)
    return Life(
        lambda t: np.where(_reading(t) < length * (1 - HAIR), 1.0, 0.0)[()],
        lambda share: np.full_like(_share(share), length)[()],
        lambda t: np.maximum(length - _reading(t), 0),
        lambda t, used: np.floor((_reading(t) + used) / length + HAIR),
    )


def life_from_table(readings, survival):
    """Life whose survival is read off a table in straight lines; those that outlast the table end with it.

    Parameters
    ----------
    readings : array_like, shape (n,)
        From 0 on, rising, in the unit of the clock. [-]
    survival : array_like, shape (n,)
        Share that lasts beyond each: 1 at first, never rising. [-]

    Returns
    -------
    Life
        In the unit of `readings`. [-]

    Examples
    --------
    >>> print(f"{life_from_table([0, 10, 20], [1, 0.6, 0]).mean:.1f}")
    11.0
    """
    at, share = np.asarray(within("readings", readings, 0)), np.asarray(within("survival", survival, 0, 1))
    if at.shape != share.shape or at.ndim != 1 or at.size < 2:
        raise ValueError(f"survival must be as many as readings, two or more, got {share.size} and {at.size}.")
    if at[0] != 0 or np.any(np.diff(at) <= 0):
        raise ValueError(f"readings must start at 0 and rise, got {at.tolist()}.")
    if share[0] != 1 or np.any(np.diff(share) > 0):
        raise ValueError(f"survival must start at 1 and never rise, got {share.tolist()}.")
    left = np.append(np.cumsum((np.diff(at) * (share[1:] + share[:-1]) / 2)[::-1])[::-1], 0.0)

    def lasting(t):
        return np.where(_reading(t) < at[-1], np.interp(_reading(t), at, share), 0.0)[()]

    def tail(t):
        t = np.minimum(_reading(t), at[-1])
        k = np.clip(np.searchsorted(at, t, side="right") - 1, 0, at.size - 2)
        return left[k] - (t - at[k]) * (share[k] + np.interp(t, at, share)) / 2

    return Life(lasting, lambda wanted: _read_backwards(_share(wanted), at, share), tail)


def once_used(life, used):
    """Life left in a part that has already run for a while and still works.

    Parameters
    ----------
    life : Life
        Of the part when new. [-]
    used : float
        What it has run, in the unit of the clock; some must last that long. [-]

    Returns
    -------
    Life
        From now on, in the same unit. [-]

    Notes
    -----
    S(used + t) / S(used). A part that wears out has less than the mean life left; one that fails early has more.
    """
    used = within("used", used, 0)
    alive = life.survival(used)
    if not alive > 0:
        raise ValueError(f"used must be a reading that some reach, got {used:,}. A part that has outlasted its life needs a longer life.")
    return Life(
        lambda t: life.survival(_reading(t) + used) / alive,
        lambda share: np.maximum(life.quantile(_share(share) * alive) - used, 0),
        lambda t: life.tail(_reading(t) + used) / alive,
        None if life.exact is None else lambda t, more: life.exact(t, used + more),
    )


def _read_backwards(wanted, at, share):
    """The reading at which the share that lasts has come down to each one wanted; the last where it never does."""
    falling = np.append(True, np.diff(share) < 0)
    return np.interp(-wanted, -share[falling], at[falling], right=at[-1])


def _reading(t):
    return np.asarray(t, dtype=float)[()]


def _share(share):
    return np.asarray(share, dtype=float)[()]
