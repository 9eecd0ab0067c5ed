"""Money that was typed: a number with a sign, code or word of a currency, with thousands set apart, or near one of the build's own figures."""

import re

from buildecon.story.telling.aloud.number_words import CURRENCIES

OWN = "money", "money a month"  # units of figures that a number may be near to
NEAR = 0.01  # of a figure; who types one from memory rounds it: our own convention
LEAST = 100  # smaller numbers without a sign are nobody's money
YEARS = range(1900, 2100)
SIGNS = r"[$€£¥]"
# The first alternative that fits is taken: thousands set apart, by points as well, then any number.
APART = r"\d{1,3}(?:[,'\u2019\u00a0\u202f ]\d{3}(?!\d))+(?:[.,]\d{1,2}(?!\d))?"
POINTS = r"\d{1,3}(?:\.\d{3}(?!\d))+(?:,\d{1,2}(?!\d))?"
PLAIN = r"\d+(?:[.,]\d+)?"
NUMBER = rf"(?:{APART}|{POINTS}|{PLAIN})"
THOUSANDS = r"\s?[kK](?!\w)|[\s-](?:thousand|grand)\b"
WORDS = ("pound", "pounds", "dollar", "dollars", "euro", "euros", "quid", "buck", "bucks", "grand")
UNIT = re.compile(
    rf"(?:\s?(?:to|or|-|\u2013)\s?{NUMBER}(?:{THOUSANDS})?)?[\s-]?(?:"
    r"miles?|mi|km|kms|kilomet(?:er|re)s?|met(?:er|re)s?|m|mm|cm|yards?|feet|foot|ft|inch|inches|cc|ccm|cm3|rpm|revs?|lbs?|kg|kilos?|tons?|tonnes?|oz|ounces?|"
    r"hours?|hrs?|h|minutes?|mins?|seconds?|secs?|days?|weeks?|months?|years?|hp|bhp|PS|kW|kWh|Wh|W|watts?|V|volts?|amps?|Ah|mAh|Nm|psi|bar|lb-?ft|[lL]|lit(?:er|re)s?|ml|gallons?|gal|"
    r"mph|mpg|kph|degrees?|grit|percent)\b|\s?(?:km/h|%|°)"
)
SENTENCE, CLAUSE = r"(?<=[.!?])\s+", r"[:;,]\s+|\s\(|\)\s*|(?<=[.!?])\s+"
HOURS = re.compile(r"[\s-]?(?:hours?|hrs?|h)\b")


def typed_figures(line, figures, currency):
    """Figures in a line that look like money, or are one of ours.

    Parameters
    ----------
    line : str
        As it was written, without the names in braces. [-]
    figures : dict of str to Figure
        By name. [-]
    currency : str
        Home currency. [-]

    Returns
    -------
    list of str
        As they were typed, in order. A number with a unit of something else behind it is none, unless it is one of our hours; nor is a year. [-]
    """
    return [found.group(0).strip() for found in _shape(currency).finditer(line) if _is_ours(found, line[found.end() :], figures)]


def without_sums(text, currency, clauses=False):
    """A text without the parts of it that hold money.

    Parameters
    ----------
    text : str
        The owner's. [-]
    currency : str
        Home currency. [-]
    clauses : bool, optional
        Whether it is told in a few words, as what somebody gave: clauses are taken out then, not sentences, and a bare number of a hundred or more is money, too. [-]

    Returns
    -------
    str
        As it was where it holds none; empty where nothing is left. [-]
    """
    parts = re.split(CLAUSE if clauses else SENTENCE, text)
    kept = [part for part in parts if not _holds_money(part, currency, clauses)]
    return text if len(kept) == len(parts) else (", " if clauses else " ").join(filter(None, kept)).strip(" .,;:()" if clauses else " ")


def value_of(typed):
    """What a typed figure stands for.

    Parameters
    ----------
    typed : str
        From `typed_figures`. [-]

    Returns
    -------
    float
        With its thousands. [-]
    """
    text = re.search(NUMBER, typed)[0]
    if re.fullmatch(APART, text):
        whole, _, rest = re.sub(r"['\u2019\u00a0\u202f ]", "", text).partition(".")
        text = f"{re.sub(',(?=[0-9]{3}(?![0-9]))', '', whole).replace(',', '.')}{'.' + rest if rest else ''}"
    elif re.fullmatch(POINTS, text):
        text = text.replace(".", "").replace(",", ".")
    return float(text.replace(",", ".")) * (1000 if re.search(rf"\d(?:{THOUSANDS})", typed) else 1)


def near(value, figures, within=NEAR):
    """Figures that a typed one may stand for.

    Parameters
    ----------
    value : float
        What was typed. [-]
    figures : dict of str to Figure
        By name. [-]
    within : float, optional
        Share of a figure of money by which it may be off; every figure is met to the half. [-]

    Returns
    -------
    list of Figure
        The nearest first. [-]
    """
    known = [one for one in figures.values() if one.value is not None and abs(one.value) >= 0.5]
    off = [(abs(abs(one.value) - value), one) for one in known]
    return [one for by, one in sorted(off, key=lambda pair: pair[0]) if by < 0.5 or one.unit in OWN and by <= within * abs(one.value)]


def _shape(currency):
    own = CURRENCIES.get(currency, ("", ""))[:2]
    words = "|".join(sorted({*WORDS, *(word.split()[-1] for word in own if word)}))
    codes = "|".join(sorted({re.escape(currency), "USD", "EUR", "GBP"}))
    return re.compile(rf"(?:(?P<before>{SIGNS}|\b(?:{codes}))\s?|(?<![\w.,]))(?P<number>{NUMBER})(?P<thousands>{THOUSANDS})?(?P<after>\s?{SIGNS}|\s?(?:{codes})\b|[\s-]?(?:{words})\b)?")


def _is_ours(found, rest, figures):
    if found["before"] or found["after"] or (found["thousands"] or "").endswith("grand"):
        return True
    value = value_of(found.group(0))
    if UNIT.match(rest):
        return bool(HOURS.match(rest)) and value >= LEAST and any(one.unit == "hours" for one in near(value, figures, 0))
    if re.match(r"\w", rest) or _is_year(found):
        return False
    if re.fullmatch(APART, found["number"]) or (found["thousands"] or "").strip() in ("k", "thousand"):
        return True
    return value >= LEAST and bool(near(value, figures))


def _is_year(found):
    return not found["thousands"] and re.fullmatch(r"\d{4}", found["number"]) is not None and int(found["number"]) in YEARS


def _holds_money(text, currency, bare_too):
    found = [(one, text[one.end() :]) for one in _shape(currency).finditer(text)]
    is_bare = lambda one, rest: value_of(one.group(0)) >= LEAST and not (UNIT.match(rest) or re.match(r"\w", rest) or _is_year(one))  # noqa: E731
    return any(_is_ours(one, rest, {}) or bare_too and is_bare(one, rest) for one, rest in found)
