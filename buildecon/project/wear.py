"""`[options.wear]` and `[repairs]`: what keeping costs beyond the same sum every year."""

from decimal import Decimal
from typing import Annotated

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Positive, Record, Share, bounded

Rise = Annotated[AnyNumber, bounded(0, 2, "a share between 0 and 2", "Write 5 % more each year as 0.05.")]


class Renewal(Record):
    """`[[options.wear.renewals]]`: a component that is renewed each time its distance is reached."""

    what: Annotated[str, Field(min_length=1)]
    cost: Amount
    every: Positive
    used: Amount = ZERO


class Wear(Record):
    """`[options.wear]`: upkeep that rises, insurance by value, components, and what another car like it costs when this one is done."""

    upkeep_by_year: Rise = ZERO
    upkeep_by_distance: Rise = ZERO
    insurance_share: Share = ZERO
    renewals: tuple[Renewal, ...] = ()
    again: Amount | None = None


class Bill(Record):
    """One size of repair bill and the chance of it in a year."""

    amount: Amount
    chance: Share


class Repairs(Record):
    """`[repairs]`: the bills that may come in a year, and what the car brings in any state."""

    bills: Annotated[tuple[Bill, ...], Field(min_length=1)]
    scrap_value: Amount = ZERO

    @model_validator(mode="after")
    def _chances(self):
        if sum(bill.chance.likely for bill in self.bills) > Decimal(1):
            raise Wrong("given bills whose chances add up to at most 1", f"They add up to {sum(bill.chance.likely for bill in self.bills)}; what is left is a year without a bill.")
        return self
