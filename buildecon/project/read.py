"""Reading a project folder: every fault is collected and said at once, nothing is dropped or guessed."""

import csv
import datetime as dt
import hashlib
import io
import os
import re
import stat
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import get_args

from pydantic import BaseModel, ValidationError

from buildecon.project.consistency import consistency_faults
from buildecon.project.faults import NO_FILE, NO_FOLDER, NO_TEXT, Fault, ProjectFaults, Wrong, nearest, unknown_name, wrong
from buildecon.project.in_place import finish_save
from buildecon.project.records import BuildFile, Files, Project
from buildecon.project.rows import Correction, Event, Evidence, Fill, Hours, IndexRow, Line, Published, Statement
from buildecon.project.toml import line_of
from buildecon.quantities.estimate import IF_NOT_KNOWN, Estimate, estimate, plain_number

FILES_TABLE = re.compile(r"^\s*(\[\s*)?files\b", re.MULTILINE)
# What people write into build.toml by habit, and what to write instead.
SLIPS = (
    (r"=\s*\d{1,2}[./-]\d{1,2}[./-]\d{4}", "Write a date as 2026-06-30."),
    (r"=\s*\d+\s*%", "Write 14 % as 0.14."),
    (r"=\s*\d[\d.]*\s*(-|–|to)\s*\d", "Write a range as { low = 1000, likely = 1150, high = 1300 }."),
    (r"=\s*\d+,\d", "Write a decimal point: 18.50; and no sign between thousands."),
    (r"=\s*[A-Za-z(][^\"']*$", "Put text in quotes; true and false stand without."),
)
TRIES = 3  # to read all files as they were between two saves
STORY = "story.md"
WHEN_EMPTY = {"build.toml": NO_TEXT, "lines.csv": NO_TEXT, STORY: "Delete it, or write in it."}
OR_EMPTY = ", or leave the cell empty"  # said of a cell that may be
LARGEST_FILE = 20_000_000  # bytes; ten thousand lines are about two million
TABLES = {"lines": Line, "events": Event, "hours": Hours, "energy": Fill, "market": Evidence, "statements": Statement, "index": IndexRow, "published": Published, "corrections": Correction}
EXACT = ("rate", "level", "filled", "in_battery", "correction")  # often written to three decimals, and never by the thousand
DATE_SHAPES = {
    "ymd": (r"(?P<y>\d{4})-(?P<m>\d\d?)-(?P<d>\d\d?)", "2026-06-30"),
    "dmy": (r"(?P<d>\d\d?)[./-](?P<m>\d\d?)[./-](?P<y>\d{4})", "30/06/2026"),
    "mdy": (r"(?P<m>\d\d?)[./-](?P<d>\d\d?)[./-](?P<y>\d{4})", "06/30/2026"),
}


def read_project(folder):
    """Project read from a folder of plain files.

    Parameters
    ----------
    folder : str or Path
        Holds build.toml and lines.csv, and may hold events.csv, hours.csv, energy.csv, market.csv, statements.csv, index.csv, published.csv, corrections.csv and story.md. [-]

    Returns
    -------
    Project
        Validated and consistent. [-]

    Raises
    ------
    ProjectFaults
        With every fault found, each with its file, line, column, value and cure.
    """
    folder = Path(folder)
    if not os.path.isdir(folder):  # Path.is_dir raises on a name that is too long
        raise ProjectFaults([Fault(str(folder), 0, "", NO_FOLDER)])
    for _ in range(TRIES):
        finish_save(folder)
        stamps = stamps_of(folder)
        try:
            project = _read(folder, stamps)
        except ProjectFaults:
            if stamps == stamps_of(folder):
                raise
        else:
            if stamps == stamps_of(folder):
                return project
    return _read(folder, stamps_of(folder))


def _read(folder, stamps):
    """All files, as they are now; a save between two of them is for the caller to notice."""
    faults = []
    text = read_text(folder / "build.toml", "utf-8", faults)
    file, forms = build_file(text, faults)
    tables = {}
    for name in TABLES if forms else ():  # read in the wrong form, every cell of a csv file would be a fault
        path = folder / f"{name}.csv"
        if name == "lines" or os.path.lexists(path):
            form = getattr(forms, name)
            tables[name] = table_rows(read_text(path, form.encoding, faults), name, form, faults)
    story = read_text(folder / STORY, "utf-8", faults) if os.path.lexists(folder / STORY) else ""
    faults += _misnamed(folder)
    parts = {"folder": str(folder), "file": file, **tables, "story": story, "stamps": stamps}
    project = Project.model_construct(**parts) if file is None else Project(**parts)
    faults += consistency_faults(project, lambda *keys: line_of(text, keys), {fault.file for fault in faults})
    if faults:
        raise ProjectFaults(faults)
    return project


def stamps_of(folder):
    """What each file of a project folder is now, to tell later whether it was changed.

    Parameters
    ----------
    folder : Path
        Project folder. [-]

    Returns
    -------
    dict of str to str
        A digest by file name, for the files that are there and not too large. [-]
    """
    stamps = {}
    for name in ("build.toml", STORY, *(f"{table}.csv" for table in TABLES)):
        try:
            if (folder / name).stat().st_size <= LARGEST_FILE and (folder / name).is_file():
                stamps[name] = hashlib.blake2b((folder / name).read_bytes(), digest_size=16).hexdigest()
        except OSError:
            continue
    return stamps


def read_text(path, encoding, faults):
    """Contents of one file of a project folder.

    Parameters
    ----------
    path : Path
        The file. [-]
    encoding : str
        Of the file. [-]
    faults : list of Fault
        What is wrong with it is added here. [-]

    Returns
    -------
    str
        Empty where there is a fault. [-]
    """

    def fault(message, line=0):
        faults.append(Fault(path.name, line, "", message))
        return ""

    try:
        found = path.lstat()
        if stat.S_ISLNK(found.st_mode):
            return fault("must be a plain file, got a symbolic link. Copy the file itself into the folder.")
        if not stat.S_ISREG(found.st_mode):
            return fault("must be a plain file, got a folder or a device. Put the file itself in its place.")
        if found.st_size > LARGEST_FILE:
            return fault(f"must be at most {LARGEST_FILE / 1e6:.0f} MB, got {found.st_size / 1e6:.0f} MB. Keep one build in a folder.")
        raw = path.read_bytes()
    except FileNotFoundError:
        return fault(NO_FILE)
    except OSError as trouble:
        return fault(f"must be readable, got {trouble.strerror!r}. Give yourself the right to read it.")
    try:
        text = raw.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError as trouble:
        read, at = trouble.object, trouble.start  # without a mark of the byte order in front, which is no part of what was read
        line = read[:at].count(b"\n") + 1
        cure = "Save it as UTF-8" + (", or declare its encoding under [files]." if path.suffix == ".csv" else ".")
        return fault(f"must be {encoding} text, got byte 0x{read[at]:02x}. {cure}", line)
    if "\0" in text:
        return fault("must be text, got a NUL byte. Save it anew from the program it came from.", text[: text.index("\0")].count("\n") + 1)
    return text if text.strip() else fault(f"must not be empty. {WHEN_EMPTY.get(path.name, 'Delete it, or give it the header line of its columns.')}")


def build_file(text, faults):
    """Record of build.toml, and how the csv files are written.

    Parameters
    ----------
    text : str
        The file; may be empty. [-]
    faults : list of Fault
        What is wrong with it is added here. [-]

    Returns
    -------
    tuple of (BuildFile or None, Files or None)
        None where it cannot be read; no Files only where the file speaks of them. [-]
    """
    if not text:
        return None, Files()
    try:
        tree = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as trouble:
        faults.append(_syntax_fault(text, str(trouble)))
        return None, None if FILES_TABLE.search(text) else Files()
    except (ValueError, RecursionError):
        faults.append(Fault("build.toml", 0, "", "must be TOML, got a number of thousands of digits or brackets without end."))
        return None, None if FILES_TABLE.search(text) else Files()
    try:
        return (file := BuildFile.model_validate(tree)), file.files
    except ValidationError as trouble:
        for error in trouble.errors():
            keys = error["loc"]
            name = ".".join(f"{key + 1}" if isinstance(key, int) else key for key in keys)
            message = _message(error, lambda keys=keys: _fields_at(BuildFile, keys[:-1]))
            faults.append(Fault("build.toml", line_of(text, keys), name, message))
    try:
        return None, Files.model_validate(tree.get("files", {}))
    except ValidationError:
        return None, None


def _misnamed(folder):
    """Files whose names look like slips; anything else in the folder is the owner's own business."""
    known = {"build.toml", *(f"{name}.csv" for name in TABLES)}
    try:
        names = {path.name for path in folder.iterdir() if path.suffix.lower() in (".csv", ".toml", ".xlsx")}
    except OSError:
        return
    for name in sorted(names - known):
        stem = Path(name).stem.lower()
        meant = [other for other in sorted(known) if stem in (Path(other).stem, Path(other).stem.rstrip("s"), Path(other).stem + "s")]
        if meant and not (folder / meant[0]).exists():
            cure = f"Save it as csv under the name {meant[0]}." if name.lower().endswith(".xlsx") else f"Name it {meant[0]}."
            yield Fault(name, 0, "", f"must have a name that is read, and has not. {cure}")


def _syntax_fault(text, trouble):
    """What tomllib could not read, with the line as it stands."""
    reason, place = trouble.split(" (at")[0], re.search(r"\(at line (\d+)", trouble)
    line = int(place.group(1)) if place else text.rstrip().count("\n") + 1
    written = text.split("\n")[line - 1].strip()[:80]
    slips = (cure for shape, cure in SLIPS if re.search(shape, written))
    cure = "A key may stand only once in its table." if "overwrite" in reason else next(slips, "Check the quotes, commas and brackets there and above.")
    return Fault("build.toml", line, "", f"must be TOML, got {written!r}: {reason[0].lower()}{reason[1:]}. {cure}")


def table_rows(text, table, form, faults):
    """Rows of one csv file as records.

    Parameters
    ----------
    text : str
        The file; may be empty. [-]
    table : str
        What it holds, a key of `TABLES`. [-]
    form : CsvForm
        How it is written. [-]
    faults : list of Fault
        What is wrong with it is added here, cell by cell. [-]

    Returns
    -------
    tuple of Line, Event or Evidence
        The rows without a fault. [-]
    """
    if not text:
        return ()
    name, record = f"{table}.csv", TABLES[table]
    columns = {field: cell_reader(field, spec.annotation, form) for field, spec in record.model_fields.items() if field != "row"}
    required = [field for field, spec in record.model_fields.items() if spec.is_required()]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=form.separator, strict=True)
    rows, line = [], 1
    try:
        header = [cell.strip() for cell in next(reader)]
        found = _header_faults(header, name, columns, required, form)
        faults += found
        if found:
            return ()
        line = reader.line_num + 1
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append(_row(cells, header, columns, record, name, line, faults, required))
            line = reader.line_num + 1
    except csv.Error as trouble:
        faults.append(Fault(name, line, "", f"must be csv with {form.separator!r} between cells; {trouble}. Check the quotes from this line on."))
    return tuple(row for row in rows if row is not None)


def _header_faults(header, name, columns, required, form):
    """What is wrong with the names of the columns; a separator that was not declared is one fault, not one a column."""
    if len(header) == 1 and header[0] not in columns:
        return [Fault(name, 1, "", wrong(f"a header with {form.separator!r} between cells", header[0], f"Declare it in build.toml: [files.{name.removesuffix('.csv')}] and under it separator = ';' (or what it is)."))]
    nameless = [Fault(name, 1, "", f"must have a name in every cell of the header, got '' in cell {header.index('') + 1}.")] if "" in header else []
    twice = sorted({cell for cell in header if cell and header.count(cell) > 1})
    return [
        *nameless,
        *(Fault(name, 1, cell, unknown_name(cell, columns)) for cell in header if cell and cell not in columns),
        *(Fault(name, 1, field, "must be among the columns, and is missing.") for field in required if field not in header),
        *(Fault(name, 1, cell, f"must stand once in the header, got it {header.count(cell)} times.") for cell in twice),
    ]


def _row(cells, header, columns, record, name, line, faults, required):
    """One row as a record, or None and its faults, those of every cell at once."""
    if len(cells) != len(header):
        cure = "Put quotes around a text that has the separator in it." if len(cells) > len(header) else "An empty cell needs its separator too."
        faults.append(Fault(name, line, "", f"must have {len(header)} cells, got {len(cells)}. {cure}"))
        return None
    values, unread = {"row": line}, set()
    for column, cell in zip(header, cells, strict=True):
        if cell.strip():
            try:
                values[column] = columns[column](cell.strip())
            except ValueError as trouble:
                unread.add(column)
                faults.append(Fault(name, line, column, str(trouble) if column not in required else str(trouble).replace(IF_NOT_KNOWN, "").replace(OR_EMPTY, "")))
    try:
        made = record(**values)
        return None if unread else made
    except ValidationError as trouble:
        for error in trouble.errors():
            if not unread or error["loc"] and error["loc"][0] not in unread:  # rules of the whole row wait until each of its cells is read
                faults.append(Fault(name, line, ".".join(map(str, error["loc"])), _message(error, lambda: columns)))
    return None


def cell_reader(field, annotation, form):
    """How a cell becomes a value: by the type of its field.

    Parameters
    ----------
    field : str
        Its name. [-]
    annotation : type
        Of the field in its record. [-]
    form : CsvForm
        How the file is written. [-]

    Returns
    -------
    callable
        From text; raises ValueError with the rule, the text and the cure. [-]
    """
    kinds = set(_flat(annotation))
    if Estimate in kinds:
        return lambda cell: (estimate if field in EXACT else _money_estimate)(cell, form.decimal)
    if dt.date in kinds:
        return lambda cell: _date(cell, form.date_order)
    if Decimal in kinds:
        return lambda cell: plain_number(cell, form.decimal)
    return str


def _money_estimate(cell, decimal):
    """An estimate; 1.234 is asked about, alone or in a range, since some write 1234 that way."""
    if twofold := twofold_number(cell, decimal):
        readings = f"{twofold.replace(decimal, '')} or {twofold[:-1] if twofold.endswith('0') else twofold + '0'}"
        raise ValueError(f"must be readable one way only, got {cell!r}. Write {readings}, or declare the decimal sign under [files].")
    return estimate(cell, decimal)


def twofold_number(text, decimal):
    """First number of a text with exactly three decimals, as 1.234, which some write for 1234.

    Parameters
    ----------
    text : str
        What stands in the cell. [-]
    decimal : {".", ","}
        The decimal sign of the file. [-]

    Returns
    -------
    str
        Empty where there is none. [-]
    """
    found = re.search(rf"(?<![\d.,'])(?<!\d )[1-9]\d{{0,2}}{re.escape(decimal)}\d{{3}}(?![\d.,'k])", text)
    return found[0] if found else ""


def _date(cell, order):
    shape, example = DATE_SHAPES[order]
    found = re.fullmatch(shape, cell)
    try:
        return dt.date(*(int(found[part]) for part in "ymd"))
    except (TypeError, ValueError):
        raise ValueError(wrong(f"a date like {example}", cell, f"Declare date_order = 'dmy' or 'mdy' for the file in build.toml, as in [files.lines]{OR_EMPTY}.")) from None


def _flat(annotation):
    """Every type named in an annotation."""
    parts = get_args(annotation)
    return [annotation] if not parts else [kind for part in parts for kind in _flat(part)]


def _fields_at(model, keys):
    """Field names of the record that a path of keys leads to."""
    for key in keys:
        if isinstance(key, str) and key in model.model_fields:
            inner = [kind for kind in _flat(model.model_fields[key].annotation) if isinstance(kind, type) and issubclass(kind, BaseModel)]
            model = inner[0] if inner else model
    return model.model_fields


def _message(error, known):
    """A pydantic error in our words."""
    kind, got, limits = error["type"], error["input"], error.get("ctx", {})
    if kind == "missing":
        return "must be given, and is missing."
    if kind == "extra_forbidden":
        return unknown_name(str(error["loc"][-1]), known())
    if kind == "value_error":
        reason = limits["error"]
        if not isinstance(reason, Wrong):
            return str(reason)
        is_table = isinstance(got, dict) and not set(got) <= {"low", "likely", "high"}  # a whole table is too long to show
        return wrong(reason.rule, got, reason.cure) if not is_table else f"must be {reason.rule}. {reason.cure}".strip()
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", limits["expected"])
        near = nearest(str(got), words)
        given = ", ".join(map(repr, filter(None, words))) + (", or empty" if "" in words else "")
        return wrong(f"one of {given or limits['expected']}", got, f"Did you mean {near!r}?" if near else "")
    if "ge" in limits or "le" in limits:
        return wrong(f"at least {limits['ge']}" if "ge" in limits else f"at most {limits['le']}", got)
    words = {"string_type": "text in quotes", "bool_type": "true or false", "bool_parsing": "true or false", "int_parsing": "a whole number",
             "int_type": "a whole number", "int_from_float": "a whole number", "dict_type": "a table", "tuple_type": "a list", "too_short": "at least one",
             "date_type": "a date like 2026-06-30 without quotes", "string_too_short": "filled in", "model_type": "a table"}  # fmt: skip
    return wrong(words.get(kind, error["msg"][0].lower() + error["msg"][1:]), got)
