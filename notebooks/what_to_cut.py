# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="What to cut?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.decision.trim import trimmed, worth_by_money
    from buildecon.decision.work_list import AGAIN, LEFT, menu, usual_view
    from buildecon.ledger.ladder import ladder
    from buildecon.story import dials, drawings, page, trim_tables, trim_words, waiting


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("what_to_cut")), mo.md("""# What to cut?""")])
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
    return project, totals


@app.cell
def answers(curve, found):
    mo.Html(page.lead_html(trim_words.trim_sentence(found), trim_words.gain_sentence(found), trim_words.next_sentence(found, curve)))
    return


@app.cell
def back():
    to_files = mo.ui.button(label="Back to the files", tooltip="Read them anew; every slider as they say")
    return (to_files,)


@app.cell
def controls(ends, to_files):
    _turned = page.sliders(mo.ui.slider, ends)
    money = _turned["budget"]
    time = _turned["hours"]
    mo.Html(page.dials_html([money, time, to_files]))
    return money, time


@app.cell
def switches(project, totals):
    view = mo.ui.radio(options=[LEFT, AGAIN], value=usual_view(project, totals.settled), inline=True, label="Choose from")
    kept = mo.ui.radio(options={"kept": True, "sold": False}, value="kept", inline=True, label="The car is")
    mo.hstack([view, kept], justify="start", gap=2, wrap=True)
    return kept, view


@app.cell
def work(kept, project, totals, view):
    jobs = menu(project, totals.settled, view.value, kept.value)
    ends = dials.trim_dials(jobs)
    return ends, jobs


@app.cell
def model(ends, jobs, money, time):
    with waiting.turning(mo.status.spinner, waiting.JOBS, len(jobs.works)):
        found = trimmed(jobs, **dials.limits({"budget": money.value, "hours": time.value}, ends))
    return (found,)


@app.cell
def every_amount(ends, jobs, time):
    with waiting.turning(mo.status.spinner, waiting.JOBS, len(jobs.works)):
        curve = worth_by_money(jobs, **dials.limits({"hours": time.value}, ends))
    return (curve,)


@app.cell
def chart(curve, found, project):
    frames = trim_tables.frontier_frames(found, curve)
    mo.stop(not frames["sets"])
    drawings.live("frontier").showing(frames, f"{project.currency}: worth of the best jobs, by the money spent on them", trim_words.trim_sentence(found))
    return


@app.cell
def key(curve, found):
    mo.stop(not trim_tables.frontier_frames(found, curve)["sets"])
    mo.vstack([
        mo.Html(page.key_note_html("Steps: what the best set of jobs is worth, for each amount of money and these hours; a dot for each set. Above the dotted line it brings more than it costs. Dashed: the money there is.")),
        mo.Html(page.key_note_html(trim_words.nested_sentence(found, curve))),
    ])
    return


@app.cell
def verdicts(found, project):
    mo.Html(page.table_html(trim_tables.jobs_table(found), f"Job by job, {project.currency}: {trim_words.budget_shown(found)}"))
    return


@app.cell
def levels(found, project):
    sheets = [
        page.table_html(trim_tables.levels_table(found), f"Good, better, best from one list, {project.currency}"),
        page.list_html("What goes with it", trim_words.other_money_sentences(found)),
    ]
    mo.Html("".join(sheets))
    return


@app.cell
def skips(found, project):
    mo.Html(page.table_html(trim_tables.skip_table(found), f"Skip list: what leaving out one job saves and loses, all else that pays being done, {project.currency}"))
    return


@app.cell
def months(found, project):
    mo.Html(page.table_html(trim_tables.months_table(found), f"Month by month, from what is saved and comes in, {project.currency}"))
    return


@app.cell
def steps(curve, found, project):
    mo.Html(page.table_html(trim_tables.steps_table(found, curve), f"What more money brings, {project.currency}"))
    return


@app.cell
def closing(found):
    mo.Html(page.list_html("Assumptions", trim_words.trim_assumptions(found)))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
