"""Starting a project folder from the template."""

import datetime as dt
import os
from importlib.resources import files
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.write import write_text

NAMES = ("build.toml", "lines.csv", "events.csv", "energy.csv", "market.csv", "story.md")


def start_project(folder):
    """Make a project folder with commented placeholder files, which read without a fault.

    Parameters
    ----------
    folder : str or Path
        New, or holding none of the files yet. [-]

    Returns
    -------
    str
        What to do next. [-]

    Raises
    ------
    ProjectFaults
        If one of the files is there already, or the folder cannot be made.
    """
    folder = Path(folder)
    if there := [name for name in NAMES if os.path.lexists(folder / name)]:
        raise ProjectFaults([Fault(name, 0, "", f"must not be in {folder} yet. Choose another folder.") for name in there])
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise ProjectFaults([Fault(str(folder), 0, "", f"must be a folder that can be made, got {trouble.strerror!r}.")]) from None
    for name in NAMES:
        text = (files("buildecon.project") / "template" / name).read_text(encoding="utf-8")
        write_text(folder / name, text.replace("as_of = 2026-01-31", f"as_of = {max(dt.date.today(), dt.date(2026, 1, 31))}"))  # receipts of this week are not of the future
    return f"{folder} is ready, with placeholders. Change build.toml and lines.csv, then run: buildecon check {folder}"
