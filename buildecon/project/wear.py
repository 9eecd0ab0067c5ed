"""`[options.wear]` and `[repairs]`: what keeping costs beyond the same sum every year."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.faults import Fault, Wrong, wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Positive, Record, Share, bounded
from buildecon.quantities.estimate import sure

FLEETS_END = {"NHTSA cars": 25, "NHTSA light trucks": 36, "EPA cars": 30, "EPA pickups": 37}  # age in years at which none of `shell_like` is left
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
        return self


class Wear(Record):
    """`[options.wear]`: upkeep that rises, insurance by value, components, and what another car like it costs when this one is done."""

    upkeep_by_year: Rise = ZERO
    upkeep_by_distance: Rise = ZERO
    insurance_share: Share = ZERO
    renewals: tuple[Renewal, ...] = ()
    again: Amount | None = None
    again_distance: Amount | None = None


class Clocks(Record):
    """`[clocks]`: how long the shell lasts, and the engine in it."""

    shell_years: Positive | None = None
    shell_like: Literal["NHTSA cars", "NHTSA light trucks", "EPA cars", "EPA pickups", ""] = ""
    engine_every: Positive
    engine_shape: Annotated[AnyNumber, bounded(Decimal("0.5"), 20, "a number between 0.5 and 20", "Write 2 or 3 for wear, 1 for pure chance.")]
    engine_used: Amount = ZERO

    @model_validator(mode="after")
    def _one_shell(self):
        if (self.shell_years is None) == (not self.shell_like):
            raise Wrong("given shell_years or shell_like, and not both", "Write shell_years = 15, from today, or the name of a published fleet.")
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


def clock_faults(project, line_of):
    """What `[clocks]` asks of a fleet that does not tell it.

    Parameters
    ----------
    project : Project
        Whose records are each valid on their own. [-]
    line_of : callable
        Line of build.toml for a path of keys. [-]

    Returns
    -------
    list of Fault
        Empty where the fleet has cars of this car's age. [-]
    """
    file = project.file
    if file.clocks is None or not file.clocks.shell_like:
        return []
    fleet, cure = file.clocks.shell_like, "Write shell_years = 15, what you expect of it from today, instead."
    if file.this_car.year is None:
        return [Fault("build.toml", line_of("clocks", "shell_like"), "clocks.shell_like", f"must have the year of the car beside it, under [this_car], got none. {cure}")]
    age = file.build.as_of.year - file.this_car.year
    if age < FLEETS_END[fleet]:
        return []
    return [Fault("build.toml", line_of("clocks", "shell_like"), "clocks.shell_like", wrong(f"a fleet that has cars as old as this one, {age} years", fleet, f"It ends at {FLEETS_END[fleet]}. {cure}"))]
