"""What is said to an owner, as a reader is told it: nobody is spoken to, no file is named."""

import re

# What a total is called where it stands by itself, by its rung.
RUNGS = {
    "parts_on_car": "the parts on the car", "with_outside_work": "parts and outside work", "with_consumables": "parts, outside work and consumables",
    "with_waste": "all that went into the car, waste among it", "with_tools": "all that went into the car, waste and tools among it",
    "project_cash": "all that was paid, without the car itself", "project_cash_net": "all that was paid less what came back, without the car itself",
    "stands_in_at": "what the car stands in at", "with_own_hours": "what the car stands in at with own hours", "at_street_price": "what it would cost a reader",
    "at_list_price": "what it would cost at list prices", "replacement_today": "what it would cost to do it again today",
}  # fmt: skip
OTHERWISE = tuple(
    (re.compile(said), told)
    for said, told in (
        ("what the car stands you in", "what the car stands in at"),
        (r"; add one under \[\[options\]\]", ""),
        ("is a range yet: write low, likely and high where you are not sure", "is a range, so there is no chance to tell"),
        ("this range is your own guess", "this range is the builder's own guess"),
        ("it counts at your own figure,", "it counts at the builder's own figure,"),
        (r": nothing says in what state it is\. Say so under \[\[states\]\]\.", "; what such cars fetch is known of finished ones."),
        ("Your own figure is", "The builder's own figure is"),
        (r" Your first guess is not used: [^.]*\.", ""),
        ("no evidence in market.csv and no first guess", "no evidence and no first guess"),
        (r": look at \[value\]", ""),
        (": look at its decline_rate or value_path", ""),
        ("where build.toml gives them", "where the builder has written them"),
        ("the quoted build in build.toml states none", "the builder's own sums state none"),
        ("build.toml states", "the builder's own sums state"),
        (r"(is worth up to [\d,.]+ [A-Z]{3}) to you", r"\1"),
        (r"; \d+ more (?:is|are) in the table", ""),
        ("how far your builds run over", "how far builds run over"),
        ("your odometer", "the odometer"),
        ("arithmetic on your own figures", "arithmetic on the builder's own figures"),
    )
)


def public(text):
    """A sentence as a reader is told it.

    Parameters
    ----------
    text : str
        As the owner reads it. [-]

    Returns
    -------
    str
        Nobody is spoken to, and no file is named. [-]
    """
    for said, told in OTHERWISE:
        text = said.sub(told, text)
    return text
