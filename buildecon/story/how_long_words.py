"""The plain sentences of how long to keep a car: the cheapest years, one more year, going over, the end of its life, the largest bill."""

from itertools import groupby

import numpy as np

from buildecon.decision.compare import FROM_TODAY
from buildecon.decision.how_long import BORROWING, SCENARIOS
from buildecon.ownership.economic_life import AT_ONCE, FLAT, INSIDE, NONE, OR_MORE
from buildecon.ownership.expected import age_of, bills_by_chance, clocks
from buildecon.ownership.survival import survival_table
from buildecon.story.input_words import drawn_as
from buildecon.story.words import amount, called, number, years_text

SELDOM = 0.005  # share of the time that would be told as 0 %


def life_sentence(found):
    """The years kept at which the build costs least.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        With the cost a month, the band that costs nearly the same, and the range searched. [-]
    """
    comparison, (years, cost, status, low, high) = found.comparison, found.life(found.build)
    name, currency = called(comparison.options[found.build].name), found.project.currency
    searched, done = years_text(int(found.lives.searched)), comparison.done_after
    month = f"{amount(cost, currency)} a month ({comparison.view})"
    goes = f"as soon as it is done, {years_text(years)} from today" if done else "within a year"
    said = {
        INSIDE: f"Kept {years_text(years)}, {name} costs least: {month}; of {max(-(-done // 12), 1)} to {searched} looked at.",
        OR_MORE: f"{name[0].upper()}{name[1:]} costs least at the last year looked at: kept {searched} or more, {month}.",
        AT_ONCE: f"{name[0].upper()}{name[1:]} costs least if it goes {goes}: {month}. No longer keeping, up to {searched}, is cheaper on average.",
        FLAT: f"How long {name} is kept hardly matters to the cost: about {month} from {years_text(low)} to {years_text(high)}.",
        NONE: f"There are no years to look at for {name}.",
    }[status]
    if status in (INSIDE, OR_MORE, AT_ONCE) and high > low:
        said += f" From {years_text(low)} to {years_text(high)} it is within 1 % of that."
    return said + (f" Below 0, because {_below_nothing(found, comparison.month(years))}." if cost < 0 else "")


def _below_nothing(found, month):
    """Why having the build brings more than it costs."""
    comparison, k = found.comparison, found.build
    joy = float(found.causes["enjoyment"][month]) if "enjoyment" in found.causes else 0.0
    if comparison.per_month[k, month] - joy >= 0:
        return "what having it is worth, its enjoyment, is taken off"
    gained = comparison.total[k, comparison.done_after]
    if gained < 0 <= comparison.total[k, month] - gained:
        return f"it is counted as worth more when done than {'it would fetch now with what is still to come' if comparison.view == FROM_TODAY else 'all that goes into it'}: look at [value]"
    if comparison.what_if.discount_percent < 0:
        return "at a discount rate below 0 what comes back later counts for more than what goes in now"
    return "its value is counted to rise by more than having it costs: look at its decline_rate or value_path"


def spread_sentence(found):
    """The cheapest years over the ranges of the build's figures.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Empty where none of its figures is a range. [-]
    """
    lives = found.spread
    if lives is None:
        return ""
    low, middle, high = (f"{year:.0f}{' or more' if end else ''}" for year, end in zip(lives.quantile, lives.quantile_is_end, strict=True))
    if low == high:
        return f"Over the ranges you wrote for the build's figures the cheapest years stay the same eight times out of ten: {middle}."
    more = f"; in {float(lives.or_more):.0%} of draws they are the last that were looked at, or more" if lives.or_more >= 0.005 else ""
    return f"Over the ranges you wrote for the build's figures the cheapest years run from {low} to {high} eight times out of ten, with {middle} in the middle{more}."


def keep_sentence(found):
    """How long the build beats the cheapest other at its best, looking over dear years to cheap ones behind them.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        With the other, its cost, and the range searched; says so where nothing passes. [-]
    """
    comparison, keep, currency = found.comparison, found.keep, found.project.currency
    if keep is None:
        return "No other option passes every must-have, so there is nothing to go over to."
    years, cost, status, *_ = found.life(found.rival)
    kept = "" if status == FLAT else f" kept {years_text(years)}" + (" or more" if status == OR_MORE else "")
    other = f"{called(comparison.options[found.rival].name)} at its best, {amount(cost, currency)} a month{kept}"
    lead = "Once it is finished, against" if found.project.file.build.stage != "finished" else "Against"
    if keep.status == AT_ONCE:
        said = f"{lead} {other}, selling it is cheaper than any length with it from then on, up to {years_text(int(keep.searched))}, though by {amount(found.dearer_by, currency)} a month at the nearest."
    else:
        said = f"{lead} {other}, the build is worth keeping {_until(keep)}; what is spent is spent."
    as_long = found.keep_as_long
    if (as_long.status, float(as_long.years)) != (keep.status, float(keep.years)):
        asked = comparison.what_if.years_kept
        rival = comparison.cheapest_rival(asked)
        per_month = amount(comparison.per_month[rival, comparison.month(asked)], currency)
        said += f" Against {called(comparison.options[rival].name)} kept only {years_text(asked)}, {per_month} a month, " + ("selling it is the cheaper." if as_long.status == AT_ONCE else f"it is worth keeping {_until(as_long)}.")
    if found.life(found.build)[2] in (INSIDE, AT_ONCE) and keep.status != AT_ONCE and float(keep.years) + comparison.done_after / 12 > found.life(found.build)[0]:
        said += " That is what decides when to go; the years that cost least on average only say how long such a car is best kept when it is bought anew."
    first = float(keep.first_dearer)
    if keep.status != AT_ONCE and first < float(keep.years):
        said += f" Its year {int(first) + 1} by itself is dearer than that, but cheaper years follow."
    return said


def next_year_sentence(found):
    """What one year of the build costs from the day it is done, against the cheapest other at its best.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Empty where nothing passes. [-]
    """
    if found.rival is None or found.next_year is None:
        return ""
    comparison, currency, saves = found.comparison, found.project.currency, found.next_year_saves
    other = called(comparison.options[found.rival].name)
    apart = f"{amount(abs(saves), currency)} {'less' if saves > 0 else 'more'} than" if number(saves).strip("-") != "0" else "as much as"
    lead = "One more year of the build" if found.project.file.build.stage == "finished" else "Once it is finished, one year of the build"
    return f"{lead} by itself costs {amount(found.next_year, currency)} a month: {apart} {other} at its best."


def chance_sentence(found):
    """What fails by chance: the mean of its bills is not the bill.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Empty where nothing of the build fails by chance, or the build does not last as long as it is kept. [-]
    """
    comparison, years = found.comparison, found.comparison.what_if.years_kept
    over = found.replaced_years(found.build)
    drawn = bills_by_chance(comparison.options[found.build], comparison.what_if.distance_a_year, found.project.file.build.distance_unit, years)
    if drawn is None or (over and over[0] < years):
        return ""
    mean, currency = float(comparison.by_chance[found.build, : 12 * years].sum()), found.project.currency
    said, most = f"What fails by chance comes to {amount(mean, currency)} on average over {years_text(years)}", amount(drawn.quantile[-1], currency)
    come = f"and where there are they come to {amount(drawn.when_some, currency)}."
    if drawn.none < SELDOM:
        return f"{said}; nine times out of ten to at most {most}."
    if drawn.none > 1 - SELDOM:
        return f"{said}: there are next to never bills" + (f", {come}" if drawn.when_some else ".")
    said += f", but bills come whole: {drawn.none:.0%} of the time there are none, {come}"
    return said + (f" Nine times out of ten they are at most {most}." if drawn.quantile[-1] > 0 else "")


def _until(keep):
    return f"for {years_text(int(keep.searched))} or more" if keep.status == OR_MORE else f"{years_text(float(keep.years))}, then change to it"


def ends_sentences(found):
    """Which options come to the end of their life inside the horizon.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of str
        One an option. [-]
    """
    comparison, said = found.comparison, []
    for k, option in enumerate(comparison.options):
        years = found.replaced_years(k)
        if years:
            when = " and again after ".join(f"{year:.1f}".removesuffix(".0") for year in years[:3]) + (" and so on" if len(years) > 3 else "")
            said.append(f"{option.name[0].upper()}{option.name[1:]} reaches the end of its life after {when} years; it goes for scrap then and another like it is bought, in these sums." + (" That often is not a car worth having: look at its lifetime and at again_distance." if len(years) > 5 else ""))
    return said


def by_chance_sentence(found):
    """What of the build is renewed by chance, and so on no day that could be drawn.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Empty where there is none. [-]
    """
    wear = found.comparison.options[found.build].wear
    parts = [part.what for part in wear.renewals if part.shape is not None] if wear else []
    return f"Renewed by chance, so on no day of that line: {', '.join(parts)}. The bills to be expected are in the costs." if parts else ""


def clocks_sentence(found):
    """That a new engine does not make an old shell new.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Two or three sentences. [-]
    """
    said = "Two clocks run in a re-engined car: the engine's, which a new engine sets back, and the shell's, which it does not."
    stated, distance = found.project.file.clocks, found.comparison.what_if.distance_a_year
    if stated is None:
        return f"{said} Write [clocks] to have them set against each other."
    if not distance:
        return f"{said} At 0 {found.project.file.build.distance_unit} a year the engine's stands still."
    like, ends = stated.shell_like, clocks(found.project, distance)
    oldest = f"{survival_table(like).ends:g} years" if like else ""
    if ends is None:
        return f"{said} {like}, the US fleet named for the shell, ends at {oldest}, and this car is {years_text(age_of(found.project))} old: it does not say how long such a shell holds. Write shell_years, your own guess, instead of shell_like."
    fleet = f" ({like}, a US fleet average that ends at {oldest}; cars scrapped for their engine are in it already)" if like else ""
    said += f" The shell has {years_text(ends.years)} to come{fleet}; the chance that the engine fails before it is {ends.chance_engine_first:.0%}"
    return f"{said}, and {ends.engine_renewals:.1f} engines are to be expected until then. Given up at the first of the two, it lasts {years_text(ends.years_if_given_up)}. None of this is in the sums above: lifetime_distance under value_path would end a life there."


def limit_sentences(found):
    """The largest repair bill worth paying, by year.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of str
        For some years; empty where the files give no bills. [-]
    """
    limit, currency = found.limit, found.project.currency
    if limit is None:
        return []
    said, kept = [], found.comparison.what_if.years_kept
    for status, run in groupby(range(1, len(limit.limit) + 1), key=lambda year: str(limit.status[year - 1])):
        years = list(run)
        if status == "limit":
            told = sorted({years[0], years[len(years) // 2], years[-1]} | ({kept} & set(years)))
            said += [f"Year {year}: if a bill above {amount(float(limit.limit[year - 1]), currency)} comes, sell." for year in told]
        else:
            span = f"Year {years[0]}" if len(years) == 1 else f"Years {years[0]} to {years[-1]}"
            said.append(f"{span}: sell, whatever the bill." if status == "sell" else f"{span}: any bill that can come is worth paying; too much would be more than {' and '.join(_most(limit, year, currency) for year in dict.fromkeys((years[0], years[-1])))}.")
    return said


def _most(limit, year, currency):
    return f"{amount(float(limit.limit[year - 1]), currency)} in year {year}"


def how_long_assumptions(found):
    """What the years rest on.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of str
        One an assumption. [-]
    """
    project, what_if = found.project, found.comparison.what_if
    option, currency, unit = found.comparison.options[found.build], project.currency, project.file.build.distance_unit
    months = found.comparison.done_after
    said = [f"The build is off the road for {months} {'month' if months == 1 else 'months'} from today. Years kept count from today, those of the repair limit and of going over from the day it is done. What it takes to run and what it loses count from today too; what it would bring half-built is not looked at here."] if months else []
    if BORROWING in found.causes:
        said.append("The loan costs what is paid on it and clears it, less what was borrowed, all in today's money: paying it off is no cost, it has bought the car.")
    said += [f"{number(what_if.distance_a_year)} {unit} a year; discount rate {what_if.discount_percent:g} % a year; upkeep {what_if.upkeep:g} times that of the files, rising {what_if.upkeep_rise_percent:g} % a year on top of them."]
    wear = option.wear
    if wear is None or not wear.renewals:
        said.append("No component of the build is renewed in these figures: write [[options.wear.renewals]] for what will wear out.")
    else:
        sure = [part for part in wear.renewals if part.shape is None]
        chance = [part for part in wear.renewals if part.shape is not None]
        if sure:
            said.append("Renewed when its distance is reached: " + "; ".join(_part(part, currency, f"every {number(float(part.every))} {unit}") for part in sure) + ".")
        if chance:
            said.append("Renewed by chance, at the bill to be expected: " + "; ".join(_part(part, currency, f"half last longer than {number(float(part.every))} {unit}, Weibull shape {float(part.shape):g}{_cover(part, unit)}") for part in chance) + ".")
    if project.file.repairs is None:
        said.append("No repair limit: write [repairs] with the bills that may come in a year.")
    elif found.limit is None:
        said.append("No repair limit: it needs another option that passes every must-have, for what having the build a year is worth.")
    else:
        chances = "; ".join(f"{amount(float(bill.amount), currency)} in {100 * float(bill.chance):.3g} % of years" for bill in project.file.repairs.bills)
        said.append(f"Repair bills that may come: {chances}. Having the build a year is worth what {found.comparison.options[found.rival].name} costs a year at its best, with the same bills to be expected of it; a buyer takes a bill off the price, and no bill is worth more than another like it costs. They are in no other figure of this page. Chance still kept: the chance that no bill above the limit has come before.")
    if found.spread is not None:
        said.append(f"The cheapest years over the ranges: every range that the build's cost counts with, drawn {drawn_as(project)}, {number(SCENARIOS)} times.")
    said.append(f"What it sells for when done is your own figure, {amount(what_if.end_value, currency)}; what the market says is on What is it worth?")
    said.append("Published figures are offered on the page, each with whose average it is; none is used here unless you write it into the files.")
    return said


def _part(part, currency, words):
    return f"{part.what}, {amount(float(part.cost), currency)}, {words}"


def _cover(part, unit):
    """What a warranty pays, after a comma."""
    if part.warranty is None:
        return ""
    return f", {float(part.warranty_pays):.0%} of it paid by the maker within {number(float(part.warranty))} {unit}" + (" of each new one" if part.warranty_renews else " from today")


def at_month(values, month):
    """A figure of one month as whole money.

    Parameters
    ----------
    values : ndarray, shape (n,)
        By month. [money/month]
    month : int
        Which. [-]

    Returns
    -------
    str
        Rounded. [-]
    """
    return number(float(values[month])) if np.isfinite(values[month]) else "-"
