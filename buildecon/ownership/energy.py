"""What an option's energy costs a year."""

import numpy as np

from buildecon.quantities.units import AMOUNT_PER, combined_consumption, consumption_per_100_km


def blended_price(shares, prices):
    """Price of one unit bought at several prices.

    Parameters
    ----------
    shares : array_like, shape (n,)
        Share of the amount bought at each; they add up to 1. [-]
    prices : array_like, shape (n,)
        Price of each. [money]

    Returns
    -------
    float
        Price of the mix. [money]

    Examples
    --------
    >>> print(f"{blended_price([0.85, 0.15], [0.19, 0.52]):.4f}")
    0.2395
    """
    return float(np.dot(np.asarray(shares, dtype=float), np.asarray(prices, dtype=float)))


def price_per_litre_or_kwh(energy):
    """Price of one litre or kilowatt-hour of an energy.

    Parameters
    ----------
    energy : Energy
        With a price, or tariffs, for its unit. [-]

    Returns
    -------
    float
        A litre or a kWh. [money]
    """
    if energy.tariffs:
        price = blended_price([float(t.share) for t in energy.tariffs], [float(t.price) for t in energy.tariffs])
    else:
        price = float(energy.price)
    return price / AMOUNT_PER[energy.unit]


def energy_cost_per_km(consumption, price):
    """Cost of one kilometre, losses at the charger included.

    Parameters
    ----------
    consumption : Consumption
        Amount and unit at the car, charging loss as a share of what the wall gives, share of the distance. [-]
    price : float
        A litre or a kWh. [money]

    Returns
    -------
    float
        Cost. [money/km]
    """
    bought = consumption_per_100_km(used_amount(consumption)[1], consumption.unit) / (1 - float(consumption.charging_loss))
    return float(consumption.distance_share) * bought * price / 100


def used_amount(consumption):
    """What an option uses at the car, in the unit it is written in.

    Parameters
    ----------
    consumption : Consumption
        With an amount, or published figures for town and open road. [-]

    Returns
    -------
    tuple of float
        Low, likely and high; town and open road are mixed over distance, 55 % of it in town. [-]

    References
    ----------
    40 CFR 600.206: combined fuel economy, 1 / (0.55 / city + 0.45 / highway).
    """
    if consumption.amount is not None:
        return consumption.amount.floats
    return tuple(combined_consumption(town, road, consumption.unit) for town, road in zip(consumption.town.floats, consumption.open_road.floats, strict=True))
