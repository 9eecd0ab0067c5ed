"""Every figure that a write-up may quote, by name: the one source of article, frames, spoken script and the owner's own words."""

import math
from dataclasses import dataclass

from buildecon.decision.compare import price_of_joy
from buildecon.story.doubt_words import chance_words
from buildecon.story.words import amount, number, years_text
from buildecon.story.worth_words import gap_text, price_text

MONEY, MONTHLY, PER_DISTANCE, YEARS, HOURS, SHARE, COUNT, NAME = "money", "money a month", "money by distance", "years", "hours", "share", "count", "name"


@dataclass(frozen=True)
class Figure:
    """One figure.

    Parameters
    ----------
    id : str
        As the owner writes it in braces. [-]
    what : str
        In words. [-]
    value : float or None
        Unrounded; None for a name, or where it does not exist. [-]
    text : str
        As it is shown, with its unit. [-]
    unit : str
        One of the constants above. [-]
    """

    id: str
    what: str
    value: float | None
    text: str
    unit: str


def figures(told):
    """All figures of a project.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    dict of str to Figure
        By id, in the order of a write-up. [-]
    """
    found = (*_spent(told), *_hours(told), *_value(told), *_keeping(told), *_choice(told), *_to_come(told), *_cheaper(told))
    return {one.id: one for one in found}


def _money(told, id, what, value):
    exists = value is not None and math.isfinite(value)
    return Figure(id, what, float(value) if exists else None, amount(value if exists else None, told.currency), MONEY)


def _spent(told):
    totals, project = told.totals, told.project
    for rung in totals.rungs:
        yield _money(told, rung.id, rung.label, rung.amount)
    yield Figure("quoted", f"the total quoted, {told.quoted.label}", float(told.quoted.amount), amount(told.quoted.amount, told.currency), MONEY)
    yield _money(told, "given", "what a reader would pay more, where parts were given or cheap", totals["at_street_price"] - totals["stands_in_at"])
    yield _money(told, "base_car", "the base car", totals["stands_in_at"] - totals["project_cash_net"])
    yield _money(told, "waste", "rework, things bought twice, lost deposits", totals["with_waste"] - totals["with_consumables"])
    yield _money(told, "tools", "tools", totals["with_tools"] - totals["with_waste"])
    fall = told.fall
    begun, over = " for what is begun" if project.file.build.stage == "in progress" else "", float(fall.actual - fall.planned)
    yield _money(told, "planned", f"the plan{begun}", fall.planned)
    yield Figure("over_plan", f"above or below the plan{begun}, money back not taken off", over, f"{amount(abs(over), told.currency)} {'over' if over >= 0 else 'under'} the plan", MONEY)
    yield Figure("lines", "lines in the list", float(len(project.lines)), number(len(project.lines)), COUNT)
    if cap := project.file.build.cap:
        yield _money(told, "cap", "the cap", cap.likely)


def _hours(told):
    project = told.project
    helpers = sum((row.hours.likely for row in project.hours if row.who == "helper"), 0)
    for id, what, hours in (("own_hours", "own hours so far", project.hours_spent.likely), ("helper_hours", "helpers' hours", helpers)):
        yield Figure(id, what, float(hours), f"{number(hours)} hours", HOURS)


def _value(told):
    stand, known = told.stand, told.stand.by_market
    for id, what, value in zip(("worth_low", "worth", "worth_high"), ("the low end of what it would sell for", "what it would sell for as it stands", "the high end of what it would sell for"), stand.price, strict=True):
        text = price_text(value, told.currency) if known else amount(value, told.currency)
        yield Figure(id, what, float(value), text, MONEY)
    one = stand.stands_in
    side = "upside down" if one.likely < 0 else "to the good"
    yield Figure("gap", "value less what it stands in at", one.likely, f"{gap_text(one.likely, known)} {told.currency} {side}", MONEY)
    if one.recovered is not None:
        yield Figure("recovered", "share of the money that a sale would bring back", one.recovered, f"{one.recovered:.0%}", SHARE)


def _keeping(told):
    whole, today = told.whole, told.today
    years, unit = whole.what_if.years_kept, told.project.file.build.distance_unit
    yield Figure("years_kept", "years it is meant to be kept", float(years), years_text(years), YEARS)
    for side, view, words in (("", whole, "all money in"), ("_from_today", today, "from today")):
        month, build = view.month(years), view.build
        yield Figure(f"a_month{side}", f"cost a month, {words}", float(view.per_month[build, month]), f"{amount(view.per_month[build, month], told.currency)} a month", MONTHLY)
        far = float(view.per_distance[build, month])
        driven = math.isfinite(far)
        yield Figure(f"per_distance{side}", f"cost by distance, {words}", far if driven else None, f"{amount(far, told.currency, 2)} a {unit}" if driven else amount(None, ""), PER_DISTANCE)
    best, per_month, status, _, _ = told.life.life(told.life.build)
    text = years_text(best) + (" or more" if status == "or more" else "")
    yield Figure("cheapest_years", "years kept at which a month costs least", best, text, YEARS)
    yield Figure("cheapest_a_month", "cost a month then", per_month, f"{amount(per_month, told.currency)} a month", MONTHLY)


def _choice(told):
    for suffix, side, words in (("", told.verdict.whole, "all money in"), ("_from_today", told.verdict.today, "from today")):
        view, month = side.comparison, side.comparison.month(side.years)
        if side.rival is None:
            continue
        k = view.cheapest_rival(side.years)
        joy = float(price_of_joy(view)[month])
        yield Figure(f"rival{suffix}", f"the cheapest other that meets every must-have, {words}", None, side.rival.name, NAME)
        yield Figure(f"rival_a_month{suffix}", f"what that costs a month, {words}", float(view.per_month[k, month]), f"{amount(view.per_month[k, month], told.currency)} a month", MONTHLY)
        yield Figure(f"joy{suffix}", f"price of joy, {words}", joy, f"{amount(abs(joy), told.currency)} a month {'more' if joy >= 0 else 'less'}", MONTHLY)
        if side.chance is not None:
            yield Figure(f"chance{suffix}", f"chance that the build is the cheaper, {words}", side.chance[0], chance_words(side.chance[0]), SHARE)


def _to_come(told):
    if told.ahead is None:
        return
    ahead = told.ahead
    yield _money(told, "still_to_come", "still to come", told.totals.expected_to_finish)
    yield _money(told, "at_completion", "cost when finished", told.forecast.at_completion)
    yield Figure("best_way", "the way on that brings most", None, ahead.best.name, NAME)
    yield _money(told, "best_way_brings", "what that leaves in hand", ahead.best.net)


def _cheaper(told):
    if told.cut is None:
        return
    for level in told.cut.levels:
        yield _money(told, f"cut_{level.name}", f"{told.cut.menu.view}, {level.name}", level.choice.cost)
