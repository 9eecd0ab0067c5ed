"""What a notebook page needs besides charts and tables: a project opened kindly, sliders with sensible ends, html for the answer."""

import os
from html import escape
from pathlib import Path

from buildecon.project import ProjectFaults, read_project
from buildecon.story.words import answer, cautions, gate_cost_sentence, is_figure, joy_sentence, near_misses

FINER = (1, 2, 5, 10, 20)  # parts of a step that a slider may take, so that it can stand where the files do
DEMOS = Path(__file__).parents[2] / "data-demo"
PAGES = {"enter_receipts": "Enter receipts", "what_has_it_cost": "What has it cost?", "what_is_it_worth": "What is it worth?", "how_long_to_keep_it": "How long to keep it?", "finish_or_sell": "Finish it or sell it?", "what_to_cut": "What to cut?", "build_or_buy": "Build it or buy one?", "tell_the_story": "Tell the story"}


def links_html(here):
    """Links to the other pages of the suite.

    Parameters
    ----------
    here : str
        Name of this page. [-]

    Returns
    -------
    str
        Html. [-]
    """
    links = (f"<b>{escape(words)}</b>" if name == here else f'<a href="/page/{name}/">{escape(words)}</a>' for name, words in PAGES.items())
    return '<nav class="pages">' + " ".join(links) + "</nav>"


def faults_html(trouble):
    """Faults as a list.

    Parameters
    ----------
    trouble : ProjectFaults
        Any number of them. [-]

    Returns
    -------
    str
        Html; the first twenty. [-]
    """
    items = "".join(f"<li>{escape(str(fault))}</li>" for fault in trouble.faults[:20])
    more = len(trouble.faults) - 20
    return f'<ul class="cautions">{items}</ul>' + (f"<p>And {more} more.</p>" if more > 0 else "")


def missing_html(trouble):
    """What keeps a mapping from being one.

    Parameters
    ----------
    trouble : ValidationError
        Of a record. [-]

    Returns
    -------
    str
        Html, one item a fault. [-]
    """
    said = []
    for error in trouble.errors():
        wrong = error.get("ctx", {}).get("error")
        name = ".".join(str(part) for part in error["loc"])
        said.append(f"{name or 'The mapping'} must be {wrong.rule}. {wrong.cure}" if hasattr(wrong, "rule") else f"{name}: {error['msg']}.")
    return _items("cautions", said) + '<p class="key">Choose a column for each of them above; if there is none to choose, look at "Between cells" and "Lines above the header".</p>'


def project_folders(asked=None, others=True):
    """Project folders that a page can show: the one asked for, its neighbours, then the demos.

    Parameters
    ----------
    asked : str, optional
        A folder; by default the one that `open` was given. [-]
    others : bool, optional
        Whether its neighbours and the demos are shown too, where one is asked for. [-]

    Returns
    -------
    dict of str to str
        Path by name, the one asked for first. [-]
    """
    found = {}
    asked = asked or os.environ.get("BUILDECON_PROJECT")
    if asked and not others:
        return {Path(asked).resolve().name: str(Path(asked).resolve())}
    near = sorted(path.parent for path in Path(asked).resolve().parent.glob("*/build.toml")) if asked else []
    for folder in [*([Path(asked).resolve()] if asked else []), *near, *sorted(path.parent for path in DEMOS.glob("*/build.toml"))]:
        if str(folder) not in found.values():
            found[folder.name if folder.name not in found else str(folder)] = str(folder)
    return found


def opened(folder):
    """A project, or what is wrong with its folder.

    Parameters
    ----------
    folder : str
        Project folder. [-]

    Returns
    -------
    project : Project or None
        None where there are faults. [-]
    faults : str
        As html; empty where there are none. [-]
    """
    try:
        return read_project(folder), ""
    except ProjectFaults as trouble:
        items = "".join(f"<li>{escape(str(fault))}</li>" for fault in trouble.faults)
        return None, f"<p>To put right in {escape(str(folder))}, then load the page again:</p><ul>{items}</ul>"


def heading(project, view=""):
    """Unit at the head of a chart of monthly cost.

    Parameters
    ----------
    project : Project
        For its currency. [-]
    view : str, optional
        Whole story or from today. [-]

    Returns
    -------
    str
        In words. [-]
    """
    return f"{project.currency} a month, today's money" + (f", {view}" if view else "")


def answer_html(whole, today, shown, lead, totals, said):
    """The verdict, both answers and the price of joy, the one that is shown first, for the head of a page.

    Parameters
    ----------
    whole, today, shown : Comparison
        The two views, and which of them the page shows. [-]
    lead : tuple of str
        What was moved away from the files, empty where nothing was, and the verdict in one sentence. [-]
    totals : Ladder
        The project's totals. [money]
    said : str
        The answer in the view shown. [-]

    Returns
    -------
    str
        Html. [-]
    """
    other, name = (whole, "The whole story, all money in.") if shown is today else (today, "From today, with the money spent left out.")
    return (
        f'<div class="answer">{_turned(lead[0])}<p class="lead">{escape(lead[1])}</p><p>{escape(said)}</p><p>{escape(joy_sentence(shown))}</p>'
        f"<p><b>{name}</b> {escape(answer(other, totals))}</p></div>"
    )


def if_any(rows, shown):
    """Something to show where there are rows for it.

    Parameters
    ----------
    rows : sequence
        What it would show. [-]
    shown : object
        For a cell. [-]

    Returns
    -------
    object
        An empty text where there are none. [-]
    """
    return shown if rows else ""


def measured_html(logs, project):
    """What the log of fills says.

    Parameters
    ----------
    logs : sequence of Log
        Of the project. [-]
    project : Project
        The files. [-]

    Returns
    -------
    str
        Html; empty where there is no log. [-]
    """
    from buildecon.ownership.fuel_log import WINTER_HALF
    from buildecon.story.energy_words import groups_table, measured_sentence, measured_table, neighbours_sentence, places_table

    if not logs:
        return ""
    said = [text for log in logs for text in (measured_sentence(log, project), neighbours_sentence(log))]
    tables = [table_html(measured_table(logs, project), "Measured, beside what build.toml states")]
    tables += [table_html(places_table(log, project.currency), f"Bought where: {log.source}") for log in logs]
    tables += [table_html(groups_table(log, WINTER_HALF["north"]), f"By season and load: {log.source}; winter is that of the north") for log in logs]
    return "<h3>Measured from the log</h3>" + _items("notes", [text for text in said if text]) + "".join(tables)


def lead_html(first, *rest, what_if=""):
    """The answer at the head of a page.

    Parameters
    ----------
    first : str
        The answer. [-]
    rest : str
        What goes with it; an empty one is left out. [-]
    what_if : str, optional
        What was moved away from the files: over the answer, so that no picture of it is taken for theirs. [-]

    Returns
    -------
    str
        Html. [-]
    """
    more = "".join(f"<p>{escape(text)}</p>" for text in rest if text)
    return f'<div class="answer">{_turned(what_if)}<p class="lead">{escape(first)}</p>{more}</div>'


def _turned(text):
    return f'<p class="turned">{escape(text)}</p>' if text else ""


def list_html(title, texts):
    """Sentences under a title.

    Parameters
    ----------
    title : str
        Plain words. [-]
    texts : sequence of str
        An empty one is left out. [-]

    Returns
    -------
    str
        Html; empty where there is none. [-]
    """
    said = [text for text in texts if text]
    return f"<h3>{escape(title)}</h3>{_items('notes', said)}" if said else ""


def answers_html(title, pairs):
    """Questions with their answers, side by side, one above the other on a narrow page.

    Parameters
    ----------
    title : str
        Plain words. [-]
    pairs : sequence of tuple of str
        What is asked, and the answer. [-]

    Returns
    -------
    str
        Html. [-]
    """
    return f'<h3>{escape(title)}</h3><dl class="asked">' + "".join(f"<dt>{escape(asked)}</dt><dd>{escape(told)}</dd>" for asked, told in pairs) + "</dl>"


def key_note_html(text):
    """A quiet sentence under a table.

    Parameters
    ----------
    text : str
        Plain words. [-]

    Returns
    -------
    str
        Html. [-]
    """
    return f'<p class="key">{escape(text)}</p>'


def key_html(comparison):
    """What the lines of the break-even chart are.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    str
        Html; says only what is drawn. [-]
    """
    kinds = [option.kind for option in comparison.options]
    said = ["Thick: this build."]
    said += ["Dashed: the build another way."] if kinds.count("build") > 1 else []
    said += ["Thin: meets every must-have."] + ([] if comparison.passes.all() else ["Dotted: fails one."])
    return f'<p class="key">{" ".join(said)} A ring: the build and another cost the same.</p>'


def gates_html(comparison):
    """What each must-have costs, and the near misses.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    str
        Html. [-]
    """
    left = [f"Left out from today: {option.name}, {option.from_today.because.rstrip('.')}." for option in comparison.left_out]
    return _items("notes", [*gate_cost_sentence(comparison), *(f"Near miss: {text}." for text in near_misses(comparison)), *left])


def cautions_html(project):
    """Cautions, for the foot of a page.

    Parameters
    ----------
    project : Project
        For the kinds of work in it. [-]

    Returns
    -------
    str
        Html. [-]
    """
    return f"<h3>Cautions</h3>{_items('cautions', [f'Caution. {text}' for text in cautions(project)])}"


def sliders(slider, ends):
    """A slider for each of some ends, with a box to type in where the figure it stands at can be one of its steps.

    Parameters
    ----------
    slider : callable
        The notebook program's own. [-]
    ends : dict of str to dict
        From a function of `dials`. [-]

    Returns
    -------
    dict
        A slider by name. [-]
    """
    found = {}
    for name, each in ends.items():
        parts = [part for part in FINER if _on_a_step(each, each["step"] / part)]
        step = each["step"] if not parts or parts[0] == 1 else each["step"] / parts[0]  # whole years stay whole numbers
        typed = {"step": step, "include_input": True} if parts else {"show_value": True}  # a box would show the nearest step, and not what counts
        found[name] = slider(**(each | typed), full_width=True)
    return found


def _on_a_step(ends, step):
    """Whether it stands whole steps from its left end."""
    far = (ends["value"] - ends["start"]) / step
    return abs(far - round(far)) < 1e-6


def dials_html(elements):
    """Sliders in two columns, in one on a narrow page.

    Parameters
    ----------
    elements : iterable
        Notebook controls, each with its html in `text`. [-]

    Returns
    -------
    str
        Html. [-]
    """
    return '<div class="dials">' + "".join(f"<div>{element.text}</div>" for element in elements) + "</div>"


def table_html(rows, caption):
    """A table with numbers to the right, which scrolls inside itself on a narrow page.

    Parameters
    ----------
    rows : list of dict
        Finished text by column, the same columns in every row; a column without any is left out. [-]
    caption : str
        What it shows. [-]

    Returns
    -------
    str
        Html; empty where there are no rows. [-]
    """
    if not rows:
        return ""
    shown = [column for column in rows[0] if any(row[column] for row in rows)]
    kinds = {column: "figures" if all(is_figure(row[column]) for row in rows) else "words" for column in shown}
    head = "".join(f'<th class="{kind}" scope="col">{escape(column)}</th>' for column, kind in kinds.items())
    body = "".join("<tr>" + "".join(f'<td class="{kinds[column]}">{escape(str(row[column]))}</td>' for column in kinds) + "</tr>" for row in rows)
    caption = escape(caption)
    return (
        f'<p class="caption">{caption}</p><div class="sheet" tabindex="0" role="region" aria-label="{caption}"><table>'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _items(kind, texts):
    return f'<ul class="{kind}">' + "".join(f"<li>{escape(text)}</li>" for text in texts) + "</ul>" if texts else ""
