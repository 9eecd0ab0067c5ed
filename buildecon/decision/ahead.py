"""What lies ahead of a build half-way: its figures as written, at the ends of their ranges, or in draws, and as a reader turned them."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from buildecon.decision.chances import BLOCKS, EACH, SEED
from buildecon.decision.inputs import OVERRUN, Unknown
from buildecon.ledger.settlement import to_come
from buildecon.project.records import Project
from buildecon.quantities.estimate import Estimate


@dataclass(frozen=True)
class Turned:
    """Numbers that a reader may turn; None leaves what the files say.

    Parameters
    ----------
    finished, as_is : float or None
        What it would sell for when finished, and today. [money]
    cost_left : float or None
        Still to come. [money]
    months : float or None
        Until it is done. [month]
    holding : float or None
        What holding it costs a month. [money/month]
    years_kept : int or None
        If it is kept. [year]
    discount_percent : float or None
        A year. [%/year]
    """

    finished: float | None = None
    as_is: float | None = None
    cost_left: float | None = None
    months: float | None = None
    holding: float | None = None
    years_kept: int | None = None
    discount_percent: float | None = None


AS_WRITTEN = Turned()


@dataclass(frozen=True)
class Ahead:
    """What lies ahead, as figures of any shape.

    Parameters
    ----------
    project : Project
        The files. [-]
    left : float or ndarray
        Money still to come, by the files. [money]
    left_by_line : dict of str to (float or ndarray)
        The same by line. [money]
    written : float
        Mean of what is still to come as the files have it; what a reader turns it to is against this. [money]
    turned : Turned
        What a reader changed. [-]
    gain, pay : callable
        From an Estimate to its figure, where more is better and where more is worse. [-]
    """

    project: Project
    left: object
    left_by_line: dict
    written: float
    turned: Turned
    gain: Callable
    pay: Callable

    @property
    def as_is(self):
        """What it sells for today. [money]"""
        return _turned(self.gain(self.project.file.value.as_is), self.project.file.value.as_is, self.turned.as_is)

    @property
    def finished(self):
        """What it sells for when finished. [money]"""
        written = self.project.file.value.finished
        return _turned(self.gain(written), written, self.turned.finished)

    @property
    def cost_left(self):
        """Still to come. [money]"""
        return self.left if self.turned.cost_left is None else self.left * (self.turned.cost_left / self.written) if self.written else self.turned.cost_left + 0 * self.left

    @property
    def months(self):
        """Until it is done. [month]"""
        written = self.project.file.half_way.months
        return _turned(self.pay(written), written, self.turned.months)

    @property
    def holding(self):
        """What holding it costs a month. [money/month]"""
        written = self.project.file.half_way.holding
        return _turned(self.pay(written), written, self.turned.holding)

    @property
    def hours(self):
        """Own hours still to be worked. [hour]"""
        return self.pay(self.project.file.half_way.hours)

    @property
    def rate(self):
        """Of discount, effective. [1/year]"""
        turned = self.turned.discount_percent
        return self.project.file.use.discount_rate.figure if turned is None else turned / 100

    @property
    def an_hour(self):
        """What an own hour costs in these sums: 0 for a hobby, else the owner's rate. [money]"""
        return self.project.file.own_hours.an_hour

    @property
    def is_open(self):
        """Whether there is anything left to finish."""
        value, turned = self.project.file.value, self.turned
        done = self.project.file.build.stage == "finished" and not self.written and turned.finished is None and turned.cost_left is None
        return not done and bool(np.any(self.cost_left) or np.any(self.hours) or np.any(self.months) or value.finished != value.as_is or turned.finished is not None)

    def done_at(self, price):
        """A price of the car further on, moved as its finished value is. [money]

        A single figure, and any in a sample, goes up and down with the finished value: the same buyers pay both.
        """
        finished = self.project.file.value.finished
        if float(finished) and (price.is_sure or np.ndim(finished.figure)):
            return self.finished * (float(price) / float(finished))
        return _turned(self.gain(price), finished, self.turned.finished)

    def after(self, price):
        """A price as it stands but for one job; what the job adds stays what it is where the value as it stands is turned. [money]

        A single figure, and any in a sample, goes up and down with the value as it stands: it is the same car.
        """
        as_is = self.project.file.value.as_is
        if float(as_is) and (price.is_sure or np.ndim(as_is.figure)):
            return self.as_is + self.gain(as_is) * (float(price) / float(as_is) - 1)
        return self.gain(price) + (0.0 if self.turned.as_is is None else self.turned.as_is - float(as_is))

    def sale(self, price):
        """A price with the selling cost taken off. [money]"""
        return price * (1 - self.project.file.value.selling_cost_share.figure)

    def left_of(self, lines):
        """Still to come on some lines, moved as the whole was turned. [money]"""
        part = sum((self.left_by_line.get(id, 0.0) for id in lines), 0.0)
        return part if self.turned.cost_left is None or not self.written else part * (self.turned.cost_left / self.written)


def _turned(figure, written, to):
    """A figure moved in proportion as a number of the files was; where the files have 0, to what was set."""
    if to is None:
        return figure
    return figure * (to / float(written)) if float(written) else to + 0 * figure


def likely(estimate):
    """The figure of an estimate: its likely value, or its draws.

    Parameters
    ----------
    estimate : Estimate
        A number or a range. [-]

    Returns
    -------
    float or ndarray, shape (n,)
        To count with. [-]
    """
    return estimate.figure


def _up(estimate):
    return np.array(estimate.floats)


def _down(estimate):
    return np.array(estimate.floats[::-1])


def ahead(project, totals, turned=AS_WRITTEN):
    """What lies ahead by the figures as written.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]
    turned : Turned, optional
        Moved figures. [-]

    Returns
    -------
    Ahead
        What is still to come at the mean of its ranges. [money]
    """
    written = float(totals.expected_to_finish)
    return Ahead(project, written, {id: float(part.mean) for id, part in open_lines(totals).items()}, written, turned, likely, likely)


@dataclass(frozen=True)
class Sample:
    """Draws of all that is not known of a project, made once for any number of turned figures.

    Parameters
    ----------
    unknown : Unknown
        What they are draws of. [-]
    draws : dict of str to ndarray, shape (n,)
        By input. [-]
    project : Project
        With the draws in the place of its ranges. [-]
    left : ndarray, shape (n,)
        Still to come: it runs over as the build has so far, or as earlier ones did. [money]
    left_by_line : dict of str to (float or ndarray)
        The same by line. [money]
    """

    unknown: Unknown
    draws: dict
    project: Project
    left: object
    left_by_line: dict


def sampled(unknown):
    """Draws of all that is not known, the same as the other pages count with.

    Parameters
    ----------
    unknown : Unknown
        Of a project. [-]

    Returns
    -------
    Sample or None
        None where no figure is a range. [-]
    """
    if not unknown.inputs:
        return None
    draws = unknown.drawn(EACH, range(SEED, SEED + BLOCKS))
    lines = {id: float(part.mean) * draws.get(OVERRUN, 1.0) for id, part in open_lines(unknown.totals).items()} | unknown.left_by_line(draws)
    return Sample(unknown, draws, unknown.with_draws(draws), unknown.left(draws), lines)


def ahead_in_draws(sample, turned=AS_WRITTEN):
    """What lies ahead in every draw of what is not known.

    Parameters
    ----------
    sample : Sample
        Of the project. [-]
    turned : Turned, optional
        Moved figures: their spread goes with them. [-]

    Returns
    -------
    Ahead
        Every figure that is not known an array of n. [money]
    """
    written = float(sample.unknown.totals.expected_to_finish)
    return Ahead(sample.project, sample.left, sample.left_by_line, written, turned, likely, likely)


def ahead_at_ends(project, totals, turned=AS_WRITTEN):
    """What lies ahead when everything goes badly, as written, and when everything goes well: values move together, cost goes up with delay.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]
    turned : Turned, optional
        Moved figures. [-]

    Returns
    -------
    Ahead
        Every figure an array of three. [money]
    """
    lines = {id: np.array([float(part.high), float(part.mean), float(part.low)]) for id, part in open_lines(totals).items()}
    written = float(totals.expected_to_finish)
    left = np.array([float(totals.to_finish[2]), written, float(totals.to_finish[0])])
    return Ahead(project, left, lines, written, turned, _up, _down)


def open_lines(totals):
    """What is still to come, by line, bills that are not paid among it.

    Parameters
    ----------
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    dict of str to Estimate
        Lines with nothing to come are left out. [money]
    """
    found = {}
    for one in totals.settled:
        part = to_come(one, totals.stage)
        if part is not None or one.unpaid:
            ends = (part.low, part.likely, part.high) if part is not None else (0, 0, 0)
            found[one.line.id] = Estimate(*(end + one.unpaid for end in ends))
    return found
