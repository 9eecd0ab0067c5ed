"""The rows of the csv files, one class a file."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import Amount, AnyNumber, Currency, Day, Positive, Record, bounded
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
    paid: Amount | None = None
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
    amount: Amount
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
    distance: Amount | None = None
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
