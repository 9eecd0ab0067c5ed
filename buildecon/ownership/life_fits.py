"""What lives say that were watched: a Weibull fit with parts that have not failed yet, and failures of what is mended again and again."""

from dataclasses import dataclass

import numpy as np

from buildecon.ownership.lives import SHORTEST, weibull
from buildecon.quantities.bounds import within

STEEPEST = 1000  # shapes between its inverse and it are looked at


@dataclass(frozen=True)
class WeibullFit:
    """Weibull life fitted by maximum likelihood.

    Parameters
    ----------
    shape, scale : float
        Of the life, the scale in the unit of the clock. [-]
    shape_error, scale_error : float
        Standard errors, from the curvature of the likelihood. [-]
    log_likelihood : float
        At the fit. [-]
    failed, watched : int
        Number that failed, and number in all. [-]
    covariance : tuple of tuple of float
        Of ln shape and ln scale. [-]
    """

    shape: float
    scale: float
    shape_error: float
    scale_error: float
    log_likelihood: float
    failed: int
    watched: int
    covariance: tuple

    @property
    def life(self):
        """The fitted life, for `expected_renewals` and all the rest."""
        return weibull(self.shape, self.scale)

    @property
    def mean(self):
        """Mean life, in the unit of the clock."""
        return self.life.mean

    def b_life(self, share):
        """Life by which a share has failed, 0.1 for B10, and the standard error of it, in the unit of the clock."""
        worn = -np.log1p(-within("share", share, SHORTEST, 1 - SHORTEST))
        reading = self.scale * worn ** (1 / self.shape)
        slope = np.stack([-np.log(worn) / self.shape, np.ones_like(worn)], axis=-1)  # of the logarithm of the life
        return reading, reading * np.sqrt(np.einsum("...i,ij,...j->...", slope, np.asarray(self.covariance), slope))


def weibull_fit(readings, failed):
    """Weibull life that makes the lives that were watched most likely.

    Parameters
    ----------
    readings : array_like, shape (n,)
        What each part had run when it failed or was last seen working, above 0, in the unit of its clock. [-]
    failed : array_like, shape (n,)
        True where it failed, false where it still worked. [-]

    Returns
    -------
    WeibullFit
        With standard errors. Few failures give wide ones: look at them before using it. [-]

    Raises
    ------
    ValueError
        If none has failed, or only at the longest reading: every steeper life is then likelier.

    Notes
    -----
    The shape solves sum(t^k ln t) / sum(t^k) - 1 / k = mean of ln t of those that failed; scale = (sum(t^k) / failures)^(1 / k).
    With z = k ln(t / scale), the curvature in (ln shape, ln scale) is [[d + sum(z^2 e^z), -k sum(z e^z)], [-k sum(z e^z), k^2 d]], d the failures.

    References
    ----------
    Meeker and Escobar, *Statistical Methods for Reliability Data*, 1998, chapter 8 (from memory).
    """
    from scipy.optimize import brentq

    readings, failed = np.asarray(within("readings", readings, SHORTEST)), np.asarray(failed, dtype=bool)
    if readings.ndim != 1 or failed.shape != readings.shape:
        raise ValueError(f"failed must be one for each of the readings, {readings.size}, got {failed.size}.")
    if not np.any(failed & (readings < readings.max(initial=0))):
        raise ValueError(f"failed must hold a failure before the longest reading, got {failed.sum()} of {failed.size} in all. Nothing can be learned from these yet.")
    logs = np.log(readings / readings.max())
    wanted, count = logs[failed].mean(), int(failed.sum())

    def surplus(log_shape):
        weights = np.exp(np.exp(log_shape) * logs)
        return weights @ logs / weights.sum() - np.exp(-log_shape) - wanted

    try:
        shape = float(np.exp(brentq(surplus, -np.log(STEEPEST), np.log(STEEPEST), xtol=1e-13)))
    except ValueError:
        raise ValueError(f"readings must have a best shape between {1 / STEEPEST} and {STEEPEST:,}, got readings that are all but the same.") from None
    scale = float(readings.max() * (np.exp(shape * logs).sum() / count) ** (1 / shape))
    z = shape * np.log(readings / scale)
    mixed = -shape * np.sum(z * np.exp(z))
    covariance = np.linalg.inv([[count + np.sum(z**2 * np.exp(z)), mixed], [mixed, shape**2 * count]])
    errors = np.sqrt(np.diag(covariance)) * (shape, scale)
    likelihood = count * np.log(shape) + np.sum(z[failed] - np.log(readings[failed])) - np.sum(np.exp(z))
    return WeibullFit(shape, scale, *map(float, errors), float(likelihood), count, readings.size, tuple(map(tuple, covariance.tolist())))


def mean_repairs(readings, failed, unit, clock):
    """Mean number of repairs of one unit by a reading of its clock, from units that are mended and go on.

    Parameters
    ----------
    readings : array_like, shape (n,)
        Of each repair, and of the end of the watch of each unit. [-]
    failed : array_like, shape (n,)
        True for a repair, false for the end of the watch. [-]
    unit : array_like, shape (n,)
        Which unit; each has one end, and no repair after it. [-]
    clock : array_like, shape (...)
        Readings asked for; within the longest watch. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Number. [-]

    Notes
    -----
    Mean cumulative function: the sum, over repairs up to then, of 1 over the number of units still watched. No law of life is assumed.

    References
    ----------
    Nelson, "Graphical analysis of system repair data", *J. Quality Technology* 20 (1988) 24-35 (from memory).
    """
    readings, failed, unit = np.asarray(within("readings", readings, 0)), np.asarray(failed, dtype=bool), np.asarray(unit)
    ended, ends = unit[~failed], np.sort(readings[~failed])
    if sorted(set(unit.tolist())) != sorted(ended.tolist()):
        raise ValueError(f"unit must have one end of the watch each, got {ended.size} ends for {len(set(unit.tolist()))} units.")
    watch = dict(zip(ended.tolist(), readings[~failed], strict=True))
    if any(at > watch[one] for at, one in zip(readings[failed], unit[failed].tolist(), strict=True)):
        raise ValueError("readings must end with the end of the watch, got a repair after it.")
    clock = within("clock", clock, 0, float(ends[-1]))
    at = np.sort(readings[failed])
    steps = 1 / (ends.size - np.searchsorted(ends, at, side="left"))
    return np.append(0.0, np.cumsum(steps))[np.searchsorted(at, clock, side="right")]
