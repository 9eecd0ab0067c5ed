"""Rows for the tables and charts of what a build has cost: lists of dicts, as a page or a data frame takes them."""

from decimal import Decimal

from buildecon.ledger.cash import cash_by_month, peak_funding, reconciled
from buildecon.ledger.hours import hours_by_system
from buildecon.ledger.owed import owed_items, return_windows
from buildecon.ledger.prices import landed_cost, price_drift
from buildecon.ledger.repricing import NEVER_INDEXED, repriced_at
from buildecon.ledger.settlement import NO_DATE
from buildecon.ledger.variance import waterfall
from buildecon.story.words import number


def ladder_table(totals, currency, quoted=""):
    """The ladder of totals.

    Parameters
    ----------
    totals : Ladder
        Of a project. [money]
    currency : str
        ISO 4217 code. [-]
    quoted : str, optional
        Id of the rung the owner quotes. [-]

    Returns
    -------
    list of dict
        A row a rung. [money]
    """
    return [
        {"rung": r.label + (", quoted" if r.id == quoted else ""), currency: number(r.amount, 2), "range": spread(r.low, r.high), "what it takes in": r.includes}
        for r in totals.rungs
    ]


def spread(low, high):
    """A range in words.

    Parameters
    ----------
    low, high : Decimal
        Its ends. [money]

    Returns
    -------
    str
        Empty where both are the same. [-]
    """
    return "" if low == high else f"{number(low)} to {number(high)}"


def systems_table(groups):
    """Systems or natures against their plan.

    Parameters
    ----------
    groups : sequence of Group
        From a ladder. [money]

    Returns
    -------
    list of dict
        A row a group; what is still to come counts at its likely value. [money]
    """
    coming = any(g.to_come for g in groups)
    rows = []
    for g in groups:
        row = {"": g.name, "lines": str(g.lines), "planned": number(g.planned), "actual": number(g.actual)}
        row |= {"to come": number(g.to_come), "expected": number(g.actual + g.to_come)} if coming else {}
        rows.append(row | {"difference": signed(g.actual + g.to_come - g.planned)})
    return rows


def signed(value):
    """An amount with its sign.

    Parameters
    ----------
    value : Decimal
        Any. [money]

    Returns
    -------
    str
        `0` without one. [-]
    """
    return f"{value:+,.0f}" if round(value) else "0"


def causes_table(settled):
    """From plan to actual by cause.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    list of dict
        The plan, a row a cause, the actual. [money]
    """
    names, fall = {one.line.id: one.line.item for one in settled}, waterfall(settled)
    steps = [{"": s.cause, "amount": signed(s.amount), "most of it": "; ".join(names[id] for id in s.lines[:2])} for s in fall.steps]
    end = "actual, money back not taken off" if any(one.line.nature == "credit" and one.cost for one in settled) else "actual"
    return [{"": "planned", "amount": number(fall.planned), "most of it": ""}, *steps, {"": end, "amount": number(fall.actual), "most of it": ""}]


def causes_rows(settled):
    """What the causes chart draws: each step from where the one before ends, the plan at 0.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    list of dict
        `name`, `start`, `end`, `kind` (total, dearer, cheaper) and `shown`, in order. [money]
    """
    fall, at, rows = waterfall(settled), Decimal(0), []
    for step in fall.steps:
        kind = "dearer" if step.amount > 0 else "cheaper"
        rows.append({"name": step.cause, "start": float(at), "end": float(at + step.amount), "kind": kind, "shown": signed(step.amount)})
        at += step.amount
    return [*rows, {"name": "over the plan in all", "start": 0.0, "end": float(at), "kind": "total", "shown": signed(at)}]


def cash_rows(project):
    """What the cash chart draws.

    Parameters
    ----------
    project : Project
        With its lines and events. [-]

    Returns
    -------
    list of dict
        `month`, `out`, `back`, `outstanding`, and `shown` at the peak; undated money left out. [money]
    """
    months = cash_by_month(project)
    peak = peak_funding(months)
    return [
        {"month": m.month, "out": float(m.out), "back": float(m.back), "outstanding": float(m.outstanding), "shown": number(m.outstanding) if m is peak else ""}
        for m in months
        if m.month != NO_DATE
    ]


def statements_table(project):
    """Ledger against card and bank totals.

    Parameters
    ----------
    project : Project
        With its statements. [-]

    Returns
    -------
    list of dict
        A row a month; empty where there are no statements. [money]
    """
    rows = reconciled(cash_by_month(project), project.statements)
    return [{"month": m, "ledger": number(a, 2), "statements": number(b, 2), "unexplained": number(c, 2)} for m, a, b, c in rows]


def given_table(settled):
    """What was given or discounted: paid, street price, list price.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    list of dict
        A row a line; empty where nothing was given. [money]
    """
    return [
        {"part": one.line.item, "from": one.line.supplier, "how": one.line.funding, "paid": number(one.cost), "street price": number(one.line.street_price.likely),
         "list price": number(one.line.list_price.likely) if one.line.list_price else "-"}
        for one in settled if one.line.funding != "own"
    ]  # fmt: skip


def repriced_sentence(project, totals, rise_percent):
    """What it would cost to do it again if prices had risen by a share a year since each was paid.

    Parameters
    ----------
    project : Project
        For date and currency. [-]
    totals : Ladder
        Of the project. [money]
    rise_percent : float
        Rise of prices. [%/year]

    Returns
    -------
    str
        One sentence. [-]
    """
    amount = repriced_at(totals.settled, rise_percent / 100, project.file.build.as_of)
    return (
        f"At a rise of {rise_percent:g} % a year since each price was paid, doing it again would cost a reader {number(amount)} {project.currency} "
        f"on {project.file.build.as_of:%d %B %Y}, {signed(amount - totals['at_street_price'])} against {number(totals['at_street_price'])}; the base car, interest and money back are left as they were."
    )


def owed_table(project, totals):
    """Money owed to the owner, and parts that can still go back.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    list of dict
        A row an item, the most pressing first; on no rung. [money]
    """
    found = [*owed_items(project), *return_windows(project, totals.settled)]
    return [
        {"what": one.what, "for": one.item, "from": one.who, project.currency: number(one.amount, 2), "by": f"{one.due:%d %b %Y}" if one.due else "-", "days left": f"{one.days}" if one.due else "-"}
        for one in found
    ]  # fmt: skip


def hours_table(project):
    """Hours by system.

    Parameters
    ----------
    project : Project
        With its log. [hour]

    Returns
    -------
    list of dict
        A row a system; empty without a log. [hour]
    """
    return [{"system": system, "own hours": number(own, 1), "helpers' hours": number(helpers, 1)} for system, own, helpers in hours_by_system(project)]


def old_prices_table(project, totals, rows=12):
    """The oldest prices, and what the same costs now where that was looked up.

    Parameters
    ----------
    project : Project
        For the day the figures hold on. [-]
    totals : Ladder
        Of the project. [money]
    rows : int, optional
        How many, the oldest first. [-]

    Returns
    -------
    list of dict
        A row a line. [money]
    """
    as_of = project.file.build.as_of
    dated = [(one.line.date or one.first_day, one) for one in totals.settled if one.cost > 0 and one.line.nature not in NEVER_INDEXED]
    oldest = sorted(((day, one) for day, one in dated if day), key=lambda pair: pair[0])[:rows]
    return [
        {"line": one.line.item, "bought": f"{day:%b %Y}", "years old": number((as_of - day).days / 365.25, 1), f"paid, {project.currency}": number(one.cost - one.laid),
         "price today": number(one.line.price_today.likely) if one.line.price_today else "-",
         "rise": f"{price_drift(one.cost - one.laid, one.line.price_today.likely):+.0%}" if one.line.price_today and one.cost > one.laid else "-"}
        for day, one in oldest
    ]  # fmt: skip


def landed_table(goods, freight, insurance, duty_percent, tax_percent, handling):
    """What an import costs at the door, step by step.

    Parameters
    ----------
    goods, freight, insurance : float
        In home currency. [money]
    duty_percent, tax_percent : float
        Of their bases, for the goods, the origin and the date. [-]
    handling : float
        The agent's fee. [money]

    Returns
    -------
    list of dict
        A row a step, and what is forgotten by taxing the goods alone. [money]
    """
    goods, freight, insurance, handling = (Decimal(str(part)) for part in (goods, freight, insurance, handling))
    duty_rate, tax_rate = Decimal(str(duty_percent)) / 100, Decimal(str(tax_percent)) / 100
    duty, tax, total = landed_cost(goods, freight, insurance, duty_rate, tax_rate, handling)
    steps = [
        ("goods, freight and insurance", goods + freight + insurance), (f"duty, {duty_percent:g} % of that", duty),
        (f"tax, {tax_percent:g} % of all of that with the duty", tax), ("the agent's fee", handling), ("at the door", total),
    ]  # fmt: skip
    over = f"{total / goods - 1:+.0%} over the goods alone" if goods else ""
    rows = [{"": name, "amount": number(value, 2), "note": ""} for name, value in steps]
    rows[2]["note"] = f"not {number(goods * tax_rate, 2)}, which taxes the goods alone"
    return [*rows[:-1], rows[-1] | {"note": over}]
