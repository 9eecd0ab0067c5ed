"""The set of jobs that is worth most for a budget: what each needs, what rules what out, and the cheapest way there."""

import ctypes
import os
from contextlib import contextmanager
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from threading import Lock

import numpy as np

from buildecon.quantities.bounds import within

HALF_CENT = 0.005  # sets nearer than this in worth or cost are the same; a step below 1e-6 makes the solver refuse its own answer
NO_PHASE = -1
_ONE_AT_A_TIME = Lock()


@dataclass(frozen=True)
class Jobs:
    """What could be done.

    Parameters
    ----------
    cost, worth, hours : array_like, shape (n,)
        Of each job by itself; cost and worth may be below 0. [money, money, hour]
    must : array_like of bool, shape (n,)
        Those that are done whatever happens. [-]
    needs : sequence of sequence of sequence of int, length n
        Groups of jobs by position, of each of which at least one must be done for this one; none of them in a circle. [-]
    variants : sequence of tuple of (sequence of int, bool)
        Jobs of which at most one is done, or exactly one where the flag is set. [-]
    """

    cost: np.ndarray
    worth: np.ndarray
    hours: np.ndarray
    must: np.ndarray
    needs: tuple = ()
    variants: tuple = ()


@dataclass(frozen=True)
class Phases:
    """Parts of the work that cost something to begin and may have a budget of their own.

    Parameters
    ----------
    of : array_like of int, shape (n,)
        Phase of each job by position, -1 for none. [-]
    opens : array_like, shape (p,)
        Cost of having any job of the phase. [money]
    budget : array_like, shape (p,)
        For its jobs and its opening; inf where there is none. [money]
    """

    of: np.ndarray
    opens: np.ndarray
    budget: np.ndarray


@dataclass(frozen=True)
class Choice:
    """A set of jobs.

    Parameters
    ----------
    status : {"best", "money", "hours", "phase", "impossible"}
        What the must-dos are short of where no set fits; "phase": the budget of one; "impossible": they rule each other out. [-]
    chosen : ndarray of bool, shape (n,)
        The jobs; where the must-dos do not fit, the cheapest set (short of hours: the quickest) that has them all. [-]
    opened : ndarray of bool, shape (p,)
        The phases. [-]
    cost, worth, hours : float
        Sums, with what the phases cost to open. [money, money, hour]
    short : float
        Money or hours by which the must-dos go over; 0 where they fit. [money]
    """

    status: str
    chosen: np.ndarray
    opened: np.ndarray
    cost: float
    worth: float
    hours: float
    short: float = 0.0


@dataclass(frozen=True)
class _Model:
    """Rows `low <= matrix x <= high` over jobs and phases, and the three that can be short as (row, limit)."""

    jobs: Jobs
    phases: Phases
    rows: list
    money: np.ndarray
    time: np.ndarray
    limits: dict = field(default_factory=dict)


def choose(jobs, phases=None, budget=np.inf, hours=np.inf, money_kept=0.0, near=0.0):
    """The best set of jobs for a budget and hours, and of the sets worth the same the cheapest.

    Parameters
    ----------
    jobs : Jobs
        What could be done. [money]
    phases : Phases, optional
        What opening them costs. [money]
    budget : float, optional
        For all jobs and phases. [money]
    hours : float, optional
        For all jobs. [hour]
    money_kept : float, optional
        What a unit of money not spent is worth: 0 if the budget is there to be spent, 1 if it stays in the pocket. [-]
    near : float, optional
        How far the set may stay behind the best; 0 for the best itself, which takes long where many jobs are worth about as much for their cost. [money]

    Returns
    -------
    Choice
        With nothing chosen where nothing fits or pays. [money]

    Raises
    ------
    ValueError
        If a figure is not finite, lengths differ, or jobs need each other in a circle.

    Notes
    -----
    maximise sum(worth x) - k (sum(cost x) + sum(opens y)) over x, y in {0, 1}, with x_i <= sum of x_j over each group that i needs, sum of x over variants
    at most 1 (or 1), x_i <= y of its phase, and a row each for money, hours and every phase's budget. Solved exactly by branch and bound (HiGHS through
    scipy.optimize.milp, gap 0). Then the cost is made least among the sets whose worth is within half a cent of the best: a second solve, because a small
    weight on the cost in the first one falls below the solver's tolerance.

    References
    ----------
    Martello and Toth, *Knapsack Problems*, 1990, chapter 2 (examples seen in public code that reproduces them).

    Examples
    --------
    >>> jobs = Jobs(cost=[600, 900, 500], worth=[700, 1200, 900], hours=[5, 20, 8], must=[False] * 3, needs=[[], [], [[0]]])
    >>> found = choose(jobs, budget=1200)
    >>> print(found.chosen, f"{found.cost:.0f} for {found.worth:.0f}")
    [ True False  True] 1100 for 1600
    """
    model = _model(jobs, phases, budget, hours)
    jobs, phases = model.jobs, model.phases
    gain = np.concatenate([jobs.worth, np.zeros(len(phases.opens))]) - money_kept * model.money
    first = _solve(model, -gain, ("money", "hours", "phase"), near=near)
    if first is None:
        return _must_do_only(model)
    level = float(gain @ first)
    cheapest = _solve(model, model.money, ("money", "hours", "phase"), [(gain, level - HALF_CENT, np.inf)], near)
    return _choice(model, first if cheapest is None else cheapest)


def frontier(jobs, phases=None, hours=np.inf, money_kept=0.0, step=HALF_CENT, near=0.0):
    """The best set at every budget, from the cheapest set up.

    Parameters
    ----------
    jobs : Jobs
        What could be done. [money]
    phases : Phases, optional
        What opening them costs. [money]
    hours : float, optional
        For all jobs. [hour]
    money_kept : float, optional
        As in `choose`. [-]
    step : float, optional
        Least distance of two sets; larger leaves some out. [money]
    near : float, optional
        As in `choose`. [money]

    Returns
    -------
    tuple of Choice
        Rising in cost and worth; empty where the must-dos do not fit the hours or a phase's budget. [money]

    Notes
    -----
    The budget starts without limit and is set to just below what the last set cost, until nothing fits. The sets are not nested: more money may drop a job
    of the smaller set for a better one.
    """
    return tuple(reversed(tuple(downwards(jobs, phases, hours, money_kept, step, near))))


def downwards(jobs, phases=None, hours=np.inf, money_kept=0.0, step=HALF_CENT, near=0.0):
    """The sets of `frontier` from the dearest down, one at a time.

    Parameters
    ----------
    jobs : Jobs
        What could be done. [money]
    phases : Phases, optional
        What opening them costs. [money]
    hours : float, optional
        For all jobs. [hour]
    money_kept : float, optional
        As in `choose`. [-]
    step : float, optional
        As in `frontier`. [money]
    near : float, optional
        As in `choose`. [money]

    Returns
    -------
    iterator of Choice
        Until nothing fits. [money]
    """
    if not step >= HALF_CENT:
        raise ValueError(f"step must be at least {HALF_CENT}, got {step}.")
    budget = np.inf
    while (one := choose(jobs, phases, budget, hours, money_kept, near)).status == "best":
        yield one
        budget = one.cost - step


def cheapest(jobs, phases=None, hours=np.inf):
    """The must-dos with what they need, as cheap as can be, whatever the budget for all.

    Parameters
    ----------
    jobs : Jobs
        What could be done. [money]
    phases : Phases, optional
        What opening them costs. [money]
    hours : float, optional
        For all jobs. [hour]

    Returns
    -------
    Choice
        Status "impossible" where there is none. [money]
    """
    model = _model(jobs, phases, np.inf, hours)
    found = _solve(model, model.money, ("hours", "phase"))
    return _choice(model, found, "best" if found is not None else "impossible")


def circle(needs):
    """Jobs that need each other in a circle.

    Parameters
    ----------
    needs : sequence of sequence of sequence of int, length n
        As in `Jobs`. [-]

    Returns
    -------
    tuple of int
        The first one found, each needing the next and the last the first; empty where there is none. [-]
    """
    try:
        TopologicalSorter({job: {other for group in groups for other in group} for job, groups in enumerate(needs)}).prepare()
    except CycleError as trouble:
        return tuple(reversed(trouble.args[1][1:]))
    return ()


def _model(jobs, phases, budget, hours):
    cost = np.atleast_1d(within("cost", jobs.cost))
    n = len(cost)
    worth, time = (np.atleast_1d(within(name, getattr(jobs, name))) for name in ("worth", "hours"))
    must, needs = np.atleast_1d(np.asarray(jobs.must, dtype=bool)), jobs.needs or [()] * n
    for name, given in (("worth", worth), ("hours", time), ("must", must), ("needs", needs)):
        if len(given) != n:
            raise ValueError(f"{name} must be as many as cost, {n}, got {len(given)}.")
    if found := circle(needs):
        raise ValueError(f"needs must not go round in a circle, got {' -> '.join(map(str, (*found, found[0])))}.")
    for name, limit in (("budget", budget), ("hours", hours)):
        if not limit == limit:
            raise ValueError(f"{name} must be a number, got {limit}.")
    phases = Phases(np.full(n, NO_PHASE), np.zeros(0), np.zeros(0)) if phases is None else Phases(np.asarray(phases.of, dtype=int), np.asarray(within("opens", phases.opens), dtype=float), np.asarray(phases.budget, dtype=float))
    p, rows = len(phases.opens), []

    def row(pairs, low, high):
        line = np.zeros(n + p)
        for position, factor in pairs:
            line[position] += factor
        rows.append((line, low, high))

    for job, groups in enumerate(needs):
        for group in groups:
            row([(job, 1.0), *((other, -1.0) for other in set(group))], -np.inf, 0.0)
        if phases.of[job] != NO_PHASE:
            row([(job, 1.0), (n + phases.of[job], -1.0)], -np.inf, 0.0)
    for group, required in jobs.variants:
        row([(job, 1.0) for job in group], 1.0 if required else 0.0, 1.0)
    money = np.concatenate([cost, phases.opens])
    member = np.concatenate([phases.of, np.arange(p)])
    limits = {
        "money": [(money, -np.inf, budget)] if budget < np.inf else [],
        "hours": [(np.concatenate([time, np.zeros(p)]), -np.inf, hours)] if hours < np.inf else [],
        "phase": [(np.where(member == k, money, 0.0), -np.inf, phases.budget[k]) for k in range(p) if phases.budget[k] < np.inf],
    }
    whole = Jobs(cost, worth, time, must, tuple(needs), jobs.variants)
    return _Model(whole, phases, rows, money, np.concatenate([time, np.zeros(p)]), limits)


def _solve(model, objective, limited, more=(), near=0.0):
    """Least of the objective over the sets within the limits named, as zeros and ones; None where there is none."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    size = len(model.money)
    if not size:
        return np.zeros(0) if all(low <= 0 <= high for name in limited for _, low, high in model.limits[name]) else None
    rows = [*model.rows, *(row for name in limited for row in model.limits[name]), *more]
    if any(not high > -np.inf for _, _, high in rows):
        return None
    low = np.concatenate([model.jobs.must, np.zeros(size - len(model.jobs.must))])
    held = [LinearConstraint(np.array([line for line, *_ in rows]), [row[1] for row in rows], [row[2] for row in rows])] if rows else []
    with _unheard():
        found = milp(objective, constraints=held, bounds=Bounds(low, np.ones(size)), integrality=np.ones(size), options={"mip_rel_gap": near / max(float(np.abs(objective).sum()), 1.0)})
    if found.x is None:
        return None
    return _with_opened(model, np.round(found.x[: len(model.jobs.cost)]))


@contextmanager
def _unheard():
    """In two solves of a hundred the solver prints a line past Python, which would stand inside the object of --json: it goes nowhere."""
    if os.name != "posix":
        yield
        return
    flush = ctypes.CDLL(None).fflush
    with _ONE_AT_A_TIME:
        flush(None)
        kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        try:
            yield
        finally:
            flush(None)
            os.dup2(kept, 1)
            os.close(kept)
            os.close(nowhere)


def _with_opened(model, chosen):
    """The jobs, and a phase for each that has one: where opening is free the solver may leave any open."""
    opened = np.zeros(len(model.phases.opens))
    opened[model.phases.of[(chosen > 0) & (model.phases.of != NO_PHASE)]] = 1.0
    return np.concatenate([chosen, opened])


def _must_do_only(model):
    """What the must-dos are short of, looked for in the order money, hours, the budget of a phase."""
    if (found := _solve(model, model.money, ("hours", "phase"))) is not None:
        return _choice(model, found, "money", float(model.money @ found) - model.limits["money"][0][2])
    if (found := _solve(model, model.time, ("phase",))) is not None:
        found = _solve(model, model.money, ("phase",), [(model.time, -np.inf, float(model.time @ found) + HALF_CENT)])
        return _choice(model, found, "hours", float(model.time @ found) - model.limits["hours"][0][2])
    if (found := _solve(model, model.money, ())) is not None:
        return _choice(model, found, "phase", max(float(line @ found) - limit for line, _, limit in model.limits["phase"]))
    return _choice(model, None, "impossible")


def _choice(model, found, status="best", short=0.0):
    n = len(model.jobs.cost)
    found = np.zeros(len(model.money)) if found is None else found
    return Choice(status, found[:n] > 0, found[n:] > 0, float(model.money @ found), float(model.jobs.worth @ found[:n]), float(model.time @ found), short)
