"""Value as the years go by: the curves it can follow, in the owner's years from the first day."""

import numpy as np

from buildecon.quantities.bounds import within

SHORTEST_KM = 1e-9  # what others are divided by
HAIR = 1e-12  # years times miles a year times km a mile may stop this share short of the same miles


def value_after(value, decline_rate, years):
    """Value after some years of losing the same share each year, value (1 - rate)^years.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start. [money]
    decline_rate : array_like, shape (...)
        Share lost a year, at most 1; below 0 where the value rises. [1/year]
    years : array_like, shape (...)
        May be a fraction. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]

    References
    ----------
    Storchmann, "On the Depreciation of Automobiles", *Transportation* 31 (2004): a constant share a year is a good approximation (abstract read).
    """
    return within("value", value, 0) * (1 - within("decline_rate", decline_rate, high=1)) ** within("years", years)


def held_then_declining(value, held_years, decline_rate, years):
    """Value that stands still for some years and then loses a share each year.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start and until `held_years`. [money]
    held_years : array_like, shape (...)
        How long it stands still. [year]
    decline_rate : array_like, shape (...)
        Share lost a year after that. [1/year]
    years : array_like, shape (...)
        When it is asked for. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]
    """
    past = np.maximum(within("years", years) - within("held_years", held_years, 0), 0)
    return value_after(value, decline_rate, past)


def value_in_stages(value, decline_rates, until, years):
    """Value that loses one share a year up to a given year, another up to the next, and so on.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start. [money]
    decline_rates : array_like, shape (..., k)
        Share lost a year in each stage, at most 1; below 0 where the value rises. [1/year]
    until : array_like, shape (..., k - 1)
        Where each stage but the last ends, rising. [year]
    years : array_like, shape (...)
        When it is asked for. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then, value times (1 - rate)^(years spent in the stage) of every stage. [money]
    """
    rates, until = within("decline_rates", decline_rates, high=1), _rising("until", until)
    if rates.shape[-1] != until.shape[-1] + 1:
        raise ValueError(f"decline_rates must be one more than until, got {rates.shape[-1]} and {until.shape[-1]}.")
    ends = np.concatenate([until, np.full((*until.shape[:-1], 1), np.inf)], axis=-1)
    starts = np.concatenate([np.zeros((*until.shape[:-1], 1)), until], axis=-1)
    spent = np.clip(np.asarray(within("years", years, 0))[..., None], starts, ends) - starts
    return within("value", value, 0) * np.prod((1 - rates) ** spent, axis=-1)


def floor_then_rise(value, decline_rate, floor_value, rise_rate, years):
    """Value that falls until it reaches a floor and rises from then on, as that of a car which becomes a classic.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start; where it is below the floor, it rises from the first day. [money]
    decline_rate : array_like, shape (...)
        Share lost a year before the floor. [1/year]
    floor_value : array_like, shape (...)
        The lowest it gets. [money]
    rise_rate : array_like, shape (...)
        Share gained a year after it. [1/year]
    years : array_like, shape (...)
        When it is asked for. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]

    Notes
    -----
    The floor is reached after ln(floor / value) / ln(1 - rate) years; never where the rate or the floor is 0.
    """
    value, floor, rate = np.broadcast_arrays(within("value", value, 0), within("floor_value", floor_value, 0), within("decline_rate", decline_rate, 0, 1))
    years, low = within("years", years, 0), np.minimum(value, floor)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # a rate next to 0 never gets there
        reached = np.log(low / value) / np.log1p(-rate)
    reached = np.where(value <= floor, 0.0, np.where(floor == 0, np.inf, reached))
    risen = low * (1 + within("rise_rate", rise_rate, 0)) ** np.maximum(years - reached, 0)
    return np.maximum(value_after(value, rate, years), risen)[()]


def value_from_table(at_years, values, later_rate, years):
    """Value read off a table of values by years, in a straight line from one to the next.

    Parameters
    ----------
    at_years : array_like, shape (..., k)
        Years of the table, rising; before the first its value holds. [year]
    values : array_like, shape (..., k)
        Value at each. [money]
    later_rate : array_like, shape (...)
        Share lost a year after the last, at most 1; 0 where the last value holds. [1/year]
    years : array_like, shape (...)
        When it is asked for. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]

    Examples
    --------
    >>> print(value_from_table([0, 4], [9000, 5000], 0, [1, 4, 10]))
    [8000. 5000. 5000.]
    """
    at, values, years = _rising("at_years", at_years), within("values", values, 0), np.asarray(within("years", years, 0))
    if at.shape[-1] != values.shape[-1]:
        raise ValueError(f"values must be as many as at_years, {at.shape[-1]}, got {values.shape[-1]}.")
    way = np.clip((years[..., None] - at[..., :-1]) / np.diff(at), 0, 1)
    between = values[..., 0] + np.sum(way * np.diff(values), axis=-1)
    return value_after(np.maximum(between, 0), later_rate, np.maximum(years - at[..., -1], 0))


def value_after_driving(value, decline_rate, wear_rate, years, distance, per=10_000.0):
    """Value that loses a share each year and another with each stretch driven.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start. [money]
    decline_rate : array_like, shape (...)
        Share lost a year whatever the distance, at most 1. [1/year]
    wear_rate : array_like, shape (...)
        Share lost for each stretch of `per`. [-]
    years : array_like, shape (...)
        When it is asked for. [year]
    distance : array_like, shape (...)
        Driven by then. [km]
    per : float, optional
        That stretch. [km]

    Returns
    -------
    ndarray or float, shape (...)
        Value then, value (1 - decline rate)^years (1 - wear rate)^(distance / per). [money]
    """
    worn = (1 - within("wear_rate", wear_rate, 0, 1)) ** (within("distance", distance, 0) / within("per", per, SHORTEST_KM))
    return value_after(value, decline_rate, years) * worn


def value_by_distance(value, scrap_value, distance_left, distance):
    """Value that falls with the distance alone, in a straight line to scrap at the end of the car's life.

    Parameters
    ----------
    value : array_like, shape (...)
        At the start. [money]
    scrap_value : array_like, shape (...)
        What is left at the end. [money]
    distance_left : array_like, shape (...)
        From the start to the end of its life, above 0. [km]
    distance : array_like, shape (...)
        Driven by then. [km]

    Returns
    -------
    ndarray or float, shape (...)
        Value then: scrap plus the share of the distance left of what is above scrap. [money]
    """
    scrap, left = within("scrap_value", scrap_value, 0), within("distance_left", distance_left, SHORTEST_KM)
    return scrap + (within("value", value, 0) - scrap) * np.maximum(1 - within("distance", distance, 0) / left, 0)


def no_less_than_scrap(value, scrap_value, distance_left, distance):
    """Value that never falls below scrap, and is scrap once the car's life is driven.

    Parameters
    ----------
    value : array_like, shape (...)
        Without an end of life. [money]
    scrap_value : array_like, shape (...)
        What is paid for it as scrap. [money]
    distance_left : array_like, shape (...)
        From the start to the end of its life; infinite where it has none. [km]
    distance : array_like, shape (...)
        Driven by then. [km]

    Returns
    -------
    ndarray or float, shape (...)
        Value then. [money]
    """
    scrap, left = within("scrap_value", scrap_value, 0), np.asarray(distance_left, dtype=float)
    if not np.all(left >= SHORTEST_KM):
        raise ValueError(f"distance_left must be at least {SHORTEST_KM}, got {left.min()}.")
    alive = within("distance", distance, 0) < left * (1 - HAIR)
    return np.where(alive, np.maximum(within("value", value, 0), scrap), scrap)[()]


def _rising(name, years):
    """Years that rise from 0 on, as an array."""
    found = np.asarray(within(name, years, 0))
    if not np.all(np.diff(found) > 0):
        raise ValueError(f"{name} must rise, got {found.tolist()}.")
    return found
