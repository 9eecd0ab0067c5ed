"""Half-way through a build: sell, finish, part out, shelve or keep, side by side from today. What is spent is not in this decision."""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.ahead import AS_WRITTEN, Turned, ahead, ahead_at_ends, ahead_in_draws, open_lines
from buildecon.decision.chances import BLOCKS, EACH, Asked
from buildecon.decision.compare import FROM_TODAY
from buildecon.decision.finish import break_even_finished_value, cost_ceiling, finished_then_sold, improvements, paid_while_held, wage_per_hour
from buildecon.decision.information import perfect_information
from buildecon.decision.kept import Kept, kept
from buildecon.decision.phases import staged_build
from buildecon.decision.remainder import Remainder, remainder
from buildecon.decision.staged import Staged
from buildecon.decision.ways import FINISH, KEEP, PART_OUT, SELL, Way, ways_on
from buildecon.project.records import Project

CLOSE_SHARE = 0.01  # of the price as it stands: two ways nearer to each other than this are told as too close to call
CLOSE_CHANCE = 0.6  # and so are two of which neither is the better in three of five scenarios


@dataclass(frozen=True)
class HalfWay:
    """All ways on from today, side by side.

    Parameters
    ----------
    project : Project
        The files. [-]
    turned : Turned
        What a reader moved. [-]
    sunk : float
        What the car stands in at: spent, and not in this decision. [money]
    figures : tuple of float
        As-is value, finished value, cost left, months, own hours and holding a month, as counted. [money, month, hour]
    is_open : bool
        Whether there is anything left to finish. [-]
    ways : tuple of Way
        Turning the car into money, selling as it stands first. [money]
    keep : Way or None
        Keeping it, in the same money for somebody who needs a car anyway. [money]
    kept : Kept
        What that rests on. [money]
    ends : dict of str to tuple of float
        Worst, as written and best of each way by its id, every range moving together. [money]
    chances : dict of str to float
        That each way of turning it into money is the best of them, by its id; `best beats beside`; that keeping beats all of them, a car
        being needed anyway. Empty where nothing was drawn. [-]
    finding_out : float or None
        Most that knowing everything beforehand could be worth; None where nothing was drawn. [money]
    finished_value_needed, cost_ceiling : float or None
        Finished value and cost left at which finishing and selling brings what selling today does; None where nothing is left to finish. [money]
    left : Remainder
        What is still to come, three ways. [money]
    staged : Staged or None
        The phases, where the files tell of them. [money]
    jobs : tuple of Pays
        One more job each, if selling and if keeping. [money]
    moved : float
        By how much what the files say moves together had to be changed to be possible. [-]
    """

    project: Project
    turned: Turned
    sunk: float
    figures: tuple
    is_open: bool
    ways: tuple
    keep: Way | None
    kept: Kept
    ends: dict
    chances: dict
    finding_out: float | None
    finished_value_needed: float | None
    cost_ceiling: float | None
    left: Remainder
    staged: Staged | None
    jobs: tuple
    moved: float

    def way(self, id):
        """A way by its id, or None."""
        return next((way for way in (*self.ways, *([self.keep] if self.keep else [])) if way.id == id), None)

    @property
    def ranked(self):
        """Ways of turning it into money, the best first."""
        return tuple(sorted(self.ways, key=lambda way: -way.net))

    @property
    def best(self):
        """The one that brings most."""
        return self.ranked[0]

    @property
    def beside(self):
        """What the best is told against: selling as it stands, or the second where that is the best."""
        sell = self.way(SELL)
        return sell if self.best is not sell else next(iter(self.ranked[1:]), None)

    @property
    def too_close(self):
        """Whether the best and what it is told against cannot be told apart."""
        if self.beside is None:
            return False
        near = self.best.net - self.beside.net < CLOSE_SHARE * abs(self.figures[0])
        return bool(near or (self.chances and self.chances.get("best beats beside", 1.0) < CLOSE_CHANCE))

    def finish_at(self, left):
        """What finishing and selling brings if so much is still to come; None where nothing is left to finish. [money]"""
        finish, (_, _, counted, months, _, _) = self.way(FINISH), self.figures
        rate = self.kept.comparison.what_if.discount_percent / 100
        return None if finish is None else finish.net - (left - counted) * (1 + rate) ** (-months / 24)

    def wage(self, way):
        """What each own hour of a way earns over selling as it stands, hours at 0 in both; NaN where it has none. [money]"""
        sell = self.way(SELL)
        return float(wage_per_hour(way.net + way.hours_cost, sell.net + sell.hours_cost, way.hours))


def half_way(project, totals, turned=AS_WRITTEN, sample=None):
    """Everything the files say of going on from here.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]
    turned : Turned, optional
        Figures a reader moved. [-]
    sample : Sample, optional
        Draws of what is not known of the same project, for the chances. [-]

    Returns
    -------
    HalfWay
        Forward only. [money]
    """
    here, ends = ahead(project, totals, turned), ahead_at_ends(project, totals, turned)
    ways, keeping = ways_on(here), kept(project, totals, here)
    keep = keeping.way(here)
    spans = {way.id: tuple(float(net) for net in np.broadcast_to(way.net, 3)) for way in (*ways_on(ends), *([keeping.way(ends)] if keep else []))}
    chances, finding_out = _chances(sample, turned, ways, keeping) if sample is not None else ({}, None)
    parted = next((float(way.net) for way in ways if way.id == PART_OUT), 0.0)
    needed, ceiling = _limits(here) if here.is_open else (None, None)
    return HalfWay(
        project, turned, float(totals["stands_in_at"]), tuple(float(one) for one in (here.as_is, here.finished, here.cost_left, here.months, here.hours, here.holding)),
        here.is_open, ways, keep, keeping, spans, chances, finding_out, needed, ceiling,
        remainder(project, totals), staged_build(project, here, open_lines(totals), parted), improvements(project, float(project.file.value.as_is)),
        sample.unknown.moved if sample is not None else 0.0,
    )  # fmt: skip


def _limits(here):
    """Finished value and cost left at which finishing brings what selling as it stands does; no value does where selling takes all of it."""
    today, worked = here.sale(here.as_is), here.hours * here.an_hour
    outlay = -finished_then_sold(0.0, here.cost_left + worked, here.months, here.holding, here.rate)
    kept_share = here.sale(1.0) * (1 + here.rate) ** (-here.months / 12)
    ceiling = cost_ceiling(here.sale(here.finished), today, here.months, here.holding, here.rate)
    return float(break_even_finished_value(outlay, today, 1 - kept_share)) if kept_share > 0 else None, float(ceiling - worked)


def _chances(sample, turned, ways, keeping):
    """How often each way is the best, and keeping better than all of them."""
    here = ahead_in_draws(sample, turned)
    drawn = ways_on(here)
    found, finding_out = chances_of(ways, drawn)
    if keeping.rival is not None:
        found[KEEP] = float(np.mean(_kept_net(sample, keeping, here) > np.max([np.broadcast_to(way.net, BLOCKS * EACH) for way in drawn], axis=0)))
    return found, finding_out


def _kept_net(sample, keeping, here):
    """What keeping is as good as in every draw; the sale given up today is in the build's cost, and taken out again."""
    asked = Asked(sample.unknown, keeping.comparison.what_if, FROM_TODAY)
    cost = asked.costs(sample.draws)[:, keeping.years]
    rival = [option.id for option in asked.options].index(keeping.comparison.options[keeping.rival].id)
    given_up = here.sale(sample.project.file.value.as_is.figure)
    return cost[rival] - cost[0] + given_up - paid_while_held(here.holding, here.months, here.rate) - here.hours * here.an_hour


def chances_of(ways, drawn):
    """How often each way is the best of all, and what knowing beforehand which is would be worth.

    Parameters
    ----------
    ways : sequence of Way
        By the figures as written. [money]
    drawn : sequence of Way
        The same in every scenario of one sample. [money]

    Returns
    -------
    chances : dict of str to float
        By id; and `best beats beside`: that the best as written beats selling as it stands, or the second where that is the best. [-]
    finding_out : float
        Mean of the best of each scenario, less the best mean: at least 0. [money]
    """
    n = max(np.size(way.net) for way in drawn)
    nets = np.array([np.broadcast_to(way.net, n) for way in drawn])
    ids = [way.id for way in drawn]
    found = {id: float(np.mean(nets.argmax(axis=0) == k)) for k, id in enumerate(ids)}
    order = sorted(ways, key=lambda way: -way.net)
    beside = next((way for way in order if way.id == SELL), None) if order[0].id != SELL else next(iter(order[1:]), None)
    if beside is not None:
        found["best beats beside"] = float(np.mean(nets[ids.index(order[0].id)] > nets[ids.index(beside.id)]))
    return found, float(perfect_information(nets))
