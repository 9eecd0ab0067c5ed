"""Each row of evidence judged by all the others: how odd it is, and how far it pulls the answer."""

from dataclasses import replace

import numpy as np
from scipy import special

from buildecon.market.likelihood import cumulative, row_terms
from buildecon.market.valuation import fitted

NOTHING = 2.0  # sd in logs of what the others leave known, above which that is nothing: four times out of five within a factor of 13 either way
EVEN = 0.7  # share of the effective points that must be left when a row is weighted out of them, or it is left out by a new fit


def left_out(fit, x):
    """Each row judged by all the others.

    Parameters
    ----------
    fit : Fit
        Of all rows. [-]
    x : array_like, shape (k,)
        The car to be valued. [-]

    Returns
    -------
    chance : ndarray, shape (n,)
        Chance of a figure at least as far out as the row's, either side, by the other rows; NaN for a row that is not exact. [-]
    times : ndarray, shape (n,)
        The row's figure as a multiple of what the others expect for that car; NaN for a row that is not exact. [-]
    pull : ndarray, shape (n,)
        By how much the row moves the log price of the car to be valued; NaN where next to nothing is known of it without the row. [-]
    """
    x = np.asarray(x, dtype=float)
    found = (_left_out_points if fit.cov is None else _left_out_exact)(fit, x)
    exact = fit.rows.exact
    return (*(np.where(exact, values, np.nan) for values in found[:2]), found[2])


def _left_out_exact(fit, x):
    """By the formula for one row less, at each node."""
    rows = fit.rows
    scale = fit.sigma[:, None] ** 2 + rows.spread**2
    inside = np.einsum("na,cab,nb->cn", rows.x, fit.cov, rows.x) * rows.weight / scale
    off = rows.low - fit.beta @ rows.x.T
    expected = rows.low - off / (1 - inside)
    width = np.sqrt(scale + np.einsum("na,cab,nb->cn", rows.x, fit.cov, rows.x) / (1 - inside))
    lost = rows.weight * (off**2 / scale / (1 - inside) + np.log(scale)) - np.log1p(-inside)
    share = _reweighted(fit, 0.5 * lost)
    toward = np.einsum("a,cab,nb->cn", x, fit.cov, rows.x) * rows.weight / scale * off / (1 - inside)
    below = (share * special.ndtr((rows.low - expected) / width)).sum(axis=0)
    line = (fit.beta @ x)[:, None] - toward
    without = (share * line).sum(axis=0)
    freed = np.einsum("a,cab,nb->cn", x, fit.cov, rows.x) ** 2 * rows.weight / scale / (1 - inside)  # what the row had taken off the variance
    variance = (share * (np.einsum("a,cab,b->c", x, fit.cov, x)[:, None] + freed + (line - without) ** 2)).sum(axis=0)
    return 2 * np.minimum(below, 1 - below), np.exp(rows.low - (share * expected).sum(axis=0)), _told(fit.mean @ x - without, variance)


def _left_out_points(fit, x):
    """By weighting the points anew; by a new fit for a row on which much of their weight hangs."""
    rows, found = fit.rows, np.empty((3, len(fit.rows.low)))
    share = _reweighted(fit, -row_terms(rows, fit.beta @ rows.x.T, fit.sigma, fit.freedom)[0])
    even = np.sum(fit.share**2) >= EVEN * np.sum(share**2, axis=0)
    for i in range(len(rows.low)):
        others = replace(fit, share=share[:, i]) if even[i] else fitted(rows.without(i), fit.prior, np.isfinite(fit.freedom))
        middle, width = others._parts(rows.x[i], line=True)
        away = (rows.low[i] if rows.exact[i] else 0.0) - middle
        below = others.share @ cumulative(away / np.sqrt(others.sigma**2 + rows.spread[i] ** 2 + width**2), fit.freedom)
        found[:, i] = 2 * min(below, 1 - below), np.exp(others.share @ away), _told((fit.mean - others.mean) @ x, x @ others.covariance @ x)
    return found


def _told(pull, variance):
    """The pull, where the others by themselves know anything."""
    return np.where(variance < NOTHING**2, pull, np.nan)


def _reweighted(fit, log_factor):
    """Shares of the parts times a factor for each row, shape (c, n); in logs, where a faint part far off cannot drown the others."""
    with np.errstate(divide="ignore"):
        log_share = np.log(fit.share)[:, None] + log_factor
    share = np.exp(log_share - log_share.max(axis=0))
    return share / share.sum(axis=0)
