"""What the frames of keeping, choosing, cutting and finishing say and show."""

from dataclasses import replace
from math import ceil, floor, isfinite, log10

import numpy as np

from buildecon.decision.compare import price_of_joy
from buildecon.decision.ways import SELL
from buildecon.story.doubt_words import chance_words
from buildecon.story.half_way_words import lead_of
from buildecon.story.tables import break_even_frames
from buildecon.story.telling.drawn.bars import Bar, bars_picture, rows_that_fit
from buildecon.story.telling.drawn.curves import Curve, curves_picture, curves_that_fit
from buildecon.story.telling.drawn.pictures import chance_picture
from buildecon.story.telling.drawn.scenes import Scene, barred, short, words_of
from buildecon.story.words import amount, years_text

JOY_YEARS = (1, 2, 3, 5, 6, 8, 10, 15, 20)
MOST_OPTIONS, MOST_WAYS = 6, 7
LEVELS = {"good": "good: what must be", "better": "better: best for the money", "best": "best: all that pays for itself"}


def choice_scenes(told):
    """Keeping it, build or buy, the chance, what to cut, the ways on.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    tuple of Scene
        In the order of telling; what a project does not have is left out. [-]
    """
    made = (scene(told) for scene in (_kept, _from_today, _joy, _chance, _cheaper, _ways))
    return tuple(scene for scene in made if scene)


def _kept(told):
    whole, currency = told.whole, told.currency
    drawn, years = break_even_frames(whole), whole.what_if.years_kept
    month, horizon = whole.month(years), float(whole.years[-1])
    curves = []
    for k in _in_order(whole, month):
        name, cost = whole.options[k].name, float(whole.per_month[k, month])
        ready = whole.ready(k)
        points = _inside(whole.years[ready:], whole.per_month[k, ready:], drawn["bottom"], drawn["top"])
        role = "build" if k == whole.build else "passes" if whole.passes[k] else "fails"
        if points:
            curves.append(Curve(name, f"{amount(cost, currency)}{'' if whole.passes[k] else ', fails'}", points, role, cost))
    cost = float(whole.per_month[whole.build, month])
    if not (curves and isfinite(cost)):
        return None
    title = f"Kept {years_text(years)}, it costs me {amount(cost, currency)} a month with all the money in"
    note = f"A month, by years kept, today's money; figures at {years_text(years)}."
    note += " Dotted: fails a must-have." if any(curve.role == "fails" for curve in curves) else ""
    frame = horizon, drawn["bottom"], drawn["top"]
    return Scene("kept", title, note, tuple(f"{curve.name}: {curve.shown}" for curve in curves), lambda space: curves_picture(space, _few(curves, curves_that_fit(space)), frame, _ticks(*frame[1:], currency), years))


def _in_order(view, month):
    """The build, then what passes, the cheapest first, then what fails."""
    others = [k for k in range(len(view.options)) if k != view.build]
    return [view.build, *sorted(others, key=lambda k: (not view.passes[k], view.per_month[k, month]))][:MOST_OPTIONS]


def _inside(years, costs, bottom, top):
    """The curve from its first month in the frame to its last there, begun and ended on the frame's edge."""
    at = np.flatnonzero(np.isfinite(costs) & (costs >= bottom) & (costs <= top) & (years > 0))
    if not at.size:
        return ()
    first, last = at[0], at[-1]
    points = list(zip(years[first : last + 1].tolist(), np.clip(costs[first : last + 1], bottom, top).tolist(), strict=True))
    for inner, outer, place in ((first, first - 1, 0), (last, last + 1, len(points) + 1)):
        if 0 < outer < len(years) and np.isfinite(costs[outer]):
            edge = top if costs[outer] > top else bottom
            share = (edge - costs[inner]) / (costs[outer] - costs[inner])
            points.insert(place, (float(years[inner] + share * (years[outer] - years[inner])), float(edge)))
    return tuple(points)


def _few(drawn, most):
    """The first ones; where there are any that fail, the cheapest of them is among these."""
    first, failing = drawn[:most], [one for one in drawn if one.shown.endswith("fails")]
    return first if not failing or failing[0] in first or most < 2 else [*first[:-1], failing[0]]


def _ticks(bottom, top, currency):
    """Three or four round rules across, zero among them."""
    rough = (top - bottom) / 4 or 1.0
    power = 10.0 ** floor(log10(rough))
    step = next(times * power for times in (1, 2, 2.5, 5, 10) if times * power >= rough)
    return [(k * step, amount(k * step, currency)) for k in range(ceil(bottom / step - 1e-9), floor(top / step + 1e-9) + 1)]


def _from_today(told):
    today, currency = told.today, told.currency
    years = today.what_if.years_kept
    month = today.month(years)
    bars = []
    for k in _in_order(today, month):
        cost = float(today.per_month[k, month])
        if isfinite(cost):
            fails = "" if today.passes[k] else ", fails"
            bars.append(Bar(today.options[k].name, f"{amount(cost, currency)}{fails}", cost, role="build" if k == today.build else "stone" if fails else "steel", hollow=bool(fails), focus=k == today.build))
    if not bars or told.project.file.build.stage == "planned":
        return None
    rival, own = today.cheapest_rival(years), float(today.per_month[today.build, month])
    if len(bars) == 1:
        bars = [Bar("with all the money in", amount(float(told.whole.per_month[told.whole.build, month]), currency), float(told.whole.per_month[told.whole.build, month])), replace(bars[0], name="from today")]
    title = f"From today, it costs {amount(own, currency)} a month to keep for {years_text(years)}"
    if rival is not None:
        joy = own - float(today.per_month[rival, month])
        name = short(today.options[rival].name, 1200)
        title = f"From today, keeping mine costs {amount(own, currency)} a month: " + (f"{amount(abs(joy), currency)} {'more' if joy > 0 else 'less'} than '{name}'" if round(joy) else f"the same as '{name}'")
    note = "A month. What is spent is spent; its price today counts." + (" Outlined: fails a must-have." if any(bar.hollow for bar in bars) else "")
    return Scene("from_today", title, note, words_of(bars), lambda space: bars_picture(space, _few(bars, rows_that_fit(space))))


def _joy(told):
    whole, currency = told.whole, told.currency
    years, horizon = whole.what_if.years_kept, told.project.file.use.horizon_years
    joy = price_of_joy(whole)
    here = joy[whole.month(years)]
    if not np.isfinite(here):
        return None
    able = [year for year in sorted({*JOY_YEARS, years}) if year <= horizon]

    def bars_of(most):
        chosen = [year for year in able if year == years] + [year for year in (10, 3, 20, 1, 15, 5, 8, 2, 6) if year in able and year != years]
        shown = sorted(chosen[:most])
        return [Bar(f"kept {years_text(year)}", _more(joy[whole.month(year)], currency), float(joy[whole.month(year)]), role="build" if year == years else "steel", hollow=joy[whole.month(year)] < 0, focus=year == years) for year in shown]

    rival = short(whole.options[whole.cheapest_rival(years)].name, 1200)
    title = f"The price of joy: {amount(here, currency)} a month more than '{rival}'" if here >= 0.5 else f"No price of joy: it is {amount(abs(here), currency)} a month cheaper than '{rival}'" if here <= -0.5 else f"The price of joy: nothing, '{rival}' costs the same"
    return Scene("joy", title, "A month more than the cheapest car that does the same job.", words_of(bars_of(5)), lambda space: bars_picture(space, bars_of(min(6, rows_that_fit(space)))))


def _more(value, currency):
    return f"{amount(abs(value), currency)} {'more' if value >= 0 else 'less'}"


def _chance(told):
    planned = told.project.file.build.stage == "planned"
    sides = [(side, of) for side, of in ((told.verdict.whole, "that building is the cheaper, all money in"), (told.verdict.today, "that keeping it is the cheaper, from today"))[: 1 if planned else 2] if side.chance is not None]
    if not sides:
        return None
    chances = [(side.chance[0], chance_words(side.chance[0]), of) for side, of in sides]
    head = "The chance that my build was the cheaper way" if not planned else "The chance that building is the cheaper way"
    title = f"{head}: {chances[0][1]}"
    note = f"Of a hundred ways it could go, kept {years_text(sides[0][0].years)}; filled where the build wins."
    return Scene("chance", title, note, tuple(f"{of}: {words}" for _, words, of in chances), lambda space: chance_picture(space, chances))


def _cheaper(told):
    cut, currency = told.cut, told.currency
    if cut is None or cut.menu.offered:
        return None
    levels = [level for level in cut.levels if level.choice.status == "best"]
    if not levels or max(level.choice.cost for level in levels) < 0.5:
        return None
    again = cut.menu.view == "to do it again"
    bars = [Bar(LEVELS[level.name], amount(level.choice.cost, currency), float(level.choice.cost), role="build" if level is levels[0] else "steel", focus=level is levels[0]) for level in levels if level.name != "better" or level.choice.cost != levels[-1].choice.cost]
    good, best = levels[0].choice.cost, levels[-1].choice.cost
    what = "Doing it again" if again else "What is left"
    title = f"{what} can cost {amount(good, currency)} or {amount(best, currency)}" if round(good) != round(best) else f"{what} costs {amount(best, currency)}, and nothing of it can be cut"
    without = [short(work.what, 900) for work in levels[0].without][:2]
    note = f"The cheapest does without {', '.join(without)}{' and more' if len(levels[0].without) > 2 else ''}." if without else ("At what a reader would pay." if again else "Own hours not counted.")
    return Scene("cheaper", title, note, words_of(bars), barred(bars, 3))


def _ways(told):
    ahead, currency = told.ahead, told.currency
    if ahead is None or told.project.file.build.stage == "planned":
        return None
    sell, best = ahead.way(SELL), ahead.best
    bars = [Bar(lead_of(ahead, way), amount(float(way.net), currency), float(way.net), role="build" if way is best else "steel", hollow=way is sell, focus=way is best) for way in ahead.ranked]
    come = amount(told.totals.expected_to_finish, currency)
    lead = lead_of(ahead, best)
    title = f"{short(lead, 1300)}: {amount(best.net, currency)} in hand" + (f", against {amount(sell.net, currency)} for selling today" if best is not sell else "")
    if ahead.too_close and ahead.beside is not None:
        title = f"Too close to call: {amount(best.net, currency)} or {amount(ahead.beside.net, currency)} in hand, whichever way I go"
    note = f"In hand from today if I let it go; {come} is still to come to finish it."
    return Scene("ways", title, note, words_of(bars[:MOST_WAYS]), lambda space: bars_picture(space, _kept_rows(bars, min(MOST_WAYS, rows_that_fit(space)))))


def _kept_rows(bars, most):
    """The best ways, and selling as it stands whatever its place."""
    first = bars[:most]
    sell = next(bar for bar in bars if bar.hollow)
    return first if sell in first else [*first[:-1], sell]
