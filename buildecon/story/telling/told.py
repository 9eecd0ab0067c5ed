"""Every model asked once about one project, for all forms of the write-up."""

from functools import cached_property

from buildecon.decision.ahead import AS_WRITTEN, sampled
from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
from buildecon.decision.half_way import half_way
from buildecon.decision.how_long import how_long
from buildecon.decision.trim import trimmed, worth_by_money
from buildecon.decision.upside_down import standing
from buildecon.decision.verdict import not_known, verdict
from buildecon.decision.work_list import AGAIN, menu, usual_view
from buildecon.ledger.forecast import forecast
from buildecon.ledger.ladder import ladder
from buildecon.ledger.variance import begun, waterfall
from buildecon.market.worth import worth
from buildecon.ownership.measured import read_logs


class Told:
    """What all models say of a project; each is asked when it is first looked at, and once.

    Parameters
    ----------
    project : Project
        The files. [-]
    """

    def __init__(self, project):
        self.project = project

    @property
    def currency(self):
        """Home currency, an ISO 4217 code."""
        return self.project.currency

    @property
    def as_of(self):
        """The day the figures hold for."""
        return self.project.file.build.as_of

    @cached_property
    def totals(self):
        """The ladder."""
        return ladder(self.project)

    @cached_property
    def quoted(self):
        """The rung the owner quotes."""
        return next(rung for rung in self.totals.rungs if rung.id == self.project.file.build.quoted_rung)

    @cached_property
    def compared(self):
        """Lines that are held against the plan: all, but of a build under way only what is begun."""
        return begun(self.totals.settled) if self.project.file.build.stage == "in progress" else self.totals.settled

    @cached_property
    def fall(self):
        """From plan to cost, of those."""
        return waterfall(self.compared)

    @cached_property
    def forecast(self):
        """Cost when finished."""
        return forecast(self.project, self.totals.settled)

    @cached_property
    def stand(self):
        """Value against money in."""
        return standing(worth(self.project), self.totals)

    @cached_property
    def whole(self):
        """The comparison, all money in."""
        return self._compared(WHOLE_STORY)

    @cached_property
    def today(self):
        """The comparison from today."""
        return self._compared(FROM_TODAY)

    @cached_property
    def known(self):
        """What is not known."""
        return not_known(self.project, self.totals)

    @cached_property
    def verdict(self):
        """Build or buy, both views."""
        return verdict(self.whole, self.today, self.known)

    @cached_property
    def life(self):
        """Years kept."""
        return how_long(self.whole)

    @cached_property
    def logs(self):
        """Energy as it was measured."""
        return read_logs(self.project)

    @cached_property
    def ahead(self):
        """The ways on, while something is left to finish; else None."""
        return half_way(self.project, self.totals, AS_WRITTEN, sampled(self.known)) if self.totals.to_finish[2] else None

    @cached_property
    def cut(self):
        """What to do and what to leave, of a finished build for who does it again; None where no jobs are written."""
        if not self.project.file.jobs:
            return None
        settled, limits = self.totals.settled, self.project.file.trim
        view = AGAIN if self.project.file.build.stage == "finished" else usual_view(self.project, settled)
        budget, hours = (float("inf") if limit is None else float(limit) for limit in (limits.budget, limits.hours))
        return trimmed(menu(self.project, settled, view), budget, hours)

    @cached_property
    def levels(self):
        """Every set of jobs by money; empty where no jobs are written."""
        return worth_by_money(self.cut.menu, self.cut.hours) if self.cut else ()

    def _compared(self, view):
        return compare(self.project, self.totals, as_written(self.project, self.totals), view)


def is_unspent(told):
    """Whether nothing at all has been spent, whatever the rung that is quoted leaves out.

    Parameters
    ----------
    told : Told
        Models of a project. [-]

    Returns
    -------
    bool
        False where only the car itself was bought. [-]
    """
    return not any(told.totals[id] for id in ("project_cash", "project_cash_net", "stands_in_at"))
