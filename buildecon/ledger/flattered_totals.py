"""Totals that look better than they are: what was left out of them, counted at a kind price, or set beside a kind plan."""

from decimal import Decimal
from statistics import median

from buildecon.ledger.cash import cash_by_month, reconciled
from buildecon.ledger.forecast import overrun_so_far
from buildecon.ledger.repricing import stale
from buildecon.ledger.settlement import to_come
from buildecon.ledger.trap import Trap, in_money
from buildecon.ledger.variance import waterfall
from buildecon.project.rows import WASTE_CAUSES

MANY_LINES = 30  # a build with this many lines and no waste at all is rare: common practice, no source
STALE_YEARS, STALE_SHARE = 2, Decimal("0.05")  # a twentieth of the money: common practice, no source
LOOSE_SHARE = Decimal("0.01")  # of what the car stands in at; less on memory or a guess goes unsaid: common practice, no source
RECEIPTS, HUNDREDS, WHOLE, CENTS = 20, 0.5, 0.9, 3  # so many receipts, half in hundreds, or nine in ten whole while three have cents: common practice, no source
UNEXPLAINED = Decimal("0.01")  # of the statements: common practice, no source
NOT_IN_YET = ("guess", "list", "estimate", "quote", "order")  # paper that says what should come, not what came
READERS_RUNGS = ("at_street_price", "at_list_price", "replacement_today")


def _base_car(project, totals):
    build = project.file.build
    base = sum((one.cost for one in totals.settled if one.line.nature == "base car"), Decimal(0))
    if build.base_car == "owned" and base and base == build.base_paid_then.likely:
        yield Trap("base_car_old_price", f"{in_money(project, base)}, what was paid for it then", "Count a car you already owned at what it would fetch today.")
    if not base:
        yield Trap("base_car_nothing", "0", "Count what was paid for it, or what it would fetch as it was.")


def _missing_natures(project, totals):
    stage = project.file.build.stage
    there = {one.line.nature for one in totals.settled if one.cost - one.laid + one.left_out > 0 or to_come(one, stage)}
    for id, nature, words in (("no_tools", "tool", "tools"), ("no_consumables", "consumable", "consumables"), ("no_freight_or_tax", "freight and tax", "freight and tax")):
        if nature not in there and len(totals.settled) >= MANY_LINES and not (id == "no_freight_or_tax" and any(line.tax_inside for line in project.lines)):
            yield Trap(id, f"0 of {len(totals.settled)} lines", f"Add them, or say that the figure leaves {words} out.")


def _given(project, totals):
    told = {one.supplier for one in project.file.disclosures if not one.lines}
    by_line = {id for one in project.file.disclosures for id in one.lines}
    suppliers = {one.line.supplier for one in totals.settled if one.line.funding in ("given", "discounted") and one.line.id not in by_line}
    extra = totals["at_street_price"] - totals["stands_in_at"]
    if extra > 0 and project.file.build.quoted_rung not in READERS_RUNGS:
        yield Trap("sponsored_total", f"a reader would pay {in_money(project, extra)} more", "Quote both totals, and disclose who gave what." if suppliers - told else "Quote both totals.")
    for supplier in sorted(suppliers - told):
        yield Trap("gift_undisclosed", supplier or "a line without a supplier", "Add a [[disclosures]] entry: who gave what, and for what.")


def _no_waste(project, totals):
    bought = [one for one in totals.settled if one.cost > 0]
    if totals["with_waste"] == totals["with_consumables"] and len(bought) >= MANY_LINES:
        yield Trap("no_waste", f"0 of {len(bought)} lines", "Tag rework, things bought twice, returns and lost cores by their cause.")


def _waste_as_parts(project, totals):
    lost = {event.line for event in project.events if event.kind in ("core lost", "deposit lost")}
    returned = {event.line for event in project.events if event.kind == "refund"}
    for one in totals.settled:
        id, is_waste = one.line.id, one.line.cause in WASTE_CAUSES
        if id in lost and not is_waste:
            yield Trap("lost_deposit_as_part", f"line {id}, {one.line.item}", "Give it a line of its own with the cause 'lost core'.")
        if id in returned and one.line.nature == "part" and one.cost > 0 and not is_waste and one.cost < one.paid_out / 2:
            yield Trap("return_as_part", f"{one.cost:,.2f} {project.currency} left of line {id}, {one.line.item}", "If it went back, write the cause 'wrong part'.")


def _not_in(project, totals):
    waiting = {one.line.id: one for one in totals.owed if one.line.nature == "credit"}
    for option in project.options:
        for id in option.counts_on:
            if id in waiting:
                yield Trap("money_not_received", f"{option.name} counts on {in_money(project, waiting[id].owed)} for {waiting[id].line.item}", "Show the build without it as well.")
    for one in totals.settled:
        if one.line.nature == "credit" and one.cost < 0 and (one.line.grade in NOT_IN_YET or one.line.state in ("planned", "ordered", "fitted")):
            paper = one.line.grade if one.line.grade in NOT_IN_YET else one.line.state
            yield Trap("credit_not_in", f"{in_money(project, -one.cost)} for {one.line.item} is taken off, by {paper!r}", "If it has not come, write it as a sale or a grant without a date in events.csv.")


def _selling(project, totals):
    if not project.file.value.selling_cost_share.likely:
        yield Trap("sale_costs_nothing", "selling_cost_share is 0", "Put in what adverts, fees and preparation take, or say why it is nothing.")


def _rounded(project, totals):
    kept = {line.id for line in project.lines if line.grade in ("receipt", "settled")}
    amounts = [line.paid.likely for line in project.lines if line.id in kept and line.paid and line.paid.likely > 0]
    amounts += [event.amount.likely for event in project.events if event.line in kept and event.kind == "payment" and event.currency in ("", project.currency)]
    if len(amounts) < RECEIPTS:
        return
    hundreds, whole = (sum(amount % step == 0 for amount in amounts) for step in (100, 1))
    cure = "Take the figures from the papers, to the cent."
    if hundreds >= HUNDREDS * len(amounts) and median(amounts) < 10_000:
        yield Trap("rounded_lines", f"{hundreds} of {len(amounts)} receipts end in 00", cure)
    elif whole >= WHOLE * len(amounts) and len(amounts) - whole >= CENTS:
        yield Trap("rounded_lines", f"{whole} of {len(amounts)} receipts are whole, {len(amounts) - whole} have cents", cure)


def _below_statements(project, totals):
    rows = reconciled(cash_by_month(project), project.statements)
    paid, unexplained = (sum((row[k] for row in rows), Decimal(0)) for k in (2, 3))
    if paid > 0 and unexplained > UNEXPLAINED * paid:
        yield Trap("below_statements", f"{in_money(project, unexplained)} of {in_money(project, paid)} that left by card and bank is on no line", "Find what it was for, or say that the total leaves it out.")


def _revised(project, totals):
    raised = [one for one in project.file.revisions if one.after.likely > one.before.likely]
    if raised:
        moved, fall = sum((one.after.likely - one.before.likely for one in project.file.revisions), Decimal(0)), waterfall(totals.settled)
        over = fall.actual + totals.to_finish[1] - fall.planned
        against = f"{in_money(project, abs(over))} {'over' if over > 0 else 'under'} the first plan, {in_money(project, abs(over - moved))} {'over' if over > moved else 'under'} the last"
        yield Trap("plan_revised", f"{len(project.file.revisions)} {'revision' if len(project.file.revisions) == 1 else 'revisions'}, {moved:+,.0f} in all; {against}", "Compare with the baseline, not with the revised plan.")


def _to_come(project, totals):
    """A forecast at plan is what survivors remember: neither earlier overruns nor the one so far are in it."""
    plan, overrun = project.file.plan, overrun_so_far(totals.settled)
    if project.file.build.stage == "finished" or not totals.to_finish[2]:
        return
    if not plan.scale_by_overrun and overrun > Decimal("1.02"):
        yield Trap("overrun_ignored", f"what is done cost {overrun:.2f} times its plan, what is to come is taken at 1", "Scale what is left, or show both.")
    ranged = totals.to_finish[2] > totals.to_finish[1]
    if not project.file.half_way.past_overruns and not plan.contingency.likely and overrun <= 1 and not ranged:
        yield Trap("no_allowance", f"{in_money(project, totals.to_finish[1])} as planned, no contingency, no range", "Write past_overruns of earlier builds, a contingency, or ranges: builds that were given up are in nobody's figures.")


def _old_money(project, totals):
    old = stale(totals.settled, project.file.build.as_of, STALE_YEARS)
    if old.share >= STALE_SHARE and project.file.repricing is None:
        yield Trap("old_money", f"{in_money(project, old.amount)} ({old.share:.0%}) is over {STALE_YEARS} years old", "Choose a price index under [repricing], or give price_today.")


def _no_paper(project, totals):
    loose = [one for one in totals.settled if one.line.grade in ("memory", "guess") and one.cost > 0]
    amount = sum((one.cost for one in loose), Decimal(0))
    if loose and amount >= LOOSE_SHARE * totals["stands_in_at"]:
        yield Trap("money_without_paper", f"{in_money(project, amount)} on {len(loose)} {'line' if len(loose) == 1 else 'lines'}", "Say so beside the total; its range shows how much it may matter.")


CHECKS = (_base_car, _missing_natures, _given, _no_waste, _waste_as_parts, _not_in, _selling, _rounded, _below_statements, _revised, _to_come, _old_money, _no_paper)
