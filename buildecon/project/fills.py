"""The log of fills in order of time, and the rules it keeps with the rest of a project."""

from decimal import Decimal

from buildecon.project.faults import Fault, unknown_name, wrong
from buildecon.quantities.units import BOUGHT_AS

LARGEST_FILL = Decimal(2000)  # of any unit; above it the decimal sign was read as one between thousands


def in_order(rows):
    """Rows of the log by date; those of one day as they stand in the file.

    Parameters
    ----------
    rows : iterable of Fill
        As read. [-]

    Returns
    -------
    list of Fill
        The oldest first. [-]
    """
    return sorted(rows, key=lambda row: row.date)


def unit_of(row, energies):
    """Unit in which a fill is written.

    Parameters
    ----------
    row : Fill
        With its source. [-]
    energies : dict of str to Energy
        Of build.toml. [-]

    Returns
    -------
    str
        Its own, else that of its energy. [-]
    """
    return row.unit or energies[row.source].unit


def fill_faults(project, broken=frozenset()):
    """Faults of energy.csv against build.toml, and of its rows against each other.

    Parameters
    ----------
    project : Project
        Whose records are each valid on their own. [-]
    broken : set of str, optional
        Names of files with faults, of which records may be missing: what needs all of them is not judged. [-]

    Returns
    -------
    iterator of Fault
        One a slip. [-]
    """
    as_of = project.file.build.as_of
    for row in project.energy:
        if row.date > as_of:
            yield _fault(row, "date", wrong(f"on or before as_of, {as_of}", row.date, "Check its year, or move as_of in build.toml."))
        yield from _energy_faults(row, project.file.energy)
    if "energy.csv" not in broken:
        yield from _order_faults(in_order(project.energy))


def _energy_faults(row, energies):
    if row.source and row.source not in energies:
        yield _fault(row, "source", f"must be the name of an [energy.NAME] of build.toml, got {row.source!r}, which {unknown_name(row.source, energies)}")
    elif row.is_fill and BOUGHT_AS[unit_of(row, energies)] != BOUGHT_AS[energies[row.source].unit]:
        yield _fault(row, "unit", wrong(f"a unit that fits {energies[row.source].unit}, in which {row.source!r} is paid for", row.unit))
    elif row.in_battery is not None and unit_of(row, energies) != "kWh":
        yield _fault(row, "in_battery", wrong(f"empty for a fill in {unit_of(row, energies)}", row.in_battery))
    for name in ("filled", "in_battery"):
        if (value := getattr(row, name)) is not None and value.likely > LARGEST_FILL:
            yield _fault(row, name, wrong(f"at most {LARGEST_FILL}", value, "Check its decimal sign, or declare it under [files.energy]."))


def _order_faults(rows):
    """The odometer never runs backwards unless it was changed, and no fill stands twice."""
    seen = {}
    for before, row in zip([None, *rows], rows, strict=False):
        if before is not None:
            shown = before.odometer_now or before.odometer
            if row.odometer.likely < shown.likely:
                cure = "Check both and their dates, or write odometer_now where the odometer was changed or began again at 0."
                yield _fault(row, "odometer", wrong(f"at least that of the row before it by date, {shown} on line {before.row}", row.odometer, cure))
        key = (row.date, row.odometer, row.source, row.filled, row.in_battery)
        if row.is_fill and key in seen:
            yield _fault(row, "filled", f"must stand once, got the fill of line {seen[key]} again. Take one of the two out.")
        seen.setdefault(key, row.row)


def _fault(row, column, message):
    return Fault("energy.csv", row.row, column, message)
