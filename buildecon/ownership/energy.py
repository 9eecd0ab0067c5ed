"""What an option's energy costs a year."""

import numpy as np

from buildecon.quantities.units import AMOUNT_PER, combined_consumption, consumption_per_100_km


def blended_price(shares, prices):
    """Price of one unit bought at several prices.

    Parameters
    ----------
    shares : sequence of array_like, shape (...)
        Share of the amount bought at each; they add up to 1. [-]
    prices : sequence of array_like, shape (...)
        Price of each. [money]

    Returns
    -------
    ndarray or float, shape (...)
        Price of the mix. [money]

    Examples
    --------
    >>> print(f"{blended_price([0.85, 0.15], [0.19, 0.52]):.4f}")
    0.2395
    """
    return sum((np.asarray(share, dtype=float) * price for share, price in zip(shares, prices, strict=True)), np.zeros(()))[()]


def price_per_litre_or_kwh(energy):
    """Price of one litre or kilowatt-hour of an energy.

    Parameters
    ----------
    energy : Energy
        With a price, or tariffs, for its unit. [-]

    Returns
    -------
    ndarray or float, shape (...)
        A litre or a kWh. [money]
    """
    if energy.tariffs:
        shares = [t.share.figure for t in energy.tariffs]
        price = blended_price([share / sum(shares) for share in shares], [t.price.figure for t in energy.tariffs])  # drawn apart, they are still all of it
    else:
        price = energy.price.figure
    return price / AMOUNT_PER[energy.unit]


def energy_cost_per_km(consumption, price):
    """Cost of one kilometre, losses at the charger included.

    Parameters
    ----------
    consumption : Consumption
        Amount and unit at the car, charging loss as a share of what the wall gives, share of the distance. [-]
    price : array_like, shape (...)
        A litre or a kWh. [money]

    Returns
    -------
    ndarray or float, shape (...)
        Cost. [money/km]
    """
    if consumption.amount is not None:
        used = consumption.amount.figure
    else:
        used = combined_consumption(consumption.town.figure, consumption.open_road.figure, consumption.unit)
    bought = consumption_per_100_km(used, consumption.unit) / (1 - consumption.charging_loss.figure)
    return consumption.distance_share.figure * bought * price / 100


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
