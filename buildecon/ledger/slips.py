"""Slips of the pen that leave a ledger readable and its figures wrong."""

from collections import Counter
from decimal import Decimal
from statistics import median

from buildecon.ledger.trap import Trap, in_money
from buildecon.quantities.units import PER_100_KM

PLACEHOLDER = "a build of placeholders"  # as the template has it
FEW_KM = 100  # a year; below it the thousands were probably lost: common practice, no source
USUAL = {"fuel": ((1, 40), "L/100 km"), "electricity": ((5, 100), "kWh/100 km")}  # of a car, per 100 km: common practice, no source
FAR = 100  # times the middle one of the other prices, or that part of it: common practice, no source
HIGH_RATE = Decimal("0.35")  # a year; above it a rate was probably written in per cent: common practice, no source


def _placeholders(project, totals):
    if project.file.build.name == PLACEHOLDER:
        yield Trap("placeholders", f"the build is still called {PLACEHOLDER!r}", "Nothing below is about your build until build.toml and lines.csv are.")


def _no_money(project, totals):
    moved = {event.line for event in project.events}
    bearing = {one.line.id for one in totals.settled if one.laid}
    bare = [line.id for line in project.lines if line.paid is None and line.to_finish is None and not moved & {line.id, line.kit} and line.id not in bearing]
    if bare:
        ids = ", ".join(bare[:8]) + (" ..." if len(bare) > 8 else "")
        yield Trap("lines_without_money", f"{len(bare)} of {len(project.lines)} count as 0: {ids}", "Fill paid, or to_finish for what is still to come.")


def _use(project, totals):
    use, build = project.file.use, project.file.build
    if use.drive_days_a_year.likely > 366:
        yield Trap("too_many_days", f"{use.drive_days_a_year.likely:,.0f}", "Write days a year.")
    if 0 < use.distance_a_year.likely < FEW_KM:
        yield Trap("hardly_any_distance", f"{use.distance_a_year.likely:,f} {build.distance_unit} a year", "Check the thousands.")
    if build.stage == "finished" and totals.to_finish[2]:
        yield Trap("finished_but_to_come", in_money(project, totals.to_finish[1]), "Write stage = 'in progress', or clear to_finish.")


def _loans(project, totals):
    for option in project.options:
        if option.loan and option.loan.amount.likely > option.price.likely * 2 and option.kind != "build":
            yield Trap("loan_above_price", f"{option.name}: {in_money(project, option.loan.amount.likely)}", "Check its digits.")
        if option.loan and option.loan.rate.likely > HIGH_RATE:
            yield Trap("loan_rate_high", f"{option.name}: {option.loan.rate.likely:.0%} a year", "Write 6.9 % as 0.069.")


def _copies(project, totals):
    """A copy that was paid back is a charge that came twice, and is settled."""
    back = Counter((event.line, event.amount.likely) for event in project.events if event.kind == "refund")
    same = Counter((event.line, event.date, event.kind, event.amount.likely, event.document) for event in project.events if event.date)
    for (line, day, kind, amount, _), count in same.items():
        if count > 1 + (back[line, amount] if kind == "payment" else 0):
            yield Trap("same_event_twice", f"{count} times {kind} {amount:,.2f} on {day} for line {line}", "Keep them if each was real; else drop the copies.")


def _consumption(project, totals):
    for option in project.options:
        for part in option.energy:
            kind, per_100_km = PER_100_KM[part.unit]
            (low, high), unit = USUAL[kind]
            for figure in filter(None, (part.amount, part.town, part.open_road)):
                used = float(per_100_km(float(figure.likely)))
                if not low <= used <= high:
                    meant = "" if part.unit == unit else f", which is {used:.3g} {unit}"
                    yield Trap("odd_consumption", f"{option.name}: {figure.likely:f} {part.unit} of {part.source}{meant}", f"Check its digits and its unit; a car uses {low} to {high} {unit}.")


def _prices(project, totals):
    priced = [option for option in project.options if option.price.likely > 0]
    for k, option in enumerate(priced):
        others = [other.price.likely for other in priced[:k] + priced[k + 1 :]]
        if others and not 1 <= option.price.likely * FAR / median(others) <= FAR**2:
            far = f"{option.name}: {in_money(project, option.price.likely)}, where {'the other is' if len(others) == 1 else 'the middle one of the others is'} {in_money(project, median(others))}"
            yield Trap("odd_price", far, "Check its digits and its currency.")
            if len(others) == 1:  # the other would say the same
                return


FIRST, CHECKS = (_placeholders, _no_money), (_use, _loans, _consumption, _prices, _copies)
