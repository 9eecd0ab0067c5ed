"""What is still owed to the owner, and what can still go back to its seller, with the days that are left."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from buildecon.project.consistency import suppliers_of
from buildecon.quantities.money import to_cents

# Events that open and close a sum owed once they have a date; a refund, sale or grant is owed while it has none.
OPENS = {"deposit": "deposit", "core deposit": "core deposit", "store credit": "store credit"}
CLOSES = {
    "deposit back": "deposit", "deposit lost": "deposit", "core credit": "core deposit", "core lost": "core deposit", "credit spent": "store credit",
}  # fmt: skip
AWAITED = ("refund", "sale", "grant")


@dataclass(frozen=True)
class Owed:
    """Money that should still come back, or a part that can still go back.

    Parameters
    ----------
    what, line, item, who : str
        Its kind, the id of its line or the kit, its words, the supplier; store credit is of a supplier alone. [-]
    amount : Decimal
        At home. [money]
    due : date or None
        The day it ends. [-]
    days : int or None
        Days left on the day the figures hold on, below 0 once it has passed. [-]
    """

    what: str
    line: str
    item: str
    who: str
    amount: Decimal
    due: date | None
    days: int | None


def owed_items(project):
    """Open deposits, core deposits, refunds, sales, grants and store credit.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    tuple of Owed
        The most pressing first, those without a day last; on no rung. [money]

    Notes
    -----
    A sum is closed in its own currency where all of it is in one, else at home; what is left counts at the rate of the day it was
    opened. The earlier is closed first, so that its day no longer presses.
    """
    items, shops, as_of = {line.id: line.item for line in project.lines}, suppliers_of(project), project.file.build.as_of
    opened, closed, dues = defaultdict(list), defaultdict(list), defaultdict(list)
    for event in sorted(project.events, key=lambda event: event.date or date.max):
        if event.date is None and event.kind not in AWAITED:
            dues[_key(event, shops, CLOSES.get(event.kind, ""))] += [event.due] if event.due else []
        elif event.kind in AWAITED and event.date is None:
            opened[_key(event, shops, event.kind)].append(event)
        elif event.kind in OPENS:
            opened[_key(event, shops, OPENS[event.kind])].append(event)
        elif event.kind in CLOSES:
            closed[_key(event, shops, CLOSES[event.kind])].append(event)
    found = []
    for key, events in opened.items():
        what, line, who = key
        amount, days = _left(events, closed[key])
        if amount:
            due = min((*days, *dues[key]), default=None)
            found.append(Owed(what, line, items.get(line, line), who, amount, due, (due - as_of).days if due else None))
    return tuple(sorted(found, key=lambda one: (one.due is None, one.due or as_of)))


def _key(event, shops, what):
    who = shops.get(event.line, "")
    return what, "" if what == "store credit" else event.line, who


def _left(opened, closed):
    """What is left of sums opened one after another, at home, and their days."""
    alone = len({event.currency for event in (*opened, *closed)}) == 1
    back = sum((event.amount.likely * (1 if alone else _rate(event)) for event in closed), Decimal(0))
    amount, days = Decimal(0), []
    for event in opened:
        out = event.amount.likely * (1 if alone else _rate(event))
        rest, back = max(out - back, Decimal(0)), max(back - out, Decimal(0))
        amount += to_cents(rest * (_rate(event) if alone else 1))
        days += [event.due] if event.due and rest else []
    return amount, days


def _rate(event):
    return event.rate.likely if event.rate else Decimal(1)


def return_windows(project, settled):
    """Parts bought and not yet fitted that their seller takes back until a day.

    Parameters
    ----------
    project : Project
        For the day the figures hold on. [-]
    settled : sequence of Settled
        Its lines. [money]

    Returns
    -------
    tuple of Owed
        The first to end first; one that has ended, only where its `state` says that the part still lies there. [money]
    """
    as_of = project.file.build.as_of
    waiting = [one for one in settled if one.line.return_by and one.is_bought and one.line.state in ("", "ordered", "received")]
    found = [Owed("return window", one.line.id, one.line.item, one.line.supplier, one.cost - one.laid, one.line.return_by, (one.line.return_by - as_of).days) for one in waiting]
    return tuple(sorted((one for one in found if one.days >= 0 or _lies(waiting, one)), key=lambda one: one.due))


def _lies(waiting, owed):
    return any(one.line.id == owed.line and one.line.state for one in waiting)
