"""A number the owner is sure of, or a range: low, likely, high."""

import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation

FIGURES = r"\d[\d.,' ]*"
NUMBER = rf"{FIGURES}k?"
RANGE = re.compile(rf"^(?:about|around|approx\.?|ca\.?|~)?\s*({NUMBER})\s*(?:-|–|to)\s*({NUMBER})$", re.IGNORECASE)
THREE = re.compile(rf"^({NUMBER})\s*/\s*({NUMBER})\s*/\s*({NUMBER})$", re.IGNORECASE)
ONE = re.compile(rf"^(?:about|around|approx\.?|ca\.?|~)?\s*(-?{NUMBER})$", re.IGNORECASE)
IF_NOT_KNOWN = "; leave it empty if it is not known"
LONGEST_UNIT = 6  # letters or signs beside a figure that are taken for a unit or a currency
LONGEST = 200  # characters; the patterns above take a square of the length on a long run of spaces


@dataclass(frozen=True)
class Estimate:
    """Low, likely and high of one number; all three are equal where the owner is sure.

    Parameters
    ----------
    low, likely, high : Decimal
        The range and the value that drives the plain answers. [-]
    text : str, optional
        What the owner wrote, kept for the file. [-]

    Raises
    ------
    ValueError
        If the three are not in order, or one of them is not a number.
    """

    low: Decimal
    likely: Decimal
    high: Decimal
    text: str = field(default="", compare=False)

    def __post_init__(self):
        finite = all(Decimal(part).is_finite() for part in (self.low, self.likely, self.high))
        if not finite or not self.low <= self.likely <= self.high:
            raise ValueError(f"must be low, likely, high in rising order, got {self.low}, {self.likely}, {self.high}.")

    @property
    def is_sure(self):
        """Whether the range is a single number."""
        return self.low == self.high

    @property
    def mean(self):
        """Mean of the PERT distribution of the range, (low + 4 likely + high) / 6."""
        return self.likely if self.is_sure else (self.low + 4 * self.likely + self.high) / 6

    @property
    def floats(self):
        """Low, likely and high, for a model that works in floats."""
        return float(self.low), float(self.likely), float(self.high)

    @property
    def figure(self):
        """What a model counts with: the likely value; of a `Drawn`, its draws."""
        return float(self.likely)

    def __float__(self):
        return float(self.likely)

    def __str__(self):
        return self.text or (f"{self.likely}" if self.is_sure else f"{self.low}/{self.likely}/{self.high}")


@dataclass(frozen=True)
class Drawn(Estimate):
    """An estimate with draws of it, so that what counts with its `figure` counts in many scenarios at once.

    Parameters
    ----------
    low, likely, high : Decimal
        Of the estimate. [-]
    text : str, optional
        As there. [-]
    draws : ndarray, shape (n,)
        One a scenario. [-]
    """

    draws: object = field(default=None, compare=False, repr=False)

    @property
    def figure(self):
        """The draws."""
        return self.draws


def drawn(estimate, draws):
    """The same estimate with draws of it.

    Parameters
    ----------
    estimate : Estimate
        Whose range they were drawn from. [-]
    draws : ndarray, shape (n,)
        One a scenario. [-]

    Returns
    -------
    Drawn
        Equal to the estimate in all else. [-]
    """
    return Drawn(estimate.low, estimate.likely, estimate.high, estimate.text, draws)


def sure(value):
    """Estimate of a number the owner is sure of.

    Parameters
    ----------
    value : int, float, str or Decimal
        The number. [-]

    Returns
    -------
    Estimate
        With low, likely and high all equal. [-]
    """
    number = Decimal(str(value))
    return Estimate(number, number, number)


def plain_number(text, decimal="."):
    """Number written with a declared decimal sign.

    Digits may be grouped in threes by the other sign, a space or an apostrophe; a trailing k means thousands.

    Parameters
    ----------
    text : str
        What stands in the cell. [-]
    decimal : {".", ","}, optional
        The decimal sign of the file. [-]

    Returns
    -------
    Decimal
        The number. [-]

    Raises
    ------
    ValueError
        If the text is not such a number.
    """
    group = "," if decimal == "." else "."
    shape = rf"^-?(\d+|\d{{1,3}}([{group}' ]\d{{3}})+)({re.escape(decimal)}\d+)?k?$"
    written = _plain_spaces(text).lower()
    if not re.match(shape, written):
        raise ValueError(f"must be a number with '{decimal}' as its decimal sign, got {text.strip()!r}.{_cure(text.strip(), decimal)}")
    digits = re.sub(rf"[{group}' k]", "", written).replace(decimal, ".")
    try:
        return Decimal(digits + ("e3" if written.endswith("k") else ""))  # not times 1000, which rounds to 28 digits
    except InvalidOperation as trouble:
        raise ValueError(f"must be a number, got {text.strip()!r}.") from trouble


def _cure(written, decimal):
    """What to do about the commonest slips: the other decimal sign, a currency sign."""
    other = "," if decimal == "." else "."
    if re.fullmatch(rf"-?\d+{re.escape(other)}\d{{1,2}}", written):
        return f" Write {written.replace(other, decimal)}, or declare decimal = '{other}' for the file in build.toml, as in [files.lines]."
    if re.search(r"[€$£]|\b[A-Z]{3}\b", written):
        return " Write the number without the currency."
    return ""


def estimate(text, decimal="."):
    """Estimate written the way people write one.

    `1250`, `1.2k`, `about 1000-1300`, `1000 to 1300` and `1000/1150/1300` (low, likely, high) can be read one way only.
    `<200` and `12-1500` cannot, and are refused with both readings.

    Parameters
    ----------
    text : str
        What stands in the cell. [-]
    decimal : {".", ","}, optional
        The decimal sign of the file. [-]

    Returns
    -------
    Estimate
        With the original text; the likely value of a two-ended range is its middle. [-]

    Raises
    ------
    ValueError
        If the text cannot be read, or can be read in two ways.

    Examples
    --------
    >>> e = estimate("about 1000-1300")
    >>> print(e.low, e.likely, e.high)
    1000 1150 1300
    """
    original, written = text.strip(), _plain_spaces(text)
    if len(written) > LONGEST:
        raise ValueError(f"must be a number or a range, got {len(written)} characters. Write 1250, 1000-1300 or 1000/1150/1300.")
    if written.startswith(("<", ">")):
        bound = written[1:].strip()
        raise ValueError(f"must be readable one way only, got {written!r}. Write 0-{bound} for a range, or {bound} alone.")
    if three := THREE.match(written):
        low, likely, high = (plain_number(part, decimal) for part in three.groups())
        return Estimate(low, likely, high, original)
    if ends := RANGE.match(written):
        low, high = _range_ends(*ends.groups(), written, decimal)
        return Estimate(low, (low + high) / 2, high, original)
    if one := ONE.match(written):
        number = plain_number(one.group(1), decimal)
        return Estimate(number, number, number, original)
    beside = re.sub(rf"{FIGURES}(?:k(?![a-z]))?|[-–/~]|\b(?:about|around|approx|ca|to)\b\.?", "", written, flags=re.IGNORECASE).strip()
    if 0 < len(beside) <= LONGEST_UNIT and beside != written and (written.startswith(beside) or written.endswith(beside)):
        raise ValueError(f"must be a number or a range, got {written!r}. Write it without {beside!r}, in the unit or currency of the file{IF_NOT_KNOWN}.")
    raise ValueError(f"must be a number or a range, got {written!r}. Write 1250, 1000-1300 or 1000/1150/1300{IF_NOT_KNOWN}.")


def _range_ends(first, last, written, decimal):
    """Both ends of a range; `12-1500` is asked about, because people also write 1200-1500 that way."""
    low, high = plain_number(first, decimal), plain_number(last, decimal)
    if low > high:
        raise ValueError(f"must rise from low to high, got {written!r}.")
    shift = len(str(int(high))) - len(str(int(low)))
    stretched = low * 10**shift
    if last.lower().rstrip().endswith("k") and not first.lower().rstrip().endswith("k"):
        stretched, shift = low * 1000, 2
    if shift >= 2 and 0 < stretched <= high:
        near, far, middle, end = (f"{number.normalize():f}".replace(".", decimal) for number in (stretched, low, (low + high) / 2, high))
        raise ValueError(
            f"must be readable one way only, got {written!r}. Write {near}-{end} for {near} to {end}, or {far}/{middle}/{end} for {far} to {end}."
        )
    return low, high


def _plain_spaces(text):
    """Text with the no-break spaces that programs put between thousands made plain, and none around it."""
    return text.replace("\u00a0", " ").replace("\u202f", " ").strip()
