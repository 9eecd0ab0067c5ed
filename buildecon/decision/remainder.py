"""What is still to come, read three ways: as written, at the pace so far, as the owner's past builds ran; and why it does not fall to nothing."""

from dataclasses import dataclass

import numpy as np

from buildecon.ledger.forecast import forecast
from buildecon.quantities.bounds import within

HOLDS = 0.8  # the chance at which a figure is told to hold: four cases in five
SCORE = 0.8416212335729143  # normal score of 80 %
# Cost over estimate of 258 transport works: mean 28 %, standard deviation 39 %. Flyvbjerg, Holm and Buhl 2002, secondary: read on a summary page.
WORKS = (1.28, 0.39)


@dataclass(frozen=True)
class Remainder:
    """Money still to come by three readings.

    Parameters
    ----------
    as_written : float
        Mean of the owner's ranges. [money]
    low, high : float
        All lows and all highs together. [money]
    overrun : float
        What finished lines cost over their plan, so far. [-]
    at_pace : float
        Mean when what is left runs over as the build has so far, single figures widened by their evidence. [money]
    past_builds : int
        How many earlier builds the owner tells of. [-]
    past_middle, past_holds : float or None
        As written, times the middle of the past overruns, and times the one that held in 4 of 5. [money]
    """

    as_written: float
    low: float
    high: float
    overrun: float
    at_pace: float
    past_builds: int
    past_middle: float | None
    past_holds: float | None


def remainder(project, totals):
    """What is still to come, by every reading the files allow.

    Parameters
    ----------
    project : Project
        With `[half_way] past_overruns`, where the owner has built before. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    Remainder
        Past builds are read as they were: quantiles straight between them, never outside. [money]
    """
    ahead, written = forecast(project, totals.settled), float(totals.expected_to_finish)
    past = [float(one) for one in project.file.half_way.past_overruns]
    middle, holds = (float(written * at) for at in np.quantile(past, [0.5, HOLDS])) if past else (None, None)
    low, high = float(totals.to_finish[0]), float(totals.to_finish[2])
    return Remainder(written, low, high, float(ahead.overrun), float(ahead.mean) + float(ahead.committed) if written else 0.0, len(past), middle, holds)


def expected_remainder(median, holds, spent):
    """Money still to be expected of a build that has cost so much and is not done, where its total is lognormal.

    Parameters
    ----------
    median : array_like, shape (...)
        Total that it stays below in half of all cases, as seen at the start. [money]
    holds : array_like, shape (...)
        Total that it stays below in four of five. [money]
    spent : array_like, shape (...)
        So far. [money]

    Returns
    -------
    ndarray or float, shape (...)
        `E[total - spent | total > spent]`. [money]

    Raises
    ------
    ValueError
        If the median is not above 0, or the other not above it.

    Notes
    -----
    e^(mu + s^2/2) Phi(s - z) / Phi(-z) - spent with z = (ln spent - mu) / s. It does not fall to 0 as money is spent: a build that has
    passed its plan and is not done is one of the dear ones.
    """
    median, holds, spent = within("median", median, 1e-9), within("holds", holds), within("spent", spent, 0)
    if not np.all(holds > median):
        raise ValueError(f"holds must be above median, got {np.min(holds):,} and {np.max(median):,}. It is the total of 4 cases in 5.")
    from scipy.special import log_ndtr

    mu, sd = np.log(median), np.log(np.asarray(holds) / median) / SCORE
    with np.errstate(divide="ignore"):
        z = (np.log(spent) - mu) / sd
    # The ratio of two tails is taken in logs: each of them alone runs to 0 for money spent far beyond any plan.
    dear = np.exp(mu + sd**2 / 2 + log_ndtr(sd - z) - log_ndtr(-z))
    return (dear - spent)[()]


def lognormal_of(mean, sd):
    """Median and four-in-five figure of a lognormal.

    Parameters
    ----------
    mean, sd : float
        Of the figure itself, not of its log. [-]

    Returns
    -------
    tuple of float
        For `expected_remainder`. [-]
    """
    spread = np.sqrt(np.log1p((sd / mean) ** 2))
    median = mean / np.sqrt(1 + (sd / mean) ** 2)
    return float(median), float(median * np.exp(SCORE * spread))


def dear_builds(project, totals):
    """What builds that had cost as much and were not done still cost, by the owner's own past builds or by a starting class.

    Parameters
    ----------
    project : Project
        Not finished, with a plan. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    tuple of (float, str) or None
        Money still to be expected, and whose overruns it is by: "your own" from three past builds on, else "works"; None without a plan, or
        where nothing is left to come. [money]
    """
    gross = [one for one in totals.settled if one.line.nature != "credit"]
    planned = float(sum(one.planned for one in gross))
    if not planned > 0 or not totals.expected_to_finish:
        return None
    past = [float(one) for one in project.file.half_way.past_overruns]
    own = len(past) >= 3 and np.quantile(past, HOLDS) > np.median(past)
    middle, holds = np.quantile(past, [0.5, HOLDS]) if own else lognormal_of(*WORKS)
    spent = float(sum(one.cost for one in gross))
    return float(expected_remainder(planned * middle, planned * holds, spent)), "your own" if own else "works"
