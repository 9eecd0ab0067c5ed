"""Half-way through: what finishing brings and must bring, taking apart, and whether one more job pays. Money already spent does not enter."""

from dataclasses import dataclass

import numpy as np

from buildecon.market.paths import value_path
from buildecon.project.fields import ZERO
from buildecon.project.paths import ValuePath
from buildecon.quantities.units import kilometres


def paid_while_held(a_month, months, rate=0.0):
    """Present worth of an amount that flows month by month.

    Parameters
    ----------
    a_month : array_like, shape (...)
        What holding the car costs. [money/month]
    months : array_like, shape (...)
        How long. [month]
    rate : array_like, shape (...), optional
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        a (1 - e^(-r m)) / r with r = ln(1 + rate) / 12; a m where the rate is 0. [money]
    """
    force = np.log1p(np.asarray(rate, dtype=float)) / 12
    months = np.asarray(months, dtype=float)
    safe = np.where(force == 0, 1.0, force)
    return (np.asarray(a_month, dtype=float) * np.where(force == 0, months, -np.expm1(-safe * months) / safe))[()]


def finished_then_sold(done, cost_left, months, holding=0.0, rate=0.0):
    """What finishing and then selling brings from today.

    Parameters
    ----------
    done : array_like, shape (...)
        What the finished car sells for, selling cost taken off. [money]
    cost_left : array_like, shape (...)
        Still to come, spent evenly until it is done. [money]
    months : array_like, shape (...)
        Until it is sold. [month]
    holding : array_like, shape (...), optional
        Rent, insurance, another car meanwhile. [money/month]
    rate : array_like, shape (...), optional
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        done e^(-r m) - cost left e^(-r m/2) - holding (1 - e^(-r m)) / r; what is spent already is in none of them. [money]

    Examples
    --------
    >>> print(f"{finished_then_sold(20000, 6000, 8, 100):,.0f}")
    13,200
    """
    years = np.asarray(months, dtype=float) / 12
    growth = 1 + np.asarray(rate, dtype=float)
    return (np.asarray(done, dtype=float) * growth**-years - np.asarray(cost_left, dtype=float) * growth ** (-years / 2) - paid_while_held(holding, months, rate))[()]


def parts_sold(prices, chances, months=0.0, rate=0.0):
    """What parts are expected to bring by a horizon, before fees and work.

    Parameters
    ----------
    prices, chances : sequence of array_like
        Of each part, the shell among them. [money, -]
    months : array_like, shape (...), optional
        The horizon; all the money is counted to come then. [month]
    rate : array_like, shape (...), optional
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        Sum of price x chance, e^(-r m) of it. [money]
    """
    sold = sum(np.asarray(price, dtype=float) * chance for price, chance in zip(prices, chances, strict=True))
    return (sold * (1 + np.asarray(rate, dtype=float)) ** (-np.asarray(months, dtype=float) / 12))[()]


def cost_ceiling(done, otherwise, months, holding=0.0, rate=0.0):
    """Most that finishing may still cost and bring as much as something else.

    Parameters
    ----------
    done : array_like, shape (...)
        What the finished car sells for, selling cost taken off. [money]
    otherwise : array_like, shape (...)
        What the other brings today. [money]
    months : array_like, shape (...)
        Until it is sold. [month]
    holding : array_like, shape (...), optional
        A month until then. [money/month]
    rate : array_like, shape (...), optional
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        Cost left at which `finished_then_sold` is the other; below 0 where even free work would not pay. [money]
    """
    half = (1 + np.asarray(rate, dtype=float)) ** (np.asarray(months, dtype=float) / 24)
    return ((finished_then_sold(done, 0.0, months, holding, rate) - otherwise) * half)[()]


def wage_per_hour(net, otherwise, hours):
    """What each own hour still to be worked earns over doing something else.

    Parameters
    ----------
    net, otherwise : array_like, shape (...)
        What the two bring, own hours at 0 in both. [money]
    hours : array_like, shape (...)
        Own hours in the first. [hour]

    Returns
    -------
    ndarray or float, shape (...)
        NaN where there are none. [money]
    """
    hours = np.asarray(hours, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(hours > 0, (np.asarray(net, dtype=float) - otherwise) / np.where(hours > 0, hours, 1.0), np.nan)[()]


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
    other way round, both against the likely value as it stands. If it is kept, what the job adds fades as the build's value does, by its rate or its
    value path; own hours cost what they are counted at: a month costs (cost - (value after - now) (share of the build's value left then) (1 - selling cost share)) / (12 years).
    """
    keep, found = 1 - float(project.file.value.selling_cost_share), []
    for job in project.file.improvements:
        cost, after, worked = job.cost.floats, job.value_after.floats, project.file.own_hours.an_hour * float(job.hours)
        gain = tuple((after[k] - now) * keep - cost[2 - k] - worked for k in range(3))
        years = float(job.keep_years)
        left = (after[1] - now) * keep * _share_left(project, now or after[1], years)
        found.append(Pays(job.what, cost, after, gain, (cost[1] + worked - left) / (12 * years), years, float(job.hours)))
    return tuple(found)


def _share_left(project, value, years):
    """Share of the build's value that is left after some years, on the path its owner has written."""
    option, unit = project.option(project.file.build.quoted_option), project.file.build.distance_unit
    path = option.value_path or ValuePath(kind="steady", decline_rate=option.decline_rate or ZERO)
    return float(value_path(path, value, years, kilometres(float(project.file.use.distance_a_year), unit), unit)) / value if value else 0.0
