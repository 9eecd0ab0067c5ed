"""Rows for the tables and the chart of what to cut: lists of dicts, as a page takes them."""

from math import isfinite

import numpy as np

from buildecon.decision.paydays import paydays
from buildecon.decision.scope import HALF_CENT
from buildecon.decision.work_list import LEFT
from buildecon.story.trim_words import listed, to_do
from buildecon.story.words import number
from buildecon.story.worth_tables import exact_signed

WHY = {
    "dear": "leave: brings less than it costs", "variant": "leave: the other is done", "limit": "not now: it would pay", "follows": "leave: what it needs is left",
    "ruled out": "no: the other is done already",
}  # fmt: skip
STEPS = 14  # rows of the table of steps
LEVELS = {"good": "good: what must be", "better": "better: best for the budget", "best": "best: all that pays"}


def jobs_table(found):
    """Every job with its cost, what it brings, and the verdict.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of dict
        What is done first, then what is left. [money]
    """
    menu = found.menu
    if menu.offered:
        return [{"still open" if menu.view == LEFT else "part of it": work.what, "costs": number(work.cost)} for work in menu.works]
    chosen = {work.id for work in found.works(found.best)}
    why = {cut.work.id: WHY[cut.why] for cut in found.cuts}
    rows = [work for work in menu.works if work.id in chosen] + [work for work in (*menu.works, *menu.ruled_out) if work.id not in chosen]
    return [_job(menu, work, ("do: it must be" if work.must else "do") if work.id in chosen else why[work.id]) for work in rows]


def _job(menu, work, verdict):
    names = {one.id: one.what for one in (*menu.works, *menu.done, *menu.ruled_out)}
    needs = "; ".join(" or ".join(names.get(id, id) for id in group) for group in work.needs)
    return {
        "job": work.what, "verdict": verdict, "costs": number(work.cost), "hours": number(work.hours) if work.hours else "",
        "worth to you": (number(work.to_you) if work.known else "?") if menu.kept else "", "adds to the sale": number(work.adds) if work.known else "?",
        "needs": needs,
    }  # fmt: skip


def levels_table(found):
    """Good, better and best side by side.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a level. [money]
    """
    if found.menu.offered or not found.menu.works:
        return []
    rows = []
    for level in found.levels:
        choice, name = level.choice, LEVELS[level.name]
        if level.name == "better" and not isfinite(found.budget):
            if choice.status == "best" and np.array_equal(choice.chosen, found.levels[-1].choice.chosen):
                continue  # without a limit it is the best
            name = "better: best for the hours there are" if isfinite(found.hours) else "better: best for the money there is: no limit"
        does_not_fit = choice.status != "best"
        figures = {"costs": number(choice.cost), "hours": number(choice.hours), "worth": number(choice.worth), "worth less cost": exact_signed(choice.worth - choice.cost)}
        rows.append({"": name} | (dict.fromkeys(figures, "-") if does_not_fit else figures) | {"jobs": "the must-dos do not fit" if does_not_fit else listed(to_do(found.works(choice), 99 if level.name == "good" else 6), 99), "does without": "" if does_not_fit else ", ".join(work.what for work in level.without)})
    return rows


def skip_table(found):
    """What leaving out each job saves and loses.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of dict
        The most money saved for what is lost first. [money]
    """
    if found.menu.offered:
        return []
    return [
        {
            "leave out": skip.work.what, "saves": number(skip.money), "hours saved": number(skip.hours) if skip.hours else "", "loses": number(skip.worth),
            "saved for each 1 lost": f"{skip.money / skip.worth:.2f}" if skip.worth > HALF_CENT else "all", "goes too": ", ".join(work.what for work in skip.also),
            "or instead": ", ".join(work.what for work in skip.instead), "what you lose": skip.work.lost,
        }
        for skip in found.skips
    ]  # fmt: skip


def months_table(found):
    """The jobs in the order of paying, with the month.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of dict
        Empty where `[trim]` says neither what is saved nor what comes in. [money]
    """
    plan, phases = found.menu.project.file.trim, {phase.id: phase.what for phase in found.menu.project.file.phases}
    if found.menu.offered or not (plan.a_month or plan.saved.likely):
        return []
    return [
        {"month": f"{day.month:%b %Y}" if day.month else "not reached", "pay for": day.work.what, "costs": number(day.work.cost + day.opens), "left over": number(day.left) if day.month else "-",
         "phase": phases.get(day.work.phase, ""), "of it to open the phase": number(day.opens) if day.opens else ""}
        for day in paydays(found.menu, found.best)
    ]  # fmt: skip


def steps_table(found, curve):
    """What comes in and goes out as there is more money.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money. [money]

    Returns
    -------
    list of dict
        A row a set; of many, those that bring most. [money]
    """
    if found.menu.offered or len(curve) < 2:
        return []
    largest = sorted(range(1, len(curve)), key=lambda k: curve[k - 1].worth - curve[k].worth)[: STEPS - 2]
    rows, last = [], None
    for k in sorted({0, *largest, len(curve) - 1}):
        one = curve[k]
        then = [False] * len(one.chosen) if last is None else last.chosen
        moves = list(zip(found.menu.works, then, one.chosen, strict=True))
        rows.append({
            "with": number(one.cost), "hours": number(one.hours), "worth": number(one.worth), "worth less cost": exact_signed(one.worth - one.cost),
            "comes in": ", ".join(work.what for work, was, now in moves if now and not was), "goes out": ", ".join(work.what for work, was, now in moves if was and not now),
        })  # fmt: skip
        last = one
    return rows


def frontier_frames(found, curve):
    """What the chart of worth by money draws.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money; of one alone nothing is drawn. [money]

    Returns
    -------
    dict
        `sets` (money, worth, jobs), `even` (money, worth), `marks` (money, worth, shown), `budget` (money, shown), as lists of rows; `top`, `bottom`,
        `right` and `left` of the frame. [money]
    """
    if found.menu.offered or len(curve) < 2:
        return {"sets": [], "even": [], "marks": [], "budget": [], "top": 1.0, "bottom": 0.0, "right": 1.0, "left": 0.0}
    ends = [level.choice for level in found.levels if level.choice.status == "best"]
    costs, worths = ([getattr(one, name) for one in (*curve, *ends)] for name in ("cost", "worth"))
    # Where the must-dos are most of it, the frame begins near them, or all else would be in a corner.
    left = max(0.0, 1.25 * min(costs) - 0.25 * max(costs)) if min(costs) > max(costs) / 2 else 0.0
    right = max(1.0, 1.25 * max(costs) - 0.25 * left)
    top = max(1.0, 1.12 * max(worths), *costs)
    bottom = 0.9 * min(*worths, left) if left and min(worths) > 0 else min(0.0, *worths)
    sets = [{"money": round(one.cost), "worth": round(one.worth), "jobs": listed([work.what for work in found.works(one)], 99)} for one in curve]
    last = {"money": round(right), "worth": sets[-1]["worth"], "jobs": sets[-1]["jobs"]}
    even = [round(max(left, bottom)), round(min(right, top))]
    budget = [{"money": round(found.budget), "shown": f"budget {number(found.budget)}"}] if isfinite(found.budget) and left <= found.budget <= right else []
    marks = []
    for name, one in zip(("good", "this", "best"), (level.choice for level in found.levels), strict=True):
        here = {"money": round(one.cost), "worth": round(one.worth)}
        if one.status == "best" and all(mark["money"] != here["money"] for mark in marks):
            marks.append(here | {"shown": f"{name}: {number(one.cost)}", "chosen": name == "this"})
        elif one.status == "best" and name == "this":
            marks[-1] |= {"chosen": True}
    frame = {"top": round(top), "bottom": round(bottom), "right": round(right), "left": round(left)}
    return {"sets": [*sets, last], "even": [{"money": at, "worth": at} for at in even], "marks": marks, "budget": budget} | {name: float(end) for name, end in frame.items()}
