"""The form in which an export is told to the page of receipts: how the file is written and what its columns mean."""

from pathlib import Path

from buildecon.project import ProjectFaults
from buildecon.project.exports import suggested, table_of
from buildecon.project.forms import CsvForm, Source
from buildecon.story.page import faults_html, missing_html

NEW = "a new kind"
NONE = "no column"
ORDERS = {"year first, 2026-06-30": "ymd", "day first, 30/06/2026": "dmy", "month first, 06/30/2026": "mdy"}
HOLDS = {"things bought: orders, lists": "purchases", "money paid: card or bank": "payments", "events of known lines": "events"}
# The columns a page asks for; any other that a mapping has stays as it is.
ASKED_FOR = ("paid", "date", "item", "supplier", "order", "part_number", "system", "nature", "currency", "line", "kind", "note")


def kinds(project):
    """Kinds of export that the project knows, and a new one.

    Parameters
    ----------
    project : Project
        With its `[[sources]]`. [-]

    Returns
    -------
    list of str
        Names; the new one first. [-]
    """
    return [NEW, *(source.name for source in project.file.sources)]


def first_mapping(project, kind, name, file, raw):
    """The mapping of an export: the one kept for its kind, or a first guess at a new one.

    Parameters
    ----------
    project : Project
        With its `[[sources]]`. [-]
    kind, name : str
        A name that is kept, or `NEW` and what to call it. [-]
    file : str or None
        Name of the file; None before one is chosen. [-]
    raw : bytes or None
        All of it. [-]

    Returns
    -------
    source : Source or None
        None where there is no file, or none that can be read. [-]
    said : str
        Html: what is wrong, or what to do. [-]
    """
    if not file:
        return None, "<p>Choose a file above: an order export, a card or bank statement, or your own list.</p>"
    name = kind if kind != NEW else name.strip() or Path(file).stem
    kept = next((source for source in project.file.sources if source.name == name), None)
    try:
        return kept or suggested(file, name, raw), ""
    except ProjectFaults as trouble:
        return None, faults_html(trouble)


def form_values(source):
    """Where the controls of how a file is written stand at first.

    Parameters
    ----------
    source : Source
        A mapping. [-]

    Returns
    -------
    dict of str to str
        By key of the control. [-]
    """
    dates = {order: words for words, order in ORDERS.items()}
    return {"date_order": dates[source.date_order]} | {name: getattr(source, name) for name in ("decimal", "encoding", "separator", "spent")}


def choices(field):
    """What a key of a mapping can be.

    Parameters
    ----------
    field : str
        A key of Source. [-]

    Returns
    -------
    dict or list of str
        Options of a control. [-]
    """
    return ORDERS if field == "date_order" else list(CsvForm.model_fields[field].annotation.__args__)


def table(source, written, file, raw):
    """Header and rows of the file, written as the controls say.

    Parameters
    ----------
    source : Source
        The mapping to start from. [-]
    written : dict
        Values of the controls: encoding, separator, decimal, date_order, spent, skip. [-]
    file : str
        Its name. [-]
    raw : bytes
        All of it. [-]

    Returns
    -------
    source : Source or None
        With the controls in it. [-]
    columns : list of str
        Names of its columns, after `NONE`. [-]
    sheet : tuple
        Its header, and its rows as row number and cells. [-]
    said : str
        Html of what is wrong. [-]
    """
    source = source.model_copy(update=dict(written))
    try:
        header, rows = table_of(file, source, raw)
    except ProjectFaults as trouble:
        return None, [NONE], ((), []), faults_html(trouble)
    return source, [NONE, *dict.fromkeys(name for name in header if name)], (header, rows), ""


def holds(source):
    """What a mapping's file tells of, in words.

    Parameters
    ----------
    source : Source
        The mapping. [-]

    Returns
    -------
    str
        A key of `HOLDS`. [-]
    """
    return next(words for words, kind in HOLDS.items() if kind == source.holds)


def rate(source):
    """The rate of a mapping, as text.

    Parameters
    ----------
    source : Source
        The mapping. [-]

    Returns
    -------
    str
        Empty where it has none. [-]
    """
    return "" if source.rate is None else f"{source.rate.likely:f}"


def column(source, columns, meaning):
    """Which column a control stands at first.

    Parameters
    ----------
    source : Source
        The mapping. [-]
    columns : list of str
        Of the file. [-]
    meaning : str
        Our name of the column. [-]

    Returns
    -------
    str
        A column of the file, or `NONE`. [-]
    """
    return source.columns.get(meaning) if source.columns.get(meaning) in columns else NONE


def mapping(source, columns, turned):
    """The mapping with what the controls say in it.

    Parameters
    ----------
    source : Source
        To start from. [-]
    columns : list of str
        Of the file. [-]
    turned : dict
        Values of the controls: a column for each meaning, and holds, of_system, of_nature, of_currency, at_rate. [-]

    Returns
    -------
    mapped : Source or None
        None where something is missing. [-]
    said : str
        Html of what is missing. [-]
    """
    kept = {meaning: name for meaning, name in source.columns.items() if meaning not in ASKED_FOR and name in columns}
    chosen = {meaning: turned[meaning] for meaning in ASKED_FOR if turned[meaning] != NONE}
    values = source.model_dump() | {
        "columns": {meaning: name for meaning, name in kept.items() if name not in chosen.values()} | chosen,
        "holds": turned["holds"], "system": turned["of_system"].strip(), "nature": turned["of_nature"],
        "currency": turned["of_currency"].strip().upper(), "rate": None if not turned["at_rate"].strip() else _number(turned["at_rate"]),
    }  # fmt: skip
    try:
        return Source.model_validate(values), ""
    except ValueError as trouble:
        return None, missing_html(trouble)


def _number(text):
    from buildecon.quantities.estimate import estimate

    try:
        return estimate(text.strip(), "," if "," in text else ".")
    except ValueError:
        return text
