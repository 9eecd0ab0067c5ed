"""A write-up as Markdown: every sign of the owner's that Markdown would read is set so that it is only read by people."""

import re

from buildecon.story.telling.blocks import Heading, Live, Picture, Points, Says, Sheet
from buildecon.story.words import is_figure

READ = re.compile(r"([\\`*_\[\]~|#$^])")
STARTS = re.compile(r"^(\s*)([-+](?=\s)|[-=]+$|\d+[.)](?=\s))")
LINKS = (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ("@", "&#64;"), ("://", "&#58;//"), ("www.", "www&#46;"), ("WWW.", "WWW&#46;"))


def markdown(blocks, pictures, live):
    """All blocks as one text.

    Parameters
    ----------
    blocks : sequence
        Of a write-up. [-]
    pictures : dict of str to (str, str)
        Alternative text and file by name of a picture; one that is not there is left out. [-]
    live : str
        What to say where a reader could move something. [-]

    Returns
    -------
    str
        Markdown as GitHub and most site builders read it: tables with pipes. [-]
    """
    return "\n\n".join(text for block in blocks if (text := _said(block, pictures, live))) + "\n"


def escaped(text):
    """Text that Markdown leaves alone.

    Parameters
    ----------
    text : str
        On one line. [-]

    Returns
    -------
    str
        The same to a reader. [-]
    """
    text = STARTS.sub(lambda found: f"{found.group(1)}{_start(found.group(2))}", READ.sub(r"\\\1", text.replace("\n", " ")))
    for sign, code in LINKS:
        text = text.replace(sign, code)
    return text


def _start(mark):
    return f"{mark[:-1]}\\{mark[-1]}" if mark[0].isdigit() else f"\\{mark}"


def _said(block, pictures, live):
    if isinstance(block, Heading):
        return f"{'#' * block.level} {escaped(block.text)}"
    if isinstance(block, Says):
        shape = {"lead": "**{}**", "disclosure": "> **{}**", "caution": "> {}"}.get(block.kind, "{}")
        return ("\n>\n" if shape.startswith(">") else "\n\n").join(shape.format(escaped(text)) for text in block.texts if text)
    if isinstance(block, Points):
        return "\n".join(f"- {escaped(text)}" for text in block.texts if text)
    if isinstance(block, Sheet):
        return _table(block)
    if isinstance(block, Picture):
        return "![{}]({})".format(escaped(pictures[block.id][0]), pictures[block.id][1]) if block.id in pictures else ""
    return f"*{escaped(live)}*" if isinstance(block, Live) and live else ""


def _table(sheet):
    columns = [column for column in sheet.rows[0] if any(row[column] for row in sheet.rows)]
    rows = [columns, [":--" if not _is_number(sheet.rows, column) else "--:" for column in columns], *([row[column] for column in columns] for row in sheet.rows)]
    lines = ["| " + " | ".join(cells if k == 1 else map(escaped, cells)) + " |" for k, cells in enumerate(rows)]
    return f"**{escaped(sheet.caption)}**\n\n" + "\n".join(lines)


def _is_number(rows, column):
    return all(is_figure(row[column]) for row in rows)
