"""Why the build cost more or less than planned: from plan to actual in steps that add up to the cent."""

from dataclasses import dataclass
from decimal import Decimal

GIVEN, CHEAPER, NOT_YET, UNTOLD, TOOLS = "given or discounted", "cheaper than planned", "not bought yet", "no cause written", "tools not counted to this build"


@dataclass(frozen=True)
class Step:
    """One cause of the way from plan to actual.

    Parameters
    ----------
    cause : str
        As tagged by the owner, or what the figures themselves say. [-]
    amount : Decimal
        Above 0 where it made the build dearer. [money]
    lines : tuple of str
        Ids of the lines behind it, the largest first. [-]
    """

    cause: str
    amount: Decimal
    lines: tuple


@dataclass(frozen=True)
class Waterfall:
    """From the baseline plan to what it has cost, credits left out.

    Parameters
    ----------
    planned, actual : Decimal
        Both ends. [money]
    steps : tuple of Step
        Dearest first; they add up to actual less planned exactly. [money]
    """

    planned: Decimal
    actual: Decimal
    steps: tuple


def cause_of(settled):
    """Why a line differs from its plan.

    Parameters
    ----------
    settled : Settled
        A line and its cost. [money]

    Returns
    -------
    str
        The owner's own tag where there is one; a line that came out cheaper needs none. [-]
    """
    line, over = settled.line, settled.cost - settled.planned
    if over < 0 and settled.left_out:
        return TOOLS
    if over < 0 and not settled.by_month:
        return GIVEN if line.funding in ("given", "swapped") else NOT_YET
    if line.funding != "own" and over < 0:
        return GIVEN
    return line.cause or (CHEAPER if over < 0 else UNTOLD)


def begun(settled):
    """Lines on which money has moved, or that were given; of a build under way the others are no saving against the plan.

    Parameters
    ----------
    settled : sequence of Settled
        All lines of a project. [money]

    Returns
    -------
    tuple of Settled
        Without those that are planned and not bought yet. [money]
    """
    return tuple(one for one in settled if one.cost == one.planned or cause_of(one) != NOT_YET)


def waterfall(settled):
    """Steps from plan to actual by cause.

    Parameters
    ----------
    settled : sequence of Settled
        All lines of a project; credits are left out, since they were never planned spending. [money]

    Returns
    -------
    Waterfall
        Exact to the cent. [money]
    """
    gross = [one for one in settled if one.line.nature != "credit"]
    by_cause = {}
    for one in sorted(gross, key=lambda one: -abs(one.cost - one.planned)):
        if one.cost != one.planned:
            by_cause.setdefault(cause_of(one), []).append(one)
    steps = [Step(cause, sum((one.cost - one.planned for one in ones), Decimal(0)), tuple(one.line.id for one in ones)) for cause, ones in by_cause.items()]
    planned, actual = (sum((getattr(one, end) for one in gross), Decimal(0)) for end in ("planned", "cost"))
    return Waterfall(planned, actual, tuple(sorted(steps, key=lambda step: -step.amount)))


def small_change(settled, under):
    """How much of the money went in small amounts.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]
    under : int
        What counts as small. [money]

    Returns
    -------
    lines : int
        How many. [-]
    amount, share : Decimal
        Their sum, and its share of all that was spent. [money, -]
    """
    spent = [one.cost for one in settled if one.cost > 0 and one.line.nature != "base car"]
    small = [cost for cost in spent if cost < under]
    whole = sum(spent, Decimal(0))
    return len(small), sum(small, Decimal(0)), sum(small, Decimal(0)) / whole if whole else Decimal(0)
