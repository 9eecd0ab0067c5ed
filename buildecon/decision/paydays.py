"""In which month each job can be paid: what is needed first, phases in their order, from what is saved and what comes in a month."""

import datetime as dt
from dataclasses import dataclass

from buildecon.decision.scope import NO_PHASE

MONTHS = 600  # looked ahead at most
HALF_CENT = 0.005


@dataclass(frozen=True)
class Payday:
    """One job in the order of paying.

    Parameters
    ----------
    work : Work
        The job. [money]
    opens : float
        What its phase costs to open, where this is the first of it. [money]
    month : date or None
        First day of the month in which it can be paid; None where what comes never reaches. [-]
    left : float
        Over after it. [money]
    """

    work: object
    opens: float
    month: dt.date | None
    left: float


def paydays(menu, choice):
    """The jobs of a set in the order and the month of paying.

    Parameters
    ----------
    menu : Menu
        What was chosen from, with `[trim]` of its project. [money]
    choice : Choice
        The set. [money]

    Returns
    -------
    tuple of Payday
        In order; the months are None where `[trim]` says neither what is saved nor what comes in. [money]

    Notes
    -----
    What is saved and the first month's money are there in the first month, by default the one after `as_of`. The next job waits until it can be paid whole,
    and none overtakes it. Order: what is needed first, then phases as they stand in the files, must-dos, and what brings most for its cost, itself
    or through what waits for it.
    """
    plan, months, found = menu.project.file.trim, 0, []
    first = plan.first_month or _after(menu.project.file.build.as_of.replace(day=1), 1)
    a_month = float(plan.a_month.mean) if plan.a_month else 0.0
    purse, opened = float(plan.saved.mean) + a_month, set()
    for k in in_order(menu, choice):
        phase = int(menu.phases.of[k])
        opens = float(menu.phases.opens[phase]) if phase != NO_PHASE and phase not in opened else 0.0
        opened.add(phase)
        due = menu.works[k].cost + opens
        while purse + HALF_CENT < due and a_month > 0 and months < MONTHS:
            months, purse = months + 1, purse + a_month
        reached = purse + HALF_CENT >= due
        purse -= due
        found.append(Payday(menu.works[k], opens, _after(first, months) if reached else None, purse))
    return tuple(found)


def in_order(menu, choice):
    """Positions of the jobs of a set, what is needed first.

    Parameters
    ----------
    menu : Menu
        What was chosen from. [money]
    choice : Choice
        The set. [money]

    Returns
    -------
    list of int
        Each after one of every group it needs. [-]
    """
    left = {k for k, chosen in enumerate(choice.chosen) if chosen}
    done, order, pull = set(), [], _pull(menu, left)

    def rank(k):
        return int(menu.phases.of[k]), not menu.works[k].must, -pull[k], k

    while left:
        ready = [rank(k) for k in left if all(done & set(group) for group in menu.jobs.needs[k])]
        k = min(ready)[-1]
        order.append(k)
        done.add(k)
        left.remove(k)
    return order


def _pull(menu, chosen):
    """Worth for each unit of cost of a job, or of the best that waits for it."""
    pull = {k: menu.worth(menu.works[k]) / max(menu.works[k].cost, HALF_CENT) for k in chosen}
    left = list(chosen)
    while left:
        k = left.pop()
        for other in {other for group in menu.jobs.needs[k] for other in group} & chosen:
            if pull[other] < pull[k]:
                pull[other] = pull[k]
                left.append(other)
    return pull


def _after(month, count):
    whole = month.year * 12 + month.month - 1 + count
    return dt.date(whole // 12, whole % 12 + 1, 1)
