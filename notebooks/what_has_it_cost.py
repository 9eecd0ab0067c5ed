# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="What has it cost?", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.ledger.ladder import ladder
    from buildecon.story import cost_tables, cost_words, drawings, page


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("what_has_it_cost")), mo.md("""# What has it cost?""")])
    return


@app.cell
def choice():
    folders = page.project_folders(mo.cli_args().get("project"))
    picked = mo.ui.dropdown(options=folders, value=next(iter(folders)), label="Project")
    picked
    return (picked,)


@app.cell
def data(picked):
    project, faults = page.opened(picked.value)
    mo.stop(project is None, mo.callout(mo.Html(faults), kind="danger"))
    totals = ladder(project)
    build = project.file.build
    return build, project, totals


@app.cell
def answers(project, totals):
    mo.Html(page.lead_html(cost_words.quoted_sentence(project, totals), cost_words.small_change_sentence(project, totals), *cost_words.forecast_sentences(project, totals)))
    return


@app.cell
def rungs(build, project, totals):
    mo.Html(page.table_html(cost_tables.ladder_table(totals, project.currency, build.quoted_rung), f"The ladder of totals, {build.as_of:%d %B %Y}"))
    return


@app.cell
def causes(project, totals):
    mo.vstack([
        mo.md("""## From plan to actual"""),
        drawings.live("causes").showing({"causes": cost_tables.causes_rows(totals.settled)}, f"{project.currency} over the plan"),
        mo.Html(page.table_html(cost_tables.causes_table(totals.settled), f"By cause, {project.currency}")),
    ])
    return


@app.cell
def systems(project, totals):
    mo.Html(page.table_html(cost_tables.systems_table(totals.systems), f"Systems against the plan, {project.currency}"))
    return


@app.cell
def cash(project):
    mo.vstack([
        mo.md("""## When the money went out"""),
        drawings.live("cash").showing({"cash": cost_tables.cash_rows(project)}, f"{project.currency} out at the end of the month"),
        mo.Html(page.table_html(cost_tables.statements_table(project), f"Against card and bank totals, {project.currency}")),
    ])
    return


@app.cell
def owed(project, totals):
    mo.Html(page.table_html(cost_tables.owed_table(project, totals), f"Owed to you, and what can still go back, on {project.file.build.as_of:%d %B %Y}"))
    return


@app.cell
def hours(project):
    mo.Html(page.table_html(cost_tables.hours_table(project), "Own hours by system"))
    return


@app.cell
def given(project, totals):
    mo.Html(page.table_html(cost_tables.given_table(totals.settled), f"Given or discounted, {project.currency}"))
    return


@app.cell
def rise():
    rise_percent = mo.ui.slider(start=0, stop=10, step=0.5, value=3, label="Price rise since each was paid, % a year", show_value=True, full_width=True)
    rise_percent
    return (rise_percent,)


@app.cell
def again(project, rise_percent, totals):
    mo.md(cost_tables.repriced_sentence(project, totals, rise_percent.value))
    return


@app.cell
def old_prices(project, totals):
    mo.Html(page.table_html(cost_tables.old_prices_table(project, totals), f"The oldest prices, on {project.file.build.as_of:%d %B %Y}"))
    return


@app.cell
def importing(project):
    import_of = mo.ui.dictionary(
        {
            "goods": mo.ui.number(start=0, stop=1000000, value=300, label=f"Goods, {project.currency}"),
            "freight": mo.ui.number(start=0, stop=1000000, value=40, label="Freight"),
            "insurance": mo.ui.number(start=0, stop=1000000, value=5, label="Insurance"),
            "duty_percent": mo.ui.number(start=0, stop=100, step=0.1, value=4.5, label="Duty, %"),
            "tax_percent": mo.ui.number(start=0, stop=100, step=0.1, value=20, label="Import tax or VAT, %"),
            "handling": mo.ui.number(start=0, stop=1000000, value=12, label="Agent's fee"),
        }
    )
    mo.vstack([mo.md("""## What would a part from abroad cost at the door?"""), mo.Html(page.dials_html(import_of.elements.values()))])
    return (import_of,)


@app.cell
def at_the_door(import_of, project):
    mo.vstack([
        mo.Html(page.table_html(cost_tables.landed_table(**import_of.value), f"Landed cost, {project.currency}")),
        mo.Html(page.key_note_html("Duty on goods with freight and insurance, then tax on all of that: the order of the EU and the UK. The rates above are only examples: ask the customs office for yours.")),
    ])
    return


@app.cell
def rules(project, totals):
    mo.Html(page.list_html("Rules behind these figures", cost_words.rules_sentences(project, totals)))
    return


@app.cell
def honesty(project, totals):
    mo.Html(page.list_html("Before you publish", cost_words.honesty_sentences(project, totals)))
    return


@app.cell
def cautions(project):
    mo.Html(page.cautions_html(project))
    return


if __name__ == "__main__":
    app.run()
