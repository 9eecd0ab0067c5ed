"""The plain sentences of a build half-way: what to do with it, keeping it, what is still to come, the gates, what it rests on."""

from math import isfinite

from buildecon.decision.remainder import dear_builds
from buildecon.decision.ways import FINISH, JOB, PART_OUT, ROUTE, SELL, SHELVE, WITHOUT
from buildecon.story.doubt_words import moved_sentence
from buildecon.story.words import amount, called, number, years_text
from buildecon.story.worth_words import chance_text


def lead_of(found, way):
    """A way as something to do.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]
    way : Way
        One of its ways. [money]

    Returns
    -------
    str
        As `Finish it, but leave the paint`. [-]
    """
    half, k = found.project.file.half_way, int(way.id.split()[-1]) - 1 if way.id.split()[-1].isdigit() else 0
    return {
        SELL: lambda: "Sell it as it stands",
        ROUTE: lambda: f"Sell it whole, {way.name.split(', ', 1)[1]}",
        FINISH: lambda: "Finish it, then sell it",
        WITHOUT: lambda: f"Finish it, but leave {half.without[k].what}",
        JOB: lambda: f"Do the {found.project.file.improvements[k].what} first, then sell it",
        PART_OUT: lambda: "Part it out",
        SHELVE: lambda: f"Put it away for {float(half.shelve.months):.0f} months, then sell it",
    }[way.kind]()


def finish_sentence(found):
    """What to do, in money from today.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    str
        The way that brings most, against selling as it stands. [-]
    """
    currency, best, beside = found.project.currency, found.best, found.beside
    done = "" if found.is_open else "Nothing is left to finish. "
    if beside is None:
        return f"{done}Selling it as it stands brings {amount(best.net, currency)}."
    if found.too_close:
        other = lead_of(found, beside)
        said = f"{done}Too close to call: {_small(lead_of(found, best))}, {amount(best.net, currency)} in hand, or {_small(other)}, {number(beside.net)}."
        return said + _hours_left(found, best) + _parts(found, best, beside)
    if best.kind == SELL:
        said = f"{done}{lead_of(found, best)}: {amount(best.net, currency)} in hand. "
        return said + f"The next best, to {_small(lead_of(found, beside))}, brings {number(beside.net)}, {number(best.net - beside.net)} less." + _parts(found, best, beside)
    return f"{done}{lead_of(found, best)}: {amount(best.net, currency)} in hand against {number(beside.net)} for selling today{_hours_left(found, best, '; ')}{_parts(found, best, beside)}"


def _small(text):
    return text[0].lower() + text[1:]


def _hours_left(found, way, before=" "):
    """What the hours of the way are paid; a full stop where it has none."""
    wage, currency = found.wage(way), found.project.currency
    if not isfinite(wage):
        return "." if before == "; " else ""
    said = f"the {number(float(way.hours))} hours {'left' if way.kind in (FINISH, WITHOUT) else 'it takes'} earn {amount(wage, currency)} each."
    return before + (said if before == "; " else said[0].upper() + said[1:])


def _parts(found, *told):
    way = found.way(PART_OUT)
    return "" if way is None or way in told else f" Parting it out brings {number(way.net)}."


def keep_or_switch_sentence(found):
    """Keeping it, against selling it and going over to the cheapest other that passes.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    str
        Cost a month of both, and what keeping is as good as. [-]
    """
    kept, currency = found.kept, found.project.currency
    build, other = kept.per_month
    lead = f"Kept {years_text(kept.years)} it costs {amount(build, currency)} a month from today"
    if found.keep is None:
        return f"{lead}. Nothing else meets every must-have, so keeping it has no other car to be set against."
    name = called(kept.comparison.options[kept.rival].name)
    said = f"{lead}; selling it today and going over to {name} costs {number(other)}."
    gap = found.keep.net - found.best.net
    if abs(gap) < max(0.01 * abs(found.best.net), 0.5):
        return f"{said} If you need a car anyway, keeping it and the best way of selling come to the same."
    word = "more" if gap > 0 else "less"
    return f"{said} If you need a car anyway, keeping it is as good as {amount(found.keep.net, currency)} in hand today, {number(abs(gap))} {word} than the best way of selling it."


def sunk_sentence(found):
    """The money that is spent, once.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    str
        That it is not in this decision. [-]
    """
    return f"{amount(found.sunk, found.project.currency)} is in it already. It is spent whichever way you go, and not in this decision."


def chance_sentences(found):
    """How often each way is the best, over the ranges of the files.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of str
        Empty where nothing was drawn. [-]
    """
    if not found.chances:
        return []
    often = sorted((way for way in found.ways if found.chances[way.id] >= 0.005), key=lambda way: -found.chances[way.id])
    said = ["How often each is the best of the ways of selling, over the ranges of your figures: " + "; ".join(f"{_small(lead_of(found, way))}: {chance_text(found.chances[way.id])}" for way in often) + "."]
    if often and often[0].id != found.best.id and found.chances[often[0].id] - found.chances.get(found.best.id, 0.0) > 0.05:
        said[0] += f" That is another answer than the one above, which counts what is still to come as it is written; the ranges, and a build that runs over as it has so far, speak for this: {_small(lead_of(found, often[0]))}."
    if found.beside is not None:
        wins = found.chances["best beats beside"]
        said.append(f"The chance that to {_small(lead_of(found, found.best))} brings more than selling today is {chance_text(wins)}." if found.best.kind != SELL else f"The chance that the next best brings more than that is {chance_text(1 - wins)}.")
    if found.keep is not None:
        said.append(f"The chance that keeping it beats every way of selling it, a car being needed anyway, is {chance_text(found.chances[found.keep.id])}.")
    worth, currency = found.finding_out, found.project.currency
    said.append("Nothing you could find out beforehand would change that." if worth < 0.5 else f"Knowing everything beforehand would be worth {amount(worth, currency)} at most: pay no more than that for finding out.")
    return said


def limit_of_finishing_sentences(found):
    """Finished value and cost left at which finishing is as good as selling as it stands.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of str
        Empty where nothing is left to finish. [-]
    """
    if not found.is_open:
        return []
    currency, (_, finished, left, *_) = found.project.currency, found.figures
    said = []
    if found.finished_value_needed is not None:
        said.append(f"Finishing it all, then selling, beats selling today if it then sells for more than {amount(found.finished_value_needed, currency)}; {number(finished)} is counted on.")
    if found.cost_ceiling > 0:
        said.append(f"Or as long as what is still to come costs less than {amount(found.cost_ceiling, currency)}; {number(left)} is counted on.")
    else:
        said.append("Finishing it all would not beat selling today even if the rest cost nothing.")
    return said


def left_sentences(found, totals):
    """What is still to come by every reading, and why it does not fall to nothing.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    list of str
        Empty where nothing is to come. [-]
    """
    left, currency = found.left, found.project.currency
    if not left.as_written:
        return []
    said = [f"Still to come as written: {amount(left.as_written, currency)}, {number(left.low)} to {number(left.high)}."]
    if found.turned.cost_left is not None:
        said.append(f"That is by the files, and so is the table; the answer above counts the {amount(found.turned.cost_left, currency)} that was set.")
    if left.overrun > 1.005 and found.project.file.plan.scale_by_overrun:
        said.append(f"What is done cost {left.overrun:.2f} times its plan. If the rest runs like that: {amount(left.at_pace, currency)}. That is evidence about the rest, so use it unless you can say why the rest will run better.")
    if left.past_builds:
        count = f"your {left.past_builds} earlier builds" if left.past_builds > 1 else "your one earlier build"
        said.append(f"If it runs as {count} did: {amount(left.past_middle, currency)} in the middle, and {number(left.past_holds)} to be safe in 4 of 5.")
    dear = dear_builds(found.project, totals)
    if dear is not None:
        whose = "your own earlier builds" if dear[1] == "your own" else "258 transport works (28 % over on average; works are not cars, write past_overruns to use your own)"
        said.append(f"Of builds that had cost as much as this one and were still not done, about {amount(dear[0], currency)} more is to be expected, if they run over like {whose}. What is left does not fall to nothing as money is spent: 'nearly there' is a feeling, not a figure.")
    return said


def gate_sentences(found):
    """The rule at every gate, and what the gates are worth.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of str
        Empty where the files tell of no phases. [-]
    """
    staged, currency = found.staged, found.project.currency
    if staged is None:
        return []
    said = [_gate(gate, k, currency) for k, gate in enumerate(staged.gates)]
    more = staged.worth_of_option
    said.append(f"With the right to stop at every gate it is worth {amount(staged.value, currency)} from today; " + ("no more than deciding everything now." if more < 0.5 else f"{number(more)} more than deciding everything now."))
    if any(phase.bad_news and phase.bad_news.look is not None for phase in found.project.file.phases):
        looking = staged.worth_of_looking
        said.append("Looking first changes nothing here." if looking < 0.5 else f"Looking first is worth {amount(looking, currency)}, the price of the look taken off.")
    said.append(f"The chance that every phase gets done this way: {chance_text(staged.finishes)}.")
    return said


def _gate(gate, k, currency):
    low, high = gate.limit
    limit = number(high) if high - low < 0.5 else f"{number(low)} to {number(high)}, by how the phases before turn out"
    where = f"Before '{gate.what}'" + (" (today)" if k == 0 else "")
    if gate.reached < 0.005:
        return f"{where}: one does not come here."
    if high <= 0:
        return f"{where}: stop, whatever it costs; {amount(gate.stop, currency)} in hand."
    look = " Have a look first." if gate.looks > 0.5 else ""
    often = "" if gate.goes_on > 0.995 else " As it is expected now, stop there." if gate.goes_on < 0.005 else f" The chance of going on is {chance_text(gate.goes_on)}."
    return f"{where}: go on if it costs less than {limit} {currency} ({number(gate.expected)} is expected); stopping there brings {number(gate.stop)}.{look}{often}"


def job_sentences(found):
    """One more job each: if the car is sold, and if it is kept.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of str
        One a job. [-]
    """
    currency, said = found.project.currency, []
    for job in found.jobs:
        worst, likely, best = job.if_selling
        most = max(job.cost[1] + likely, 0.0)
        sells = f"adds {amount(likely, currency)}" if likely >= 0 else f"loses {amount(-likely, currency)}"
        keeps = f"costs about {amount(job.per_month_if_keeping, currency)} a month, a question of taste" if job.per_month_if_keeping >= 0 else "pays for itself"
        said.append(f"{job.what[0].upper()}{job.what[1:]}: if you sell, it {sells} (worst {number(worst)}, best {number(best)}), and would pay below {number(most)}; kept {years_text(job.keep_years)}, it {keeps}.")
    return said


def finish_assumptions(found):
    """What the ways rest on.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of str
        One an assumption. [-]
    """
    project, currency = found.project, found.project.currency
    file, (as_is, finished, left, months, hours, holding) = project.file, found.figures
    own = file.own_hours
    counted = {"hobby": "at 0, as a hobby", "wage": f"at your wage of {number(float(own.wage))} {currency}", "shop": f"at the shop rate of {number(float(own.shop_rate))} {currency}"}
    said = [
        f"Prices of {file.build.as_of:%d %B %Y}, in today's money; discount rate {found.kept.comparison.what_if.discount_percent:g} % a year. {file.value.basis}".rstrip(),
        f"It sells for {amount(as_is, currency)} as it stands, {number(finished)} finished; selling takes {float(file.value.selling_cost_share):.0%} of a price.",
        f"Own hours count {counted[own.convention]}, in every way.",
        "Low and high: every range of a way at its worst end, then at its best. Both values go up and down together, and cost goes up with delay.",
    ]
    if found.is_open:
        said.append(f"To finish: {amount(left, currency)}, {number(hours)} own hours, {months:g} months, {number(holding)} {currency} a month for holding it. A range of cost counts at its mean, (low + 4 likely + high) / 6.")
    if not file.half_way.months.likely and found.is_open:
        said.append("Finishing takes no time in these sums: write months under [half_way].")
    if file.part_out:
        said.append(f"Parting out takes {float(file.part_out.within_months):g} months and {float(file.part_out.hours):g} hours; what has not sold by then counts at nothing.")
    if found.chances:
        said.append("Chances: draws over the ranges, both values moving together; a price without one more job or line follows the value it belongs to. Prices of parts, routes and costs of jobs count as written in them; what is still to come runs over as the build has so far, or as your earlier ones did.")
        said += moved_sentence(found.moved)
    said.append("Keeping it is set against having the other car from today for as many years; that one is without a car while this one is being finished is not in these sums.")
    if found.staged is not None:
        said.append("Gates: a range of cost counts as three figures (10, 50 and 90 % quantiles, chances .3, .4, .3); all lines of a phase move together; the cost of a phase is seen at its gate, bad news only when it is opened or looked for." + (" What bad news adds, and what a phase costs to open, is in the gates alone, not in the ways above." if any(phase.bad_news or phase.opens.likely for phase in file.phases) else ""))
    return said
