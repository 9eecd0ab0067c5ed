"""Plain names of the figures that are not known, what they are, and how one would find out."""

from buildecon.decision.inputs import COUNTED, OVERRUN, SPENT
from buildecon.story.words import called, number

NAMED = {
    "use.distance_a_year": "distance a year", "use.drive_days_a_year": "drive days a year", "value.as_is": "what it would sell for as it stands",
    "value.finished": "what it sells for when done", "value.selling_cost_share": "the share that selling takes", SPENT: "what the receipts leave open",
    OVERRUN: "how far your builds run over", COUNTED: "whether the money counted on comes",
    "half_way.months": "months until it is done", "half_way.hours": "own hours left", "half_way.holding": "what holding it costs a month",
}  # fmt: skip
OF_OPTION = {
    "price": "price, {}", "value": "what {} sells for on the first day", "decline_rate": "value lost a year, {}", "purchase_costs": "costs of buying {}",
    "selling_cost_share": "what selling {} takes", "downtime": "second car while {} is built", "build_months": "months until {} is done",
}  # fmt: skip
USED = {"amount": "", "town": " in town", "open_road": " on the open road"}
FIND_OUT = {
    "lines": "a firm quote", "price": "a firm price", "decline_rate": "what older ones sell for", "finished": "what like ones were sold for", "as_is": "two dealers' offers, or like ones sold",
    "distance_a_year": "your odometer over a year", "upkeep": "a workshop's price for its yearly service", "amount": "a log of fills", "insurance": "a quote from the insurer",
}  # fmt: skip


def input_words(one):
    """What an input is, in words.

    Parameters
    ----------
    one : Input
        Of the inputs of a project. [-]

    Returns
    -------
    str
        Without its figures. [-]
    """
    if one.id in NAMED:
        return NAMED[one.id]
    table, *rest = one.id.split(".")
    last = next(part for part in reversed(rest) if not part.isdigit())
    if table == "lines":
        return f"{one.names[-1]}, still to come"
    if table == "energy":
        return {"price": "price of {}", "price_growth_rate": "rise of the price of {} a year", "share": "share of {}"}.get(last, last.replace("_", " ") + " of {}").format(", ".join(one.names))
    if table == "options":
        today = " from today" if "from_today" in rest else ""
        return _of_option([part for part in rest[1:] if part != "from_today"], called(one.names[0]), [part for part in one.names[1:] if part]) + today
    return " ".join(part.replace("_", " ") for part in rest if not part.isdigit()) + (f" of {one.names[-1]}" if one.names else "")


def _of_option(rest, name, more):
    """What of an option it is; `more` is what the files call the part of it."""
    table, last = rest[0], next(part for part in reversed(rest) if not part.isdigit())
    plain = last.replace("_", " ")
    if table == "yearly":
        return f"{plain}, {name}"
    if table == "energy" and last in USED:
        return f"what {name} uses of {' '.join(more)}{USED[last]}"
    if table in ("kit", "loan"):
        return f"{plain} of the {table} of {name}"
    if "table" in rest:
        return f"{plain} in row {int(rest[-2]) + 1} of the table of {name}"
    if more:
        return f"{' '.join((*more, plain))} of {name}"
    return OF_OPTION.get(last, f"{plain} of {{}}").format(name)


def input_figure(one, value, project):
    """A figure of an input, with its unit.

    Parameters
    ----------
    one : Input
        Of the inputs of a project. [-]
    value : float
        Of it. [-]
    project : Project
        For currency and unit. [-]

    Returns
    -------
    str
        Rounded. [-]
    """
    last = one.id.split(".")[-1]
    if one.id.startswith("energy.") and last == "price":
        return f"{value:.2f}"
    if last.endswith(("_rate", "share", "_loss", "by_year")):
        return f"{100 * value:.0f}%" if abs(value) >= 0.095 else f"{100 * value:.1f}%"
    if one.id == COUNTED:
        return "yes" if value else "no"
    if one.id == OVERRUN:
        return f"{value:.2f} times"
    return number(value) if abs(value) >= 100 or value == round(value) else number(value, 1)


def way_to_find_out(one):
    """How one would find out an input.

    Parameters
    ----------
    one : Input
        Of the inputs of a project. [-]

    Returns
    -------
    str
        A few words; common practice, no source. [-]
    """
    parts = one.id.split(".")
    return FIND_OUT.get(parts[0]) or FIND_OUT.get(parts[-1]) or "ask"


def drawn_as(project):
    """How a range is drawn.

    Parameters
    ----------
    project : Project
        With `[chances]`. [-]

    Returns
    -------
    str
        To stand behind "drawn". [-]
    """
    return {"pert": "most often near its likely figure (PERT)", "triangular": "as a triangle", "four in five": "with its ends passed once in ten times each"}[project.file.chances.shape]
