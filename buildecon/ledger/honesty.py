"""Ways in which a total can mislead that the ledger itself can see, each with its figure and its cure."""

from dataclasses import dataclass
from decimal import Decimal

from buildecon.ledger.repricing import stale

MANY_LINES = 30  # a build with this many lines and no waste at all is rare: common practice, no source
STALE_YEARS = 2
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
    for check in (_base_car, _missing_natures, _given, _no_waste, _counted_on, _finance, _selling, _revised, _old_money, _no_paper, _words):
        found += check(project, totals)
    return tuple(found)


def _base_car(project, totals):
    build = project.file.build
    base = sum((one.cost for one in totals.settled if one.line.nature == "base car"), Decimal(0))
    if build.base_car == "owned" and base and base == build.base_paid_then.likely:
        yield Trap("the base car at its old price", f"{base:,.0f}, what was paid for it then", "Count a car you already owned at what it would fetch today.")
    if not base:
        yield Trap("the base car at nothing", "0", "Count what was paid for it, or what it would fetch as it was.")


def _missing_natures(project, totals):
    there = {one.line.nature for one in totals.settled if one.cost > 0}
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


def _counted_on(project, totals):
    waiting = {one.line.id: one for one in totals.owed if one.line.nature == "credit"}
    for option in project.options:
        for id in option.counts_on:
            if id in waiting:
                yield Trap("money not yet received", f"{option.name} counts on {waiting[id].owed:,.0f} for {waiting[id].line.item}", "Show the build without it as well.")


def _finance(project, totals):
    borrowed = any(option.kind == "build" and option.loan for option in project.options)
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
        yield Trap("money without paper", f"{amount:,.0f} on {len(loose)} lines", "Say so beside the total; its range shows how much it may matter.")


def _words(project, totals):
    texts = [project.file.build.summary, project.file.build.quoted_because, *(line.note for line in project.lines)]
    for word in FLATTERING:
        if any(word in text.lower() for text in texts):
            yield Trap("a loss called an investment", f"the word '{word}'", "Call it what it is: money spent.")
