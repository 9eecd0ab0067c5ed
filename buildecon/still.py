"""The notebooks as still pages: every answer, chart and table at the owner's figures, without the notebook program and without a network."""

import json
import os
import re
import tempfile
from html import escape, unescape
from importlib.util import find_spec, module_from_spec, spec_from_file_location
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults
from buildecon.project.for_readers import for_readers
from buildecon.project.read import read_project
from buildecon.project.write import write_project
from buildecon.serve import NOTEBOOKS
from buildecon.story.page import PAGES
from buildecon.story.telling.public_words import public
from buildecon.story.telling.web_page import colours
from buildecon.story.words import cautions, number

PRIVATE = ("enter_receipts", "tell_the_story")  # what only the owner works with
CONTROL = re.compile(r"<marimo-ui-element\b[^>]*>(.*?)</marimo-ui-element>", re.DOTALL)
CHART = re.compile(r"<marimo-mime-renderer\b([^>]*)></marimo-mime-renderer>")
GIVEN = re.compile(r"<marimo-[a-z-]+\b[^>]*?data-initial-value='([^']*)'[^>]*?data-label='([^']*)'")
TAGS = re.compile(r"<[^>]+>")
WHICH = "Project"  # the control by which an owner picks a folder: its name is nobody's business, and there is only one
WIDTHS = {"wide": 880, "narrow": 330}  # of a chart [pixel], on a desk and on a phone
ELEMENT = re.compile(r"</?marimo-[a-z-]+\b[^>]*>")


def still_pages(project, pages=None):
    """Each notebook run on a reader's copy of a project, as a page of its own.

    Parameters
    ----------
    project : Project
        The files. [-]
    pages : sequence of str, optional
        Names of notebooks; all that are for readers by default. [-]

    Yields
    ------
    tuple of (str, str)
        Name and html. [-]

    Raises
    ------
    ProjectFaults
        If the notebook program or the drawing of charts is not installed, or the copy cannot be read.
    """
    if NOTEBOOKS is None or any(find_spec(name) is None for name in ("marimo", "vl_convert")):
        raise ProjectFaults([Fault("buildecon publish", 0, "--pages", "must have the notebooks extra. Run: pip install '.[notebooks]' in the clone.")])
    pages = [name for name in PAGES if name not in PRIVATE] if pages is None else pages
    before = os.environ.get("BUILDECON_PROJECT")
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room) / "build"
        folder.mkdir()
        write_project(for_readers(project), folder)
        read_project(folder)  # a copy that cannot be read would be pages with nothing on them
        os.environ["BUILDECON_PROJECT"] = str(folder)
        try:
            for name in pages:
                yield name, still_page(project, name, _outputs(name), pages)
        finally:
            del os.environ["BUILDECON_PROJECT"]
            if before is not None:
                os.environ["BUILDECON_PROJECT"] = before


def still_page(project, name, outputs, pages):
    """A page of what a notebook has put out.

    Parameters
    ----------
    project : Project
        For its name and currency. [-]
    name : str
        Of the notebook. [-]
    outputs : sequence
        Of its cells, in order. [-]
    pages : sequence of str
        Names of the pages beside it. [-]

    Returns
    -------
    str
        Html that needs nothing else. [-]
    """
    said = "\n".join(filter(None, map(_still, outputs)))
    links = "".join(f'<a href="{other}.html">{escape(PAGES[other])}</a> ' if other != name else f"<b>{escape(PAGES[other])}</b> " for other in pages)
    said = re.sub(r'<nav class="pages">.*?</nav>', f'<nav class="pages">{links}</nav>', said, flags=re.DOTALL)
    style = f"{(NOTEBOOKS / 'page.css').read_text(encoding='utf-8')}\n{colours()}\n{STYLE}"
    build = project.file.build
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n"
        f"<title>{escape(PAGES[name])} {escape(build.name)}</title>\n<style>\n{style}\n</style>\n</head>\n<body class=\"still\">\n<main>\n"
        f'<p class="key">{escape(build.name)}, figures of {build.as_of:%d %B %Y}, {project.currency}. A still page of the builder\'s own: "you" in it is the builder, and the sliders stand as in the files. {escape(public(cautions(project)[-1]))}</p>\n'
        f"{said}\n</main>\n</body>\n</html>\n"
    )


STYLE = """
body.still { margin: 0; background: var(--be-ground); font-size: 16px; line-height: 1.5; }
.still main { max-width: 64rem; margin: 0 auto; padding: 1rem 1.25rem 3rem; }
.still figure { margin: 0.6rem 0; }
.still svg { width: 100%; height: auto; display: block; }
.still svg.wide { max-width: 60rem; }
.still svg.narrow { display: none; }
.given { color: var(--be-quiet); margin-right: 1rem; }
@media screen and (max-width: 600px) { .still svg.wide { display: none; } .still svg.narrow { display: block; } }
"""


def _outputs(name):
    spec = spec_from_file_location(name, NOTEBOOKS / f"{name}.py")
    notebook = module_from_spec(spec)
    spec.loader.exec_module(notebook)
    return notebook.app.run()[0]


def _still(output):
    """One output as html: charts drawn, controls as what they stand at."""
    if output is None:
        return ""
    if not hasattr(output, "text"):
        return _drawn(output.spec) if hasattr(output, "spec") else ""
    text = CHART.sub(lambda found: _drawn(json.loads(_value(found.group(1), "data-data"))), output.text)
    return ELEMENT.sub("", CONTROL.sub(lambda found: _stands(found.group(1)), text))


def _drawn(spec):
    from vl_convert import vegalite_to_svg

    label, drawn = escape(spec.get("description") or str(spec.get("title") or ""), quote=True), ""
    for place, width in WIDTHS.items():
        svg = vegalite_to_svg({name: rows for name, rows in spec.items() if name != "autosize"} | {"width": width})
        drawn += re.sub(r'class="marks" width="[\d.]+" height="[\d.]+"', f'class="{place}"', svg, count=1)
    return f'<figure role="img" aria-label="{label}">{drawn}</figure>'


def _value(attributes, name):
    """What an attribute of an element of the notebook program holds: json in html."""
    found = re.search(rf"{name}='([^']*)'", attributes)
    return json.loads(unescape(found.group(1)).replace("\\u003c", "<"))


def _stands(control):
    found = GIVEN.search(control)
    if not found:
        return ""
    value, label = (json.loads(unescape(part)) for part in found.groups())
    words = unescape(TAGS.sub("", label or ""))
    if words == WHICH:
        return ""
    return f'<span class="given">{escape(words)}: {escape(_shown(value))}</span>'


def _shown(value):
    """What a control stands at, as one reads it."""
    if isinstance(value, list):
        return ", ".join(map(str, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return number(value, 2).removesuffix(".00") if isinstance(value, (int, float)) else f"{value}"
