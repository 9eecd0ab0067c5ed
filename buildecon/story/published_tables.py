"""Published figures that an owner may take over: tables with whose average each is. Nothing here is in any sum."""

import numpy as np

from buildecon.ownership.presets import IN_KM, REPAIR_POWER, maintenance_list, presets
from buildecon.ownership.survival import TABLES, further_distance, further_years, survival_table
from buildecon.quantities.price_index import us_cpi
from buildecon.quantities.units import KM_PER
from buildecon.story.words import number

FIRST_CPI, LAST_CPI = 2000, 2025  # years of the package's table of US consumer prices
LIST_YEAR = 2019  # whose dollars the maintenance list is in
FLEET = "US fleet average"
NO_KEY = "no key: to set yours beside"
# Where in build.toml a figure would be written, by its kind; the words of an own unit or name go before.
UNDER = {
    "whole cost of a new car per mile": NO_KEY, "business mileage rate 2020": NO_KEY, "business mileage rate 2025": NO_KEY,  # these have its fuel and its price in them
    "lost a year at 10000 miles a year": NO_KEY, "lost a year at 15000 miles a year": NO_KEY, "lost a year at 20000 miles a year": NO_KEY,  # money, and no share of a value
    "tyres by age": NO_KEY, "month": NO_KEY, "share of capacity": NO_KEY, "Weibull in hours": NO_KEY, "Weibull in the unit of the data": NO_KEY,  # renewals go by distance
    "Weibull in km": "wear.renewals, shape",  # its scale is not what half outlast
    "insurance by class": "yearly.insurance", "licence registration and taxes by class": "yearly.tax", "share per 10000 mi": "value_path.distance_rate",
    "upkeep": "yearly.upkeep", "repairs": "yearly.upkeep, or [repairs]", "decline": "decline_rate", "distance": "[use] distance_a_year", "survival": "[clocks] shell_years, less its age", "life": "wear.renewals, every",
}  # fmt: skip
KNOWN = {"read": "read there", "secondary": "read where it is quoted", "memory": "from memory", "computed": "computed from its data", "common practice": "common practice, no source"}


def presets_table(project):
    """Published figures that an owner may take over, in the owner's unit of distance, in the money of the project's year where both are US dollars.

    Parameters
    ----------
    project : Project
        For its currency and day. [-]

    Returns
    -------
    list of dict
        A row a figure: what it is, where it would be written, its money year, whose average, source, how it is known, and what to mind. [-]
    """
    rows = []
    for one in presets():
        if project.currency == "USD" and one.money_year is not None:
            one = one.in_money_of(_money_year(project))
        if project.file.build.distance_unit == "km" and one.unit in IN_KM:
            one = one.in_km()
        values = "; ".join(f"{name} {_figure(value)}".strip() for name, value in one.values.items())
        under = next(UNDER[word] for word in (one.name, one.unit, one.kind) if word in UNDER)
        rows.append({"figure": one.name, "value": values, "unit": one.unit.replace("1/year", "of value a year"), "goes under": under, "money of": str(one.money_year or ""), "average of": one.of, "source": one.source, "how known": KNOWN[one.standing], "mind": one.remark})
    return rows


def services_table(project):
    """Scheduled maintenance of an average US car item by item, as a start for `[[options.wear.renewals]]`.

    Parameters
    ----------
    project : Project
        For its currency, day and unit of distance. [-]

    Returns
    -------
    list of dict
        A row an item: bill, in dollars of the project's year where its money is US dollars, and interval by what drives the car. [-]
    """
    year, unit = _money_year(project) if project.currency == "USD" else LIST_YEAR, project.file.build.distance_unit
    levels = us_cpi().levels
    rise = levels[str(year)] / levels[str(LIST_YEAR)]
    lists = {power: {one.item: one for one in maintenance_list(power)} for power in REPAIR_POWER}
    items = dict.fromkeys(item for services in lists.values() for item in services)
    rows = []
    for item in items:
        bill = next(services[item].bill for services in lists.values() if item in services)
        every = {f"{power}, {unit}": number(services[item].km / KM_PER[unit]) if item in services else "-" for power, services in lists.items()}
        rows.append({"item": item, f"bill, USD of {year}": number(bill * rise)} | every)
    return rows


def fleets_table(project):
    """How long and how far the cars of some fleets go, from new and from the age of this car on.

    Parameters
    ----------
    project : Project
        For its day and unit of distance; with the year of the car, what is still to come at its age. [-]

    Returns
    -------
    list of dict
        A row a fleet; a dash where it has no car so old. [-]
    """
    unit, year = project.file.build.distance_unit, project.file.this_car.year
    age = None if year is None else max(project.file.build.as_of.year - year, 0)
    rows = []
    for name in TABLES:
        table = survival_table(name)
        row = {"fleet": name, f"goes in its life, {unit}": number(float(further_distance(table)) / KM_PER[unit]), "half of them last, years": f"{table.life.median:.1f}"}
        if age is not None:
            told, years = age < table.life.quantile(0.0), np.searchsorted(table.year_end, age, side="right")
            row[f"at {age} years, years to come"] = f"{float(further_years(table, age)):.1f}" if told else "-"
            row[f"at {age} years, {unit} to come"] = number(float(further_distance(table, age)) / KM_PER[unit]) if told else "-"
            row[f"driven in the year after, {unit}"] = number(float(table.km[years]) / KM_PER[unit]) if told else "-"
        rows.append(row | {"average of": FLEET, "source": table.source, "how known": KNOWN.get(table.standing, table.standing)})
    return rows


def _figure(value):
    return number(value) if abs(value) >= 1000 else f"{value:.4g}"


def _money_year(project):
    return int(np.clip(project.file.build.as_of.year, FIRST_CPI, LAST_CPI))
