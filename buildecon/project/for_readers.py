"""A project as a reader may have it: the same figures, and nothing that is nobody's business but the owner's."""

import unicodedata
from dataclasses import is_dataclass, replace
from itertools import count, groupby

from pydantic import BaseModel

LONGEST = 2000  # characters of one text: a name of a hundred thousand would be a page of its own
# Control marks, marks that turn the direction of writing or join letters, halves of pairs: a name must not be able to reorder the line it stands in.
UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn"}


def for_readers(project):
    """The project without notes, names of papers, order numbers, sellers nobody agreed to name, and what the cars of the market are called.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    Project
        Every total, value and cost is the same: what holds rows together keeps a number in place of its name. [-]

    Notes
    -----
    Named are the suppliers of `[[disclosures]]` and those of `[publish].name_suppliers`. What systems, items, options, kits, jobs, phases, ways of selling and loads are called is published.
    Two payments alike on two papers stay two: a paper keeps a number, else they would be told to readers as one entered twice.
    """
    file, named = project.file, {one.supplier for one in project.file.disclosures} | set(project.file.publish.name_suppliers)
    supplier, order, paper, car, place, row = _names("supplier", named), _names("order"), _names("paper"), _names("car"), _names("place"), _names("row")
    orders = {line.order for line in project.lines if line.order}
    lines = tuple(
        line.model_copy(update={"note": "", "supplier": supplier(line.supplier), "order": order(line.order), "lay_on": order(line.lay_on) if line.lay_on in orders else line.lay_on})
        for line in project.lines
    )
    options = tuple(option.model_copy(update={"note": ""}) for option in file.options)
    shown = project.model_copy(
        update={
            "folder": "", "lines": lines, "stamps": {},
            "events": tuple(event.model_copy(update={"note": "", "document": paper(event.document)}) for event in project.events),
            "hours": tuple(hours.model_copy(update={"note": ""}) for hours in project.hours),
            "energy": tuple(fill.model_copy(update={"note": "", "place": place(fill.place)}) for fill in project.energy),
            "market": tuple(one.model_copy(update={"note": "", "id": row(one.id), "what": car(one.what), "car": car(one.car)}) for one in project.market),
            "statements": tuple(one.model_copy(update={"note": "", "source": ""}) for one in project.statements),
            "file": file.model_copy(update={"options": options, "sources": (), "value": file.value.model_copy(update={"basis": ""})}),
        }
    )  # fmt: skip
    return _plain(shown).model_copy(update={"story": "\n".join(plain_line(line) for line in project.story.splitlines())})


def plain_line(text, longest=LONGEST):
    """Text on one line, without control characters, marks that nobody sees and heaps of accents, shortened where it is very long.

    Parameters
    ----------
    text : str
        Of an owner's file. [-]
    longest : int, optional
        Characters kept. [-]

    Returns
    -------
    str
        Not escaped: that is for the form it goes into. [-]
    """
    line = unicodedata.normalize("NFC", " ".join(text[: 4 * longest].split()))
    seen = (sign for sign in line if unicodedata.category(sign) not in UNSEEN)
    runs = ((is_accent, list(run)) for is_accent, run in groupby(seen, key=lambda sign: unicodedata.combining(sign) > 0))
    plain = "".join("".join(run[:1] if is_accent else run) for is_accent, run in runs).strip()
    return plain if len(plain) <= longest else plain[: longest - 3].rstrip() + "..."


def _plain(value):
    """The same with every text in it plain."""
    if isinstance(value, str):
        return plain_line(value)
    if isinstance(value, BaseModel):
        given = value.model_fields_set  # what nobody wrote stays unwritten: a rule may be about what was given
        return value.model_copy(update={name: _plain(part) for name, part in value if name in given and _holds_text(part)})
    if isinstance(value, tuple):
        return tuple(map(_plain, value))
    if isinstance(value, dict):
        return {plain_line(name): _plain(part) for name, part in value.items()}
    return replace(value, text="") if is_dataclass(value) and hasattr(value, "text") else value


def _holds_text(part):
    return isinstance(part, (str, BaseModel, tuple, dict)) or hasattr(part, "text")


def _names(kind, kept=frozenset()):
    """A number for each name, the same for the same name; nothing for nothing."""
    known, numbers = {}, count(1)

    def name(text):
        if text and text not in kept and text not in known:
            known[text] = f"{kind} {next(numbers)}"
        return known.get(text, text)

    return name
