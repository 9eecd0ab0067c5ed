"""Reading an export as it comes: a csv in any form, or a sheet; and a first mapping of it, to be confirmed."""

import csv
import datetime as dt
import io
import re
from decimal import Decimal
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.forms import MEANINGS, Source
from buildecon.project.read import LARGEST_FILE

COST = "cost"  # the column of a sheet of `buildecon cost`: what a line has cost in the end, all its payments and refunds together

# What exports call their columns, for a first mapping that the owner confirms.
NAMES = {
    "date": ("date", "order date", "booking date", "posted", "transaction date", "when", "datum", "bestelldatum", "buchungstag", "besteldatum", "fecha"),
    "paid": ("amount", "paid", "price", "total", "line total", "money", "betrag", "preis", "summe", "bedrag", "bedrag (eur)", "prijs", "importe", "precio", COST),
    "item": ("item", "description", "article", "product", "what", "artikel", "bezeichnung", "beschreibung", "omschrijving", "concepto"),
    "supplier": ("supplier", "shop", "seller", "merchant", "payee", "where", "name", "händler", "haendler", "empfänger", "leverancier", "winkel", "tienda"),
    "order": ("order", "order number", "order no", "bestellnummer", "bestelnummer", "pedido"),
    "part_number": ("part number", "part no", "sku", "teilenummer", "artikelnummer", "article no", "article number", "referencia"),
    "currency": ("currency", "währung", "valuta", "moneda"),
    "note": ("note", "notes", "notiz", "opmerking", "nota"),
}
DATES = {"ymd": r"\d{4}-\d\d?-\d\d?", "dmy": r"\d\d?[./-]\d\d?[./-]\d{4}"}


def table_of(path, source=None, raw=None):
    """Header and rows of an export.

    Parameters
    ----------
    path : str or Path
        A .csv or .xlsx file; of a workbook, the first sheet. [-]
    source : Source, optional
        How it is written; by default as it looks. [-]
    raw : bytes, optional
        The file, where it is not on the disk. [-]

    Returns
    -------
    header : list of str
        Names of the columns. [-]
    rows : list of (int, list of str)
        Row number, counted from 1, and cells as text. [-]

    Raises
    ------
    ProjectFaults
        If it cannot be read.
    """
    path = Path(path)
    if raw is None and path.is_dir():
        raise ProjectFaults([Fault(str(path), 0, "", "must be a file, got a folder.")])
    if raw is None:
        try:
            raw = path.read_bytes()
        except OSError as trouble:
            raise ProjectFaults([Fault(path.name, 0, "", f"must be a file that can be read, got {trouble.strerror!r}.")]) from None
    if len(raw) > LARGEST_FILE:
        raise ProjectFaults([Fault(path.name, 0, "", f"must be at most {LARGEST_FILE / 1e6:.0f} MB, got {len(raw) / 1e6:.0f} MB. Export fewer months at once.")])
    _no_picture(path, raw)
    source = source or _look(path, raw)
    rows = _sheet(path, raw, source) if path.suffix.lower() == ".xlsx" else _csv(path, raw, source)
    rows = rows[source.skip :]
    if not rows:
        raise ProjectFaults([Fault(path.name, 0, "", "must have a header and rows, and is empty.")])
    return [cell.strip() for cell in rows[0][1]], rows[1:]


def suggested(path, name, raw=None):
    """A first mapping of an export, from its header and the look of its cells; to be shown and confirmed.

    Parameters
    ----------
    path : str or Path
        The export. [-]
    name : str
        What to call its kind. [-]
    raw : bytes, optional
        The file, where it is not on the disk. [-]

    Returns
    -------
    Source
        The mapping. [-]

    Raises
    ------
    ProjectFaults
        If the file cannot be read, or no column looks like money.
    """
    path = Path(path)
    raw = path.read_bytes() if raw is None and path.is_file() else raw
    if raw is not None:
        _no_picture(path, raw)
    form = _look(path, raw) if raw is not None else None
    header, rows = table_of(path, form, raw)
    lower = [cell.casefold() for cell in header]
    names = {meaning: (*NAMES.get(meaning, ()), meaning, meaning.replace("_", " ")) for meaning in MEANINGS}
    first = {meaning: next((known for known in names[meaning] if known in lower), None) for meaning in MEANINGS}
    columns = {meaning: header[lower.index(known)] for meaning, known in first.items() if known}
    if "paid" not in columns or not ({"item", "date"} & set(columns)):
        known = "; ".join(header)
        raise ProjectFaults([Fault(path.name, form.skip + 1, "", f"must have columns for an amount and an article or a date, got {known}. Write [[sources]] in build.toml and say which they are.")])
    cells = {meaning: [row[header.index(column)].strip() for _, row in rows if len(row) == len(header)] for meaning, column in columns.items()}
    amounts = [cell for cell in cells["paid"] if re.search(r"\d", cell)]
    comma, point = (sum(bool(re.search(rf"{mark}\d{{1,2}}\D*$", cell)) for cell in amounts) for mark in (",", r"\."))
    holds = "purchases" if "item" in columns and {"order", "part_number", "system"} & set(columns) else "payments"
    if holds == "payments" and "date" not in columns:
        holds = "purchases"
    natures = cells.get("nature") or [""] * len(cells["paid"])
    amounts = [cell for cell, nature in zip(cells["paid"], natures, strict=True) if re.search(r"\d", cell) and nature != "credit"]
    negative = sum(bool(re.match(r"[-\u2212(]", cell) or re.search(r"[-\u2212]$", cell)) for cell in amounts)
    to_sort = {"system": "To sort", "nature": "part"} if not {"system", "nature"} <= set(columns) else {}
    return Source(
        name=name, holds=holds, columns=columns, spent="negative" if 2 * negative > len(amounts) else "positive",
        decimal="," if comma > point else ".", date_order=_order(cells.get("date", ())),
        encoding=form.encoding, separator=form.separator, skip=form.skip, **to_sort,
    )  # fmt: skip


def _no_picture(path, raw):
    """A photograph of a receipt is no list of rows, whatever its name ends in."""
    if raw.startswith((b"\x89PNG", b"\xff\xd8\xff", b"%PDF", b"GIF8")):
        raise ProjectFaults([Fault(path.name, 0, "", "must be a csv file or a workbook, got a picture or a PDF. Write its figures down as rows.")])


def _order(cells):
    dated = [cell for cell in cells if re.search(r"\d", cell)]
    if sum(bool(re.fullmatch(DATES["ymd"], cell)) for cell in dated) * 2 >= len(dated):
        return "ymd"
    firsts = [[int(part) for part in re.findall(r"\d+", cell)[:2]] for cell in dated if re.fullmatch(DATES["dmy"], cell)]
    months_first = sum(len(pair) == 2 and pair[1] > 12 for pair in firsts)
    return "mdy" if months_first > sum(pair[0] > 12 for pair in firsts) else "dmy"


def _look(path, raw):
    """Encoding, separator and lines above the header, as the file looks."""
    if path.suffix.lower() == ".xlsx":
        rows = _sheet(path, raw, Source.model_construct(decimal=".", date_order="ymd"))
        return Source.model_construct(name="", columns={}, encoding="utf-8", separator=",", decimal=".", date_order="ymd", skip=_above([row for _, row in rows]))
    encoding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8"
    try:
        text = raw.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError:
        encoding, text = "cp1252", raw.decode("cp1252", errors="replace")
    lines = [line for line in text.splitlines()[:40] if line.strip()]
    separator = max((";", "\t", ","), key=lambda mark: sum(line.count(mark) for line in lines))
    try:
        rows = list(csv.reader(io.StringIO(text[:20000], newline=""), delimiter=separator))
    except csv.Error as trouble:
        raise ProjectFaults([Fault(path.name, 0, "", f"must be csv; {trouble}.")]) from None
    return Source.model_construct(name="", columns={}, encoding=encoding, separator=separator, decimal=".", date_order="ymd", skip=_above(rows[:40]))


def _above(rows):
    """How many lines stand above the header: those with fewer filled cells than most rows have."""
    widths = [sum(bool(cell.strip()) for cell in row) for row in rows]
    usual = max(widths, default=0)
    return next((k for k, width in enumerate(widths) if width > usual / 2), 0)


def _csv(path, raw, source):
    try:
        text = raw.decode("utf-8-sig" if source.encoding == "utf-8" else source.encoding)
        return list(enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=source.separator, strict=True), start=1))
    except UnicodeDecodeError as trouble:
        line = raw[: trouble.start].count(b"\n") + 1
        raise ProjectFaults([Fault(path.name, line, "", f"must be {source.encoding} text, got byte 0x{raw[trouble.start]:02x}. Declare its encoding for the source.")]) from None
    except csv.Error as trouble:
        raise ProjectFaults([Fault(path.name, 0, "", f"must be csv with {source.separator!r} between cells; {trouble}.")]) from None


def _sheet(path, raw, source):
    import openpyxl

    try:
        book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        return [(k, [_text(cell, source) for cell in row]) for k, row in enumerate(book.worksheets[0].iter_rows(values_only=True), start=1)]
    except Exception as trouble:  # the library raises a dozen kinds on a broken file
        raise ProjectFaults([Fault(path.name, 0, "", f"must be a workbook, and cannot be opened as one: {str(trouble)[:80]}.")]) from None


def _text(value, source):
    """A cell of a sheet as the declared form writes it."""
    if value is None:
        return ""
    if isinstance(value, dt.datetime | dt.date):
        return value.strftime({"ymd": "%Y-%m-%d", "dmy": "%d/%m/%Y", "mdy": "%m/%d/%Y"}[source.date_order])
    if isinstance(value, float):
        return _figure(value).replace(".", source.decimal)
    return str(value)


def _figure(value):
    """A number of a sheet with at least two decimals, and never with three, which could be read as thousands."""
    if value == round(value, 2):
        return f"{value:.2f}"
    text = f"{Decimal(f'{value:.15g}'):f}"
    return text + "0" if len(text.partition(".")[2]) == 3 else text
