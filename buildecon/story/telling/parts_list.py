"""What was bought, as a reader may see it: no orders, papers, notes or sellers that nobody agreed to name."""

from buildecon.ledger.ladder import rung_of
from buildecon.ledger.repricing import street_price
from buildecon.story.telling.blocks import clean
from buildecon.story.words import number

MARKS = {"given": "given", "discounted": "cheap", "swapped": "swapped"}


def named_suppliers(project):
    """Suppliers whose names a reader may see: those who gave something, and those the owner names.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    frozenset of str
        As lines.csv has them. [-]
    """
    return frozenset((*(one.supplier for one in project.file.disclosures), *project.file.publish.name_suppliers))


def parts_rows(told, marks):
    """The parts list for readers.

    Parameters
    ----------
    told : Told
        A project's models. [-]
    marks : dict of str to str
        What stands beside a line that somebody gave or made cheap, by its id. [-]

    Returns
    -------
    list of dict
        A row a line that has cost something or was given; finished text. [money]
    """
    named, rows = named_suppliers(told.project), []
    for one in _bought(told):
        line = one.line
        day = line.price_date or line.date or _paid_on(one)
        rows.append({
            "system": clean(line.system), "part": clean(line.item), "part number": clean(line.part_number), "from": clean(line.supplier) if line.supplier in named else "",
            "price of": str(day or ""), f"paid, {told.currency}": number(one.cost, 2), "a reader pays": number(street_price(one), 2), "mark": clean(marks.get(line.id, "")),
        })  # fmt: skip
    return rows


def fitted_rows(told):
    """What is on the car, without a price: for who buys it.

    Parameters
    ----------
    told : Told
        A project's models. [-]

    Returns
    -------
    list of dict
        Parts, outside work and what was bought for the car, with part number and day. [-]
    """
    named = named_suppliers(told.project)
    return [
        {"system": clean(one.line.system), "part or work": clean(one.line.item), "part number": clean(one.line.part_number), "from or by": clean(one.line.supplier) if one.line.supplier in named else "", "on": str(one.line.date or _paid_on(one) or ""), "paper": one.line.grade}
        for one in _bought(told) if rung_of(one.line) in ("parts_on_car", "with_outside_work", "with_consumables") and one.line.nature != "freight and tax"
    ]  # fmt: skip


def _bought(told):
    return [one for one in told.totals.settled if (one.cost or one.is_bought) and one.line.nature != "credit"]


def _paid_on(one):
    months = [month for month, _ in one.by_month if month != "undated"]
    return months[0] if months else None
