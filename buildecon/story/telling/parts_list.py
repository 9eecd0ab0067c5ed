"""What was bought, as a reader may see it: no orders, papers, notes or sellers that nobody agreed to name."""

from buildecon.ledger.ladder import rung_of
from buildecon.ledger.repricing import street_price
from buildecon.ledger.settlement import to_come
from buildecon.project.rows import WASTE_CAUSES
from buildecon.story.telling.blocks import clean
from buildecon.story.words import number

PAPER = ("receipt", "settled")  # of the grades, those that show that it was paid
NOT_ON_IT = ("planned", "ordered", "received", "returned", "refunded", "failed", "sold")  # states of what is not on the car
BUYERS = ("part", "outside work", "consumable", "paper")  # natures that a buyer would have to do; storage or tools stay with the builder


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
        A row a line that has cost something or was given, waste marked with its cause; finished text. [money]
    """
    named, rows = named_suppliers(told.project), []
    for one in _bought(told):
        line = one.line
        day = line.price_date or line.date or _paid_on(one)
        rows.append({
            "system": clean(line.system), "part": clean(line.item), "part number": clean(line.part_number), "from": clean(line.supplier) if line.supplier in named else "",
            "price of": str(day or ""), f"paid, {told.currency}": number(one.cost, 2), "a reader pays": number(street_price(one), 2), "mark": clean("; ".join(filter(None, (line.cause if line.cause in WASTE_CAUSES else "", marks.get(line.id, ""))))),
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
        Parts and outside work, with part number and day, and the paper where there is one that shows it was paid. [-]
    """
    named = named_suppliers(told.project)
    return [
        {"system": clean(one.line.system), "part or work": clean(one.line.item), "part number": clean(one.line.part_number), "from or by": clean(one.line.supplier) if one.line.supplier in named else "", "on": str(one.line.date or _paid_on(one) or ""), "paper": one.line.grade if one.line.grade in PAPER else ""}
        for one in _bought(told) if rung_of(one.line) in ("parts_on_car", "with_outside_work") and one.line.state not in NOT_ON_IT
    ]  # fmt: skip


def not_done(told):
    """What is still to be bought or done on the car, without a price.

    Parameters
    ----------
    told : Told
        A project's models. [-]

    Returns
    -------
    tuple of str
        Names, in the order of lines.csv. [-]
    """
    return tuple(
        clean(one.line.item, 120)
        for one in told.totals.settled if one.line.nature in BUYERS and (to_come(one, told.totals.stage) or one.line.state in ("ordered", "received") and rung_of(one.line) != "with_waste")
    )  # fmt: skip


def _bought(told):
    return [one for one in told.totals.settled if (one.cost or one.is_bought) and one.line.nature != "credit"]


def _paid_on(one):
    months = [month for month, _ in one.by_month if month != "undated"]
    return months[0] if months else None
