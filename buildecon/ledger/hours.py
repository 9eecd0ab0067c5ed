"""Own hours and those of helpers, by system, from the log."""

from collections import defaultdict
from decimal import Decimal

NOT_LOGGED = "not in the log"


def hours_by_system(project):
    """Hours of the log, and what was worked out beside it.

    Parameters
    ----------
    project : Project
        Its hours and what `[own_hours]` says was spent in all. [hour]

    Returns
    -------
    list of (str, Decimal, Decimal)
        System, own hours, helpers' hours, most of the owner's first; empty without a log. [hour]
    """
    own, helpers = defaultdict(Decimal), defaultdict(Decimal)
    for row in project.hours:
        (own if row.who == "own" else helpers)[row.system] += row.hours.likely
    found = sorted(((system, own[system], helpers[system]) for system in {*own, *helpers}), key=lambda row: (-row[1], row[0]))
    rest = project.hours_spent.likely - sum(own.values(), Decimal(0))
    return [*found, *([(NOT_LOGGED, rest, Decimal(0))] if found and rest > 0 else [])]
