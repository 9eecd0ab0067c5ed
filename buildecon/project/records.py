"""The tables of build.toml, one class a table, and the project that holds them with the csv rows."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.chances import Chances
from buildecon.project.faults import Wrong
from buildecon.project.fields import ZERO, Amount, AnyNumber, Currency, Day, Flag, Rate, Record, Share, UnitPrice, one_of
from buildecon.project.forms import CsvForm, Files, Source  # noqa: F401
from buildecon.project.half_way import HalfWay, Phase
from buildecon.project.honesty import Disclosure, Overruled
from buildecon.project.jobs import Job, Trim
from buildecon.project.options import Consumption, FromToday, Hire, Kit, Loan, OneOff, Option, Yearly  # noqa: F401
from buildecon.project.rows import Correction, Event, Evidence, Fill, Hours, IndexRow, Line, Published, Statement
from buildecon.project.wear import Clocks, Repairs
from buildecon.project.worth import CarState, Contribution, Improvement, Insured, Market, PartOut, Route, ThisCar
from buildecon.quantities.estimate import Estimate, sure
from buildecon.quantities.units import AMOUNT_PER, KM_PER

US_CPI_SERIES = (
    "all items", "parts and equipment", "tires", "parts other than tires", "used cars and trucks", "new vehicles",
    "maintenance and repair", "body work", "repair", "insurance", "gasoline",
)  # fmt: skip
RUNG_IDS = (
    "parts_on_car", "with_outside_work", "with_consumables", "with_waste", "with_tools", "project_cash", "project_cash_net",
    "stands_in_at", "with_own_hours", "at_street_price", "at_list_price", "replacement_today",
)  # fmt: skip


class Build(Record):
    """`[build]`: what is being built, in which money, on which date."""

    name: str
    summary: str = ""
    currency: Currency
    as_of: Day
    distance_unit: Annotated[str, one_of(KM_PER)]
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
    business_share: Share | None = None
    years_kept: Annotated[int, Field(ge=1, le=40, strict=True)]
    horizon_years: Annotated[int, Field(ge=1, le=40, strict=True)] = 20
    discount_rate: Rate = ZERO
    inflation_rate: Rate = ZERO

    @model_validator(mode="after")
    def _in_sight(self):
        if self.years_kept > self.horizon_years:
            raise Wrong(f"given years_kept of at most horizon_years, {self.horizon_years}", f"It is {self.years_kept}; raise horizon_years.")
        return self


class OwnHours(Record):
    """`[own_hours]`: hours in the build, where hours.csv does not hold them all, and the three rates they can be shown at."""

    spent: Amount | None = None
    wage: Amount
    shop_rate: Amount
    convention: Literal["hobby", "wage", "shop"]

    @property
    def an_hour(self):
        """What an own hour costs where hours count: 0 for a hobby, else the rate chosen. [money]"""
        return {"hobby": 0.0, "wage": float(self.wage), "shop": float(self.shop_rate)}[self.convention]


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
    price: UnitPrice


class Energy(Record):
    """`[energy.NAME]`: a fuel or a way of charging, and what one unit of it costs."""

    unit: Annotated[str, one_of(AMOUNT_PER)]
    price: UnitPrice | None = None
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
    yes: Flag | None = None
    until_year: Annotated[int, Field(ge=1900, le=2200, strict=True)] | None = None
    near_share: Share = sure("0.05")

    @model_validator(mode="after")
    def _one_limit(self):
        if self.yes is False:
            raise Wrong("given yes = true, or another limit")
        if sum(limit is not None for limit in (self.at_least, self.at_most, self.yes, self.until_year)) != 1:
            raise Wrong("given exactly one of at_least, at_most, yes = true, until_year")
        return self


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


class ProjectLoan(Record):
    """`[[loans]]`: money borrowed for the build; its interest is a cost by the month, what is paid off is none."""

    name: Annotated[str, Field(min_length=1)]
    amount: Amount
    rate: Rate
    months: Annotated[int, Field(ge=1, le=240, strict=True)]
    first_payment: Day


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


class Publish(Record):
    """`[publish]`: what a reader may see.

    Parameters
    ----------
    name_suppliers : tuple of str
        Suppliers named in the parts list, as lines.csv has them; who gave something is always named, everybody else never. [-]
    """

    name_suppliers: tuple[str, ...] = ()


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
    loans: tuple[ProjectLoan, ...] = ()
    repricing: Repricing | None = None
    this_car: ThisCar = ThisCar()
    market: Market = Market()
    states: tuple[CarState, ...] = ()
    contribution: Contribution | None = None
    part_out: PartOut | None = None
    routes: tuple[Route, ...] = ()
    insured: Insured | None = None
    repairs: Repairs | None = None
    clocks: Clocks | None = None
    improvements: tuple[Improvement, ...] = ()
    chances: Chances = Chances()
    half_way: HalfWay = HalfWay()
    phases: tuple[Phase, ...] = ()
    jobs: tuple[Job, ...] = ()
    trim: Trim = Trim()
    disclosures: tuple[Disclosure, ...] = ()
    overruled: tuple[Overruled, ...] = ()
    publish: Publish = Publish()
    files: Files = Files()
    sources: tuple[Source, ...] = ()


class Project(Record):
    """A whole project folder.

    Parameters
    ----------
    folder : str
        Where it was read from. [-]
    file : BuildFile
        build.toml. [-]
    lines, events, hours, energy, market, statements, index, published, corrections : tuple
        The rows of the csv files. [-]
    story : str
        story.md: the owner's own words. [-]
    stamps : dict of str to str
        What each file was when it was read; empty for a project that was not. [-]
    """

    folder: str
    file: BuildFile
    lines: tuple[Line, ...] = ()
    events: tuple[Event, ...] = ()
    hours: tuple[Hours, ...] = ()
    energy: tuple[Fill, ...] = ()
    market: tuple[Evidence, ...] = ()
    statements: tuple[Statement, ...] = ()
    index: tuple[IndexRow, ...] = ()
    published: tuple[Published, ...] = ()
    corrections: tuple[Correction, ...] = ()
    story: str = ""
    stamps: Annotated[dict[str, str], Field(repr=False)] = {}

    @property
    def currency(self):
        """Home currency, an ISO 4217 code."""
        return self.file.build.currency

    @property
    def hours_spent(self):
        """Own hours in the build: as written, else all that the log holds. [hour]"""
        own = [row.hours for row in self.hours if row.who == "own"]
        return self.file.own_hours.spent or Estimate(*(sum((getattr(part, end) for part in own), Decimal(0)) for end in ("low", "likely", "high")))

    def __eq__(self, other):
        return isinstance(other, Project) and all(getattr(self, name) == getattr(other, name) for name in type(self).model_fields if name != "stamps")

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
    upkeep : float
        Times the upkeep of the files. [-]
    upkeep_rise_percent : float
        By which upkeep rises each year, on top of the files. [%/year]
    decline_percent : float or None
        Share of its value the build loses a year, instead of its rate or path. [%/year]
    lifetime_distance : float or None
        On its clock when the build is done, in the owner's unit. [km or mi]
    spent_off : float
        By how much what was spent differs from its likely total. [money]
    counted_on_comes : float
        Share of the money the build counts on that comes. [-]
    enjoyment : float
        What having the build is worth to its owner a year, beyond driving. [money/year]
    """

    years_kept: int
    distance_a_year: float
    energy_price: float = 1.0
    end_value: float
    discount_percent: float
    still_to_come: float
    upkeep: float = 1.0
    upkeep_rise_percent: float = 0.0
    decline_percent: float | None = None
    lifetime_distance: float | None = None
    spent_off: float = 0.0
    counted_on_comes: float = 1.0
    enjoyment: float = 0.0
