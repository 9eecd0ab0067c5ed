"""lines.csv as a grid of texts, to be edited in a page and read back by the same rules as the file."""

import csv
import io
from dataclasses import replace

from buildecon.project.consistency import consistency_faults
from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.read import table_rows
from buildecon.project.rows import Line
from buildecon.project.write import field_text

EMPTY = "\u00a0"  # a page writes "null" where a text is really empty
BLANK = 5  # empty rows for new lines
LINE = "line"  # which line of lines.csv a row is; not a column of the file
SHOWN = ("id", "system", "item", "nature", "cause", "planned", "paid", "to_finish", "date", "supplier", "order", "grade", "state", "return_by", "note")


def grid_of(project):
    """The lines of a project as text, the way the file writes them.

    Parameters
    ----------
    project : Project
        With its lines. [-]

    Returns
    -------
    list of dict of str to str
        A row a line, with its number in the file; the usual columns first, then every other that is used; `EMPTY` where nothing is. [-]
    """
    form = project.file.files.lines
    used = {name for line in project.lines for name in line.model_fields_set}
    columns = [*SHOWN, *(name for name in Line.model_fields if name in used and name not in (*SHOWN, "row"))]
    return [{LINE: str(line.row or k)} | {name: field_text(line, name, form) or EMPTY for name in columns} for k, line in enumerate(project.lines, start=2)]


def with_blank_rows(rows):
    """A grid with a few rows at its end for new lines; a row that a page adds by itself says "null" in every cell.

    Parameters
    ----------
    rows : list of dict
        From `grid_of`. [-]

    Returns
    -------
    list of dict
        Those, and the empty ones; an empty one left empty is no line. [-]
    """
    return [*rows, *({name: EMPTY for name in rows[0]} for _ in range(BLANK))] if rows else []


def from_grid(project, rows):
    """A project with its lines as a grid has them.

    Parameters
    ----------
    project : Project
        As it was read. [-]
    rows : sequence of dict
        Texts by column, as from `grid_of`, some changed; a row without any text is left out. [-]

    Returns
    -------
    Project
        Not yet written. [-]

    Raises
    ------
    ProjectFaults
        With every fault, by line of the file and column.
    """
    form, faults = project.file.files.lines, []
    texts = [{name: _text(value) for name, value in row.items()} for row in rows]
    texts = [row for row in texts if any(value for name, value in row.items() if name != LINE)]
    if not texts:
        raise ProjectFaults([Fault("lines.csv", 0, "", "must keep at least one line, the base car. Nothing was changed.")])
    columns = list(dict.fromkeys(name for row in texts for name in row if name != LINE))
    page, numbers = io.StringIO(newline=""), {}
    writer = csv.writer(page, delimiter=form.separator)
    writer.writerow(columns)
    for row in texts:
        numbers[page.getvalue().count("\n") + 1] = int(row.get(LINE) or 0)
        writer.writerow([row.get(name, "") for name in columns])
    lines = table_rows(page.getvalue(), "lines", form, faults)
    # Its own stamps: saving it shall not let an older copy of the project be saved over it.
    after = project.model_copy(update={"lines": tuple(lines), "stamps": dict(project.stamps)})
    faults = faults or consistency_faults(after, lambda *keys: 0)
    if faults:  # by the lines that the grid shows, not those of the page it was put on
        raise ProjectFaults(replace(fault, line=numbers.get(fault.line, 0) or fault.line) if fault.file == "lines.csv" else fault for fault in faults)
    return after


def _text(value):
    """A cell as the page gives it back: an empty one may be nothing at all."""
    return "" if value is None or value != value else str(value).strip()
