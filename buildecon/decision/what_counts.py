"""Which inputs the costs of some options count with, in one view and beside the numbers that a reader has turned."""

from buildecon.decision.inputs import COUNTED, OVERRUN, SPENT
from buildecon.decision.option_terms import WHOLE_STORY
from buildecon.project.paths import OF_A_CURVE

TABLES = ("use.", "value.", "own_hours.", "lines.")
# What a number of the reader stands in for; what begins with a dot is of the build, what ends with one is a whole table.
STANDS_FOR = {
    "distance_a_year": ("use.distance_a_year",), "discount_percent": ("use.discount_rate",), "end_value": ("value.finished", ".value"), "still_to_come": ("lines.", OVERRUN),
    "spent_off": (SPENT,), "counted_on_comes": (COUNTED,), "lifetime_distance": (".value_path.lifetime_distance",),
    "decline_percent": (".decline_rate", ".value_path.table.", *(f".value_path.{name}" for name in sorted(OF_A_CURVE))),
}  # fmt: skip


def counted(unknown, options, view, turned):
    """The inputs that the costs of some options count with.

    Parameters
    ----------
    unknown : Unknown
        The files and what is not known of them. [-]
    options : sequence of Option
        As they are in that view, the build first. [-]
    view : {"whole story", "from today"}
        Each has figures that the other does without. [-]
    turned : set of str
        Fields of `WhatIf` that the reader has turned; what they stand for is known. [-]

    Returns
    -------
    tuple of Input
        In the order of the unknown. [-]
    """
    names = {COUNTED, OVERRUN, SPENT}
    tables = {*TABLES, *(f"options.{option.id}." for option in options), *(f"energy.{part.source}." for option in options for part in option.energy)}
    build, file = options[0], unknown.project.file
    if "lifetime_distance" in turned and not _ends(build):
        names |= {"this_car.distance"} | (set() if build.value_path and build.value_path.scrap_value else {"repairs.scrap_value"})
    out = {"value.as_is"} if view == WHOLE_STORY else {SPENT, "own_hours."}
    out |= set() if build.counts_on else {COUNTED}
    out |= set() if build.value in (None, file.value.finished) else {"value.finished"}
    for option in options:
        out |= {f"options.{option.id}.{name}" for name in _idle(option, view, option is build and "lifetime_distance" in turned)}
    for name in turned:
        out |= {f"options.{build.id}{one}" if one.startswith(".") else one for one in STANDS_FOR.get(name, ())}
    return tuple(one for one in unknown.inputs if _among(one.id, names | tables) and not _among(one.id, out))


def _idle(option, view, turned):
    """Of an option in a view: what only the other view, or only the end of a life, counts with."""
    today, ends = option.from_today, _ends(option) or turned
    idle = set() if ends else {"wear.again", "wear.again_distance"}
    if view == WHOLE_STORY or today is None:
        return idle | {"from_today."}
    return idle | ({"price"} if today.price is not None else set()) | ({"kit."} if today.kit is not None else set())


def _ends(option):
    return bool(option.value_path and option.value_path.lifetime_distance)


def _among(id, names):
    return id in names or any(id.startswith(name) for name in names if name.endswith("."))
