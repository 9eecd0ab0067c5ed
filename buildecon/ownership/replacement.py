"""The end of a car's life: it goes for scrap, and one like it is bought."""

from dataclasses import dataclass, fields, replace
from typing import NamedTuple

import numpy as np

from buildecon.ownership.keeping import total_if_kept
from buildecon.ownership.scenarios import CHUNK, totals
from buildecon.ownership.terms import HAIR, TINY, WITH_AN_AXIS, Terms, end_by_exit, not_zero
from buildecon.quantities.bounds import within


@dataclass(frozen=True)
class Life:
    """How long cars last, and what follows.

    Parameters
    ----------
    km : array_like, shape (...)
        From the start to the end of the car's life, above 0; infinite where it has none. [km]
    scrap_value : array_like, shape (...)
        What it brings then, all costs of that taken off. [money]
    again : Terms, optional
        What is bought instead, in today's money, its value, upkeep and renewals as on the day it is bought; the same terms by default. [-]
    again_km : array_like, shape (...), optional
        How long each of those lasts; as long as the first by default. [km]
    """

    km: np.ndarray
    scrap_value: np.ndarray = 0.0
    again: Terms = None
    again_km: np.ndarray = None

    def __post_init__(self):
        within("scrap_value", self.scrap_value)
        for name in ("km", "again_km"):
            given = getattr(self, name)
            if given is not None and not np.all(np.asarray(given, dtype=float) > 0):
                wrong = np.asarray(given, dtype=float)
                wrong = wrong[~(wrong > 0)].flat[0]
                raise ValueError(f"{name} left to the end of its life must be above 0, got {wrong:,}. A car past its life cannot be kept: scrap it first.")


class Replaced(NamedTuple):
    """Cost of keeping with the end of lives, and when they end.

    Parameters
    ----------
    total : ndarray
        Cost, positive, in the shape of the function that gives it. [money]
    months : ndarray, shape (..., most)
        At whose end a car is replaced, NaN where there is none; one that ends on the last day of the horizon is not replaced. [month]
    """

    total: np.ndarray
    months: np.ndarray


def total_if_replaced(terms, end_value, months, life, discount_rate=0.0, inflation_rate=0.0):
    """Present value of having each option to the end of every month, replaced like for like when its life has been driven.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    end_value : array_like, shape (..., months + 1), or None
        What would come back by age, selling cost taken off, of the first car and each later one; None for the value of their terms. [money]
    months : int
        How far. [month]
    life : Life
        Of the cars. [-]
    discount_rate : array_like, shape () or (...), optional
        Effective. [1/year]
    inflation_rate : float, optional
        Effective; money is today's. [1/year]

    Returns
    -------
    Replaced
        Total in the shape (..., months + 1); what never ends is that of `total_if_kept` to the bit. [money]

    Notes
    -----
    A life ends with the month in which its distance is reached, L. Leaving at L brings scrap. Later the total is that to L, with scrap, and
    (1 + i)^-L of the next car's: its money in, loan, value, upkeep and renewals begin anew. Energy does not: its price has grown all the while.
    """
    total = total_if_kept(terms, end_value, months, discount_rate, inflation_rate)
    lead = total.shape[:-1]
    first_ends, later_last = (np.broadcast_to(ends, lead).reshape(-1) for ends in _lives(terms, life, months))
    if np.all(first_ends > months):
        return Replaced(total, _when(first_ends, later_last, months).reshape(*lead, -1))
    again = replace(life.again or terms, energy=0.0, energy_growth=0.0)
    spent = (total_if_kept(car, np.zeros(months + 1), months, discount_rate, inflation_rate) for car in (terms, again))
    left = _end_value(again, months) if end_value is None else end_value
    first, later, left = (np.broadcast_to(a, total.shape).reshape(-1, months + 1).T for a in (*spent, left))
    by_month = np.broadcast_to(-np.log1p(np.asarray(discount_rate, dtype=float)) / 12, lead).reshape(-1)
    scrap = np.broadcast_to(life.scrap_value, lead).reshape(-1).astype(float)
    found = np.array(total.reshape(-1, months + 1).T)
    energy = _energy(life.again or terms, lead)
    _replace(found, np.arange(months + 1), (first, later, left), (first_ends, later_last, scrap), by_month, energy)
    return Replaced(found.T.reshape(total.shape), _when(first_ends, later_last, months).reshape(*lead, -1))


def totals_if_replaced(terms, months, life, step=1, discount_rate=0.0, inflation_rate=0.0):
    """Present value of having each option to the end of every step in every scenario, each with its own length of life.

    Parameters
    ----------
    terms : Terms
        Leading axes options and scenarios; a `value_path` or `end_path` is by month whatever the step. [-]
    months : int
        How far; a whole number of steps. [month]
    life : Life
        Of the cars; its arrays broadcast to (options, scenarios). [-]
    step : {1, 3, 12}, optional
        From one exit to the next. [month]
    discount_rate, inflation_rate : array_like, shape () or (scenarios,), optional
        Both effective; money is today's. [1/year]

    Returns
    -------
    Replaced
        Total in the shape (options, exits, scenarios); what never ends is that of `scenarios.totals` to the bit. [money]
    """
    by_step = replace(terms, **{name: np.asarray(path)[..., ::step] for name in ("value_path", "end_path") if (path := getattr(terms, name)) is not None})
    total = totals(by_step, months, step, discount_rate, inflation_rate)
    lead = total.shape[0], total.shape[2]
    first_ends, later_last = (np.broadcast_to(ends, lead) for ends in _lives(terms, life, months))
    scrap = np.broadcast_to(life.scrap_value, lead).astype(float)
    discount, inflation = (np.broadcast_to(np.asarray(rate, dtype=float), lead[1:]) for rate in (discount_rate, inflation_rate))
    for option in range(lead[0]):
        ending = np.flatnonzero(first_ends[option] <= months)
        for some in (ending[at : at + CHUNK] for at in range(0, ending.size, CHUNK)):
            first, again = (_part(car, lead, option, some) for car in (terms, life.again or terms))
            anew = replace(again, energy=0.0, energy_growth=0.0)
            cars = (*(_spent(car, months, discount[some], inflation[some]) for car in (first, anew)), _end_value(again, months)[0].T)
            block = np.array(total[option][:, some])
            lives = first_ends[option, some], later_last[option, some], scrap[option, some]
            by_month = -np.log1p(discount[some]) / 12
            _replace(block, np.arange(0, months + 1, step), cars, lives, by_month, _energy(again, (1, some.size)))
            total[option][:, some] = block
    return Replaced(total, _when(first_ends, later_last, months))


def _lives(terms, life, months):
    """Last month of the first life and months that each later one lasts; what lasts beyond the horizon counts as one month more than that."""
    again = life.again or terms
    for car, km in ((terms, life.km), (again, life.km if life.again_km is None else life.again_km)):
        with np.errstate(over="ignore"):
            last = np.asarray(km, dtype=float) * 12 / np.maximum(np.asarray(car.km_a_year, dtype=float), TINY)
        yield np.clip(np.ceil(last * (1 - HAIR)), 1, months + 1).astype(int)


def _when(first_ends, later_last, months):
    """Months of replacement, as many columns as the most often replaced has."""
    count = np.where(first_ends < months, np.ceil((months - first_ends) / later_last), 0)
    at = first_ends[..., None] + np.arange(int(count.max(initial=0))) * later_last[..., None]
    return np.where(at < months, at, np.nan)


def _end_value(terms, months):
    return end_by_exit(terms, np.arange(months + 1) / 12)


def _spent(terms, months, discount_rate, inflation_rate):
    """All but what the car brings, by month and scenario: as if selling it took all of its value."""
    return totals(replace(terms, selling_share=1.0, end_path=None), months, 1, discount_rate, inflation_rate)[0]


def _energy(terms, lead):
    """Worth of all energy by a month, from the start of everything."""
    both = np.broadcast_arrays(*(np.atleast_1d(np.asarray(a, dtype=float)) for a in (terms.energy, terms.energy_growth)))
    amount, growth = (np.broadcast_to(a, (*lead, a.shape[-1])).reshape(-1, a.shape[-1]).T for a in both)
    log_growth = np.log1p(growth) / 12

    def by(month, by_month):
        each = not_zero(log_growth + by_month)
        return np.sum(amount / 12 * np.exp(each) / np.expm1(each) * np.expm1(month * each), axis=0)

    return by


def _replace(found, exits, cars, lives, by_month, energy):
    """Overwrites the rows of `found`, exits by cars, that lie at or after the end of a first life.

    `cars` has, by month, what is spent on the first and on a later one, on that without its energy, and what a later one would bring.
    """
    first, again, value = cars
    ends, lasts, scrap = lives
    every, top = np.arange(ends.size), len(first) - 1

    def a_life(spent, last):
        month = np.minimum(last, top)  # one that ends later is not asked for
        return spent[month, every] - scrap * np.exp(month * by_month)

    to_first_end, one_life, log_life = a_life(first, ends), a_life(again, lasts), not_zero(lasts * by_month)
    for row, month in zip(found, exits, strict=True):
        if not np.any(month >= ends):
            continue
        begun = np.maximum(-((ends - month) // lasts), 0)  # lives begun after the first
        before = np.maximum(begun - 1, 0)
        age = np.clip(month - ends - before * lasts, 0, top)
        this = again[age, every] - np.where(age == lasts, scrap, value[age, every]) * np.exp(age * by_month)
        later = one_life * np.expm1(before * log_life) / np.expm1(log_life) + this * np.exp(before * lasts * by_month)
        later = later * np.exp(ends * by_month) + energy(month, by_month) - energy(ends, by_month)
        row[...] = np.where(month >= ends, to_first_end + np.where(begun > 0, later, 0.0), row)


def _part(terms, lead, option, some):
    """Terms of some scenarios of one option."""

    def part(name, given):
        if given is None:
            return None
        given = np.asarray(given, dtype=float)
        given = np.atleast_1d(given) if name in WITH_AN_AXIS else given
        last = given.shape[-1:] if name in WITH_AN_AXIS else ()
        return np.broadcast_to(given, (*lead, *last))[option, some][None]

    given = {field.name: getattr(terms, field.name) for field in fields(terms)}
    yearly = {name: part(name + " a year", amount) for name, amount in given.pop("yearly").items()}
    return Terms(yearly=yearly, **{name: part(name, amount) for name, amount in given.items()})
