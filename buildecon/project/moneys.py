"""The sums of money that a ledger knows of, for a row of an export to be one of them."""

import datetime as dt
import re
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from buildecon.quantities.money import converted

OUT = frozenset({"payment", "deposit", "core deposit"})
UP = OUT | {"deposit lost", "core lost", "credit spent"}
BACK = frozenset({"refund", "sale", "grant", "deposit back", "core credit"})
SIGNED = re.compile(r"^(?P<in>\()?(?P<minus>[-\u2212+])?\s*(?P<sign>[€$£]|[A-Z]{3})?\s*(?P<minus2>[-\u2212])?(?P<number>.*?)\s*(?P<sign2>[€$£]|[A-Z]{3})?\s*(?P<after>[-\u2212])?(?P<out>\))?$", re.DOTALL)
SIGNS = {"€": ("EUR",), "£": ("GBP",), "$": ("USD", "CAD", "AUD", "NZD")}


@dataclass
class Money:
    """Money of the ledger that a row of an export may be: one line, one event, or one order of several lines.

    Parameters
    ----------
    what : str
        In words, as it is told. [-]
    sums : set of (str, Decimal)
        Currency and amount: at home, and in its own currency where that is another. [money]
    out : bool
        Whether it left the owner. [-]
    day : date or None
        When. [-]
    supplier, item, order : str
        Of its line. [-]
    claimed : int
        The row that answers for it; 0 for none. [-]
    line : str
        Id of its line. [-]
    rivals : tuple of Money
        An order and its lines: who claims one has claimed the other. [-]
    """

    what: str
    sums: set
    out: bool
    day: dt.date | None
    supplier: str
    item: str = ""
    order: str = ""
    claimed: int = 0
    line: str = ""
    rivals: tuple = ()


def moneys(project):
    """Every sum of the ledger.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    iterator of Money
        Events, lines without events, and orders of several lines. [money]
    """
    lines, home, orders = {line.id: line for line in project.lines}, project.currency, defaultdict(list)
    for event in project.events:
        if event.kind in OUT or event.kind in BACK:
            line = lines.get(event.line)
            item, supplier, order = (line.item, line.supplier, line.order) if line else (event.line, "", "")
            what = f"the {event.kind} of {event.line}, {item}" + (f", {event.date}" if event.date else "")
            sums = {(event.currency or home, event.amount.likely)} | ({(home, converted(event.amount.likely, event.rate.likely))} if event.rate else set())
            yield Money(what, sums, event.kind in OUT, event.date, supplier, item, order, line=event.line)
    for line in project.lines:
        if line.paid is not None and line.paid.likely:
            what = f"line {line.id}, {line.item}" + (f", {line.date}" if line.date else "")
            money = Money(what, {(home, line.paid.likely)}, line.nature != "credit", line.date, line.supplier, line.item, line.order, line=line.id)
            yield money
            if line.order and money.out:
                orders[line.supplier, line.order].append(money)
    for (supplier, order), parts in orders.items():
        if len(parts) > 1:
            total = sum((amount for part in parts for _, amount in part.sums), Decimal(0))
            whole = Money(f"order {order}, {len(parts)} lines", {(home, total)}, True, max((part.day for part in parts if part.day), default=None), supplier, order=order, rivals=tuple(parts))
            for part in parts:
                part.rivals = (whole,)
            yield whole


def alike(money, values):
    """Whether the texts speak for the same purchase.

    Parameters
    ----------
    money : Money
        Of the ledger. [money]
    values : dict of str to object
        What a row says: supplier, item, order. [-]

    Returns
    -------
    bool
        By order number, shop or article. [-]
    """
    if money.order and money.order == values.get("order"):
        return True
    said = f"{values.get('supplier', '')} {values.get('item', '')}".casefold()
    return bool(money.supplier and money.supplier.casefold()[:8] in said) or bool(money.item and money.item.casefold() in said)


def signed(text, read_amount):
    """An amount as exports write it, with its sign in any of five places.

    Parameters
    ----------
    text : str
        Of a cell. [-]
    read_amount : callable
        Reads what is left without sign and currency. [money]

    Returns
    -------
    negative : bool
        Whether it has a minus, or stands in brackets. [-]
    amount : Estimate
        Without its sign. [money]
    named : tuple of str
        ISO 4217 codes that a currency sign beside it can mean; empty without one. [-]

    Raises
    ------
    ValueError
        If it has two signs, is empty, or cannot be read.
    """
    found = SIGNED.match(text.strip())
    signs = [found[name] for name in ("minus", "minus2", "after", "in") if found[name] and found[name] != "+"]
    if len(signs) > 1 or bool(found["in"]) != bool(found["out"]):
        raise ValueError(f"must be a number with one sign, got {text!r}.")
    if not found["number"]:
        if text:
            read_amount(text)  # TBC has the look of a currency, and is no number
        raise ValueError("must be given, and is empty.")
    sign = found["sign"] or found["sign2"]
    return bool(signs), read_amount(found["number"].strip()), SIGNS.get(sign, (sign,)) if sign else ()
