"""Writing a project folder: whole files, each put in place in one step, comments and wording kept."""

import codecs
import csv
import datetime as dt
import io
import os
from decimal import Decimal
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.in_place import alone, clear_strays, finish_alone, keep, put
from buildecon.project.read import STORY, TABLES, build_file, read_text, stamps_of, table_rows, twofold_number
from buildecon.project.records import BuildFile, Files
from buildecon.project.toml import plain, toml_text
from buildecon.quantities.estimate import Estimate, estimate


def write_project(project, folder=None):
    """Write a project's files, keeping the comments and the layout of those that are already there.

    A file whose records have not changed is left alone; one that cannot be read, or was changed since it was read, is never
    written over; of one that is replaced a copy stays in `before/`.

    Parameters
    ----------
    project : Project
        What to write. [-]
    folder : str or Path, optional
        Where; by default where it was read from. [-]

    Returns
    -------
    written : tuple of str
        Names of the files put in place; empty where none had changed. [-]
    replaced : tuple of str
        Those of them that were there before, of which a copy is in `before/`. [-]

    Raises
    ------
    ProjectFaults
        If a file that is there cannot be read, or a new one could not be, or cannot be written; the old ones are then still whole.
    """
    folder, faults, contents = Path(folder or project.folder), [], {}
    path = folder / "build.toml"
    before = read_text(path, "utf-8", faults) if os.path.lexists(path) else ""
    file, forms = build_file(before, faults)
    forms = forms or Files()
    if not faults and (file is None or plain(file) != plain(project.file)):
        contents[path] = toml_text(project.file, before), "utf-8"
        _must_read(contents[path][0], project.file, faults)
    for name in TABLES:
        path, form = folder / f"{name}.csv", getattr(project.file.files, name)
        if changed := _table(path, project, name, getattr(forms, name), faults):
            contents[path] = changed, form.encoding
            table_rows(changed, name, form, faults)
    if project.story and project.story != (read_text(folder / STORY, "utf-8", faults) if os.path.lexists(folder / STORY) else ""):
        contents[folder / STORY] = project.story, "utf-8"
    if faults:
        raise ProjectFaults(faults)
    raw = {path: _encoded(path, text, encoding) for path, (text, encoding) in contents.items()}
    with alone(folder):
        finish_alone(folder)
        clear_strays(folder, ("build.toml", STORY, *(f"{name}.csv" for name in TABLES)))
        if project.stamps and _same_place(folder, project.folder):
            now = stamps_of(folder)
            changed = [path.name for path in raw if now.get(path.name) != project.stamps.get(path.name)]
            if changed:
                raise ProjectFaults(Fault(name, 0, "", "must be as it was read, and was changed meanwhile. Read the folder again; nothing was written.") for name in changed)
        replaced = [path for path in raw if path.is_file() and not path.is_symlink()]
        keep(replaced)
        put(raw)
        if project.stamps and _same_place(folder, project.folder):
            project.stamps.update({name: stamp for name, stamp in stamps_of(folder).items() if folder / name in raw})  # who saved it may save it again
    return tuple(path.name for path in raw), tuple(path.name for path in replaced)


def _same_place(folder, other):
    """Whether two names are of one folder, however they are written."""
    return os.path.isdir(folder) and os.path.isdir(other) and os.path.samefile(folder, other)


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
    put({path: _encoded(path, text, encoding)})


def write_new(path, raw):
    """Put a whole new file in place in one step; one that is there is never written over.

    Parameters
    ----------
    path : str or Path
        The file. [-]
    raw : bytes
        All of it. [-]

    Raises
    ------
    ProjectFaults
        If it is there already, its folder is not, or it cannot be written.
    """
    path = Path(path)
    if os.path.lexists(path):
        raise ProjectFaults([Fault(path.name, 0, "", "must be a new file, and is there already. Give another name, or move the old one away.")])
    if not path.parent.is_dir():
        raise ProjectFaults([Fault(path.name, 0, "", f"must go into a folder that is there, got {str(path.parent)!r}. Make that folder first.")])
    put({path: raw})


def _encoded(path, text, encoding):
    """The bytes of a file; a byte order mark stays, because some spreadsheets need it."""
    try:
        with open(path, "rb") as file:
            marked = encoding == "utf-8" and file.read(3) == codecs.BOM_UTF8
    except OSError:
        marked = False
    try:
        return text.encode("utf-8-sig" if marked else encoding)
    except UnicodeEncodeError as trouble:
        message = f"must be {encoding} text, got {text[trouble.start]!r}. Declare another encoding under [files]. The old file is untouched."
        raise ProjectFaults([Fault(path.name, text[: trouble.start].count("\n") + 1, "", message)]) from None


def _must_read(text, file, faults):
    """A fault unless the text gives these records: the guard against a slip in setting one value among remarks."""
    again = build_file(text, faults)[0]
    if again is not None and BuildFile.model_validate(plain(again)) != BuildFile.model_validate(plain(file)):
        faults.append(Fault("build.toml", 0, "", "must read as it was meant once written, and does not. The old file is untouched."))


def _table(path, project, name, old_form, faults):
    """A csv file anew, or an empty text where it can stay as it is."""
    rows, form, there = getattr(project, name), getattr(project.file.files, name), os.path.lexists(path)
    before = read_text(path, old_form.encoding, faults) if there else ""
    old = table_rows(before, name, old_form, faults)
    if any(fault.file == path.name for fault in faults) or not (rows or there):
        return ""
    header = [cell.strip() for cell in next(csv.reader(io.StringIO(before, newline=""), delimiter=old_form.separator), [])]
    fields = TABLES[name].model_fields
    needed = [field for field in fields if field != "row" and (fields[field].is_required() or any(field in row.model_fields_set for row in rows))]
    columns = header + [field for field in needed if field not in header]
    end = "\r\n" if before.partition("\n")[0].endswith("\r") else "\n"
    after = _csv(rows, columns, form, end)
    return after if not there or form != old_form or after != _csv(old, columns, form, end) else ""


def _csv(rows, columns, form, end):
    cells = [columns, *([field_text(row, column, form) for column in columns] for row in rows)]
    return "".join(_csv_line(line, form.separator, end) for line in cells)


def _csv_line(cells, separator, end):
    """One row; the writer puts quotes around a lone carriage return only if that is part of its own line end."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerow(cells)
    return text.getvalue().removesuffix("\r\n") + end


def field_text(row, field, form):
    """What stands in a cell of a row: what its owner wrote; a default nobody wrote stays an empty cell.

    Parameters
    ----------
    row : Row
        Of a csv file. [-]
    field : str
        Name of the column. [-]
    form : CsvForm
        How the file is written. [-]

    Returns
    -------
    str
        Empty where nothing was written. [-]
    """
    return cell_text(getattr(row, field), form) if field in row.model_fields_set else ""


def cell_text(value, form):
    """A value the way a csv file writes it; an estimate keeps the owner's own words.

    Parameters
    ----------
    value : object
        A text, a date, an estimate or None. [-]
    form : CsvForm
        How the file is written. [-]

    Returns
    -------
    str
        Empty for None. [-]
    """
    if value is None:
        return ""
    if isinstance(value, Estimate):
        return _estimate_cell(value, form.decimal)
    if isinstance(value, Decimal):
        return f"{value:f}".replace(".", form.decimal)
    if isinstance(value, dt.date):
        year, month, day = f"{value.year:04}", f"{value.month:02}", f"{value.day:02}"  # strftime gives the year 99 two digits
        return {"ymd": f"{year}-{month}-{day}", "dmy": f"{day}/{month}/{year}", "mdy": f"{month}/{day}/{year}"}[form.date_order]
    return str(value)


def _estimate_cell(value, decimal):
    try:
        if value.text and estimate(value.text, decimal) == value:
            return value.text
    except ValueError:  # written for a file with the other decimal sign
        pass
    parts = [f"{part:f}".replace(".", decimal) for part in (value.low, value.likely, value.high)]
    parts = [part + "0" if twofold_number(part, decimal) else part for part in parts]
    return parts[1] if value.is_sure else "/".join(parts)
