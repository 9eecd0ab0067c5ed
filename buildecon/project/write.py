"""Writing a project folder: whole files, each put in place in one step, comments and wording kept."""

import csv
import io
import os
import tempfile
from decimal import Decimal
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.read import TABLES
from buildecon.project.records import CsvForm, Record
from buildecon.quantities.estimate import Estimate


def write_project(project, folder=None):
    """Write a project's files, keeping the comments and the layout of a build.toml that is already there.

    Parameters
    ----------
    project : Project
        What to write. [-]
    folder : str or Path, optional
        Where; by default where it was read from. [-]

    Raises
    ------
    ProjectFaults
        If a file cannot be written; the old one is then still whole.
    """
    folder = Path(folder or project.folder)
    write_text(folder / "build.toml", _toml(project, folder / "build.toml"))
    for name, record in TABLES.items():
        rows, path, form = getattr(project, name), folder / f"{name}.csv", getattr(project.file.files, name)
        if rows or path.exists():
            write_text(path, _csv(rows, _columns(rows, record, path, form), form), form.encoding)


def write_text(path, text, encoding="utf-8"):
    """Put a whole file in place in one step: write beside it, flush to the disk, rename.

    Parameters
    ----------
    path : Path
        The file. [-]
    text : str
        All of it. [-]
    encoding : str, optional
        Of the file. [-]

    Raises
    ------
    ProjectFaults
        If it is a symbolic link, the folder cannot be written to, or the encoding lacks a character.
    """
    path = Path(path)
    if path.is_symlink():
        raise ProjectFaults([Fault(path.name, 0, "", "must be a plain file, got a symbolic link. Nothing was written.")])
    beside = None
    try:
        raw = text.encode(encoding)
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(beside, path)
    except (OSError, UnicodeEncodeError) as trouble:
        if beside and os.path.exists(beside):
            os.unlink(beside)
        reason = trouble.strerror if isinstance(trouble, OSError) else trouble.reason
        raise ProjectFaults([Fault(path.name, 0, "", f"must be writable, got {reason!r}. The old file is untouched.")]) from None


def _toml(project, path):
    """build.toml with only the values that changed set anew."""
    import tomlkit

    wanted = _plain(project.file)
    if not path.exists():
        return tomlkit.dumps(wanted)
    document = tomlkit.parse(path.read_text(encoding="utf-8"))
    _merge(document, wanted)
    return tomlkit.dumps(document)


def _plain(value):
    """A record as tables, lists and numbers that TOML has; what the owner did not write is left out."""
    if isinstance(value, Estimate):
        parts = [_number(part) for part in (value.low, value.likely, value.high)]
        return parts[1] if value.is_sure else dict(zip(("low", "likely", "high"), parts, strict=True))
    if isinstance(value, Record):
        written = [name for name in type(value).model_fields if name in value.model_fields_set]
        return {name: _plain(getattr(value, name)) for name in written if getattr(value, name) is not None}
    if isinstance(value, dict):
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(part) for part in value]
    return _number(value) if isinstance(value, Decimal) else value


def _number(value):
    return int(value) if value == value.to_integral_value() and value.as_tuple().exponent >= 0 else float(value)


def _merge(table, wanted):
    """Set what differs, drop what is gone, descend where both are tables or lists of tables of one length."""
    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        old = table.get(key)
        if isinstance(value, dict) and isinstance(old, dict):
            _merge(old, value)
        elif isinstance(value, list) and isinstance(old, list) and len(old) == len(value) and all(isinstance(part, dict) for part in [*old, *value]):
            for before, after in zip(old, value, strict=True):
                _merge(before, after)
        elif old is None or old != value:
            table[key] = value


def _columns(rows, record, path, form):
    """The columns a file has already, in its order, then those that the rows need."""
    header = []
    if path.exists():
        with path.open(encoding="utf-8-sig" if form.encoding == "utf-8" else form.encoding, newline="") as file:
            header = [cell.strip() for cell in next(csv.reader(file, delimiter=form.separator), [])]
    needed = [name for name, spec in record.model_fields.items() if name != "row" and (spec.is_required() or any(name in row.model_fields_set for row in rows))]
    return header + [name for name in needed if name not in header]


def _csv(rows, columns, form):
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=form.separator, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(getattr(row, column), form) for column in columns] for row in rows)
    return text.getvalue()


def _cell(value, form: CsvForm):
    """A value the way the file writes it; an estimate keeps the owner's own words."""
    if value is None:
        return ""
    if isinstance(value, Estimate):
        if value.text:
            return value.text
        parts = [f"{part:f}".replace(".", form.decimal) for part in (value.low, value.likely, value.high)]
        return parts[1] if value.is_sure else "/".join(parts)
    if hasattr(value, "isoformat"):
        return value.isoformat() if form.date_order == "ymd" else value.strftime("%d/%m/%Y" if form.date_order == "dmy" else "%m/%d/%Y")
    return str(value)
