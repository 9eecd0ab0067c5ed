"""The part of a write-up in which its reader turns the numbers: one section for a page, complete as it stands, alive where scripts run."""

import json
from dataclasses import dataclass
from html import escape
from pathlib import Path

from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY
from buildecon.ledger.ladder import ladder
from buildecon.story.page import heading, table_html
from buildecon.story.tables import break_even_table, joy_table
from buildecon.story.telling.reader.chart import first_drawing
from buildecon.story.telling.reader.controls import as_published, comparison_at
from buildecon.story.telling.reader.data import reader_data
from buildecon.story.telling.reader.names import plainly_named
from buildecon.story.telling.reader.tables import captions, every_option_table, every_year_table, left_out_sentences, set_sentence
from buildecon.story.theme import DARK, LIGHT
from buildecon.story.words import answer, joy_sentence

HERE = Path(__file__).parent
UNSAFE = {ord(letter): f"\\u{ord(letter):04x}" for letter in "<>&\u2028\u2029"}
RULES = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"


@dataclass(frozen=True)
class ReaderSection:
    """What a page needs to hold the reader's part.

    Parameters
    ----------
    html : str
        The section with its data; complete without scripts. [-]
    css : str
        Its look, light, dark and printed; touches nothing outside the section. [-]
    js : str
        What makes it alive. [-]
    """

    html: str
    css: str
    js: str


def reader_section(project):
    """The reader's part of a write-up.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    ReaderSection
        To be put into a page; one on a page. [-]
    """
    data, project = reader_data(project), plainly_named(project)
    totals = ladder(project)
    shown = comparison_at(project, totals, as_published(project))
    return ReaderSection(_section(data, shown, totals), _style(), (HERE / "engine.js").read_text("utf-8") + (HERE / "reader.js").read_text("utf-8"))


def reader_page(project):
    """The reader's part as a page of its own.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    str
        Html that asks for nothing outside itself. [-]
    """
    part, name = reader_section(project), escape(plainly_named(project).file.build.name)
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{RULES}"><meta name="color-scheme" content="light dark"><title>{name}</title>'
        f"<style>{part.css}</style></head><body class=\"reader-body\"><main><h1>{name}</h1>{part.html}</main><script>{part.js}</script></body></html>\n"
    )


def json_text(data):
    """Data as JSON that can stand inside a script element.

    Parameters
    ----------
    data : dict
        Without NaN and infinity. [-]

    Returns
    -------
    str
        With no `<`, `>`, `&` or line end that a page or a script would take for its own. [-]
    """
    return json.dumps(data, allow_nan=False, ensure_ascii=False, separators=(",", ":")).translate(UNSAFE)


def _section(data, shown, totals):
    said, unit, currency = answer(shown, totals), data["unit"], data["currency"]
    over = captions(currency, unit, shown.view)
    tables = {"options": every_option_table(shown), "joy": [{name or "kept": cell for name, cell in row.items()} for row in joy_table(shown)], "meet": break_even_table(shown)}
    sheets = "".join(f'<div data-table="{name}">{table_html(rows, over[name])}</div>' for name, rows in tables.items())
    left = "".join(f'<p class="reader-quiet">{escape(text)}</p>' for text in left_out_sentences(shown))
    every = f'<details><summary>Every year, to the cent</summary><div data-table="every">{table_html(every_year_table(shown), over["every"])}</div></details>'
    return (
        f'<section class="reader" data-reader aria-labelledby="reader-title"><h2 id="reader-title">Turn the numbers yourself</h2>'
        f'<p class="reader-quiet">Prices of {data["as_of"]}. Every figure is worked out here in your browser, with the builder\'s own sums; nothing is sent anywhere.</p>'
        f'<div class="reader-desk"><div class="reader-answer" aria-live="polite" aria-atomic="true"><p class="reader-lead" data-said="answer">{escape(said)}</p>'
        f'<p data-said="joy">{escape(joy_sentence(shown))}</p><p class="reader-note" data-said="rate" hidden></p></div>'
        f'<figure><figcaption data-said="heading">{escape(heading(shown.project, shown.view))}</figcaption><div class="reader-chart" data-chart>{first_drawing(shown, said)}</div></figure>'
        f'<form class="reader-dials" data-controls hidden autocomplete="off" aria-label="Numbers to turn">{_dials(data)}</form>'
        f'<div class="reader-notes"><p class="reader-set" data-said="set">{escape(set_sentence(data))}</p><p class="reader-quiet">{_key(shown)}</p></div></div>'
        f"<noscript><p class=\"reader-quiet\">Scripts are off here: the page shows the builder's own numbers, and the sliders stay away.</p></noscript>"
        f'<div data-table="left">{left}</div>{sheets}{every}'
        f'<script type="application/json" data-reader-data>{json_text(data)}</script></section>'
    )


def _key(shown):
    kinds, said = {option.kind for option in shown.options}, ["Thick: this build."]
    said += ["Dashed: the build another way."] if [option.kind for option in shown.options].count("build") > 1 else []
    said += ["Thin: meets every must-have."] if kinds - {"build"} else []
    return " ".join(said + ([] if shown.passes.all() else ["Dotted: fails one."]) + ["A ring: the build and another cost the same."])


def _dials(data):
    """Native controls, each tied to its label; the script fills in what they say."""
    turned, unit, currency = data["controls"], data["unit"], data["currency"]
    years, distance, hours, street = turned["years"], turned["distance"], turned["hours"], turned["street"]
    dials = [_dial("years", "Years kept", years), _dial("distance", "Distance a year", distance)]
    dials += [_dial(f"energy-{k}", one["label"], one, f"The builder pays {one['mix']}." if one["mix"] else "") for k, one in enumerate(turned["energy"])]
    dials += [_dial("hours", "Own hours at", hours, f"The builder put in {hours['spent']}. Counts in the whole story only.")] if hours else []
    if street:
        dials.append(
            f'<div class="reader-tick"><input type="checkbox" id="reader-street" data-control="street"><label for="reader-street">What a reader would pay</label>'
            f'<p class="reader-hint" id="reader-street-hint">Given and discounted parts at street price: {escape(street["more"])} more. Counts in the whole story only.</p></div>'
        )
    views = _choice("view", "Count", {WHOLE_STORY: "the whole story", FROM_TODAY: "from today, money spent left out"}, WHOLE_STORY)
    units = _choice("unit", "Distances in", {"km": "km", "mi": "miles"}, unit)
    money = (
        f'<fieldset class="reader-money"><legend>Show the money in another currency</legend><label for="reader-rate">1 {currency} =</label>'
        f'<input id="reader-rate" data-control="rate" type="number" min="0" step="any" inputmode="decimal" placeholder="rate">'
        f'<label for="reader-code">of</label><input id="reader-code" data-control="code" type="text" maxlength="3" size="4" placeholder="code" spellcheck="false">'
        f'<p class="reader-hint">For display only: the sums stay in {currency}.</p><p class="reader-note" data-said="rate-fault" aria-live="polite"></p></fieldset>'
    )
    return views + "".join(dials) + units + money + '<button type="button" data-reset>Back to the builder\'s numbers</button>'


def _dial(name, label, control, hint=""):
    more = f'<p class="reader-hint" id="reader-{name}-hint">{escape(hint)}</p>' if hint else ""
    tied = f' aria-describedby="reader-{name}-hint"' if hint else ""
    return (
        f'<div class="reader-dial"><label for="reader-{name}">{escape(label)}</label><span data-shown="{name}" aria-hidden="true"></span>'
        f'<input type="range" id="reader-{name}" data-control="{name}" min="0" max="{len(control["stops"]) - 1}" step="1" value="{control["at"]}"{tied}>{more}</div>'
    )


def _choice(name, legend, words, at):
    picks = "".join(
        f'<span><input type="radio" id="reader-{name}-{k}" name="reader-{name}" data-control="{name}" value="{value}"{" checked" if value == at else ""}><label for="reader-{name}-{k}">{text}</label></span>'
        for k, (value, text) in enumerate(words.items())
    )
    return f"<fieldset><legend>{legend}</legend>{picks}</fieldset>"


def _style():
    """The look, with the colours of the house."""
    light, dark = ("".join(f"--be-{name}:{colour};" for name, colour in palette.items()) for palette in (LIGHT, DARK))
    colours = f".reader,.reader-body{{{light}}}@media (prefers-color-scheme:dark){{.reader,.reader-body{{{dark}}}}}@media print{{.reader,.reader-body{{{light}}}}}"
    return colours + (HERE / "reader.css").read_text("utf-8")
