"""A name as it can be read aloud."""

import re
import unicodedata

from buildecon.story.telling.aloud.number_words import SMALL, number_words, year_words

SAID = {"&": " and ", "+": " plus ", "%": " percent ", "@": " at ", "/": " ", ":": ", ", ";": ", "}


def name_words(name, most=7):
    """A name as it can be read aloud: digits in words, signs as words or left out.

    Parameters
    ----------
    name : str
        The owner's. [-]
    most : int, optional
        Words of it that are said. [-]

    Returns
    -------
    str
        Letters, blanks, hyphens, commas and apostrophes only. [-]
    """
    text = "".join(SAID.get(char, char) for char in name[:300])
    text = re.sub(r"[0-9]+", lambda found: f" {_digits(found[0])} ", text)
    kept = (char if unicodedata.category(char)[0] in "LM" or char in " -'," else " " for char in text)
    words = [word.strip("-',") + ("," if word.endswith(",") else "") for word in "".join(kept).split()]
    said = [word[:20] for word in words if word.strip(",")]
    return re.sub(r"\s+,", ",", " ".join(said[:most])).strip(" ,") or "something without a name"


def _digits(text):
    """A group of digits: a year, a number below a thousand, or digit by digit."""
    value = int(text)
    if len(text) == 4 and 1900 <= value < 2100:
        return year_words(value)
    return number_words(value) if len(text) <= 3 and (text[0] != "0" or len(text) == 1) else " ".join(SMALL[int(digit)] for digit in text[:8])
