"""The owner's own words, from story.md: paragraphs, lists and headings, where every figure is a name in braces."""

import re
from dataclasses import dataclass

from buildecon.project.faults import Fault, unknown_name
from buildecon.story.telling.blocks import Heading, Points, Says, clean

FILE, LONGEST_LINE = "story.md", 20_000
REFERENCE = re.compile(r"\{([^{}\n]*)\}")
TYPED = "as typed:"  # before a figure that is not the build's own
# A figure that looks like money: with a sign or code beside it, or with thousands set apart.
SIGNS = r"[$€£¥]"
GROUPED = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?"
PLAIN = r"\d+(?:\.\d+)?"


@dataclass(frozen=True)
class Prose:
    """The owner's words, set into the write-up.

    Parameters
    ----------
    opening : tuple
        Blocks before the first heading. [-]
    sections : tuple
        Blocks from the first heading on. [-]
    """

    opening: tuple
    sections: tuple


def prose(text, figures):
    """The words with every figure in its place.

    Parameters
    ----------
    text : str
        story.md. [-]
    figures : dict of str to Figure
        By name. [-]

    Returns
    -------
    Prose
        Blocks of plain text. [-]
    """
    blocks = [_block([REFERENCE.sub(lambda found: _text(found.group(1), figures), line) for line in part]) for part in _parts("\n".join(clean(line, LONGEST_LINE) for line in text.splitlines()))]
    first = next((k for k, block in enumerate(blocks) if isinstance(block, Heading)), len(blocks))
    return Prose(tuple(blocks[:first]), tuple(blocks[first:]))


def prose_faults(text, figures, currency):
    """What is wrong with the words: names that are none, and figures that were typed.

    Parameters
    ----------
    text : str
        story.md. [-]
    figures : dict of str to Figure
        By name. [-]
    currency : str
        Home currency. [-]

    Returns
    -------
    list of Fault
        Each with its line and cure. [-]
    """
    faults = []
    for number, line in enumerate(text.splitlines(), 1):
        for found in REFERENCE.finditer(line):
            name = found.group(1).strip()
            if name not in figures and not name.startswith(TYPED):
                faults.append(Fault(FILE, number, "", f"{{{name}}} {unknown_name(name, figures)}"))
        for typed in _typed(REFERENCE.sub(" ", line), currency, figures):
            faults.append(Fault(FILE, number, "", _cure(typed, figures)))
    return faults


def _typed(line, currency, figures):
    """Figures in a line that look like money, or are one of ours."""
    code, ours = re.escape(currency), {round(abs(one.value)) for one in figures.values() if one.value is not None and abs(one.value) >= 100}
    number = rf"(?:{GROUPED}|{PLAIN})"
    shapes = rf"{SIGNS}\s?{number}|{number}\s?(?:{SIGNS}|{code}\b)|\b{code}\s?{number}|(?<![\w.,]){GROUPED}(?!\w)|(?<![\w.,])\d{{3,}}(?:\.\d+)?(?!\w)"
    found = [one.group(0) for one in re.finditer(shapes, line)]
    return [text for text in found if not re.fullmatch(PLAIN, text) or round(float(text)) in ours]


def _cure(typed, figures):
    value = float(re.sub(r"[^\d.]", "", typed).strip(".") or 0)
    same = [f"{{{one.id}}}" for one in figures.values() if one.value is not None and abs(abs(one.value) - value) < 0.5 and value]
    cure = f"Write {' or '.join(same[:3])}, so that it follows the files." if same else "Write the name of a figure, as {stands_in_at}"
    return f"must hold no typed figure, got {typed.strip()!r}. {cure}" + ("" if same else f", or {{{TYPED} {typed.strip()}}} where it is not this build's own.")


def _text(name, figures):
    name = name.strip()
    if name.startswith(TYPED):
        return name[len(TYPED) :].strip()
    return figures[name].text if name in figures else f"{{{name}}}"


def _parts(text):
    """Lines that belong together: a heading, a list, a paragraph."""
    part = []
    for line in [*text.splitlines(), ""]:
        line = line.strip()
        alone = line.startswith("#")
        if part and (not line or alone or line.startswith("- ") != part[-1].startswith("- ") and not part[0].startswith("- ")):
            yield part
            part = []
        if alone:
            yield [line]
        elif line:
            part = [*part, line]


def _block(lines):
    if lines[0].startswith("#"):
        return Heading(lines[0].lstrip("#").strip(), 2)
    if lines[0].startswith("- "):
        return Points(tuple(item.strip() for item in re.split(r"(?:^|\n)- ", "\n".join(lines))[1:]))
    return Says((" ".join(lines),))
