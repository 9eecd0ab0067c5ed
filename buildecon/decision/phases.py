"""The phases of a project as gates: what each may cost, what stopping before it brings, what opening it may show."""

import numpy as np

from buildecon.decision.finish import paid_while_held
from buildecon.decision.staged import BadNewsAhead, Gate, staged
from buildecon.quantities.sampling import pert

# A range as three figures: its 10, 50 and 90 % quantiles with these chances, from memory of the usual rule.
AT, CHANCES = (0.1, 0.5, 0.9), (0.3, 0.4, 0.3)


def staged_build(project, here, lines, parted=0.0):
    """The phases of a project, from today.

    Parameters
    ----------
    project : Project
        With `[[phases]]`. [-]
    here : Ahead
        By the figures as written, or as turned. [money]
    lines : dict of str to Estimate
        What is still to come by line. [money]
    parted : float, optional
        What the parts bring today: a floor under every stop. [money]

    Returns
    -------
    Staged or None
        None where the files tell of no phases, or none of them is left to be paid. [money]

    Notes
    -----
    A range of cost counts at its 10, 50 and 90 % quantiles (PERT) with chances .3, .4, .3; all lines of a phase move together. What is in no
    phase is a last one. Stopping brings the phase's `stop_value`, else that of the gate before it, selling cost taken off. Own hours, where they
    count, are shared out as the costs are.
    """
    phases, times = project.file.phases, 1.0 if here.turned.cost_left is None or not here.written else here.turned.cost_left / here.written
    named = {id for phase in phases for id in phase.lines}
    rest = [id for id in lines if id not in named]
    asked = [_range([lines[id] for id in phase.lines if id in lines], times) if phase.cost is None else phase.cost.floats for phase in phases]
    asked += [_range([lines[id] for id in rest], times)] if rest else []
    if not phases or not any(ends[2] > 0 for ends in asked):
        return None
    whole, price, gates = sum(ends[1] for ends in asked) or 1.0, here.as_is, []
    for phase, ends in zip([*phases, *([None] if rest else [])], asked, strict=True):
        price = here.done_at(phase.stop_value) if phase and phase.stop_value is not None else price
        worked = here.hours * here.an_hour * ends[1] / whole
        gates.append(_gate(phase, ends, max(here.sale(price), parted), worked, here))
    return staged(gates, here.sale(here.finished))


def _range(parts, times):
    """Low, likely and high of some lines together; where they are all sure, or turned to nothing, three times the same."""
    return tuple(times * sum(part.floats[k] for part in parts) for k in range(3))


def _gate(phase, ends, stop, worked, here):
    """A phase of the files, or what is in no phase."""
    months = float(phase.months) if phase else 0.0
    beside = worked + paid_while_held(here.holding, months, here.rate) + (float(phase.opens) if phase else 0.0)
    costs, chances = ((ends[1],), (1.0,)) if ends[0] == ends[2] else (tuple(float(pert(*ends)(u)) for u in AT), CHANCES)
    outcomes = phase.outcomes if phase else ()
    news = phase.bad_news if phase else None
    if news is not None:
        left = stop if news.stop_value is None else min(here.sale(here.done_at(news.stop_value)), stop)
        news = BadNewsAhead(float(news.chance), float(news.adds), np.inf if news.look is None else float(news.look), left)
    times = tuple(float(one.times) for one in outcomes) or (1.0,)
    time_chances = tuple(float(one.chance) for one in outcomes) or (1.0,)
    return Gate(phase.what if phase else "the rest", stop, tuple(cost + beside for cost in costs), chances, times, time_chances, news, (1 + here.rate) ** (-months / 12))
