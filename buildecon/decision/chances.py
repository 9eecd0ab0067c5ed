"""The costs of the options when the figures are not known: the chance that the build is the cheaper, its band, and how far upside down."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from buildecon.decision.breakeven import EQUAL
from buildecon.decision.compare import as_written
from buildecon.decision.gates import gates_of
from buildecon.decision.inputs import COUNTED, OVERRUN, SPENT, Unknown
from buildecon.decision.option_terms import WHOLE_STORY, Question, all_in, ends_by, life_of, money_in, offered, terms_of, values_by
from buildecon.decision.what_counts import counted
from buildecon.ownership.expected import begun_anew, expected_renewals_by_month
from buildecon.ownership.replacement import totals_if_replaced
from buildecon.ownership.scenarios import totals as totals_by_scenario
from buildecon.project.records import WhatIf
from buildecon.quantities.sampling import error_of_blocks
from buildecon.quantities.timevalue import annuity_factor, rate_per_period

BLOCKS, EACH = 8, 512  # independent sets of even points: together the draws, apart their error
SEED = 20260101
BAND = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Asked:
    """What is asked when figures are not known: which view, with which numbers turned by the reader.

    Parameters
    ----------
    unknown : Unknown
        The files and what is not known of them. [-]
    what_if : WhatIf
        The reader's numbers; one that differs from the files' is taken as known. [-]
    view : {"whole story", "from today"}
        All money in, or only what is still to be decided. [-]
    """

    unknown: Unknown
    what_if: WhatIf
    view: str = WHOLE_STORY

    @property
    def project(self):
        """The files."""
        return self.unknown.project

    @cached_property
    def turned(self):
        """Names of the numbers that the reader has turned."""
        written = as_written(self.project, self.unknown.totals)
        return {name for name in WhatIf.model_fields if getattr(self.what_if, name) != getattr(written, name)}

    @cached_property
    def options(self):
        """Every option that passes; the build that is quoted comes first, whatever it fails."""
        quoted = self.project.file.build.quoted_option
        able = [one for one in offered(self.project, self.view)[0] if one.id == quoted or one.kind != "build" and all(gate.passes for gate in gates_of(one, self.project.file.must_haves))]
        return tuple(sorted(able, key=lambda one: one.id != quoted))

    def of_build_alone(self):
        """The same question of the build and nothing beside it."""
        alone = replace(self)
        alone.__dict__["options"] = self.options[:1]
        return alone

    @cached_property
    def inputs(self):
        """The inputs that the costs of these options count with."""
        return counted(self.unknown, self.options, self.view, self.turned)

    def question(self, draws, turned=None):
        """The question with draws in the place of ranges.

        `turned` may hold arrays by field of `WhatIf`, one value a draw, for numbers that are tried out.
        """
        project = self.unknown.with_draws(draws)
        quoted, use = project.option(project.file.build.quoted_option), project.file.use
        free = {"distance_a_year": use.distance_a_year.figure, "end_value": (quoted.value or project.file.value.finished).figure, "discount_percent": 100 * use.discount_rate.figure}
        free |= {"spent_off": draws[SPENT] - float(self.unknown.totals["stands_in_at"])} if SPENT in draws else {}
        free |= {"counted_on_comes": draws[COUNTED]} if COUNTED in draws else {}
        free |= {"still_to_come": self.unknown.left(draws)} if any(name == OVERRUN or name.startswith("lines.") for name in draws) else {}
        numbers = self.what_if.model_dump() | {name: value for name, value in free.items() if name not in self.turned}
        return Question(project, self.unknown.totals, WhatIf.model_construct(**numbers | (turned or {})), self.view)

    def costs(self, draws, turned=None):
        """Present value of having each option to the end of every year, in every draw.

        Parameters are those of `question`; the shape is (options, years + 1, draws). [money]
        """
        question = self.question(draws, turned)
        options = [next(one for one in offered(question.project, self.view)[0] if one.id == option.id) for option in self.options]
        return scenario_costs(options, question, max((np.size(each) for each in (*draws.values(), *(turned or {}).values())), default=1))

    def a_month(self, more, draws):
        """Money over all years as equal monthly payments, NaN at the start.

        Parameters are present values, shape (years + 1, n), and the draws they were worked out with. [money]
        """
        drawn = "use.discount_rate" in draws and "discount_percent" not in self.turned
        rate = rate_per_period(draws["use.discount_rate"] if drawn else self.what_if.discount_percent / 100, 12)
        months = 12 * np.arange(len(more))[:, None]
        return np.where(months > 0, more / np.where(months > 0, annuity_factor(rate, months), 1.0), np.nan)


def scenario_costs(options, question, n):
    """Present value of having each option to the end of every year, in every scenario.

    Parameters
    ----------
    options : sequence of Option
        As they are in the question's view. [-]
    question : Question
        Its project and numbers may have draws. [-]
    n : int
        Scenarios. [-]

    Returns
    -------
    ndarray, shape (options, years + 1, n)
        What the comparison of the same numbers says at whole years. [money]
    """
    use, found = question.project.file.use, np.empty((len(options), question.project.file.use.horizon_years + 1, n))
    ending = [bool(option.value_path and option.value_path.lifetime_distance) or question.what_if.lifetime_distance is not None for option in options]
    for by_month in (False, True):
        rows = [k for k, ends in enumerate(ending) if ends == by_month]
        if rows:
            found[rows] = _costs([options[k] for k in rows], question, 12 * use.horizon_years, by_month, n)
    return found


def _costs(options, question, months, by_month, n):
    """The same of options whose lives end inside the horizon, which need their value month by month, or of those whose lives do not."""
    years = np.arange(0, months + 1, 1 if by_month else 12) / 12
    parts = [money_in(option, question) for option in options]
    values = values_by(options, question, years)
    terms = terms_of(options, question, parts, values, ends_by(options, question, values, years), n)
    rate, inflation = question.rate, question.project.file.use.inflation_rate.figure
    ends = np.empty((len(options), 0))
    if by_month:
        total, ends = totals_if_replaced(terms, months, life_of(options, question, terms, all_in(options, question, parts)), 12, rate, inflation)
    else:
        total = totals_by_scenario(terms, months, 12, rate, inflation)
    for k, option in enumerate(options):
        if option.wear and any(part.shape is not None for part in option.wear.renewals):
            bills = begun_anew(expected_renewals_by_month(option, question.what_if.distance_a_year, question.project.file.build.distance_unit, months), ends[k])
            factors = (1 + np.asarray(rate)[..., None]) ** (-np.arange(1, months + 1) / 12)
            total[k, 1:] += np.atleast_2d(np.cumsum(bills * factors, axis=-1)[..., 11::12]).T
    return total


@dataclass(frozen=True)
class Chances:
    """What the draws say.

    Parameters
    ----------
    asked : Asked
        The question. [-]
    draws : dict of str to ndarray, shape (n,)
        Figures by input, in blocks. [-]
    cost : ndarray, shape (options, years + 1, n)
        Of every option that passes, the build first. [money]
    """

    asked: Asked
    draws: dict
    cost: np.ndarray

    @cached_property
    def more(self):
        """What the build costs above the cheapest other that passes, shape (years + 1, n); None where nothing else passes. [money]"""
        return self.cost[0] - self.cost[1:].min(axis=0) if len(self.cost) > 1 else None

    @cached_property
    def cheaper(self):
        """Chance that the build is the cheaper by years kept, and its standard error, each of shape (years + 1,)."""
        wins = np.where(np.abs(self.more) <= EQUAL, 0.5, self.more < 0)  # where both cost the same, neither is the cheaper
        return wins.mean(axis=-1), error_of_blocks(wins, BLOCKS)

    @cached_property
    def band(self):
        """What the build costs more a month: a tenth, half and nine tenths of the draws are below, shape (3, years + 1); NaN at the start. [money/month]"""
        return np.quantile(self.asked.a_month(self.more, self.draws), BAND, axis=-1)

    @property
    def year(self):
        """The years kept that are asked about."""
        return self.asked.what_if.years_kept

    @cached_property
    def benefit(self):
        """What having each option over those years is worth beside the others, shape (options, n): its cost, below 0. [money]"""
        return -self.cost[:, self.year]

    def upside_down(self, by):
        """Chance of standing in at more than the car would sell for, selling cost taken off, by more than each amount, and its standard error.

        Parameters are amounts, shape (k,). [money]
        """
        short = self.short[None, :] > np.asarray(by, dtype=float)[:, None]
        return short.mean(axis=-1), error_of_blocks(short, BLOCKS)

    @cached_property
    def short(self):
        """What the car stands in at, less what it would bring as it stands, shape (n,). [money]"""
        file, totals, draws = self.asked.project.file, self.asked.unknown.totals, self.draws
        value = draws.get("value.as_is", float(file.value.as_is)) * (1 - draws.get("value.selling_cost_share", float(file.value.selling_cost_share)))
        return draws.get(SPENT, float(totals["stands_in_at"])) - value + np.zeros(BLOCKS * EACH)


def chances(asked, seed=SEED):
    """Costs of every option over draws of all that is not known.

    Parameters
    ----------
    asked : Asked
        The question. [-]
    seed : int, optional
        The same seed gives the same draws. [-]

    Returns
    -------
    Chances or None
        None where no figure is a range. [-]
    """
    if not asked.unknown.inputs:
        return None
    draws = asked.unknown.drawn(EACH, range(seed, seed + BLOCKS))
    return Chances(asked, draws, asked.costs(draws))
