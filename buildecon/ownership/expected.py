"""Bills for components that fail by chance, expected and drawn, and which of two clocks ends a car, as the files state them."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from buildecon.quantities.units import kilometres

GRID = 400  # points of distance at which expected renewals are worked out; between them they are straight
LOG_2 = float(np.log(2))
DRAWS, SEED = 16384, 20260102
MOST_DRAWN = 20  # of such lives ahead


@dataclass(frozen=True)
class ChanceOfBills:
    """Bills of components that fail by chance, over draws of their lives.

    Parameters
    ----------
    none : float
        Share of the draws without a bill. [-]
    when_some : float
        Mean of the bills in the others. [money]
    at : tuple of float
        Shares asked for. [-]
    quantile : tuple of float
        What the bills come to at most in that share of the draws. [money]
    """

    none: float
    when_some: float
    at: tuple
    quantile: tuple


def expected_renewals_by_month(option, distance_a_year, distance_unit, months):
    """Expected bills of an option's components that fail by chance, month by month.

    Parameters
    ----------
    option : Option
        With its `wear`. [-]
    distance_a_year : array_like, shape (...)
        In the owner's unit. [km/year]
    distance_unit : {"km", "mi"}
        That unit. [-]
    months : int
        How many. [month]

    Returns
    -------
    ndarray, shape (..., months)
        Warranty taken off; 0 where nothing fails by chance. [money]

    Notes
    -----
    The life of a component is Weibull with `every` as its median; the renewal function does not depend on how fast the distance is driven.
    Of what is drawn, only cost and distance count: how long one lasts is spread by its shape already.
    """
    km_a_year = np.asarray(kilometres(distance_a_year, distance_unit))[..., None]
    total = np.zeros((*km_a_year.shape[:-1], months))
    if option.wear is None or not np.any(km_a_year) or option.kind == "hire":
        return total
    clock = km_a_year * np.arange(months + 1) / 12
    reach = float(2.0 ** np.ceil(np.log2(clock.max())))
    for part in option.wear.renewals:
        if part.shape is not None:
            at, paid = paid_by_distance(part, distance_unit, reach)
            total = total + np.asarray(part.cost.figure)[..., None] * np.diff(np.interp(clock, at, paid))
    return total


def begun_anew(bills, ends):
    """Bills month by month where the car that follows begins as the first did.

    Parameters
    ----------
    bills : array_like, shape (..., n)
        Of the first car, as if it were never replaced. [money]
    ends : array_like, shape (..., most)
        Months at whose end a car is replaced; NaN where there is none. [month]

    Returns
    -------
    ndarray, shape (..., n)
        Of the first car and those that follow. [money]

    Examples
    --------
    >>> print(begun_anew([1.0, 2.0, 3.0, 4.0, 5.0], [2, 4]))
    [1. 2. 1. 2. 1.]
    """
    bills, ends = np.asarray(bills, dtype=float), np.asarray(ends, dtype=float)
    month = np.arange(bills.shape[-1])
    begun = np.zeros((*ends.shape[:-1], month.size), dtype=int)
    for end in np.moveaxis(ends, -1, 0):
        begun = np.where(month >= end[..., None], np.nan_to_num(end[..., None]).astype(int), begun)
    shape = np.broadcast_shapes(bills.shape, begun.shape)
    return np.take_along_axis(np.broadcast_to(bills, shape), np.broadcast_to(month - begun, shape), axis=-1)


def paid_by_distance(part, distance_unit, reach):
    """Renewals that the owner pays for by distance, of a component that fails by chance.

    Parameters
    ----------
    part : Renewal
        With a shape. [-]
    distance_unit : {"km", "mi"}
        In which its distances are written. [-]
    reach : float
        How far the grid goes. [km]

    Returns
    -------
    at : ndarray, shape (401,)
        Points of the grid. [km]
    paid : ndarray, shape (401,)
        Expected number by each, a straight line between them. [-]
    """
    every, used = (kilometres(float(value), distance_unit) for value in (part.every, part.used))
    warranty = 0.0 if part.warranty is None else kilometres(float(part.warranty), distance_unit)
    return _paid_by(float(part.shape), every, used, warranty, float(part.warranty_pays), part.warranty_renews, reach)


@lru_cache(maxsize=64)
def _paid_by(shape, every, used, warranty, pays, renews, reach):
    """Renewals paid for by distance, on a grid."""
    from buildecon.ownership.renewals import MANY_LIVES, Warranty, renewals_over_many_lives, renewals_paid

    life, at = _half_outlast(every, shape), np.linspace(0.0, reach, GRID + 1)
    if renews:
        near = np.minimum(at, MANY_LIVES * life.mean)
        further = (1 - pays * life.failed(warranty)) * (at - near) / life.mean  # in the long run all but those within their warranty
        return at, renewals_paid(life, near, Warranty(warranty, pays, renews), used) + further
    all_of_them, covered = (renewals_over_many_lives(life, reading, used) for reading in (at, np.minimum(at, warranty)))
    return at, all_of_them - pays * covered


def bills_by_chance(option, distance_a_year, distance_unit, years, at=(0.1, 0.5, 0.9)):
    """What the bills of an option's components that fail by chance may come to.

    Parameters
    ----------
    option : Option
        With its `wear`. [-]
    distance_a_year : float
        In the owner's unit. [km/year]
    distance_unit : {"km", "mi"}
        That unit. [-]
    years : float
        How long it is kept. [year]
    at : sequence of float, optional
        Shares whose quantiles are wanted. [-]

    Returns
    -------
    ChanceOfBills or None
        Warranty taken off, in today's money; None where nothing fails by chance, or so often that it is no chance any more. [money]

    Notes
    -----
    Each draw is a list of lives, one after the other, by which every component is renewed. The mean of the bills is `expected_renewals_by_month`.
    """
    from buildecon.ownership.renewals import Warranty

    parts = [part for part in option.wear.renewals if part.shape is not None] if option.wear and option.kind != "hire" else []
    km = kilometres(float(distance_a_year), distance_unit) * years
    if not parts or not km:
        return None
    total = np.zeros(DRAWS)
    for k, part in enumerate(parts):
        every, used, warranty = (kilometres(float(value or 0), distance_unit) for value in (part.every, part.used, part.warranty))
        if km > MOST_DRAWN * every:
            return None
        readings, share = _drawn(float(part.shape), every, used, Warranty(warranty, float(part.warranty_pays), part.warranty_renews), float(2.0 ** np.ceil(np.log2(km))), k)
        total += float(part.cost) * np.sum(share * (readings <= km), axis=-1)
    some = total[total > 0]
    return ChanceOfBills(1 - some.size / DRAWS, float(some.sum() / max(some.size, 1)), tuple(at), tuple(float(value) for value in np.quantile(total, at, method="inverted_cdf")))


@lru_cache(maxsize=16)
def _drawn(shape, every, used, warranty, reach, k):
    """Readings at which one component is renewed, and the share of each that the owner pays."""
    from buildecon.ownership.renewal_lists import drawn_renewal_readings, share_paid

    life = _half_outlast(every, shape)
    readings = drawn_renewal_readings(life, reach, DRAWS, np.random.default_rng([SEED, k]), used)
    return readings, share_paid(readings, warranty if warranty.length else None)


def _half_outlast(every, shape):
    """Weibull life with a median."""
    from buildecon.ownership.lives import weibull

    return weibull(shape, every / LOG_2 ** (1 / shape))


def clocks(project, distance_a_year):
    """Which of shell and engine ends the car first, as the files state them.

    Parameters
    ----------
    project : Project
        With `[clocks]`. [-]
    distance_a_year : float
        In the owner's unit. [km/year]

    Returns
    -------
    TwoClocks or None
        None where the files say nothing, the car is not driven, or it is older than the fleet its shell is likened to. [-]
    """
    stated, unit = project.file.clocks, project.file.build.distance_unit
    if stated is None or not distance_a_year:
        return None
    from buildecon.ownership.lives import sure
    from buildecon.ownership.survival import survival_table, two_clocks

    engine = _half_outlast(kilometres(float(stated.engine_every), unit), float(stated.engine_shape))
    used = kilometres(float(stated.engine_used), unit)
    if stated.shell_years is not None:
        return two_clocks(sure(float(stated.shell_years)), engine, kilometres(distance_a_year, unit), 0.0, used)
    age, fleet = age_of(project), survival_table(stated.shell_like)
    return two_clocks(fleet.life, engine, kilometres(distance_a_year, unit), age, used) if age < fleet.ends else None


def age_of(project):
    """Age of the car on the day of the figures.

    Parameters
    ----------
    project : Project
        With its `[this_car]`. [-]

    Returns
    -------
    float
        Whole years; 0 where the year is not written. [year]
    """
    year = project.file.this_car.year
    return float(max(project.file.build.as_of.year - year, 0)) if year else 0.0
