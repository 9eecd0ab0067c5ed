"""Market evidence made comparable: one row a car, at one date, in one currency, on one basis, each read for what it is."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date
from math import inf, log, log1p, sqrt

from buildecon.project.records import Project
from buildecon.project.rows import Evidence

# How far a figure stands from a price, as a share of it, and how sure that is, in logs. The first is what 929 houses asked above what they fetched
# (GrinnellHouses, package Stat2Data: in logs mean 0.070 to 0.102, sd 0.085 to 0.160), for want of such a set of cars; the others: common practice, no source.
MARGINS = {"asking": (0.08, 0.08), "dealer": (0.15, 0.08), "bid": (0.05, 0.05), "offer refused": (0.05, 0.07)}
BELOW_ASK, ABOVE_BID = 0.75, 1.25  # ends of a bracket as a share of the figure: common practice, no source
DRIFT = 0.03  # spread in logs that a figure gains with the root of its age in years: common practice, no source
GRADED = {"": 0.0, "seen": 0.0, "photos": 0.05, "seller": 0.10}  # spread in logs of a condition that nobody saw: common practice, no source
ASKS, BIDS = ("asking", "dealer"), ("bid", "offer refused")
ALIKE = tuple(name for name in Evidence.model_fields if name not in ("id", "row", "note", "days_listed", "currency"))  # rows alike in these are one
DAYS = 365.25
LONGEST = 100.0  # years over which a trend is followed


@dataclass(frozen=True)
class Read:
    """One row of market.csv as it counts.

    Parameters
    ----------
    row : Evidence
        As written. [-]
    figure : float
        Its price at home, on the basis, brought to the day the figures hold on. [money]
    reading : {"as price", "margin", "bracket", "one-sided", "left out"}
        How it is read. [-]
    because : str
        Why so, where a rule decided. [-]
    low, high : float
        The car's log price lies between them, before any extra spread. [-]
    spread : float
        Extra spread in logs. [-]
    weight : float
        Of the row. [-]
    """

    row: Evidence
    figure: float
    reading: str
    because: str = ""
    low: float = -inf
    high: float = inf
    spread: float = 0.0
    weight: float = 1.0

    @property
    def counts(self):
        """Whether it is in the sums."""
        return self.reading != "left out"

    @property
    def is_sale(self):
        """Whether somebody paid."""
        return self.row.kind in ("sold", "sold untold")


def margin_of(market, kind):
    """How far a kind of evidence stands from a price, as the owner has it or by default.

    Parameters
    ----------
    market : Market
        The owner's readings. [-]
    kind : {"asking", "dealer", "bid", "offer refused"}
        Of evidence. [-]

    Returns
    -------
    margin : float
        0.08 where what is asked is 1.08 times a price, or a price 1.08 times what was bid. [-]
    spread : float
        How sure that is, in logs. [-]
    """
    chosen = getattr(market.readings, kind.replace(" ", "_"))
    return tuple(default if own is None else float(own) for own, default in zip((chosen.margin, chosen.spread), MARGINS[kind], strict=True))


def readings(project: Project):
    """Every row of market.csv as it counts, or why it does not.

    Parameters
    ----------
    project : Project
        With its evidence and `[market]`. [-]

    Returns
    -------
    tuple of Read
        In the order of the file. [-]
    """
    market, as_of = project.file.market, project.file.build.as_of
    kept, partners, out = one_row_a_car(project.market, project.currency)
    found = {}
    for row in project.market:
        figure = _brought(row, market, as_of, float(row.price))
        if row.id in out:
            found[row.id] = Read(row, figure, "left out", out[row.id])
        elif row.state == "parts car":
            found[row.id] = Read(row, figure, "left out", "a parts car is worth its parts; it says nothing about a car that is one")
        else:
            found[row.id] = _read(row, figure, market, as_of, partners.get(row.id))
    return tuple(found.values())


def one_row_a_car(rows, home=""):
    """One row for each car: a sale stands for bids and asks, a later ask for an earlier one, a higher bid for a lower one.

    Parameters
    ----------
    rows : sequence of Evidence
        Of one file. [-]
    home : str, optional
        Home currency, which a row may name or leave out. [-]

    Returns
    -------
    kept : dict of str to Evidence
        By id. [-]
    partners : dict of str to Evidence
        By the id of a bid that is kept: the ask for the same car, read together with it. [-]
    out : dict of str to str
        Why the others are left out, by id. [-]
    """
    kept, partners, out, cars, seen = {}, {}, {}, defaultdict(list), {}
    for row in rows:
        alike = (row.currency or home, *(getattr(row, name) for name in ALIKE))
        if alike in seen:
            out[row.id] = f"the same as {seen[alike]} in every figure, so the same car counted twice"
            continue
        seen[alike] = row.id
        cars[row.car.casefold() or ("by itself", row.id)].append(row)
    for of_one in cars.values():
        row, partner, reasons = _one_car(sorted(of_one, key=lambda row: (row.date, row.kind == "sold")), home)
        kept[row.id] = row
        out |= reasons
        if partner is not None:
            partners[row.id] = partner
    return kept, partners, out


def _one_car(rows, home):
    """The row that stands for a car, the ask read together with a bid, and why the others do not stand. Rows are in order of their dates."""
    sales = [row for row in rows if row.kind in ("sold", "sold untold")]
    if sales:
        last = sales[-1]
        why = {True: f"{last.id} is a later sale of this car", False: f"this car was sold, see {last.id}"}
        return last, None, {row.id: why[row in sales] for row in rows if row is not last}
    asks, bids = [row for row in rows if row.kind in ASKS], [row for row in rows if row.kind in BIDS]
    ask, bid = asks[-1] if asks else None, max(bids, key=_at_home, default=None)
    out = {row.id: f"{ask.id} is the later ask for this car" for row in asks if row is not ask}
    out |= {row.id: f"{bid.id} is the higher bid on this car" for row in bids if row is not bid}
    if ask is None or bid is None:
        return ask or bid, None, out
    if _at_home(bid) <= _at_home(ask):
        return bid, ask, out | {ask.id: f"the same car as {bid.id}: read together as between the bid and the ask"}
    first, last = sorted((bid, ask), key=lambda row: row.date)
    told = [f"{row.kind} {row.price} {row.currency or home}".rstrip() + f" on {row.date}" for row in (first, last)]
    return last, None, out | {first.id: f"{told[0]} does not go with {told[1]} for the same car: the later is kept"}


def _at_home(row):
    return float(row.price) * (float(row.rate) if row.rate else 1.0)


def _read(row, figure, market, as_of, partner=None):
    """One car's row by its kind and the owner's choice."""
    aged = DRIFT * sqrt(max((as_of - row.date).days, 0) / DAYS)
    ends = [log(_brought(row, market, as_of, float(end))) for end in (row.price.low, row.price.high)]
    plain = Read(row, figure, "as price", "", *ends, aged)
    if row.kind == "sold":
        return plain
    if row.kind == "sold untold":
        return replace(plain, reading="bracket", because=f"sold, price not told: between {BELOW_ASK:.0%} of the last ask and all of it", low=ends[0] + log(BELOW_ASK))
    if row.kind in BIDS and (partner is not None or row.ask is not None):
        asked = log(_brought(partner, market, as_of, float(partner.price.high)) if partner is not None else _brought(row, market, as_of, float(row.ask.high)))
        if asked < ends[0]:  # prices fell between the two days, or fees came on top of the bid
            return replace(plain, reading="bracket", because="between the ask and the bid, each brought to today and to the same basis", low=asked, high=ends[1])
        return replace(plain, reading="bracket", because="between the bid and what was asked for it", high=asked)
    chosen = getattr(market.readings, row.kind.replace(" ", "_")).reading
    return READ_AS[chosen](plain, *margin_of(market, row.kind), market)


def _by_margin(plain, margin, spread, market):
    step = -log1p(margin) if plain.row.kind in ASKS else log1p(margin)
    words = f"taken to stand {100 * margin:.3g}% above a price" if plain.row.kind in ASKS else f"a price is taken to stand {100 * margin:.3g}% above it"
    return replace(plain, reading="margin", because=words, low=plain.low + step, high=plain.high + step, spread=sqrt(plain.spread**2 + spread**2))


def _in_bracket(plain, margin, spread, market):
    if plain.row.kind in ASKS:
        return replace(plain, reading="bracket", because=f"between {BELOW_ASK:.0%} of the ask and all of it", low=plain.low + log(BELOW_ASK))
    return replace(plain, reading="bracket", because=f"between the bid and {ABOVE_BID - 1:.0%} more", high=plain.high + log(ABOVE_BID))


def _one_sided(plain, margin, spread, market):
    if plain.row.kind in BIDS:
        return replace(plain, reading="one-sided", because="worth at least that", high=inf)
    days = plain.row.days_listed
    if days is not None and not days.likely:
        return replace(plain, reading="left out", because="listed today: nobody has had time to pay it")
    weight = min(float(days) / float(market.usual_days), 1.0) if days is not None else 1.0
    unsaid = "" if days is not None else "; days not told, taken as the usual"
    return replace(plain, reading="one-sided", because=f"worth at most that{unsaid}", low=-inf, weight=weight)


def _as_price(plain, margin, spread, market):
    return replace(plain, because="taken for a price, which it is not")


READ_AS = {"margin": _by_margin, "bracket": _in_bracket, "one-sided": _one_sided, "as price": _as_price}


def _brought(row, market, as_of: date, price):
    """A price at home, on the basis, at the level of the day the figures hold on."""
    price += float(row.fees_on_top) if market.basis == "buyer pays" else 0.0
    at_home = price * (float(row.rate) if row.rate else 1.0)
    return at_home * (1 + float(market.trend_rate)) ** min((as_of - row.date).days / DAYS, LONGEST)
