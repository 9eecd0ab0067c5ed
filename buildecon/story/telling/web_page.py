"""A write-up as one page that needs nothing else: no script but its own, no font, no picture from anywhere."""

from base64 import b64encode
from html import escape
from pathlib import Path

from buildecon.story.page import table_html
from buildecon.story.telling.blocks import Heading, Live, Picture, Points, Says, Sheet
from buildecon.story.theme import DARK, LIGHT

KINDS = {"": "says", "lead": "lead", "disclosure": "disclosure", "caution": "caution", "quiet": "quiet"}
RULES = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"


def web_page(blocks, pictures, live, dated):
    """All blocks as a page.

    Parameters
    ----------
    blocks : sequence
        Of a write-up; the first heading is the title. [-]
    pictures : dict of str to (str, str)
        Alternative text and SVG by name; one that is not there is left out. [-]
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
    said = [_said(block, pictures, live) for block in blocks]
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


def _said(block, pictures, live):
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


def _picture(words, svg):
    """As an image: nothing in it can run, and its names cannot meet those of the page."""
    return f'<figure><img alt="{escape(words)}" src="data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"></figure>'
