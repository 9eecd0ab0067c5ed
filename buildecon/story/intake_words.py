"""What became of the rows of an export, in words."""

from collections import Counter

from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE
from buildecon.project.toml import plain

TOLD = {
    "purchases": "Each row is taken for something bought, planned or given, and becomes a line.",
    "payments": "It is taken for a card or bank statement: each row is looked for in the ledger, and asked about if it is not there.",
    "events": "Each row is taken for money that moved on a line that is there already.",
}


def mapping_text(source, file="", header=()):
    """A mapping as it would stand in build.toml, with what to do next.

    Parameters
    ----------
    source : Source
        The mapping. [-]
    file : str, optional
        The export; nothing is said of what comes next without it. [-]
    header : sequence of str, optional
        Its columns, to say which are not read. [-]

    Returns
    -------
    str
        TOML, and a sentence around it. [-]
    """
    import tomlkit

    text = tomlkit.dumps({"sources": [plain(source)]}).strip()
    if not file:
        return text
    unread = [name for name in header if name and name not in source.columns.values()]
    left = f" Not read: {', '.join(unread)}." if unread else ""
    return (
        f"{file} would be read like this, for there is no source {source.name!r} yet:\n\n{text}\n\n{TOLD[source.holds]}{left}\n\n"
        "Add --confirm to keep it in build.toml, or put it there yourself with what is wrong in it changed. Nothing was written."
    )


def intake_text(found, also, saved):
    """Every row that was not simply accepted, with its reason, under a count.

    Parameters
    ----------
    found : list of Judged
        The rows. [-]
    also : collection of int
        Rows asked about that were taken. [-]
    saved : bool
        Whether they were written. [-]

    Returns
    -------
    str
        Lines of text. [-]
    """
    counts = Counter(each.verdict for each in found)
    head = f"{len(found)} {'row' if len(found) == 1 else 'rows'}: " + ", ".join(f"{counts[verdict]} {verdict}" for verdict in (ACCEPTED, THERE, ASKED, REJECTED)) + "."
    rows = []
    for verdict in (ASKED, REJECTED, THERE, ACCEPTED):
        told = [each for each in found if each.verdict == verdict and (each.reason or verdict == ACCEPTED)]
        rows += ["", f"{verdict.capitalize()}:"] if told else []
        rows += [f"  row {each.row}: {_shown(each)}{' Taken.' if each.row in also else ''}{' ' + each.reason if each.reason else ''}{_cure(each)}" for each in told]
    none = not any(each.verdict == ACCEPTED or each.row in also for each in found)
    if saved and none:
        return "\n".join([head, *rows, "", "No row was new, so none was written."])
    end = "Saved; a copy of each file that was replaced is in before/." if saved else "No row was written. Add --save to write what is accepted, and --take ROWS for what was asked about."
    return "\n".join([head, *rows, "", end])


def intake_document(found, also, saved):
    """The same as an object.

    Parameters
    ----------
    found : list of Judged
        The rows. [-]
    also : collection of int
        Rows asked about that were taken. [-]
    saved : bool
        Whether they were written. [-]

    Returns
    -------
    dict
        `format`, `saved` and `rows`, each with `row`, `verdict`, `reason`, `cells` and `taken`. [-]
    """
    rows = [{"row": each.row, "verdict": each.verdict, "reason": each.reason, "cells": each.cells, "taken": each.verdict == ACCEPTED or each.row in also} for each in found]
    return {"format": "buildecon.import/1", "saved": saved, "rows": rows}


def _cure(each):
    return " It cannot be taken as it is: put it right in the file or the ledger." if each.verdict == ASKED and not (each.line or each.event) else ""


def _shown(each):
    return ", ".join(each.cells[name] for name in ("date", "supplier", "item", "line", "kind", "paid") if each.cells.get(name)) + "."
