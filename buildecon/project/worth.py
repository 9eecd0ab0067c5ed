"""The tables of build.toml that say what the car is on the market, what its work adds, and how it could be sold."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Day, Flag, Positive, Rate, Record, Share, bounded
from buildecon.project.rows import CarCondition, CarStage, Modification
from buildecon.quantities.estimate import sure

# Share of what a kind of work cost that shows in the price of the whole car, four times out of five. Common practice, no source.
KINDS_OF_WORK = {
    "structural rust and chassis repair": ("0", "0.4"),
    "mechanics put in sound order": ("0.3", "0.7"),
    "well-known engine swap with papers": ("0.2", "0.5"),
    "odd engine swap, or one without papers": ("-0.2", "0.2"),
    "electric drive, approved, with a battery report": ("0.3", "0.6"),
    "electric drive without approval or report": ("0", "0.3"),
    "body and paint in a colour of its time": ("0.3", "0.6"),
    "body and paint to own taste": ("-0.1", "0.3"),
    "trim and hood as they were": ("0.3", "0.5"),
    "wheels and tyres": ("0.1", "0.4"),
    "brakes and suspension": ("0.1", "0.3"),
    "sound, light and gauges": ("0", "0.15"),
    "setting up and tuning": ("0", "0.1"),
    "rack, tent, winch and armor": ("0.15", "0.4"),
    "fitted cupboards": ("0.1", "0.3"),
    "camper, tidy and registered as one": ("0.4", "0.8"),
    "kit car, registered and tidy": ("0.5", "0.9"),
    "outside work of other kinds": ("0.1", "0.4"),
    "cage and track parts": ("-0.3", "0"),
}

Change = Annotated[AnyNumber, bounded(Decimal("-0.95"), 5, "a change between -0.95 and 5", "Write 6 % less as -0.06.")]


def _is_range(record, *names):
    """A belief without a range would be a certainty."""
    for name in names:
        value = getattr(record, name)
        if value is not None and value.is_sure:
            raise Wrong(f"given {name} as a range", "Write { low = ..., likely = ..., high = ... }: four times out of five it lies between low and high.")


class ThisCar(Record):
    """`[this_car]`: what the market sees of it."""

    year: Annotated[int, Field(ge=1885, le=2200, strict=True)] | None = None
    distance: Amount | None = None
    condition: CarCondition = ""
    modification: Modification = ""


class Reading(Record):
    """How one kind of evidence is read: as a price, a margin away from one, between two, or as a bound."""

    reading: Literal["margin", "bracket", "one-sided", "as price"] = "margin"
    margin: Share | None = None
    spread: Share | None = None


class Readings(Record):
    """`[market.readings]`: the kinds whose figure is no price."""

    asking: Reading = Reading()
    dealer: Reading = Reading()
    bid: Reading = Reading()
    offer_refused: Reading = Reading()


class Beliefs(Record):
    """`[market.beliefs]`: what you believe before the evidence, as ranges that hold four times out of five."""

    a_year_older: Change | None = None
    ten_thousand_more: Change | None = None
    a_grade_better: Change | None = None
    modified_otherwise: Change | None = None
    as_found: Positive | None = None
    running: Positive | None = None
    stripped: Positive | None = None
    running_again: Positive | None = None

    @model_validator(mode="after")
    def _ranges(self):
        _is_range(self, *type(self).model_fields)
        return self


class Market(Record):
    """`[market]`: how the rows of market.csv are brought together."""

    basis: Literal["buyer pays", "seller gets"] = "buyer pays"
    trend_rate: Rate = ZERO
    first_guess: Positive | None = None
    level: Annotated[AnyNumber, bounded(Decimal("0.5"), Decimal("0.98"), "a fraction between 0.5 and 0.98", "Write four times out of five as 0.8.")] = sure("0.8")
    usual_days: Positive = sure(60)
    odd_rows: Flag = False
    readings: Readings = Readings()
    beliefs: Beliefs = Beliefs()

    @model_validator(mode="after")
    def _ranges(self):
        _is_range(self, "first_guess")
        return self


class CarState(Record):
    """`[[states]]`: a state the car is, was or will be in, from a day on."""

    state: CarStage
    since: Day
    what: str = ""
    value: Amount | None = None


class Work(Record):
    """`[[contribution.work]]`: systems of lines.csv, the kind of work they are, and the share of their cost a buyer pays for."""

    kind: Annotated[str, Field(min_length=1)]
    systems: Annotated[tuple[str, ...], Field(min_length=1)]
    adds: Annotated[AnyNumber, bounded(-1, 2, "a share of the cost between -1 and 2", "Write a third as 0.33, and below 0 for work that takes value away.")] | None = None

    @model_validator(mode="after")
    def _has_its_share(self):
        if self.adds is None and self.kind not in KINDS_OF_WORK:
            raise Wrong("given adds, the share of its cost that a buyer pays for, or one of the kinds " + "; ".join(KINDS_OF_WORK), f"It is {self.kind!r}.")
        return self


class Contribution(Record):
    """`[contribution]`: the car without the work, and what the work adds."""

    base: Amount
    because: str = ""
    ceiling: Amount | None = None
    papers: Annotated[AnyNumber, bounded(Decimal("0.5"), Decimal("1.5"), "a factor between 0.5 and 1.5", "Write 1 for papers like anybody's.")] = sure(1)
    open_faults: Amount = ZERO
    work: tuple[Work, ...] = ()


class PartForSale(Record):
    """`[[part_out.parts]]`: what would be sold by itself, the shell among it."""

    what: str
    price: Amount
    chance: Share = sure(1)


class PartOut(Record):
    """`[part_out]`: taking the car apart and selling the pieces."""

    within_months: Positive
    fee_share: Share = ZERO
    costs: Amount = ZERO
    hours: Amount = ZERO
    parts: Annotated[tuple[PartForSale, ...], Field(min_length=1)]


class Route(Record):
    """`[[routes]]`: a way of selling the car whole."""

    name: Annotated[str, Field(min_length=1)]
    price_share: Annotated[Positive, bounded(0, 2, "a share of its value between 0 and 2", "Write 95 % as 0.95.")] = sure(1)
    price: Amount | None = None
    parts_beside: Amount = ZERO
    fee_share: Share = ZERO
    costs: Amount = ZERO
    weeks: Amount
    hours: Amount = ZERO

    @model_validator(mode="after")
    def _one_price(self):
        if self.price is not None and "price_share" in self.model_fields_set:
            raise Wrong("given price or price_share, and not both")
        return self


class Insured(Record):
    """`[insured]`: the sum on the policy, and what the policy means by it."""

    sum: Amount
    means: Literal["agreed value", "stated amount", "market value"]


class Improvement(Record):
    """`[[improvements]]`: one more job, its cost, and what the car would be worth after it."""

    what: Annotated[str, Field(min_length=1)]
    cost: Amount
    value_after: Amount
    hours: Amount = ZERO
    keep_years: Positive = sure(10)

