"""What is still to come: a range as wide as its evidence is thin, scaled by how the build has run so far."""

from dataclasses import dataclass
from decimal import Decimal
from math import sqrt

from buildecon.ledger.loans import is_interest
from buildecon.ledger.settlement import to_come
from buildecon.quantities.estimate import Estimate

# How far off a single figure may be, below and above, by the paper behind it: common practice, no source.
SPREAD = {
    "": ("0.25", "0.50"), "guess": ("0.40", "1.00"), "memory": ("0.25", "0.25"), "list": ("0.05", "0.15"), "estimate": ("0.10", "0.50"),
    "quote": ("0", "0.10"), "order": ("0", "0.05"), "receipt": ("0", "0"), "settled": ("0", "0"),
}  # fmt: skip


@dataclass(frozen=True)
class Forecast:
    """Spent, committed and still to come.

    Parameters
    ----------
    spent, committed : Decimal
        What has been paid on gross project lines and the base car, and bills that have no date yet. [money]
    as_written : Estimate
        Still to come by the owner's own figures, widened by their evidence; all lows and all highs together. [money]
    overrun : Decimal
        What finished lines cost over what they were planned at. [-]
    scaled : Estimate
        The same, likely and high times the overrun where it is above 1. [money]
    mean, together, apart : Decimal
        Mean of the scaled sum; standard deviation of the sum as written if all lines move together, and if each goes its own way. [money]
    contingency : Decimal
        Held apart, in no figure above. [money]
    """

    spent: Decimal
    committed: Decimal
    as_written: Estimate
    overrun: Decimal
    scaled: Estimate
    mean: Decimal
    together: Decimal
    apart: Decimal
    contingency: Decimal

    @property
    def at_completion(self):
        """Likely total when done: spent, committed and still to come. [money]"""
        return self.spent + self.committed + self.scaled.likely


def widened(estimate, grade):
    """A single figure as a range, by the grade of its evidence; a range stays as it is.

    Parameters
    ----------
    estimate : Estimate
        As written. [money]
    grade : str
        Of the line. [-]

    Returns
    -------
    Estimate
        Not narrower. [money]
    """
    if not estimate.is_sure:
        return estimate
    below, above = (Decimal(share) for share in SPREAD[grade])
    return Estimate(estimate.likely * (1 - below), estimate.likely, estimate.likely * (1 + above), estimate.text)


def overrun_so_far(settled):
    """What planned lines have cost over their plan; lines still open, credits, the base car and the interest of loans are left out.

    Parameters
    ----------
    settled : sequence of Settled
        All lines. [money]

    Returns
    -------
    Decimal
        1 where nothing planned has been paid yet. [-]
    """
    done = [one for one in settled if (one.by_month or one.laid) and one.line.to_finish is None and one.line.nature not in ("credit", "base car") and not is_interest(one.line)]
    planned = sum((one.planned - one.laid_plan for one in done), Decimal(0))
    cost = sum((one.cost + one.left_out - one.laid for one in done), Decimal(0))  # each at its own, and tools at what they cost
    return cost / planned if planned else Decimal(1)


def open_parts(project, settled, scaled=True):
    """What is still to come, line by line.

    Parameters
    ----------
    project : Project
        Its plan and stage. [-]
    settled : sequence of Settled
        All lines, settled. [money]
    scaled : bool, optional
        Whether likely and high are taken times the overrun so far. [-]

    Returns
    -------
    list of (Settled, Estimate)
        Lines with something to come; a single figure as a range by its evidence. [money]
    """
    overrun = overrun_so_far(settled)
    factor = max(overrun, Decimal(1)) if scaled and project.file.plan.scale_by_overrun else Decimal(1)
    parts = ((one, widened(part, one.line.grade)) for one in settled if (part := to_come(one, project.file.build.stage)))
    return [(one, Estimate(part.low, part.likely * factor, part.high * factor)) for one, part in parts]


def forecast(project, settled):
    """Spent, committed and what is still to come.

    Parameters
    ----------
    project : Project
        Its lines, events and plan. [-]
    settled : sequence of Settled
        The same lines, settled. [money]

    Returns
    -------
    Forecast
        With the range as written and as scaled by the overrun so far. [money]
    """
    gross = [one for one in settled if one.line.nature != "credit"]
    spent = sum((one.cost for one in gross), Decimal(0))
    committed = sum((one.unpaid for one in settled), Decimal(0))
    parts = [part for _, part in open_parts(project, settled, scaled=False)]
    as_written = _together(parts)
    overrun = overrun_so_far(settled)
    scaled_parts = [part for _, part in open_parts(project, settled)]
    spreads = [(part.high - part.low) / 6 for part in parts]
    return Forecast(
        spent=spent,
        committed=committed,
        as_written=as_written,
        overrun=overrun,
        scaled=_together(scaled_parts),
        mean=sum((part.mean for part in scaled_parts), Decimal(0)),
        together=sum(spreads, Decimal(0)),
        apart=Decimal(sqrt(sum(spread**2 for spread in spreads))),
        contingency=project.file.plan.contingency.likely,
    )


def _together(parts):
    return Estimate(*(sum((getattr(part, end) for part in parts), Decimal(0)) for end in ("low", "likely", "high")))
