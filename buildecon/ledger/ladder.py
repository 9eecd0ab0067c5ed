"""The ladder of totals: the same money at every width of "what did it cost?", each rung adding to the one before."""

from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal

from buildecon.ledger.repricing import BY_INDEX, NEW_PRICE, index_of, repriced, street_price
from buildecon.ledger.settlement import Settled, settle, to_come
from buildecon.project.rows import WASTE_CAUSES

PROJECT_RUNGS = ("parts_on_car", "with_outside_work", "with_consumables", "with_waste", "with_tools", "project_cash")
RUNG_OF_NATURE = {
    "part": "parts_on_car",
    "outside work": "with_outside_work",
    "consumable": "with_consumables",
    "freight and tax": "with_consumables",
    "tool": "with_tools",
    "credit": "project_cash_net",
    "base car": "stands_in_at",
}  # every other nature (fetching, paper, storage ...) lands on project_cash
LABELS = {
    "parts_on_car": ("parts on the car", "fitted parts, at what was paid to the door"),
    "with_outside_work": ("with outside work", "adds shops, machine work, paint, alignment"),
    "with_consumables": ("with consumables", "adds fluids, fasteners, freight, tax and duty billed apart"),
    "with_waste": ("with waste", "adds rework, things bought twice, restocking, lost core deposits"),
    "with_tools": ("with tools", "adds tools bought and hired for the job"),
    "project_cash": ("gross project cash", "adds fetching, paper, storage, insurance, downtime, finance cost"),
    "project_cash_net": ("net project cash", "less money that came back: take-off parts, tools sold, grants received"),
    "stands_in_at": ("what the car stands you in", "adds the base car"),
    "with_own_hours": ("with own hours", "adds own hours"),
    "at_street_price": ("what it would cost a reader", "given and discounted parts at street price; before own hours"),
    "at_list_price": ("the same at list price", "given and discounted parts at list price; before own hours"),
    "replacement_today": ("to do it again today", "every line at the price of the day the figures hold on"),
}


@dataclass(frozen=True)
class Rung:
    """One total.

    Parameters
    ----------
    id, label, includes : str
        Name, words and what it takes in. [-]
    amount, low, high : Decimal
        Likely total, and the total of all lows and of all highs. [money]
    """

    id: str
    label: str
    includes: str
    amount: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class Group:
    """Lines of one system or one nature: how many, planned, actual and still to come. [money]"""

    name: str
    lines: int
    planned: Decimal
    actual: Decimal
    to_come: Decimal


@dataclass(frozen=True)
class Ladder:
    """All totals of a project.

    Parameters
    ----------
    rungs : tuple of Rung
        From the narrowest to the widest. [money]
    settled : tuple of Settled
        The lines under them. [money]
    hours_views : dict of str to Decimal
        What the car stands in at with own hours as a hobby, at a wage, at a shop rate. [money]
    to_finish : tuple of (Decimal, Decimal, Decimal)
        Low, likely and high of what is still to come, bills not paid yet among it, all lows and all highs together. [money]
    expected_to_finish : Decimal
        Sum of the means of the ranges. [money]
    stage : str
        Of the build. [-]
    """

    rungs: tuple
    settled: tuple
    hours_views: dict
    to_finish: tuple
    expected_to_finish: Decimal
    stage: str

    def __getitem__(self, id):
        """The amount of a rung. [money]"""
        return next(rung.amount for rung in self.rungs if rung.id == id)

    @property
    def systems(self):
        """Groups by system, in the order of lines.csv."""
        return _groups(self.settled, lambda settled: settled.line.system, self.stage)

    @property
    def natures(self):
        """Groups by nature, in the order of lines.csv."""
        return _groups(self.settled, lambda settled: settled.line.nature, self.stage)

    @property
    def months(self):
        """Gross project cost by month, as a dict; `undated` comes last."""
        months = defaultdict(Decimal)
        for settled in self.settled:
            if rung_of(settled.line) in PROJECT_RUNGS:
                for month, amount in settled.by_month:
                    months[month] += amount
        return dict(sorted(months.items()))

    @property
    def owed(self):
        """Lines with money still to come back."""
        return tuple(settled for settled in self.settled if settled.owed)


def rung_of(line):
    """The one rung on which a line lands.

    Parameters
    ----------
    line : Line
        Its nature decides, unless its cause makes it waste. [-]

    Returns
    -------
    str
        Id of the rung. [-]
    """
    if line.cause in WASTE_CAUSES and line.nature not in ("credit", "base car"):
        return "with_waste"
    return RUNG_OF_NATURE.get(line.nature, "project_cash")


def ladder(project):
    """The ladder of totals of a project.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    Ladder
        Exact to the cent; ranges add low to low and high to high. [money]
    """
    settled = settle(project)
    rungs, total = [], [Decimal(0)] * 3
    for id in (*PROJECT_RUNGS, "project_cash_net", "stands_in_at"):
        here = [one for one in settled if rung_of(one.line) == id]
        total = [total[0] + _sum(here, "cost"), total[1] + _sum(here, "low"), total[2] + _sum(here, "high")]
        rungs.append(_rung(id, total))
    hours, views = project.file.own_hours, {}
    rates = {"hobby": (Decimal(0),) * 3, "wage": _ends(hours.wage), "shop": _ends(hours.shop_rate)}
    for name, rate in rates.items():
        views[name] = [part + time * price for part, time, price in zip(total, _ends(project.hours_spent), rate, strict=True)]
    rungs.append(_rung("with_own_hours", views[hours.convention]))
    today = today_prices(project, settled)
    amounts = {"at_street_price": map(street_price, settled), "at_list_price": map(list_price, settled), "replacement_today": (one.amount for one in today)}
    for id, prices in amounts.items():
        extra = sum((price - one.cost for price, one in zip(prices, settled, strict=True)), Decimal(0))
        rungs.append(_rung(id, [part + extra for part in total]))
    rungs[-1] = replace(rungs[-1], includes=_how(project, today))
    left = [part for one in settled if (part := to_come(one, project.file.build.stage))]
    bills = _sum(settled, "unpaid")
    ends = tuple(sum((getattr(part, end) for part in left), bills) for end in ("low", "likely", "high"))
    expected = sum((part.mean for part in left), bills)
    return Ladder(tuple(rungs), settled, {name: view[0] for name, view in views.items()}, ends, expected, project.file.build.stage)


def _rung(id, total):
    return Rung(id, *LABELS[id], *total)


def _ends(estimate):
    return estimate.likely, estimate.low, estimate.high


def _sum(settled, end):
    return sum((getattr(one, end) for one in settled), Decimal(0))


def list_price(settled: Settled):
    """What a line counts at on the rung at list price.

    Parameters
    ----------
    settled : Settled
        The line. [money]

    Returns
    -------
    Decimal
        The list price of what was given or discounted, else what a reader would pay. [money]
    """
    line = settled.line
    return line.list_price.likely + settled.laid if line.funding != "own" and line.list_price and settled.is_bought else street_price(settled)


def today_prices(project, settled):
    """Every line at today's price, and how it came there: what the last rung adds up.

    Parameters
    ----------
    project : Project
        For its index and the day its figures hold on. [-]
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    list of Repriced
        One for each line, in order. [money]
    """
    index, as_of = index_of(project), project.file.build.as_of
    return [repriced(one, street_price(one), index, as_of) for one in settled]


def _how(project, today):
    """What the last rung rests on, in words."""
    fresh, carried = (sum(one.how == how for one in today) for how in (NEW_PRICE, BY_INDEX))
    index = index_of(project)
    by_index = f"{carried} carried on by {index.name} to {index.last}, " if index else ""
    return f"{fresh} lines at a price of today, {by_index}the rest at what a reader paid; before own hours"


def _groups(settled, name, stage):
    groups = defaultdict(list)
    for one in settled:
        groups[name(one)].append(one)
    return tuple(
        Group(
            key,
            len(many),
            sum((one.planned for one in many), Decimal(0)),
            _sum(many, "cost"),
            sum((part.likely for one in many if (part := to_come(one, stage))), _sum(many, "unpaid")),
        )
        for key, many in groups.items()
    )
