"""The owner's own words, from story.md: paragraphs, lists and headings, where every figure is a name in braces."""

import re
from dataclasses import dataclass

from buildecon.project.faults import Fault, unknown_name
from buildecon.story.telling.blocks import Heading, Points, Says, clean
from buildecon.story.telling.marks import mark_in
from buildecon.story.telling.typed_figures import near, typed_figures, value_of

FILE, LONGEST_LINE = "story.md", 20_000
REFERENCE = re.compile(r"\{([^{}\n]*)\}")
TYPED = "as typed:"  # before a figure that is not the build's own


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
    """What is wrong with the words: names that are none, figures that were typed, and marks that would be shown as they stand.

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
        faults += (Fault(FILE, number, "", _cure(typed, figures)) for typed in typed_figures(REFERENCE.sub(" ", line), figures, currency))
        if found := mark_in(line):
            faults.append(Fault(FILE, number, "", f"must be paragraphs, lists and headings, got {found[0]}. {found[1]}"))
    return faults


def _cure(typed, figures):
    same, alike = ([f"{{{one.id}}}" for one in near(value_of(typed), figures, within)][:3] for within in (0, 0.01))
    typed_so = f"{{{TYPED} {typed}}} where it is not this build's own."
    if same:
        cure = f"Write {' or '.join(same)}, so that it follows the files."
    elif alike:
        cure = f"Write {' or '.join(alike)} if it is meant, so that it follows the files, or {typed_so}"
    else:
        cure = f"Write the name of a figure, as {{stands_in_at}}, or {typed_so}"
    return f"must hold no typed figure, got {typed!r}. {cure}"


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
