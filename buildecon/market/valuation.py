"""The price of one car from evidence of several kinds: shrinkage towards stated beliefs, with every uncertainty in the range."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import special

from buildecon.market.likelihood import Rows, cumulative, log_density, row_terms

NODES = 31  # of log sigma
POINTS = 128  # of the coefficients at each node, where rows are not all exact
ENOUGH = 200  # effective points; with fewer they are doubled
FAINT = 28.0  # log density below the top at which the grid of log sigma ends
ODD_ROWS = 4.0  # degrees of freedom where odd rows are allowed: common practice, no source
PROPOSAL = 5.0  # degrees of freedom of the t from which coefficients are drawn
SPREAD, SPREAD_SD = 0.20, 0.5  # log sigma ~ N(log 0.20, 0.5^2): six models of used car asked for 0.13 to 0.32 (Stat2Data, ThreeCars and ThreeCars2017)


@dataclass(frozen=True)
class Prior:
    """What is believed before the evidence: each coefficient normal, and the log of the spread between cars too.

    Parameters
    ----------
    mean, sd : ndarray, shape (k,)
        Of each coefficient, in logs; an infinite sd for no belief at all. [-]
    spread, spread_sd : float, optional
        Middle of the spread between cars, and the sd of its log; infinite for no belief. [-]

    Raises
    ------
    ValueError
        If a mean is not finite, an sd or the spread is not above 0, or there are not as many sds as means.
    """

    mean: np.ndarray
    sd: np.ndarray
    spread: float = SPREAD
    spread_sd: float = SPREAD_SD

    def __post_init__(self):
        for name in ("mean", "sd"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=float))
        if not np.all(self.sd > 0):
            raise ValueError(f"sd must be above 0 for every coefficient, got {self.sd}.")
        if not (self.mean.shape == self.sd.shape and np.all(np.isfinite(self.mean))):
            raise ValueError(f"mean must be one finite number for each of the {self.sd.size} coefficients, got {self.mean}.")
        if not (0 < self.spread < np.inf and self.spread_sd > 0):
            raise ValueError(f"spread and spread_sd must be above 0, got {self.spread} and {self.spread_sd}.")

    @property
    def precision(self):
        """1 / sd^2, shape (k,)."""
        return 1 / self.sd**2

    def log_of_spread(self, log_sigma):
        """Log density of the log of the spread, without its constant."""
        return -0.5 * ((log_sigma - np.log(self.spread)) / self.spread_sd) ** 2 if np.isfinite(self.spread_sd) else 0 * log_sigma


@dataclass(frozen=True)
class Fit:
    """What evidence and belief say together: a mixture of c parts, each with its coefficients and spread.

    Parameters
    ----------
    rows : Rows
        The evidence. [-]
    prior : Prior
        The beliefs. [-]
    freedom : float
        Degrees of freedom of the errors; infinite for normal ones. [-]
    share : ndarray, shape (c,)
        Weight of each part; they add up to 1. [-]
    beta : ndarray, shape (c, k)
        Coefficients of each part. [-]
    cov : ndarray, shape (c, k, k) or None
        Their covariance; None where the parts are points. [-]
    sigma : ndarray, shape (c,)
        Spread between cars. [-]
    """

    rows: Rows
    prior: Prior
    freedom: float
    share: np.ndarray
    beta: np.ndarray
    cov: np.ndarray | None
    sigma: np.ndarray

    @property
    def mean(self):
        """Mean of each coefficient, shape (k,)."""
        return self.share @ self.beta

    @property
    def covariance(self):
        """Covariance of the coefficients, shape (k, k)."""
        off = self.beta - self.mean
        within = 0 if self.cov is None else np.einsum("c,cij->ij", self.share, self.cov)
        return within + np.einsum("c,ci,cj->ij", self.share, off, off)

    @property
    def prior_share(self):
        """How much of each coefficient's belief the evidence has left: variance after over variance before, shape (k,)."""
        return np.clip(np.diag(self.covariance) * self.prior.precision, 0, 1)

    @property
    def spread(self):
        """Median of the spread between cars."""
        sigma, node = np.unique(self.sigma, return_inverse=True)
        share = np.bincount(node, self.share)
        return float(np.exp(np.interp(0.5, np.cumsum(share) - share / 2, np.log(sigma))))

    def leverage(self, x):
        """How far outside the evidence a car is: variance of its line over the variance between cars; above 1 is outside."""
        x = np.asarray(x, dtype=float)
        return float(x @ self.covariance @ x / self.spread**2)

    def quantiles(self, x, shares, line=False):
        """Log prices below which a car's price lies with the given chances.

        Parameters
        ----------
        x : array_like, shape (k,)
            The car. [-]
        shares : array_like, shape (q,)
            Chances between 0 and 1. [-]
        line : bool, optional
            Of the middle of the market for such cars instead of one car's price. [-]

        Returns
        -------
        ndarray, shape (q,)
            Log prices. [-]
        """
        middle, width = self._parts(x, line)
        shares = np.asarray(shares, dtype=float)
        if not width.any():
            order = np.argsort(middle)
            return np.interp(shares, np.cumsum(self.share[order]) - self.share[order] / 2, middle[order])
        return _mixture_quantiles(self.share, middle, width, shares, self.freedom)

    def chance_above(self, x, log_price, line=False):
        """Chance that a car sells for more than some prices.

        Parameters
        ----------
        x : array_like, shape (k,)
            The car. [-]
        log_price : array_like, shape (q,)
            Log of each price; minus infinity for a price of 0. [-]
        line : bool, optional
            For the middle of the market instead. [-]

        Returns
        -------
        ndarray, shape (q,)
            Chances. [-]
        """
        middle, width = self._parts(x, line)
        away = middle - np.asarray(log_price, dtype=float)[..., None]
        if not width.any():
            return (away > 0) @ self.share
        return cumulative(away / width, self.freedom) @ self.share

    def _parts(self, x, line):
        """Middle and width of each part for one car."""
        x = np.asarray(x, dtype=float)
        variance = np.zeros(len(self.share)) if self.cov is None else np.einsum("i,cij,j->c", x, self.cov, x)
        return self.beta @ x, np.sqrt(variance + (0 if line else self.sigma**2))


def fitted(rows, prior, odd_rows=False):
    """Evidence and beliefs brought together.

    Parameters
    ----------
    rows : Rows
        Any number, none among them. [-]
    prior : Prior
        A belief for each column. [-]
    odd_rows : bool, optional
        Whether the errors have the long tails of a Student-t, so that a row far off counts for little. [-]

    Returns
    -------
    Fit
        The same for the same rows on every run. [-]

    Raises
    ------
    ValueError
        If there are not as many beliefs as columns.

    Notes
    -----
    The coefficients are normal around their best value at each of 31 nodes of log sigma, and each node counts by its evidence.
    Where every row is exact and the errors are normal that is exact but for the grid. Elsewhere 128 quasi-random points a node, drawn from a t
    around the best value, are weighted by the true density, because the normal shape fails where only one side is known.

    References
    ----------
    Rue, Martino and Chopin, "Approximate Bayesian inference for latent Gaussian models by using integrated nested Laplace approximations",
    *Journal of the Royal Statistical Society B* 71 (2009): the nodes of the spread with a normal shape at each.
    Gelman and others, *Bayesian Data Analysis*, 3rd edition (2013), section 10.4: importance sampling from a t.
    """
    if len(prior.mean) != rows.x.shape[1]:
        raise ValueError(f"prior must hold one belief for each of the {rows.x.shape[1]} columns, got {len(prior.mean)}.")
    freedom = ODD_ROWS if odd_rows else np.inf
    log_sigma, beta, precision, evidence = _zoomed(rows, prior, freedom)
    sigma = np.exp(log_sigma)
    if rows.exact.all() and not odd_rows:
        return Fit(rows, prior, freedom, shares_of(evidence), beta, np.linalg.inv(precision), sigma)
    points = POINTS
    while True:
        drawn, log_share = _drawn(rows, prior, freedom, sigma, beta, precision, points)
        share = shares_of((log_share + prior.log_of_spread(log_sigma)[:, None]).ravel())
        if 1 / np.sum(share**2) >= ENOUGH or points >= 8 * POINTS:
            return Fit(rows, prior, freedom, share, drawn.reshape(-1, drawn.shape[-1]), None, np.repeat(sigma, points))
        points *= 2


def likeliest(rows, freedom=np.inf):
    """The single best fit, without belief and without its own uncertainty: what other programs print.

    Parameters
    ----------
    rows : Rows
        More of them than columns. [-]
    freedom : float, optional
        Degrees of freedom of the errors; infinite for normal ones. [-]

    Returns
    -------
    beta : ndarray, shape (k,)
        Coefficients. [-]
    sigma : float
        Scale of the errors. [-]
    error : ndarray, shape (k + 1,)
        Standard errors of the coefficients and of log sigma, from the curvature. [-]
    log_likelihood : float
        At the best fit. [-]

    References
    ----------
    Amemiya, *Advanced Econometrics* (1985), chapter 10: the likelihood is concave in (beta, 1) / sigma, so that there is one best fit.
    """
    from scipy.optimize import brentq

    flat = Prior(np.zeros(rows.x.shape[1]), np.full(rows.x.shape[1], np.inf), spread_sd=np.inf)

    def best(log_sigma):
        return _best(rows, flat, freedom, np.exp([log_sigma]))[0][0]

    def slope(log_sigma):
        return row_terms(rows, rows.x @ best(log_sigma), np.exp(log_sigma), freedom)[3].sum()

    middle = np.log(_first_scale(rows))
    log_sigma = brentq(slope, middle - 8, middle + 4, xtol=1e-13)
    beta = best(log_sigma)

    def gradient(at):
        _, by_mu, _, by_log_sigma = row_terms(rows, rows.x @ at[:-1], np.exp(at[-1]), freedom)
        return np.append(rows.x.T @ by_mu, by_log_sigma.sum())

    at, step = np.append(beta, log_sigma), 1e-5
    reach = np.append(step / np.maximum(np.abs(rows.x).max(axis=0), 1e-12), step)
    bend = np.array([(gradient(at + d) - gradient(at - d)) / (2 * d.sum()) for d in np.diag(reach)])
    error = np.sqrt(np.diag(np.linalg.inv(-(bend + bend.T) / 2)))
    return beta, float(np.exp(log_sigma)), error, float(row_terms(rows, rows.x @ beta, np.exp(log_sigma), freedom)[0].sum())


def _first_scale(rows):
    """A scale to begin with: the spread of the figures, which is never too small."""
    known = np.where(np.isfinite(rows.low), np.where(np.isfinite(rows.high), (rows.low + np.where(np.isfinite(rows.high), rows.high, 0)) / 2, rows.low), rows.high)
    return max(float(np.std(known[np.isfinite(known)])), 1e-6) if np.isfinite(known).any() else 1.0


def _zoomed(rows, prior, freedom):
    """Nodes of log sigma that span all that counts, with the best coefficients and the evidence at each."""
    known = np.isfinite(prior.spread_sd)
    middle, reach = (np.log(prior.spread), 7 * prior.spread_sd) if known else (np.log(_first_scale(rows)) - 2, 8.0)
    low, high = middle - reach, middle + reach
    for _ in range(12):
        log_sigma = np.linspace(low, high, NODES)
        beta, precision, evidence = _best(rows, prior, freedom, np.exp(log_sigma))
        evidence = evidence + prior.log_of_spread(log_sigma)
        counts = np.flatnonzero(evidence > evidence.max() - FAINT)
        first, last = max(counts[0] - 1, 0), min(counts[-1] + 1, NODES - 1)
        if last - first > 0.6 * NODES:
            break
        low, high = log_sigma[first], log_sigma[last]
    return log_sigma, beta, precision, evidence


def _best(rows, prior, freedom, sigma):
    """Best coefficients at each sigma, the precision around them, and the evidence by Laplace's formula (exact for exact rows with normal errors)."""
    hopeful = np.isfinite(prior.sd)
    centre = np.where(hopeful, prior.mean, 0.0)
    beta = np.tile(centre, (len(sigma), 1))
    plain = rows.exact.all() and np.isinf(freedom)
    if plain or not len(rows.low):
        weight = rows.weight / (sigma[:, None] ** 2 + rows.spread**2)
        precision = np.einsum("jn,na,nb->jab", weight, rows.x, rows.x) + np.diag(prior.precision)
        side = weight * rows.low @ rows.x + prior.precision * centre
        beta = np.linalg.solve(precision, side[..., None])[..., 0]
        value = _log_posterior(rows, prior, centre, freedom, beta, sigma)
    else:
        beta, precision, value = _climbed(rows, prior, centre, freedom, sigma, _start(rows, prior, centre, sigma))
    sign, size = np.linalg.slogdet(precision)
    return beta, precision, value - 0.5 * size


def _start(rows, prior, centre, sigma):
    """Coefficients to climb from: those of the middles and ends of the rows, taken as figures."""
    low, high = np.where(np.isfinite(rows.low), rows.low, rows.high), np.where(np.isfinite(rows.high), rows.high, rows.low)
    known = np.isfinite(low)
    middle = np.where(known, low, 0) / 2 + np.where(known, high, 0) / 2
    return _best(Rows(middle, middle, rows.spread, np.where(known, rows.weight, 0), rows.x), prior, np.inf, sigma)[0]


def _climbed(rows, prior, centre, freedom, sigma, beta):
    """Newton's method for the best coefficients, at all sigmas at once; a step that does not climb is halved."""
    value = _log_posterior(rows, prior, centre, freedom, beta, sigma)
    for _ in range(100):
        _, slope, curvature, _ = row_terms(rows, beta @ rows.x.T, sigma, freedom)
        precision = np.einsum("jn,na,nb->jab", curvature, rows.x, rows.x) + np.diag(prior.precision)
        gradient = slope @ rows.x - prior.precision * (beta - centre)
        step = np.linalg.solve(precision, gradient[..., None])[..., 0]
        gain = np.einsum("ja,ja->j", step, gradient)
        if gain.max() < 1e-22:
            break
        size = np.ones(len(sigma))
        for _ in range(40):
            tried = beta + size[:, None] * step
            reached = _log_posterior(rows, prior, centre, freedom, tried, sigma)
            worse = ~(reached >= value - 1e-9 * np.abs(value) * (gain < 1e-6))
            if not worse.any():
                break
            size = np.where(worse, size / 2, size)
        beta, value = np.where(worse[:, None], beta, tried), np.where(worse, value, reached)
        if worse.all():
            break
    return beta, precision, value


def _log_posterior(rows, prior, centre, freedom, beta, sigma):
    off = beta - centre
    believed = -0.5 * (off**2 @ prior.precision)
    return row_terms(rows, beta @ rows.x.T, sigma, freedom)[0].sum(axis=-1) + believed


def _drawn(rows, prior, freedom, sigma, beta, precision, points):
    """Points around the best coefficients at each sigma, shape (nodes, points, k), and the log of their weights."""
    k = beta.shape[-1]
    unit, log_unit = _unit_points(points, k)
    root = np.linalg.cholesky(np.linalg.inv(precision))
    drawn = beta[:, None] + np.einsum("jab,jpb->jpa", root, unit)
    log_root = np.log(np.diagonal(root, axis1=-2, axis2=-1)).sum(axis=-1)
    centre = np.where(np.isfinite(prior.sd), prior.mean, 0.0)
    height = _log_posterior(rows, prior, centre, freedom, drawn, np.broadcast_to(sigma[:, None], drawn.shape[:-1]))
    return drawn, height - log_unit + log_root[:, None]


@lru_cache
def _unit_points(points, k):
    """Quasi-random points of the k-dimensional t with unit scale, others at each node, and their log density; the same on every run."""
    from scipy.stats import chi2, qmc  # half a second to load, and only rows that are no figures need them

    even = qmc.Sobol(k + 1, scramble=True, seed=20260101).random(2 ** int(np.ceil(np.log2(NODES))) * points)
    even = np.clip(even, 1e-12, 1 - 1e-12)[: NODES * points].reshape(NODES, points, k + 1)
    unit = special.ndtri(even[..., :k]) / np.sqrt(chi2.ppf(even[..., k:], PROPOSAL) / PROPOSAL)
    return unit, -(PROPOSAL + k) / 2 * np.log1p((unit**2).sum(axis=-1) / PROPOSAL)


def shares_of(log_weight):
    """Weights that add up to 1, from their logs.

    Parameters
    ----------
    log_weight : ndarray, shape (c,)
        Any scale. [-]

    Returns
    -------
    ndarray, shape (c,)
        Weights. [-]
    """
    share = np.exp(log_weight - log_weight.max())
    return share / share.sum()


def _mixture_quantiles(share, middle, width, shares, freedom):
    """Quantiles of a mixture, by Newton's method kept inside a bracket that shrinks."""
    count = share > 1e-14
    share, middle, width = share[count], middle[count], width[count]
    far = 40 if np.isinf(freedom) else 1e4
    low, high = np.full(shares.shape, (middle - far * width).min()), np.full(shares.shape, (middle + far * width).max())
    centre = share @ middle
    at = centre + special.ndtri(shares) * np.sqrt(share @ (width**2 + (middle - centre) ** 2))
    for _ in range(200):
        z = (at[:, None] - middle) / width
        off = cumulative(z, freedom) @ share - shares
        low, high = np.where(off < 0, at, low), np.where(off >= 0, at, high)
        density = (np.exp(log_density(z, freedom)) / width) @ share
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            newton = at - off / density
        moved = np.where((newton > low) & (newton < high), newton, (low + high) / 2)
        if np.all(np.abs(moved - at) <= 1e-13 * np.maximum(1, np.abs(at))):
            return moved
        at = moved
    return at
