"""Sentences as the builder says them, of keeping, build or buy, the chance, the ways on and a cheaper version."""

from math import isfinite

from buildecon.decision.ways import SELL
from buildecon.ownership.economic_life import INSIDE, OR_MORE
from buildecon.story.doubt_words import chance_words
from buildecon.story.half_way_words import lead_of
from buildecon.story.telling.aloud.name_words import name_words
from buildecon.story.telling.aloud.number_words import money_words, years_words
from buildecon.story.telling.aloud.said import first_up

DISTANCE = {"km": "kilometre", "mi": "mile"}


def choice_sentences(told):
    """Keeping it, against something else, and what could still be done.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    dict of str to str
        By what it is about; empty words for what does not exist. [-]
    """
    return {
        "a_month": _a_month(told), "longer": _longer(told), "rival": _rival(told), "chance": _chance(told), "from_today": _from_today(told), "ways": _ways(told), "cheaper": _cheaper(told),
    }  # fmt: skip


def _money(told, value, figures=2):
    return money_words(float(value), told.currency, figures)


def _monthly(told, value):
    """Cost a month; nobody says the cents of it."""
    return _money(told, round(abs(value)) or value)


def _a_month(told):
    whole = told.whole
    years = whole.what_if.years_kept
    month, build = whole.month(years), whole.build
    cost, distance = float(whole.per_month[build, month]), float(whole.per_distance[build, month])
    if not cost > 0:
        return f"Kept for {years_words(years)} and then sold, it costs me nothing at all, with all the money in." if isfinite(cost) else ""
    each = f", or {_money(told, distance)} for every {DISTANCE[told.project.file.build.distance_unit]}" if isfinite(distance) and distance > 0 else ""
    return f"Kept for {years_words(years)}, with all the money in, it costs me {_monthly(told, cost)} a month{each}."


def _longer(told):
    best, cost, status, _, _ = told.life.life(told.life.build)
    if not (isfinite(best) and best > told.whole.what_if.years_kept and cost > 0):
        return ""
    if status == OR_MORE:
        return f"The longer I keep it the better: over {years_words(best)} or more it comes down to {_monthly(told, cost)} a month."
    return f"Kept longer it gets cheaper: least over {years_words(best)}, at {_monthly(told, cost)} a month." if status == INSIDE else ""


def _rival(told):
    side = told.verdict.whole
    if side.rival is None:
        return "Nothing else I looked at can do everything I need, so there is no other car to set it against."
    view, k = side.comparison, side.comparison.cheapest_rival(side.years)
    cost, more = float(view.per_month[k, view.month(side.years)]), side.more
    said = f"The cheapest other way to have all I need is this: {name_words(side.rival.name)}, at {_monthly(told, cost)} a month."
    if abs(more) < 0.5:
        return f"{said} So it is a draw, and the joy comes free."
    return f"{said} So the joy of building costs me {_monthly(told, more)} a month." if more > 0 else f"{said} So building is the cheaper way, by {_monthly(told, more)} a month."


def _chance(told):
    side = told.verdict.whole
    if side.chance is None:
        return ""
    was = "was" if told.project.file.build.stage != "planned" else "is"
    words = chance_words(side.chance[0])
    answer = {"next to none": "Next to none.", "all but certain": "It is all but certain.", "about even": "About even."}.get(words, f"{first_up(words)}.")
    return f"And the chance that building {was} the cheaper way? {answer}"


def _from_today(told):
    if told.project.file.build.stage == "planned":
        return ""
    side = told.verdict.today
    view, years = side.comparison, side.years
    cost = float(view.per_month[view.build, view.month(years)])
    if not cost > 0:
        return ""
    said = f"But that looks back. From today, with what is spent left out, keeping it costs me {_monthly(told, cost)} a month."
    if side.rival is None or abs(side.more) < 0.5:
        return said
    word = "less" if side.more < 0 else "more"
    say = {"build": "so the sums say keep it", "other": "so I keep it only if I love it enough", "too close to call": "but that is too close to call"}[side.call]
    if (side.call, word) in (("build", "more"), ("other", "less")):  # the likely figures say one thing, the whole of their ranges another
        say = f"by the likely figures, but over all that could come mine is more often the {'cheaper' if side.call == 'build' else 'dearer'}"
    other, before = name_words(side.rival.name), told.verdict.whole.rival
    if before is not None and before.id == side.rival.id:
        return f"{said} That is {_monthly(told, side.more)} {word} than the other way, {say}."
    return f"{said} The cheapest other way is then {other}, and mine is {_monthly(told, side.more)} {word}, {say}."


def _ways(told):
    ahead = told.ahead
    if ahead is None or told.project.file.build.stage == "planned":
        return ""
    left = f"It is not finished: {_money(told, told.totals.expected_to_finish)} is still to come."
    best, sell, lead = ahead.best, ahead.way(SELL), name_words(lead_of(ahead, ahead.best), 14)
    if ahead.too_close:
        return f"{left} Finish it or let it go as it stands? On money alone that is too close to call."
    if best.net <= 0:
        return left
    if best is sell:
        return f"{left} If I let it go, the best way is to sell it as it stands: {_money(told, best.net)} in my hand."
    return f"{left} If I let it go, the best way is this: {lead[:1].lower()}{lead[1:]}. That leaves {_money(told, best.net)} in my hand, against {_money(told, sell.net)} for selling it today."


def _cheaper(told):
    cut = told.cut
    levels = [] if cut is None or cut.menu.offered else [level.choice for level in cut.levels if level.choice.status == "best"]
    if not levels or levels[-1].cost < 0.5:
        return ""
    least, most = levels[0].cost, levels[-1].cost
    if told.project.file.build.stage == "finished":
        many = f" All that pays for itself would be {_money(told, most, 3)}." if round(most) != round(least) else ""
        return f"If you want the same for less, doing only what must be done would cost you {_money(told, least, 3)}.{many}"
    if round(least) == round(most):
        return f"Of what is left, nothing can be cut: {_money(told, most)}."
    return f"Of what is left, only {_money(told, least)} must be spent; all that pays for itself comes to {_money(told, most)}." if round(least) else f"Of what is left, nothing must be spent; all that pays for itself comes to {_money(told, most)}."
