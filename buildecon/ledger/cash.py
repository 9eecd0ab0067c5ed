"""When the money moved: cash by month, the most that was ever out, and how that meets the card and bank totals."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import accumulate

from buildecon.ledger.loans import interest_by_month
from buildecon.ledger.settlement import NO_DATE, month_of
from buildecon.quantities.money import converted

# What an event does to the owner's purse; a deposit leaves it although it is no cost yet.
CASH_SIGN = {
    "payment": -1, "deposit": -1, "core deposit": -1, "refund": 1, "deposit back": 1, "core credit": 1, "sale": 1, "grant": 1,
    "deposit lost": 0, "core lost": 0, "store credit": 0, "credit spent": 0,
}  # fmt: skip


@dataclass(frozen=True)
class CashMonth:
    """Money out and in during one month, and all that is out by its end. [money]"""

    month: str
    out: Decimal
    back: Decimal
    outstanding: Decimal


def cash_by_month(project):
    """Cash month by month; what has no date comes last and in no month's running total.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    tuple of CashMonth
        In order of time, months without a movement left out. [money]
    """
    out, back = defaultdict(Decimal), defaultdict(Decimal)
    for day, amount in _movements(project):
        (out if amount < 0 else back)[month_of(day)] += abs(amount)
    months, running = [], Decimal(0)
    for month in sorted({*out, *back}):  # `undated` sorts after every year
        running += out[month] - back[month]
        months.append(CashMonth(month, out[month], back[month], running))
    return tuple(months)


def cash_by_day(project):
    """All that is out by the end of each day on which money moved; what has no date is in none.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    list of (date, Decimal)
        In order of time. [money]
    """
    moved = defaultdict(Decimal)
    for day, amount in _movements(project):
        if day is not None:
            moved[day] -= amount
    return list(zip(sorted(moved), accumulate(moved[day] for day in sorted(moved)), strict=True))


def peak_funding(months):
    """The most money that was ever out at the end of a month.

    Parameters
    ----------
    months : sequence of CashMonth
        From `cash_by_month`. [money]

    Returns
    -------
    CashMonth or None
        The month it happened in; None where nothing has a date. [money]
    """
    dated = [month for month in months if month.month != NO_DATE]
    return max(dated, key=lambda month: month.outstanding, default=None)


def reconciled(months, statements):
    """Ledger against card and bank totals, month by month.

    Parameters
    ----------
    months : sequence of CashMonth
        From `cash_by_month`. [money]
    statements : sequence of Statement
        What the card and the bank say left for the build, by month. [money]

    Returns
    -------
    list of (str, Decimal, Decimal, Decimal)
        Month, ledger, statements, and the difference nobody has explained: above 0 where the ledger lacks something. [money]
    """
    ledger = {month.month: month.out - month.back for month in months}
    told = defaultdict(Decimal)
    for statement in statements:
        told[statement.month] += statement.total.likely
    return [(month, ledger.get(month, Decimal(0)), told[month], told[month] - ledger.get(month, Decimal(0))) for month in sorted(told)]


def _movements(project):
    """(day, amount) of all money that moved; an owned base car is worth something but was not paid now."""
    for event in project.events:
        if event.date and CASH_SIGN[event.kind]:
            rate = event.rate.likely if event.rate else Decimal(1)
            yield event.date, CASH_SIGN[event.kind] * converted(event.amount.likely, rate)
    for loan in project.file.loans:
        yield from ((last_day(month), -amount) for month, amount in interest_by_month(loan, project.file.build.as_of).items())
    for line in project.lines:
        if line.paid and line.paid.likely and not (line.nature == "base car" and project.file.build.base_car == "owned"):
            yield line.date, (1 if line.nature == "credit" else -1) * line.paid.likely


def last_day(month):
    """Last day of a month.

    Parameters
    ----------
    month : str
        As `2026-03`. [-]

    Returns
    -------
    date
        As 31 March 2026. [-]
    """
    year, number = map(int, month.split("-"))
    return date(year + number // 12, number % 12 + 1, 1) - timedelta(days=1)
