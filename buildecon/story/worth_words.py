"""The plain sentences of what a car is worth: the range, how far upside down, what is thin about it, ways out, one more job."""

from math import exp, floor, isfinite, log10

from buildecon.market.evidence import MARGINS, margin_of
from buildecon.market.flags import NO_STATE, flags, trust
from buildecon.market.worth import worth
from buildecon.story.words import amount, number

BASES = {"buyer pays": "what a buyer pays, fees in", "seller gets": "what the seller gets, fees of an auction left out"}
MARGIN_WORDS = {
    "asking": "Asking prices are taken to stand above a price by", "dealer": "A dealer's price above one by",
    "bid": "A price above a bid by", "offer refused": "A price above a refused offer by",
}  # fmt: skip
OFTEN = {0.5: "half the time", 0.8: "four times out of five", 0.9: "nine times out of ten", 0.95: "nineteen times out of twenty"}


def rounded(value):
    """A price as exactly as it is known: three figures.

    Parameters
    ----------
    value : float
        Any. [money]

    Returns
    -------
    float
        12,012 becomes 12,000. [money]
    """
    if not value:
        return 0.0
    return round(value, 2 - floor(log10(abs(value))))


def price_text(value, currency=""):
    """A price in three figures.

    Parameters
    ----------
    value : float
        Any. [money]
    currency : str, optional
        ISO 4217 code. [-]

    Returns
    -------
    str
        As `12,000 EUR`. [-]
    """
    return f"{number(rounded(value))} {currency}".rstrip()


def spread_text(low, high):
    """A range of prices in three figures each.

    Parameters
    ----------
    low, high : float
        Its ends. [money]

    Returns
    -------
    str
        One figure where both are the same. [-]
    """
    return price_text(low) if low == high else f"{price_text(low)} to {price_text(high)}"


def chance_text(chance):
    """A chance in words.

    Parameters
    ----------
    chance : float
        Between 0 and 1. [-]

    Returns
    -------
    str
        As `about 1 in 3` or `about 70 in 100`. [-]
    """
    if chance < 0.01:
        return "less than 1 in 100"
    if chance > 0.99:
        return "more than 99 in 100"
    return f"about 1 in {round(1 / chance, -1 if chance < 0.05 else None):.0f}" if chance < 0.35 else f"about {100 * chance:.0f} in 100"


def often_text(level):
    """How often a price lies in its range.

    Parameters
    ----------
    level : float
        Between 0 and 1. [-]

    Returns
    -------
    str
        In words. [-]
    """
    return OFTEN.get(round(level, 3), f"{100 * level:.0f} times out of 100")


def what_if_text(market):
    """The assumptions a reader has turned away from the files, for the head of the answer.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    str
        As `with asking prices 12 % above a price`; empty where nothing is turned. [-]
    """
    stated, turned, unit = market.stated, market.turned, market.project.file.build.distance_unit
    moved = {name for name in ("asking_percent", "dealer_percent", "bid_percent", "offer_percent", "distance") if getattr(turned, name) not in (None, getattr(stated, name))}
    said = [
        ("asks_are_sales", turned.asks_are_sales, "asking prices taken for sales"),
        ("asking_percent", "asking_percent" in moved and not turned.asks_are_sales, f"asking prices {turned.asking_percent}% above a price"),
        ("dealer_percent", "dealer_percent" in moved and not turned.asks_are_sales, f"a dealer's prices {turned.dealer_percent}% above a price"),
        ("bid_percent", "bid_percent" in moved, f"a price {turned.bid_percent}% above a bid"),
        ("offer_percent", "offer_percent" in moved, f"a price {turned.offer_percent}% above a refused offer"),
        ("belief_width", turned.belief_width != 1, f"beliefs {turned.belief_width:g} times as wide"),
        ("distance", "distance" in moved, f"{number(turned.distance or 0)} {unit} on its clock"),
        ("odd_rows", turned.odd_rows != stated.odd_rows, "odd rows allowed" if turned.odd_rows else "odd rows not allowed"),
    ]
    told = [words.replace(".0%", "%") for _, moved, words in said if moved]
    return f"with {', '.join(told)}" if told else ""


def worth_sentence(stand):
    """What the car is worth.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        With date, currency and range, and whatever was turned; says so where nothing is known. [-]
    """
    market, currency, build = stand.market, stand.project.currency, stand.project.file.build
    day = f"{build.as_of:%d %B %Y}"
    state = "finished" if market.stage == "finished" else f"as it stands ({market.stage})"
    if not market.is_known:
        own = f"Your own figure is {figure_text(stand.stated[1], currency)}" + (f" ({figure_text(stand.stated[0])} to {figure_text(stand.stated[2])})." if stand.stated[0] < stand.stated[2] else ".")
        if market.bound:
            which, price = market.bound
            side = "asking prices read as bounds" if which == "at most" else "refused bids read as bounds"
            unused = " Your first guess is not used: from one side alone it would be the whole answer." if market.project.file.market.first_guess else ""
            finished = ", finished," if market.is_of_finished else ""
            return f"On {day} it is probably worth{finished} {which} {price_text(price, currency)}, as far as {side} can say; that gives no likely figure.{unused} {own}"
        return f"On {day} nothing says what it is worth: no evidence in market.csv and no first guess. {own}"
    value, turned = market.value, what_if_text(market)
    if market.is_of_finished:
        finished = f"would sell for about {price_text(value.likely, currency)}; {often_text(market.level)} for {spread_text(value.low, value.high)}"
        own = f"On {day} it counts at your own figure, {figure_text(stand.stated[1], currency)}, as it stands: nothing says in what state it is. Say so under [[states]]."
        return f"{own} {f'What if? {turned[0].upper()}{turned[1:]}: finished' if turned else 'Finished'}, it {finished}."
    said = f"On {day} it would sell, {state}, for about {price_text(value.likely, currency)}; {often_text(market.level)} for {spread_text(value.low, value.high)}."
    return f"What if? {turned[0].upper()}{turned[1:]}: on {said[3:]}" if turned else said


def figure_text(value, currency=""):
    """A figure as the owner wrote it, not rounded to three.

    Parameters
    ----------
    value : float
        Any. [money]
    currency : str, optional
        ISO 4217 code. [-]

    Returns
    -------
    str
        As `23,035 EUR`. [-]
    """
    return f"{number(value)} {currency}".rstrip()


def evidence_sentence(stand):
    """What the range comes from.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Cars and sales among them, in the state of this car and in others; the basis. [-]
    """
    market = stand.market
    if not market.counted:
        return "No market evidence yet: this range is your own guess, not the market." if market.is_known else ""
    here, sold = market.evidence_for(market.stage)
    elsewhere = len(market.counted) - here
    cars = f"{counted(here, 'car')} in that state, {number(sold) if sold else 'none'} of them sold" if here else "no car in that state"
    others = f", and {counted(elsewhere, 'car')} in other states" if elsewhere else ""
    return f"From {cars}{others}; {BASES[stand.project.file.market.basis]}."


def counted(n, what):
    """So many of something.

    Parameters
    ----------
    n : float
        How many. [-]
    what : str
        One of them. [-]

    Returns
    -------
    str
        As `1 row`, `2 rows` or `1.5 rows`. [-]
    """
    return f"{number(n) if n == round(n) else f'{n:g}'} {what}{'' if n == 1 else 's'}"


def equity_sentence(stand):
    """How far upside down against what the car stands in at, and the chance of getting out even.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        At the evidence's figure where there is one, then at the owner's own. [-]
    """
    currency, one, own, known = stand.project.currency, stand.stands_in, stand.stated_stands_in, stand.by_market
    said = f"It stands you in at {amount(one.outlay, currency)}: {gap_text(one.likely, known)} {currency} {_side(one.likely)}"
    said += f", {one.recovered:.0%} of it recovered" if one.recovered is not None else ""
    said += f"; the chance that it sells for more than that is {chance_text(one.chance)}." if one.chance is not None else ", at your own figure."
    if known:
        said += f" At your own figure of {amount(stand.stated[1], currency)} it is {amount(abs(own.likely), currency)} {_side(own.likely)}."
    if stand.owed:
        left = own.outlay - stand.owed
        share = f", {stand.stated[1] / left:.0%} of the rest recovered" if left > 0 else ""
        said = f"{said[:-1]}, {amount(abs(own.likely + stand.owed), currency)} {_side(own.likely + stand.owed)} once the {amount(stand.owed, currency)} you count on are paid{share}."
    selling = float(stand.project.file.value.selling_cost_share)
    if selling:
        ways = " Ways out, below, has each way at its own price and fees." if stand.ways else ""
        said += f" Sold at your figure with {100 * selling:.3g}% of selling cost, {amount(stand.stated[1] * (1 - selling), currency)} would be in your hand.{ways}"
    return said


def gap_text(value, known):
    """A difference without its sign: in three figures where it rests on the evidence, else exact.

    Parameters
    ----------
    value : float
        Any. [money]
    known : bool
        Whether it rests on the evidence. [-]

    Returns
    -------
    str
        As `11,000`. [-]
    """
    return price_text(abs(value)) if known else figure_text(abs(value))


def _side(likely):
    return "upside down" if likely < 0 else "to the good"


def grave_sentences(market):
    """What may make the answer wrong, for the head of a page.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    list of str
        Two at most, and how many more there are. [-]
    """
    grave = [flag for flag in flags(market) if flag.grave and flag.name != NO_STATE]
    said = [f"But {flag.name}: {flag.figure}." for flag in grave[:2]]
    return said + ([f"And {counted(len(grave) - 2, 'more thing')} of that kind, see below."] if len(grave) > 2 else [])


def middle_sentence(stand):
    """Where the middle of the market lies, apart from what one car happens to fetch.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        Empty where it is not known. [-]
    """
    middle = stand.market.middle
    if middle is None or not stand.market.counted:
        return ""
    between = f"{price_text(middle.low)} and {price_text(middle.high, stand.project.currency)}"
    return f"The middle of the market for such cars lies between {between}, {often_text(stand.market.level)}; one car sells above or below it by about {exp(stand.market.fit.spread) - 1:.0%}."


def pull_sentence(market):
    """Which row moves the answer most, and what a pull is.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    str
        Empty where no row has a pull. [-]
    """
    known = [(read, pull[2]) for read, _, pull in market.told if pull and isfinite(pull[2])]
    if len(known) < 2:
        return ""
    read, pull = max(known, key=lambda one: abs(one[1]))
    currency = market.project.currency
    said = f"Row {read.row.id} ({read.row.kind}) pulls most: without it the answer would be {price_text(market.value.likely - pull, currency)} instead of {price_text(market.value.likely, currency)}."
    if read.reading == "bracket" and read.row.kind in ("bid", "offer refused"):
        said += " It reaches up to what was asked for that car; who asks more there gets more here."
    return said + " A pull is what the answer would lose without the row. It may go against what the row says of this car: a row of another distance or condition also teaches what those are worth."


def asks_sentence(project, market):
    """What would be said if asking prices were sales.

    Parameters
    ----------
    project : Project
        The files. [-]
    market : Worth
        The reading with the assumptions chosen. [-]

    Returns
    -------
    str
        Empty where nothing is asked. [-]
    """
    asked = [read for read in market.counted if read.row.kind in ("asking", "dealer")]
    if not asked or not market.is_known or any(read.reading == "as price" for read in asked):
        return ""
    other = worth(market.project, market.turned.model_copy(update={"asks_are_sales": True}))
    now, then = market.value.likely, other.value.likely
    dealers = ", a dealer's among them," if {read.row.kind for read in asked} == {"asking", "dealer"} else ""
    were = "asking price were a sale" if len(asked) == 1 else f"{counted(len(asked), 'asking price')}{dealers} were sales"
    said = f"If the {were}, it would be {price_text(then, project.currency)} instead of {price_text(now, project.currency)}: {_percent(then / now - 1, '+')}. "
    if then < now:
        return said + "Less, though asks stand above prices: those cars differ from this one, and dearer they make the difference worth more."
    return said + "That is what quoting asks adds, and it does not go away with more of them."


def _percent(share, sign=""):
    """A share as whole per cent, never -0 %."""
    return f"{round(share, 2) + 0.0:{sign}.0%}"


def decline_sentence(market):
    """Share of its value the car loses a year, by the evidence.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    str
        Empty where no column says. [-]
    """
    decline = market.decline
    if decline is None or not market.counted:
        return ""
    names = [f"{column.name} {trust(share)}" for column, share in zip(market.columns[1:], market.fit.prior_share[1:], strict=True) if not column.name.endswith("instead of finished") and (column.name == "a year older" or column.name.startswith("10,000"))]
    told, distance = {column.name for column in market.columns}, f"{number(float(market.project.file.use.distance_a_year))} {market.project.file.build.distance_unit}"
    by_distance = any(name.startswith("10,000") for name in told)
    year = f"A year more, with {distance} in it," if by_distance else "A year more, whatever is driven in it,"
    year = year if "a year older" in told else f"The {distance} of a year, and not the year itself,"
    if decline.low < 0:
        change = f"would change the price of such a car by {_percent(-decline.likely, '+')}, {often_text(market.level)} {_percent(-decline.high, '+')} to {_percent(-decline.low, '+')}"
    else:
        change = f"would take {_percent(decline.likely)} off such a car, {often_text(market.level)} {_percent(decline.low)} to {_percent(decline.high)}"
    return f"{year} {change} ({'; '.join(names)})."


def flag_sentences(market):
    """What is thin, odd or assumed.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    list of str
        One a flag. [-]
    """
    return [f"{flag.name[0].upper()}{flag.name[1:]}: {flag.figure}. {flag.cure}" for flag in flags(market)]


def _by_margin(market, kind):
    return any(read.row.kind == kind and read.reading == "margin" for read in market.counted)


def _whose(market, kind):
    """Where a margin is from."""
    own, name = getattr(market.project.file.market.readings, kind.replace(" ", "_")).margin, f"{kind.split()[0]}_percent"
    if getattr(market.turned, name) not in (None, getattr(market.stated, name)):
        return "as moved"
    if own is not None and round(float(own), 6) != MARGINS[kind][0]:
        return "your figure"
    houses = "set near what 929 houses asked above what they fetched (7 to 10%; GrinnellHouses, R package Stat2Data), for want of such a set of cars"
    return houses if kind == "asking" else "common practice, no source"


def worth_assumptions(stand):
    """What the range rests on.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of str
        One an assumption. [-]
    """
    market, project = stand.market, stand.project
    basis, trend = BASES[project.file.market.basis], float(project.file.market.trend_rate)
    told = [f"Basis: {basis}; brought to {project.file.build.as_of:%d %B %Y} at {100 * trend:.3g}% a year. No selling cost is taken off where it does not say so."]
    if project.file.market.basis == "buyer pays" and any(float(read.row.fees_on_top) for read in market.counted):
        told.append("What buyers paid on top of the hammer price is in these figures; it goes to the auction, not to you.")
    told += [f"{words} {100 * margin_of(project.file.market, kind)[0]:.3g}%, {_whose(market, kind)}." for kind, words in MARGIN_WORDS.items() if _by_margin(market, kind)]
    if market.turned.asks_are_sales:
        told.append("What is asked is taken for a price paid, to see what that would do.")
    told.append("A state's share of the finished price, a condition step, a changed engine: common practice, no source, unless [market.beliefs] has yours. The table of corrections shows how much of each is left assumed.")
    if project.file.market.first_guess is None:
        told.append("You gave no first guess, so the level comes from the evidence alone.")
    if any(stage.ahead for stage in stand.stages):
        told.append("Money still to come counts at the mean of its range, (low + 4 likely + high) / 6.")
    if stand.built:
        told.append("Shares that kinds of work add are common practice, no source, where adds does not replace them.")
    if project.file.market.odd_rows:
        told.append("Odd rows are allowed: a row far off counts for little, and the range is a little wider.")
    if not market.counted:
        told.append("No row of market.csv counts.")
    return told
