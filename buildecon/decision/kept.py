"""Finishing and keeping it against going over to the cheapest other that passes, in the money of the ways of selling."""

from dataclasses import dataclass

from buildecon.decision.compare import FROM_TODAY, Comparison, as_written, compare
from buildecon.decision.finish import paid_while_held
from buildecon.decision.ways import KEEP, Way
from buildecon.quantities.estimate import sure

PROBE = 1000.0  # money by which a figure is moved to see how the cost of keeping follows it; it does so along a straight line


@dataclass(frozen=True)
class Kept:
    """Finishing and keeping it, against selling it and going over to the cheapest other that passes.

    Parameters
    ----------
    comparison : Comparison
        From today. [-]
    years : int
        It is kept. [year]
    rival : int or None
        Position of the other; None where nothing passes. [-]
    build_costs, rival_costs : float
        Present worth of having either so long, what comes back at the end taken off; giving up the sale today is not in the build's. [money]
    by_value, by_left : float
        By how much the build's cost moves with its finished value and with what is still to come. [-]
    value, left : float
        The figures it was worked out at. [money]
    """

    comparison: Comparison
    years: int
    rival: int | None
    build_costs: float
    rival_costs: float | None
    by_value: float
    by_left: float
    value: float
    left: float

    @property
    def per_month(self):
        """What the build and the other cost a month from today, not selling it as it stands counted as money put in. [money/month]"""
        month, build = self.comparison.month(self.years), self.comparison.build
        other = None if self.rival is None else float(self.comparison.per_month[self.rival, month])
        return float(self.comparison.per_month[build, month]), other

    def way(self, here):
        """Keeping as a way on: as good as so much in hand today for somebody who needs a car anyway; None where nothing passes.

        It brings what the other car would cost, and costs what keeping this one does.
        """
        if self.rival is None:
            return None
        worked = here.hours * here.an_hour
        costs = self.build_costs + self.by_value * (here.finished - self.value) + self.by_left * (here.cost_left - self.left)
        costs = costs + paid_while_held(here.holding, here.months, here.rate) + worked
        return Way(KEEP, KEEP, f"{'Finish and keep' if here.is_open else 'Keep'} it {self.years} years", self.rival_costs + 0 * costs, costs, here.hours, here.months, worked)


def kept(project, totals, here):
    """What keeping costs against going over.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Of the project. [money]
    here : Ahead
        By the figures as written, or as turned. [money]

    Returns
    -------
    Kept
        The other is the cheapest that passes at those years. [money]
    """
    if here.turned.as_is is not None:
        value = project.file.value.model_copy(update={"as_is": sure(round(here.turned.as_is, 2))})
        project = project.model_copy(update={"file": project.file.model_copy(update={"value": value})})
    written, turned, finished = as_written(project, totals), here.turned, float(project.file.value.finished)
    moved = {"end_value": written.end_value * here.finished / finished if finished else float(here.finished), "still_to_come": float(here.cost_left)}
    moved |= {"years_kept": turned.years_kept} if turned.years_kept is not None else {}
    moved |= {"discount_percent": turned.discount_percent} if turned.discount_percent is not None else {}
    what_if = written.model_copy(update=moved)
    now = compare(project, totals, what_if, FROM_TODAY)
    years, build = what_if.years_kept, now.build
    month, rival = now.month(years), now.cheapest_rival(years)

    def total(**probe):
        return float(compare(project, totals, what_if.model_copy(update=probe), FROM_TODAY).total[build, month])

    cost, given_up = float(now.total[build, month]), float(here.sale(here.as_is))
    by_value = (total(end_value=what_if.end_value + PROBE) - cost) / PROBE * (written.end_value / finished if finished else 1.0)
    by_left = (total(still_to_come=what_if.still_to_come + PROBE) - cost) / PROBE
    other = None if rival is None else float(now.total[rival, month])
    return Kept(now, years, rival, cost - given_up, other, by_value, by_left, float(here.finished), float(here.cost_left))
