"""The verdict on build or buy: both horizons, money and joy apart, the chance, and what would turn it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from buildecon.decision.chances import SEED, Asked
from buildecon.decision.compare import Comparison, price_of_joy
from buildecon.decision.doubts import doubts, turning
from buildecon.decision.inputs import unknown
from buildecon.decision.turning import nearest_changes, nearest_turning

CLOSE = (0.4, 0.6)  # a chance between them is too close to call: our own convention
SAME = 0.5  # money a month below which two figures are shown as the same


@dataclass(frozen=True)
class Side:
    """One view of the choice.

    Parameters
    ----------
    comparison : Comparison
        At the likely figures. [-]
    asked : Asked
        What is not known. [-]
    """

    comparison: Comparison
    asked: Asked

    @cached_property
    def doubts(self):
        """What the draws say; None where nothing is a range or nothing else passes."""
        return doubts(self.asked, SEED)

    @cached_property
    def turnings(self):
        """Where each number would turn the answer, years kept first."""
        found = self.comparison.against_cheapest()
        if found is None:
            return {}
        return {"years_kept": nearest_turning("years_kept", float(self.years), self.more, found)} | turning(self.asked)

    @cached_property
    def changes(self):
        """Single changes that turn the answer, nearest first."""
        return nearest_changes(self.turnings)

    @property
    def years(self):
        """Years kept that are asked about."""
        return self.comparison.what_if.years_kept

    @property
    def more(self):
        """What the build costs above the cheapest other that passes; NaN where nothing does. [money/month]"""
        return float(price_of_joy(self.comparison)[self.comparison.month(self.years)])

    @property
    def rival(self):
        """The cheapest other that passes, or None."""
        k = self.comparison.cheapest_rival(self.years)
        return None if k is None else self.comparison.options[k]

    @property
    def chance(self):
        """That the build is the cheaper, and its standard error; None where nothing is drawn."""
        if self.doubts is None:
            return None
        chance, error = self.doubts.chances.cheaper
        return float(chance[self.years]), float(error[self.years])

    @property
    def call(self):
        """`build`, `other`, `too close to call`, or `alone` where nothing else passes."""
        if self.rival is None:
            return "alone"
        if self.chance is None:
            return "too close to call" if abs(self.more) < SAME else "build" if self.more < 0 else "other"
        low, high = CLOSE
        return "build" if self.chance[0] > high else "other" if self.chance[0] < low else "too close to call"


@dataclass(frozen=True)
class Verdict:
    """Both views of build or buy.

    Parameters
    ----------
    whole, today : Side
        All money in, and from today. [-]
    """

    whole: Side
    today: Side

    @property
    def project(self):
        """The files."""
        return self.whole.comparison.project

    @property
    def forward(self):
        """The view that there is still something to decide in: from today, and for a build only planned the whole story."""
        return self.whole if self.project.file.build.stage == "planned" else self.today

    @property
    def build_fails(self):
        """Must-haves that the build itself fails."""
        comparison = self.whole.comparison
        return [gate for gate in comparison.gates[comparison.build] if not gate.passes]


def verdict(whole, today, known):
    """The verdict on a project.

    Parameters
    ----------
    whole, today : Comparison
        The two views, made with the same numbers. [-]
    known : Unknown
        What is not known of the project. [-]

    Returns
    -------
    Verdict
        What costs time in it is worked out when it is asked for. [-]
    """
    return Verdict(*(Side(comparison, Asked(known, comparison.what_if, comparison.view)) for comparison in (whole, today)))


def not_known(project, totals):
    """All that is not known of a project, its value from the market where the files ask for that.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    Unknown
        For `Asked`. [-]
    """
    if project.file.chances.value_from != "market":
        return unknown(project, totals)
    from buildecon.market.worth import worth  # who does not ask for it need not wait for the value model

    return unknown(project, totals, worth(project))


def price_of_joy_chance(side):
    """Chance that the price of joy is below each of some amounts a month.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    tuple of float or None
        What a tenth, half and nine tenths of the draws stay below; None where nothing is drawn. [money/month]
    """
    if side.doubts is None:
        return None
    return tuple(float(value) for value in np.asarray(side.doubts.chances.band)[:, side.years])
