"""How often a component is renewed: expected number and bills, warranties, and renewal at a planned age."""

from dataclasses import dataclass

import numpy as np

from buildecon.ownership.lives import once_used
from buildecon.quantities.bounds import within

STEPS = tuple(2**k for k in range(7, 17))  # of the grid: doubled until the figures settle
COARSEST = 0.5  # share of new parts that must outlast half a step
SETTLED = 2e-6  # share of (1 + renewals) by which the last doubling may still move them
MANY_LIVES = 60  # from here on one a mean life: Weibull lives of shape 0.5 to 20 are within .002 of their long run by then


@dataclass(frozen=True)
class Warranty:
    """What the seller of a part pays when it fails.

    Parameters
    ----------
    length : float
        How long, on the clock of the part. Of a limit in km and one in months, whichever comes first at the owner's yearly distance. [-]
    share : float, optional
        Share of the bill that is paid, from `warranty_share`. [-]
    renews : bool, optional
        Whether every renewed part has the whole length again; else one length counts from the first day. [-]
    """

    length: float
    share: float = 1.0
    renews: bool = False


def expected_renewals(life, reading, used=0.0):
    """Expected number of times a part is renewed, each time by a new one, by a reading of its clock.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    reading : array_like, shape (...)
        From today on, in the unit of the life. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Number. [-]

    Raises
    ------
    ValueError
        If the life is so steep, or the readings so many lives, that the figure does not settle.

    Notes
    -----
    M(t) = F(t) + integral of M(t - s) dF(s); for a used first part F_u(t) + integral of F_u(t - s) dM(s).
    Midpoint Riemann-Stieltjes sums on a grid, which need F alone and so stand an infinite density at 0, then Richardson's step, doubled until settled
    to a few millionths of 1 + M (a few hundred-thousandths for shapes below 0.7).
    Between the points of the grid M - F is interpolated without overshoot; it never falls. For long t, M is near t / mean + (c^2 - 1) / 2
    with c the coefficient of variation: t / mean alone is wrong by that much.

    References
    ----------
    Tijms, *A First Course in Stochastic Models*, section 8.1. Xie, *Commun. Statist. Simul.* 18 (1989), for the midpoint rule (both from memory).

    Examples
    --------
    >>> from buildecon.ownership.lives import weibull
    >>> print(f"{expected_renewals(weibull(2.5, 180_000), 240_000):.3f}")
    1.101
    """
    reading, first = within("reading", reading, 0), once_used(life, used)
    if first.exact:
        return first.exact(reading, 0.0)
    return _settled(life, lambda at, between: (_rises(life, at, between), first.failed(between)), first.failed, reading)


def renewals_over_many_lives(life, reading, used=0.0):
    """Expected renewals by a reading that may be any number of lives ahead.

    Parameters
    ----------
    life : Life
        Of a new part, with a mean. [-]
    reading : array_like, shape (...)
        From today on, in the unit of the life. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Number. [-]

    Notes
    -----
    As `expected_renewals` for 60 mean lives, then one more for each: M(t + h) - M(t) goes to h / mean (Blackwell).

    References
    ----------
    Blackwell, "A renewal theorem", *Duke Math. J.* 15 (1948) (from memory).
    """
    reading = np.asarray(within("reading", reading, 0))[()]
    if life.exact:
        return expected_renewals(life, reading, used)
    near = np.minimum(reading, MANY_LIVES * life.mean)
    return expected_renewals(life, near, used) + (reading - near) / life.mean


def renewals_paid(life, reading, warranty, used=0.0):
    """Expected number of renewals, each less the share that a warranty pays of it.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    reading : array_like, shape (...)
        From today on, in the unit of the life; the warranty starts today. [-]
    warranty : Warranty or None
        Of the part. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Number that the owner pays. [-]

    Notes
    -----
    One length from the first day covers M(min(t, W)) renewals. Where every new part has the whole length again, the owner pays those that outlast it:
    A(t) = max(F(t) - F(W), 0) + integral of A(t - s) dF(s). With no memory that is exp(-W / mean) (t - W) / mean.
    """
    every = expected_renewals(life, reading, used)
    if warranty is None:
        return every
    length, share = within("length", warranty.length, 0), within("share", warranty.share, 0, 1)
    if not warranty.renews:
        return every - share * expected_renewals(life, np.minimum(reading, length), used)
    return every - share * np.maximum(every - _outside(life, once_used(life, used), length, every, reading), 0)


def warranty_share(parts, labour, parts_share=1.0, labour_share=0.0):
    """Share of a bill that a warranty pays.

    Parameters
    ----------
    parts, labour : array_like, shape (...)
        What the bill is made of. [money]
    parts_share, labour_share : float, optional
        Share of each that is paid; parts only unless told. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Share of the whole bill. [-]

    Examples
    --------
    >>> print(f"{warranty_share(900, 600):.2f}")
    0.60
    """
    parts, labour = within("parts", parts, 0), within("labour", labour, 0)
    whole = parts + labour
    if not np.all(whole > 0):
        raise ValueError("parts and labour must add up to more than 0, got 0.")
    return (parts * within("parts_share", parts_share, 0, 1) + labour * within("labour_share", labour_share, 0, 1)) / whole


def expected_bills(life, bill, clock, warranty=None, used=0.0):
    """Expected bills for renewing a part, month by month or by any other periods.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    bill : array_like, shape (...)
        Parts and labour of one renewal. [money]
    clock : array_like, shape (n + 1,)
        Reading of the clock at the start, 0, and at the end of each period, in the unit of the life. [-]
    warranty : Warranty, optional
        From today. [-]
    used : float, optional
        What the first part has run already. [-]

    Returns
    -------
    ndarray, shape (..., n)
        Paid in each period. [money]

    Notes
    -----
    bill times (A(t_k) - A(t_(k-1))), with A from `renewals_paid`.
    """
    clock = np.asarray(within("clock", clock, 0))
    if np.any(np.diff(clock) < 0):
        raise ValueError(f"clock must never run back, got {clock.tolist()}.")
    return np.asarray(within("bill", bill, 0))[..., None] * np.diff(renewals_paid(life, clock, warranty, used))


def cost_rate_of_planned_renewal(life, age, planned_bill, failed_bill):
    """Long-run cost per unit of the clock of renewing a part at a given age, or when it fails if that comes first.

    Parameters
    ----------
    life : Life
        Of a new part. [-]
    age : array_like, shape (...)
        Planned, in the unit of the life, above 0; infinite for never. [-]
    planned_bill, failed_bill : array_like, shape (...)
        One renewal as planned; one after a failure, with tow and damage. [money]

    Returns
    -------
    ndarray or float, shape (...)
        Cost for one unit of the clock. [money]

    Notes
    -----
    (planned S(age) + failed F(age)) / integral of S from 0 to age. Worth planning only where the part wears out and a failure costs more.

    References
    ----------
    Barlow and Proschan, *Mathematical Theory of Reliability*: age replacement (from memory).
    """
    age = np.asarray(age, dtype=float)[()]
    if not np.all(age > 0):
        raise ValueError(f"age must be above 0, got {np.asarray(age)[~(np.asarray(age) > 0)].flat[0]:,}.")
    cost = within("planned_bill", planned_bill, 0) * life.survival(age) + within("failed_bill", failed_bill, 0) * life.failed(age)
    return cost / (life.tail(0.0) - life.tail(age))


def _outside(life, first, length, every, reading):
    """Expected renewals of parts that outlast a warranty which each of them has."""
    lasting = life.survival(length)
    if life.exact and lasting in (0, 1):  # a sure life outlasts it or does not, save that the first may be short of it
        return lasting * (every - np.minimum(every, 1) * first.failed(length))
    late, late_first = (_late(one, length) for one in (life, first))
    return _settled(life, lambda at, between: (_rises_late(life, late, at, between), first.failed(between)), late_first, np.asarray(reading, dtype=float)[()])


def _settled(life, pieces, first, reading):
    """first(t) + integral of first part's F(t - s) dm(s), on finer and finer grids until the figures settle."""
    from scipy.interpolate import PchipInterpolator

    end = float(np.max(reading, initial=0.0))
    if end == 0:
        return np.zeros(np.shape(reading))[()]
    coarse, last = None, np.inf
    for steps in (n for n in STEPS if life.survival(end / n / 2) >= COARSEST):
        at, between = _grid(end, steps)
        rises, failed = pieces(at, between)
        fine = np.append(0.0, _folded(failed, rises))
        if coarse is not None:
            better = np.maximum.accumulate((4 * fine[::2] - coarse) / 3)
            found = PchipInterpolator(np.append(0.0, at)[::2], better)(reading)
            if np.all(np.abs(found - last) <= SETTLED * (1 + found)):
                return first(reading) + np.maximum(found, 0)
            last = found
        coarse = fine
    raise ValueError(
        f"reading must be fewer lives ahead, or the life less steep, for the count to settle, got {end:,.6g}. A life that hardly varies can be a sure one."
    )


def _grid(end, steps):
    """Ends and middles of equal steps from 0."""
    width = end / steps
    at = width * np.arange(1, steps + 1)
    return at, at - width / 2


def _rises(life, at, between):
    """Rises of M over each step: sum over j of (1 - F at the middles)_(i-j) m_j = F_i, a division of power series."""
    lasting, inverse = life.survival(between), np.ones(1) / life.survival(between[0])
    while inverse.size < lasting.size:  # Newton's step for 1 / lasting doubles the terms that are right
        known = np.pad(inverse, (0, inverse.size))
        inverse = 2 * known - _folded(lasting[: known.size], _folded(known, known))
    return _folded(life.failed(at), inverse)


def _rises_late(life, late, at, between):
    """Rises of A over each step, for A = late + integral of late(t - s) dM(s)."""
    return np.diff(late(at) + _folded(late(between), _rises(life, at, between)), prepend=0.0)


def _folded(middles, rises):
    """Sum over j of middles_(i-j) rises_j, for both of the same size."""
    from scipy.signal import fftconvolve

    return fftconvolve(middles, rises)[: rises.size]


def _late(life, length):
    """Chance to fail by t and after the warranty."""
    return lambda t: np.maximum(life.failed(t) - life.failed(length), 0)
