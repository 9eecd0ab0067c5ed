"""Figures as one says them aloud: no digits, no signs, rounded, and said so."""

import re
from math import floor, isfinite, log10

SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
LARGE = ((10**12, "trillion"), (10**9, "billion"), (10**6, "million"), (1000, "thousand"))
ORDINALS = {"one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth", "twelve": "twelfth"}
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
# One, many, and of a hundredth part one and many, as spoken in English; ISO 4217 codes.
CURRENCIES = {
    "USD": ("dollar", "dollars", "cent", "cents"), "EUR": ("euro", "euros", "cent", "cents"), "GBP": ("pound", "pounds", "penny", "pence"),
    "CAD": ("Canadian dollar", "Canadian dollars", "cent", "cents"), "AUD": ("Australian dollar", "Australian dollars", "cent", "cents"),
    "NZD": ("New Zealand dollar", "New Zealand dollars", "cent", "cents"), "CHF": ("Swiss franc", "Swiss francs", "centime", "centimes"),
    "SEK": ("Swedish krona", "Swedish kronor", "", ""), "NOK": ("Norwegian krone", "Norwegian kroner", "", ""), "DKK": ("Danish krone", "Danish kroner", "", ""),
    "PLN": ("zloty", "zlotys", "grosz", "groszy"), "CZK": ("Czech koruna", "Czech korunas", "", ""), "HUF": ("forint", "forints", "", ""),
    "RON": ("leu", "lei", "", ""), "TRY": ("lira", "liras", "", ""), "JPY": ("yen", "yen", "", ""), "CNY": ("yuan", "yuan", "", ""), "KRW": ("won", "won", "", ""),
    "INR": ("rupee", "rupees", "paisa", "paise"), "ZAR": ("rand", "rand", "cent", "cents"), "BRL": ("real", "reais", "centavo", "centavos"), "MXN": ("Mexican peso", "Mexican pesos", "", ""),
}  # fmt: skip


def number_words(value):
    """A whole number in words.

    Parameters
    ----------
    value : int
        Below a thousand trillion. [-]

    Returns
    -------
    str
        As `two thousand and nine`. [-]

    Examples
    --------
    >>> print(number_words(57820))
    fifty-seven thousand eight hundred and twenty
    """
    if value < 0:
        return f"minus {number_words(-value)}"
    if value < 20:
        return SMALL[value]
    if value < 100:
        return TENS[value // 10] + (f"-{SMALL[value % 10]}" if value % 10 else "")
    if value < 1000:
        return f"{SMALL[value // 100]} hundred" + (f" and {number_words(value % 100)}" if value % 100 else "")
    size, name = next((size, name) for size, name in LARGE if value >= size)
    rest = value % size
    return f"{number_words(value // size)} {name}" + (f" {'and ' if rest < 100 else ''}{number_words(rest)}" if rest else "")


def ordinal_words(value):
    """Which one in a row.

    Parameters
    ----------
    value : int
        From 1. [-]

    Returns
    -------
    str
        As `thirty-first`. [-]
    """
    words = number_words(value)
    head, last = re.match(r"(.*?)([a-z]+)$", words).groups()
    return head + (ORDINALS.get(last) or (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th"))


def year_words(year):
    """A year as it is said.

    Parameters
    ----------
    year : int
        From 1000 to 2999. [year]

    Returns
    -------
    str
        As `twenty twenty-six`. [-]
    """
    century, rest = divmod(year, 100)
    if century % 10 == 0 and rest < 10:
        return number_words(year)
    return f"{number_words(century)} " + (number_words(rest) if rest >= 10 else f"oh {number_words(rest)}" if rest else "hundred")


def date_words(day):
    """A day as it is said.

    Parameters
    ----------
    day : date
        Any. [-]

    Returns
    -------
    str
        As `the thirty-first of August twenty twenty-six`. [-]
    """
    return f"the {ordinal_words(day.day)} of {MONTHS[day.month - 1]} {year_words(day.year)}"


def rounded_to(value, figures=2):
    """A value as exactly as one says it.

    Parameters
    ----------
    value : float
        At least 0. [-]
    figures : int, optional
        Kept. [-]

    Returns
    -------
    int
        Below a hundred to the whole number; of less than fifty thousand the half as well. [-]
    """
    if not value > 0:
        return 0
    step = 10 ** max(floor(log10(value)) + 1 - figures, 0)
    if figures == 2 and step == 1000 and value < 50 * step:
        step //= 2  # twenty-four and a half thousand is as easily said as twenty-four
    return int(floor(value / step + 0.5)) * step


def round_words(value, figures=2):
    """A rounded number in words, with `about` where rounding changed it.

    Parameters
    ----------
    value : float
        At least 0. [-]
    figures : int, optional
        Kept. [-]

    Returns
    -------
    str
        As `about fifty-eight thousand` or `two and a half thousand`. [-]
    """
    near = rounded_to(value, figures)
    size, name = next(((size, name) for size, name in LARGE if near >= size), (0, ""))
    half = size and near < 50 * size and near % size * 2 == size
    words = f"{number_words(near // size)} and a half {name}" if half else number_words(near)
    return words if abs(near - value) < 0.005 or round(value) == near else f"about {words}"


def money_words(value, currency, figures=2):
    """An amount as it is said.

    Parameters
    ----------
    value : float
        Its sign is left to the sentence. [money]
    currency : str
        ISO 4217 code. [-]
    figures : int, optional
        Kept. [-]

    Returns
    -------
    str
        As `about fifty-eight thousand dollars`, `twenty-five cents`, `nothing`. [-]
    """
    one, many, cent, cents = CURRENCIES.get(currency, (" ".join(currency), " ".join(currency), "", ""))
    value = abs(value)
    if not isfinite(value):
        return "an amount nobody knows"
    hundredths = floor(100 * value + 0.5)
    if cent and 0 < hundredths < 995 and hundredths % 100:
        whole, part = divmod(hundredths, 100)
        small = f"{number_words(part)} {cent if part == 1 else cents}"
        words = f"{number_words(whole)} {one if whole == 1 else many} and {small}" if whole else small
        return words if abs(value - hundredths / 100) < 1e-9 else f"about {words}"
    near = rounded_to(value, figures)
    if not near:
        return "nothing" if value < 0.005 else f"less than one {one}"
    return f"{round_words(value, figures)} {one if near == 1 else many}"


def span_words(low, high, currency):
    """A range as it is said, in two figures each.

    Parameters
    ----------
    low, high : float
        Its ends. [money]
    currency : str
        ISO 4217 code. [-]

    Returns
    -------
    str
        As `from nine thousand nine hundred to fifteen thousand euros`; `and` between them would be heard as one number. [-]
    """
    first, last = (money_words(rounded_to(end), currency) for end in (low, high))
    noun = CURRENCIES.get(currency, ("", " ".join(currency)))[1]
    return f"from {first.removesuffix(noun).strip()} to {last}"


def years_words(years):
    """Years as they are said.

    Parameters
    ----------
    years : float
        How many. [year]

    Returns
    -------
    str
        As `six years`, `two and a half years`, `about four years`. [-]
    """
    whole, rest = divmod(round(2 * years), 2)
    if not (whole or rest):
        return "less than half a year"
    exact = abs(years - (whole + rest / 2)) < 0.05
    words = f"{number_words(whole)} and a half years" if whole and rest else "half a year" if rest else "one year" if whole == 1 else f"{number_words(whole)} years"
    return words if exact else f"about {words}"
