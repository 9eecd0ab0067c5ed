"""Value against outlay: equity on every rung, what the work adds, and the sum insured."""

from dataclasses import dataclass

from buildecon.ledger.repricing import street_price
from buildecon.market.contribution import contribution, ends
from buildecon.project.rows import WASTE_CAUSES


@dataclass(frozen=True)
class Equity:
    """Value less one rung.

    Parameters
    ----------
    rung, label : str
        Which total. [-]
    outlay : float
        That total. [money]
    low, likely, high : float
        Value less outlay; below 0 is upside down. [money]
    recovered : float or None
        Likely value as a share of the outlay. [-]
    chance : float or None
        That one buyer pays more than the outlay; None where the market is not known. [-]
    """

    rung: str
    label: str
    outlay: float
    low: float
    likely: float
    high: float
    recovered: float | None
    chance: float | None


def equity(totals, value, chance_above=None):
    """How far upside down, against every rung.

    Parameters
    ----------
    totals : Ladder
        Of the project. [money]
    value : tuple of float
        Low, likely and high. [money]
    chance_above : callable, optional
        Chance that the car sells for more than a price. [-]

    Returns
    -------
    tuple of Equity
        A rung each, from the narrowest. [money]
    """
    found = []
    for rung in totals.rungs:
        outlay = float(rung.amount)
        recovered = value[1] / outlay if outlay > 0 else None
        found.append(Equity(rung.id, rung.label, outlay, *(end - outlay for end in value), recovered, chance_above(outlay) if chance_above else None))
    return tuple(found)


def work_costs(settled):
    """Cost of the work on the car by system, at what a reader would pay; waste is on no car.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    dict of str to float
        By system. [money]
    """
    found = {}
    for one in settled:
        if one.line.nature in ("part", "outside work", "consumable", "freight and tax") and one.line.cause not in WASTE_CAUSES:
            found[one.line.system] = found.get(one.line.system, 0.0) + float(street_price(one))
    return found


def built_up(project, totals):
    """Value as the base car plus what the work adds.

    Parameters
    ----------
    project : Project
        With `[contribution]`. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    Built or None
        None where the files have no such table. [money]
    """
    terms = project.file.contribution
    return contribution(terms, work_costs(totals.settled)) if terms else None


@dataclass(frozen=True)
class Cover:
    """A policy's sum beside what the car would fetch and what it stands in at; what a total loss would leave. [money]"""

    sum: float
    means: str
    value: tuple
    outlay: float
    paid_at_most: float
    short_of_value: float
    short_of_outlay: float


def cover(project, totals, value):
    """What the policy would pay at most, against value and outlay.

    Parameters
    ----------
    project : Project
        With `[insured]`. [-]
    totals : Ladder
        Its totals. [money]
    value : tuple of float
        Low, likely and high. [money]

    Returns
    -------
    Cover or None
        None where the files have no such table. [money]

    Notes
    -----
    An agreed value is paid as agreed. A stated amount is a ceiling: the least of it, the car's market value and the cost of repair is paid
    (common practice, no source). A policy at market value pays that, often without the modifications.
    """
    policy = project.file.insured
    if policy is None:
        return None
    amount = float(policy.sum)
    paid = {"agreed value": amount, "stated amount": min(amount, value[1]), "market value": value[1]}[policy.means]
    outlay = float(totals["stands_in_at"])
    return Cover(amount, policy.means, value, outlay, paid, max(value[1] - paid, 0.0), max(outlay - paid, 0.0))
