"""Reading a project folder: every fault is collected and said at once, nothing is dropped or guessed."""

import csv
import datetime as dt
import io
import re
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import get_args

from pydantic import BaseModel, ValidationError

from buildecon.project.consistency import consistency_faults
from buildecon.project.faults import Fault, ProjectFaults, Wrong, unknown_name, wrong
from buildecon.project.records import BuildFile, Event, Evidence, Files, Line, Project
from buildecon.quantities.estimate import Estimate, estimate, plain_number

LARGEST_FILE = 20_000_000  # bytes; ten thousand lines are about two million
TABLES = {"lines": Line, "events": Event, "market": Evidence}
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
        Holds build.toml and lines.csv, and may hold events.csv and market.csv. [-]

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
    if not folder.is_dir():
        raise ProjectFaults([Fault(str(folder), 0, "", "must be a project folder with build.toml and lines.csv in it.")])
    faults = []
    text = _text(folder / "build.toml", "utf-8", faults)
    file, forms = _build_file(text, faults)
    tables = {}
    for name, record in TABLES.items():
        path, form = folder / f"{name}.csv", getattr(forms, name)
        if name == "lines" or path.exists() or path.is_symlink():
            tables[name] = _rows(_text(path, form.encoding, faults), path.name, record, form, faults)
    if file is not None and not faults:
        project = Project(folder=str(folder), file=file, **tables)
        faults += consistency_faults(project, lambda *keys: line_of(text, keys))
    if faults:
        raise ProjectFaults(faults)
    return project


def _text(path, encoding, faults):
    """Contents of one file, or an empty text and a fault."""

    def fault(message, line=0):
        faults.append(Fault(path.name, line, "", message))
        return ""

    if path.is_symlink():
        return fault("must be a plain file, got a symbolic link. Copy the file itself into the folder.")
    if not path.is_file():
        return fault("must be there, and is missing. Copy one from a demo folder and change it.")
    size = path.stat().st_size
    if size > LARGEST_FILE:
        return fault(f"must be at most {LARGEST_FILE / 1e6:.0f} MB, got {size / 1e6:.0f} MB. Keep one build in a folder.")
    try:
        raw = path.read_bytes()
    except OSError as trouble:
        return fault(f"must be readable, got {trouble.strerror!r}.")
    try:
        text = raw.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError as trouble:
        line = raw[: trouble.start].count(b"\n") + 1
        cure = "Save it as UTF-8" + (", or declare its encoding under [files]." if path.suffix == ".csv" else ".")
        return fault(f"must be {encoding} text, got byte 0x{raw[trouble.start]:02x}. {cure}", line)
    return text if text.strip() else fault("must not be empty. Copy one from a demo folder and change it.")


def _build_file(text, faults):
    """build.toml as a record, or None; and how the csv files are written, as far as that can be read."""
    if not text:
        return None, Files()
    try:
        tree = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as trouble:
        place = re.search(r"line (\d+)", str(trouble))
        line = int(place.group(1)) if place else text.count("\n") + 1
        faults.append(Fault("build.toml", line, "", f"must be TOML; {str(trouble).split(' (at')[0][0].lower()}{str(trouble).split(' (at')[0][1:]}."))
        return None, Files()
    try:
        return (file := BuildFile.model_validate(tree)), file.files
    except ValidationError as trouble:
        for error in trouble.errors():
            keys = tuple(key for key in error["loc"] if not _is_noise(key))
            name = ".".join(f"{key + 1}" if isinstance(key, int) else key for key in keys)
            message = _message(error, lambda keys=keys: _fields_at(BuildFile, keys[:-1]))
            faults.append(Fault("build.toml", line_of(text, keys), name, message))
    try:
        return None, Files.model_validate(tree.get("files", {}))
    except ValidationError:
        return None, Files()


def _is_noise(key):
    """pydantic names the branch of a union in the path, as in facts.seats.bool."""
    return key in {"bool", "int", "decimal", "str"}


def _rows(text, name, record, form, faults):
    """Rows of one csv file as records; every faulty cell adds a fault."""
    if not text:
        return ()
    columns = {field: _cell_reader(field, spec.annotation, form) for field, spec in record.model_fields.items() if field != "row"}
    required = [field for field, spec in record.model_fields.items() if spec.is_required()]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=form.separator, strict=True)
    rows, line = [], 1
    try:
        header = [cell.strip() for cell in next(reader)]
        faults += [Fault(name, 1, cell, unknown_name(cell, columns)) for cell in header if cell not in columns]
        faults += [Fault(name, 1, field, "must be among the columns, and is missing.") for field in required if field not in header]
        faults += [Fault(name, 1, cell, "must stand once in the header.") for cell in set(header) if header.count(cell) > 1]
        if any(fault.file == name for fault in faults):
            return ()
        line = reader.line_num + 1
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append(_row(cells, header, columns, record, name, line, faults))
            line = reader.line_num + 1
    except csv.Error as trouble:
        faults.append(Fault(name, line, "", f"must be csv with {form.separator!r} between cells; {trouble}."))
    return tuple(row for row in rows if row is not None)


def _row(cells, header, columns, record, name, line, faults):
    """One row as a record, or None and its faults."""
    if len(cells) != len(header):
        faults.append(
            Fault(name, line, "", f"must have {len(header)} cells, got {len(cells)}. Put quotes around a text that has the separator in it.")
        )
        return None
    values, before = {"row": line}, len(faults)
    for column, cell in zip(header, cells, strict=True):
        if cell.strip():
            try:
                values[column] = columns[column](cell.strip())
            except ValueError as trouble:
                faults.append(Fault(name, line, column, str(trouble)))
    if len(faults) > before:
        return None
    try:
        return record(**values)
    except ValidationError as trouble:
        for error in trouble.errors():
            faults.append(Fault(name, line, ".".join(map(str, error["loc"])), _message(error, lambda: columns)))
    return None


def _cell_reader(field, annotation, form):
    """How a cell becomes a value: by the type of its field."""
    kinds = set(_flat(annotation))
    if Estimate in kinds:
        return lambda cell: (estimate if field == "rate" else _money_estimate)(cell, form.decimal)
    if dt.date in kinds:
        return lambda cell: _date(cell, form.date_order)
    if Decimal in kinds:
        return lambda cell: plain_number(cell, form.decimal)
    return str


def _money_estimate(cell, decimal):
    """An estimate; 1.234 is asked about, since some write 1234 that way."""
    if re.fullmatch(rf"[1-9]\d{{0,2}}{re.escape(decimal)}\d{{3}}", cell):
        plain, cents = cell.replace(decimal, ""), cell[:-1]
        raise ValueError(f"must be readable one way only, got {cell!r}. Write {plain} or {cents}, or declare the decimal sign under [files].")
    return estimate(cell, decimal)


def _date(cell, order):
    shape, example = DATE_SHAPES[order]
    found = re.fullmatch(shape, cell)
    try:
        return dt.date(*(int(found[part]) for part in "ymd"))
    except (TypeError, ValueError):
        raise ValueError(wrong(f"a date like {example}", cell, "Declare date_order under [files], or leave the cell empty.")) from None


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
        return wrong(reason.rule, got, reason.cure) if not isinstance(got, dict) else f"must be {reason.rule}. {reason.cure}".strip()
    if kind == "literal_error":
        return wrong("one of " + limits["expected"].replace(" or ", ", "), got)
    if "ge" in limits or "le" in limits:
        return wrong(f"at least {limits['ge']}" if "ge" in limits else f"at most {limits['le']}", got)
    words = {"string_type": "text in quotes", "bool_type": "true or false", "bool_parsing": "true or false", "int_parsing": "a whole number",
             "int_type": "a whole number", "int_from_float": "a whole number", "dict_type": "a table", "tuple_type": "a list", "too_short": "at least one",
             "date_type": "a date like 2026-06-30 without quotes", "string_too_short": "filled in", "model_type": "a table"}  # fmt: skip
    return wrong(words.get(kind, error["msg"][0].lower() + error["msg"][1:]), got)


def line_of(text, keys):
    """Line of build.toml on which a key stands, or the nearest table above it.

    Parameters
    ----------
    text : str
        The file. [-]
    keys : sequence of str or int
        Path of the key; list positions count from 0. [-]

    Returns
    -------
    int
        Counted from 1; 0 where nothing matches. [-]
    """
    best, depth, seen, here = 0, 0, {}, ()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := re.match(r"\s*(\[\[?)\s*([^\]]+?)\s*\]", line):
            names = tuple(part.strip().strip("\"'") for part in header[2].split("."))
            if header[1] == "[[":
                seen[names] = seen.get(names, -1) + 1
            here = ()
            for k in range(len(names)):
                here += (names[k],)
                here += (seen[names[: k + 1]],) if names[: k + 1] in seen else ()
            path = here
        elif key := re.match(r"\s*[\"']?([A-Za-z0-9_. -]+?)[\"']?\s*=", line):
            path = (*here, *(part.strip() for part in key[1].split(".")))
        else:
            continue
        if len(path) > depth and tuple(keys[: len(path)]) == path:
            best, depth = number, len(path)
    return best
