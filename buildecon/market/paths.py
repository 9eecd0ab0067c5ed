"""The curve that an option's value follows, by the kind its owner has named."""

import numpy as np

from buildecon.market.decline import (
    floor_then_rise,
    held_then_declining,
    no_less_than_scrap,
    value_after,
    value_after_driving,
    value_by_distance,
    value_from_table,
    value_in_stages,
)
from buildecon.quantities.units import kilometres

LEAST_LEFT = 1e-6  # km or mi: draws with open ends, or a reader, may put the end of a life before the start
WEAR_DISTANCE = 10_000  # km or mi: `distance_rate` is told for it


def value_path(path, value, years, km_a_year, distance_unit="km"):
    """Value by years on the curve that a record names.

    Parameters
    ----------
    path : ValuePath
        Kind of curve and what it needs, at its likely values; money in it stands as written. [-]
    value : array_like, shape (...)
        On the first day. [money]
    years : array_like, shape (...)
        When it is asked for. [year]
    km_a_year : array_like, shape (...)
        How far it is driven. [km/year]
    distance_unit : {"km", "mi"}, optional
        In which the distances of the record are written. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]
    """
    years = np.asarray(years, dtype=float)[()]
    driven, left = years * km_a_year, kilometres(_distance_left(path), distance_unit)
    found = CURVES[path.kind](path, value, years, driven, left, kilometres(WEAR_DISTANCE, distance_unit))
    return found if path.scrap_value is None else no_less_than_scrap(found, path.scrap_value.figure, left, driven)


def _distance_left(path):
    """From the first day to the end of its life, in the owner's unit."""
    return np.inf if path.lifetime_distance is None else np.maximum(path.lifetime_distance.figure - path.distance_now.figure, LEAST_LEFT)


def _floor_then_rise(path, value, years):
    """Down to a value, or down for some years."""
    if path.floor_value is not None:
        return floor_then_rise(value, path.decline_rate.figure, path.floor_value.figure, path.rise_rate.figure, years)
    return value_in_stages(value, _last(path.decline_rate.figure, -path.rise_rate.figure), _last(path.first_years.figure), years)


def _table(path, value, years):
    """The first row is the value on the first day."""
    at, values = ([getattr(row, name).figure for row in path.table] for name in ("years", "value"))
    return value_from_table(_last(0, *at), _last(value, *values), path.later_rate.figure, years)


def _last(*numbers):
    """Numbers side by side on a last axis."""
    return np.stack(np.broadcast_arrays(*(np.asarray(number, dtype=float) for number in numbers)), axis=-1)


# From: the record, the value on the first day, years, distance driven, distance left and the stretch of a rate of wear in km.
CURVES = {
    "steady": lambda p, value, years, *_: value_after(value, p.decline_rate.figure, years),
    "years and distance": lambda p, value, years, driven, left, per: value_after_driving(
        value, p.decline_rate.figure, p.distance_rate.figure, years, driven, per
    ),
    "two stage": lambda p, value, years, *_: value_in_stages(value, _last(p.decline_rate.figure, p.later_rate.figure), _last(p.first_years.figure), years),
    "floor then rise": lambda p, value, years, *_: _floor_then_rise(p, value, years),
    "held then declining": lambda p, value, years, *_: held_then_declining(value, p.held_years.figure, p.decline_rate.figure, years),
    "straight line": lambda p, value, years, *_: value_from_table(_last(0, p.over_years.figure), _last(value, p.end_value.figure), 0, years),
    "table": lambda p, value, years, *_: _table(p, value, years),
    "distance": lambda p, value, years, driven, left, per: value_by_distance(value, p.scrap_value.figure, left, driven),
}
