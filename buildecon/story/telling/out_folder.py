"""The folder that is published to: which is no place for it, and what in it is ours to write over."""

import os
import re
from pathlib import Path

from buildecon.story.page import PAGES
from buildecon.story.telling.drawn.frames import IDS
from buildecon.story.telling.published_words import OURS, READ_ME

FRAME = re.compile(rf"\d\d-({'|'.join(IDS)})\.(svg|png)")  # frames of an earlier time, in another place of the row or gone; a picture of the owner's stays
SHAPES = {"wide": "frames", "tall": "frames-upright", "square": "pictures"}


def has_pages(out):
    """Whether a folder that was published to has still pages in it, which are then made again.

    Parameters
    ----------
    out : str or Path
        The folder; it may not be there. [-]

    Returns
    -------
    bool
        False in a folder that is not ours. [-]
    """
    return _is_ours(Path(out)) and any((Path(out) / "pages" / f"{name}.html").is_file() for name in PAGES)


def no_place(out, home):
    """Why a folder is no place to publish to.

    Parameters
    ----------
    out, home : Path
        The folder, and that of the project; both resolved. [-]

    Returns
    -------
    str
        The rule and the cure; empty where it is one. [-]
    """
    if home in (out, *out.parents):
        return "must be a folder outside the project folder, whose files are private. Give another."
    if out in home.parents:
        return f"must be a folder of its own, and it holds the project folder {home.name!r}. Give another, as one beside the project folder."
    return ""


def in_the_way(out, contents):
    """Why what is there cannot be written over: files of our names that are not ours, and pages that are not made this time.

    Parameters
    ----------
    out : Path
        The folder; it may not be there. [-]
    contents : sequence of str
        Places of the files that are to be written. [-]

    Returns
    -------
    str
        The rule, what is there and the cure; empty where nothing is in the way. [-]
    """
    if _is_ours(out):
        return "" if not has_pages(out) or any(name.startswith("pages/") for name in contents) else "must have its pages/ made again, which show the figures of the last time. Publish with --pages, or delete pages/ there."
    found = next((name for name in contents if os.path.lexists(out / name)), None)
    frames = (f"{folder}/{old.name}" for folder in SHAPES.values() if (out / folder).is_dir() for old in sorted((out / folder).iterdir()) if FRAME.fullmatch(old.name))
    found = found or next(frames, None)
    return f"must be a folder without files of our names in it, unless buildecon publish wrote them, got {found!r} and no {READ_ME} of ours. Give another folder, or move that file." if found else ""


def _is_ours(out):
    """Whether an earlier publishing has signed the folder."""
    try:
        return OURS in (out / READ_ME).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:  # no such file, no such folder, or none that may be read: putting the files in place tells which
        return False
