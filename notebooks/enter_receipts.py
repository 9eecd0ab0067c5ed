# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="Enter receipts", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.project.grid import LINE, grid_of, with_blank_rows
    from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE
    from buildecon.project.rows import NATURES
    from buildecon.story import export_form, page, receipts


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("enter_receipts")), mo.md("""# Enter receipts""")])
    return


@app.cell
def choice():
    folders = page.project_folders(mo.cli_args().get("project"), others=False)
    picked = mo.ui.dropdown(options=folders, value=next(iter(folders)), label="Project")
    again = mo.ui.run_button(label="Read the folder again")
    mo.hstack([picked, again], justify="start", gap=2, wrap=True)
    return again, picked


@app.cell
def data(again, picked):
    again.value
    project, faults = page.opened(picked.value)
    mo.stop(project is None, mo.callout(mo.Html(faults), kind="danger"))
    return (project,)


@app.cell
def upload(project):
    export = mo.ui.file(filetypes=[".csv", ".xlsx"], kind="area", label="Drop an order export, a card statement or a list here, .csv or .xlsx")
    kind = mo.ui.dropdown(options=export_form.kinds(project), value=export_form.NEW, label="It is")
    called = mo.ui.text(value="shop orders", label="A new kind is called")
    mo.vstack([mo.md("""## From a file"""), export, mo.hstack([kind, called], justify="start", gap=2, wrap=True)])
    return called, export, kind


@app.cell
def first(called, export, kind, project):
    guess, said = export_form.first_mapping(project, kind.value, called.value, export.name(), export.contents())
    mo.stop(guess is None, mo.Html(said))
    at = export_form.form_values(guess)
    written = mo.ui.dictionary(
        {
            "decimal": mo.ui.dropdown(options=export_form.choices("decimal"), value=at["decimal"], label="Sign before the cents"),
            "date_order": mo.ui.dropdown(options=export_form.choices("date_order"), value=at["date_order"], label="Dates"),
            "spent": mo.ui.dropdown(options=["positive", "negative"], value=at["spent"], label="Money spent is"),
            "encoding": mo.ui.dropdown(options=export_form.choices("encoding"), value=at["encoding"], label="Encoding"),
            "separator": mo.ui.dropdown(options=export_form.choices("separator"), value=at["separator"], label="Between cells"),
            "skip": mo.ui.number(start=0, stop=100, value=guess.skip, label="Lines above the header"),
        }
    )
    mo.vstack([mo.md("""### How the file is written"""), mo.Html(page.dials_html(written.elements.values()))])
    return guess, written


@app.cell
def meaning(export, guess, written):
    source, columns, sheet, said_of_file = export_form.table(guess, written.value, export.name(), export.contents())
    mo.stop(source is None, mo.Html(said_of_file))
    turned = mo.ui.dictionary(
        {
            "holds": mo.ui.dropdown(options=export_form.HOLDS, value=export_form.holds(source), label="The file tells of"),
            "paid": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "paid"), label="Amount"),
            "date": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "date"), label="Date"),
            "item": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "item"), label="What it is"),
            "supplier": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "supplier"), label="Who sold it"),
            "order": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "order"), label="Order or bill number"),
            "part_number": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "part_number"), label="Part number"),
            "system": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "system"), label="System"),
            "nature": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "nature"), label="Nature"),
            "currency": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "currency"), label="Currency"),
            "line": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "line"), label="Id of the line (events)"),
            "kind": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "kind"), label="What happened (events)"),
            "note": mo.ui.dropdown(options=columns, value=export_form.column(source, columns, "note"), label="Note"),
            "of_system": mo.ui.text(value=source.system, label="System where no column says"),
            "of_nature": mo.ui.dropdown(options=["", *NATURES], value=source.nature, label="Nature where no column says"),
            "of_currency": mo.ui.text(value=source.currency, label="Currency of all, as USD; empty for that of the build"),
            "at_rate": mo.ui.text(value=export_form.rate(source), label="Rate of that currency, if it is another"),
        }
    )
    mo.vstack([mo.md("""### What its columns mean"""), mo.Html(page.dials_html(turned.elements.values()))])
    return columns, sheet, source, turned


@app.cell
def model(columns, project, sheet, source, turned):
    mapped, missing = export_form.mapping(source, columns, turned.value)
    mo.stop(mapped is None, mo.Html(missing))
    found, counts = receipts.found_in(project, mapped, sheet)
    return counts, found, mapped


@app.cell
def verdicts(counts, found):
    asked = mo.ui.table(receipts.rows_of(found, [ASKED], takeable=True), selection="multi", page_size=10, show_data_types=False, show_column_summaries=False, show_download=False, wrapped_columns=["why", "what"], column_widths=receipts.WIDTHS, label="Asked about: tick what is to be taken")
    rejected = mo.ui.table(receipts.rows_of(found, [ASKED, REJECTED], takeable=False), selection=None, page_size=10, show_data_types=False, show_column_summaries=False, show_download=False, wrapped_columns=["why", "what"], column_widths=receipts.WIDTHS, label="Not taken: to be put right in the file, or nothing of the build")
    rest = mo.ui.table(receipts.rows_of(found, [ACCEPTED, THERE]), selection=None, page_size=10, show_data_types=False, show_column_summaries=False, show_download=False, wrapped_columns=["why", "what"], column_widths=receipts.WIDTHS, label="Accepted, and already there")
    mo.vstack([mo.md("""### What becomes of its rows"""), mo.Html(counts), asked, rejected, rest])
    return (asked,)


@app.cell
def with_them(asked, found, mapped, project):
    after, what_comes = receipts.with_rows(project, mapped, found, asked.value)
    take = mo.ui.run_button(label="Save these rows", disabled=after is None)
    mo.vstack([mo.Html(what_comes), take])
    return after, take


@app.cell
def taken_in(after, take):
    mo.stop(not take.value)
    mo.Html(receipts.saved(after))
    return


@app.cell
def lines(project):
    grid = mo.ui.data_editor(with_blank_rows(grid_of(project)), editable_columns=receipts.editable(project, LINE), label="One row for each thing bought, planned or done")
    mo.vstack([mo.md("""## The lines themselves"""), mo.Html(page.key_note_html(receipts.HOW_TO_TYPE)), grid])
    return (grid,)


@app.cell
def check(grid, project):
    put_right, told = receipts.edited(project, grid.value)
    keep = mo.ui.run_button(label="Save the lines", disabled=put_right is None)
    mo.vstack([mo.Html(told), keep])
    return keep, put_right


@app.cell
def kept(keep, put_right):
    mo.stop(not keep.value)
    mo.Html(receipts.saved(put_right))
    return


if __name__ == "__main__":
    app.run()
