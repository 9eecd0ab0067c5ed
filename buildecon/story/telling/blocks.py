"""What a write-up is made of, before it is Markdown or a page."""

import re
import unicodedata
from dataclasses import dataclass

LONGEST = 400  # characters of one name or cell
# Marks that turn the direction of writing or cannot be seen: a name must not be able to reorder the line it stands in.
UNSEEN = re.compile("[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]")


@dataclass(frozen=True)
class Heading:
    """A heading. `level` is 1 for the title."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Says:
    """Paragraphs. `kind` is `lead`, `disclosure`, `caution`, `quiet` or nothing."""

    texts: tuple
    kind: str = ""


@dataclass(frozen=True)
class Points:
    """A list of sentences, with the same kinds."""

    texts: tuple
    kind: str = ""


@dataclass(frozen=True)
class Sheet:
    """A table: rows of finished text by column, the same columns in each. One that is `still` is left out where the part that moves shows it."""

    caption: str
    rows: tuple
    still: bool = False


@dataclass(frozen=True)
class Picture:
    """A drawing by the name of its frame; `still` as of a table."""

    id: str
    still: bool = False


@dataclass(frozen=True)
class Live:
    """The part that a reader can move; a form that cannot move says where it is."""


def clean(text, longest=LONGEST):
    """Text without control characters and marks nobody sees, on one line, shortened where it is very long.

    Parameters
    ----------
    text : str
        Of an owner's file. [-]
    longest : int, optional
        Characters kept. [-]

    Returns
    -------
    str
        Plain text. It is not escaped: that is for the form. [-]
    """
    plain = UNSEEN.sub("", "".join(" " if unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") else sign for sign in str(text)[: 8 * longest]))
    line = " ".join(plain.split())
    return line if len(line) <= longest else line[: longest - 3].rstrip() + "..."
