"""The rows of the csv files, one class a file."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import Amount, AnyNumber, Currency, Day, Measured, Positive, Record, Shown, amount_or, bounded
from buildecon.quantities.estimate import sure

Nature = Literal[
    "part", "outside work", "consumable", "freight and tax", "tool", "fetching", "paper", "storage", "insurance",
    "downtime", "second car", "finance", "base car", "credit",
]  # fmt: skip
NATURES = Nature.__args__
Cause = Literal[
    "", "dearer than planned", "price list rose", "currency", "quantity", "omitted from plan", "scope added",
    "hidden damage", "rework", "defective part", "wrong part", "bought twice", "lost core", "delay", "tax or fee",
]  # fmt: skip
WASTE_CAUSES = frozenset({"rework", "defective part", "wrong part", "bought twice", "lost core"})
Grade = Literal["", "guess", "list", "estimate", "quote", "order", "receipt", "settled", "memory"]
Funding = Literal["own", "discounted", "given", "swapped"]
State = Literal["", "planned", "ordered", "received", "fitted", "returned", "refunded", "failed", "sold"]
ToolRule = Literal["", "in full", "needed anyway", "less resale", "share of uses"]
CarStage = Literal["as found", "running", "stripped", "running again", "finished"]
CarCondition = Literal["", "project", "runner", "driver", "tidy", "show"]  # from the worst up; each is a step
Modification = Literal["", "standard", "reversible", "swapped", "cut"]
EventKind = Literal[
    "payment", "refund", "deposit", "deposit back", "deposit lost", "core deposit", "core credit", "core lost", "sale", "grant",
    "store credit", "credit spent",
]  # fmt: skip


class Row(Record):
    """A row of a csv file, with the line it stands on; a cell has no space around its text."""

    model_config = ConfigDict(str_strip_whitespace=True)

    row: int = Field(default=0, exclude=True, repr=False)


class Line(Row):
    """`lines.csv`: one thing bought, planned or done."""

    id: Annotated[str, Field(min_length=1)]
    system: Annotated[str, Field(min_length=1)]
    item: Annotated[str, Field(min_length=1)]
    nature: Nature
    cause: Cause = ""
    planned: Amount | None = None
    paid: amount_or("Write money back as a positive amount: a line of its own with nature credit, or a refund in events.csv.") | None = None
    to_finish: Amount | None = None
    date: Day | None = None
    supplier: str = ""
    part_number: str = ""
    order: str = ""
    kit: str = ""
    grade: Grade = ""
    funding: Funding = "own"
    street_price: Amount | None = None
    list_price: Amount | None = None
    price_date: Day | None = None
    price_today: Amount | None = None
    state: State = ""
    return_by: Day | None = None
    lay_on: str = ""
    share: Positive | None = None
    tax_inside: Amount | None = None
    tool_rule: ToolRule = ""
    tool_part: Amount | None = None
    note: str = ""

    @model_validator(mode="after")
    def _tool_has_its_figure(self):
        if self.tool_rule and self.nature != "tool":
            raise Wrong(f"without tool_rule when its nature is {self.nature!r}")
        if (self.tool_rule in ("less resale", "share of uses")) != (self.tool_part is not None):
            raise Wrong("given tool_part when tool_rule is 'less resale' or 'share of uses', and only then", "Write what it would sell for, or this build's share of its uses, 0.25 for a quarter.")
        if self.tool_rule == "share of uses" and not self.tool_part.high <= 1:
            raise Wrong("given a tool_part between 0 and 1 when tool_rule is 'share of uses'", "Write a quarter as 0.25.")
        return self

    @model_validator(mode="after")
    def _given_needs_a_price(self):
        if self.funding != "own" and self.street_price is None:
            raise Wrong(f"given a street_price when funding is {self.funding!r}", "Write what a reader would pay for it.")
        return self


class Event(Row):
    """`events.csv`: money that moved, or is still owed to the owner while it has no date."""

    line: Annotated[str, Field(min_length=1)]
    date: Day | None = None
    kind: EventKind
    amount: amount_or("Write money back as a positive amount: its kind, as refund, sale or grant, says which way it went.")
    currency: Currency = ""
    rate: Positive | None = None
    due: Day | None = None
    document: str = ""
    note: str = ""


class Hours(Row):
    """`hours.csv`: own time, or a helper's, on one system."""

    date: Day | None = None
    system: Annotated[str, Field(min_length=1)]
    hours: Amount
    who: Literal["own", "helper"] = "own"
    note: str = ""


class Fill(Row):
    """`energy.csv`: one fill-up or charge of this car, or a change of its odometer."""

    date: Day
    odometer: Shown
    source: str = ""
    filled: Measured | None = None
    unit: Literal["", "L", "gal US", "gal imperial", "kWh"] = ""
    in_battery: Measured | None = None
    full: Literal["", "yes", "no"] = ""
    gap_before: Literal["", "yes", "no"] = ""
    paid: Amount | None = None
    place: str = ""
    load: str = ""
    odometer_now: Shown | None = None
    correction: Annotated[Measured, bounded(Decimal("0.5"), 2, "a factor between 0.5 and 2", "Write 1.05 where 105 km or mi are driven for every 100 shown.")] | None = None
    note: str = ""

    @model_validator(mode="after")
    def _says_something(self):
        if self.is_fill and not self.source:
            raise Wrong("given its source, the name of an [energy.NAME] of build.toml, when something was filled")
        if not self.is_fill and self.odometer_now is None and self.correction is None:
            raise Wrong("given what was filled, or odometer_now or correction where the odometer changed", "A fill of which nobody knows the amount is left out, and gap_before is yes on the next one.")
        if not self.is_fill and (self.paid is not None or "yes" in (self.full, self.gap_before)):
            raise Wrong("without paid, full and gap_before when nothing was filled")
        if self.filled and self.in_battery and self.in_battery.likely > self.filled.likely:
            raise Wrong(f"given at most as much in_battery as was filled, {self.filled}", f"It is {self.in_battery}; filled is what the wall gave.")
        return self

    @property
    def is_fill(self):
        """Whether anything was filled or charged."""
        return self.filled is not None or self.in_battery is not None


class Evidence(Row):
    """`market.csv`: what one like car was sold for, offered at, or refused at."""

    id: Annotated[str, Field(min_length=1)]
    what: str
    kind: Literal["sold", "sold untold", "bid", "asking", "offer refused", "dealer"]
    date: Day
    price: Positive
    currency: Currency = ""
    rate: Positive | None = None
    fees_on_top: Amount = sure(0)
    days_listed: Amount | None = None
    followed: Literal["", "yes", "no"] = ""
    ask: Positive | None = None
    car: str = ""
    year: Annotated[Positive, bounded(1885, 2200, "a year between 1885 and 2200")] | None = None
    distance: Annotated[Amount, bounded(0, 5_000_000, "a distance between 0 and 5,000,000")] | None = None
    state: Literal["", "as found", "running", "stripped", "running again", "finished", "parts car"] = ""
    condition: CarCondition = ""
    graded_by: Literal["", "seen", "photos", "seller"] = ""
    modification: Modification = ""
    note: str = ""

    @model_validator(mode="after")
    def _bid_below_the_ask(self):
        if self.ask is not None and self.kind not in ("bid", "offer refused"):
            raise Wrong(f"without ask when its kind is {self.kind!r}", "It is what the owner of a car asked after refusing a bid, or his reserve.")
        if self.ask is not None and not self.ask.low >= self.price.high:
            raise Wrong(f"given an ask of at least the bid, {self.price}", f"It is {self.ask}; whoever asks that would have taken the bid.")
        return self


class Statement(Row):
    """`statements.csv`: what a card or a bank says left for the build in one month."""

    month: Annotated[str, Field(pattern=r"^\d{4}-(0[1-9]|1[0-2])$")]
    source: Annotated[str, Field(min_length=1)]
    total: AnyNumber
    note: str = ""


class IndexRow(Row):
    """`index.csv`: the price level of a year or a month; any base."""

    period: Annotated[str, Field(pattern=r"^\d{4}(-(0[1-9]|1[0-2]))?$")]
    level: Positive


class Published(Row):
    """`published.csv`: one figure as readers were told it; written by `buildecon publish`, a version at a time."""

    figure: Annotated[str, Field(min_length=1)]
    value: Decimal | None = None
    text: Annotated[str, Field(min_length=1)]
    as_of: Day
    price_date: Day | None = None
    version: Annotated[int, Field(ge=1)]
    published_on: Day


class Correction(Row):
    """`corrections.csv`: why a published figure is another now."""

    figure: Annotated[str, Field(min_length=1)]
    old: Annotated[str, Field(min_length=1)]
    new: Annotated[str, Field(min_length=1)]
    reason: Annotated[str, Field(min_length=1)]
    date: Day
