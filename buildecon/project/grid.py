"""lines.csv as a grid of texts, to be edited in a page and read back by the same rules as the file."""

import csv
import io

from buildecon.project.consistency import consistency_faults
from buildecon.project.faults import ProjectFaults
from buildecon.project.read import table_rows
from buildecon.project.rows import Line
from buildecon.project.write import cell_text

EMPTY = "\u00a0"  # a page writes "null" where a text is really empty
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
    return [{LINE: str(k)} | {name: cell_text(getattr(line, name), form) or EMPTY for name in columns} for k, line in enumerate(project.lines, start=2)]


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
    texts = [{name: _text(value) for name, value in row.items() if name != LINE} for row in rows]
    texts = [row for row in texts if any(row.values())]
    columns = list(dict.fromkeys(name for row in texts for name in row))
    page = io.StringIO(newline="")
    writer = csv.writer(page, delimiter=form.separator)
    writer.writerows([columns, *([row.get(name, "") for name in columns] for row in texts)])
    lines = table_rows(page.getvalue(), "lines", form, faults)
    if faults:
        raise ProjectFaults(faults)
    # Its own stamps: saving it shall not let an older copy of the project be saved over it.
    after = project.model_copy(update={"lines": tuple(lines), "stamps": dict(project.stamps)})
    if faults := consistency_faults(after, lambda *keys: 0):
        raise ProjectFaults(faults)
    return after


def _text(value):
    """A cell as the page gives it back: an empty one may be nothing at all."""
    return "" if value is None or value != value else str(value).strip()
