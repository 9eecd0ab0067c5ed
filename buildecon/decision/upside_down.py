"""Value against outlay: equity on every rung, what the work adds, and the sum insured."""

from dataclasses import dataclass

from buildecon.decision.dip import stages
from buildecon.decision.finish import improvements
from buildecon.decision.option_terms import counted_on
from buildecon.ledger.ladder import Ladder
from buildecon.ledger.repricing import street_price
from buildecon.market.contribution import Built, contribution
from buildecon.market.selling import PartedOut, part_out, ways_out
from buildecon.market.worth import Worth
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
    (common practice, no source). A policy at market value pays that, its sum at most, often without the modifications.
    """
    policy = project.file.insured
    if policy is None:
        return None
    amount = float(policy.sum)
    paid = {"agreed value": amount, "stated amount": min(amount, value[1]), "market value": min(amount, value[1])}[policy.means]
    outlay = float(totals["stands_in_at"])
    return Cover(amount, policy.means, value, outlay, paid, max(value[1] - paid, 0.0), max(outlay - paid, 0.0))


@dataclass(frozen=True)
class Standing:
    """Where the owner stands: what the car is worth against everything else in the folder.

    Parameters
    ----------
    market : Worth
        The reading of the evidence. [-]
    totals : Ladder
        Of the project. [money]
    stated, price : tuple of float
        The owner's own figure as it stands, and the one used below: the evidence's where it speaks of today, else the owner's. [money]
    equity, stated_equity : tuple of Equity
        Against every rung, at each of the two. [money]
    owed : float
        Money the quoted build counts on and has not received. [money]
    built : Built or None
        Base car plus contributions. [money]
    stages : tuple of Stage
        States on the time axis. [money]
    parted : PartedOut or None
        In pieces. [money]
    ways : tuple of WayOut
        Selling routes. [money]
    cover : Cover or None
        The policy. [money]
    jobs : tuple of Pays
        One more job each. [money]
    """

    market: Worth
    totals: Ladder
    stated: tuple
    price: tuple
    equity: tuple
    stated_equity: tuple
    owed: float
    built: Built | None
    stages: tuple
    parted: PartedOut | None
    ways: tuple
    cover: Cover | None
    jobs: tuple

    @property
    def project(self):
        """With the assumptions it was made with."""
        return self.market.project

    @property
    def by_market(self):
        """Whether the price is the evidence's, and not the owner's own figure."""
        return self.market.today is not None

    @property
    def stands_in(self):
        """Equity against what the car stands in at."""
        return next(one for one in self.equity if one.rung == "stands_in_at")

    @property
    def stated_stands_in(self):
        """The same at the owner's own figure."""
        return next(one for one in self.stated_equity if one.rung == "stands_in_at")


def standing(market, totals):
    """Everything that follows from what the car is worth.

    Parameters
    ----------
    market : Worth
        The reading of the evidence. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    Standing
        With what the files allow. [money]
    """
    project, known = market.project, market.today
    stated = project.file.value.as_is.floats
    price = (known.low, known.likely, known.high) if known else stated
    parted = part_out(project.file.part_out) if project.file.part_out else None
    return Standing(
        market,
        totals,
        stated,
        price,
        equity(totals, price, market.chance_above if known else None),
        equity(totals, stated),
        counted_on(project.option(project.file.build.quoted_option), totals),
        built_up(project, totals),
        stages(project, totals, market),
        parted,
        ways_out(project.file.routes, price, parted),
        cover(project, totals, price),
        improvements(project, stated[1] or price[1]),
    )
