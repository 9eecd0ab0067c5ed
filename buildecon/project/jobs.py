"""`[[jobs]]` and `[trim]`: what could be done, what it is worth, and what there is for it."""

from typing import Annotated

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Day, Flag, Record


class Job(Record):
    """`[[jobs]]`: one job that could be done, left out or put off."""

    id: Annotated[str, Field(min_length=1)]
    what: Annotated[str, Field(min_length=1)]
    lines: tuple[str, ...] = ()
    cost: Amount | None = None
    hours: Amount = ZERO
    adds: AnyNumber = ZERO
    worth_to_you: Amount = ZERO
    needs: tuple[str | tuple[str, ...], ...] = ()
    one_of: str = ""
    must: Flag = False
    phase: str = ""
    what_is_lost: str = ""

    @model_validator(mode="after")
    def _one_cost(self):
        if (self.cost is None) != bool(self.lines):
            raise Wrong("given cost or lines, and not both", "Name the rows of lines.csv the job is made of, or write what it costs.")
        return self


class Trim(Record):
    """`[trim]`: money and own hours there are for the jobs, and what comes in a month for them."""

    budget: Amount | None = None
    hours: Amount | None = None
    saved: Amount = ZERO
    a_month: Amount | None = None
    first_month: Day | None = None
