# /// script
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="medium", app_title="Tell the story", css_file="page.css")

with app.setup:
    import marimo as mo

    from buildecon.story import page
    from buildecon.story.telling import preview
    from buildecon.story.telling.publishing import WriteUp


@app.cell
def question():
    mo.vstack([mo.Html(page.links_html("tell_the_story")), mo.md("""# Tell the story""")])
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
    written = WriteUp(project)
    return project, written


@app.cell
def answers(written):
    mo.Html(preview.standing_html(written))
    return


@app.cell
def controls():
    form = mo.ui.radio(options=preview.FORMS, value=preview.FORMS[0], inline=True, label="Look at")
    prices = mo.ui.checkbox(label="Prices in the build book")
    mo.vstack([form, prices])
    return form, prices


@app.cell
def look(form, prices, written):
    mo.Html(preview.preview_html(written, form.value, prices.value))
    return


@app.cell
def where_to(project, written):
    folder = mo.ui.text(value=preview.folder_beside(project), full_width=True, label="Publish to this folder")
    go = mo.ui.run_button(label="Publish", disabled=bool(written.faults))
    mo.vstack([mo.md("""## Publish"""), folder, go])
    return folder, go


@app.cell
def published(folder, go, prices, written):
    mo.stop(not go.value)
    with mo.status.spinner(title="Writing it up ..."):
        said = preview.published_html(written, folder.value, prices.value)
    mo.Html(said)
    return


@app.cell
def how_to():
    mo.md("""
    Your own words stand in `story.md` in the project folder: paragraphs, lists that start with `- `, headings that start with `#`.
    A figure in them is a name in braces, as `{stands_in_at}`; the names are listed above under "names for story.md".
    Who gave something stands under `[[disclosures]]` in `build.toml`; a figure once published and changed is told by `corrections.csv`.
    """)
    return


if __name__ == "__main__":
    app.run()
