# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="How long to keep it?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
    from buildecon.decision.how_long import how_long
    from buildecon.ledger.ladder import ladder
    from buildecon.ownership.measured import read_logs
    from buildecon.story import dials, drawings, how_long_tables, how_long_words, page, published_tables


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("how_long_to_keep_it")), mo.md("""# How long to keep it?""")])
    return


@app.cell
def choice():
    folders = page.project_folders(mo.cli_args().get("project"))
    picked = mo.ui.dropdown(options=folders, value=next(iter(folders)), label="Project")
    view = mo.ui.radio(options=[WHOLE_STORY, FROM_TODAY], value=WHOLE_STORY, inline=True, label="Counting")
    mo.hstack([picked, view], justify="start", gap=2, wrap=True)
    return picked, view


@app.cell
def data(picked, to_files):
    to_files  # pressed, the files are read anew
    project, faults = page.opened(picked.value)
    mo.stop(project is None, mo.callout(mo.Html(faults), kind="danger"))
    builds = dials.builds(project)
    logs = read_logs(project)
    return builds, logs, project


@app.cell
def which(builds, project):
    chosen = mo.ui.dropdown(options=builds, value=dials.quoted_build(project), label="Which build")
    chosen
    return (chosen,)


@app.cell
def quoted(chosen, project):
    shown = dials.with_build(project, chosen.value)
    totals = ladder(shown)
    written = as_written(shown, totals)
    ends = dials.keeping_dials(shown, written)
    return ends, shown, totals, written


@app.cell
def answers(ends, found, said, sliders):
    mo.Html(page.lead_html(said, how_long_words.keep_sentence(found), how_long_words.next_year_sentence(found), how_long_words.spread_sentence(found), *how_long_words.ends_sentences(found), what_if=dials.what_if_text(sliders.value, ends)))
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
def model(ends, shown, sliders, totals, view, written):
    found = how_long(compare(shown, totals, written.model_copy(update=dials.moved(sliders.value, ends)), view.value))
    return (found,)


@app.cell
def chart(found, shown):
    said = how_long_words.life_sentence(found)
    drawings.live("kept").showing(how_long_tables.kept_frames(found), f"{shown.currency} a month, today's money, {found.comparison.view}", said)
    return (said,)


@app.cell
def key():
    mo.Html(page.key_note_html("Line: what the build costs a month if it is kept so long. Bands: what that is for, the largest at the bottom, and below 0 what is taken off; loss of value is what goes in less what comes back. A ring: where it is least. A dot: at the years chosen. A dear beginning is cut at the frame."))
    return


@app.cell
def years(found, shown):
    mo.Html(page.table_html(how_long_tables.years_table(found), f"By years kept, {shown.currency} a month"))
    return


@app.cell
def lives(found, shown):
    mo.Html(page.table_html(how_long_tables.lives_table(found), f"Every option at its cheapest years, {shown.currency} a month"))
    return


@app.cell
def renewals(found, shown):
    frames = how_long_tables.renewals_frames(found)
    note = " ".join((how_long_tables.too_often_sentence(found), how_long_words.by_chance_sentence(found), how_long_words.chance_sentence(found))).strip()
    mo.stop(not frames["renewals"] and not note)
    _line = page.if_any(frames["renewals"], drawings.live("renewals").showing(frames, f"{shown.currency} when its distance is reached"))
    mo.vstack([mo.md("""## What wears out"""), _line, mo.Html(page.key_note_html(note))])
    return


@app.cell
def limit(found, shown):
    frames_of_limit = how_long_tables.limit_frames(found)
    mo.vstack([
        mo.md("""## The largest bill worth paying"""),
        page.if_any(frames_of_limit["limit"], drawings.live("limit").showing(frames_of_limit, f"{shown.currency}: above it, sell")),
        mo.Html(page.table_html(how_long_tables.limit_table(found), f"Repair limit by year, {shown.currency}")),
        mo.Html(page.list_html("In words", how_long_words.limit_sentences(found))),
    ])
    return


@app.cell
def measured(logs, project):
    mo.Html(page.measured_html(logs, project))
    return


@app.cell
def published(project):
    mo.accordion({
        "Published figures you could take over": mo.Html(page.table_html(published_tables.presets_table(project), "Whose average each is stands beside it; money in US dollars of the year shown, which you would have to exchange; a figure by distance is for each one. None is used unless you write it into build.toml, under the key shown")),
        "How long the cars of US fleets last": mo.Html(page.table_html(published_tables.fleets_table(project), "US fleet averages, of cars as made and not of rebuilt ones; from the year under [this_car] on. None is used unless [clocks] names it")),
        "What a US car has renewed, item by item": mo.Html(page.table_html(published_tables.services_table(project), "US fleet average, ANL/ESD-21/4 (2021) as carried in the US EPA OMEGA model. None is used unless you write it under [[options.wear.renewals]]")),
    })
    return


@app.cell
def closing(found):
    mo.Html(page.list_html("Assumptions", [*how_long_words.how_long_assumptions(found), how_long_words.clocks_sentence(found)]))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
