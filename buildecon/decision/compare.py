"""The build beside everything one could have instead: same start, same money, same use, by years kept."""

import math
from dataclasses import dataclass

import numpy as np

from buildecon.decision.breakeven import break_even
from buildecon.decision.gates import cost_of_each_gate, gates_of
from buildecon.decision.option_terms import FROM_TODAY, WHOLE_STORY, Question, all_in, ends_by, life_of, money_in, offered, terms_of, values_by  # noqa: F401
from buildecon.ledger.ladder import Ladder, ladder
from buildecon.ownership.expected import begun_anew, expected_renewals_by_month
from buildecon.ownership.keeping import level_cost
from buildecon.ownership.replacement import total_if_replaced
from buildecon.ownership.terms import Terms
from buildecon.project.records import Project, WhatIf


@dataclass(frozen=True)
class Comparison:
    """Cost of every option by years kept.

    Parameters
    ----------
    project : Project
        What is compared. [-]
    totals : Ladder
        Its ladder. [money]
    view : {"whole story", "from today"}
        All money in, or only what is still to be decided. [-]
    what_if : WhatIf
        The numbers it was made with. [-]
    options, left_out : tuple of Option
        Compared, and not to be had from today. [-]
    money_in : tuple of dict of str to float
        What goes in at the start, by what it is for, an option each. [money]
    years : ndarray, shape (n,)
        Month by month from 0. [year]
    total, per_month, per_distance : ndarray, shape (options, n)
        Present value; level cost a month; the same for one km or mile. [money, money/month, money/km]
    gates : tuple of tuple of Gate
        How each option stands against each must-have. [-]
    terms : Terms
        What it was added up from. [-]
    end_value : ndarray, shape (options, n)
        What would come back by age. [money]
    replaced : ndarray, shape (options, most)
        Months at whose end a car at the end of its life is replaced; NaN where there is none. [month]
    by_chance : ndarray, shape (options, months)
        Expected bills for components that fail by chance; a car that follows begins as the first did. [money]
    """

    project: Project
    totals: Ladder
    view: str
    what_if: WhatIf
    options: tuple
    left_out: tuple
    money_in: tuple
    years: np.ndarray
    total: np.ndarray
    per_month: np.ndarray
    per_distance: np.ndarray
    gates: tuple
    terms: Terms
    end_value: np.ndarray
    replaced: np.ndarray
    by_chance: np.ndarray

    @property
    def build(self):
        """Position of the build that is quoted."""
        return self.position(self.project.file.build.quoted_option)

    @property
    def passes(self):
        """Whether each option meets every must-have, shape (options,)."""
        return np.array([all(gate.passes for gate in gates) for gates in self.gates])

    def position(self, id):
        """Position of an option by its id."""
        return [option.id for option in self.options].index(id)

    def month(self, years):
        """Position on the month grid of some years kept."""
        return round(12 * years)

    def rivals(self):
        """Positions of the options that are no build, in the owner's order."""
        return [k for k, option in enumerate(self.options) if option.kind != "build"]

    def cheapest_rival(self, years):
        """Position of the cheapest option that is no build and passes, at some years kept, or None."""
        able = [k for k in self.rivals() if self.passes[k]]
        return min(able, key=lambda k: self.total[k, self.month(years)], default=None)

    def break_even(self, k):
        """Where the quoted build and option k cross, in years kept."""
        return break_even(self._apart(self.total[k]), self.years)

    def ready(self, k):
        """Months until option k is there to be kept: what it costs to leave a build half-way is told by no figure here."""
        months = self.options[k].build_months
        return math.ceil(months.likely) if months else 0

    @property
    def done_after(self):
        """Months until the build is there to be kept; nothing is a break-even before."""
        return min(self.ready(self.build), len(self.years) - 1)

    @property
    def first_year(self):
        """The first whole year by whose end the build is there to be kept."""
        return max(-(-self.done_after // 12), 1)

    def _apart(self, other):
        """Cost of the build less another's; while it is built as at its end."""
        apart, done = self.total[self.build] - other, self.done_after
        return np.concatenate([np.full(done, apart[done]), apart[done:]])

    def against_cheapest(self):
        """Where the quoted build crosses whatever other option is the cheapest that passes at each length; None where nothing passes."""
        able = [k for k in self.rivals() if self.passes[k]]
        return break_even(self._apart(self.total[able].min(axis=0)), self.years) if able else None

    def gate_costs(self, years):
        """What each must-have that somebody fails costs a month at some years kept."""
        return cost_of_each_gate(self.per_month[:, self.month(years)], self.gates)


def as_written(project, totals):
    """The numbers a reader may turn, as the files have them.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder of totals. [money]

    Returns
    -------
    WhatIf
        Likely values; what is still to come at the mean of its range. [-]
    """
    build, use = project.option(project.file.build.quoted_option), project.file.use
    return WhatIf(
        years_kept=use.years_kept,
        distance_a_year=float(use.distance_a_year),
        end_value=float(build.value or project.file.value.finished),
        discount_percent=100 * float(use.discount_rate),
        still_to_come=round(float(totals.expected_to_finish), 2),
    )


def compare(project, totals: Ladder = None, what_if: WhatIf = None, view=WHOLE_STORY):
    """Every option side by side.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder, optional
        Its ladder, where the caller has it already. [money]
    what_if : WhatIf, optional
        Numbers that replace those of the files. [-]
    view : {"whole story", "from today"}, optional
        Looking back on all money in, or forward from what the car would sell for now. [-]

    Returns
    -------
    Comparison
        By month over the horizon searched. [money]
    """
    totals = totals or ladder(project)
    what_if = what_if or as_written(project, totals)
    question = Question(project, totals, what_if, view)
    options, left_out = offered(project, view)
    months = 12 * project.file.use.horizon_years
    years = np.arange(months + 1) / 12
    parts = tuple(money_in(option, question) for option in options)
    values = values_by(options, question, years)
    end = ends_by(options, question, values, years)
    rate = question.rate
    terms = terms_of(options, question, parts, values)
    total, replaced = total_if_replaced(terms, end, months, life_of(options, question, terms, all_in(options, question, parts)), rate, float(project.file.use.inflation_rate))
    by_chance = begun_anew([expected_renewals_by_month(option, what_if.distance_a_year, project.file.build.distance_unit, months) for option in options], replaced)
    if by_chance.any():
        total[:, 1:] += np.cumsum(by_chance * (1 + rate) ** (-np.arange(1, months + 1) / 12), axis=1)
    per_month = level_cost(total, rate)
    driven = np.array([0 if option.kind == "hire" else what_if.distance_a_year / 12 for option in options])[:, None]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        per_distance = np.where(driven > 0, per_month / driven, np.nan)
    gates = tuple(gates_of(option, project.file.must_haves) for option in options)
    return Comparison(project, totals, view, what_if, options, left_out, parts, years, total, per_month, per_distance, gates, terms, end, replaced, by_chance)


def price_of_joy(comparison, build=None):
    """What the build costs a month above the cheapest other option that passes every must-have, by month kept.

    Parameters
    ----------
    comparison : Comparison
        Every option. [-]
    build : int, optional
        Position of the build; the quoted one by default. [-]

    Returns
    -------
    ndarray, shape (n,)
        Below 0 where the build is the cheap choice; NaN where nothing else passes, and before it is done. [money/month]
    """
    build = comparison.build if build is None else build
    able = [k for k in comparison.rivals() if comparison.passes[k]]
    if not able:
        return np.full(comparison.years.shape, np.nan)
    joy = comparison.per_month[build] - comparison.per_month[able].min(axis=0)
    return np.where(np.arange(joy.size) < comparison.ready(build), np.nan, joy)


def joy_by(comparison, per_month, years):
    """A price of joy spread over drive days and over hours.

    Parameters
    ----------
    comparison : Comparison
        For the use and the own hours. [-]
    per_month : float
        The price of joy. [money/month]
    years : float
        Years kept. [year]

    Returns
    -------
    dict of str to float or None
        `per_drive_day`, and `per_hour` of building and driving together; None where the files give no hours, or count them as labour. [money]
    """
    file = comparison.project.file
    days, hours = float(file.use.drive_days_a_year), years * float(file.use.drive_hours_a_year)
    if comparison.view == WHOLE_STORY:  # from today the hours of building are spent
        # Hours that are paid for in the sums are not divided by as well.
        hours = hours + float(comparison.project.hours_spent) if file.own_hours.convention == "hobby" else 0.0
    return {"per_drive_day": 12 * per_month / days if days else None, "per_hour": 12 * years * per_month / hours if hours else None}
