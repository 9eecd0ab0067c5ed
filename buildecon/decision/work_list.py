"""From the jobs of a project to what can be chosen: what each would cost, bring and take, and what is done already."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from buildecon.decision.scope import NO_PHASE, Jobs, Phases
from buildecon.ledger.repricing import street_price
from buildecon.ledger.settlement import to_come
from buildecon.project.job_rules import groups_of
from buildecon.quantities.money import to_cents

LEFT, AGAIN = "what is left", "to do it again"


@dataclass(frozen=True)
class Work:
    """One job as it counts.

    Parameters
    ----------
    id, what : str
        As written. [-]
    cost, hours : float
        Money and own hours it would take; a range counts at its mean. [money, hour]
    to_you, adds : float
        What it is worth to the owner, and what it adds to the sale, selling cost taken off. [money]
    must : bool
        Whether it is done whatever happens. [-]
    known : bool
        Whether anything says what it is worth. [-]
    done : bool
        Whether nothing of it is left. [-]
    phase, one_of, lost : str
        As written. [-]
    needs : tuple of tuple of str
        Groups of ids, of each of which one is enough. [-]
    """

    id: str
    what: str
    cost: float
    hours: float
    to_you: float
    adds: float
    must: bool = False
    known: bool = True
    done: bool = False
    phase: str = ""
    one_of: str = ""
    lost: str = ""
    needs: tuple = ()


@dataclass(frozen=True)
class Menu:
    """What can be chosen from, in one view.

    Parameters
    ----------
    project : Project
        The files. [-]
    view : {"what is left", "to do it again"}
        Money still to come, or what a reader would pay for the whole. [-]
    kept : bool
        Whether the car is kept, so that what a job is worth to its owner counts. [-]
    works : tuple of Work
        In play, in the owner's order. [money]
    done, ruled_out : tuple of Work
        Finished ones, and variants of those. [money]
    offered : bool
        Whether they are lines or systems because the files have no jobs; nobody knows then what they are worth. [-]
    elsewhere : float
        Money of the same view that is in no job. [money]
    jobs, phases : Jobs, Phases
        The same as arrays; own hours that are counted as labour are taken off the worth. [money]
    hour_rate : float
        At which an own hour counts. [money]
    """

    project: object
    view: str
    kept: bool
    works: tuple
    done: tuple
    ruled_out: tuple
    offered: bool
    elsewhere: float
    jobs: Jobs
    phases: Phases
    hour_rate: float

    def worth(self, work):
        """What a job is worth here, before its cost; own hours that count as labour are taken off. [money]"""
        return _worth(work, self.kept, self.hour_rate)


def usual_view(project, settled):
    """The view a project opens in.

    Parameters
    ----------
    project : Project
        The files. [-]
    settled : sequence of Settled
        Its lines. [money]

    Returns
    -------
    str
        "to do it again" where nothing is left to do. [-]
    """
    return LEFT if menu(project, settled, LEFT).works else AGAIN


def works_of(project, settled, view):
    """Every job of a project; without any, its open lines, or its systems where the whole is done again.

    Parameters
    ----------
    project : Project
        The files. [-]
    settled : sequence of Settled
        Its lines. [money]
    view : {"what is left", "to do it again"}
        Decides what a line costs. [-]

    Returns
    -------
    tuple of Work
        In the owner's order. [money]
    """
    if project.file.jobs:
        prices = {one.line.id: line_cost(project, one, view) for one in settled}
        return tuple(_work(project, job, prices, view) for job in project.file.jobs)
    costs = _open_lines(project, settled) if view == LEFT else _systems(project, settled)
    return tuple(Work(id, what, float(cost), 0.0, 0.0, 0.0, known=False) for id, what, cost in costs if cost)


def line_cost(project, settled, view):
    """What one line would cost.

    Parameters
    ----------
    project : Project
        For its stage. [-]
    settled : Settled
        The line. [money]
    view : {"what is left", "to do it again"}
        Still to come, a range at its mean as everywhere; or with what a reader would have paid for what is bought. [-]

    Returns
    -------
    Decimal
        To the cent. [money]
    """
    ahead = to_come(settled, project.file.build.stage)
    cost = ahead.mean if ahead else Decimal(0)
    return to_cents(cost if view == LEFT else cost + street_price(settled))


def menu(project, settled, view, kept=True):
    """What can be chosen from.

    Parameters
    ----------
    project : Project
        The files. [-]
    settled : sequence of Settled
        Its lines. [money]
    view : {"what is left", "to do it again"}
        What a job costs. [-]
    kept : bool, optional
        What a job is worth. [-]

    Returns
    -------
    Menu
        Without what is done, and without the variants of it. [money]
    """
    every = works_of(project, settled, view)
    done = tuple(work for work in every if work.done)
    taken = {work.one_of for work in done} - {""}
    ruled_out = tuple(work for work in every if not work.done and work.one_of in taken)
    works = tuple(work for work in every if not work.done and work.one_of not in taken)
    named = {id for job in project.file.jobs for id in job.lines}
    elsewhere = sum((line_cost(project, one, view) for one in settled if one.line.id not in named and one.line.nature not in ("base car", "credit")), Decimal(0))
    rate = project.file.own_hours.an_hour
    worth = [_worth(work, kept, rate) for work in works]
    return Menu(project, view, kept, works, done, ruled_out, not project.file.jobs, 0.0 if not project.file.jobs else float(elsewhere), _jobs(works, done, worth), _phases(project, works, done), rate)


def _worth(work, kept, hour_rate):
    return work.adds + (work.to_you if kept else 0.0) - hour_rate * work.hours


def _work(project, job, prices, view):
    left = [prices[id] for id in job.lines]
    cost = to_cents(job.cost.mean) if job.cost is not None else sum(left, Decimal(0))
    keep = 1 - float(project.file.value.selling_cost_share)
    said = bool({"adds", "worth_to_you"} & job.model_fields_set)
    is_done = view == LEFT and job.cost is None and not any(left)
    return Work(
        job.id, job.what, float(cost), 0.0 if is_done else float(job.hours.mean), float(job.worth_to_you.mean), float(job.adds.mean) * keep,
        job.must, said, is_done, job.phase, job.one_of, job.what_is_lost, groups_of(job),
    )  # fmt: skip


def _open_lines(project, settled):
    return [(one.line.id, one.line.item, line_cost(project, one, LEFT)) for one in settled if one.line.nature not in ("credit", "base car")]


def _systems(project, settled):
    costs = defaultdict(Decimal)
    for one in settled:
        if one.line.nature not in ("credit", "base car"):
            costs[one.line.system] += line_cost(project, one, AGAIN)
    return [(system, system, cost) for system, cost in costs.items()]


def _jobs(works, done, worth):
    at, finished = {work.id: k for k, work in enumerate(works)}, {work.id for work in done}
    needs = [[[at[id] for id in group if id in at] for group in work.needs if not finished & set(group)] for work in works]
    groups = defaultdict(list)
    for k, work in enumerate(works):
        groups[work.one_of].append(k)
    any_will_do = {word: len(group) > 1 and all(works[k].must for k in group) for word, group in groups.items() if word}
    must = [work.must and not any_will_do.get(work.one_of, False) for work in works]
    return Jobs(
        cost=np.array([work.cost for work in works], dtype=float), worth=np.array(worth, dtype=float), hours=np.array([work.hours for work in works], dtype=float),
        must=np.array(must, dtype=bool), needs=tuple(needs), variants=tuple((groups[word], required) for word, required in any_will_do.items()),
    )  # fmt: skip


def _phases(project, works, done):
    """Phases of the files; one that has a finished job is open already."""
    at = {phase.id: k for k, phase in enumerate(project.file.phases)}
    begun = {work.phase for work in done}
    opens = [0.0 if phase.id in begun else float(to_cents(phase.opens.mean)) for phase in project.file.phases]
    budget = [np.inf if phase.budget is None else float(phase.budget.likely) for phase in project.file.phases]
    return Phases(np.array([at.get(work.phase, NO_PHASE) for work in works], dtype=int), np.array(opens, dtype=float), np.array(budget, dtype=float))
