"""The plain sentences of what to cut: what to do, what to leave and why, what more money brings, what is not known."""

from math import inf, isfinite

from buildecon.decision.scope import HALF_CENT
from buildecon.decision.trim import near_of
from buildecon.decision.work_list import AGAIN
from buildecon.story.words import amount, called, number

MOST = 7  # names in one sentence


def listed(names, most=MOST):
    """Names in a sentence.

    Parameters
    ----------
    names : sequence of str
        In order. [-]
    most : int, optional
        Told by name. [-]

    Returns
    -------
    str
        As `a, b and c`, or `a, b and 4 more`. [-]
    """
    told = [called(name) for name in names]
    if len(told) > most:
        told = [*told[: most - 1], f"{len(told) - most + 1} more"]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}" if told else "nothing"


def to_do(works, must):
    """Jobs to do, with the must-dos counted and not named where there are many of them.

    Parameters
    ----------
    works : sequence of Work
        In order. [money]
    must : int
        From how many jobs on. [-]

    Returns
    -------
    list of str
        Names; of what must be done one way or another, the way. [-]
    """
    plain = [work for work in works if work.must and not work.one_of]
    if len(works) < must or len(plain) < 3:
        return [work.what for work in works]
    return [f"the {len(plain)} must-dos", *(work.what for work in works if work not in plain)]


def trim_sentence(found):
    """What to do with what there is, and what to leave.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    str
        One sentence or two. [-]
    """
    menu, best = found.menu, found.best
    if menu.offered:
        return _offer(menu)
    if not menu.works:
        return "Nothing is left to choose: every job is done or ruled out by one that is."
    lead = _with_what(found)
    if best.status != "best":
        return _too_much(found)
    works = found.works(best)
    if not works:
        why = "not one job fits" if any(cut.why == "limit" for cut in found.cuts) else "do none of it"
        return f"{lead}: {why}. {_leave(found)}".strip()
    rest = _leave(found)
    return f"{lead}: do {listed(to_do(works, MOST))}, {amount(best.cost, menu.project.currency)}{_hours(best.hours, ' and ')} together{'; ' + rest[0].lower() + rest[1:] if rest else '.'}"


def _offer(menu):
    currency, total = menu.project.currency, sum(work.cost for work in menu.works)
    if menu.view == AGAIN:
        return f"Done again for a reader it would cost {amount(total, currency)}. Nothing says yet what each part is worth to you: write a [[jobs]] table in build.toml for each job that could be left out."
    if not menu.works:
        return "Nothing is still to come in lines.csv, and build.toml has no [[jobs]]: nothing can be cut."
    return f"{len(menu.works)} {'line is' if len(menu.works) == 1 else 'lines are'} still to come, {amount(total, currency)}{'' if len(menu.works) == 1 else ' together'}. Nothing says yet what {'it is' if len(menu.works) == 1 else 'they are'} worth to you: write a [[jobs]] table in build.toml for each job that could be left out."


def _with_what(found):
    there = [amount(found.budget, found.menu.project.currency)] if isfinite(found.budget) else []
    there += [_hours(found.hours)] if isfinite(found.hours) else []
    lead = "To do it again with" if found.menu.view == AGAIN else "With"
    said = f"{lead} {' and '.join(there)}" if there else f"{lead} no limit on money or hours"
    return said + ("" if found.menu.kept else ", to sell it")


def _hours(hours, before=""):
    return f"{before}{number(hours)} {'hour' if round(hours) == 1 else 'hours'}" if hours >= 0.5 or not before else ""


def _too_much(found):
    best, currency = found.best, found.menu.project.currency
    names = listed([work.what for work in found.works(best)], 4)
    names += f", and {amount(opening, currency)} to open {'a phase' if best.opened.sum() == 1 else 'phases'}" if (opening := float(found.menu.phases.opens[best.opened].sum())) else ""
    if best.status == "money":
        return f"The must-dos with what they need ({names}) cost {amount(best.cost, currency)}: {amount(best.short, currency)} more than the {amount(found.budget, currency)} there is. Find that, or take must = true off one of them."
    if best.status == "hours":
        return f"The must-dos with what they need ({names}) take at least {_hours(best.hours)}: {_hours(best.short)} more than the {number(found.hours)} there are. Have some of it done, or take must = true off one of them."
    if best.status == "phase":
        return f"The must-dos with what they need ({names}) go over the budget of a phase by {amount(best.short, currency)}. Raise budget under [[phases]], or take must = true off one of them."
    return "The must-dos rule each other out: no set of jobs has them all. Look at must, needs and one_of under [[jobs]]."


def _leave(found):
    """The dearest job that does not pay, else the one with the most worth that is out of reach."""
    dear = [cut.work for cut in found.cuts if cut.why == "dear" and cut.work.known]
    if dear:
        return f"Leave {_why_dear(found, max(dear, key=lambda work: work.cost))}."
    unknown = [cut.work for cut in found.cuts if cut.why == "dear" and not cut.work.known]
    if unknown:
        return f"Nothing says what {listed([work.what for work in unknown])} would be worth."
    return ""


def _why_dear(found, work):
    menu = found.menu
    cost, value = amount(work.cost, menu.project.currency), menu.worth(work)
    if value - work.cost > HALF_CENT:
        return f"{called(work.what)}: it would pay, but not what its phase costs to open"
    parts = [f"takes {number(-work.adds)} off"] if work.adds < 0 else [f"adds {number(work.adds)}"] if work.adds or not (menu.kept and work.to_you) else []
    parts += [f"is worth {number(work.to_you)} to you"] if menu.kept and work.to_you else []
    return f"{called(work.what)}: it costs {cost}{', ' if len(parts) > 1 else ' and '}{' and '.join(parts)}"


def gain_sentence(found):
    """What the set is worth against what it costs.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    str
        Empty where nothing is chosen. [-]
    """
    best, menu = found.best, found.menu
    if best.status != "best" or not best.chosen.any():
        return ""
    gain, to_whom = best.worth - best.cost, "to you, with what it adds to the sale" if menu.kept else "at the sale, selling cost taken off"
    said = f"That is worth {amount(best.worth, menu.project.currency)} {to_whom}: {number(abs(gain))} {'more' if gain >= 0 else 'less'} than it costs."
    if gain < -HALF_CENT:
        said += " It is done because it must be."
    if isfinite(found.budget) and found.budget - best.cost >= 1:
        said += f" {amount(found.budget - best.cost, menu.project.currency)} stay in the pocket."
    return said


def next_sentence(found, curve):
    """What more money would bring.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money, for the same hours. [money]

    Returns
    -------
    str
        With the next step, and where more money ends to pay. [-]
    """
    currency, best = found.menu.project.currency, found.best
    more = [one for one in curve if one.cost > found.budget + HALF_CENT]
    if best.status != "best" or not curve or not found.menu.works or found.menu.offered:
        return ""
    if not more:
        limit = " with these hours" if isfinite(found.hours) and curve[-1].worth < found.levels[-1].choice.worth - HALF_CENT else ""
        return f"More money would bring nothing that is worth it{limit}."
    comes, goes = _between(found, best, more[0])
    said = f"With {amount(more[0].cost - found.budget, currency)} more you would add {listed(comes)}" if comes else f"With {amount(more[0].cost - found.budget, currency)} more another set is better"
    said += f" and drop {listed(goes)}" if goes else ""
    return said + f". From {amount(curve[-1].cost, currency)} on, more money brings nothing that is worth it."


def nested_sentence(found, curve):
    """That a smaller budget is not the larger one with the last job struck off.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money. [money]

    Returns
    -------
    str
        With an example where these jobs have one; empty for less than two sets. [-]
    """
    if len(curve) < 2:
        return ""
    said = "Less money is not this list with its end struck off: for each amount the whole set is chosen anew."
    for small, large in zip(curve, curve[1:], strict=False):
        comes, goes = _between(found, small, large)
        if goes:
            return f"{said} At {amount(large.cost, found.menu.project.currency)}, say, {listed(goes)} {'go' if len(goes) > 1 else 'goes'} out again for {listed(comes)}."
    return said


def _between(found, before, after):
    """Jobs that come in and go out from one set to the next."""
    rows = list(zip(found.menu.works, before.chosen, after.chosen, strict=True))
    return [work.what for work, one, other in rows if other and not one], [work.what for work, one, other in rows if one and not other]


def other_money_sentences(found):
    """Money of the same view that the choice does not move, and jobs that are done.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of str
        None where there is nothing of it. [-]
    """
    menu, currency = found.menu, found.menu.project.currency
    said = [f"Done already: {listed([work.what for work in menu.done])}."] if menu.done else []
    if menu.elsewhere >= 0.5:
        said.append(f"{amount(menu.elsewhere, currency)} {'more' if menu.view == AGAIN else 'still to come'} is in no job, and comes on top.")
    unknown = [work.what for work in menu.works if not work.known]
    if unknown and not menu.offered:
        said.append(f"Nothing says what {listed(unknown)} would be worth, so it counts as nothing: write worth_to_you or adds under [[jobs]].")
    return said


def trim_assumptions(found):
    """What the choice rests on.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    list of str
        One a line. [-]
    """
    menu, file, currency = found.menu, found.menu.project.file, found.menu.project.currency
    cost = "A job costs what its lines cost a reader: street price where the owner got it cheaper, and what is open at its estimate." if menu.view == AGAIN else "A job costs what its lines still have to come."
    worth = f"A job is worth what it adds to the sale, {float(file.value.selling_cost_share):.0%} of selling cost taken off" + (", and what it is worth to you beyond that." if menu.kept else "; what it is worth to you does not count, because the car is sold.")
    exact = "" if not near_of(menu) else " In a list this long a set may be up to half a unit of money short of the best."
    return [
        f"{cost} A range counts at its mean, (low + 4 likely + high) / 6. {file.build.as_of:%d %B %Y}, {currency}.",
        worth,
        "Money that is not spent stays in the pocket: a job, with what it makes possible, must bring more than it costs. Of sets that bring the same, the cheapest." + exact,
        f"An own hour counts {amount(menu.hour_rate, currency)}, taken off what a job is worth." if menu.hour_rate else "Own hours are a limit and cost nothing.",
        "Worths are added up. Jobs that replace each other, or are worth less together, belong under one_of.",
    ]


def budget_shown(found):
    """The limits as they stand over a table.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]

    Returns
    -------
    str
        As `2,500 USD, 80 hours`; `no limit` where there is none. [-]
    """
    parts = [amount(found.budget, found.menu.project.currency)] if found.budget < inf else []
    parts += [_hours(found.hours)] if found.hours < inf else []
    return ", ".join(parts) or "no limit"
