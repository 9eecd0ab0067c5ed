"""What each line has cost in the end, once payments, refunds and deposits are settled against it."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from buildecon.ledger.laying import counted, counts, laid
from buildecon.ledger.loans import interest_by_month, interest_id
from buildecon.project.rows import Line
from buildecon.quantities.estimate import Estimate
from buildecon.quantities.money import converted, split, to_cents

# How an event changes the cost of its line. A deposit is owed back and costs nothing until it is lost.
COST_SIGN = {
    "payment": 1, "refund": -1, "sale": -1, "grant": -1, "deposit lost": 1, "core lost": 1,
    "deposit": 0, "deposit back": 0, "core deposit": 0, "core credit": 0, "store credit": -1, "credit spent": 1,
}  # fmt: skip
OWED_SIGN = {"deposit": 1, "core deposit": 1, "deposit back": -1, "core credit": -1, "deposit lost": -1, "core lost": -1}
NO_DATE = "undated"


@dataclass(frozen=True)
class Settled:
    """One line and what it has cost.

    Parameters
    ----------
    line : Line
        As the owner wrote it. [-]
    cost, low, high : Decimal
        What is left of the money that moved, and its range; below 0 for money that came back. [money]
    by_month : tuple of (str, Decimal)
        The same cost by the month in which it moved, `undated` where nobody knows. [money]
    owed : Decimal
        Still to come back to the owner: open deposits, and refunds, sales and grants with no date. [money]
    first_day : date or None
        The day money first moved. [-]
    paid_out : Decimal
        All payments before any refund. [money]
    unpaid : Decimal
        Bills that have come and are not paid: payments with no date. [money]
    is_bought : bool
        Whether any money has moved for the line itself, or was said to be 0. [-]
    laid, laid_plan : Decimal
        What other lines laid on it, below 0 for what it laid on others; and the same of the plan. [money]
    left_out : Decimal
        Of a tool, what its rule does not count to this build. [money]
    """

    line: Line
    cost: Decimal
    low: Decimal
    high: Decimal
    by_month: tuple
    owed: Decimal = Decimal(0)
    first_day: date | None = None
    paid_out: Decimal = Decimal(0)
    unpaid: Decimal = Decimal(0)
    is_bought: bool = True
    laid: Decimal = Decimal(0)
    laid_plan: Decimal = Decimal(0)
    left_out: Decimal = Decimal(0)

    @property
    def planned(self):
        """The baseline plan of the line, below 0 for money to come back; 0 where it was never planned. [money]"""
        planned = self.line.planned.likely if self.line.planned else Decimal(0)
        return (-planned if self.line.nature == "credit" else planned) + self.laid_plan


def settle(project):
    """Settle every line of a project.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    tuple of Settled
        One for each line, in the order of lines.csv, then one for the interest of each loan. [money]
    """
    moved = _events_by_line(project)
    settled = [_settled(line, moved.get(line.id, ())) for line in project.lines]
    interest = [_interest(loan, project.file.build.as_of) for loan in project.file.loans]
    return tuple(counted(one) for one in laid(settled)) + tuple(interest)


def _interest(loan, as_of):
    """The interest of a loan as a line of its own."""
    months = tuple(interest_by_month(loan, as_of).items())
    line = Line(id=interest_id(loan), system="Finance", item=f"interest of {loan.name}", nature="finance", date=loan.first_payment)
    cost = sum((amount for _, amount in months), Decimal(0))
    return Settled(line, cost, cost, cost, months, first_day=loan.first_payment)


def _events_by_line(project):
    """Events of each line as (event, low, likely, high) in home currency; a kit's price is split over its parts by share, else by list price."""
    kits, moved = defaultdict(list), defaultdict(list)
    for line in project.lines:
        if line.kit:
            kits[line.kit].append(line)
    for event in project.events:
        rate = event.rate.likely if event.rate else Decimal(1)
        amounts = [converted(part, rate) for part in (event.amount.low, event.amount.likely, event.amount.high)]
        if parts := kits.get(event.line):
            weights = [(line.share or line.list_price).likely for line in parts]
            for line, low, likely, high in zip(parts, *(split(amount, weights) for amount in amounts), strict=True):
                # The odd cents may fall on another part at each end of the range.
                moved[line.id].append((event, min(low, likely), likely, max(high, likely)))
        else:
            moved[event.line].append((event, *amounts))
    return moved


def _settled(line, moved):
    """One line; where no event speaks of it, what was written as paid."""
    if not moved:
        sign = -1 if line.nature == "credit" else 1
        low, cost, high = (sign * to_cents(part) for part in (line.paid.low, line.paid.likely, line.paid.high)) if line.paid else (Decimal(0),) * 3
        months = ((month_of(line.date), cost),) if cost else ()
        return Settled(line, cost, min(low, high), max(low, high), months, first_day=line.date, is_bought=line.paid is not None)
    months, ends, owed, unpaid = defaultdict(Decimal), [Decimal(0), Decimal(0)], Decimal(0), Decimal(0)
    for event, low, likely, high in moved:
        sign = COST_SIGN[event.kind]
        if event.date is None:
            owed += likely if sign < 0 else Decimal(0)
            unpaid += likely if event.kind == "payment" else Decimal(0)
            continue
        owed += OWED_SIGN.get(event.kind, 0) * likely
        if sign:
            months[month_of(event.date)] += sign * likely
            ends[0] += low if sign > 0 else -high
            ends[1] += high if sign > 0 else -low
    days = [event.date for event, *_ in moved if event.date]
    paid = sum((likely for event, _, likely, _ in moved if event.kind == "payment" and event.date), Decimal(0))
    return Settled(line, sum(months.values(), Decimal(0)), *ends, tuple(months.items()), owed, min(days, default=None), paid, unpaid, bool(months))


def to_come(settled, stage):
    """What is still to be spent on a line: as written, or its plan where it is not bought yet.

    Parameters
    ----------
    settled : Settled
        The line. [money]
    stage : {"planned", "in progress", "finished"}
        Of the build; once it is finished, what was only planned will not come. [-]

    Returns
    -------
    Estimate or None
        None where nothing is to come. [money]
    """
    line = settled.line
    if line.to_finish or line.nature in ("credit", "base car") or settled.is_bought or settled.unpaid or stage == "finished":
        return line.to_finish
    return Estimate(*counts(line, line.planned.low, line.planned.likely, line.planned.high)) if line.tool_rule and line.planned else line.planned


def month_of(day):
    """Month of a date, as text.

    Parameters
    ----------
    day : date or None
        Any day. [-]

    Returns
    -------
    str
        As `2026-03`; `undated` where there is none. [-]
    """
    return f"{day:%Y-%m}" if day else NO_DATE
