"""Published figures for upkeep, repairs, decline, distance, survival and lives. They are offered by name; none is ever used that its owner has not named."""

import csv
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np

from buildecon.quantities.bounds import within
from buildecon.quantities.price_index import us_cpi
from buildecon.quantities.units import KM_PER_MILE

KINDS = ("upkeep", "repairs", "decline", "distance", "survival", "life")
IN_KM = {"mi": ("km", KM_PER_MILE), "mi/year": ("km/year", KM_PER_MILE), "USD/mi": ("USD/km", 1 / KM_PER_MILE)}
# Repairs by age and price: ANL/ESD-21/4 (2021) as carried in the US EPA OMEGA model, input repair_cost, read in the agency's public repository. 2019 dollars.
REPAIR_FIRST = (0.0, 0.0, 0.00333, 0.01, 0.0167)  # by age, 0 the first year
REPAIR_LATER = 0.00333  # more for each year after those
REPAIR_PRICE = 2e-5  # in the exponent, for each dollar of the price when new
REPAIR_BODY = {"car": 1.0, "SUV": 0.91, "truck": 0.70}
REPAIR_POWER = {"combustion": 1.0, "hybrid": 0.91, "plug-in hybrid": 0.86, "electric": 0.67}


@dataclass(frozen=True)
class Preset:
    """A published figure, or several under one head, with where it is from.

    Parameters
    ----------
    kind, name : str
        One of `KINDS`; what the owner writes to take it. [-]
    values : mapping of str to float
        By what tells them apart; under an empty word where there is only one. [-]
    unit : str
        Of each. [-]
    money_year : int or None
        Of the dollars; None where it is no sum of money. [-]
    standing : {"read", "secondary", "memory", "computed", "common practice"}
        How the figure was reached. [-]
    of, source, remark : str
        Whose average it is, who says so, and what to mind. [-]
    """

    kind: str
    name: str
    values: MappingProxyType
    unit: str
    money_year: int | None
    standing: str
    of: str
    source: str
    remark: str = ""

    @property
    def value(self):
        """The only figure it has."""
        if len(self.values) != 1:
            raise ValueError(f"{self.name} must be asked for one of {', '.join(self.values)}: it has {len(self.values)} values.")
        return next(iter(self.values.values()))

    def in_money_of(self, year, series="all items"):
        """The same in the money of another year, by a series of US consumer prices."""
        if self.money_year is None:
            raise ValueError(f"{self.name} must be a sum of money to be carried to another year, got a figure in {self.unit}.")
        index = us_cpi(series)
        for one in (self.money_year, year):
            if str(one) not in index.levels:
                raise ValueError(f"year must be between {min(index.levels)} and {index.last}, which the price index covers, got {one}.")
        rise = index.levels[str(year)] / index.levels[str(self.money_year)]
        return replace(self, values=_times(self.values, rise), money_year=int(year))

    def in_km(self):
        """The same by kilometres where it is by miles."""
        if self.unit not in IN_KM:
            raise ValueError(f"{self.name} must be by miles to be told by kilometres, got a figure in {self.unit}.")
        unit, factor = IN_KM[self.unit]
        return replace(self, values=_times(self.values, factor), unit=unit)


@dataclass(frozen=True)
class Service:
    """An item of a maintenance list. Its bill, in 2019 dollars, and the distance from one to the next. [money, km]"""

    item: str
    bill: float
    km: float


def preset(name):
    """One published figure by its name.

    Parameters
    ----------
    name : str
        As in `presets`. [-]

    Returns
    -------
    Preset
        As printed; carry it to another year or to kilometres from there. [-]

    Raises
    ------
    ValueError
        If there is none of that name.

    Examples
    --------
    >>> found = preset("maintenance per mile").in_money_of(2024)
    >>> print(f"{found.values['combustion']:.3f} {found.unit} of {found.money_year}, {found.of}, {found.standing}")
    0.124 USD/mi of 2024, US fleet average, secondary
    """
    known = {one.name: one for one in presets()}
    if name not in known:
        near = get_close_matches(str(name), known, 3, 0.6)
        raise ValueError(f"name must be that of a preset, got {name!r}." + (f" Near it: {', '.join(near)}." if near else ""))
    return known[name]


@lru_cache
def presets(kind=None):
    """Published figures of one kind, or all, to choose from.

    Parameters
    ----------
    kind : str, optional
        One of `KINDS`. [-]

    Returns
    -------
    tuple of Preset
        In the order of us_presets.csv. [-]

    Raises
    ------
    ValueError
        If there is no such kind.
    """
    if kind is not None and kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, got {kind!r}.")
    return tuple(_preset(row) for row in _rows("us_presets.csv") if kind in (None, row["kind"]))


@lru_cache
def maintenance_list(power):
    """Scheduled maintenance item by item, of an average car of the United States.

    Parameters
    ----------
    power : str
        One of `REPAIR_POWER`. [-]

    Returns
    -------
    tuple of Service
        Bill in 2019 dollars, and interval. [money, km]

    References
    ----------
    Argonne National Laboratory, ANL/ESD-21/4 (2021), as carried in the US EPA OMEGA model (read there).
    """
    _one_of("power", power, REPAIR_POWER)
    return tuple(Service(row["item"], float(row["bill"]), float(row[power]) * KM_PER_MILE) for row in _rows("us_maintenance.csv") if row[power])


def cost_of_services(services):
    """What a maintenance list comes to for each kilometre, every item at its interval.

    Parameters
    ----------
    services : sequence of Service
        From `maintenance_list`, or the owner's own. [-]

    Returns
    -------
    float
        Long-run cost. [money/km]
    """
    return float(sum(one.bill / within(one.item, one.km, 1.0) for one in services))


def repair_cost_per_km(age, new_price, body="car", power="combustion"):
    """Repairs beyond maintenance by age, of an average car of the United States, in 2019 dollars.

    Parameters
    ----------
    age : array_like, shape (...)
        Whole years, 0 in the first; a part of a year counts as none. [year]
    new_price : array_like, shape (...)
        What the car cost when new, in 2019 dollars. [money]
    body : str, optional
        One of `REPAIR_BODY`. [-]
    power : str, optional
        One of `REPAIR_POWER`. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Cost. [money/km]

    Notes
    -----
    For each mile body x power x a(age) x exp(2e-5 x price); a is 0, 0, .00333, .01, .0167 and .00333 more for each year after that.

    References
    ----------
    Argonne National Laboratory, ANL/ESD-21/4 (2021), as carried in the US EPA OMEGA model (read there).
    """
    _one_of("body", body, REPAIR_BODY)
    _one_of("power", power, REPAIR_POWER)
    age = np.floor(within("age", age, 0))
    last = len(REPAIR_FIRST) - 1
    first = np.asarray(REPAIR_FIRST)[np.minimum(age, last).astype(int)]
    per_mile = (first + REPAIR_LATER * np.maximum(age - last, 0)) * np.exp(REPAIR_PRICE * within("new_price", new_price, 0, 1e6))
    return REPAIR_BODY[body] * REPAIR_POWER[power] * per_mile / KM_PER_MILE


def _preset(row):
    """A row of us_presets.csv as a record."""
    pairs = [cell.rpartition("=") for cell in row["values"].split(";")]
    values = MappingProxyType({key: float(figure) for key, _, figure in pairs})
    year = int(row["money_year"]) if row["money_year"] else None
    return Preset(values=values, money_year=year, **{key: row[key] for key in ("kind", "name", "unit", "standing", "of", "source", "remark")})


def _rows(name):
    """Rows of a table that comes with the package, below its comment lines."""
    lines = (files("buildecon.ownership") / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _times(values, factor):
    return MappingProxyType({key: figure * factor for key, figure in values.items()})


def _one_of(name, word, words):
    if word not in words:
        raise ValueError(f"{name} must be one of {', '.join(words)}, got {word!r}.")
