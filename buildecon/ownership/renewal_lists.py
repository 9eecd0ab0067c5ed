"""Lists of the readings at which a component is renewed, for scenarios: drawn lives, or lives by quasi-random numbers."""

import numpy as np

from buildecon.ownership.lives import once_used
from buildecon.quantities.bounds import within

BLOCK = 8  # lives drawn at a time


def renewal_readings(life, horizon, uniforms, used=0.0):
    """Readings of the clock at which a part is renewed, from uniform numbers, pseudo-random or quasi-random.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    horizon : float
        Last reading of interest, in the unit of the life. [-]
    uniforms : array_like, shape (..., n)
        Between 0 and 1, one a life; a small one is a long life. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray, shape (..., n)
        Rising; infinite beyond the horizon. [-]

    Raises
    ------
    ValueError
        If n lives do not reach the horizon in every row.
    """
    readings = np.cumsum(_lives(life, uniforms, used), axis=-1)
    if np.any(readings[..., -1] <= horizon):
        raise ValueError(
            f"uniforms must be enough lives to pass the horizon {horizon:,} in every row, got {readings.shape[-1]} lives that end at {readings[..., -1].min():,}."
        )
    return np.where(readings <= horizon, readings, np.inf)


def drawn_renewal_readings(life, horizon, scenarios, generator, used=0.0):
    """Readings of the clock at which a part is renewed, drawn until every scenario has passed the horizon.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    horizon : float
        Last reading of interest, in the unit of the life. [-]
    scenarios : int
        How many. [-]
    generator : numpy.random.Generator
        Seeded by the caller. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray, shape (scenarios, n)
        Rising; infinite beyond the horizon; n as many as the longest list needs. [-]
    """
    lives = _lives(life, _drawn(generator, scenarios), used)
    while np.any(lives.sum(axis=-1) <= horizon):
        lives = np.concatenate([lives, _lives(life, _drawn(generator, scenarios), 0.0)], axis=-1)
    readings = np.cumsum(lives, axis=-1)
    kept = int(np.sum(readings <= horizon, axis=-1).max(initial=0))
    return np.where(readings <= horizon, readings, np.inf)[:, :kept]


def share_paid(readings, warranty):
    """Share of each bill of a list of events that the owner pays.

    Parameters
    ----------
    readings : array_like, shape (..., n)
        From `renewal_readings`. [-]
    warranty : Warranty or None
        From the first day. [-]

    Returns
    -------
    ndarray, shape (..., n)
        1 where the warranty does not pay; 0 for what never comes. [-]
    """
    readings = np.asarray(readings, dtype=float)
    comes = np.isfinite(readings)
    if warranty is None:
        return comes.astype(float)
    held = np.where(comes, readings, 0.0)
    since = np.diff(held, prepend=0.0, axis=-1) if warranty.renews else held
    return np.where(comes, 1 - within("share", warranty.share, 0, 1) * (since <= within("length", warranty.length, 0)), 0.0)


def renewals_by(readings, clock, weights=1.0):
    """Number of events of each list by each reading of the clock.

    Parameters
    ----------
    readings : array_like, shape (..., n)
        From `renewal_readings`. [-]
    clock : array_like, shape (m,)
        Readings asked for. [-]
    weights : array_like, shape (..., n), optional
        Counts each by a share of it, from `share_paid`. [-]

    Returns
    -------
    ndarray, shape (..., m)
        Number. [-]
    """
    readings, clock = np.asarray(readings, dtype=float), np.asarray(clock, dtype=float)
    counted = np.broadcast_to(np.asarray(weights, dtype=float), readings.shape)
    return np.stack([np.sum(np.where(readings <= at, counted, 0.0), axis=-1) for at in clock], axis=-1)


def _lives(life, uniforms, used):
    """Lives by uniform numbers, the first of each row of a used part."""
    uniforms = np.asarray(uniforms, dtype=float)
    if not np.all((uniforms > 0) & (uniforms < 1)):
        raise ValueError(f"uniforms must be above 0 and below 1, got {uniforms[~((uniforms > 0) & (uniforms < 1))].flat[0]:,}.")
    first = once_used(life, used).quantile(uniforms[..., :1])
    return np.concatenate([first, life.quantile(uniforms[..., 1:])], axis=-1)


def _drawn(generator, scenarios):
    """Uniform numbers for one more block of lives, never 0 or 1."""
    return generator.uniform(np.finfo(float).tiny, 1.0, (scenarios, BLOCK))
