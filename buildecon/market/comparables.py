"""What is known of like cars as columns, each with the belief it starts from, centred on the car to be valued."""

from dataclasses import dataclass, replace
from math import inf, log, sqrt

import numpy as np

from buildecon.market.evidence import GRADED
from buildecon.market.likelihood import Rows
from buildecon.market.valuation import Prior
from buildecon.project.rows import CarCondition, CarStage
from buildecon.quantities.units import KM_PER

FOUR_IN_FIVE = 2.5631  # width of the middle 80 % of a normal distribution, in standard deviations
CONDITIONS = tuple(word for word in CarCondition.__args__ if word)
STAGES = CarStage.__args__
FINISHED = "finished"
LEVEL = "the market for this car, finished"
# Mean and sd in logs before any evidence. Six models of used car (Stat2Data, ThreeCars and ThreeCars2017) were asked for at 0.078 less a year (between models
# 0.045) and 0.065 less per 10,000 miles (0.057). A niche car is off that curve: both means are set milder, age wider, at our discretion. The others: common practice, no source.
A_YEAR_OLDER = (-0.06, 0.06)
AN_OLD_CAR, A_YEAR_OLDER_STILL = 25, (0.0, 0.05)
TEN_THOUSAND_MILES = (-0.04, 0.05)
A_GRADE_BETTER = (0.25, 0.15)
MODIFIED_OTHERWISE = (0.0, 0.2)
# Share of the finished price in other states, read as four times out of five: common practice, no source.
STATE_SHARES = {"as found": (0.2, 0.6), "running": (0.35, 0.85), "stripped": (0.15, 0.45), "running again": (0.55, 0.95)}
USUAL = {"year": 5.0, "10,000 mi": 4.0, "10,000 km": 6.4, "grade": 1.0}  # by how much like cars differ, years, ten thousands and grades: common practice, no source
NO_GUESS_SD = 100.0  # in logs: no belief at all


@dataclass(frozen=True)
class Column:
    """One correction between cars.

    Parameters
    ----------
    name : str
        In words. [-]
    values : tuple of float or None
        Of each row that counts, as a difference from the car to be valued; None where it is not known. [-]
    mean, sd : float
        Belief before the evidence, in logs. [-]
    stated : bool
        Whether the belief is the owner's. [-]
    unknown : float, optional
        What a row without this fact is taken to be: the middle of the others. [-]
    """

    name: str
    values: tuple
    mean: float
    sd: float
    stated: bool
    unknown: float = 0.0

    @property
    def missing(self):
        """Spread in logs that a row without this fact gets, for how much cars of one kind usually differ in it."""
        usual = next((usual for words, usual in USUAL.items() if words in self.name), 1.0)
        return usual * sqrt(self.mean**2 + self.sd**2)


def columns(project, reads, width=1.0):
    """The columns that the evidence and the car to be valued both fill.

    Parameters
    ----------
    project : Project
        With `[this_car]` and `[market]`. [-]
    reads : sequence of Read
        Those that count. [-]
    width : float, optional
        Times the sd of every belief. [-]

    Returns
    -------
    tuple of Column
        The first is the level: the price of this car, finished. [-]
    """
    car, market, rows = project.file.this_car, project.file.market, [read.row for read in reads]
    beliefs = market.beliefs
    found = [_level(market, reads)]

    def add(name, values, belief, default, told=None):
        if any(values):  # a column in which all are like this car says nothing
            mean, sd = default if belief is None else _of_change(belief)
            known = [value for value in (values if told is None else told) if value is not None]
            found.append(Column(name, tuple(values), mean, sd, belief is not None, float(np.mean(known)) if known else 0.0))

    unit = project.file.build.distance_unit
    old = car.year is not None and project.file.build.as_of.year - car.year >= AN_OLD_CAR
    if car.year is not None:
        add("a year older", [None if row.year is None else car.year - float(row.year) for row in rows], beliefs.a_year_older, A_YEAR_OLDER_STILL if old else A_YEAR_OLDER)
    if car.distance is not None:
        off = [None if row.distance is None else (float(row.distance) - float(car.distance)) / 10_000 for row in rows]
        add(f"10,000 {unit} more", off, beliefs.ten_thousand_more, tuple(part * KM_PER[unit] / KM_PER["mi"] for part in TEN_THOUSAND_MILES))
    if car.condition:
        off = [_grades(row, car.condition) for row in rows]
        add("a grade better", off, beliefs.a_grade_better, A_GRADE_BETTER, [value for value, row in zip(off, rows, strict=True) if (row.state or FINISHED) == FINISHED])
    if car.modification:
        for word in sorted({row.modification for row in rows} - {"", car.modification}):
            off = [float(row.modification == word) if row.modification else None for row in rows]
            add(f"{word} instead of {car.modification}", off, beliefs.modified_otherwise, MODIFIED_OTHERWISE, ())
    for stage, ends in STATE_SHARES.items():
        belief = getattr(beliefs, stage.replace(" ", "_"))
        mean, sd = _of_shares(*ends) if belief is None else _of_share(belief)
        found.append(Column(f"{stage} instead of finished", tuple(float(row.state == stage) for row in rows), mean, sd, belief is not None))
    return tuple(replace(one, sd=one.sd * width) for one in found)


def _grades(row, condition):
    """Grades better than this car, among finished ones; of others the state says it all."""
    if (row.state or FINISHED) != FINISHED:
        return 0.0
    return CONDITIONS.index(row.condition) - CONDITIONS.index(condition) if row.condition else None


def _level(market, reads):
    guess, ones = market.first_guess, (1.0,) * len(reads)
    if guess is not None:
        return Column(LEVEL, ones, *_of_share(guess), True)
    ends = [end for read in reads for end in (read.low, read.high) if abs(end) < inf]
    return Column(LEVEL, ones, float(np.mean(ends)) if ends else 0.0, NO_GUESS_SD, False)


def _of_shares(low, high):
    """A range that holds four times out of five: its ends decide."""
    return (log(low) + log(high)) / 2, log(high / low) / FOUR_IN_FIVE


def _of_share(belief):
    return _of_shares(float(belief.low), float(belief.high))


def _of_change(belief):
    return _of_shares(1 + float(belief.low), 1 + float(belief.high))


def as_rows(reads, found):
    """Evidence and columns as the model takes them.

    Parameters
    ----------
    reads : sequence of Read
        Those that count. [-]
    found : sequence of Column
        From `columns`. [-]

    Returns
    -------
    rows : Rows
        One a car. [-]
    prior : Prior
        One belief a column. [-]

    Notes
    -----
    A year, distance or condition that a row lacks is taken to be in the middle of the others', its modification to be this car's; with more spread for it.
    """
    x = np.array([[column.unknown if value is None else value for value in column.values] for column in found]).reshape(len(found), len(reads)).T
    spread = [sqrt(read.spread**2 + _unknown(read, k, found)) for k, read in enumerate(reads)]
    rows = Rows([read.low for read in reads], [read.high for read in reads], spread, [read.weight for read in reads], x)
    return rows, Prior([column.mean for column in found], [column.sd for column in found])


def _unknown(read, k, found):
    """Variance in logs for what is not known of a row, and for a condition that nobody saw."""
    graded = any(column.name == "a grade better" for column in found)
    seen = GRADED[read.row.graded_by] if graded and read.row.condition and (read.row.state or FINISHED) == FINISHED else 0.0
    return seen**2 + sum(column.missing**2 for column in found if column.values[k] is None)


def target(found, stage, further=0.0):
    """The car to be valued in one of its states, as the model takes it.

    Parameters
    ----------
    found : sequence of Column
        From `columns`. [-]
    stage : str
        State. [-]
    further : float, optional
        On its clock than the files say, in ten thousands. [km or mi]

    Returns
    -------
    ndarray, shape (k,)
        1 for the level, and for its state; `further` for the distance. [-]
    """
    return np.array([1.0, *(further if column.name.startswith("10,000") else float(column.name == f"{stage} instead of finished") for column in found[1:])])
