"""Half-way through: what finishing must bring, and whether one more job pays. Money already spent does not enter."""

from dataclasses import dataclass

import numpy as np

from buildecon.market.contribution import ends


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
        What it costs a month over the years it is kept, the value it adds coming back at the end. [money/month]
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


def improvements(project):
    """Each job under `[[improvements]]`: worth it if selling, and what it costs a month if keeping.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    tuple of Pays
        In the owner's order. [money]

    Notes
    -----
    if selling = (value after - value as it stands) (1 - selling cost share) - cost; the worst is the low value after at the high cost, the best the
    other way round, both against the likely value as it stands. A month of keeping is minus the likely one over 12 x years.
    """
    value, found = project.file.value, []
    now, keep = float(value.as_is), 1 - float(value.selling_cost_share)
    for job in project.file.improvements:
        cost, after = ends(job.cost), ends(job.value_after)
        gain = tuple((after[k] - now) * keep - cost[2 - k] for k in range(3))
        years = float(job.keep_years)
        found.append(Pays(job.what, cost, after, gain, -gain[1] / (12 * years), years, float(job.hours)))
    return tuple(found)
