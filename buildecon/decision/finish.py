"""Half-way through: what finishing must bring, and whether one more job pays. Money already spent does not enter."""

from dataclasses import dataclass

import numpy as np


def break_even_finished_value(cost_left, as_is_net, selling_cost_share):
    """Finished value at which finishing and selling brings as much as selling as it stands.

    Parameters
    ----------
    cost_left : array_like, shape (...)
        Still to come. [money]
    as_is_net : array_like, shape (...)
        What selling as it stands would bring, selling cost taken off. [money]
    selling_cost_share : array_like, shape (...)
        Share of the finished price that selling takes. [-]

    Returns
    -------
    ndarray or float, shape (...)
        (cost left + as is) / (1 - share). [money]
    """
    return (np.asarray(cost_left, dtype=float) + as_is_net)[()] / (1 - np.asarray(selling_cost_share, dtype=float))[()]


@dataclass(frozen=True)
class Pays:
    """Whether one more job pays.

    Parameters
    ----------
    what : str
        The job. [-]
    cost, value_after : tuple of float
        Low, likely and high. [money]
    if_selling : tuple of float
        Worst, likely and best: what it adds to the sale, selling cost taken off, less its cost. [money]
    per_month_if_keeping : float
        What it costs a month over the years it is kept, what is left of the value it adds coming back at the end. [money/month]
    keep_years : float
        Those years. [year]
    hours : float
        Own hours in it. [hour]
    """

    what: str
    cost: tuple
    value_after: tuple
    if_selling: tuple
    per_month_if_keeping: float
    keep_years: float
    hours: float


def improvements(project, now):
    """Each job under `[[improvements]]`: worth it if selling, and what it costs a month if keeping.

    Parameters
    ----------
    project : Project
        The files. [-]
    now : float
        What the car would sell for as it stands, by whoever said what it would sell for after the job. [money]

    Returns
    -------
    tuple of Pays
        In the owner's order. [money]

    Notes
    -----
    if selling = (value after - value as it stands) (1 - selling cost share) - cost; the worst is the low value after at the high cost, the best the
    other way round, both against the likely value as it stands. If it is kept, what the job adds fades as the build's value does:
    a month costs (cost - (value after - now) (1 - decline)^years (1 - selling cost share)) / (12 years).
    """
    keep, found = 1 - float(project.file.value.selling_cost_share), []
    fading = float(project.option(project.file.build.quoted_option).decline_rate or 0)
    for job in project.file.improvements:
        cost, after = job.cost.floats, job.value_after.floats
        gain = tuple((after[k] - now) * keep - cost[2 - k] for k in range(3))
        years = float(job.keep_years)
        left = (after[1] - now) * keep * (1 - fading) ** years
        found.append(Pays(job.what, cost, after, gain, (cost[1] - left) / (12 * years), years, float(job.hours)))
    return tuple(found)
