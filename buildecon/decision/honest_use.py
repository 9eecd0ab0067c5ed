"""Whether the use that an answer counts on is the use that there is: distance, days and consumption against the log."""

import re

import numpy as np

from buildecon.ledger.flattering_words import prose
from buildecon.ledger.trap import Trap
from buildecon.ownership.fuel_log import distance_driven
from buildecon.ownership.measured import TOLD_APART, agrees, read_logs
from buildecon.project.fills import in_order
from buildecon.quantities.units import KM_PER, consumption_in

DAYS_A_YEAR = 365.25
LONG_ENOUGH = 90  # days of log before a distance a year is made of it: common practice, no source
HOPED, HOPED_LIFELONG = 1.25, 3.0  # times what the log shows, and what the car did in all its years: common practice, no source
OTHER = 0.1  # by which a distance in a text may lie outside the range of [use]: common practice, no source
SAVING = re.compile(r"\bsav(?:e|es|ed|ing|ings)\b|\bfuel\b|\bcharging\b|\bcheaper\b|\bpays?(?: itself)? back\b", re.IGNORECASE)
A_YEAR = re.compile(r"(\d[\d,' ]*)\s*(km|mi|miles|kilomet(?:re|er)s)\b\.?\s*(?:a|per|/|every|each)\s*year", re.IGNORECASE)


def logged_distance(project):
    """Distance a year by the log of fills.

    Parameters
    ----------
    project : Project
        With its energy.csv. [-]

    Returns
    -------
    tuple of (float, int) or None
        In the owner's unit a year, and over how many days; None where the log is too short. [-]
    """
    rows = in_order(project.energy)
    days = (rows[-1].date - rows[0].date).days if rows else 0
    if days < LONG_ENOUGH:
        return None
    columns = ([np.nan if getattr(row, name) is None else float(getattr(row, name)) for row in rows] for name in ("odometer", "odometer_now", "correction"))
    return float(distance_driven(*columns)[-1]) * DAYS_A_YEAR / days, days


def _hoped(told):
    use, build, car = told.project.file.use, told.project.file.build, told.project.file.this_car
    stated, unit, logged = float(use.distance_a_year.likely), build.distance_unit, logged_distance(told.project)
    if logged:
        if stated > HOPED * logged[0]:
            yield Trap("hoped_distance", f"{stated:,.0f} {unit} a year are counted; the log shows {logged[0]:,.0f} a year over {logged[1]} days", "Count what is driven: a cost per distance falls with every mile or km hoped for.")
    elif car.year and car.distance and build.as_of.year > car.year:
        usual = float(car.distance.likely) / (build.as_of.year - car.year)
        if usual and stated > HOPED_LIFELONG * usual:
            yield Trap("hoped_distance", f"{stated:,.0f} {unit} a year are counted; in all its years the car did {usual:,.0f}", "Keep a log of fills, or say why it will be driven more.")


def _another(told):
    """A saving told at a distance that is not the one counted with."""
    use, unit = told.project.file.use.distance_a_year, told.project.file.build.distance_unit
    for place, text in prose(told.project):
        for sentence in re.split(r"(?<=[.!?;])\s", text):
            for found in A_YEAR.finditer(sentence) if SAVING.search(sentence) else ():
                shown = float(re.sub(r"\D", "", found[1]))
                distance = shown * KM_PER["km" if found[2].lower().startswith("k") else "mi"] / KM_PER[unit]
                if not float(use.low) * (1 - OTHER) <= distance <= float(use.high) * (1 + OTHER):
                    yield Trap("another_distance", f"{place} speaks of {found[0].strip()}, the figures count {float(use.likely):,.0f} {unit}", "Tell the saving at the distance that is counted.")


def _hired(told):
    days = float(told.project.file.use.drive_days_a_year.likely)
    for option in told.comparison.options:
        if option.kind == "hire" and float(option.hire.days_a_year.likely) > days:
            yield Trap("more_hire_days", f"{option.name}: {float(option.hire.days_a_year.likely):,.0f} days a year, the build is driven {days:,.0f}", "Compare both at the same use.")


def _spec(told):
    for log in read_logs(told.project):
        if log.bought and log.stated and not agrees(log.bought.consumption, log.bought.standard_error, log.stated.bought):
            measured, likely, unit = log.bought.consumption, log.stated.bought[1], log.stated.unit
            stated, found = (float(consumption_in(figure, unit)) for figure in (likely, measured))
            apart = TOLD_APART * log.bought.standard_error / measured * found
            more = "more" if measured > likely else "less"
            yield Trap("spec_consumption", f"{log.source}: {stated:.2f} {unit} bought is stated, the log measures {found:.2f}, give or take {apart:.2f}: it takes {abs(measured / likely - 1):.0%} {more}", "Write what the log measures, or say what differs.")


USE_CHECKS = (_another, _hired, _spec, _hoped)
