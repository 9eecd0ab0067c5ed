"""Bills to be expected for components that fail by chance, and which of two clocks ends a car, as the files state them."""

from functools import lru_cache

import numpy as np

from buildecon.quantities.units import kilometres

GRID = 400  # points of distance at which expected renewals are worked out; between them they are straight
MANY = 60  # lives after which nothing of the first is left, and renewals go on evenly
LOG_2 = float(np.log(2))


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
    return _paid_by(float(part.shape), every, used, warranty, float(part.warranty_pays), reach)


@lru_cache(maxsize=64)
def _paid_by(shape, every, used, warranty, pays, reach):
    """Renewals paid for by distance, on a grid."""
    from buildecon.ownership.lives import weibull
    from buildecon.ownership.renewals import expected_renewals

    at, life = np.linspace(0.0, reach, GRID + 1), weibull(shape, every / LOG_2 ** (1 / shape))
    many = MANY * every

    def counted(distance):
        return expected_renewals(life, np.minimum(distance, many), used) + np.maximum(distance - many, 0) / life.mean

    return at, np.asarray(counted(at) - pays * counted(np.minimum(at, warranty)))


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
    from buildecon.ownership.lives import sure, weibull
    from buildecon.ownership.survival import survival_table, two_clocks

    shape, every = float(stated.engine_shape), kilometres(float(stated.engine_every), unit)
    engine = weibull(shape, every / LOG_2 ** (1 / shape))
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
