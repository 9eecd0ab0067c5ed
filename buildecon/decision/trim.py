"""What to cut: the best of the jobs for a budget and hours, what that leaves out, good, better and best, and what each job's absence saves."""

from dataclasses import dataclass, replace

import numpy as np

from buildecon.decision.scope import HALF_CENT, Choice, cheapest, choose, downwards, frontier
from buildecon.decision.work_list import Menu

KEPT_IN_THE_POCKET = 1.0  # money not spent is worth itself: a job must bring more than it costs
SETS = 60  # of the frontier; more are looked for in larger steps
AT_ONCE, DENSE = 10, 0.02  # sets that lie in a fiftieth of all money: there are thousands more
EXACT = 12  # jobs of which the best set is looked for to the cent; more that are worth about as much for their cost would take minutes
COARSE = 4000  # of a curve in steps, how far a set may stay behind: all the money over this
NEAR = 0.5  # of more jobs, how far the set may stay behind the best: no figure shown is finer


@dataclass(frozen=True)
class Cut:
    """A job that is left out, and why.

    Parameters
    ----------
    work : Work
        The job. [money]
    why : {"dear", "variant", "limit", "follows", "ruled out"}
        It brings less than it costs, even with all it makes possible; another of its kind is done; it pays, but money, hours or a phase's budget do not
        reach; what it needs is left out as dear; a variant of it is done already. [-]
    """

    work: object
    why: str


@dataclass(frozen=True)
class Level:
    """One of good, better and best.

    Parameters
    ----------
    name : {"good", "better", "best"}
        Must-dos with what they need; best for the budget; everything that makes sense without limit. [-]
    choice : Choice
        Its jobs. [money]
    without : tuple of Work
        What it lacks of the best. [money]
    """

    name: str
    choice: Choice
    without: tuple


@dataclass(frozen=True)
class Skip:
    """What leaving out one job saves and loses, all else being done.

    Parameters
    ----------
    work : Work
        The job. [money]
    also : tuple of Work
        What depends on it and goes too. [money]
    instead : tuple of Work
        Its variants. [money]
    money, hours, worth : float
        Saved, saved and lost, with what goes too and a phase that need not be opened. [money, hour, money]
    """

    work: object
    also: tuple
    instead: tuple
    money: float
    hours: float
    worth: float


@dataclass(frozen=True)
class Trimmed:
    """What to do and what to leave.

    Parameters
    ----------
    menu : Menu
        What it was chosen from. [money]
    budget, hours : float
        What there is; inf for no limit. [money, hour]
    best : Choice
        The set for them; where the must-dos do not fit, those alone. [money]
    cuts : tuple of Cut
        All that is not in it, in the owner's order. [-]
    levels : tuple of Level
        Good, better, best. [-]
    skips : tuple of Skip
        The most money saved for each unit of worth lost first; without the variants that are not the best of their kind. [money]
    """

    menu: Menu
    budget: float
    hours: float
    best: Choice
    cuts: tuple
    levels: tuple
    skips: tuple

    def works(self, choice):
        """The jobs of a set."""
        return tuple(work for work, chosen in zip(self.menu.works, choice.chosen, strict=True) if chosen)


def trimmed(menu, budget=np.inf, hours=np.inf):
    """The best of the jobs for a budget and hours, and what follows from it.

    Parameters
    ----------
    menu : Menu
        What can be chosen. [money]
    budget : float, optional
        For the jobs. [money]
    hours : float, optional
        Of one's own. [hour]

    Returns
    -------
    Trimmed
        What is worth most beyond its cost; money that is not spent stays in the pocket. [money]

    Notes
    -----
    A job is worth what it adds to the sale, selling cost taken off, and to who keeps the car what it is worth to him. Worth is added up: jobs that replace
    each other must be variants of one another.
    """
    jobs, phases = menu.jobs, menu.phases
    free, near = replace(phases, budget=np.full(len(phases.budget), np.inf)), near_of(menu)
    best = choose(jobs, phases, budget, hours, KEPT_IN_THE_POCKET, near)
    whole = choose(jobs, free, money_kept=KEPT_IN_THE_POCKET, near=near)
    levels = [("good", cheapest(jobs, free)), ("better", best), ("best", whole)]
    return Trimmed(menu, budget, hours, best, _cuts(menu, best, whole), tuple(Level(name, choice, _without(menu, choice, whole)) for name, choice in levels), _skips(menu, whole))


def worth_by_money(menu, hours=np.inf):
    """The best set at every amount of money.

    Parameters
    ----------
    menu : Menu
        What can be chosen. [money]
    hours : float, optional
        Of one's own. [hour]

    Returns
    -------
    tuple of Choice
        Rising in cost, from the must-dos up; of a long list not every set. Empty where the must-dos cannot be done. [money]
    """
    jobs, phases, near = menu.jobs, menu.phases, near_of(menu)
    span, found = float(np.sum(np.abs(jobs.cost)) + np.sum(phases.opens)), []
    for one in downwards(jobs, phases, hours, KEPT_IN_THE_POCKET, near=near):
        found.append(one)
        if len(found) > SETS or (len(found) == AT_ONCE and found[0].cost - one.cost < DENSE * span):
            return _with_steps(menu, hours, span, max(near, span / COARSE))
    return tuple(reversed(found))


def _with_steps(menu, hours, span, near):
    """The frontier of many sets in steps, from the must-dos up."""
    jobs, phases = menu.jobs, menu.phases
    found = frontier(jobs, phases, hours, KEPT_IN_THE_POCKET, span / SETS, near)
    least = cheapest(jobs, phases, hours).cost
    return found if found[0].cost <= least + HALF_CENT else (choose(jobs, phases, least, hours, KEPT_IN_THE_POCKET, near), *found)


def near_of(menu):
    """How far a set may stay behind the best.

    Parameters
    ----------
    menu : Menu
        What can be chosen. [money]

    Returns
    -------
    float
        0 for a short list. [money]
    """
    return 0.0 if len(menu.works) <= EXACT else NEAR


def _without(menu, choice, whole):
    """Of the best, what a set lacks; a variant is not lacking where another of its kind is there."""
    kinds = {work.one_of for work, chosen in zip(menu.works, choice.chosen, strict=True) if chosen and work.one_of}
    rows = zip(menu.works, choice.chosen, whole.chosen, strict=True)
    return tuple(work for work, here, there in rows if there and not here and work.one_of not in kinds)


def _cuts(menu, best, whole):
    kinds = {work.one_of for work, chosen in zip(menu.works, best.chosen, strict=True) if chosen and work.one_of}
    chosen, pays = ({work.id for work, one in zip(menu.works, choice.chosen, strict=True) if one} for choice in (best, whole))
    done = {work.id for work in menu.done}

    def why(work):
        if work.one_of in kinds:
            return "variant"
        if work.id in pays:
            return "limit"
        return "follows" if menu.worth(work) > work.cost and any(not (chosen | done) & set(group) for group in work.needs) else "dear"

    return tuple(Cut(work, why(work)) for work in menu.works if work.id not in chosen) + tuple(Cut(work, "ruled out") for work in menu.ruled_out)


def _skips(menu, whole):
    """Each job against the best set, or against that with the job and what it needs where it is no part of it."""
    whole, found = np.array(whole.chosen, dtype=bool), []
    kinds = {work.one_of for work, chosen in zip(menu.works, whole, strict=True) if chosen and work.one_of}
    for k, work in enumerate(menu.works):
        if not whole[k] and work.one_of in kinds:
            continue  # it is not going to be done, the other is
        base = whole if whole[k] else _with_needs(menu, whole, k)
        goes = _goes_with(menu, base, k)
        if not np.any(menu.jobs.must & goes) and not _leaves_none(menu, base, goes):
            found.append(_skip(menu, base, goes, k))
    return tuple(sorted(found, key=lambda skip: (-_for_each(skip), -skip.money)))


def _for_each(skip):
    """Money saved for each unit of worth lost; without end where nothing is lost."""
    return skip.money / skip.worth if skip.worth > HALF_CENT else np.inf if skip.money > 0 else -np.inf


def _with_needs(menu, chosen, k):
    """A set with one job more, what it needs (of several the cheapest), and without its other variants."""
    chosen, left = chosen.copy(), [k]
    while left:
        job = left.pop()
        chosen[[other for group, _ in menu.jobs.variants if job in group for other in group]] = False
        chosen[job] = True
        left += [min(group, key=lambda other: menu.jobs.cost[other]) for group in menu.jobs.needs[job] if group and not chosen[list(group)].any()]
    return chosen


def _goes_with(menu, chosen, k):
    """The job, and all in the set that cannot be done without it."""
    goes = np.zeros(len(chosen), dtype=bool)
    goes[k] = True
    while True:
        stays = chosen & ~goes
        more = [job for job in np.flatnonzero(stays) if any(not stays[list(group)].any() for group in menu.jobs.needs[job])]
        if not more:
            return goes
        goes[more] = True


def _leaves_none(menu, base, goes):
    """Whether one of a kind of which one must be done would be missing."""
    return any(required and not (base & ~goes)[list(group)].any() for group, required in menu.jobs.variants)


def _skip(menu, base, goes, k):
    works, jobs, phases = menu.works, menu.jobs, menu.phases
    before, after = (set(phases.of[chosen]) - {-1} for chosen in (base, base & ~goes))
    money = float(jobs.cost[goes].sum()) + sum(float(phases.opens[phase]) for phase in before - after)
    also = tuple(works[job] for job in np.flatnonzero(goes) if job != k)
    instead = tuple(work for work in works if work.one_of and work.one_of == works[k].one_of and work is not works[k])
    return Skip(works[k], also, instead, money, float(jobs.hours[goes].sum()), float(sum(menu.worth(works[job]) for job in np.flatnonzero(goes))))
