"""What is still owed to the owner, and what can still go back to its seller, with the days that are left."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from buildecon.quantities.money import converted

# What an event does to the sum owed: for deposits when they are dated, for the rest while they have no date.
OPENS = {"deposit": "deposit", "core deposit": "core deposit"}
CLOSES = {"deposit back": "deposit", "deposit lost": "deposit", "core credit": "core deposit", "core lost": "core deposit"}
AWAITED = ("refund", "sale", "grant")


@dataclass(frozen=True)
class Owed:
    """Money that should still come back, or a part that can still go back.

    Parameters
    ----------
    what, item, who : str
        Its kind, the line or kit, the supplier. [-]
    amount : Decimal
        At home. [money]
    due : date or None
        The day it ends. [-]
    days : int or None
        Days left on the day the figures hold on, below 0 once it has passed. [-]
    """

    what: str
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
    """
    lines = {line.id: line for line in project.lines}
    open_sums, dues = defaultdict(Decimal), defaultdict(list)
    for event in project.events:
        line = lines.get(event.line)
        who = line.supplier if line else ""
        amount = converted(event.amount.likely, event.rate.likely if event.rate else Decimal(1))
        if event.kind in ("store credit", "credit spent"):
            key, sign = ("store credit", "", who), 1 if event.kind == "store credit" else -1
        elif event.kind in AWAITED and event.date is None:
            key, sign = (event.kind, event.line, who), 1
        elif event.date is not None and event.kind in OPENS | CLOSES:
            key, sign = (OPENS.get(event.kind) or CLOSES[event.kind], event.line, who), 1 if event.kind in OPENS else -1
        else:
            continue
        open_sums[key] += sign * amount
        dues[key] += [event.due] if event.due and sign > 0 else []
    as_of = project.file.build.as_of
    found = [_owed(what, lines[id].item if id in lines else id, who, amount, min(dues[what, id, who], default=None), as_of) for (what, id, who), amount in open_sums.items() if amount]
    return tuple(sorted(found, key=lambda one: (one.due is None, one.due or as_of)))


def return_windows(project):
    """Parts bought and not yet fitted that their seller takes back until a day.

    Parameters
    ----------
    project : Project
        With its lines. [-]

    Returns
    -------
    tuple of Owed
        The first to end first; those that have ended too. [money]
    """
    as_of = project.file.build.as_of
    waiting = [line for line in project.lines if line.return_by and line.state not in ("fitted", "returned", "failed", "sold", "planned")]
    found = [_owed("return window", line.item, line.supplier, line.paid.likely if line.paid else Decimal(0), line.return_by, as_of) for line in waiting]
    return tuple(sorted(found, key=lambda one: one.due))


def _owed(what, item, who, amount, due, as_of):
    return Owed(what, item, who, amount, due, (due - as_of).days if due else None)
