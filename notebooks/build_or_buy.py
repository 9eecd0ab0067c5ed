# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="Build it or buy one?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
    from buildecon.decision.doubts import years_by_distance
    from buildecon.decision.verdict import not_known, verdict
    from buildecon.ledger.ladder import ladder
    from buildecon.project import WhatIf
    from buildecon.story import cost_tables, dials, doubt_tables, doubt_words, drawings, page, tables, verdict_words, waiting
    from buildecon.story.words import answer, assumptions


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("build_or_buy")), mo.md("""# Build it or buy one?""")])
    return


@app.cell
def choice():
    folders = page.project_folders(mo.cli_args().get("project"))
    picked = mo.ui.dropdown(options=folders, value=next(iter(folders)), label="Project")
    view = mo.ui.radio(options=[WHOLE_STORY, FROM_TODAY], value=WHOLE_STORY, inline=True, label="Chart and tables show")
    mo.hstack([picked, view], justify="start", gap=2, wrap=True)
    return picked, view


@app.cell
def data(picked, to_files):
    to_files  # pressed, the files are read anew
    project, faults = page.opened(picked.value)
    mo.stop(project is None, mo.callout(mo.Html(faults), kind="danger"))
    totals = ladder(project)
    written = as_written(project, totals)
    ends = dials.slider_ends(project, written)
    known = not_known(project, totals)
    return ends, known, project, totals, written


@app.cell
def drawn_once(project, totals, written):
    as_filed = compare(project, totals, written)
    live, live_band, live_swings, live_map = map(drawings.live, ("break_even", "band", "swings", "map"))
    return as_filed, live, live_band, live_map, live_swings


@app.cell
def answers(ends, found, said, shown, today, totals, turned, whole):
    mo.Html(page.answer_html(whole, today, shown, (dials.what_if_text(turned.value, ends), verdict_words.verdict_sentence(found)), totals, said))
    return


@app.cell
def back():
    to_files = mo.ui.button(label="Back to the files", tooltip="Read them anew; every slider as they say")
    return (to_files,)


@app.cell
def controls(ends, to_files):
    turned = mo.ui.dictionary(page.sliders(mo.ui.slider, ends))
    mo.Html(page.dials_html([*turned.elements.values(), to_files]))
    return (turned,)


@app.cell
def model(project, totals, turned, view):
    what_if = WhatIf(**turned.value)
    whole = compare(project, totals, what_if, WHOLE_STORY)
    today = compare(project, totals, what_if, FROM_TODAY)
    shown = {WHOLE_STORY: whole, FROM_TODAY: today}[view.value]
    return shown, today, whole


@app.cell
def chart(live, shown, totals):
    said = answer(shown, totals)
    live.showing(tables.break_even_frames(shown), page.heading(shown.project, shown.view), said)
    return (said,)


@app.cell
def key(as_filed):
    mo.Html(page.key_html(as_filed))
    return


@app.cell
def in_doubt(known, today, view, whole):
    found = verdict(whole, today, known)
    side = {WHOLE_STORY: found.whole, FROM_TODAY: found.today}[view.value]
    with waiting.turning(mo.status.spinner, waiting.CHANCES, len(known.inputs)):
        _lines = verdict_words.verdict_lines(found)
    mo.Html(page.answers_html("The verdict on one page", _lines))
    return found, side


@app.cell
def how_sure(live_band, project, side):
    mo.vstack([
        mo.Html(page.list_html("How sure is it?", doubt_words.chance_sentences(side))),
        page.if_any(side.doubts, live_band.showing(doubt_tables.band_frames(side), doubt_tables.band_heading(project, side.comparison.view), doubt_words.chance_sentence(side))),
        mo.Html(page.table_html(doubt_tables.chances_table(side), f"Chance that the build is the cheaper, by years kept, {side.comparison.view}")),
    ])
    return


@app.cell
def find_out(live_swings, project, side):
    mo.vstack([
        mo.Html(page.list_html("What moves the answer, and what to find out first", doubt_words.finding_out_sentences(side))),
        page.if_any(side.doubts, live_swings.showing(doubt_tables.swings_frames(side.doubts, project), doubt_tables.swings_heading(project, side.comparison.view))),
        mo.Html(page.table_html(doubt_tables.finding_out_table(side.doubts, project), f"What is not known, {side.comparison.view}")),
    ])
    return


@app.cell
def what_would_turn_it(live_map, project, side):
    border = years_by_distance(side.asked)
    mo.vstack([
        mo.Html(page.table_html(doubt_tables.turning_table(side), f"What would turn the answer, one number at a time, {side.comparison.view}")),
        page.if_any(border, live_map.showing(doubt_tables.map_frames(border, side), doubt_tables.map_heading(project))),
    ])
    return


@app.cell
def costs(shown):
    sheets = [
        page.table_html(tables.options_table(shown), f"Every option, {shown.view}: {shown.project.currency} put in, then {shown.project.currency} a month by years kept"),
        page.table_html(tables.break_even_table(shown), f"Where the curves cross, {shown.view}"),
        page.table_html(tables.joy_table(shown), f"Price of joy by years kept, {shown.view}"),
        page.gates_html(shown),
        page.list_html("Assumptions", assumptions(shown)),
    ]
    mo.Html("".join(sheets))
    return


@app.cell
def must_haves(as_filed):
    mo.Html(page.table_html(tables.gate_table(as_filed), "Each must-have against each option"))
    return


@app.cell
def ladder_of_totals(project, totals):
    mo.Html(page.table_html(cost_tables.ladder_table(totals, project.currency), f"What the build has cost: the ladder of totals, {project.file.build.as_of:%d %B %Y}"))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
