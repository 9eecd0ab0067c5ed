"""How files are written: the csv files of a project folder, and the exports that receipts come in."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from buildecon.project.faults import Wrong
from buildecon.project.fields import Currency, Positive, Record
from buildecon.project.rows import Line, Nature

# What a column of an export can hold: a cell of lines.csv, or of events.csv.
MEANINGS = (*(name for name in Line.model_fields if name != "row"), "currency", "rate", "document", "line", "kind", "due")


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
    hours: CsvForm = CsvForm()
    energy: CsvForm = CsvForm()
    market: CsvForm = CsvForm()
    statements: CsvForm = CsvForm()
    index: CsvForm = CsvForm()
    published: CsvForm = CsvForm()
    corrections: CsvForm = CsvForm()


class Source(CsvForm):
    """`[[sources]]`: one kind of export, mapped once: what its columns mean, and how its money is signed."""

    name: Annotated[str, Field(min_length=1)]
    holds: Literal["purchases", "payments", "events"]
    columns: dict[str, str]
    spent: Literal["positive", "negative"] = "positive"
    skip: Annotated[int, Field(ge=0, le=100)] = 0
    system: str = ""
    nature: Nature | Literal[""] = ""
    currency: Currency = ""
    rate: Positive | None = None
    days: Annotated[int, Field(ge=0, le=60)] = 7

    @model_validator(mode="after")
    def _knows_its_columns(self):
        for meaning in self.columns:
            if meaning not in MEANINGS:
                raise Wrong(f"a table of our names and the export's, of which ours is one of {', '.join(MEANINGS)}", f"{meaning!r} is none of them.")
        needed = {"purchases": ("paid", "item"), "payments": ("paid", "date"), "events": ("paid", "line", "kind")}[self.holds]
        if missing := [meaning for meaning in needed if meaning not in self.columns]:
            raise Wrong(f"a table that says which column holds {' and '.join(missing)}", "Add it under columns.")
        if len(set(self.columns.values())) < len(self.columns):
            raise Wrong("a table in which each column of the export stands once")
        return self
