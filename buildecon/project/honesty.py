"""What is said to a reader for honesty's sake: who gave what, and which warnings the owner overrules, with the reason."""

from collections import Counter
from typing import Annotated, Literal

from pydantic import Field

from buildecon.project.faults import Fault, unknown_name, wrong
from buildecon.project.fields import Day, Record

# Every way in which figures can mislead that the program looks for: the word it is overruled by, and its name.
TRAPS = {
    "placeholders": "placeholders",
    "lines_without_money": "lines without money",
    "base_car_old_price": "the base car at its old price",
    "base_car_nothing": "the base car at nothing",
    "no_tools": "no tools at all",
    "no_consumables": "no consumables at all",
    "no_freight_or_tax": "no freight and tax at all",
    "sponsored_total": "given or discounted parts in the quoted total",
    "gift_undisclosed": "a gift without a disclosure",
    "not_for_anyone": "help that not everybody has",
    "no_waste": "no waste at all",
    "lost_deposit_as_part": "a lost deposit on the part's own rung",
    "return_as_part": "a return counted as a part",
    "money_not_received": "money not yet received",
    "credit_not_in": "money back on thin paper",
    "hidden_interest": "a loan without its interest",
    "sale_costs_nothing": "a sale that costs nothing",
    "build_sells_free": "only the build sells for nothing",
    "hours_at_nothing": "own hours at 0 and at a rate",
    "rounded_lines": "rounded lines",
    "below_statements": "less than the statements say",
    "plan_revised": "a plan that was revised",
    "no_allowance": "still to come at the plan",
    "overrun_ignored": "an overrun left out of what is to come",
    "old_money": "money of different years added up",
    "money_without_paper": "money without paper",
    "too_many_days": "more drive days than a year has",
    "hardly_any_distance": "hardly any distance",
    "finished_but_to_come": "finished, with money still to come",
    "loan_above_price": "a loan far above the price",
    "loan_rate_high": "a very high loan rate",
    "odd_consumption": "a consumption that no car has",
    "odd_price": "a price far from all others",
    "same_event_twice": "the same event more than once",
    "loss_as_investment": "a loss called an investment",
    "cost_as_value": "what it cost called its value",
    "list_price_as_value": "a value at list price",
    "best_case_value": "a value above what the market says",
    "asks_as_value": "asking prices called value",
    "only_new": "only a new car to compare with",
    "one_alternative": "hardly anything to compare with",
    "dearest_alternative": "told against the dearest",
    "nothing_passes": "must-haves that only the build meets",
    "ruled_out_unknown": "a cheaper option out for a fact nobody looked up",
    "another_distance": "a saving at another distance",
    "more_hire_days": "more days hired than driven",
    "spec_consumption": "a consumption that the log does not bear out",
    "hoped_distance": "a distance hoped for",
    "overruled_for_nothing": "overruled, and not there",
}  # fmt: skip


class Disclosure(Record):
    """`[[disclosures]]`: who gave what, since when, and what was promised for it; the owner's own sentence is used as it is."""

    supplier: Annotated[str, Field(min_length=1)]
    gave: str
    in_return: str
    since: Day | None = None
    kind: Literal["", "discounted", "given", "swapped", "on loan", "paid"] = ""
    lines: tuple[str, ...] = ()
    wording: str = ""


class Overruled(Record):
    """`[[overruled]]`: a warning that the owner has looked at and lets stand; it is then shown with the reason, never hidden."""

    trap: Literal[tuple(TRAPS)]
    because: Annotated[str, Field(min_length=1)]


def honesty_faults(project, line_of, broken=frozenset()):
    """Disclosures of lines that are not there, traps overruled twice, and corrections of what was never published.

    Parameters
    ----------
    project : Project
        Whose records are each valid on their own. [-]
    line_of : callable
        Line of build.toml for a path of keys. [-]
    broken : set of str, optional
        Names of files with faults; lines are not judged by half of them. [-]

    Returns
    -------
    list of Fault
        Empty where all agree. [-]
    """
    known, found = {line.id for line in project.lines}, []
    for k, one in enumerate(project.file.disclosures):
        for id in one.lines if "lines.csv" not in broken else ():
            if id not in known:
                found.append(Fault("build.toml", line_of("disclosures", k, "lines"), f"disclosures.{k + 1}.lines", f"{id!r} {unknown_name(id, known)}"))
        if one.since and one.since > project.file.build.as_of:
            found.append(Fault("build.toml", line_of("disclosures", k, "since"), f"disclosures.{k + 1}.since", f"must be on or before as_of, {project.file.build.as_of}, got {one.since}."))
    for id, count in Counter(one.trap for one in project.file.overruled).items():
        if count > 1:
            found.append(Fault("build.toml", line_of("overruled"), "overruled.trap", f"must name each trap once, got {id!r} {count} times."))
    return [*found, *_published_faults(project, broken)]


def _published_faults(project, broken):
    """A figure stands once in a version; a correction is of one that was published, and says what changed."""
    first = {}
    for row in project.published:
        if (before := first.setdefault((row.figure, row.version), row.row)) != row.row:
            yield Fault("published.csv", row.row, "figure", f"must stand once in version {row.version}, got {row.figure!r}, which line {before} has already.")
    known = {row.figure for row in project.published}
    for row in project.corrections:
        if known and row.figure not in known and "published.csv" not in broken:
            yield Fault("corrections.csv", row.row, "figure", f"must be a figure of published.csv, got {row.figure!r}, which {unknown_name(row.figure, known)}")
        if row.old == row.new:
            yield Fault("corrections.csv", row.row, "new", wrong("another than old", row.new, "Write what was published under old, and what is right under new."))
