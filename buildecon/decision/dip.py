"""The dip: money in against value while building, on one time axis."""

import datetime as dt
from dataclasses import dataclass

from buildecon.ledger.cash import cash_by_month
from buildecon.market.comparables import FINISHED
from buildecon.market.contribution import ends


@dataclass(frozen=True)
class Stand:
    """Money in by one day. [money]"""

    day: dt.date
    money_in: float


@dataclass(frozen=True)
class Stage:
    """One state of the car on the time axis.

    Parameters
    ----------
    state, what : str
        Its state, and the owner's words for it. [-]
    since, until : date
        When it lasts. [-]
    value : tuple of float or None
        Low, likely and high; None where nothing says. [money]
    source : {"stated", "evidence", "first guess", "belief", "nothing"}
        Who says so: the owner, rows of market.csv in that state, or only beliefs about such states. [-]
    sales, rows : int
        Evidence for that state. [-]
    money_before, money_in : float
        Money in when it began, and at its end or on the day the figures hold on. [money]
    ahead : bool
        Whether it is still to come. [-]
    """

    state: str
    what: str
    since: dt.date
    until: dt.date
    value: tuple | None
    source: str
    sales: int
    rows: int
    money_before: float
    money_in: float
    ahead: bool


def money_in_by_month(project, totals):
    """Money in since the car came, at the end of each month, the base car at the start among it.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    tuple of Stand
        The last is what the car stands in at on the day the figures hold on. [money]
    """
    as_of = project.file.build.as_of
    base = sum((float(one.cost) for one in totals.settled if one.line.nature == "base car" and project.file.build.base_car == "owned"), 0.0)
    found = [Stand(min(_month_end(month.month), as_of), base + float(month.outstanding)) for month in cash_by_month(project) if month.month != "undated"]
    return (*(one for one in found if one.day < as_of), Stand(as_of, float(totals["stands_in_at"])))


def stages(project, totals, market):
    """The states of the car on the time axis, each with its value and the money in by then.

    Parameters
    ----------
    project : Project
        With `[[states]]`. [-]
    totals : Ladder
        Its totals. [money]
    market : Worth
        What the evidence says. [-]

    Returns
    -------
    tuple of Stage
        In order of time; empty where the files name no states. [money]
    """
    as_of, states = project.file.build.as_of, project.file.states
    stands = money_in_by_month(project, totals)
    coming = float(totals.expected_to_finish)
    found = []
    for k, state in enumerate(states):
        last = states[k + 1].since if k + 1 < len(states) else max(as_of, state.since + dt.timedelta(days=91 if state.since > as_of else 0))
        rows, sales = market.evidence_for(state.state)
        value, source = None, "nothing"
        if state.value is not None:
            value, source = ends(state.value), "stated"
        elif (of_it := market.of_state(state.state)) is not None:
            value, source = (of_it.low, of_it.likely, of_it.high), "evidence" if rows else "first guess" if state.state == FINISHED else "belief"
        ahead = state.since > as_of
        until = last if ahead else min(last, max(as_of, state.since))
        money = float(totals["stands_in_at"]) + coming if ahead else _money_on(stands, until)
        before = float(totals["stands_in_at"]) if ahead else _money_on(stands, state.since)
        found.append(Stage(state.state, state.what, state.since, until, value, source, sales, rows, before, money, ahead))
    return tuple(found)


def _money_on(stands, day):
    """Money in at the end of the last month before a day."""
    before = [one.money_in for one in stands if one.day <= day]
    return before[-1] if before else stands[0].money_in


def _month_end(month):
    year, number = map(int, month.split("-"))
    return dt.date(year + number // 12, number % 12 + 1, 1) - dt.timedelta(days=1)
