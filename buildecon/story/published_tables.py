"""Published figures that an owner may take over: tables with whose average each is. Nothing here is in any sum."""

import numpy as np

from buildecon.ownership.presets import REPAIR_POWER, maintenance_list, presets
from buildecon.ownership.survival import TABLES, further_distance, further_years, survival_table
from buildecon.quantities.price_index import us_cpi
from buildecon.quantities.units import KM_PER
from buildecon.story.words import number

FIRST_CPI, LAST_CPI = 2000, 2025  # years of the package's table of US consumer prices
LIST_YEAR = 2019  # whose dollars the maintenance list is in
FLEET = "US fleet average"


def presets_table(project):
    """Published figures that an owner may take over, in the money of the project's year where both are US dollars.

    Parameters
    ----------
    project : Project
        For its currency and day. [-]

    Returns
    -------
    list of dict
        A row a figure: what it is, its money year, whose average, source, standing, and what to mind. [-]
    """
    rows = []
    for one in presets():
        if project.currency == "USD" and one.money_year is not None:
            one = one.in_money_of(_money_year(project))
        values = "; ".join(f"{name} {_figure(value)}".strip() for name, value in list(one.values.items())[:7]) + (" ..." if len(one.values) > 7 else "")
        rows.append({"kind": one.kind, "figure": one.name, "value": values, "unit": one.unit, "money of": str(one.money_year or ""), "average of": one.of, "source": one.source, "reached": one.standing, "mind": one.remark})
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
        rows.append(row | {"average of": FLEET, "source": table.source, "reached": table.standing})
    return rows


def _figure(value):
    return number(value) if abs(value) >= 1000 else f"{value:.4g}"


def _money_year(project):
    return int(np.clip(project.file.build.as_of.year, FIRST_CPI, LAST_CPI))
