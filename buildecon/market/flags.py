"""What is thin, odd or assumed about a reading of the market, each with its figure and its cure."""

from dataclasses import dataclass
from math import log

from buildecon.market.comparables import FINISHED, target
from buildecon.market.evidence import ASKS, BIDS

ASSUMED, PARTLY = 0.5, 0.2  # of a belief's variance is left: above the first the correction is assumed, below the second it comes from the evidence
DISAGREE = 0.35  # spread in logs above which like cars differ more than such cars do: twice the middle of six models (see market.valuation)
ODD = 0.01  # chance by the other rows below which a row is pointed at
FEW = 5


@dataclass(frozen=True)
class Flag:
    """One thing to know about the range.

    Parameters
    ----------
    name : str
        In a few words. [-]
    figure : str
        What the evidence shows. [-]
    cure : str
        What to do, or to say. [-]
    """

    name: str
    figure: str
    cure: str


def flags(market):
    """Everything about a reading of the market that a reader should know.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    tuple of Flag
        The gravest first. [-]
    """
    found = []
    for check in (_from_nothing, _from_one_side, _few, _no_sale, _clashes, _odd_rows, _disagree, _outside, _assumed, _only_believed, _readings, _own_figure):
        found += check(market)
    return tuple(found)


def trust(share):
    """How much of a correction the evidence gave.

    Parameters
    ----------
    share : float
        Of the belief's variance that is left. [-]

    Returns
    -------
    {"assumed", "partly from the evidence", "from the evidence"}
        In words. [-]
    """
    return "assumed" if share > ASSUMED else "partly from the evidence" if share > PARTLY else "from the evidence"


def _from_nothing(market):
    if not market.counted:
        guess = "this range is your first guess and nothing else" if market.fit else "there is no range"
        yield Flag("no evidence", f"market.csv has no row that counts; {guess}", "Add what like cars were sold for, or are offered at.")


def _from_one_side(market):
    if market.bound is None:
        return
    which, price = market.bound
    if which == "at most":
        yield Flag("only asking prices, read as bounds", f"the market is probably below {_about(price)}; no likely figure follows from that", "Add one sale or a refused bid, or let asks be read by a margin.")
    else:
        yield Flag("only refused bids, read as bounds", f"somebody would pay at least {_about(price)}; no likely figure follows from that", "Add a sale or an asking price, or let bids be read by a margin.")


def _few(market):
    n = len(market.counted)
    if market.is_known and n == 1:
        yield Flag("one comparable", "1 car", "Every correction for age, distance and condition is assumed; look for a second one.")
    elif market.is_known and 2 <= n <= FEW:
        yield Flag("few comparables", f"{n} cars", "The range is wide for that; each further sale narrows it more than any other work here.")


def _no_sale(market):
    if market.counted and not any(read.is_sale for read in market.counted):
        yield Flag("no completed sale", f"{len(market.counted)} rows, none of them sold", "Say so when you quote it: nobody has paid such a price yet.")
    rows, sales = market.evidence_for(market.stage)
    if rows and any(read.is_sale for read in market.counted) and not sales:
        yield Flag(f"no sale in the state {market.stage!r}", f"{rows} rows, none of them sold", "Say so when you quote it.")


def _clashes(market):
    for read in market.reads:
        if "does not go with" in read.because:
            yield Flag(f"{read.row.id} contradicts another row", read.because, "One of the two is another car, or has a wrong date or price.")
    for read in market.reads:
        if "counted twice" in read.because:
            yield Flag(f"{read.row.id} is a repeat", read.because, "Delete it, or say how it differs; give rows of one car the same word under car.")


def _odd_rows(market):
    for read, (chance, times, _) in zip(market.counted, market.pulls, strict=False):
        if chance < ODD:
            many = f"{times:,.1f} times" if times >= 1 else f"{times:,.2f} of"
            hint = "" if market.project.file.market.odd_rows else " Or allow odd rows, which then count for little."
            yield Flag(f"{read.row.id} is far off", f"{many} what the other rows lead one to expect for that car", f"A slip of a digit, a bundle, another kind of car? It is still counted.{hint}")


def _disagree(market):
    if market.is_known and len(market.counted) > 2 and market.fit.spread > DISAGREE:
        yield Flag("the evidence disagrees", f"like cars differ by {market.fit.spread:.0%}, where {DISAGREE:.0%} is much", "Look for a wrong car, date or currency among the rows.")


def _outside(market):
    if market.is_known and len(market.counted) > 1 and (market.evidence_for(market.stage)[0]) and market.fit.leverage(target(market.columns, market.stage)) > 1:
        yield Flag("this car is unlike the evidence", "its age, distance and condition lie outside what the rows hold together", "The range is wide for that; look for a car more like it.")


def _assumed(market):
    if not market.is_known:
        return
    shares = zip(market.columns[1:], market.fit.prior_share[1:], strict=True)
    names = [column.name for column, share in shares if share > ASSUMED and not column.name.endswith("instead of finished")]
    if names:
        yield Flag("corrections that are assumed", ", ".join(names), "They are beliefs, yours or common practice, and no row says otherwise.")


def _only_believed(market):
    if market.is_known and market.counted and not market.evidence_for(market.stage)[0]:
        belief = "your first guess" if market.stage == FINISHED else f"the belief what share of a finished car's price one {market.stage} fetches"
        yield Flag(f"no row in the state {market.stage!r}", f"its range rests on {belief}", "Add a row in that state, and fill state for every row.")


def _readings(market):
    counted = market.counted
    as_price = [read for read in counted if read.reading == "as price" and read.row.kind != "sold"]
    if as_price:
        yield Flag("asks or bids taken for prices", f"{len(as_price)} of {len(counted)} rows", "What is asked stands above what is paid; read them by a margin.")
    sided = [read for read in counted if read.reading == "one-sided" and read.row.kind in ASKS and read.row.followed != "yes"]
    if sided and market.bound is None:
        yield Flag("bounds from adverts not followed from their first day", f"{len(sided)} rows", "An advert found today is there because it did not sell: as a bound it pulls the range down. Read it by a margin.")
    sided = [read for read in counted if read.reading == "one-sided" and read.row.kind in BIDS]
    if sided and market.bound is None:
        yield Flag("bids read as bounds", f"{len(sided)} rows", "Bidders had seen the car: as a bound it pulls the range up. Read it by a margin.")


def _own_figure(market):
    own = market.project.file.value.as_is
    if not market.is_known or not market.counted or own.likely <= 0:
        return
    value = market.value
    if not value.low <= float(own.likely) <= value.high:
        times = float(own.likely) / value.likely
        yield Flag("your own figure lies outside the range", f"{own.likely:,.0f} is {times:.2f} times what the evidence says", "Say in [value] why, or take the evidence's.")
    elif float(own.low) > 0 and log(float(own.high) / float(own.low)) < 0.5 * log(value.high / value.low):
        yield Flag("your own range is narrower than the evidence", f"{own.low:,.0f} to {own.high:,.0f} against {_about(value.low)} to {_about(value.high)}", "One car sells further from the middle of its market than that.")


def _about(price):
    """A price as exactly as it is known, in three figures."""
    return f"{float(f'{price:.3g}'):,.0f}"
