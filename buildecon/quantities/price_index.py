"""Price indices: what a sum of one year is in the money of another."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

US_CPI = "US consumer prices"


@dataclass(frozen=True)
class PriceIndex:
    """A dated price level.

    Parameters
    ----------
    name, source : str
        What it measures, and who says so. [-]
    levels : dict of str to float
        Level by year, `2024`, or by month, `2024-06`; any base. [-]
    """

    name: str
    source: str
    levels: dict

    @property
    def last(self):
        """The last period it covers."""
        return max(self.levels)

    def level(self, day):
        """Level of the month of a date, else of its year; the last level where the date is later; None where it is earlier."""
        for period in (f"{day:%Y-%m}", f"{day:%Y}"):
            if period in self.levels:
                return self.levels[period]
        return self.levels[self.last] if f"{day:%Y-%m}" > self.last else None

    def rise(self, since, to):
        """Price rise between two dates as a factor; None where the index does not reach back to the first."""
        before, after = self.level(since), self.level(to)
        return None if before is None or after is None else after / before


@lru_cache
def us_cpi(series="all items"):
    """Annual US consumer prices of one kind of goods, 2000 to 2025.

    Parameters
    ----------
    series : str, optional
        A column of us_cpi_annual.csv, such as `parts and equipment`. [-]

    Returns
    -------
    PriceIndex
        Levels by year. [-]

    Raises
    ------
    ValueError
        If there is no such series.

    References
    ----------
    US Bureau of Labor Statistics, CPI-U, US city average, annual averages.
    """
    lines = (files("buildecon.quantities") / "us_cpi_annual.csv").read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    if series not in rows[0] or series == "year":
        raise ValueError(f"series must be one of {', '.join(name for name in rows[0] if name != 'year')}, got {series!r}.")
    return PriceIndex(f"{US_CPI}, {series}", "US Bureau of Labor Statistics, annual averages", {row["year"]: float(row[series]) for row in rows})
