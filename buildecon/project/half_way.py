"""`[half_way]` and `[[phases]]`: what is left of a build in the making, and the gates at which it can be stopped."""

from decimal import Decimal
from typing import Annotated

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Positive, Record, Share, bounded

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
        total = sum(one.chance.likely for one in self.outcomes)
        if self.outcomes and abs(total - 1) > Decimal("1e-6"):
            raise Wrong("given outcomes whose chances add up to 1", f"They add up to {total}.")
        return self
