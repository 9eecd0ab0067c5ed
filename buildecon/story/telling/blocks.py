"""What a write-up is made of, before it is Markdown or a page."""

from dataclasses import dataclass

from buildecon.project.for_readers import plain_line

LONGEST = 400  # characters of one name or cell


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
    """A text shortened where it is too long for its place; a reader's copy holds no marks that nobody sees.

    Parameters
    ----------
    text : str
        Of a reader's copy. [-]
    longest : int, optional
        Characters kept. [-]

    Returns
    -------
    str
        Plain text. It is not escaped: that is for the form. [-]
    """
    return plain_line(text, longest)
