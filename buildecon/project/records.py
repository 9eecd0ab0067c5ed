"""The records of a project: frozen, validated, one class for each table of the files."""

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.quantities.estimate import Estimate, sure
from buildecon.quantities.money import CURRENCIES
from buildecon.quantities.units import AMOUNT_PER, KM_PER, PER_100_KM

Nature = Literal[
    "part", "outside work", "consumable", "freight and tax", "tool", "fetching", "paper", "storage", "insurance",
    "downtime", "second car", "finance", "base car", "credit",
]  # fmt: skip
Cause = Literal[
    "", "dearer than planned", "price list rose", "currency", "quantity", "omitted from plan", "scope added",
    "hidden damage", "rework", "defective part", "wrong part", "bought twice", "lost core", "delay", "tax or fee",
]  # fmt: skip
WASTE_CAUSES = frozenset({"rework", "defective part", "wrong part", "bought twice", "lost core"})
Grade = Literal["", "guess", "list", "estimate", "quote", "order", "receipt", "settled", "memory"]
Funding = Literal["own", "discounted", "given", "swapped"]
EventKind = Literal[
    "payment", "refund", "deposit", "deposit back", "deposit lost", "core deposit", "core credit", "core lost", "sale", "grant",
]  # fmt: skip
LARGEST = Decimal(10) ** 12  # a sum above it is a slip of the pen, and cents would be lost in a float
SMALLEST = Decimal("1e-9")  # a number that others are divided by; below it they run off to infinity
US_CPI_SERIES = (
    "all items", "parts and equipment", "tires", "parts other than tires", "used cars and trucks", "new vehicles",
    "maintenance and repair", "body work", "repair", "insurance", "gasoline",
)  # fmt: skip
RUNG_IDS = (
    "parts_on_car", "with_outside_work", "with_consumables", "with_waste", "with_tools", "project_cash", "project_cash_net",
    "stands_in_at", "with_own_hours", "at_street_price", "at_list_price", "replacement_today",
)  # fmt: skip


def _as_estimate(value):
    if value is None or isinstance(value, Estimate):
        return value
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal, dict)):
        raise Wrong("a number or a range", "Write 1250 or { low = 1000, likely = 1150, high = 1300 }.")
    if isinstance(value, dict):
        if set(value) != {"low", "likely", "high"} or not all(_is_number(part) for part in value.values()):
            raise Wrong("a range of low, likely and high", "Write { low = 1000, likely = 1150, high = 1300 }.")
        return Estimate(*(Decimal(str(value[name])) for name in ("low", "likely", "high")))
    if not _is_number(value):
        raise Wrong("a finite number")
    return sure(value)


def _is_number(value):
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool) and Decimal(str(value)).is_finite()


def _bounded(low, high, rule, cure=""):
    def check(value):
        if value is None:
            return value
        ends = (value.low, value.high) if isinstance(value, Estimate) else (value, value)
        if not (low is None or ends[0] >= low) or not (high is None or ends[1] <= high):
            raise Wrong(rule, cure)
        return value

    return AfterValidator(check)


def _within_reach(value):
    if not max(abs(value.low), abs(value.high)) <= LARGEST:
        raise Wrong("a number of at most 1,000,000,000,000", "Check its digits.")
    return value


def _fact(value):
    if not isinstance(value, (bool, str)) and not (_is_number(value) and abs(value) <= LARGEST):
        raise Wrong("a number of at most 1,000,000,000,000, true, false or a text in quotes", 'Write "unknown" for what is not known.')
    return value


def _above_zero(value):
    if not value.low > 0:
        raise Wrong("above 0")
    if not value.low >= SMALLEST:
        raise Wrong(f"at least {SMALLEST:f}")
    return value


def _currency(value):
    if value and value not in CURRENCIES:
        raise Wrong("a three-letter ISO 4217 currency code", "Write EUR, GBP, USD or another code in capitals.")
    return value


def _one_of(names):
    def check(value):
        if value not in names:
            raise Wrong("one of " + ", ".join(names))
        return value

    return AfterValidator(check)


AnyNumber = Annotated[Estimate, BeforeValidator(_as_estimate), AfterValidator(_within_reach)]
Amount = Annotated[AnyNumber, _bounded(0, None, "a number of at least 0")]
Positive = Annotated[AnyNumber, AfterValidator(_above_zero)]
Share = Annotated[AnyNumber, _bounded(0, 1, "a fraction between 0 and 1", "Write 12 % as 0.12.")]
Rate = Annotated[AnyNumber, _bounded(Decimal("-0.9"), 1, "a fraction a year between -0.9 and 1", "Write 12 % a year as 0.12.")]
Currency = Annotated[str, AfterValidator(_currency)]
Money = Annotated[Decimal, _bounded(0, None, "a number of at least 0")]
Fact = Annotated[bool | int | Decimal | str, BeforeValidator(_fact)]
# Strict, because pydantic else reads 86400 as a date, "no" as false and true as 1.
Day = Annotated[dt.date, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
ZERO = sure(0)


class Record(BaseModel):
    """A frozen table of the owner's files; a key that is not known is refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, strict=False)


class Build(Record):
    """`[build]`: what is being built, in which money, on which date."""

    name: str
    summary: str = ""
    currency: Currency
    as_of: Day
    distance_unit: Annotated[str, _one_of(KM_PER)]
    stage: Literal["planned", "in progress", "finished"]
    base_car: Literal["owned", "bought"]
    base_paid_then: Amount = ZERO
    cap: Amount | None = None
    quoted_rung: Literal[RUNG_IDS] = "stands_in_at"
    quoted_because: str
    quoted_option: str
    cautions: tuple[Literal["old shell", "high voltage", "brakes", "fuel", "lifting"], ...] = ()


class Use(Record):
    """`[use]`: how the car is used and how far ahead to look."""

    distance_a_year: Amount
    drive_days_a_year: Amount
    drive_hours_a_year: Amount = ZERO
    years_kept: Annotated[int, Field(ge=1, le=40, strict=True)]
    horizon_years: Annotated[int, Field(ge=1, le=40, strict=True)] = 20
    discount_rate: Rate = ZERO
    inflation_rate: Rate = ZERO


class OwnHours(Record):
    """`[own_hours]`: hours in the build and the three rates they can be shown at."""

    spent: Amount
    wage: Amount
    shop_rate: Amount
    convention: Literal["hobby", "wage", "shop"]


class Value(Record):
    """`[value]`: what the car would sell for, as it stands and finished."""

    as_is: Amount
    finished: Amount
    selling_cost_share: Share = ZERO
    basis: str


class Tariff(Record):
    """One part of a blended price: its share of the amount bought and its price."""

    name: str
    share: Share
    price: Amount


class Energy(Record):
    """`[energy.NAME]`: a fuel or a way of charging, and what one unit of it costs."""

    unit: Annotated[str, _one_of(AMOUNT_PER)]
    price: Amount | None = None
    tariffs: tuple[Tariff, ...] = ()
    price_growth_rate: Rate = ZERO

    @model_validator(mode="after")
    def _one_price(self):
        if (self.price is None) == (not self.tariffs):
            raise Wrong("given a price or tariffs, and not both", "Write price = 1.72, or tariffs with their shares.")
        if self.tariffs and abs(sum(t.share.likely for t in self.tariffs) - 1) > Decimal("1e-6"):
            raise Wrong("given tariffs whose shares add up to 1", f"They add up to {sum(t.share.likely for t in self.tariffs)}.")
        return self


class MustHave(Record):
    """`[[must_haves]]`: a limit that puts an option out, whatever its price."""

    id: str
    name: str
    unit: str = ""
    at_least: AnyNumber | None = None
    at_most: AnyNumber | None = None
    yes: Literal[True] | None = None
    until_year: Annotated[int, Field(ge=1900, le=2200, strict=True)] | None = None
    near_share: Share = sure("0.05")

    @model_validator(mode="after")
    def _one_limit(self):
        if sum(limit is not None for limit in (self.at_least, self.at_most, self.yes, self.until_year)) != 1:
            raise Wrong("given exactly one of at_least, at_most, yes = true, until_year")
        return self


class Consumption(Record):
    """What an option consumes of one energy; a hybrid has two of them with shares of the distance."""

    source: str
    amount: Positive
    unit: Annotated[str, _one_of(PER_100_KM)]
    charging_loss: Annotated[AnyNumber, _bounded(0, Decimal("0.9"), "a fraction between 0 and 0.9", "Write 12 % as 0.12.")] = ZERO
    distance_share: Share = sure(1)


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

    id: str
    name: str
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
    selling_cost_share: Share = ZERO
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
        if self.kind != "hire" and self.decline_rate is None:
            raise Wrong("given decline_rate, the share of its value lost a year", "Write 0 for a value that holds.")
        if self.energy and abs(sum(part.distance_share.likely for part in self.energy) - 1) > Decimal("1e-6"):
            raise Wrong("given distance shares that add up to 1")
        return self


class CsvForm(Record):
    """`[files.NAME]`: how one csv file is written; declared once, never guessed row by row."""

    decimal: Literal[".", ","] = "."
    date_order: Literal["ymd", "dmy", "mdy"] = "ymd"
    encoding: Literal["utf-8", "cp1252", "iso-8859-1", "utf-16"] = "utf-8"
    separator: Literal[",", ";", "\t"] = ","


class Files(Record):
    """`[files]`: the form of each csv file."""

    lines: CsvForm = CsvForm()
    events: CsvForm = CsvForm()
    market: CsvForm = CsvForm()
    statements: CsvForm = CsvForm()
    index: CsvForm = CsvForm()


class Plan(Record):
    """`[plan]`: the frozen baseline, what is held apart, and whether the overrun so far scales what is left."""

    baseline: Day | None = None
    contingency: Amount = ZERO
    scale_by_overrun: Flag = True
    because: str = ""

    @model_validator(mode="after")
    def _say_why(self):
        if not self.scale_by_overrun and not self.because:
            raise Wrong("given because = '...' when scale_by_overrun = false", "Say why the rest will run better than what is done.")
        return self


class Revision(Record):
    """`[[revisions]]`: a change of the plan after its baseline; the baseline itself stays in lines.csv."""

    date: Day
    what: str
    before: Amount
    after: Amount
    because: str


class Repricing(Record):
    """`[repricing]`: the price index that carries old prices to today."""

    index: Literal["US consumer prices", "index.csv"]
    series: Literal[US_CPI_SERIES] = "all items"
    name: str = ""
    source: str = ""

    @model_validator(mode="after")
    def _say_whose(self):
        if self.index == "index.csv" and not self.source:
            raise Wrong("given source = '...' when index = 'index.csv'", "Say who publishes it.")
        return self


class Disclosure(Record):
    """`[[disclosures]]`: who gave what, and what was promised for it."""

    supplier: str
    gave: str
    in_return: str


class BuildFile(Record):
    """`build.toml`, whole."""

    format: Literal[1]
    build: Build
    use: Use
    own_hours: OwnHours
    value: Value
    energy: dict[str, Energy] = {}
    must_haves: tuple[MustHave, ...] = ()
    options: Annotated[tuple[Option, ...], Field(min_length=1)]
    plan: Plan = Plan()
    revisions: tuple[Revision, ...] = ()
    repricing: Repricing | None = None
    disclosures: tuple[Disclosure, ...] = ()
    files: Files = Files()


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
    note: str = ""

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


class Evidence(Row):
    """`market.csv`: what one like car was sold for, offered at, or refused at."""

    id: Annotated[str, Field(min_length=1)]
    what: str
    kind: Literal["sold", "sold untold", "bid", "asking", "offer refused", "dealer"]
    date: Day | None = None
    price: Amount | None = None
    currency: Currency = ""
    days_listed: Amount | None = None
    distance: Amount | None = None
    condition: str = ""
    note: str = ""


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


class Project(Record):
    """A whole project folder.

    Parameters
    ----------
    folder : str
        Where it was read from. [-]
    file : BuildFile
        build.toml. [-]
    lines, events, market, statements, index : tuple
        The rows of the csv files. [-]
    """

    folder: str
    file: BuildFile
    lines: tuple[Line, ...] = ()
    events: tuple[Event, ...] = ()
    market: tuple[Evidence, ...] = ()
    statements: tuple[Statement, ...] = ()
    index: tuple[IndexRow, ...] = ()

    @property
    def currency(self):
        """Home currency, an ISO 4217 code."""
        return self.file.build.currency

    @property
    def options(self):
        """The options in the owner's order."""
        return self.file.options

    def option(self, id):
        """The option with that id, or None."""
        return next((option for option in self.options if option.id == id), None)


class WhatIf(Record):
    """The numbers a reader may turn: every field replaces what the files say.

    Parameters
    ----------
    years_kept : int
        Years the car is kept. [year]
    distance_a_year : float
        In the owner's unit. [km/year]
    energy_price : float
        Times the prices of the files. [-]
    end_value : float
        The build's value when finished. [money]
    discount_percent : float
        In today's money, as the slider shows it. [%/year]
    still_to_come : float
        Cost to finish the build. [money]
    """

    years_kept: int
    distance_a_year: float
    energy_price: float = 1.0
    end_value: float
    discount_percent: float
    still_to_come: float
