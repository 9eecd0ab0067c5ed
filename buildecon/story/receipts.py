"""What the page of receipts needs: a mapping to start from, rows judged, lines edited, and a save that says what it did."""

from collections import Counter
from html import escape
from pathlib import Path

from buildecon.ledger.ladder import ladder
from buildecon.ledger.settlement import settle
from buildecon.project import ProjectFaults
from buildecon.project.exports import COST, suggested, table_of
from buildecon.project.forms import CsvForm, Source
from buildecon.project.grid import from_grid, grid_of
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE, judged, taken
from buildecon.project.write import write_project
from buildecon.story.words import amount

NEW = "a new kind"
NONE = "-"
WIDTHS = {"row": 60, "what": 150, "why": 320}  # pixels
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
    kept = next((source for source in project.file.sources if source.name == (kind if kind != NEW else name)), None)
    try:
        return kept or suggested(file, name or Path(file).stem, raw), ""
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
        Names of its columns, after `-` for none. [-]
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


def editable(project, fixed):
    """Columns of the grid that can be typed in.

    Parameters
    ----------
    project : Project
        With its lines. [-]
    fixed : str
        The one that cannot. [-]

    Returns
    -------
    list of str
        All others. [-]
    """
    return [name for name in next(iter(grid_of(project)), {}) if name != fixed]


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
        A column of the file, or `-`. [-]
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
    from buildecon.story.page import missing_html

    kept = {meaning: name for meaning, name in source.columns.items() if meaning not in ASKED_FOR and name in columns}
    chosen = {meaning: turned[meaning] for meaning in ASKED_FOR if turned[meaning] != NONE}
    values = source.model_dump() | {
        "columns": {meaning: name for meaning, name in kept.items() if name not in chosen.values()} | chosen,
        "holds": turned["holds"], "system": turned["of_system"].strip(), "nature": turned["of_nature"].replace(NONE, ""),
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


def found_in(project, source, sheet):
    """Every row of an export, judged.

    Parameters
    ----------
    project : Project
        The ledger as it stands. [-]
    source : Source
        The mapping. [-]
    sheet : tuple
        Header and rows of the file. [-]

    Returns
    -------
    found : list of Judged
        One for each row. [-]
    said : str
        Html: the counts, or what is wrong. [-]
    """
    costs = {one.line.id: one.cost for one in settle(project)} if source.columns["paid"] == COST else None
    try:
        found = judged(project, source, *sheet, costs)
    except ProjectFaults as trouble:
        return [], faults_html(trouble)
    counts = Counter(each.verdict for each in found)
    return found, f"<p><b>{len(found)} rows:</b> " + ", ".join(f"{counts[verdict]} {verdict}" for verdict in (ACCEPTED, THERE, ASKED, REJECTED)) + ".</p>"


def rows_of(found, verdicts):
    """Judged rows for a table.

    Parameters
    ----------
    found : list of Judged
        The rows. [-]
    verdicts : collection of str
        Which of them. [-]

    Returns
    -------
    list of dict, or dict of lists
        `row`, what stands in it, and why; only the columns where there is no such row. [-]
    """
    told = ["verdict"] if len(verdicts) > 1 else []
    names = ("item", "paid", "date", "supplier")
    rows = [{"row": each.row, "what": each.cells.get("item", "")} | {name: each.verdict for name in told} | {"why": each.reason} | {name: each.cells.get(name, "") for name in names[1:]} for each in found if each.verdict in verdicts]
    return rows or {name: [] for name in ("row", "what", *told, "why", *names[1:])}


def with_rows(project, source, found, chosen):
    """The project with the accepted rows, those chosen, and the mapping in it; not yet written.

    Parameters
    ----------
    project : Project
        As it was read. [-]
    source : Source
        The mapping, kept under its name. [-]
    found : list of Judged
        The rows. [-]
    chosen : list of dict, or dict of lists
        Rows of `rows_of` that are to be taken too. [-]

    Returns
    -------
    after : Project or None
        None where the ledger would not hold together. [-]
    said : str
        Html: what will be added, or what is wrong. [-]
    """
    try:
        after = taken(project, found, [row["row"] for row in chosen] if isinstance(chosen, list) else [])
    except ProjectFaults as trouble:
        return None, faults_html(trouble)
    sources = (*(one for one in project.file.sources if one.name != source.name), source)
    file = after.file.model_copy(update={"sources": sources})
    file.model_fields_set.add("sources")
    after = after.model_copy(update={"file": file})
    lines, events = len(after.lines) - len(project.lines), len(after.events) - len(project.events)
    return after, f"<p>Saving adds {_many(lines, 'line')} and {_many(events, 'event')}, and keeps the mapping as {escape(source.name)}. {_stands(project, after)}</p>"


def edited(project, rows):
    """The project as the grid has it, checked like the file; not yet written.

    Parameters
    ----------
    project : Project
        As it was read. [-]
    rows : list of dict
        Of the grid. [-]

    Returns
    -------
    after : Project or None
        None where something is to be put right. [-]
    said : str
        Html: what has changed, or every fault. [-]
    """
    try:
        after = from_grid(project, rows)
    except ProjectFaults as trouble:
        return None, faults_html(trouble)
    before = {line.id: line for line in project.lines}
    now = {line.id: line for line in after.lines}
    changed = sum(before[id] != line for id, line in now.items() if id in before)
    counts = f"{_many(changed, 'line')} changed, {_many(len(now.keys() - before.keys()), 'line')} new, {_many(len(before.keys() - now.keys()), 'line')} gone."
    return after, f"<p>{counts} {_stands(project, after)}</p>"


def saved(project):
    """Write a project and say how it went.

    Parameters
    ----------
    project : Project or None
        To be written. [-]

    Returns
    -------
    str
        Html. [-]
    """
    if project is None:
        return "<p>Nothing was saved: put right what is named above first.</p>"
    try:
        write_project(project)
    except ProjectFaults as trouble:
        return faults_html(trouble)
    return f"<p><b>Saved in {escape(project.folder)}.</b> A copy of each file that was replaced is in before/. Read the folder again to go on.</p>"


def faults_html(trouble):
    """Faults as a list.

    Parameters
    ----------
    trouble : ProjectFaults
        Any number of them. [-]

    Returns
    -------
    str
        Html; the first twenty. [-]
    """
    items = "".join(f"<li>{escape(str(fault))}</li>" for fault in trouble.faults[:20])
    more = len(trouble.faults) - 20
    return f'<ul class="cautions">{items}</ul>' + (f"<p>And {more} more.</p>" if more > 0 else "")


def _stands(before, after):
    was, now = (ladder(project)["stands_in_at"] for project in (before, after))
    return f"The car stands you in at {amount(now, after.currency, 2)}" + (f", {amount(was, after.currency, 2)} before." if was != now else ", as before.")


def _many(count, word):
    return f"{count} {word}" + ("" if count == 1 else "s")
