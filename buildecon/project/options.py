"""`[[options]]`: the build, and what to have instead of it."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Fact, Flag, Positive, Rate, Record, Share, bounded, one_of
from buildecon.project.paths import ValuePath
from buildecon.project.wear import Wear
from buildecon.quantities.estimate import sure
from buildecon.quantities.units import PER_100_KM


class Consumption(Record):
    """What an option consumes of one energy; a hybrid has two of them with shares of the distance."""

    source: str
    amount: Positive | None = None
    town: Positive | None = None
    open_road: Positive | None = None
    unit: Annotated[str, one_of(PER_100_KM)]
    charging_loss: Annotated[AnyNumber, bounded(0, Decimal("0.9"), "a fraction between 0 and 0.9", "Write 12 % as 0.12.")] = ZERO
    distance_share: Share = sure(1)

    @model_validator(mode="after")
    def _one_figure(self):
        if (self.amount is None) == (self.town is None) or (self.town is None) != (self.open_road is None):
            raise Wrong("given amount, or town and open_road", "Write what it uses, or the two published figures.")
        return self


class Yearly(Record):
    """`[options.yearly]`: costs that come every year whatever the distance."""

    insurance: Amount = ZERO
    upkeep: Amount = ZERO
    tax: Amount = ZERO
    tests: Amount = ZERO
    storage: Amount = ZERO
    other: Amount = ZERO


class OneOff(Record):
    """Money at the start that is no price: delivery, a fee; below 0 for money back."""

    what: str
    amount: AnyNumber


class Hire(Record):
    """A car hired by the day instead of owned."""

    days_a_year: Amount
    per_day: Amount


class Kit(Record):
    """Equipment an option lacks, bought for it, with its own end value."""

    what: str
    price: Amount
    end_value_share: Share
    held_years: Amount = ZERO
    decline_rate: Rate


class Loan(Record):
    """Money borrowed at the start, repaid monthly, cleared when the car is sold."""

    amount: Amount
    rate: Rate
    months: Annotated[int, Field(ge=1, le=240, strict=True)]


class FromToday(Record):
    """`[options.from_today]`: what differs for somebody deciding today, with the work as it stands."""

    available: Flag = True
    because: str = ""
    price: Amount | None = None
    kit: Kit | None = None

    @model_validator(mode="after")
    def _say_why(self):
        if not self.available and not self.because:
            raise Wrong("given because = '...' when available = false")
        return self


class Option(Record):
    """`[[options]]`: this build, or something to have instead of it."""

    id: Annotated[str, Field(min_length=1)]
    name: Annotated[str, Field(min_length=1)]
    kind: Literal["build", "keep", "buy", "hire"]
    price: Amount = ZERO
    uses_base_car: Flag = False
    shares_systems: tuple[str, ...] = ()
    counts_on: tuple[str, ...] = ()
    purchase_tax_rate: Share = ZERO
    purchase_costs: Amount = ZERO
    one_offs: tuple[OneOff, ...] = ()
    value: Amount | None = None
    decline_rate: Rate | None = None
    value_path: ValuePath | None = None
    wear: Wear | None = None
    build_months: Positive | None = None
    downtime: Amount = ZERO
    enjoyment: Amount = ZERO
    selling_cost_share: Share | None = None
    energy: tuple[Consumption, ...] = ()
    yearly: Yearly = Yearly()
    charge_per_drive_day: Amount = ZERO
    hire: Hire | None = None
    kit: Kit | None = None
    loan: Loan | None = None
    facts: dict[str, Fact] = {}
    from_today: FromToday | None = None
    note: str = ""

    @model_validator(mode="after")
    def _whole(self):
        if self.kind == "build" and (self.price.high > 0 or self.uses_base_car or self.shares_systems):
            raise Wrong("without price, uses_base_car and shares_systems when kind = 'build'", "A build's money comes from lines.csv.")
        if (self.kind == "hire") != (self.hire is not None):
            raise Wrong("given hire = { days_a_year, per_day } when kind = 'hire', and only then")
        if self.kind == "build" and (self.purchase_tax_rate.high > 0 or self.from_today is not None):
            raise Wrong("without purchase_tax_rate and from_today when kind = 'build'", "Tax is in lines.csv; from today is worked out from [value].")
        if self.kind != "build" and (self.build_months is not None or self.downtime.high > 0):
            raise Wrong("without build_months and downtime unless kind = 'build'")
        if self.downtime.high > 0 and self.build_months is None:
            raise Wrong("given build_months when it has a downtime", "Write how many months the car is still off the road.")
        if self.kind != "build" and self.counts_on:
            raise Wrong("without counts_on unless kind = 'build'", "Write money back on a purchase as a one_offs amount below 0.")
        if self.kind == "hire" and (self.price.high > 0 or self.value or self.value_path or self.kit or self.loan or self.uses_base_car or self.energy):
            raise Wrong("without price, value, value_path, kit, loan, uses_base_car and energy when kind = 'hire'", "Put fuel into per_day.")
        if self.kind == "buy" and "price" not in self.model_fields_set:
            raise Wrong("given price when kind = 'buy'", "Write 0 if it really costs nothing.")
        if self.kind != "hire" and (self.decline_rate is None) == (self.value_path is None):
            raise Wrong("given decline_rate, the share of its value lost a year, or value_path, and not both", "Write decline_rate = 0 for a value that holds.")
        if self.energy and abs(sum(part.distance_share.likely for part in self.energy) - 1) > Decimal("1e-6"):
            total = sum(part.distance_share.likely for part in self.energy)
            raise Wrong("given energy whose distance_share adds up to 1", f"In option {self.id!r} they add up to {total}.")
        return self
