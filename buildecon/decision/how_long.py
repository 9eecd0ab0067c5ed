"""How long to keep it: the cheapest years, what one more year costs, when to go over to another, and the largest bill worth paying."""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.compare import Comparison
from buildecon.ownership.economic_life import EconomicLife, economic_life, marginal_cost
from buildecon.ownership.keeping import level_cost, running_costs
from buildecon.ownership.repair_limit import RepairLimit, YearsAhead, keep_or_sell
from buildecon.ownership.switching import KeepUntil, keep_until

LOSS_OF_VALUE = "loss of value"


@dataclass(frozen=True)
class HowLong:
    """What years kept do to the cost of each option, and of the build above all.

    Parameters
    ----------
    comparison : Comparison
        All options. [-]
    lives : EconomicLife
        By option, over whole years; cost a year. [year]
    marginal : ndarray, shape (options, years)
        Cost of each single year. [money/year]
    rival : int or None
        Position of the cheapest other that passes, at its best years. [-]
    keep : KeepUntil or None
        How long the build beats that rival; None where nothing passes. [-]
    causes : dict of str to ndarray, shape (n,)
        The build's level cost by what it is for, by month kept; NaN at the start. [money/month]
    limit : RepairLimit or None
        Of the build, by year; None where the files give no bills or nothing passes. [money]
    """

    comparison: Comparison
    lives: EconomicLife
    marginal: np.ndarray
    rival: int | None
    keep: KeepUntil | None
    causes: dict
    limit: RepairLimit | None

    @property
    def build(self):
        """Position of the build."""
        return self.comparison.build

    @property
    def project(self):
        """The files."""
        return self.comparison.project

    def life(self, k):
        """(years, level cost a month, status, low, high) of one option."""
        lives = self.lives
        years = float(lives.years[k])
        month = self.comparison.month(years) if np.isfinite(years) else 0
        return years, float(self.comparison.per_month[k, month]), str(lives.status[k]), float(lives.low[k]), float(lives.high[k])

    def replaced_years(self, k):
        """Years after which one option is at the end of its life and bought again."""
        months = self.comparison.replaced[k]
        return [float(month) / 12 for month in months if np.isfinite(month)]


def how_long(comparison):
    """Economic life, marginal cost, keep rule and repair limit of a comparison.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    HowLong
        Over whole years. [-]

    Notes
    -----
    In the repair limit, having the build a year is worth what the cheapest other that passes costs a year at its best years: it is what one would
    pay instead.
    """
    rate = comparison.what_if.discount_percent / 100
    yearly = comparison.total[:, ::12]
    lives = economic_life(yearly, rate, 1)
    marginal = marginal_cost(yearly, rate, 1)
    able = [k for k in comparison.rivals() if comparison.passes[k]]
    rival = min(able, key=lambda k: lives.cost[k], default=None)
    build = comparison.build
    keep = None if rival is None else keep_until(yearly[build], float(lives.cost[rival]), rate, 1)
    return HowLong(comparison, lives, marginal, rival, keep, _causes(comparison, build), _limit(comparison, build, lives, rival))


def _causes(comparison, k):
    """Level cost of one option by cause; what is left of the total is what its value loses, cars that follow it among it."""
    rate, use = comparison.what_if.discount_percent / 100, comparison.project.file.use
    months = len(comparison.years) - 1
    running = running_costs(comparison.terms, months, float(use.inflation_rate))
    factors = (1 + rate) ** (-np.arange(1, months + 1) / 12)
    found = {}
    for cause, paid in running.items():
        mine = np.broadcast_to(paid, (len(comparison.options), months))[k]
        if np.any(mine):
            found[cause] = level_cost(np.concatenate([[0.0], np.cumsum(mine * factors)]), rate)
    return {LOSS_OF_VALUE: comparison.per_month[k] - sum(found.values(), np.zeros(months + 1))} | found


def _limit(comparison, k, lives, rival):
    repairs = comparison.project.file.repairs
    if repairs is None or rival is None:
        return None
    rate, use = comparison.what_if.discount_percent / 100, comparison.project.file.use
    n = use.horizon_years
    running = running_costs(comparison.terms, 12 * n, float(use.inflation_rate))
    each = sum(np.broadcast_to(paid, (len(comparison.options), 12 * n))[k] for cause, paid in running.items() if cause != "loan payments")
    scrap = np.full(n + 1, float(repairs.scrap_value))
    ahead = YearsAhead(np.full(n, float(lives.cost[rival])), each.reshape(n, 12).sum(axis=1), comparison.end_value[k, ::12], scrap)
    bills = [0.0, *(float(bill.amount) for bill in repairs.bills)]
    chances = [float(bill.chance) for bill in repairs.bills]
    return keep_or_sell(ahead, bills, [max(1 - sum(chances), 0.0), *chances], rate)
