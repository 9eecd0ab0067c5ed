"""`[options.wear]` and `[repairs]`: what keeping costs beyond the same sum every year."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Positive, Record, Share, bounded
from buildecon.quantities.estimate import sure

LOG_2, LAST = 0.6931, 600  # a part of which less than exp(-LAST) run so far is none of its kind

Rise = Annotated[AnyNumber, bounded(0, 2, "a share between 0 and 2", "Write 5 % more each year as 0.05.")]


class Renewal(Record):
    """`[[options.wear.renewals]]`: a component that is renewed each time its distance is reached, or by chance around it."""

    what: Annotated[str, Field(min_length=1)]
    cost: Amount
    every: Positive
    used: Amount = ZERO
    shape: Annotated[AnyNumber, bounded(Decimal("0.5"), 20, "a number between 0.5 and 20", "Write 2 or 3 for wear, 1 for pure chance.")] | None = None
    warranty: Amount | None = None
    warranty_pays: Share = sure(1)
    warranty_renews: bool = False

    @model_validator(mode="after")
    def _chance_has_a_shape(self):
        if self.warranty is not None and self.shape is None:
            raise Wrong("given shape when it has a warranty", "A warranty pays for what fails by chance; write shape = 2 or 3 for wear.")
        if self.warranty_renews and self.warranty is None:
            raise Wrong("given a warranty when warranty_renews is true", "Write how many km or mi each new part is covered for.")
        _some_reach("used", self.used, self.every, self.shape)
        return self


class Wear(Record):
    """`[options.wear]`: upkeep that rises, insurance by value, components, and what another car like it costs when this one is done."""

    upkeep_by_year: Rise = ZERO
    upkeep_by_distance: Rise = ZERO
    insurance_share: Share = ZERO
    renewals: tuple[Renewal, ...] = ()
    again: Amount | None = None
    again_distance: Amount | None = None


def _some_reach(name, used, every, shape):
    """Refuses what none of a kind would have run."""
    if shape is not None and LOG_2 * float(used.likely / every.likely) ** float(shape.likely) > LAST:
        raise Wrong(f"given a smaller {name} for every = {every} and shape = {shape}", f"None of them reaches {used}. Count from when it was last renewed, or lower the shape.")


class Clocks(Record):
    """`[clocks]`: how long the shell lasts, and the engine in it."""

    shell_years: Positive | None = None
    shell_like: Literal["NHTSA cars", "NHTSA light trucks", "EPA cars", "EPA pickups", ""] = ""
    engine_every: Annotated[Positive, bounded(1000, None, "a distance of at least 1,000", "Write it whole, as 250000.")]
    engine_shape: Annotated[AnyNumber, bounded(Decimal("0.5"), 20, "a number between 0.5 and 20", "Write 2 or 3 for wear, 1 for pure chance.")]
    engine_used: Amount = ZERO

    @model_validator(mode="after")
    def _one_shell(self):
        if (self.shell_years is None) == (not self.shell_like):
            raise Wrong("given shell_years or shell_like, and not both", "Write shell_years = 15, from today, or the name of a published fleet.")
        _some_reach("engine_used", self.engine_used, self.engine_every, self.engine_shape)
        return self


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
