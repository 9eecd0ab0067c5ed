"""Kinds of field that the records are made of: amounts, shares, rates, days, and the rules they keep."""

import datetime as dt
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from buildecon.project.faults import Wrong
from buildecon.quantities.estimate import Estimate, sure
from buildecon.quantities.money import CURRENCIES

LARGEST = Decimal(10) ** 12  # a sum above it is a slip of the pen, and cents would be lost in a float
SMALLEST = Decimal("1e-9")  # a number that others are divided by; below it they run off to infinity


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


def bounded(low, high, rule, cure=""):
    """Validator for a number or a range between two ends.

    Parameters
    ----------
    low, high : Decimal or None
        The ends, both allowed; None for no end. [-]
    rule, cure : str
        What is said where it is broken. [-]

    Returns
    -------
    AfterValidator
        For an annotated field. [-]
    """

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


def _one_reading(value):
    """12.900 is how some write 12900."""
    parts = () if value is None else (value.low, value.likely, value.high)
    if not getattr(value, "text", "") and any(part.as_tuple().exponent == -3 and 1 <= part < 1000 for part in parts):
        raise Wrong("readable one way only", "Three decimals could be thousands: write 12900 or 12.90.")
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


def _no_range(value):
    if not value.is_sure:
        raise Wrong("one number and no range", "Leave out a fill that nobody knows, and write gap_before = yes on the next one.")
    return value


def _currency(value):
    if value and value not in CURRENCIES:
        raise Wrong("a three-letter ISO 4217 currency code", "Write EUR, GBP, USD or another code in capitals.")
    return value


def one_of(names):
    """Validator for a text out of a list.

    Parameters
    ----------
    names : collection of str
        What is allowed. [-]

    Returns
    -------
    AfterValidator
        For an annotated field. [-]
    """

    def check(value):
        if value not in names:
            raise Wrong("one of " + ", ".join(names))
        return value

    return AfterValidator(check)


AnyNumber = Annotated[Estimate, BeforeValidator(_as_estimate), AfterValidator(_within_reach)]
UnitPrice = Annotated[AnyNumber, bounded(0, None, "a number of at least 0")]  # a litre of fuel is often priced to three decimals
Amount = Annotated[UnitPrice, AfterValidator(_one_reading)]


def amount_or(cure):
    """Type of an amount of money that says what to write instead of one below 0.

    Parameters
    ----------
    cure : str
        What to do about it. [-]

    Returns
    -------
    Annotated
        For a field. [-]
    """
    return Annotated[AnyNumber, bounded(0, None, "a number of at least 0", cure), AfterValidator(_one_reading)]


Positive = Annotated[AnyNumber, AfterValidator(_above_zero)]
Shown = Annotated[Amount, AfterValidator(_no_range)]  # read off an instrument
Measured = Annotated[Positive, AfterValidator(_no_range)]  # by a pump, to three decimals
Share = Annotated[AnyNumber, bounded(0, 1, "a fraction between 0 and 1", "Write 12 % as 0.12.")]
Rate = Annotated[AnyNumber, bounded(Decimal("-0.9"), 1, "a fraction a year between -0.9 and 1", "Write 12 % a year as 0.12.")]
Currency = Annotated[str, AfterValidator(_currency)]
Fact = Annotated[bool | int | Decimal | str, BeforeValidator(_fact)]
# Strict, because pydantic else reads 86400 as a date, "no" as false and true as 1.
Day = Annotated[dt.date, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
ZERO = sure(0)


class Record(BaseModel):
    """A frozen table of the owner's files; a key that is not known is refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, strict=False)
