"""The dip: money in against value while building, on one time axis."""

import datetime as dt
from dataclasses import dataclass

from buildecon.ledger.cash import cash_by_day
from buildecon.market.comparables import FINISHED


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


def money_in_by_day(project, totals):
    """Money in since the car came, by the end of each day on which money moved, the base car from the start.

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
    build = project.file.build
    from_the_start = [one for one in totals.settled if one.line.nature == "base car" and (build.base_car == "owned" or one.line.date is None)]
    base = sum((float(one.cost) for one in from_the_start), 0.0)
    found = [Stand(day, base + float(out)) for day, out in cash_by_day(project) if day < build.as_of]
    first = min([build.as_of, *(one.day for one in found), *(state.since for state in project.file.states)])
    return (Stand(first, base), *found, Stand(build.as_of, float(totals["stands_in_at"])))


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
    stands = money_in_by_day(project, totals)
    coming = float(totals.expected_to_finish)
    found = []
    for k, state in enumerate(states):
        after = states[k + 1].since if k + 1 < len(states) else None
        ahead = state.since > as_of
        now = not ahead and (after is None or after > as_of)
        if now:  # lasts to today, and is drawn if it began today
            until = max(as_of, min(state.since + dt.timedelta(days=14), after or dt.date.max))
        else:
            until = after or state.since + dt.timedelta(days=91)
        rows, sales = market.evidence_for(state.state)
        value, source = None, "nothing"
        if state.value is not None:
            value, source = state.value.floats, "stated"
        elif (of_it := market.of_state(state.state)) is not None:
            guessed = state.state == FINISHED and project.file.market.first_guess is not None
            value, source = (of_it.low, of_it.likely, of_it.high), "evidence" if rows else "first guess" if guessed else "belief"
        money = float(totals["stands_in_at"]) + (coming if ahead else 0) if ahead or now else _money_on(stands, until)
        if ahead:  # what is still to come is spent in the first state ahead, and before the car is finished
            before = money if state.state == FINISHED or any(stage.ahead for stage in found) else float(totals["stands_in_at"])
        else:
            before = _money_on(stands, state.since)
        found.append(Stage(state.state, state.what, state.since, until, value, source, sales, rows, before, money, ahead))
    return tuple(found)


def _money_on(stands, day):
    """Money in before a day begins."""
    return [one.money_in for one in stands if one.day < day or one is stands[0]][-1]
