"""What is thin, odd or assumed about a reading of the market, each with its figure and its cure."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from math import exp, log, sqrt
from statistics import median

from buildecon.market.comparables import FINISHED
from buildecon.market.evidence import ASKS, BIDS, DAYS

ASSUMED, PARTLY = 0.5, 0.2  # of a belief's variance is left: above the first the correction is mostly belief, below the second it comes from the evidence
DISAGREE = 0.35  # spread in logs above which like cars differ more than such cars do: twice the middle of six models (see market.valuation)
ODD = 0.01  # chance by the other rows below which a row is pointed at; less among many rows, where one far off comes about by luck
BY_LUCK = 0.05  # chance at most that a row of a clean file is pointed at
FEW = 5
MOST = 5  # rows pointed at one by one
FAR_TIMES, FAR_YEARS = 5, 60  # a distance that many times the middle one, a year that far from the middle one
FAR = 300_000  # km or mi: where only this car's distance is there to compare with, it must be that far too
NO_FIGURE = 20.0  # times the low end, above which the high end of the range says that next to nothing is known
OLD = 3  # years after which a price is not today's by itself
CLASH = 2.0  # standard deviations between a first guess and what the rows say alone
NO_STATE = "nothing says in what state it is"  # told in the answer itself
MOVES = 0.05  # share of the price by which a first guess may move it unsaid


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
    grave : bool
        Whether the answer may be wrong for it, and not only wide. [-]
    """

    name: str
    figure: str
    cure: str
    grave: bool = False


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
    for check in (_no_state, _two_states, _clashes, _odd_rows, _odd_facts, _maybe_one, _guess, _no_figure, _disagree, _old, _readings, _from_nothing, _from_one_side, _few, _no_sale, _outside, _assumed, _untold, _only_believed, _own_figure):
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
    {"mostly belief", "partly from the evidence", "from the evidence"}
        In words. [-]
    """
    return "mostly belief" if share > ASSUMED else "partly from the evidence" if share > PARTLY else "from the evidence"


def odd_below(rows):
    """Chance by the others below which a row of so many is pointed at.

    Parameters
    ----------
    rows : int
        In the sums. [-]

    Returns
    -------
    float
        0.01, and less above five rows: with 500 of them five would come about by luck. [-]
    """
    return min(ODD, BY_LUCK / max(rows, 1))


def _from_nothing(market):
    if not market.counted:
        guess = "this range is your first guess and nothing else" if market.fit else "there is no range"
        yield Flag("no evidence", f"market.csv has no row that counts; {guess}", "Add what like cars were sold for, or are offered at.")


def _from_one_side(market):
    if market.bound is None:
        return
    which, price = market.bound
    if which == "at most":
        yield Flag("only asking prices, read as bounds", f"the market is probably below {_about(market, price)}; no likely figure follows from that", "Add one sale or a refused bid, or let asks be read by a margin.")
    else:
        yield Flag("only refused bids, read as bounds", f"somebody would pay at least {_about(market, price)}; no likely figure follows from that", "Add a sale or an asking price, or let bids be read by a margin.")


def _no_state(market):
    if market.is_of_finished and market.fit:
        build, own = market.project.file.build, market.project.file.value.as_is.likely
        yield Flag(NO_STATE, f"the build is {build.stage} and none of [[states]] has begun, so the evidence is read for it finished; today it counts at your own figure, {own:,.0f} {market.project.currency}", "Say under [[states]] in what state it is.", True)


def _two_states(market):
    if market.project.file.build.stage == FINISHED != market.stage:
        yield Flag("two things are said of its state", f"the build is finished, and [[states]] have it {market.stage}, which is what it is valued as", "Add the state it is in now, or correct stage under [build].", True)


def _no_figure(market):
    value = market.value
    if value and value.high > NO_FIGURE * value.low:
        yield Flag("next to nothing is known of its price", f"from {_about(market, value.low, value.high)} all is possible", "Do not quote a figure from that. Look for a row of a car more like it, or for a slip in a year or a distance.", True)


def _few(market):
    n = len(market.counted)
    if market.is_known and n == 1:
        yield Flag("one comparable", "1 car", "From one car nothing is learnt of what age, distance or condition is worth; look for a second one.")
    elif market.is_known and 2 <= n <= FEW:
        yield Flag("few comparables", f"{n} cars", "The range is wide for that; each further sale narrows it more than any other work here.")


def _no_sale(market):
    if market.counted and not any(read.is_sale for read in market.counted):
        yield Flag("no completed sale", f"{_rows(len(market.counted))}, not sold", "Say so when you quote it: nobody has paid such a price yet.")
    rows, sales = market.evidence_for(market.stage)
    if rows and any(read.is_sale for read in market.counted) and not sales:
        yield Flag(f"no sale in the state {market.stage!r}", f"{_rows(rows)}, not sold", "Say so when you quote it.")


def _clashes(market):
    for read in market.reads:
        if "does not go with" in read.because:
            yield Flag(f"{read.row.id} contradicts another row", read.because, "One of the two is another car, or has a wrong date or price.", True)
    for read in market.reads:
        if "counted twice" in read.because:
            yield Flag(f"{read.row.id} is a repeat", read.because, "Delete it, or say how it differs; give rows of one car the same word under car.", True)


def _odd_rows(market):
    hint = "" if market.project.file.market.odd_rows else " Or allow odd rows, which then count for little."
    found = [(read, times) for read, (chance, times, _) in zip(market.counted, market.pulls, strict=False) if chance < odd_below(len(market.counted))]
    for read, times in found[:MOST]:
        many = f"{times:,.1f} times" if times >= 1 else f"{times:,.2f} of"
        yield Flag(f"row {read.row.id} is far off", f"{many} what the other rows lead one to expect for that car", f"A slip of a digit, a bundle, another kind of car? It is still counted.{hint}", True)
    if len(found) > MOST:
        yield Flag("more rows are far off", ", ".join(read.row.id for read, _ in found[MOST : MOST + 40]), "Look at them too.", True)


def _odd_facts(market):
    """A year or a distance of another world makes its correction look certain."""
    car = market.project.file.this_car
    distances = sorted([float(read.row.distance) for read in market.counted if read.row.distance] + ([float(car.distance)] if car.distance else []))
    usual = median(distances) if len(distances) > 2 else max(distances[0], FAR / FAR_TIMES) if len(distances) == 2 else float("inf")
    years = [float(read.row.year) for read in market.counted if read.row.year] + ([car.year] if car.year else [])
    for read in market.counted[: 10 * MOST]:
        row = read.row
        if row.distance and float(row.distance) > FAR_TIMES * usual:
            yield Flag(f"the distance of row {row.id} is far off", f"{float(row.distance):,.0f} where the others have about {median(distances[:-1]):,.0f}", "A digit too many? It drags what distance is taken to be worth.", True)
        if row.year and len(years) > 2 and abs(float(row.year) - median(years)) > FAR_YEARS:
            yield Flag(f"the year of row {row.id} is far off", f"{row.year} where the others are about {median(years):.0f}", "A slip? It drags what age is taken to be worth.", True)


def _guess(market):
    alone = market.without_guess
    if alone is None:
        return
    guess, likely, rows = market.columns[0], market.value.likely, alone.value.likely
    apart = abs(alone.fit.mean[0] - guess.mean) / sqrt(alone.fit.covariance[0, 0] + guess.sd**2)
    if apart > CLASH:
        yield Flag("your first guess and the rows do not go together", f"a guess of {_about(market, exp(guess.mean))} finished; the rows alone make it {_about(market, rows)} instead of {_about(market, likely)} as it stands", "A digit too many in first_guess, or too narrow a guess? Widen it, or leave it out.", True)
    elif abs(likely / rows - 1) > MOVES:
        yield Flag("your first guess moves the answer", f"the rows alone make it {_about(market, rows)} instead of {_about(market, likely)}", "Say so, or find more rows.")


def _disagree(market):
    if market.is_known and len(market.counted) > 2 and market.fit.spread > DISAGREE:
        yield Flag("the evidence disagrees", f"like cars differ by {exp(market.fit.spread) - 1:.0%}, where {exp(DISAGREE) - 1:.0%} is much", "Look for a wrong car, date or currency among the rows.", True)


def _maybe_one(market):
    """Rows in the same words of the same year and distance: one car advertised twice counts twice."""
    alike = defaultdict(list)
    for read in market.counted:
        row = read.row
        if row.distance is not None and not row.car:
            alike[row.what.strip().lower(), str(row.year), str(row.distance)].append(row.id)
    for ids in alike.values():
        if len(ids) > 1:
            yield Flag("rows that may be one car", f"{' and '.join(ids)} have the same words, year and distance", "If they are, give each the same name under car, and it counts once.")


def _old(market):
    """A price of years ago is today's only where prices have stood still."""
    project = market.project
    if "trend_rate" in project.file.market.model_fields_set:
        return
    old = [read for read in market.counted if (project.file.build.as_of - read.row.date) / timedelta(DAYS) > OLD]
    if old:
        first = min(read.row.date.year for read in old)
        yield Flag("prices of years ago", f"{_rows(len(old))} of {len(market.counted)} older than {OLD} years, from {first} on, and read as if prices had stood still since", "Write under [market] by how much such cars rise or fall a year: trend_rate.", 2 * len(old) >= len(market.counted))


def _outside(market):
    n = len(market.counted)
    if not market.is_known or not n or not market.evidence_for(market.stage)[0]:
        return
    if market.fit.leverage(market.aim(market.stage)) > (1 if n > 1 else 4):  # a single row of the very same car leaves about 2
        told = [column for column in market.columns[1:] if not column.name.endswith("instead of finished")]
        known = [(column.name, [value for value in column.values if value is not None]) for column in told]
        beyond = [name for name, values in known if values and (min(values) > 0 or max(values) < 0)]
        where = f"it lies beyond every row in {' and '.join(map(repr, beyond))}" if beyond else "its facts do not come together in any row" if told else "they are old, or say only between what it lies"
        yield Flag("few rows speak for a car like this one", f"{where}, or too few are in its state", "The range is wide for that; one more row of a car like it helps most.")


def _assumed(market):
    if not market.is_known:
        return
    shares = zip(market.columns[1:], market.fit.prior_share[1:], strict=True)
    names = [column.name for column, share in shares if share > ASSUMED and not column.name.endswith("instead of finished")]
    if names:
        yield Flag("corrections that are mostly belief", ", ".join(names), "The rows say little about them; the table shows what was believed before and after.")


def _untold(market):
    """Facts of this car that no row tells: nothing is corrected for them, and the range does not know of them."""
    car, rows = market.project.file.this_car, [read.row for read in market.counted]
    asked = {"year": rows, "distance": rows, "condition": [row for row in rows if (row.state or FINISHED) == FINISHED]}
    names = [name for name, ones in asked.items() if ones and getattr(car, name) not in (None, "") and all(getattr(row, name) in (None, "") for row in ones)]
    if market.is_known and names:
        yield Flag("facts that no row tells", ", ".join(names), "The rows are taken to be like this car in that, and the range is too narrow if they are not. Write what the adverts say.")


def _only_believed(market):
    if market.is_known and market.counted and not market.evidence_for(market.stage)[0]:
        guess = " and your first guess" if market.project.file.market.first_guess is not None else ""
        belief = f"the rows in other states, on belief what share of a finished car's price those fetch{guess and ','}{guess}" if market.stage == FINISHED else f"the belief what share of a finished car's price one {market.stage} fetches"
        yield Flag(f"no row in the state {market.stage!r}", f"its range rests on {belief}", "Add a row in that state, and fill state for every row.")


def _readings(market):
    counted = market.counted
    as_price = [read for read in counted if read.reading == "as price" and read.row.kind != "sold"]
    if as_price:
        yield Flag("asks or bids taken for prices", f"{len(as_price)} of {len(counted)} rows", "What is asked stands above what is paid; read them by a margin.", True)
    sided = [read for read in counted if read.reading == "one-sided" and read.row.kind in ASKS and read.row.followed != "yes"]
    if sided:
        yield Flag("bounds from adverts not followed from their first day", _rows(len(sided)), "An advert found today is there because it did not sell: as a bound it pulls the range down. Read it by a margin.")
    sided = [read for read in counted if read.reading == "one-sided" and read.row.kind in BIDS]
    if sided and market.bound is None:
        yield Flag("bids read as bounds", _rows(len(sided)), "Bidders had seen the car: as a bound it pulls the range up. Read it by a margin.")


def _own_figure(market):
    if any(flag.grave for flag in _guess(market)):
        return
    own = market.project.file.value.as_is
    value = market.today
    if value is None or not market.counted or own.likely <= 0:
        return
    if not value.low <= float(own.likely) <= value.high:
        times = float(own.likely) / value.likely
        yield Flag("your own figure lies outside the range", f"{own.likely:,.0f} {market.project.currency} is {times:,.2f} times what the evidence says", "Say in [value] why, or take the evidence's.")
    elif float(own.low) > 0 and log(float(own.high) / float(own.low)) < 0.5 * log(value.high / value.low):
        yield Flag("your own range is narrower than the evidence", f"{own.low:,.0f} to {own.high:,.0f} against {_about(market, value.low, value.high)}", "One car sells further from the middle of its market than that.")


def _about(market, *prices):
    """A price or the ends of a range, as exactly as they are known, in three figures, with the currency."""
    return " to ".join("{:,.0f}".format(float(f"{price:.3g}")) for price in prices) + f" {market.project.currency}"


def _rows(n):
    return f"{n:,} {'row' if n == 1 else 'rows'}"
