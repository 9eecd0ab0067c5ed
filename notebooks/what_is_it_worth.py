# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="What is it worth?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.decision.upside_down import standing
    from buildecon.ledger.ladder import ladder
    from buildecon.market.worth import Turned, worth
    from buildecon.story import dials, drawings, page, standing_words, worth_tables, worth_words


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("what_is_it_worth")), mo.md("""# What is it worth?""")])
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
    ends = dials.market_dials(project)
    filed = standing(worth(project), totals)
    return ends, filed, project, totals


@app.cell
def answers(stand):
    mo.Html(page.lead_html(worth_words.worth_sentence(stand), worth_words.evidence_sentence(stand), *worth_words.grave_sentences(stand.market), worth_words.equity_sentence(stand), worth_words.middle_sentence(stand)))
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
def switches(project):
    switched = mo.ui.dictionary(
        {
            "asks_are_sales": mo.ui.checkbox(label="What if asking prices were sales?"),
            "odd_rows": mo.ui.checkbox(value=project.file.market.odd_rows, label="Allow odd rows: one far off counts for little"),
        }
    )
    mo.hstack(list(switched.elements.values()), justify="start", gap=2, wrap=True)
    return (switched,)


@app.cell
def model(project, sliders, switched, totals):
    market = worth(project, Turned(**sliders.value, **switched.value))
    stand = standing(market, totals)
    return market, stand


@app.cell
def evidence(project, stand):
    mo.stop(not stand.market.counted)
    drawings.live("evidence").showing(worth_tables.evidence_frames(stand), project.currency, worth_words.worth_sentence(stand))
    return


@app.cell
def key(market):
    mo.stop(not market.counted)
    mo.Html(page.key_note_html("Hollow: the figure, at home and of today. Filled: what it says of this car, after every correction; the bar is how sure such a figure is by itself, short for a sale, long where its distance or condition is not told; what one car happens to fetch is in the band. A circle was sold, a triangle to the left is on offer, one to the right was bid or offered. Band and red line: the range for this car. Dashed: your own figure."))
    return


@app.cell
def rows(market, project):
    mo.Html(page.table_html(worth_tables.evidence_table(market), f"How each row of market.csv was read, {project.currency}, and how far it pulls the answer"))
    return


@app.cell
def corrections(market, project):
    sheets = [
        page.table_html(worth_tables.corrections_table(market), "What a difference between cars is worth"),
        page.list_html("What would change it", [worth_words.pull_sentence(market), worth_words.asks_sentence(project, market), worth_words.decline_sentence(market)]),
        page.list_html("Thin, odd or assumed", worth_words.flag_sentences(market)),
    ]
    mo.Html("".join(sheets))
    return


@app.cell
def upside_down(project, stand):
    mo.vstack([
        mo.md("""## How far upside down?"""),
        mo.Html(page.table_html(worth_tables.equity_table(stand), f"Value against each total, {project.currency}, {project.file.build.as_of:%d %B %Y}")),
        mo.Html(page.list_html("The sum insured", [standing_words.cover_sentence(stand)])),
    ])
    return


@app.cell
def dip(filed, project):
    mo.vstack([
        mo.md("""## Money in against value"""),
        drawings.live("dip").showing(worth_tables.dip_frames(filed), f"{project.currency}: red, money in; blue, what it would have sold for", standing_words.dip_sentence(filed)),
        mo.Html(page.key_note_html(standing_words.dip_sentence(filed))),
        mo.Html(page.key_note_html("Drawn by the assumptions of the files, whatever is turned above.")),
        mo.Html(page.table_html(worth_tables.stages_table(filed), f"Value by state, {project.currency}")),
    ])
    return


@app.cell
def contribution(project, stand):
    mo.vstack([
        mo.md("""## What does the work add?"""),
        mo.Html(page.table_html(worth_tables.work_table(stand), f"The car without the work, and what each kind of work adds, {project.currency}")),
        mo.Html(page.key_note_html(standing_words.built_sentence(stand))),
        mo.Html(page.list_html("One more job", standing_words.job_sentences(stand))),
    ])
    return


@app.cell
def ways_out(project, stand):
    mo.vstack([
        mo.md("""## Ways out"""),
        mo.Html(page.table_html(worth_tables.ways_table(stand), f"Selling it whole or in pieces, {project.currency}")),
        mo.Html(page.table_html(worth_tables.parts_table(stand), f"In pieces, {project.currency}")),
        mo.Html(page.key_note_html(standing_words.ways_sentence(stand))),
    ])
    return


@app.cell
def closing(stand):
    mo.Html(page.list_html("Assumptions", worth_words.worth_assumptions(stand)))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
