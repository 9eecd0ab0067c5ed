"""Distance, fuel and electricity units. Kilometres, litres and kilowatt-hours inside; the owner's unit at the edge."""

import numpy as np

# Exact by definition: international mile, US liquid gallon, imperial gallon (values from memory, checked against a published table in the tests).
KM_PER_MILE = 1.609344
LITRES_PER_US_GALLON = 3.785411784
LITRES_PER_IMPERIAL_GALLON = 4.54609

KM_PER = {"km": 1.0, "mi": KM_PER_MILE}
# Litres or kilowatt-hours in the unit that is paid for.
AMOUNT_PER = {"L": 1.0, "gal US": LITRES_PER_US_GALLON, "gal imperial": LITRES_PER_IMPERIAL_GALLON, "kWh": 1.0}
# Units of consumption: what is consumed, and the figure in litres or kWh per 100 km.
PER_100_KM = {
    "L/100 km": ("fuel", lambda x: x),
    "mpg US": ("fuel", lambda x: 100 * LITRES_PER_US_GALLON / (KM_PER_MILE * x)),
    "mpg imperial": ("fuel", lambda x: 100 * LITRES_PER_IMPERIAL_GALLON / (KM_PER_MILE * x)),
    "km/L": ("fuel", lambda x: 100 / x),
    "kWh/100 km": ("electricity", lambda x: x),
    "Wh/km": ("electricity", lambda x: x / 10),
    "Wh/mi": ("electricity", lambda x: x / (10 * KM_PER_MILE)),
}
BOUGHT_AS = {"L": "fuel", "gal US": "fuel", "gal imperial": "fuel", "kWh": "electricity"}


def kilometres(distance, unit):
    """Distance in kilometres.

    Parameters
    ----------
    distance : array_like, shape (...)
        In the owner's unit. [km or mi]
    unit : {"km", "mi"}
        That unit. [-]

    Returns
    -------
    ndarray or float, shape (...)
        The same distance. [km]
    """
    return np.asarray(distance, dtype=float)[()] * KM_PER[unit]


def consumption_per_100_km(consumption, unit):
    """Consumption in litres or kilowatt-hours per 100 km.

    Parameters
    ----------
    consumption : array_like, shape (...)
        Above 0, in `unit`. [-]
    unit : str
        One of `PER_100_KM`; US and imperial gallons are different units. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Litres or kilowatt-hours. [per 100 km]

    Examples
    --------
    >>> print(f"{consumption_per_100_km(31, 'mpg imperial'):.3f}")
    9.112
    """
    return PER_100_KM[unit][1](np.asarray(consumption, dtype=float)[()])


def consumption_in(per_100_km, unit):
    """Consumption in one of the units that people speak of.

    Parameters
    ----------
    per_100_km : array_like, shape (...)
        Litres or kilowatt-hours; above 0. [per 100 km]
    unit : str
        One of `PER_100_KM`. [-]

    Returns
    -------
    ndarray or float, shape (...)
        The same in that unit. [-]

    Examples
    --------
    >>> print(f"{consumption_in(9.112, 'mpg imperial'):.1f}")
    31.0
    """
    turn = PER_100_KM[unit][1]
    values = np.asarray(per_100_km, dtype=float)[()]
    # Distance per amount is its own inverse; amount per distance is a factor.
    return turn(values) if turn(2.0) < turn(1.0) else values / turn(1.0)


def combined_consumption(town, highway, unit, town_share=0.55):
    """One figure out of a published pair, town and highway: fuel over distance, whatever the unit.

    Parameters
    ----------
    town, highway : array_like, shape (...)
        In `unit`. [-]
    unit : str
        One of `PER_100_KM`. [-]
    town_share : float, optional
        Share of the distance driven in town. [-]

    Returns
    -------
    ndarray or float, shape (...)
        In `unit`; for miles a gallon 1 / (0.55 / town + 0.45 / highway). [-]

    References
    ----------
    US Code of Federal Regulations, title 40, 600.206(a)(3).

    Examples
    --------
    >>> print(f"{combined_consumption(20, 30, 'mpg US'):.4f}")
    23.5294
    """
    parts = town_share * consumption_per_100_km(town, unit) + (1 - town_share) * consumption_per_100_km(highway, unit)
    return consumption_in(parts, unit)


def pooled_consumption(amounts, distances):
    """Consumption over several fills: all that was filled over all that was driven.

    The mean of per-tank figures in distance per gallon is wrong, because the short tanks weigh too much.

    Parameters
    ----------
    amounts : array_like, shape (n,)
        Litres or kilowatt-hours of each fill. [L or kWh]
    distances : array_like, shape (n,)
        Distance driven on each. [km]

    Returns
    -------
    float
        Litres or kilowatt-hours. [per 100 km]
    """
    return 100 * float(np.sum(np.asarray(amounts, dtype=float)) / np.sum(np.asarray(distances, dtype=float)))
