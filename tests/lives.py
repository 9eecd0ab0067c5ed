"""The published economic-life tables, with a year as the period; a test imports it as `lives`."""

from reference.printed import numbers, rows

from buildecon.ownership.keeping import cost_if_kept

FILES = ("blank_tarquin_economic_life", "sullivan_economic_life", "newnan_economic_life", "worked_economic_life_pages")
LIVES = [row for name in FILES for row in rows(f"{name}.csv")]


def kept(row):
    """Cost if kept to the end of each year; what the car would fetch at once plays no part from year 1 on."""
    running, first = numbers(row["running"]), float(row["first_cost"])
    end_value = numbers(row["end_value"]) if ";" in row["end_value"] else [float(row["end_value"])] * len(running)
    return cost_if_kept(first, running, [first, *end_value], float(row["rate"]), periods_a_year=1)


def case(name):
    """The row of that name."""
    (row,) = [row for row in LIVES if row["case"] == name]
    return row
