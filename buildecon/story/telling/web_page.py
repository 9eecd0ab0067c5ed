"""A write-up as one page that needs nothing else: no script but its own, no font, no picture from anywhere."""

import re
from base64 import b64encode
from html import escape
from pathlib import Path

from buildecon.story.page import table_html
from buildecon.story.telling.blocks import Heading, Live, Picture, Points, Says, Sheet
from buildecon.story.theme import DARK, LIGHT

KINDS = {"": "says", "lead": "lead", "disclosure": "disclosure", "caution": "caution", "quiet": "quiet"}
TURNED = {LIGHT[role]: DARK[role] for role in LIGHT}
COLOUR = re.compile("|".join(TURNED))
RULES = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"


def web_page(blocks, pictures, live, dated):
    """All blocks as a page.

    Parameters
    ----------
    blocks : sequence
        Of a write-up; the first heading is the title. [-]
    pictures : dict of str to (str, dict of str to str)
        Alternative text, and SVG by shape (`wide`, `square`), by name; one that is not there is left out. [-]
    live : ReaderSection or None
        The part that moves: `html`, `css` and `js`. [-]
    dated : str
        The line under the title: day of the figures, version. [-]

    Returns
    -------
    str
        Html. [-]
    """
    title = next(block.text for block in blocks if isinstance(block, Heading))
    said = [block_html(block, pictures, live) for block in blocks]
    said.insert(1, f'<p class="dated">{escape(dated)}</p>')
    style = f"{colours()}\n{(Path(__file__).parent / 'web_page.css').read_text(encoding='utf-8')}\n{live.css if live else ''}"
    script = f"<script>\n{live.js}\n</script>" if live else ""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{RULES}">\n<meta name="color-scheme" content="light dark">\n'
        f"<title>{escape(title)}</title>\n<style>\n{style}\n</style>\n</head>\n<body>\n<main>\n" + "\n".join(filter(None, said)) + f"\n</main>\n{script}\n</body>\n</html>\n"
    )


def colours():
    """The palette as a page's own variables, light and dark; paper is always light.

    Returns
    -------
    str
        Css. [-]
    """
    light, dark = ("".join(f"--be-{role}:{colour};" for role, colour in palette.items()) for palette in (LIGHT, DARK))
    return f":root{{{light}}}\n@media screen and (prefers-color-scheme: dark){{:root{{{dark}}}}}"


def block_html(block, pictures, live=None):
    """One block as html.

    Parameters
    ----------
    block : block
        Of a write-up. [-]
    pictures : dict of str to (str, dict of str to str)
        As of `web_page`; one in a single shape is shown as it is. [-]
    live : ReaderSection, optional
        The part that moves. [-]

    Returns
    -------
    str
        Html; empty for what is not there. [-]
    """
    if live and getattr(block, "still", False):
        return ""
    if isinstance(block, Heading):
        return f"<h{block.level}>{escape(block.text)}</h{block.level}>"
    if isinstance(block, Says):
        kind = KINDS[block.kind]
        body = "".join(f"<p>{escape(text)}</p>" for text in block.texts if text)
        return f'<aside class="disclosure" aria-label="Disclosure">{body}</aside>' if kind == "disclosure" else f'<div class="{kind}">{body}</div>'
    if isinstance(block, Points):
        return f'<ul class="{KINDS[block.kind]}">' + "".join(f"<li>{escape(text)}</li>" for text in block.texts if text) + "</ul>"
    if isinstance(block, Sheet):
        return table_html(list(block.rows), block.caption)
    if isinstance(block, Picture):
        return _picture(*pictures[block.id]) if block.id in pictures else ""
    return live.html if isinstance(block, Live) and live else ""


def _picture(words, shapes):
    """As images: nothing in them can run, and their names cannot meet those of the page. Wide on a desk, square on a phone, each light and dark."""
    if len(shapes) == 1:
        return f'<figure><img alt="{escape(words)}" width="720" src="{_data(*shapes.values())}"></figure>'
    sources = "".join(
        f'<source media="{media}" srcset="{_data(_dark(shapes[shape]) if dark else shapes[shape])}">'
        for media, shape, dark in (
            ("print", "wide", False), ("(min-width: 700px) and (prefers-color-scheme: dark)", "wide", True), ("(min-width: 700px)", "wide", False), ("(prefers-color-scheme: dark)", "square", True),
        )
    )  # fmt: skip
    return f'<figure><picture>{sources}<img alt="{escape(words)}" src="{_data(shapes["square"])}"></picture></figure>'


def _data(svg):
    return "data:image/svg+xml;base64," + b64encode(svg.encode()).decode()


def _dark(svg):
    """The same drawing in the dark palette."""
    return COLOUR.sub(lambda found: TURNED.get(found.group(0), found.group(0)), svg)
