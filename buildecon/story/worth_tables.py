"""Rows for the tables and charts of what a car is worth: lists of dicts, as a page takes them."""

from math import exp, inf, isfinite, sqrt

from buildecon.decision.dip import money_in_by_day
from buildecon.market.comparables import FOUR_IN_FIVE
from buildecon.market.flags import odd_below, trust
from buildecon.story.words import number
from buildecon.story.worth_words import chance_text, counted, price_text, spread_text

SIGN = {"sold": "sold", "sold untold": "sold", "asking": "on offer", "dealer": "on offer", "bid": "bid", "offer refused": "bid"}
HALF = FOUR_IN_FIVE / 2  # standard deviations either side that hold four times out of five
MOST = 40  # rows of evidence that are drawn and listed
SOURCES = {"stated": "your figure", "evidence": "market.csv", "first guess": "your first guess", "belief": "only belief about such a state", "nothing": "nothing"}


def evidence_table(market):
    """Every row of market.csv: how it was read, what it says of this car, its pull.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    list of dict
        A row each, left out ones too. [money]
    """
    rows = []
    for read, says, pull in market.told:
        low, high = says or (None, None)
        row = {"row": f"{read.row.id}, {read.row.kind}", "figure": number(read.figure), "says of this car": _says(low, high), "pull": _pull_text(pull)}
        rows.append((_pulled(market, says, pull), row | {"date": f"{read.row.date:%d %b %Y}", "read as": read.reading, "why": read.because, "what": read.row.what}))
    least = sorted((pull for pull, _ in rows), reverse=True)[MOST - 1] if len(rows) > MOST else -inf
    shown = [row for pull, row in rows if pull >= least][:MOST]
    if alone := market.without_guess:
        guess = market.project.file.market.first_guess
        pull = {"figure": number(guess.likely), "says of this car": "", "pull": price_signed(market.value.likely - alone.value.likely), "date": "", "read as": "belief", "why": "finished, before any advert", "what": ""}
        shown.append({"row": "your first guess"} | pull)
    if len(rows) > MOST:
        shown.append(dict.fromkeys(shown[0], "") | {"row": f"and {number(len(rows) - MOST)} more that {'say' if market.bound else 'pull'} less"})
    return shown


def _pull_text(pull):
    return "" if not pull else f"{pull[2]:+,.0f}" if isfinite(pull[2]) else "all rests on it"


def _pulled(market, says, pull):
    """How much hangs on a row: its pull, or how near it comes to the bound where every row is one."""
    if says and market.bound:
        return -says[1] if market.bound[0] == "at most" else says[0]
    return -inf if not pull else abs(pull[2]) if isfinite(pull[2]) else inf


def _says(low, high):
    if low is None:
        return ""
    if low == 0 or high == inf:
        return f"at most {price_text(high)}" if low == 0 else f"at least {price_text(low)}"
    return spread_text(low, high)


def corrections_table(market):
    """What each difference between cars is worth: believed before, and after the evidence.

    Parameters
    ----------
    market : Worth
        The reading. [-]

    Returns
    -------
    list of dict
        A row a correction; states without a row of their own are left out. [-]
    """
    if not market.is_known:
        return []
    rows, sd = [], [sqrt(variance) for variance in market.fit.covariance.diagonal()]
    for k, column in enumerate(market.columns):
        if k and column.name.endswith("instead of finished") and not any(column.values):
            continue
        share = market.fit.prior_share[k]
        before, after = (column.mean, column.sd), (market.fit.mean[k], sd[k])
        say = _as_price if k == 0 else _as_change
        who = "yours" if column.stated else "none" if k == 0 else "common practice"
        rows.append({"correction": column.name, "after the evidence": say(*after), "which is": trust(share), "believed before": say(*before) if k or column.stated else "nothing", "whose": who})
    return rows


def _as_price(mean, sd):
    return f"{price_text(exp(mean))} ({spread_text(exp(mean - HALF * sd), exp(mean + HALF * sd))})"


def _as_change(mean, sd):
    low, middle, high = (exp(mean + step * sd) - 1 for step in (-HALF, 0, HALF))
    return "{} ({} to {})".format(*(f"{round(end, 2) + 0.0:+.0%}" for end in (middle, low, high)))


def equity_table(stand):
    """Value against every rung.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a rung. [money]
    """
    rows = []
    for one, own in zip(stand.equity, stand.stated_equity, strict=True):
        signed = price_signed if stand.by_market else exact_signed
        row = {"against": one.label, "which is": number(one.outlay), "value less that": signed(one.likely), "share recovered": f"{one.recovered:.0%}" if one.recovered is not None else "-"}
        row |= {"chance of more": chance_text(one.chance)} if one.chance is not None else {}
        row |= {"from": signed(one.low), "to": signed(one.high)}
        rows.append(row | ({"at your own figure": exact_signed(own.likely)} if stand.by_market else {}))
    return rows


def price_signed(value):
    """A difference of prices in three figures with its sign.

    Parameters
    ----------
    value : float
        Any. [money]

    Returns
    -------
    str
        As `-11,000`. [-]
    """
    text = price_text(abs(value))
    return text if text == "0" else ("-" if value < 0 else "+") + text


def exact_signed(value):
    """A difference with its sign.

    Parameters
    ----------
    value : float
        Any. [money]

    Returns
    -------
    str
        As `-11,035`. [-]
    """
    return f"{value:+,.0f}" if round(value) else "0"


def stages_table(stand):
    """States of the car with value, money in, and what selling then would have left.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a state. [money]
    """
    rows = []
    for stage in stand.stages:
        value = stage.value
        rows.append({
            "state": stage.state,
            "worth": price_text(value[1]) if value else "-",
            "money in when it began": number(stage.money_before),
            "when it ended, or now": number(stage.money_in),
            "range": spread_text(value[0], value[2]) if value and value[0] < value[2] else "",
            "since": f"{stage.since:%d %b %Y}" + (", to come" if stage.ahead else ""),
            "what": stage.what,
            "says who": SOURCES[stage.source] + (f", {stage.rows} {'row' if stage.rows == 1 else 'rows'}, {stage.sales} sold" if stage.rows else ""),
        })  # fmt: skip
    return rows


def work_table(stand):
    """What each kind of work cost and what it adds.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of dict
        The base, a row a kind, the sum. [money]
    """
    built = stand.built
    if built is None:
        return []

    def shares(low, likely, high):
        return "{:.0%} ({:.0%} to {:.0%})".format(*(round(share, 2) + 0.0 for share in (likely, low, high)))

    rows = [{"": "the car without the work", "cost to a reader": "", "a buyer pays for": "", "adds": price_text(built.base[1]), "range": spread_text(built.base[0], built.base[2]), "whose share": ""}]
    for one in built.work:
        rows.append({"": one.kind, "cost to a reader": number(one.cost), "a buyer pays for": shares(*one.share), "adds": price_signed(one.adds[1]), "range": spread_text(one.adds[0], one.adds[2]), "whose share": "yours" if one.stated else "common practice"})
    if built.papers != (1, 1, 1):
        rows.append({"": "papers, times", "cost to a reader": "", "a buyer pays for": "", "adds": f"{built.papers[1]:.2f}", "range": f"{built.papers[0]:.2f} to {built.papers[2]:.2f}", "whose share": "yours"})
    if built.unlisted:
        rows.append({"": "work in no kind above", "cost to a reader": number(built.unlisted), "a buyer pays for": "0%", "adds": "0", "range": "", "whose share": "not listed"})
    if any(built.open_faults):
        rows.append({"": "open faults", "cost to a reader": "", "a buyer pays for": "", "adds": price_signed(-built.open_faults[1]), "range": "", "whose share": "yours"})
    total = "together" + (", cut at the ceiling" if built.capped else "")
    return [*rows, {"": total, "cost to a reader": number(sum(one.cost for one in built.work) + built.unlisted), "a buyer pays for": "", "adds": price_text(built.value[1]), "range": spread_text(built.value[0], built.value[2]), "whose share": ""}]


def ways_table(stand):
    """Selling routes side by side.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a route. [money]
    """
    return [
        {"way": way.name, "in hand": price_text(way.net[1]), "range": spread_text(way.net[0], way.net[2]), "weeks": number(way.weeks), "hours": number(way.hours),
         "per extra hour": "-" if way.per_hour is None else price_signed(way.per_hour)}
        for way in stand.ways
    ]  # fmt: skip


def parts_table(stand):
    """The car in pieces.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a part, then fees, costs and what is left. [money]
    """
    parted = stand.parted
    if parted is None:
        return []
    rows = [{"part": what, "price": number(price), "chance of selling": f"{chance:.0%}", "counts": number(price * chance)} for what, price, chance in parted.parts]
    rows.append({"part": "fees", "price": "", "chance of selling": "", "counts": number(-parted.fees)})
    rows.append({"part": "packing, postage, disposal", "price": "", "chance of selling": "", "counts": number(-parted.costs)})
    return [*rows, {"part": f"left after {counted(parted.months, 'month')}", "price": "", "chance of selling": "", "counts": number(parted.net[1])}]


def evidence_frames(stand):
    """What the evidence chart draws: a line of marks for each row, and the range of the car.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    dict
        `rows` (label, kind, figure, low, high, bound), `range` (low, likely, high), as lists of rows. [money]
    """
    market = stand.market
    shown, rows = market.counted, []
    odd = {read.row.id for read, pull in zip(shown, market.pulls, strict=False) if pull[0] < odd_below(len(shown))}
    for read, (low, high), spread in zip(shown, market.as_this_car, market.fit.rows.spread if market.fit else (), strict=False):
        ends = [end for end in (low, high) if 0 < end < inf]
        if not ends:
            continue
        sigma = float(spread) if low == high else 0.0
        bound = "at most" if low == 0 else "at least" if high == inf else "far off" if read.row.id in odd else ""
        first, last = (min(ends) * exp(-HALF * sigma), max(ends) * exp(HALF * sigma))
        rows.append({"id": read.row.id, "label": f"{read.row.id} {read.row.kind}", "kind": SIGN[read.row.kind], "what": read.row.what, "figure": round(read.figure), "low": round(first), "high": round(last), "middle": round(sqrt(min(ends) * max(ends))), "bound": bound})
    if len(rows) > MOST:
        pulls = {read.row.id: _pulled(market, says, pull) for read, says, pull in market.told}
        rows = sorted(rows, key=lambda row: -pulls[row["id"]])[:MOST]
    known = market.value
    here = [{"low": round(known.low), "likely": round(known.likely), "high": round(known.high), "shown": price_text(known.likely)}] if known else []
    figure = float(stand.project.file.value.finished) if market.is_of_finished else stand.stated[1]
    own = [{"own": round(figure), "shown": "your figure"}] if figure else []
    return {"rows": rows, "range": here, "own": own}


def dip_frames(stand):
    """What the chart of money in against value draws.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    dict
        `money` (day, amount), `value` (share of the whole time, since, until, low, likely, high, state, shown), `gap` (day, from, to, shown), as lists of rows. [money]
    """
    stages = [stage for stage in stand.stages if stage.value]
    if not stages:
        return {"money": [], "value": [], "gap": []}
    stands = money_in_by_day(stand.project, stand.totals)
    money = [{"day": one.day.isoformat(), "amount": round(one.money_in), "ahead": False} for one in stands]
    ahead = [stage for stage in stages if stage.ahead]
    if ahead:
        coming = [(stands[-1].day, stands[-1].money_in), *(at for stage in ahead for at in ((stage.since, stage.money_before), (stage.until, stage.money_in)))]
        money += [{"day": day.isoformat(), "amount": round(amount), "ahead": True} for day, amount in coming]
    first, last = stands[0].day, max(stands[-1].day, *(stage.until for stage in stages))
    first = min(first, stages[0].since)
    value = [
        {"share": round((stage.until - stage.since) / (last - first), 4), "since": stage.since.isoformat(), "until": stage.until.isoformat(), "middle": (stage.since + (stage.until - stage.since) / 2).isoformat(), "low": round(stage.value[0]), "likely": round(stage.value[1]), "high": round(stage.value[2]),
         "state": stage.state, "shown": price_text(stage.value[1]), "ahead": stage.ahead}
        for stage in stages if stage.until > stage.since
    ]  # fmt: skip
    worth_now, last = stand.price[1], stands[-1]
    said = f"{price_text(abs(worth_now - last.money_in))} {'upside down' if worth_now < last.money_in else 'to the good'}"
    gap = [{"day": last.day.isoformat(), "from": round(worth_now), "to": round(last.money_in), "middle": round((worth_now + last.money_in) / 2), "shown": said}]
    return {"money": money, "value": value, "gap": gap}
