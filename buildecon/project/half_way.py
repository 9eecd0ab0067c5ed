"""`[half_way]` and `[[phases]]`: what is left of a build in the making, and the gates at which it can be stopped."""

from collections import Counter
from decimal import Decimal
from typing import Annotated

from pydantic import Field, model_validator

from buildecon.project.faults import Fault, Wrong, unknown_name
from buildecon.project.fields import ZERO, Amount, AnyNumber, Positive, Record, Share, bounded

MOST_PHASES, MOST_OUTCOMES = 7, 3  # every turn of chance is gone through; what is in no phase is one more
Drift = Annotated[AnyNumber, bounded(Decimal("-0.9"), 1, "a fraction a year between -0.9 and 1", "Write 5 % less a year as -0.05.")]


class Without(Record):
    """`[[half_way.without]]`: finishing without some of the lines still open, what it would then sell for, and the own hours and months that saves."""

    what: Annotated[str, Field(min_length=1)]
    lines: Annotated[tuple[str, ...], Field(min_length=1)]
    finished: Amount
    hours: Amount = ZERO
    months: Amount = ZERO


class Shelve(Record):
    """`[half_way.shelve]`: leaving it as it stands for a while, then selling it."""

    months: Positive
    holding: Amount = ZERO
    drift: Drift = ZERO


class HalfWay(Record):
    """`[half_way]`: months and own hours until it is done, what holding it costs a month, and how earlier builds ran."""

    months: Amount = ZERO
    hours: Amount = ZERO
    holding: Amount = ZERO
    past_overruns: tuple[Positive, ...] = ()
    without: tuple[Without, ...] = ()
    shelve: Shelve | None = None


class BadNews(Record):
    """What opening up a phase may show: its chance, what it adds to the cost, and what the car then sells for if one stops."""

    what: Annotated[str, Field(min_length=1)]
    chance: Share
    adds: Amount
    look: Amount | None = None
    stop_value: Amount | None = None


class Outcome(Record):
    """One way a phase may turn out for the finished value."""

    times: Positive
    chance: Share


class Phase(Record):
    """`[[phases]]`: a part of what is left, with a gate before it."""

    id: Annotated[str, Field(min_length=1)]
    what: Annotated[str, Field(min_length=1)]
    lines: tuple[str, ...] = ()
    cost: Amount | None = None
    opens: Amount = ZERO
    budget: Amount | None = None
    months: Amount = ZERO
    stop_value: Amount | None = None
    bad_news: BadNews | None = None
    outcomes: tuple[Outcome, ...] = ()

    @model_validator(mode="after")
    def _whole(self):
        if self.lines and self.cost is not None:
            raise Wrong("given lines or cost, and not both", "With lines, their costs still to come are added up.")
        if len(self.outcomes) > MOST_OUTCOMES:
            raise Wrong(f"given at most {MOST_OUTCOMES} outcomes", f"It has {len(self.outcomes)}; put near ones together.")
        total = sum(one.chance.likely for one in self.outcomes)
        if self.outcomes and abs(total - 1) > Decimal("1e-6"):
            raise Wrong("given outcomes whose chances add up to 1", f"They add up to {total}.")
        return self


def half_way_faults(project, line_of, broken=frozenset()):
    """What `[half_way]` and `[[phases]]` say of lines that are not there, or twice.

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
    file, known = project.file, {line.id for line in project.lines}
    found = []

    def fault(keys, name, message):
        found.append(Fault("build.toml", line_of(*keys), name, message))

    places = [(("half_way", "without", k), f"half_way.without.{k + 1}.lines", one.lines) for k, one in enumerate(file.half_way.without)]
    places += [(("phases", k), f"phases.{k + 1}.lines", one.lines) for k, one in enumerate(file.phases)]
    for keys, name, lines in places:
        for id in lines if "lines.csv" not in broken else ():
            if id not in known:
                fault(keys, name, f"{id!r} {unknown_name(id, known)}")
        for id, count in Counter(lines).items():
            if count > 1:
                fault(keys, name, f"must name each line once, got {id!r} {count} times.")
    seen = {}
    for k, phase in enumerate(file.phases):
        for id in dict.fromkeys(phase.lines):
            if id in seen:
                fault(("phases", k), f"phases.{k + 1}.lines", f"must be in one phase only, got {id!r}, which {seen[id]!r} has already.")
            seen.setdefault(id, phase.id)
    if len(file.phases) > MOST_PHASES:
        fault(("phases", MOST_PHASES), "phases", f"must be at most {MOST_PHASES}, got {len(file.phases)}. Put small ones together.")
    if file.phases and file.phases[0].stop_value is not None:
        fault(("phases", 0, "stop_value"), "phases.1.stop_value", f"must be left out of the first phase, got {file.phases[0].stop_value}. Stopping before it is selling today: value.as_is.")
    return found
