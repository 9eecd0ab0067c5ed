"""Ways in which a total can mislead that the ledger itself can see, each with its figure and its cure."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from buildecon.ledger.repricing import stale
from buildecon.project.rows import WASTE_CAUSES

MANY_LINES = 30  # a build with this many lines and no waste at all is rare: common practice, no source
STALE_YEARS = 2
PLACEHOLDER = "a build of placeholders"  # as the template has it
FLATTERING = ("investment", "invested")


@dataclass(frozen=True)
class Trap:
    """One way the figures could mislead.

    Parameters
    ----------
    name : str
        In a few words. [-]
    figure : str
        What the ledger shows. [-]
    cure : str
        What to do, or to say. [-]
    """

    name: str
    figure: str
    cure: str


def traps(project, totals):
    """Everything about a ledger that a reader should not be left to find out.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    tuple of Trap
        In the order in which readers ask. [-]
    """
    found = []
    for check in (_placeholders, _no_money, _base_car, _missing_natures, _given, _no_waste, _waste_as_parts, _counted_on, _finance, _selling, _revised, _old_money, _no_paper, _slips, _words):
        found += check(project, totals)
    return tuple(found)


def _placeholders(project, totals):
    if project.file.build.name == PLACEHOLDER:
        yield Trap("placeholders", f"the build is still called {PLACEHOLDER!r}", "Nothing below is about your build until build.toml and lines.csv are.")


def _no_money(project, totals):
    moved = {event.line for event in project.events}
    bearing = {one.line.id for one in totals.settled if one.laid}
    bare = [line.id for line in project.lines if line.paid is None and line.to_finish is None and not moved & {line.id, line.kit} and line.id not in bearing]
    if bare:
        ids = ", ".join(bare[:8]) + (" ..." if len(bare) > 8 else "")
        yield Trap("lines without money", f"{len(bare)} of {len(project.lines)} count as 0: {ids}", "Fill paid, or to_finish for what is still to come.")


def _base_car(project, totals):
    build = project.file.build
    base = sum((one.cost for one in totals.settled if one.line.nature == "base car"), Decimal(0))
    if build.base_car == "owned" and base and base == build.base_paid_then.likely:
        yield Trap("the base car at its old price", f"{base:,.0f}, what was paid for it then", "Count a car you already owned at what it would fetch today.")
    if not base:
        yield Trap("the base car at nothing", "0", "Count what was paid for it, or what it would fetch as it was.")


def _missing_natures(project, totals):
    there = {one.line.nature for one in totals.settled if one.cost - one.laid + one.left_out > 0}
    for nature, words in (("tool", "tools"), ("consumable", "consumables"), ("freight and tax", "freight and tax")):
        if nature not in there and len(totals.settled) >= MANY_LINES:
            yield Trap(f"no {words} at all", f"0 of {len(totals.settled)} lines", f"Add them, or say that the figure leaves {words} out.")


def _given(project, totals):
    extra = totals["at_street_price"] - totals["stands_in_at"]
    if extra > 0 and project.file.build.quoted_rung not in ("at_street_price", "at_list_price", "replacement_today"):
        yield Trap("given or discounted parts in the quoted total", f"a reader would pay {extra:,.0f} more", "Quote both totals, and disclose who gave what.")
    suppliers = {one.line.supplier for one in totals.settled if one.line.funding in ("given", "discounted")}
    told = {one.supplier for one in project.file.disclosures}
    for supplier in sorted(suppliers - told):
        yield Trap("a gift without a disclosure", supplier or "a line without a supplier", "Add a [[disclosures]] entry: who gave what, and for what.")


def _no_waste(project, totals):
    if totals["with_waste"] == totals["with_consumables"] and len(totals.settled) >= MANY_LINES:
        yield Trap("no waste at all", f"0 of {len(totals.settled)} lines", "Tag rework, things bought twice, returns and lost cores by their cause.")


def _waste_as_parts(project, totals):
    lost = {event.line for event in project.events if event.kind in ("core lost", "deposit lost")}
    returned = {event.line for event in project.events if event.kind == "refund"}
    for one in totals.settled:
        id, is_waste = one.line.id, one.line.cause in WASTE_CAUSES
        if id in lost and not is_waste:
            yield Trap("a lost deposit on the part's own rung", f"line {id}, {one.line.item}", "Give it a line of its own with the cause 'lost core'.")
        if id in returned and one.line.nature == "part" and one.cost > 0 and not is_waste and one.cost < one.paid_out / 2:
            yield Trap("a return counted as a part", f"{one.cost:,.2f} left of line {id}, {one.line.item}", "If it went back, write the cause 'wrong part'.")


def _counted_on(project, totals):
    waiting = {one.line.id: one for one in totals.owed if one.line.nature == "credit"}
    for option in project.options:
        for id in option.counts_on:
            if id in waiting:
                yield Trap("money not yet received", f"{option.name} counts on {waiting[id].owed:,.0f} for {waiting[id].line.item}", "Show the build without it as well.")


def _finance(project, totals):
    borrowed = not project.file.loans and any(option.kind == "build" and option.loan for option in project.options)
    if borrowed and not any(one.line.nature == "finance" for one in totals.settled):
        yield Trap("a loan without its interest", "no line of nature 'finance'", "Add the interest paid so far; the principal is on no rung.")


def _selling(project, totals):
    if not project.file.value.selling_cost_share.likely:
        yield Trap("a sale that costs nothing", "selling_cost_share is 0", "Put in what adverts, fees and preparation take, or say why it is nothing.")


def _revised(project, totals):
    if project.file.revisions:
        moved = sum((one.after.likely - one.before.likely for one in project.file.revisions), Decimal(0))
        yield Trap("a plan that was revised", f"{len(project.file.revisions)} revisions, {moved:+,.0f} in all", "Compare with the baseline, not with the revised plan.")


def _old_money(project, totals):
    old = stale(totals.settled, project.file.build.as_of, STALE_YEARS)
    if old.amount and project.file.repricing is None:
        yield Trap("money of different years added up", f"{old.amount:,.0f} ({old.share:.0%}) is over {STALE_YEARS} years old", "Choose a price index under [repricing], or give price_today.")


def _no_paper(project, totals):
    loose = [one for one in totals.settled if one.line.grade in ("memory", "guess") and one.cost > 0]
    amount = sum((one.cost for one in loose), Decimal(0))
    if loose:
        yield Trap("money without paper", f"{amount:,.0f} on {len(loose)} {'line' if len(loose) == 1 else 'lines'}", "Say so beside the total; its range shows how much it may matter.")


def _slips(project, totals):
    use, build = project.file.use, project.file.build
    if use.drive_days_a_year.likely > 366:
        yield Trap("more drive days than a year has", f"{use.drive_days_a_year.likely:,.0f}", "Write days a year.")
    if 0 < use.distance_a_year.likely < 100:
        yield Trap("hardly any distance", f"{use.distance_a_year.likely:,f} {build.distance_unit} a year", "Check the thousands.")
    if build.stage == "finished" and totals.to_finish[2]:
        yield Trap("finished, with money still to come", f"{totals.to_finish[1]:,.0f}", "Write stage = 'in progress', or clear to_finish.")
    for option in project.options:
        if option.loan and option.loan.amount.likely > option.price.likely * 2 and option.kind != "build":
            yield Trap("a loan far above the price", f"{option.name}: {option.loan.amount.likely:,.0f}", "Check its digits.")
        if option.loan and option.loan.rate.likely > Decimal("0.35"):
            yield Trap("a very high loan rate", f"{option.name}: {option.loan.rate.likely:.0%} a year", "Write 6.9 % as 0.069.")
    same = Counter((event.line, event.date, event.kind, event.amount.likely, event.document) for event in project.events if event.date)
    for (line, day, kind, amount, _), count in same.items():
        if count > 1:
            yield Trap("the same event more than once", f"{count} times {kind} {amount:,.2f} on {day} for line {line}", "Keep them if each was real; else drop the copies.")


def _words(project, totals):
    texts = [project.file.build.summary, project.file.build.quoted_because, *(line.note for line in project.lines)]
    for word in FLATTERING:
        if any(word in text.lower() for text in texts):
            yield Trap("a loss called an investment", f"the word '{word}'", "Call it what it is: money spent.")
