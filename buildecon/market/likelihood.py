"""How likely each piece of evidence is, for the middle and the spread of the prices of like cars."""

from dataclasses import dataclass

import numpy as np
from scipy import special

LOG_ROOT_2_PI = 0.5 * np.log(2 * np.pi)
NARROW = 1e-9  # an interval that is no wider is a figure: rounding would leave nothing of it
LEAST_CURVATURE = 1e-3  # of a row with odd-row errors, in units of 1/scale^2: keeps Newton's step finite where the likelihood bends the wrong way


@dataclass(frozen=True)
class Rows:
    """Evidence as arrays, one row a car; a figure known exactly has both ends alike.

    Parameters
    ----------
    low, high : ndarray, shape (n,)
        The log price of the car lies between them; infinite where there is no bound. [-]
    spread : ndarray, shape (n,)
        Standard deviation in logs that a row has on top of the spread between cars. [-]
    weight : ndarray, shape (n,)
        Times its log likelihood; 1 for an ordinary row. [-]
    x : ndarray, shape (n, k)
        What is known of the car, a column a coefficient; the first is 1. [-]

    Raises
    ------
    ValueError
        If a low end is above its high end or both are infinite on the same side, a spread or a weight is below 0, a figure is no number,
        or the arrays are not of one length.
    """

    low: np.ndarray
    high: np.ndarray
    spread: np.ndarray
    weight: np.ndarray
    x: np.ndarray

    def __post_init__(self):
        for name in ("low", "high", "spread", "weight", "x"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=float))
        lengths = [len(values) for values in (self.low, self.high, self.spread, self.weight, self.x)]
        if not (len(set(lengths)) == 1 and self.x.ndim == 2):
            raise ValueError(f"low, high, spread, weight and x must have one entry a row, got {lengths}.")
        if not np.all(self.low <= self.high):
            raise ValueError("low must be at most high in every row, and neither may be NaN.")
        if not (np.all(self.low < np.inf) and np.all(self.high > -np.inf)):
            raise ValueError("low must be below infinity and high above minus infinity in every row.")
        if not all(np.all((values >= 0) & (values < np.inf)) for values in (self.spread, self.weight)):
            raise ValueError("spread and weight must be at least 0 and finite in every row.")
        if not np.all(np.isfinite(self.x)):
            raise ValueError("x must be finite in every row.")

    @property
    def exact(self):
        """Whether each row is one figure, shape (n,)."""
        return self.high - self.low <= NARROW

    def without(self, i):
        """All rows but one."""
        keep = np.arange(len(self.low)) != i
        return Rows(self.low[keep], self.high[keep], self.spread[keep], self.weight[keep], self.x[keep])


def row_terms(rows, mu, sigma, freedom=np.inf):
    """Log likelihood of each row and its derivatives.

    Parameters
    ----------
    rows : Rows
        n of them. [-]
    mu : ndarray, shape (..., n)
        Middle of the log price of each car. [-]
    sigma : ndarray, shape (...)
        Spread between cars, in logs. [-]
    freedom : float, optional
        Degrees of freedom of Student-t errors; infinite for normal ones. [-]

    Returns
    -------
    log_likelihood, slope, curvature, by_log_sigma : ndarray, shape (..., n)
        The log likelihood; its derivative by mu; minus the second derivative by mu (its expectation for an exact row with t errors);
        its derivative by log sigma. [-]

    Notes
    -----
    With s^2 = sigma^2 + spread^2, z = (y - mu) / s: log f(z) - log s for an exact row, log[F(z_high) - F(z_low)] for an interval or a bound.
    A spread added to t errors is an approximation: the sum is taken to be t again.

    References
    ----------
    Tobin, "Estimation of Relationships for Limited Dependent Variables", *Econometrica* 26 (1958): a bound and a figure in one likelihood.
    """
    sigma = np.asarray(sigma, dtype=float)[..., None]
    scale = np.sqrt(sigma**2 + rows.spread**2)
    terms = [np.zeros(np.broadcast_shapes(mu.shape, scale.shape)) for _ in range(4)]
    exact = rows.exact
    for kind, chosen in ((_exact_terms, exact), (_interval_terms, ~exact)):
        if chosen.any():
            found = kind(rows.low[chosen], rows.high[chosen], mu[..., chosen], scale[..., chosen], freedom)
            for into, values in zip(terms, found, strict=True):
                into[..., chosen] = rows.weight[chosen] * values
    likelihood, slope, curvature, by_scale = terms
    return likelihood, slope, curvature, by_scale * sigma**2 / scale


def _exact_terms(low, high, mu, scale, freedom):
    z = (low - mu) / scale
    if np.isinf(freedom):
        return -0.5 * z**2 - LOG_ROOT_2_PI - np.log(scale), z / scale, 1 / scale**2 + 0 * z, (z**2 - 1) / scale
    pull = (freedom + 1) * z / (freedom + z**2)
    return log_density(z, freedom) - np.log(scale), pull / scale, (freedom + 1) / (freedom + 3) / scale**2 + 0 * z, (z * pull - 1) / scale


def _interval_terms(low, high, mu, scale, freedom):
    z_low, z_high = (low - mu) / scale, (high - mu) / scale
    flip = z_low > -z_high  # worked in the left tail, where nothing cancels
    a, b = np.where(flip, -z_high, z_low), np.where(flip, -z_low, z_high)
    log_a, log_b = _log_cdf(a, freedom), _log_cdf(b, freedom)
    with np.errstate(divide="ignore"):
        log_mass = log_b + np.log1p(-np.exp(np.minimum(log_a - log_b, -1e-300)))
    p_low, p_high = (np.where(np.isfinite(z), np.exp(log_density(z, freedom) - log_mass), 0.0) for z in (z_low, z_high))
    z_low, z_high = np.where(np.isfinite(z_low), z_low, 0.0), np.where(np.isfinite(z_high), z_high, 0.0)
    slope = (p_low - p_high) / scale
    bend = [z if np.isinf(freedom) else (freedom + 1) * z / (freedom + z**2) for z in (z_low, z_high)]
    curvature = (bend[1] * p_high - bend[0] * p_low) / scale**2 + slope**2
    if np.isfinite(freedom):
        curvature = np.maximum(curvature, LEAST_CURVATURE / scale**2)
    return log_mass, slope, curvature, -(z_high * p_high - z_low * p_low) / scale


def log_density(z, freedom=np.inf):
    """Log density of the standard normal or Student-t error.

    Parameters
    ----------
    z : ndarray, shape (...)
        Standardised errors. [-]
    freedom : float, optional
        Degrees of freedom; infinite for the normal. [-]

    Returns
    -------
    ndarray, shape (...)
        Log density. [-]
    """
    if np.isinf(freedom):
        return -0.5 * z**2 - LOG_ROOT_2_PI
    constant = special.gammaln((freedom + 1) / 2) - special.gammaln(freedom / 2) - 0.5 * np.log(freedom * np.pi)
    return constant - (freedom + 1) / 2 * np.log1p(z**2 / freedom)


def cumulative(z, freedom=np.inf):
    """Chance that a standard error is at most z.

    Parameters
    ----------
    z : ndarray, shape (...)
        Standardised errors. [-]
    freedom : float, optional
        Degrees of freedom; infinite for the normal. [-]

    Returns
    -------
    ndarray, shape (...)
        Chance. [-]
    """
    if np.isinf(freedom):
        return special.ndtr(z)
    if freedom == 4:  # closed form, a tenth of the time
        z = np.clip(z, -1e8, 1e8)  # beyond it nothing changes, and infinity over infinity is no number
        u = z / np.sqrt(1 + z**2 / 4)
        return 0.5 + 0.375 * u * (1 - u**2 / 12)
    return special.stdtr(freedom, z)


def _log_cdf(z, freedom):
    with np.errstate(divide="ignore"):
        return special.log_ndtr(z) if np.isinf(freedom) else np.log(special.stdtr(freedom, z))
