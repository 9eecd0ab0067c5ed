"""The plain sentences of what follows from what a car is worth: the work, the dip, ways out, the policy, one more job."""

from buildecon.market.comparables import FINISHED
from buildecon.market.selling import IN_PIECES
from buildecon.story.words import amount, number
from buildecon.story.worth_words import counted, figure_text, price_text, spread_text


def built_sentence(stand):
    """Base car plus contributions beside the comparables, and what the difference means.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Empty where the files have no `[contribution]`. [-]
    """
    built, currency = stand.built, stand.project.currency
    if built is None:
        return ""
    said = f"The car without the work, {price_text(built.base[1], currency)}, plus what the work adds comes to {price_text(built.value[1], currency)} ({spread_text(built.value[0], built.value[2])}, all lows to all highs)"
    said += f", cut at the ceiling from {price_text(built.before_ceiling[1])}" if built.capped else ""
    lost = built.base[1] - built.value[1] - built.open_faults[1]
    if lost > 0:
        said += f"; that is {price_text(lost, currency)} less than without the work, whose cost is paid for by no buyer."
    else:
        said += f"; of the work's cost, {price_text(built.left_behind, currency)} is paid for by no buyer." if built.left_behind >= 0 else f"; it gains {price_text(-built.left_behind, currency)} more than the work cost."
    known = stand.market.of_state(FINISHED)  # what the work adds is there when it is done
    if known is None:
        return said
    finished = "" if stand.market.stage == FINISHED else " for it finished"
    gap = built.value[1] - known.likely
    if known.low <= built.value[1] <= known.high:
        return said + f" The comparables say {price_text(known.likely, currency)}{finished}: {price_text(abs(gap), currency)} apart, inside their own range. The comparables rule."
    if gap > 0:
        why = "the car without the work is put above them already" if built.base[1] > known.high else "the shares are too kind, or the comparables lack this work"
    else:
        why = f"the work is worth more to buyers than these shares, or the base{' or the ceiling' if built.capped else ''} is put too low"
    return said + f" The comparables say {price_text(known.likely, currency)}{finished}, {price_text(abs(gap), currency)} {'less' if gap > 0 else 'more'}: {why}. The comparables rule where there are sales among them."


def dip_sentence(stand):
    """The lowest value on the way, and what had gone in by then.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Empty where fewer than two states have a value. [-]
    """
    known, currency = [stage for stage in stand.stages if stage.value and not stage.ahead], stand.project.currency
    if len(known) < 2:
        return ""
    before, low = max(zip(known, known[1:], strict=False), key=lambda pair: pair[0].value[1] - pair[1].value[1])
    if low.value[1] >= before.value[1]:
        gaps = [stage.state for stage in stand.stages if not stage.value]
        unknown = f" (not known: {', '.join(gaps)})" if gaps else ""
        return f"From {price_text(known[0].value[1], currency)} at first to {price_text(known[-1].value[1], currency)} at last{unknown}."
    lasts = low.until >= stand.project.file.build.as_of
    end = f"by now {figure_text(low.money_in, currency)} is in." if lasts else f"when that state ended {figure_text(low.money_in, currency)} was in."
    return (
        f"The dip: {low.state} on {low.since:%d %B %Y} it would have fetched {price_text(low.value[1], currency)}, down from {price_text(before.value[1])}, "
        f"with {figure_text(low.money_before, currency)} in it; {end}"
    )


def ways_sentence(stand):
    """The ways out, the best first, and the floor.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Empty where the files have neither routes nor a part-out. [-]
    """
    currency, said = stand.project.currency, ""
    if stand.ways:
        best = max(stand.ways, key=lambda way: way.net[1])
        said = f"The most in hand: {best.name}, {price_text(best.net[1], currency)} in about {counted(round(best.weeks), 'week')} and {counted(best.hours, 'hour')}."
    if stand.parted:
        parted = stand.parted
        said += f" In pieces it brings {amount(parted.net[1], currency)} within {counted(parted.months, 'month')}, for {counted(parted.hours, 'hour')} of work."
        said += f" Which parts sell moves that by about {price_text(parted.by_luck, currency)} either way." if parted.by_luck else ""
        whole = [way.net[1] for way in stand.ways if way.name != IN_PIECES]
        said += " That is more than whole: the pieces are the floor." if parted.net[1] > max(whole, default=stand.price[1]) else ""
    return said.strip()


def cover_sentence(stand):
    """The sum insured against value and outlay, with the warning its meaning needs.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Empty where the files have no `[insured]`. [-]
    """
    cover, currency = stand.cover, stand.project.currency
    if cover is None:
        return ""
    fetch = f"it would sell for {price_text(cover.value[1], currency)}" if stand.by_market else f"your own figure is {figure_text(cover.value[1], currency)}"
    paid = price_text(cover.paid_at_most, currency)
    held = ", but its sum at most" if cover.sum < cover.value[1] else ""
    said = f"Insured for {amount(cover.sum, currency)} as {cover.means}; {fetch} and it stands you in at {amount(cover.outlay, currency)}."
    said += {
        "agreed value": " That sum is paid on a total loss, as agreed.",
        "stated amount": f" A stated amount is a ceiling, not a promise: where the market value or the repair is less, only that is paid; {paid} at most today (common practice, no source). Ask for agreed value.",
        "market value": f" At market value the policy pays what a like car fetches{held}: about {paid}, often without the modifications (common practice, no source): ask what it says of them.",
    }[cover.means]
    said += f" It is {price_text(cover.short_of_value, currency)} short of the value." if cover.short_of_value > 0.02 * cover.value[1] else ""
    said += " That is more than such a car sells for: ask whether all of it would be paid." if cover.means == "agreed value" and cover.sum > cover.value[2] else ""
    exact = cover.means == "agreed value"
    said += f" Of what it stands you in at, {figure_text(cover.short_of_outlay, currency) if exact else price_text(cover.short_of_outlay, currency)} would come back from nobody." if cover.short_of_outlay > 0 else ""
    return said


def job_sentences(stand):
    """Whether each further job pays, if the car is sold and if it is kept.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of str
        One a job. [-]
    """
    currency, found = stand.project.currency, []
    for job in stand.jobs:
        worst, likely, best = job.if_selling
        verdict = "it pays" if worst > 0 else "it does not pay" if best < 0 else "it comes out even" if worst == best == 0 else "it is likelier to pay than not" if likely > 0 else "it is likelier not to pay"
        selling = float(stand.project.file.value.selling_cost_share)
        less = f", {100 * selling:.3g}% of selling cost off" if selling else ""
        said = f"{job.what[0].upper()}{job.what[1:]} for {amount(job.cost[1], currency)}, to be worth {amount(job.value_after[1], currency)} instead of {'your own figure of ' if stand.stated[1] else ''}{amount(stand.stated[1] or stand.price[1], currency)}: "
        said += f"if you sell, {verdict} ({number(likely)} {currency}{less}; worst {number(worst)}, best {number(best)})."
        month, years = job.per_month_if_keeping, f"Kept {counted(job.keep_years, 'year')}, with what is left of that value by then,"
        found.append(f"{said} {years} it costs about {amount(month, currency)} a month: a question of taste." if month > 0 else f"{said} {years} it leaves about {amount(-month, currency)} a month over.")
    return found
