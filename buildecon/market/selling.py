"""Ways out: the car whole by several routes, or taken apart."""

from dataclasses import dataclass
from math import sqrt

IN_PIECES = "in pieces"


@dataclass(frozen=True)
class PartedOut:
    """What the pieces bring.

    Parameters
    ----------
    parts : tuple of (str, float, float)
        What, its likely price, its chance of selling within the horizon. [money, -]
    asked : float
        If every part sold at its likely price. [money]
    fees, costs : float
        Expected. [money]
    net : tuple of float
        Low, expected and high: every low price, the likely ones, every high price, each times its chance. [money]
    by_luck : float
        Standard deviation of the net from which parts sell. [money]
    hours, months : float
        Work and horizon. [hour, month]
    """

    parts: tuple
    asked: float
    fees: float
    costs: float
    net: tuple
    by_luck: float
    hours: float
    months: float


def part_out(terms):
    """Net of taking the car apart.

    Parameters
    ----------
    terms : PartOut
        `[part_out]`. [-]

    Returns
    -------
    PartedOut
        Nothing is counted for what has not sold by the horizon. [money]

    Notes
    -----
    net = sum of price x chance x (1 - fee share) - costs.
    """
    keep = 1 - float(terms.fee_share)
    chances = [one.chance.floats for one in terms.parts]
    prices = [one.price.floats for one in terms.parts]
    costs = terms.costs.floats[::-1]
    expected = [sum(price[k] * chance[k] for price, chance in zip(prices, chances, strict=True)) for k in range(3)]
    luck = sqrt(sum((price[1] * keep) ** 2 * chance[1] * (1 - chance[1]) for price, chance in zip(prices, chances, strict=True)))
    return PartedOut(
        tuple((one.what, price[1], chance[1]) for one, price, chance in zip(terms.parts, prices, chances, strict=True)),
        sum(price[1] for price in prices),
        expected[1] * (1 - keep),
        costs[1],
        tuple(total * keep - cost for total, cost in zip(expected, costs, strict=True)),
        luck,
        float(terms.hours),
        float(terms.within_months),
    )


@dataclass(frozen=True)
class WayOut:
    """One way of selling. Net low, likely and high; weeks; hours; what an hour spent on it is paid against the first way. [money, -, hour]"""

    name: str
    net: tuple
    weeks: float
    hours: float
    per_hour: float | None = None


def ways_out(routes, value, parted=None):
    """Selling routes side by side.

    Parameters
    ----------
    routes : sequence of Route
        `[[routes]]`, the plain one first. [-]
    value : tuple of float
        Low, likely and high of the price of the car whole. [money]
    parted : PartedOut, optional
        Taking it apart, as one more way. [money]

    Returns
    -------
    tuple of WayOut
        In the owner's order, parts last. [money]
    """
    found = []
    for route in routes:
        share, keep = route.price_share.floats, 1 - float(route.fee_share)
        price = route.price.floats if route.price is not None else tuple(v * s for v, s in zip(value, share, strict=True))
        beside, costs = route.parts_beside.floats, route.costs.floats[::-1]
        net = tuple(price[k] * keep + beside[k] - costs[k] for k in range(3))
        found.append(WayOut(route.name, net, float(route.weeks), float(route.hours)))
    if parted:
        found.append(WayOut(IN_PIECES, parted.net, parted.months * 52 / 12, parted.hours))
    first = found[0] if found else None
    return tuple(WayOut(one.name, one.net, one.weeks, one.hours, _per_hour(one, first)) for one in found)


def _per_hour(one, first):
    more = one.hours - first.hours
    return (one.net[1] - first.net[1]) / more if one is not first and more > 0 else None
