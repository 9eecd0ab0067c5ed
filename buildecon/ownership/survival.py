"""How long cars stay on the road and how far they go: published tables, and the two clocks of a car, its shell's and its engine's."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np

from buildecon.ownership.lives import SHORTEST, life_from_table, once_used
from buildecon.ownership.renewals import renewals_over_many_lives
from buildecon.quantities.bounds import within
from buildecon.quantities.timevalue import discount_factor
from buildecon.quantities.units import KM_PER_MILE

NHTSA = "S. Lu, Vehicle Survivability and Travel Mileage Schedules, NHTSA DOT HS 809 952 (2006)"
EPA = "US EPA, inputs reregistration_fixed_by_age and annual_vmt_fixed_by_age of the OMEGA model"
FROM_MEMORY, READ = "from memory, checked against its published totals", "read"
# Source, standing, and the age at the end of the year that the first row tells of.
TABLES = {
    "NHTSA cars": (NHTSA, FROM_MEMORY, 1),
    "NHTSA light trucks": (NHTSA, FROM_MEMORY, 1),
    "EPA cars": (EPA, READ, 1),
    "EPA pickups": (EPA, READ, 1),
}
POINTS = 4096  # ends of a shell that an expectation is taken over


@dataclass(frozen=True)
class SurvivalTable:
    """Cars of one class by age: fleet averages of the United States, of cars as made, not of rebuilt ones.

    Parameters
    ----------
    name, source, standing : str
        What it is, who says so, and whether it was read or remembered. [-]
    age : ndarray, shape (n,)
        Age as the source counts it. [year]
    share : ndarray, shape (n,)
        Still registered at that age. [-]
    km : ndarray, shape (n,)
        That one of them is driven in the year of each row. [km]
    year_end : ndarray, shape (n,)
        Age at the end of that year. [year]
    """

    name: str
    source: str
    standing: str
    age: np.ndarray
    share: np.ndarray
    km: np.ndarray
    year_end: np.ndarray

    @property
    def life(self):
        """Life in years, in straight lines between the ages; what outlasts the table ends with it."""
        before = [0.0] if self.age[0] > 0 else []
        return life_from_table([*before, *self.age], [*(1.0 for _ in before), *self.share])

    @property
    def ends(self):
        """Age that no car of the table goes beyond. [year]"""
        return float(self.life.quantile(0.0))


@lru_cache
def survival_table(name):
    """One published table of survival and distance by age.

    Parameters
    ----------
    name : str
        One of `TABLES`. [-]

    Returns
    -------
    SurvivalTable
        By year of age. [-]

    Raises
    ------
    ValueError
        If there is no such table.
    """
    if name not in TABLES:
        raise ValueError(f"name must be one of {', '.join(TABLES)}, got {name!r}.")
    lines = (files("buildecon.ownership") / "us_survival.csv").read_text(encoding="utf-8").splitlines()
    rows = [row for row in csv.DictReader(line for line in lines if not line.startswith("#")) if row["table"] == name]
    age, share, miles = (np.array([float(row[column]) for row in rows]) for column in ("age", "share", "miles"))
    source, standing, first_end = TABLES[name]
    for column in (age, share, miles):
        column.setflags(write=False)
    return SurvivalTable(name, source, standing, age, share, miles * KM_PER_MILE, first_end + age - age[0])


def further_distance(table, age=0.0):
    """Expected distance that a car still on the road at an age goes until it is scrapped.

    Parameters
    ----------
    table : SurvivalTable
        Of its class. [-]
    age : array_like, shape (...), optional
        At which it is still on the road; at 0 the lifetime distance. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Distance. [km]

    Notes
    -----
    Sum over the years to come of share times distance, over the share at the age; a year under way counts for what is left of it.
    As in the source, a car drives nothing in the year in which it has gone.
    """
    age = _on_the_road(table, age)
    left = np.clip(table.year_end - np.asarray(age)[..., None], 0, 1)
    return np.sum(left * table.share * table.km, axis=-1) / table.life.survival(age)


def further_years(table, age=0.0):
    """Expected years that a car still on the road at an age stays there.

    Parameters
    ----------
    table : SurvivalTable
        Of its class. [-]
    age : array_like, shape (...), optional
        At which it is still on the road. [year]

    Returns
    -------
    ndarray or float, shape (...)
        Years, half of the last one counted on average. [year]
    """
    age = _on_the_road(table, age)
    return table.life.tail(age) / table.life.survival(age)


def lifetime_present_value_factor(table, discount_rate):
    """What a cost of every kilometre of a car's life is worth when it is new, as a share of the sum.

    Parameters
    ----------
    table : SurvivalTable
        Of its class. [-]
    discount_rate : array_like, shape (...)
        Effective. [1/year]

    Returns
    -------
    ndarray or float, shape (...)
        Factor. [-]

    Notes
    -----
    Sum of w (1 + r)^-(middle of the year) over the sum of w, with w share times distance.
    """
    weights = table.share * table.km
    middles = discount_factor(np.asarray(discount_rate, dtype=float)[..., None], table.year_end - 0.5)
    return np.sum(weights * middles, axis=-1) / weights.sum()


@dataclass(frozen=True)
class TwoClocks:
    """The end of a car by two clocks: its shell's runs by years, its engine's by distance.

    Parameters
    ----------
    first : {"shell", "engine"}
        Which is likelier to come to its end first. [-]
    chance_engine_first : float
        That the engine fails while the shell still holds. [-]
    years : float
        Expected years to the end of the shell: the car's, where the engine is renewed. [year]
    years_if_given_up : float
        Expected years to whichever end comes first: the car's, where it goes with its engine. [year]
    engine_years : float
        Expected years to the engine's first failure, were the shell to last for ever. [year]
    engine_renewals : float
        Expected number of engines put in until the shell ends. [-]
    """

    first: str
    chance_engine_first: float
    years: float
    years_if_given_up: float
    engine_years: float
    engine_renewals: float


def two_clocks(shell, engine, km_a_year, shell_age=0.0, engine_km=0.0):
    """Which ends a car, its shell or its engine, and when.

    A used car has an old shell and an engine of the same distance; a used engine has its own distance; a new crate engine has none.

    Parameters
    ----------
    shell : Life
        Of a new shell, in years: `survival_table(NAME).life`, or `sure` for what the owner expects. [-]
    engine : Life
        Of a new engine, in km; a rebuilt or crate engine has no published one, so the owner's own. [-]
    km_a_year : float
        How far it is driven, above 0. [km/year]
    shell_age : float, optional
        Today. [year]
    engine_km : float, optional
        What the engine has run today. [km]

    Returns
    -------
    TwoClocks
        From today. [-]

    Notes
    -----
    The car ends when its shell does, at T; the engine is a part renewed inside it. With v km a year: chance E[F(v T)], renewals E[M(v T)],
    years to the first end E[integral of the engine's survival from 0 to v T] / v, over T in equal shares of probability.
    The two are taken to fail apart from each other. A fleet's shell has engines in its survival already: cars scrapped for their engine count twice.

    Examples
    --------
    >>> from buildecon.ownership.lives import sure, weibull
    >>> found = two_clocks(sure(12), weibull(2.5, 250_000), 12_000, engine_km=180_000)
    >>> print(f"{found.first}, {found.chance_engine_first:.2f}, {found.engine_renewals:.2f}")
    engine, 0.77, 0.83
    """
    pace = within("km_a_year", km_a_year, SHORTEST)
    hull, running = once_used(shell, shell_age), once_used(engine, engine_km)
    ends = hull.quantile((np.arange(POINTS) + 0.5) / POINTS)
    chance = float(np.mean(running.failed(pace * ends)))
    return TwoClocks(
        "engine" if chance > 0.5 else "shell",
        chance,
        hull.mean,
        float(np.mean(running.tail(0.0) - running.tail(pace * ends)) / pace),
        running.mean / pace,
        float(np.mean(renewals_over_many_lives(engine, pace * ends, engine_km))),
    )


def _on_the_road(table, age):
    """An age that some cars of the table reach."""
    age = within("age", age, 0)
    if not np.all(table.life.survival(age) > 0):
        raise ValueError(f"age must be below {table.ends:g}, where the table {table.name} ends, got {np.max(age):g}.")
    return age
