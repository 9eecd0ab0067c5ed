"""What a line would cost today: its own new price, else what a reader paid carried on by a price index, else as it was."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from buildecon.quantities.money import to_cents
from buildecon.quantities.price_index import PriceIndex, us_cpi

NEW_PRICE, BY_INDEX, AS_PAID = "new price", "by index", "as paid"
NEVER_INDEXED = ("base car", "credit", "finance")


@dataclass(frozen=True)
class Repriced:
    """One line at the price of today, and how it came there.

    Parameters
    ----------
    amount : Decimal
        Today's price. [money]
    how : {"new price", "by index", "as paid"}
        A new price wins over the index. [-]
    """

    amount: Decimal
    how: str


@dataclass(frozen=True)
class Stale:
    """Money whose price is older than a number of years.

    Parameters
    ----------
    lines : tuple of str
        Ids, the oldest first. [-]
    amount, share : Decimal
        Their cost, and its share of all dated cost. [money, -]
    oldest : date or None
        Date of the oldest price. [-]
    """

    lines: tuple
    amount: Decimal
    share: Decimal
    oldest: date | None


def index_of(project):
    """The price index a project has chosen.

    Parameters
    ----------
    project : Project
        Its `[repricing]` table, and its index.csv where that is chosen. [-]

    Returns
    -------
    PriceIndex or None
        None where prices are not carried on. [-]
    """
    chosen = project.file.repricing
    if chosen is None:
        return None
    if chosen.index == "index.csv":
        return PriceIndex(chosen.name or "index.csv", chosen.source, {row.period: float(row.level) for row in project.index})
    return us_cpi(chosen.series)


def repriced(settled, street, index, as_of):
    """One line at the price of a date.

    Parameters
    ----------
    settled : Settled
        The line. [money]
    street : Decimal
        What a reader would have paid for it. [money]
    index : PriceIndex or None
        How prices rose. [-]
    as_of : date
        The day to carry prices to; later than the index goes, its last period counts. [-]

    Returns
    -------
    Repriced
        The base car, interest and money back are never indexed. [money]
    """
    line = settled.line
    if line.price_today and settled.is_bought and line.nature != "credit":
        return Repriced(line.price_today.likely + settled.laid, NEW_PRICE)
    since = line.price_date if line.funding != "own" and line.price_date else line.date or settled.first_day
    if index is None or since is None or line.nature in NEVER_INDEXED or street < 0:
        return Repriced(street, AS_PAID)
    factor = index.rise(since, as_of)
    return Repriced(street, AS_PAID) if factor is None else Repriced(to_cents(street * Decimal(str(factor))), BY_INDEX)


def street_price(settled):
    """What a reader would pay for a line: the street price of what was given or discounted, else what was paid.

    Parameters
    ----------
    settled : Settled
        The line. [money]

    Returns
    -------
    Decimal
        On the day it was bought, with what other lines laid on it. [money]
    """
    return settled.cost if settled.line.funding == "own" or not settled.is_bought else settled.line.street_price.likely + settled.laid


def repriced_at(settled, rise, as_of):
    """All lines at the price of a date, had prices risen by the same share every year.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]
    rise : float
        Of prices. [1/year]
    as_of : date
        The day to carry prices to. [-]

    Returns
    -------
    Decimal
        A new price wins; what has no date stays. [money]
    """
    total = Decimal(0)
    for one in settled:
        price, since = street_price(one), one.line.date or one.first_day
        if one.line.price_today and one.is_bought and one.line.nature != "credit":
            price = one.line.price_today.likely + one.laid
        elif since and price > 0 and one.line.nature not in NEVER_INDEXED:
            price = to_cents(price * Decimal(str((1 + rise) ** ((as_of - since).days / 365.25))))
        total += price
    return total


def stale(settled, as_of, years):
    """Which prices are old.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]
    as_of : date
        The day the figures hold on. [-]
    years : float
        From which age a price is stale. [year]

    Returns
    -------
    Stale
        A line with a price of today is never stale. [money]
    """
    dated = [(one.line.date or one.first_day, one) for one in settled if one.cost > 0 and one.line.nature not in NEVER_INDEXED]
    dated = [(day, one) for day, one in dated if day]
    old = sorted((pair for pair in dated if (as_of - pair[0]).days > 365.25 * years and not pair[1].line.price_today), key=lambda pair: pair[0])
    amount, whole = sum((one.cost for _, one in old), Decimal(0)), sum((one.cost for _, one in dated), Decimal(0))
    return Stale(tuple(one.line.id for _, one in old), amount, amount / whole if whole else Decimal(0), old[0][0] if old else None)
