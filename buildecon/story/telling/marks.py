"""Marks of Markdown that mean nothing in story.md: a reader would see them as they were typed."""

import re

WORD = r"[^\s*_~`]"
# What it is called, how it is told, and what to do instead; the first that is found is told.
MARKS = (
    ("a picture", r"!\[[^\]]*\]\s?[(\[][^)\]]*[)\]]|<img\b[^>]*>?", "Take it out; the pictures are made from the figures."),
    ("a link", r"\[[^\]]+\]\s?\([^)]*\)|\[[^\]]+\]\[[^\]]*\]|^\s*\[[^\]]+\]:\s*\S+|<(?:https?|mailto):[^>\s]*>|<a\s[^>]*>?", "Write the address as text."),
    ("a table", r"^\s*\|.*|.*\|\s*$|^[\s:|-]*-{3}[\s:-]*\|[\s:|-]*$", "Write its rows as a list."),
    ("a quote", r"^\s*>.*", "Write it as a paragraph, with quotation marks."),
    ("code", r"^\s*(?:`{3}|~{3}).*|`[^`]+`", "Write it as plain text."),
    ("a list with another sign", r"^\s*[*+]\s+\S.*", "Begin its lines with '- '."),
    ("bold or slanted text", rf"(?<![\w*])(\*{{1,3}}){WORD}(?:[^*]*{WORD})?\1(?![\w*])|(?<![\w_])(_{{1,3}}){WORD}(?:.*?{WORD})?\2(?![\w_])|~~{WORD}[^~]*~~", "Write it without the signs around it."),
)  # fmt: skip
SHOWN = 60  # characters of what was found


def mark_in(line):
    """The first mark in a line that is no paragraph, list or heading.

    Parameters
    ----------
    line : str
        Of story.md. [-]

    Returns
    -------
    tuple of (str, str) or None
        What it is, with its text, and what to do instead; None where there is none. A star or an underline inside a word is none. [-]
    """
    for name, shape, cure in MARKS:
        if found := re.search(shape, line):
            text = " ".join(found.group(0).split())
            return f"{name}, {text[:SHOWN]!r}", cure
    return None
