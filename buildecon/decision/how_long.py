"""How long to keep it: the cheapest years, what one more year costs, when to go over to another, and the largest bill worth paying."""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.chances import Asked
from buildecon.decision.compare import Comparison
from buildecon.decision.inputs import unknown
from buildecon.decision.option_terms import Question, all_in
from buildecon.ownership.economic_life import EconomicLife, Lives, economic_life, marginal_cost, spread_of_lives
from buildecon.ownership.keeping import level_cost, running_costs
from buildecon.ownership.repair_limit import RepairLimit, YearsAhead, keep_or_sell
from buildecon.ownership.switching import KeepUntil, keep_or_switch, keep_until
from buildecon.quantities.timevalue import annuity_factor, loan_balance, rate_per_period

LOSS_OF_VALUE = "loss of value"
LOAN, BORROWING = "loan payments", "the loan"
BUILDING = ("build", "second car while building")
NOT_RUNNING = (LOAN, *BUILDING)  # spent or owed whether the car is kept or not
ONCE = ("energy", *BUILDING)  # does not begin anew with the car that follows
SCENARIOS, SEED = 1024, 20260101


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
        Cost of each single year, told at its end; NaN where it begins before a build is done. [money/year]
    rival : int or None
        Position of the cheapest other that passes, at its best years. [-]
    keep : KeepUntil or None
        How long the build beats that rival, counted from the day it is done; None where nothing passes. [-]
    causes : dict of str to ndarray, shape (n,)
        The build's level cost by what it is for, by month kept; NaN at the start. [money/month]
    limit : RepairLimit or None
        Of the build, by year from the day it is done; None where the files give no bills or nothing passes. [money]
    spread : Lives or None
        The build's economic life over the ranges of its figures; None where none of them is a range, or its life ends inside the horizon. [year]
    keep_as_long : KeepUntil or None
        The same against the other that is the cheapest if kept as long as asked about, had for so long again and again. [year]
    next_year, next_year_saves : float or None
        The build's first year from the day it is done, by itself, as equal payments; what the rival costs at its best, less that. None where nothing
        passes, or no whole year of it is looked at. [money/month]
    """

    comparison: Comparison
    lives: EconomicLife
    marginal: np.ndarray
    rival: int | None
    keep: KeepUntil | None
    causes: dict
    limit: RepairLimit | None
    spread: Lives | None
    keep_as_long: KeepUntil | None
    next_year: float | None
    next_year_saves: float | None

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

    @property
    def marginal_a_month(self):
        """Cost of each single year as equal payments at the end of its months, beside the level cost a month."""
        return self.marginal / _payments(self.comparison.what_if.discount_percent / 100)

    @property
    def dearer_by(self):
        """What the cheapest stretch with the build costs more a month than the other at its best, as equal payments; below 0 it is cheaper. [money/month]"""
        return (float(self.keep.least) - float(self.lives.cost[self.rival])) / _payments(self.comparison.what_if.discount_percent / 100)

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
    In the repair limit, having the build a year is worth what the cheapest other that passes costs a year at its best years, with the same repairs to be
    expected of it: it is what one would pay instead. Another build like it costs what this one did, so no bill above that is worth paying.
    """
    rate = comparison.what_if.discount_percent / 100
    yearly = comparison.total[:, ::12]
    begun = np.array([-(-comparison.ready(k) // 12) for k in range(len(comparison.options))])  # whole years of building
    lives = economic_life(yearly, rate, 1, first=begun)
    marginal = np.where(np.arange(yearly.shape[-1] - 1) < begun[:, None], np.nan, marginal_cost(yearly, rate, 1))
    able = [k for k in comparison.rivals() if comparison.passes[k]]
    rival = min(able, key=lambda k: lives.cost[k], default=None)
    build = comparison.build
    kept = comparison.total[build, comparison.done_after :: 12] * (1 + rate) ** (comparison.done_after / 12)  # in the money of the day it is done
    switch = None if rival is None else keep_or_switch(kept, yearly[rival], rate, 1)
    next_year = (None, None) if switch is None or kept.size < 2 else (float(switch.one_more_year) / _payments(rate), float(switch.saves) / _payments(rate))
    return HowLong(
        comparison, lives, marginal, rival, switch and switch.keep, _causes(comparison, build), _limit(comparison, build, lives, rival), _spread(comparison, build, begun[build]),
        _as_long(comparison, kept, rate), *next_year,
    )  # fmt: skip


def _payments(rate):
    """What a payment at the end of each month of a year comes to at its end."""
    return annuity_factor(rate_per_period(rate, 12), 12) * (1 + rate)


def _as_long(comparison, total, rate):
    """How long to keep it where the other would not be kept for its best years but for those asked about."""
    years = comparison.what_if.years_kept
    rival = comparison.cheapest_rival(years)
    return None if rival is None else keep_until(total, float(level_cost(comparison.total[rival, ::12], rate, 1)[years]), rate, 1)


def _running(comparison, k):
    """What one option costs to run, by cause and month; what a new car begins anew begins anew with each that follows."""
    months, use = len(comparison.years) - 1, comparison.project.file.use
    running = running_costs(comparison.terms, months, float(use.inflation_rate))
    starts = np.zeros(months, dtype=int)
    for month in comparison.replaced[k][np.isfinite(comparison.replaced[k])]:
        starts[int(month) :] = int(month)
    ages = np.arange(months) - starts
    found = {cause: np.broadcast_to(paid, (len(comparison.options), months))[k][np.arange(months) if cause in ONCE else ages] for cause, paid in running.items()}
    return found | ({"renewals by chance": comparison.by_chance[k]} if comparison.by_chance[k].any() else {})


def _causes(comparison, k):
    """Level cost of one option by cause; what is left of the total is what its value loses, cars that follow it among it."""
    rate = comparison.what_if.discount_percent / 100
    months = len(comparison.years) - 1
    factors = (1 + rate) ** (-np.arange(1, months + 1) / 12)
    spent = {cause: np.concatenate([[0.0], np.cumsum(paid * factors)]) for cause, paid in _running(comparison, k).items() if np.any(paid)}
    if LOAN in spent:
        spent[LOAN] = spent[LOAN] + _owed(comparison, k)
    found = {BORROWING if cause == LOAN else cause: level_cost(total, rate) for cause, total in spent.items()}
    return {LOSS_OF_VALUE: comparison.per_month[k] - sum(found.values(), np.zeros(months + 1))} | found


def _owed(comparison, k):
    """What clears the loan by month, less what was borrowed: what is paid off is no cost, it has bought the car."""
    terms, months = comparison.terms, len(comparison.years) - 1
    rate, inflation = comparison.what_if.discount_percent / 100, float(comparison.project.file.use.inflation_rate)
    today = (1 + rate) ** (-comparison.years)
    left = loan_balance(terms.loan[k], terms.loan_rate[k] / 12, terms.loan_months[k], np.arange(months + 1)) * (1 + inflation) ** -comparison.years
    found, begun, before = np.zeros(months + 1), 0, -terms.loan[k]
    for end in [*comparison.replaced[k][np.isfinite(comparison.replaced[k])].astype(int), months]:
        own = np.arange(begun + (begun > 0), end + 1)  # the last day of a life is still its own
        found[own] = before + left[own - begun] * today[own]
        before, begun = found[end] - terms.loan[k] * today[end], end
    return found


def _limit(comparison, k, lives, rival):
    """From the day it is done up to the end of the car's life; every amount of a year is brought to its start."""
    repairs, done = comparison.project.file.repairs, comparison.done_after
    over = comparison.replaced[k][np.isfinite(comparison.replaced[k])] - done
    n = min([(len(comparison.years) - 1 - done) // 12, *(max(int(month) // 12, 1) for month in over[:1])])
    if repairs is None or rival is None or n == 0:
        return None
    rate, option = comparison.what_if.discount_percent / 100, comparison.options[k]
    within_year = (1 + rate) ** (-np.arange(1, 13) / 12)
    each = sum((paid for cause, paid in _running(comparison, k).items() if cause not in NOT_RUNNING), np.zeros(len(comparison.years) - 1))
    running = each[done : done + 12 * n].reshape(n, 12) @ within_year
    bills = [0.0, *(float(bill.amount) for bill in repairs.bills)]
    chances = [float(bill.chance) for bill in repairs.bills]
    selling = comparison.project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share
    scrap = np.full(n + 1, float(repairs.scrap_value) * (1 - float(selling)))
    sound = comparison.end_value[k, done : done + 12 * n + 1 : 12].copy()
    if over.size and over[0] <= 12 * n:
        sound[-1] = scrap[-1]
    instead = float(lives.cost[rival]) / (1 + rate) + float(np.dot(bills[1:], chances))  # the other has its repairs too
    return keep_or_sell(YearsAhead(np.full(n, instead), running, sound, scrap), bills, [max(1 - sum(chances), 0.0), *chances], rate, _another(comparison, k))


def _another(comparison, k):
    """What another like it costs, as where it is bought again at the end of its life."""
    option = comparison.options[k]
    if option.wear and option.wear.again is not None:
        return float(option.wear.again)
    question = Question(comparison.project, comparison.totals, comparison.what_if, comparison.view)
    return max(float(all_in([option], question, [comparison.money_in[k]])[0]), 0.0)


def _spread(comparison, k, first):
    """Economic life of the build over draws of all that is not known of it."""
    asked = Asked(unknown(comparison.project, comparison.totals), comparison.what_if, comparison.view).of_build_alone()
    if not asked.inputs or np.isfinite(comparison.replaced[k]).any():
        return None
    draws = asked.unknown.drawn(SCENARIOS, [SEED])
    rate = np.asarray(asked.question(draws).rate)
    return spread_of_lives(economic_life(asked.costs(draws)[0].T, rate, 1, first=first))
