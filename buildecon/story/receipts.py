"""What the page of receipts does with an export and with the grid: rows judged, lines checked, and a save that says what it did."""

from collections import Counter
from html import escape

from buildecon.ledger.ladder import ladder
from buildecon.ledger.settlement import settle
from buildecon.project import ProjectFaults
from buildecon.project.exports import COST
from buildecon.project.grid import from_grid, grid_of
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE, judged, taken
from buildecon.project.write import field_text, write_project
from buildecon.story.page import faults_html, list_html
from buildecon.story.words import amount

HOW_TO_TYPE = (
    "Press Enter on a cell or double-click it, then type: typed straight away, the first key may get lost while the cell opens. "
    "Every change is listed below before you save: look at that list. New lines go into the empty rows at the end."
)
WIDTHS = {"row": 60, "what": 150, "why": 320}  # pixels


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


def rows_of(found, verdicts, takeable=None):
    """Judged rows for a table.

    Parameters
    ----------
    found : list of Judged
        The rows. [-]
    verdicts : collection of str
        Which of them. [-]
    takeable : bool, optional
        Only those that can be taken, or cannot; by default all. [-]

    Returns
    -------
    list of dict, or dict of lists
        `row`, what stands in it, and why; only the columns where there is no such row. [-]
    """
    told = ["verdict"] if len(verdicts) > 1 else []
    names = ("item", "paid", "date", "supplier")
    rows = [{"row": each.row, "what": each.cells.get("item", "")} | {name: each.verdict for name in told} | {"why": each.reason} | {name: each.cells.get(name, "") for name in names[1:]} for each in found if each.verdict in verdicts and takeable in (None, bool(each.line or each.event))]
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
    changed = sum(before[id].model_dump() != line.model_dump() for id, line in now.items() if id in before)
    counts = f"{_many(changed, 'line')} changed, {_many(len(now.keys() - before.keys()), 'line')} new, {_many(len(before.keys() - now.keys()), 'line')} gone."
    return after, f"<p>{counts} {_stands(project, after)}</p>{list_html('What saving changes', _changes(project, after))}"


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
        written, replaced = write_project(project)
    except ProjectFaults as trouble:
        return faults_html(trouble)
    if not written:
        return "<p>Nothing has changed, so nothing was written.</p>"
    copy = f" What {' and '.join(replaced)} held before is in before/." if replaced else ""
    return f"<p><b>Saved in {escape(project.folder)}: {' and '.join(written)}.</b>{copy} Read the folder again to go on.</p>"


def _changes(project, after):
    """Every cell that is another now, then the lines that are new or gone."""
    form = project.file.files.lines
    before, now = ({line.id: line for line in one.lines} for one in (project, after))
    said = []
    for id, line in now.items():
        if id not in before:
            written = ", ".join(f"{name} {field_text(line, name, form)}" for name in line.model_fields_set if name not in ("id", "row"))
            said.append(f"line {id}, new: {written}")
            continue
        for name in type(line).model_fields:
            was, text = field_text(before[id], name, form), field_text(line, name, form)
            if name != "row" and was != text:
                said.append(f"line {id}, {name}: {was or 'empty'} -> {text or 'empty'}")
    return said + [f"line {id}, gone: {line.item}" for id, line in before.items() if id not in now]


def _stands(before, after):
    was, now = (ladder(project)["stands_in_at"] for project in (before, after))
    return f"The car stands you in at {amount(now, after.currency, 2)}" + (f", {amount(was, after.currency, 2)} before." if was != now else ", as before.")


def _many(count, word):
    return f"{count} {word}" + ("" if count == 1 else "s")
