"""Costs that belong to other lines: freight laid on its order, a donor car on the parts kept, and the part of a tool that counts."""

from collections import Counter, defaultdict
from dataclasses import replace
from decimal import Decimal

from buildecon.project.consistency import laid_on
from buildecon.quantities.money import split, to_cents


def laid(settled):
    """Lines whose cost is laid on others give it up, to the cent, by month.

    Parameters
    ----------
    settled : sequence of Settled
        Every line on its own. [money]

    Returns
    -------
    list of Settled
        The same lines with the same sum. [money]

    Notes
    -----
    In proportion to `share` where the lines have it (kilograms, or the owner's own parts); else to what each cost; where nothing
    was paid, to list prices; else equally. What is sold of a donor car is laid on like the rest, so that the parts kept stand in
    at what the others did not bring, which may be below 0.
    """
    found = {one.line.id: one for one in settled}
    if not any(one.line.lay_on for one in settled):
        return list(settled)
    places = laid_on([one.line for one in settled])
    onto = defaultdict(lambda: [Counter(), [Decimal(0)] * 3, Decimal(0)])
    for one in settled:
        if one.line.lay_on:
            where = [found[line.id] for line in places[one.line.id]]
            _lay(one, where, onto)
            found[one.line.id] = replace(one, cost=Decimal(0), low=Decimal(0), high=Decimal(0), by_month=(), laid=-one.cost, laid_plan=-_plan(one))
    for id, (months, (low, likely, high), plan) in onto.items():
        one = found[id]
        total = Counter(dict(one.by_month))
        for month, amount in months.items():
            total[month] += amount
        found[id] = replace(one, cost=one.cost + likely, low=one.low + low, high=one.high + high, by_month=tuple(total.items()), laid=likely, laid_plan=plan)
    return [found[one.line.id] for one in settled]


def _lay(one, where, onto):
    """Add a line's cost, range, months and plan to those it is laid on."""
    weights = _weights(where)
    months = [(month, split(amount, weights)) for month, amount in one.by_month]
    likely = [sum((parts[k] for _, parts in months), Decimal(0)) for k in range(len(where))]
    sure = one.low == one.cost == one.high
    lows, highs, plans = *((likely, likely) if sure else (split(one.low, weights), split(one.high, weights))), split(_plan(one), weights)
    for k, target in enumerate(where):
        sums = onto[target.line.id]
        for month, parts in months:
            sums[0][month] += parts[k]
        # The odd cents may fall on another part at each end of the range.
        sums[1] = [a + b for a, b in zip(sums[1], (min(lows[k], likely[k]), likely[k], max(highs[k], likely[k])), strict=True)]
        sums[2] += plans[k]


def _plan(one):
    """What goes along with a cost is its plan; that of a line not bought yet stays, since it is still to come."""
    return one.planned if one.is_bought else Decimal(0)


def _weights(where):
    for weights in (
        [one.line.share.likely if one.line.share else Decimal(0) for one in where],
        [max(one.cost, Decimal(0)) for one in where],
        [one.line.list_price.likely if one.line.list_price else Decimal(0) for one in where],
    ):
        if sum(weights) > 0:
            return weights
    return [Decimal(1)] * len(where)


def counts(line, low, likely, high):
    """How much of a tool's cost its rule counts to this build; all of any other line's.

    Parameters
    ----------
    line : Line
        With its rule. [-]
    low, likely, high : Decimal
        What it cost, or would. [money]

    Returns
    -------
    tuple of Decimal
        The same three. [money]
    """
    part = line.tool_part
    if line.tool_rule == "needed anyway":
        return (Decimal(0),) * 3
    if line.tool_rule == "less resale":
        return tuple(max(cost - resale, Decimal(0)) for cost, resale in ((low, part.high), (likely, part.likely), (high, part.low)))
    if line.tool_rule == "share of uses":
        return to_cents(low * part.low), to_cents(likely * part.likely), to_cents(high * part.high)
    return low, likely, high


def counted(one):
    """A tool at what its rule counts to this build; any other line as it is.

    Parameters
    ----------
    one : Settled
        A line and what it cost. [money]

    Returns
    -------
    Settled
        With the rest under `left_out`, on no rung. [money]
    """
    if one.line.tool_rule in ("", "in full") or not one.cost > 0:
        return one
    low, cost, high = counts(one.line, one.low, one.cost, one.high)
    months, so_far, whole = [], Decimal(0), Decimal(0)
    for month, amount in one.by_month:  # rounding each running sum keeps the months at the total, to the cent
        whole += amount
        months.append((month, to_cents(cost * whole / one.cost) - so_far))
        so_far += months[-1][1]
    return replace(one, low=low, cost=cost, high=high, by_month=tuple(months), left_out=one.cost - cost)
