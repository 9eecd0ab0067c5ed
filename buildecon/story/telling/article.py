"""The article: what a reader asks, in the order in which readers ask it."""

from buildecon.project.rows import WASTE_CAUSES
from buildecon.story import cost_tables, tables, trim_tables
from buildecon.story.doubt_words import chance_sentence, finding_out_sentence
from buildecon.story.energy_words import measured_sentence
from buildecon.story.how_long_words import life_sentence
from buildecon.story.standing_words import dip_sentence
from buildecon.story.telling.blocks import Heading, Live, Picture, Points, Says, Sheet, clean
from buildecon.story.telling.parts_list import named_suppliers, parts_rows
from buildecon.story.telling.public_words import RUNGS, public
from buildecon.story.verdict_words import verdict_sentence
from buildecon.story.words import amount, answer, assumptions, cautions, gate_cost_sentence, joy_sentence, number
from buildecon.story.worth_words import evidence_sentence, worth_sentence

DAY = "%d %B %Y"


def article(told, figures, prose, given, traps=(), corrections=()):
    """All blocks of the article.

    Parameters
    ----------
    told : Told
        A project's models. [-]
    figures : dict of str to Figure
        By name. [-]
    prose : Prose
        The owner's words. [-]
    given : Given
        What is disclosed: sentences, and marks by line. [-]
    traps : sequence of Trap, optional
        How the figures could mislead. [-]
    corrections : sequence of dict, optional
        Of what was published before, as rows of text. [-]

    Returns
    -------
    tuple
        Blocks in order. [-]
    """
    parts = (
        _head(told, figures, given), prose.opening, _total(told, figures), _systems(told), _time(told), _surprise(told, figures), _given(told, figures, given), _value(told), _running(told, figures), _choice(told, figures), (Live(),),
        _cheaper(told), _skips(told), _waste(told), prose.sections, _list(told, given), _method(told, traps), _cautions(told), _corrections(corrections),
    )  # fmt: skip
    return tuple(block for part in parts for block in part if not _is_empty(block))


def _head(told, figures, given):
    build = told.project.file.build
    yield Heading(clean(build.name, 120), 1)
    yield Says(given.sentences, "disclosure")
    yield Says((f"{_upper(RUNGS[told.quoted.id])}: {figures['quoted'].text}, {build.as_of:{DAY}}.", public(verdict_sentence(told.verdict))), "lead")
    yield Says((clean(build.summary, 2000),))
    yield Picture("total")


def _total(told, figures):
    build = told.project.file.build
    yield Heading("What it cost, and what is in that number")
    yield Says((f"The figure quoted is {RUNGS[told.quoted.id]}: {figures['quoted'].text}. {clean(build.quoted_because, 600)} {_includes(told)}",))
    yield Picture("ladder")
    rows = cost_tables.ladder_table(told.totals, told.currency, told.quoted.id)
    yield Sheet(f"The ladder of totals, {told.currency}, {build.as_of:{DAY}}", tuple({name: public(text) for name, text in row.items()} for row in rows))


def _includes(told):
    """The questions every reader asks of a total."""
    build, order = told.project.file.build, [rung.id for rung in told.totals.rungs]
    at = order.index(told.quoted.id)
    car, tools = at >= order.index("stands_in_at"), at >= order.index("with_tools")
    wage = told.project.file.own_hours.convention
    worth_it = told.totals["stands_in_at"] > told.totals["project_cash_net"]
    known = " (at nothing)" if car and not worth_it else " (at what it would have fetched then)" if car and build.base_car == "owned" else ""
    said = [f"The car is {'in it' if car else 'not in it'}{known}", f"the tools are {'in it' if tools else 'not'}"]
    if hours := told.project.hours_spent.likely:
        counted = "not in it" if at != order.index("with_own_hours") else "in it at nothing" if wage == "hobby" else "in it"
        said.append(f"{number(hours)} own hour{' is' if hours == 1 else 's are'} {counted}")
    return f"{', '.join(said)}."


def _systems(told):
    yield Heading("By system")
    yield Picture("systems")
    yield Sheet(f"Cost by system, {told.currency}", tuple(_named(cost_tables.systems_table(told.totals.systems), "system")))


def _time(told):
    months = sorted(month for month in told.totals.months if month != "undated")
    hours = told.project.hours_spent.likely
    if not months and not hours:
        return
    span = _months_between(months[0], months[-1]) if months else 0
    yield Heading("How long it took")
    said = [f"{number(hours)} {'hour' if hours == 1 else 'hours'} of my own" if hours else "", f"{span} {'month' if span == 1 else 'months'} from the first money to the last" if months else ""]
    yield Says((f"{_upper(', '.join(filter(None, said)))}.",))
    yield Picture("hours")
    yield Sheet("Hours by system", tuple(cost_tables.hours_table(told.project)))


def _months_between(first, last):
    (year, month), (end_year, end_month) = (map(int, text.split("-")[:2]) for text in (first, last))
    return 12 * (end_year - year) + end_month - month + 1


def _surprise(told, figures):
    fall, under_way = told.fall, told.project.file.build.stage == "in progress"
    dearer = [step for step in fall.steps if step.amount > 0]
    if not dearer:
        return
    items = {one.line.id: clean(one.line.item, 120) for one in told.totals.settled}
    yield Heading("The biggest surprise")
    over, came = fall.actual - fall.planned, "it came to" if told.project.file.build.stage == "finished" else "so far it came to"
    how = f"{amount(abs(over), told.currency)} {'above' if over > 0 else 'below'}" if over else "just that"
    lead = "The largest cause is" if over > 0 else "What made it dearer most is"  # below the plan it is no cause of the difference
    yield Says((f"The plan{' for what is begun' if under_way else ''} was {figures['planned'].text}; {came} {amount(fall.actual, told.currency)}, {how}. {lead} '{dearer[0].cause}', {amount(dearer[0].amount, told.currency)}: {', '.join(items[id] for id in dearer[0].lines[:3])}.",))
    yield Picture("plan")
    yield Sheet(f"From plan to cost, by cause, {told.currency}", tuple(_named(cost_tables.causes_table(told.compared), "cause")))


def _given(told, figures, given):
    if not given.sentences:
        return
    yield Heading("What was given or made cheap")
    yield Says((f"Paid: {figures['stands_in_at'].text}. A reader would pay {figures['at_street_price'].text}, {figures['given'].text} more, at street price.",))
    yield Picture("given")
    yield Sheet(f"Given or made cheap, {told.currency}", tuple(_named_only(cost_tables.given_table(told.totals.settled), named_suppliers(told.project))))


def _value(told):
    yield Heading("What it is worth")
    one = told.stand.stands_in
    gap = "" if one.recovered is None else f"A sale would bring back {one.recovered:.0%} of what it stands in at."
    yield Says(tuple(public(text) for text in (worth_sentence(told.stand), evidence_sentence(told.stand), gap, dip_sentence(told.stand)) if text))
    yield Picture("worth")


def _choice(told, figures):
    yield Heading("Why not just buy one?")
    today = () if told.project.file.build.stage == "planned" else (answer(told.today, told.totals),)  # nothing is spent that could be left out
    yield Says((answer(told.whole, told.totals), *today, *map(public, (chance_sentence(told.verdict.whole), finding_out_sentence(told.verdict.forward.doubts, told.currency)))))
    yield Picture("kept", still=True)
    yield Picture("from_today")
    yield Sheet(f"Every option, all money in: {told.currency} put in, then {told.currency} a month by years kept", tuple(tables.options_table(told.whole)), still=True)
    yield Says((joy_sentence(told.whole), public(life_sentence(told.life))))
    yield Points(tuple(gate_cost_sentence(told.whole)))
    yield Picture("joy")
    yield Picture("chance")
    yield Picture("ways")


def _running(told, figures):
    yield Heading("What it costs to run and keep")
    said = [f"Kept {figures['years_kept'].text}, all money in: {_cost(figures, '')}."]
    said += [f"From today, the money spent left out: {_cost(figures, '_from_today')}."] if told.project.file.build.stage != "planned" else []
    yield Says((" ".join(said),))
    yield Says(tuple(public(measured_sentence(log, told.project)) for log in told.logs))


def _cost(figures, side):
    """Cost a month and, where it is driven at all, by distance."""
    far = figures[f"per_distance{side}"]
    return f"{figures[f'a_month{side}'].text}" + (f", or {far.text}" if far.value is not None else "")


def _cheaper(told):
    if told.cut is None or told.cut.menu.offered:
        return
    yield Heading("What would a cheaper one be?")
    yield Sheet(f"Good, better, best: {told.cut.menu.view}, {told.currency}", tuple(_named(trim_tables.levels_table(told.cut), "version")))
    if told.cut.menu.kept:
        yield Says(("Worth is here to who keeps the car, with what a job adds to a sale; who sells it counts only that, and may leave a job that is done here.",), "quiet")
    yield Picture("cheaper")


def _skips(told):
    rows = trim_tables.skip_table(told.cut) if told.cut else []
    if rows:
        yield Heading("What could be skipped")
        yield Sheet(f"What leaving out each job saves and loses, {told.currency}", tuple(rows))


def _waste(told):
    wasted = [one for one in told.totals.settled if one.line.cause in WASTE_CAUSES and one.cost and one.line.nature not in ("credit", "base car")]
    if wasted:
        yield Heading("Waste")
        yield Says((f"{amount(sum(one.cost for one in wasted), told.currency)} went into work done twice, wrong or defective parts and lost deposits.",))
        yield Sheet(f"Waste, {told.currency}", tuple({"what": clean(one.line.item), "why": one.line.cause, "cost": number(one.cost)} for one in sorted(wasted, key=lambda one: -one.cost)))


def _list(told, given):
    yield Heading("The parts list")
    yield Sheet("Everything bought, what was paid and what a reader pays for it", _said_once(parts_rows(told, given.marks)))


def _said_once(rows):
    """Rows with the system told at the first of its parts only."""
    before = ["", *(row["system"] for row in rows)]
    return tuple(row | {"system": "" if row["system"] == last else row["system"]} for row, last in zip(rows, before, strict=False))


def _method(told, traps):
    yield Heading("How these figures were made")
    yield Points(tuple(clean(public(text), 600) for text in assumptions(told.whole, notes=False)))
    if traps:
        yield Says(("What could mislead here, and is said so that it does not:",))
        yield Points(tuple(clean(_trap(trap), 600) for trap in traps))


def _trap(trap):
    said = f"{_upper(trap.name)}: {trap.figure}."
    return f"{said} {_upper(trap.overruled.rstrip('.'))}." if trap.overruled else said


def _cautions(told):
    yield Heading("Cautions")
    yield Points(tuple(map(public, cautions(told.project))), "caution")


def _corrections(rows):
    if rows:
        yield Heading("Corrections")
        yield Sheet("What was published before, and what is right", tuple({name: clean(public(text) if name == "figure" else text) for name, text in row.items()} for row in rows))


def _named_only(rows, named):
    """Rows without the sellers whom a reader's copy only numbers."""
    return [row | {"from": row["from"] if row["from"] in named else ""} for row in rows]


def _named(rows, name):
    """Rows whose first column has no name, with one."""
    return [{column or name: text for column, text in row.items()} for row in rows]


def _upper(text):
    return text[:1].upper() + text[1:]


def _is_empty(block):
    return isinstance(block, (Says, Points)) and not any(block.texts) or isinstance(block, Sheet) and not block.rows
