"""How long to keep it: the cheapest years, what one more year costs, when to go over to another, and the largest bill worth paying."""

from dataclasses import dataclass, replace

import numpy as np

from buildecon.decision.compare import Comparison
from buildecon.ownership.economic_life import EconomicLife, Lives, economic_life, marginal_cost, spread_of_lives
from buildecon.ownership.keeping import level_cost, running_costs
from buildecon.ownership.repair_limit import RepairLimit, YearsAhead, keep_or_sell
from buildecon.ownership.scenarios import totals as scenario_totals
from buildecon.ownership.switching import KeepUntil, keep_until
from buildecon.quantities.sampling import triangular

LOSS_OF_VALUE = "loss of value"
NOT_RUNNING = ("loan payments", "build", "second car while building")  # spent or owed whether the car is kept or not
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
        Cost of each single year. [money/year]
    rival : int or None
        Position of the cheapest other that passes, at its best years. [-]
    keep : KeepUntil or None
        How long the build beats that rival; None where nothing passes. [-]
    causes : dict of str to ndarray, shape (n,)
        The build's level cost by what it is for, by month kept; NaN at the start. [money/month]
    limit : RepairLimit or None
        Of the build, by year; None where the files give no bills or nothing passes. [money]
    spread : Lives or None
        The build's economic life over the ranges of its figures; None where none of them is a range, or its life ends inside the horizon. [year]
    """

    comparison: Comparison
    lives: EconomicLife
    marginal: np.ndarray
    rival: int | None
    keep: KeepUntil | None
    causes: dict
    limit: RepairLimit | None
    spread: Lives | None

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
    In the repair limit, having the build a year is worth what the cheapest other that passes costs a year at its best years, with the same repairs to be
    expected of it: it is what one would pay instead.
    """
    rate = comparison.what_if.discount_percent / 100
    yearly = comparison.total[:, ::12]
    lives = economic_life(yearly, rate, 1)
    marginal = marginal_cost(yearly, rate, 1)
    able = [k for k in comparison.rivals() if comparison.passes[k]]
    rival = min(able, key=lambda k: lives.cost[k], default=None)
    build = comparison.build
    keep = None if rival is None else keep_until(yearly[build], float(lives.cost[rival]), rate, 1)
    return HowLong(comparison, lives, marginal, rival, keep, _causes(comparison, build), _limit(comparison, build, lives, rival), _spread(comparison, build))


def _running(comparison, k):
    """What one option costs to run, by cause and month; what a new car begins anew begins anew with each that follows."""
    months, use = len(comparison.years) - 1, comparison.project.file.use
    running = running_costs(comparison.terms, months, float(use.inflation_rate))
    starts = np.zeros(months, dtype=int)
    for month in comparison.replaced[k][np.isfinite(comparison.replaced[k])]:
        starts[int(month) :] = int(month)
    ages = np.arange(months) - starts
    found = {cause: np.broadcast_to(paid, (len(comparison.options), months))[k][np.arange(months) if cause == "energy" else ages] for cause, paid in running.items()}
    return found | ({"renewals by chance": comparison.by_chance[k]} if comparison.by_chance[k].any() else {})


def _causes(comparison, k):
    """Level cost of one option by cause; what is left of the total is what its value loses, cars that follow it among it."""
    rate = comparison.what_if.discount_percent / 100
    months = len(comparison.years) - 1
    factors = (1 + rate) ** (-np.arange(1, months + 1) / 12)
    found = {cause: level_cost(np.concatenate([[0.0], np.cumsum(paid * factors)]), rate) for cause, paid in _running(comparison, k).items() if np.any(paid)}
    return {LOSS_OF_VALUE: comparison.per_month[k] - sum(found.values(), np.zeros(months + 1))} | found


def _limit(comparison, k, lives, rival):
    """Up to the end of the car's life; every amount of a year is brought to its start."""
    repairs = comparison.project.file.repairs
    if repairs is None or rival is None:
        return None
    rate, option = comparison.what_if.discount_percent / 100, comparison.options[k]
    over = comparison.replaced[k][np.isfinite(comparison.replaced[k])]
    n = min([comparison.project.file.use.horizon_years, *(max(int(month) // 12, 1) for month in over[:1])])
    within_year = (1 + rate) ** (-np.arange(1, 13) / 12)
    each = sum((paid for cause, paid in _running(comparison, k).items() if cause not in NOT_RUNNING), np.zeros(len(comparison.years) - 1))
    running = each[: 12 * n].reshape(n, 12) @ within_year
    bills = [0.0, *(float(bill.amount) for bill in repairs.bills)]
    chances = [float(bill.chance) for bill in repairs.bills]
    selling = comparison.project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share
    scrap = np.full(n + 1, float(repairs.scrap_value) * (1 - float(selling)))
    sound = comparison.end_value[k, : 12 * n + 1 : 12].copy()
    if over.size and over[0] <= 12 * n:
        sound[-1] = scrap[-1]
    instead = float(lives.cost[rival]) / (1 + rate) + float(np.dot(bills[1:], chances))  # the other has its repairs too
    return keep_or_sell(YearsAhead(np.full(n, instead), running, sound, scrap), bills, [max(1 - sum(chances), 0.0), *chances], rate)


def _spread(comparison, k):
    """Economic life of the build with its value, decline, upkeep, renewals' costs and distance drawn from triangles over their ranges, each by itself."""
    project, option, terms = comparison.project, comparison.options[k], comparison.terms
    value = option.value or project.file.value.finished
    wear = option.wear
    ranges = {"value": value, "upkeep": option.yearly.upkeep, "distance": project.file.use.distance_a_year}
    ranges |= {"decline": option.decline_rate} if option.decline_rate is not None and comparison.what_if.decline_percent is None else {}
    ranges |= {f"renewal {j}": part.cost for j, part in enumerate(wear.renewals)} if wear else {}
    ranges = {name: one for name, one in ranges.items() if not one.is_sure and (one.likely > 0 or name == "decline")}
    if not ranges or np.isfinite(comparison.replaced[k]).any():
        return None
    draws = _draws(ranges)
    one = np.ones((1, SCENARIOS))
    times = {name: draws[name] / float(ranges[name].likely) if name in draws else 1.0 for name in ("value", "upkeep", "distance")}
    costs = np.array(np.broadcast_to(terms.renewal_cost, (len(comparison.options), *np.shape(terms.renewal_cost)[1:]))[k] if np.ndim(terms.renewal_cost) else [])
    costs = costs * np.ones((1, SCENARIOS, costs.size))
    for name, drawn in draws.items():
        if name.startswith("renewal"):
            costs[..., int(name.split()[1])] = drawn
    mine = {name: _of_option(getattr(terms, name), k) for name in ("money_in", "loan", "loan_rate", "loan_months", "upkeep_by_year", "upkeep_by_km", "insurance_share", "build_cost", "build_months", "downtime", "enjoyment")}
    exits = comparison.years[::12]
    fading = (1 - draws["decline"]) / (1 - float(option.decline_rate)) if "decline" in draws else 1.0
    path = comparison.terms.value_path[k, ::12] * (np.asarray(times["value"])[..., None] * np.asarray(fading)[..., None] ** exits) * np.ones((SCENARIOS, 1))
    sampled = replace(
        terms,
        **{name: one * amount for name, amount in mine.items()},
        yearly={name: one * _of_option(amount, k) * (times["upkeep"] if name == "upkeep" else 1.0) for name, amount in terms.yearly.items()},
        energy_growth=_of_option(terms.energy_growth, k),
        energy=_of_option(terms.energy, k) * np.asarray(times["distance"] * one)[..., None],
        upkeep=_of_option(terms.upkeep, k) * times["upkeep"] * one,
        km_a_year=_of_option(terms.km_a_year, k) * times["distance"] * one,
        value_path=path[None],
        selling_share=one * float(project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share),
        **({"renewal_cost": costs, "first_km": terms.first_km[k], "life_km": terms.life_km[k]} if costs.size else {}),
    )
    rate, use = comparison.what_if.discount_percent / 100, project.file.use
    totals = scenario_totals(sampled, 12 * use.horizon_years, 12, rate, float(use.inflation_rate))[0]
    share = float(project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share)
    kit = comparison.end_value[k] - terms.value_path[k] * (1 - share)
    totals = totals - (kit[::12] * (1 + rate) ** -comparison.years[::12])[:, None]
    if comparison.by_chance[k].any():
        factors = (1 + rate) ** (-np.arange(1, 12 * use.horizon_years + 1) / 12)
        totals[1:] += np.cumsum(comparison.by_chance[k] * factors)[11::12, None]
    return spread_of_lives(economic_life(totals.T, rate, 1))


def _of_option(values, k):
    """What one option has of an array by option."""
    return np.asarray(values)[k] if np.ndim(values) else values


def _draws(ranges):
    """Figures drawn from triangles, stratified, the same on every run."""
    generator, found = np.random.default_rng(SEED), {}
    for name, one in ranges.items():
        even = (generator.permutation(SCENARIOS) + generator.random(SCENARIOS)) / SCENARIOS
        found[name] = triangular(*one.floats)(even)
    return found
