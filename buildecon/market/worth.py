"""What the car is worth: the range for this car in each of its states, and what made it so."""

from dataclasses import dataclass
from functools import cached_property
from math import exp, inf, log

import numpy as np

from buildecon.market.comparables import FINISHED, as_rows, columns, target
from buildecon.market.evidence import margin_of, readings
from buildecon.market.left_out import left_out
from buildecon.market.valuation import Fit, fitted
from buildecon.project.fields import Record
from buildecon.project.records import Project
from buildecon.project.worth import Reading
from buildecon.quantities.estimate import sure


@dataclass(frozen=True)
class Range:
    """Low, likely and high of a price. [money]"""

    low: float
    likely: float
    high: float


class Turned(Record):
    """The assumptions about the market that a reader may turn; every field replaces what the files say.

    Parameters
    ----------
    asking_percent, dealer_percent, bid_percent, offer_percent : float or None
        By how much a figure stands above a price, and a price above a bid or a refused offer; None for what the files say. [-]
    belief_width : float
        Times the width of every belief. [-]
    distance : float or None
        On this car's clock. [km or mi]
    asks_are_sales : bool
        Whether what is asked is taken for a price paid. [-]
    odd_rows : bool
        Whether a row far off counts for little. [-]
    """

    asking_percent: float | None = None
    dealer_percent: float | None = None
    bid_percent: float | None = None
    offer_percent: float | None = None
    belief_width: float = 1.0
    distance: float | None = None
    asks_are_sales: bool = False
    odd_rows: bool = False


@dataclass(frozen=True)
class Worth:
    """What evidence and beliefs say of one car.

    Parameters
    ----------
    project : Project
        With the assumptions it was made with. [-]
    reads : tuple of Read
        Every row of market.csv. [-]
    columns : tuple of Column
        The corrections. [-]
    fit : Fit or None
        None where there is neither evidence nor a guess. [-]
    stated, turned : Turned
        The assumptions of the files, and those it was made with. [-]
    """

    project: Project
    reads: tuple
    columns: tuple
    fit: Fit | None
    stated: Turned
    turned: Turned

    @cached_property
    def counted(self):
        """The rows in the sums."""
        return [read for read in self.reads if read.counts]

    @property
    def level(self):
        """How often the price lies in the range."""
        return float(self.project.file.market.level)

    @property
    def begun(self):
        """States that had begun by the day the figures hold on."""
        return [state.state for state in self.project.file.states if state.since <= self.project.file.build.as_of]

    @property
    def stage(self):
        """State of the car on the day the figures hold on: the last one begun, else the first to come."""
        states = self.project.file.states
        return self.begun[-1] if self.begun else states[0].state if states else FINISHED

    @property
    def is_of_finished(self):
        """Whether the range is only of the car finished: the build is not, and nobody wrote in what state it is."""
        return self.project.file.build.stage != FINISHED and self.stage == FINISHED and not self.begun

    @cached_property
    def bound(self):
        """`("at most", price)` or `("at least", price)` where every row bounds the price from that side only, else None."""
        counted = self.counted
        if not counted:
            return None
        if all(read.low == -inf for read in counted):
            return "at most", min(high for _, high in self.as_this_car)
        if all(read.high == inf for read in counted):
            return "at least", max(low for low, _ in self.as_this_car)
        return None

    @property
    def is_known(self):
        """Whether there is a range: not from one side alone, and not from nothing."""
        return self.fit is not None and self.bound is None

    def aim(self, stage):
        """The car in one of its states as the model takes it; beliefs and corrections stay those of the car as written, however far it has gone."""
        turned, stated = self.turned.distance, self.stated.distance
        return target(self.columns, stage, 0.0 if turned is None or stated is None else (turned - stated) / 10_000)

    def of_state(self, stage, line=False, level=None):
        """Range of the price in one state, or of the middle of the market; None where it is not known."""
        if not self.is_known:
            return None
        tail = (1 - (level or self.level)) / 2
        return Range(*map(float, np.exp(self.fit.quantiles(self.aim(stage), [tail, 0.5, 1 - tail], line))))

    @cached_property
    def value(self):
        """Range for this car in the state the evidence is read for, or None."""
        return self.of_state(self.stage)

    @property
    def today(self):
        """Range for this car as it stands; None where it is not known, or only of the car finished."""
        return None if self.is_of_finished else self.value

    @cached_property
    def middle(self):
        """Range of the middle of the market for such cars, or None."""
        return self.of_state(self.stage, line=True)

    def evidence_for(self, stage):
        """Rows in the sums, and sales among them, of one state."""
        rows = [read for read in self.counted if (read.row.state or FINISHED) == stage]
        return len(rows), sum(read.is_sale for read in rows)

    def chance_above(self, price, stage=None):
        """Chance that it sells for more than a price, or None."""
        if not self.is_known:
            return None
        return float(self.fit.chance_above(self.aim(stage or self.stage), [log(price) if price > 0 else -inf])[0])

    @cached_property
    def as_this_car(self):
        """What each row in the sums says of this car as it stands: low and high of its price after every correction, infinite for no bound. [money]"""
        if self.fit is None or not self.counted:
            return ()
        rows = self.fit.rows
        one_sided = np.all(rows.low == -inf) or np.all(rows.high == inf)
        corrections = self.fit.prior.mean if one_sided else self.fit.mean  # from one side alone nothing is learnt about them
        off = (rows.x - self.aim(self.stage)) @ corrections
        return tuple((exp(low - step), exp(high - step) if high < inf else inf) for low, high, step in zip(rows.low, rows.high, off, strict=True))

    @cached_property
    def without_guess(self):
        """The same evidence without the owner's first guess; None where there is no guess, or nothing else."""
        market = self.project.file.market
        if market.first_guess is None or not self.is_known or not self.counted:
            return None
        bare = self.project.model_copy(update={"file": self.project.file.model_copy(update={"market": market.model_copy(update={"first_guess": None})})})
        return worth(bare, Turned(belief_width=self.turned.belief_width, distance=self.turned.distance, odd_rows=market.odd_rows))

    @cached_property
    def pulls(self):
        """For each row in the sums: chance of such a figure by the others, times what they expect, and what it adds to the price, NaN where they leave no price. [money]"""
        if not self.is_known or not self.counted:
            return ()
        odd, times, pull = left_out(self.fit, self.aim(self.stage))
        money = self.value.likely * (1 - np.exp(-pull))
        return tuple(zip(odd, times, money, strict=True))

    @property
    def told(self):
        """Every row of market.csv with what it says of this car and its pull; None where it does not count or nothing is known."""
        says, pulls = iter(self.as_this_car), iter(self.pulls)
        return [(read, next(says, None), next(pulls, None)) if read.counts else (read, None, None) for read in self.reads]

    @cached_property
    def decline(self):
        """Share of its value the car loses a year at the owner's distance: low, likely and high from the evidence; None where no column says."""
        names = [column.name for column in self.columns]
        per = np.zeros(len(names))
        for k, name in enumerate(names):
            per[k] = 1.0 if name == "a year older" else float(self.project.file.use.distance_a_year) / 10_000 if name.startswith("10,000") else 0.0
        if self.fit is None or not per.any():
            return None
        tail = (1 - self.level) / 2
        low, likely, high = (1 - exp(q) for q in self.fit.quantiles(per, [1 - tail, 0.5, tail], line=True))
        return Range(low, likely, high)


def as_stated(project):
    """The assumptions as the files have them.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    Turned
        Margins in per cent. [-]
    """
    market, distance = project.file.market, project.file.this_car.distance
    percents = {f"{kind.split()[0]}_percent": round(100 * margin_of(market, kind)[0], 2) for kind in ("asking", "dealer", "bid", "offer refused")}
    return Turned(**percents, distance=None if distance is None else float(distance), odd_rows=market.odd_rows)


def turned_project(project, turned: Turned):
    """The project with other assumptions about the market.

    Parameters
    ----------
    project : Project
        The files. [-]
    turned : Turned
        What replaces theirs. [-]

    Returns
    -------
    Project
        The same but for `[market]`. [-]
    """
    market = project.file.market
    asked = {"asking": turned.asking_percent, "dealer": turned.dealer_percent, "bid": turned.bid_percent, "offer_refused": turned.offer_percent}
    read = {name: _reading(getattr(market.readings, name), percent, turned.asks_are_sales and name in ("asking", "dealer")) for name, percent in asked.items()}
    market = market.model_copy(update={"readings": market.readings.model_copy(update=read), "odd_rows": turned.odd_rows})
    return project.model_copy(update={"file": project.file.model_copy(update={"market": market})})


def _reading(reading: Reading, percent, as_price):
    how = {"reading": "as price"} if as_price else {}
    return reading.model_copy(update=({} if percent is None else {"margin": sure(round(percent / 100, 6))}) | how)


def worth(project, turned: Turned = None):
    """What the market says the car is worth.

    Parameters
    ----------
    project : Project
        The files. [-]
    turned : Turned, optional
        Assumptions that replace those of the files. [-]

    Returns
    -------
    Worth
        With a range where the evidence allows one. [-]
    """
    stated = as_stated(project)
    turned = turned or stated
    if turned != stated:
        project = turned_project(project, turned)
    reads = readings(project)
    counted = [read for read in reads if read.counts]
    found = columns(project, counted, turned.belief_width)
    guess = project.file.market.first_guess
    fit = fitted(*as_rows(counted, found), project.file.market.odd_rows) if counted or guess is not None else None
    return Worth(project, reads, found, fit, stated, turned)
