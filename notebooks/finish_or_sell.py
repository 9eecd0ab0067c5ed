# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="Finish it or sell it?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.decision.ahead import Turned, ahead, sampled
    from buildecon.decision.half_way import half_way
    from buildecon.decision.verdict import not_known
    from buildecon.ledger.ladder import ladder
    from buildecon.story import dials, drawings, half_way_tables, half_way_words, page


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("finish_or_sell")), mo.md("""# Finish it or sell it?""")])
    return


@app.cell
def choice():
    folders = page.project_folders(mo.cli_args().get("project"))
    picked = mo.ui.dropdown(options=folders, value=next(iter(folders)), label="Project")
    picked
    return (picked,)


@app.cell
def data(picked, to_files):
    to_files  # pressed, the files are read anew
    project, faults = page.opened(picked.value)
    mo.stop(project is None, mo.callout(mo.Html(faults), kind="danger"))
    totals = ladder(project)
    ends = half_way_tables.half_way_dials(project, ahead(project, totals))
    sample = sampled(not_known(project, totals))
    return ends, project, sample, totals


@app.cell
def answers(ends, found, sliders):
    mo.Html(page.lead_html(half_way_words.finish_sentence(found), *half_way_words.job_sentences(found), half_way_words.keep_or_switch_sentence(found), what_if=dials.what_if_text(sliders.value, ends)))
    return


@app.cell
def sunk(found):
    mo.Html(page.key_note_html(half_way_words.sunk_sentence(found)))
    return


@app.cell
def back():
    to_files = mo.ui.button(label="Back to the files", tooltip="Read them anew; every slider as they say")
    return (to_files,)


@app.cell
def controls(ends, to_files):
    sliders = mo.ui.dictionary(page.sliders(mo.ui.slider, ends))
    mo.Html(page.dials_html([*sliders.elements.values(), to_files]))
    return (sliders,)


@app.cell
def model(ends, project, sample, sliders, totals):
    found = half_way(project, totals, Turned(**dials.moved(sliders.value, ends)), sample)
    return (found,)


@app.cell
def chart(found, project):
    drawings.live("ways").showing(half_way_tables.ways_frames(found), f"{project.currency} in hand, from today", half_way_words.finish_sentence(found))
    return


@app.cell
def key():
    mo.Html(page.key_note_html("Bar: from everything going badly to everything going well. Tick and figure: as counted. In colour: what brings most of the ways to sell. Dashed: selling it as it stands today, the line to beat."))
    return


@app.cell
def ways(found, project):
    mo.Html(page.table_html(half_way_tables.ways_table(found), f"Every way on, {project.currency} from today"))
    return


@app.cell
def changes(found):
    mo.Html(page.list_html("What would change it", [*half_way_words.limit_of_finishing_sentences(found), *half_way_words.chance_sentences(found)]))
    return


@app.cell
def left(found, project, totals):
    mo.vstack([
        mo.Html(page.list_html("Still to come", half_way_words.left_sentences(found, totals))),
        mo.Html(page.table_html(half_way_tables.left_table(found), f"What is still to come, three ways, {project.currency}")),
    ])
    return


@app.cell
def gates(found, project):
    mo.vstack([
        mo.Html(page.list_html("Gates: go on, look first, or stop", half_way_words.gate_sentences(found))),
        mo.Html(page.table_html(half_way_tables.gates_table(found), f"The rule at every gate, {project.currency}")),
    ])
    return


@app.cell
def closing(found):
    mo.Html(page.list_html("Assumptions", half_way_words.finish_assumptions(found)))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
