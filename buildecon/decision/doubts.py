"""Deciding when figures are not known: what moves the answer, what is worth finding out, what would turn it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from buildecon.decision.chances import SEED, Asked, Chances, chances
from buildecon.decision.information import Worth, first_order, perfect_information, worth_finding_out
from buildecon.decision.option_terms import WHOLE_STORY
from buildecon.decision.sensitivity import Indices, Swings, indices, tornado
from buildecon.decision.turning import Border, border, turning_points

RUNS = 256  # draws of each of the d + 2 samples for the shares that need inputs by themselves
MAP_PLACES = 25


@dataclass(frozen=True)
class Doubts:
    """What the draws say of the choice over the years asked about.

    Parameters
    ----------
    chances : Chances
        Of all options that pass. [-]
    everything : float
        What it would be worth to know all of it before choosing. [money]
    worth : Worth
        What each input is worth finding out, in the order of `inputs`. [money]
    swings : Swings
        What the build costs more a month, with each input at its low and high. [money/month]
    shares : ndarray, shape (d,)
        Of the variance of that, with each input; inputs that move together have it together. [-]
    """

    chances: Chances
    everything: float
    worth: Worth
    swings: Swings
    shares: np.ndarray

    @property
    def inputs(self):
        """The inputs that the costs count with."""
        return self.chances.asked.inputs

    @cached_property
    def price(self):
        """What finding out each costs, as the files say; 0 where they do not, shape (d,). [money]"""
        prices = {one.what: float(one.costs) for one in self.chances.asked.project.file.chances.finding_out}
        return np.array([prices.get(one.id, 0.0) for one in self.inputs])

    @cached_property
    def worth_asking(self):
        """Places of the inputs that are worth more to know than that costs, the best first."""
        net = self.worth.shown - self.price
        return [int(k) for k in np.argsort(-net, kind="stable") if self.worth.shown[k] > 0 and net[k] > 0]

    def alone(self, runs=RUNS, seed=SEED):
        """Shares of the variance by Sobol's indices, first order and total, as if each input moved by itself."""
        asked = self.chances.asked
        return indices(_more_a_month(asked), {one.id: asked.unknown.quantiles[one.id] for one in self.inputs}, runs, seed)


def doubts(asked, seed=SEED):
    """All that can be said of a choice whose figures are not known.

    Parameters
    ----------
    asked : Asked
        The question. [-]
    seed : int, optional
        The same seed gives the same draws. [-]

    Returns
    -------
    Doubts or None
        None where no figure that counts is a range, or nothing else passes. [-]
    """
    found = chances(asked, seed) if asked.inputs and len(asked.options) > 1 else None
    if found is None:
        return None
    inputs = np.array([found.draws[one.id] for one in asked.inputs])
    swings = tornado(_more_a_month(asked), {one.id: asked.unknown.quantiles[one.id] for one in asked.inputs})
    return Doubts(found, perfect_information(found.benefit), worth_finding_out(inputs, found.benefit), swings, first_order(inputs, found.more[found.year]))


def _more_a_month(asked):
    """From draws to what the build costs above the cheapest other that passes, a month over the years asked about."""
    years = asked.what_if.years_kept

    def more(draws):
        cost = asked.costs(draws)
        return asked.a_month(cost[0] - cost[1:].min(axis=0), draws)[years]

    return more


# What a reader may try: field of WhatIf, lowest and highest as a multiple of what it is or as a figure.
TRIED = {
    "distance_a_year": (0.0, 2.5), "end_value": (0.0, 2.5), "still_to_come": (0.0, 2.0), "spent_off": (0.0, 2.0), "energy_price": (0.25, 4.0),
    "enjoyment": (0.0, 0.5), "discount_percent": (0.0, 15.0), "decline_percent": (0.0, 40.0),
}  # fmt: skip


def turning(asked):
    """Where each number would have to stand for the answer to turn, all others at their likely figures.

    Parameters
    ----------
    asked : Asked
        The question. [-]

    Returns
    -------
    dict of str to Turning
        By field of `WhatIf`; `spent_off` is told as the whole cost of the build, `enjoyment` as what it is worth a year. [unit of the search]
    """
    if len(asked.options) < 2:
        return {}
    years, ranges = asked.what_if.years_kept, _tried(asked)

    def difference(name):
        def of(x):
            cost = asked.costs({}, {name: x - (float(asked.unknown.totals["stands_in_at"]) if name == "spent_off" else 0.0)})[:, years]
            return cost[0] - cost[1:].min(axis=0)

        return of

    return turning_points({name: difference(name) for name in ranges}, ranges)


def _tried(asked):
    """Range and present place of every number that can be tried."""
    what_if, file, found = asked.what_if, asked.project.file, {}
    outlay = float(asked.unknown.totals["stands_in_at"])
    build = asked.options[0]
    for name, (low, high) in TRIED.items():
        now = getattr(what_if, name)
        if name == "spent_off":
            if asked.view == WHOLE_STORY:
                found[name] = (low, high * outlay, outlay + now)
        elif name == "enjoyment":
            found[name] = (low, max(high * outlay, 1000.0), now)
        elif name == "decline_percent":
            if build.decline_rate is not None:
                now = 100 * float(build.decline_rate) if now is None else now
                found[name] = (min(low, now), max(high, now), now)
        elif name == "discount_percent":
            found[name] = (min(low, now), max(high, now), now)
        elif name == "still_to_come":
            found[name] = (low, max(high * now, float(file.value.finished)), now)
        elif name == "energy_price":
            found[name] = (low, high, now)
        elif now > 0:
            found[name] = (low * now, high * now, now)
    return {name: places for name, places in found.items() if places[0] < places[1]}


def years_by_distance(asked):
    """Who is cheaper by years kept and distance a year.

    Parameters
    ----------
    asked : Asked
        The question. [-]

    Returns
    -------
    Border or None
        Years across, distance up; None where nothing else passes, or only one year is looked at. [money]
    """
    if len(asked.options) < 2 or asked.project.file.use.horizon_years < 2:
        return None
    far = 2.5 * max(asked.what_if.distance_a_year, 1.0)
    distances = np.linspace(0.0, far, MAP_PLACES)
    cost = asked.costs({}, {"distance_a_year": distances})
    more = cost[0] - cost[1:].min(axis=0)
    years = np.arange(1, more.shape[0])
    return border(lambda x, y: more[np.rint(x).astype(int), np.rint(y / far * (MAP_PLACES - 1)).astype(int)], years, distances)


__all__ = ["Border", "Doubts", "Indices", "Swings", "Worth", "doubts", "turning", "years_by_distance", "Asked"]
