"""What the frames of cost and hours say and show."""

from buildecon.ledger.hours import NOT_LOGGED, hours_by_system
from buildecon.ledger.repricing import street_price
from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.bars import Bar, bars_picture, folded, in_full, listed_picture, rows_that_fit
from buildecon.story.telling.drawn.pictures import facts_picture
from buildecon.story.telling.drawn.scenes import Scene, barred, short, words_of
from buildecon.story.telling.figures import figures
from buildecon.story.telling.parts_list import named_suppliers
from buildecon.story.telling.public_words import RUNGS
from buildecon.story.telling.told import is_unspent
from buildecon.story.words import amount, number

MOST_SYSTEMS, MOST_CAUSES = 8, 9  # rows, the rest or both totals among them


def cost_scenes(told):
    """What it has cost.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    tuple of Scene
        In the order of telling; what a project does not have is left out. [-]
    """
    found = figures(told)
    made = (scene(told, found) for scene in (_total, _ladder, _systems, _plan, _given))
    return tuple(scene for scene in made if scene)


def hours_scene(told):
    """Own hours by system.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    Scene or None
        None without a log. [-]
    """
    logged = [(clean(system), own) for system, own, _ in hours_by_system(told.project) if own > 0]
    if not logged:
        return None
    known = [row for row in logged if row[0] != NOT_LOGGED]
    total, (most, top) = sum(own for _, own in logged), known[0] if known else logged[0]
    bars = [Bar(system, f"{number(own)} hours", float(own), role="build" if system == most else "steel", hollow=system == NOT_LOGGED, focus=system == most) for system, own in logged]

    def rest(bars):
        hours = sum(bar.end for bar in bars)
        return Bar("all the rest", f"{number(hours)} hours", hours)

    title = f"{number(total)} hours of my own, {number(top)} of them on {short(most)}"
    return Scene("hours", title, _unpaid(told), words_of(folded(bars, MOST_SYSTEMS, rest)), barred(bars, MOST_SYSTEMS, rest), money=False)


def _unpaid(told):
    return {"hobby": "A hobby: they are not in the money.", "wage": "At a wage they are in a total of their own.", "shop": "At a shop's rate they are in a total of their own."}[told.project.file.own_hours.convention]


def _so_far(told):
    return {"finished": "in all", "in progress": "so far", "planned": "so far, still planned"}[told.project.file.build.stage]


def _total(told, found):
    quoted, currency, totals = told.quoted, told.currency, told.totals
    name, hours, left = short(told.project.file.build.name, 1400), found["own_hours"], totals.expected_to_finish
    wide = [("project_cash_net", "the build, less money back")] if quoted.id != "project_cash_net" else []
    wide += [("stands_in_at", "with the car it began with")] if quoted.id != "stands_in_at" else []
    facts = [(amount(totals[id], currency), words) for id, words in wide]
    facts += [(found["base_car"].text, "the car it began with")] if found["base_car"].value and quoted.id == "stands_in_at" else []
    unspent = is_unspent(told)
    facts += [(amount(left, currency), "still to come" if unspent else "still to come, not in it")] if left else []
    counted = "not in it" if quoted.id != "with_own_hours" else "in it at nothing" if told.project.file.own_hours.convention == "hobby" else "in it"
    facts += [(hours.text, f"of my own, {counted}")] if hours.value else []
    title = f"{amount(quoted.amount, currency)} {_so_far(told)}: {name}"
    if unspent and found["planned"].value:
        title = f"{amount(found['planned'].value, currency)} planned, nothing spent yet: {name}"
    if unspent:
        facts = [fact for fact in facts if not fact[0].startswith("0 ")]
    note = ("By the plan as it is written." if found["planned"].value else "Nothing is spent and nothing planned yet.") if unspent else f"This is {RUNGS[quoted.id]}." if quoted.id != "stands_in_at" else "What it stands me in at: all that was paid, less what came back, and the car itself."
    return Scene("total", title, note, tuple(f"{words}: {figure}" for figure, words in facts), lambda space: facts_picture(space, facts))


def _ladder(told, found):
    totals, currency, quoted = told.totals, told.currency, told.quoted.id
    wanted = ["parts_on_car", "with_outside_work", "project_cash", "project_cash_net", "stands_in_at"]
    wanted += [id for id in ("with_own_hours", "at_street_price") if totals[id] != totals["stands_in_at"]]
    wanted += [quoted] if quoted not in wanted else []
    wanted = [id for id in wanted if id != "project_cash_net" or totals[id] != totals["project_cash"] or quoted == id][:7]
    if len(wanted) > 6:
        wanted.remove("with_outside_work" if quoted != "with_outside_work" else "project_cash")
    rungs = [rung for rung in totals.rungs if rung.id in wanted]
    bars = [Bar(LADDER.get(rung.id, rung.label), amount(rung.amount, currency), float(rung.amount), role="build" if rung.id == quoted else "steel", focus=rung.id == quoted) for rung in rungs]
    if len({rung.amount for rung in rungs}) < 2:
        return None
    title = f"{amount(rungs[0].amount, currency)} is only the parts; {amount(told.quoted.amount, currency)} is what I quote"
    if rungs[0].amount > told.quoted.amount:
        title = f"{amount(told.quoted.amount, currency)} is what I quote: {amount(totals['project_cash'], currency)} was paid, and some of it came back"
    if quoted == "parts_on_car":
        title = f"I quote {amount(told.quoted.amount, currency)}; the car stands me in at {amount(totals['stands_in_at'], currency)}"
    return Scene("ladder", title, "The same build: what it cost depends on what is counted.", words_of(bars), barred(bars, 6), amount(told.quoted.amount, currency))


LADDER = {
    "parts_on_car": "parts on the car", "with_outside_work": "with shops and paint", "project_cash": "all that was paid", "project_cash_net": "less money back",
    "stands_in_at": "with the car itself", "with_own_hours": "with my own hours", "at_street_price": "what a reader would pay",
}  # fmt: skip


def _systems(told, found):
    groups = sorted((group for group in told.totals.systems if group.actual), key=lambda group: -group.actual)
    spent = sum(group.actual for group in groups)
    if len(groups) < 2 or spent <= 0:
        return None
    currency = told.currency
    bars = [Bar(group.name, amount(group.actual, currency), float(group.actual), role="build" if k == 0 else "steel", focus=k == 0) for k, group in enumerate(groups)]

    def rest(bars):
        return Bar("all the rest", amount(sum(bar.end for bar in bars), currency), sum(bar.end for bar in bars))

    title = f"{bars[0].shown} went into {short(groups[0].name, 800)}, the most of {len(groups)} systems"
    return Scene("systems", title, f"Paid {_so_far(told).split(',')[0]}, the car itself and money back included: {amount(spent, currency)}.", words_of(folded(bars, MOST_SYSTEMS, rest)), barred(bars, MOST_SYSTEMS, rest))


def _plan(told, found):
    fall, currency = told.fall, told.currency
    if not (fall.planned and fall.actual and fall.steps):
        return None
    at, steps = float(fall.planned), []
    for step in fall.steps:
        steps.append(Bar(step.cause, f"{step.amount:+,.0f} {currency}", at + float(step.amount), at, "build" if step.amount > 0 else "steel", step.amount < 0))
        at += float(step.amount)
    ends = Bar("the plan", amount(fall.planned, currency), float(fall.planned)), Bar("what it came to", amount(fall.actual, currency), float(fall.actual))

    def draw(space):
        # Where several causes share one row, every step is laid anew so that each begins where the one before ends.
        return bars_picture(space, (ends[0], *_stairs(steps, min(MOST_CAUSES, rows_that_fit(space)) - 2, ends[0].end, currency), ends[1]))

    over = fall.actual - fall.planned
    side = "over" if over > 0 else "under"
    title = f"{amount(abs(over), currency)} {side} the plan of {amount(fall.planned, currency)}" if over else f"On the plan of {amount(fall.planned, currency)} to the last coin"
    biggest = max(fall.steps, key=lambda step: step.amount)
    title += f"; the largest cause: {biggest.cause}" if over > 0 else ""
    note = f"{'So far, what is begun' if told.project.file.build.stage != 'finished' else 'In the end'}; money that came back is not taken off."
    return Scene("plan", title, note, words_of((ends[0], *_stairs(steps, MOST_CAUSES - 2, ends[0].end, currency), ends[1])), draw)


def _stairs(steps, most, start, currency):
    def rest(bars):
        total = sum(bar.end - bar.start for bar in bars)
        return Bar("other causes", f"{total:+,.0f} {currency}", total, 0.0, "build" if total > 0 else "steel", total < 0)

    at, laid = start, []
    for bar in folded(steps, max(most, 1), rest):
        height = bar.end - bar.start
        laid.append(Bar(bar.name, bar.shown, at + height, at, bar.role, bar.hollow))
        at += height
    return laid


def _given(told, found):
    currency, totals = told.currency, told.totals
    gifts = [one for one in totals.settled if one.line.funding != "own"]
    if not gifts and not told.project.file.disclosures:
        return None
    mine, yours = (amount(totals[id], currency) for id in ("stands_in_at", "at_street_price"))
    bars = [Bar("what I paid", mine, float(totals["stands_in_at"]), role="build", focus=True), Bar("what you would pay", yours, float(totals["at_street_price"]))]
    lines = promised(told) + [(f"{amount(one.cost, currency)} instead of {amount(street_price(one), currency)}", clean(one.line.item), clean(one.line.supplier) if one.line.supplier in named_suppliers(told.project) else "") for one in gifts]
    title = f"You would pay {yours}; I paid {mine}, with parts given or discounted" if mine != yours else f"Given or discounted parts are in it; you would pay {yours}, as I did"
    return Scene("given", title, "The same build at the price in the shop.", (*words_of(bars), *map(in_full, lines)), lambda space: listed_picture(space, bars, lines), mine)


def promised(told):
    """What was promised for what was given.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    list of str
        One a disclosure. [-]
    """
    return [f"{clean(one.supplier)} got in return: {_small(clean(one.in_return).rstrip('.'))}" for one in told.project.file.disclosures]


def _small(text):
    return text[:1].lower() + text[1:]
