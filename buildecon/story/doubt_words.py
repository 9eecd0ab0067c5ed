"""Plain sentences about what is not known: chances, what to find out, and what would turn the answer."""

import numpy as np

from buildecon.decision.compare import FROM_TODAY
from buildecon.decision.verdict import price_of_joy_chance
from buildecon.ledger.forecast import overrun_so_far
from buildecon.story.input_words import drawn_as, input_words, way_to_find_out
from buildecon.story.words import amount, number, years_text

# Nearest of these by odds; a chance beyond the last is all but certain.
IN_WORDS = (
    (0.02, "about one in fifty"), (0.05, "about one in twenty"), (0.1, "about one in ten"), (0.15, "about three in twenty"), (0.2, "about one in five"),
    (0.25, "about one in four"), (1 / 3, "about one in three"), (0.4, "about two in five"), (0.5, "about even"), (0.6, "about three in five"),
    (2 / 3, "about two in three"), (0.75, "about three in four"), (0.8, "about four in five"), (0.85, "about seventeen in twenty"), (0.9, "about nine in ten"),
    (0.95, "about nineteen in twenty"), (0.98, "about forty-nine in fifty"),
)  # fmt: skip
DIALS = {
    "years_kept": "years kept",
    "distance_a_year": "distance a year", "end_value": "what the build sells for when done", "still_to_come": "what is still to come", "spent_off": "what the build has cost in all",
    "energy_price": "energy price, times today's", "enjoyment": "what having it is worth to you a year", "discount_percent": "discount rate, % a year",
    "decline_percent": "what the build loses, % of its value a year",
}  # fmt: skip
NO_RANGE = "No figure in these sums is a range yet: write low, likely and high where you are not sure."
ALONE = "Nothing: there is nothing to choose between."
FEW = 5  # ranges; with fewer a chance says little


def chance_words(chance):
    """A chance as one would say it.

    Parameters
    ----------
    chance : float
        Between 0 and 1. [-]

    Returns
    -------
    str
        As `about two in three`. [-]
    """
    if not 0.01 <= chance <= 0.99:
        return "next to none" if chance < 0.5 else "all but certain"
    odds = np.log(chance / (1 - chance))
    return min(IN_WORDS, key=lambda pair: abs(np.log(pair[0] / (1 - pair[0])) - odds))[1]


def chance_sentence(side):
    """The chance that the build is the cheaper, over the years asked about.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    str
        One sentence or two. [-]
    """
    comparison, currency = side.comparison, side.comparison.project.currency
    if side.rival is None:
        return "Nothing else meets every must-have, so there is no chance to tell."
    if side.doubts is None:
        return NO_RANGE
    chance, error = side.chance
    told = "under 1%" if chance < 0.01 else "over 99%" if chance > 0.99 else f"{chance:.0%}, give or take {max(2 * error, 0.005):.1%} for the number of draws"
    low, middle, high = price_of_joy_chance(side)
    lead = "From today" if comparison.view == FROM_TODAY else "Looking back on all money"
    return (
        f"{lead}, kept {years_text(side.years)}, the chance that the build is the cheaper is {chance_words(chance)} "
        f"({told}): {_between(low, high, currency)} a month eight times out of ten, {more_text(middle, currency)} in the middle."
    )


def more_text(value, currency):
    """A difference a month as more or less.

    Parameters
    ----------
    value : float
        Above 0 for more. [money/month]
    currency : str
        ISO 4217 code. [-]

    Returns
    -------
    str
        As `38 EUR more`. [-]
    """
    return f"{amount(abs(value), currency)} {'more' if value >= 0 else 'less'}"


def _between(low, high, currency):
    """A span that may reach from less to more."""
    if low < 0 < high:
        return f"from {number(-low)} less to {amount(high, currency)} more"
    near, far = sorted((abs(low), abs(high)))
    return f"{number(near)} to {amount(far, currency)} {'more' if low >= 0 else 'less'}"


def finding_out_sentence(found, currency):
    """What is worth finding out before choosing.

    Parameters
    ----------
    found : Doubts or None
        Of either view. [-]
    currency : str
        Of the project. [-]

    Returns
    -------
    str
        One sentence; empty where nothing is drawn. [-]
    """
    if found is None:
        return ""
    asking = found.worth_asking
    if not asking:
        if found.everything < 1:
            return "Nothing is worth finding out first: whatever the figures turn out to be within their ranges, the choice is the same."
        return f"Nothing by itself is worth finding out first; to know everything would be worth {amount(found.everything, currency)} at most."
    said = []
    for k in asking[:2]:
        one, cost = found.inputs[k], found.price[k]
        said.append(f"{input_words(one)} ({way_to_find_out(one)}) is worth up to {amount(found.worth.shown[k], currency)} to you" + (f", and costs {amount(cost, currency)}" if cost else ""))
    rest = "nothing else is worth asking" if len(asking) <= 2 else f"{len(asking) - 2} more {'is' if len(asking) == 3 else 'are'} in the table"
    return f"To find out first: {'; then '.join(said)}; {rest}. To know everything would be worth {amount(found.everything, currency)}."


def upside_down_sentence(found, currency):
    """The chance of standing in at more than it would bring.

    Parameters
    ----------
    found : Chances
        Of either view. [-]
    currency : str
        Of the project. [-]

    Returns
    -------
    str
        One sentence. [-]
    """
    low, middle, high = np.quantile(found.short, (0.1, 0.5, 0.9))
    chance = float(found.upside_down([0.0])[0][0])
    if chance < 0.01:
        return f"It would bring more than it stands in at: {number(-high)} to {amount(-low, currency)} more, eight times out of ten."
    lead = "Upside down all but certainly" if chance > 0.99 else f"The chance of being upside down is {chance_words(chance)}"
    if low < 0:
        by = f"from {number(-low)} to spare to {amount(high, currency)} short" if high > 0 else f"{number(-high)} to {amount(-low, currency)} to spare"
    else:
        by = f"by {number(low)} to {amount(high, currency)}"
    half = _round_down(middle)
    more = f"; by more than {amount(half, currency)}: {chance_words(float(found.upside_down([half])[0][0]))}" if half else ""
    return f"{lead}, {by} eight times out of ten{more}."


def _round_down(value):
    """To two figures."""
    if value <= 0:
        return 0.0
    step = 10 ** (np.floor(np.log10(value)) - 1)
    return float(np.floor(value / step) * step)


def change_words(turning, project):
    """A single change that turns the answer.

    Parameters
    ----------
    turning : Turning
        Of one dial. [-]
    project : Project
        For currency and unit. [-]

    Returns
    -------
    str
        From what it is to where the answer turns. [-]
    """
    return f"{DIALS[turning.name]}: {dial_figure(turning.name, turning.nearest, project)} instead of {dial_figure(turning.name, turning.now, project)}"


def dial_figure(name, value, project):
    """A place of a dial, with its unit.

    Parameters
    ----------
    name : str
        A field of WhatIf. [-]
    value : float
        Its place. [-]
    project : Project
        For currency and unit. [-]

    Returns
    -------
    str
        Rounded; a dash where there is none. [-]
    """
    if not np.isfinite(value):
        return "-"
    if name == "years_kept":
        return years_text(value)
    if name == "distance_a_year":
        return f"{number(value)} {project.file.build.distance_unit}"
    if name == "energy_price":
        return f"{value:.2f}"
    if name.endswith("_percent"):
        return f"{value:.1f}"
    return amount(value, project.currency)


def chance_sentences(side):
    """The chance, and how far upside down.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    list of str
        Sentences. [-]
    """
    said = [chance_sentence(side)]
    if side.doubts is not None:
        said.append("The band: what the build costs more a month, eight times out of ten; below 0 it is the cheaper. Beside it, the chance of that.")
        found = side.doubts.chances
        whose = "at what market.csv says" if found.asked.project.file.chances.value_from == "market" else "at your own figure of [value]"
        said.append(f"{upside_down_sentence(found, side.comparison.project.currency)} That is {whose} for it as it stands, selling cost off.")
        said += [*moved_sentence(found.asked.unknown.moved), together_sentence(found.asked.project), *_drawn_dearer(side)]
        said += few_ranges(side)
    return said


def few_ranges(side):
    """That a chance rests on few ranges.

    Parameters
    ----------
    side : Side
        Of either view, with its draws. [-]

    Returns
    -------
    list of str
        One sentence, or none. [-]
    """
    count = len(side.doubts.inputs)
    return [] if count >= FEW else [f"Only {count} {'figure is a range' if count == 1 else 'figures are ranges'} here, all others count as sure: the chance is as sure as they are. Write ranges for what you do not know."]


def _drawn_dearer(side):
    """That the draws count on the overrun so far, which the likely figures do not."""
    totals, past = side.comparison.totals, side.comparison.project.file.half_way.past_overruns
    overrun = float(overrun_so_far(totals.settled))
    if not past and totals.to_finish[2] and overrun > 1.005:
        yield f"In the draws, what is still to come runs over as the finished lines did, up to {overrun:.2f} times; the likely figures leave it as written."


def moved_sentence(moved):
    """That some figures cannot move together as the files say.

    Parameters
    ----------
    moved : float
        The largest change that was needed. [-]

    Returns
    -------
    list of str
        One sentence, or nothing where they can. [-]
    """
    if not moved > 0.01:
        return []
    return [f"Not all that [chances] says moves together can do so at once: the nearest that can be had is up to {moved:.2f} away from it, and counts here."]


def together_sentence(project):
    """How the ranges are drawn.

    Parameters
    ----------
    project : Project
        With `[chances]`. [-]

    Returns
    -------
    str
        One sentence or two. [-]
    """
    chances = project.file.chances
    return (
        f"Each range is drawn {drawn_as(project)}. Costs still to come move together ({float(chances.prices_together):.1f} of 1), and with delay ({float(chances.delay_and_cost):.1f}); "
        f"what it sells for as it stands and when done move together ({float(chances.values_together):.1f}): [chances] of build.toml, common practice, no source. What moves together does so no more in its extremes."
    )


def finding_out_sentences(side):
    """What to find out first, and what the chart beside it shows.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    list of str
        Sentences. [-]
    """
    if side.doubts is None:
        return [ALONE if side.rival is None else NO_RANGE]
    return [
        finding_out_sentence(side.doubts, side.comparison.project.currency),
        "The bars: what the build costs more a month with one figure at a time at its low and its high, all others in the middle. A wide bar that does not cross 0 changes nothing in the choice, so it is not worth asking about.",
    ]
