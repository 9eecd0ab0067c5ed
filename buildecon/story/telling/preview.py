"""The page on which an owner looks at the forms of a write-up before they are published."""

from base64 import b64encode
from html import escape
from pathlib import Path

from buildecon.project import ProjectFaults
from buildecon.story.cost_words import trap_sentences
from buildecon.story.page import faults_html, lead_html, list_html, table_html
from buildecon.story.telling.article import DAY
from buildecon.story.telling.publishing import SPOKEN, publish

FORMS = ("article", "frames", "upright frames", "spoken script", "build book", "names for story.md")


def standing_html(written):
    """Whether it can be published, what moved since it last was, and what readers are told.

    Parameters
    ----------
    written : WriteUp
        Of a project. [-]

    Returns
    -------
    str
        Html. [-]
    """
    if written.faults:
        lead, trouble = "Not to be published yet: this has to be put right first.", faults_html(ProjectFaults(written.faults))
    else:
        new = not written.owner.published
        lead = f"Ready: {written.figures['quoted'].text}, figures of {written.told.as_of:{DAY}}, " + ("never published before." if new else f"version {written.version}.")
        trouble = ""
    return lead_html(lead) + trouble + list_html("Published before, and another figure now", written.changed) + list_html("Told to readers, so that nothing misleads", trap_sentences(written.traps))


def preview_html(written, form, prices=False):
    """One form to look at.

    Parameters
    ----------
    written : WriteUp
        Of a project. [-]
    form : str
        One of `FORMS`. [-]
    prices : bool, optional
        Whether the build book shows what was paid. [-]

    Returns
    -------
    str
        Html. [-]
    """
    if form == "article":
        return _paper(written.page(), "the article")
    if form == "build book":
        return _paper(written.book(prices), "the build book")
    if form == "spoken script":
        return "".join(f"<h3>{escape(name.removesuffix('.txt').replace('-', ' '))}</h3>" + "".join(f'<p class="spoken">{escape(part)}</p>' for part in written.spoken(seconds).split("\n\n")) for name, seconds in SPOKEN.items())
    if form == "names for story.md":
        return table_html([{"in story.md": f"{{{one.id}}}", "today": one.text, "what it is": one.what} for one in written.figures.values()], "Figures by the names that story.md may use")
    return "".join(_drawing(frame, "tall" if form == "upright frames" else "wide") for frame in written.frames)


def published_html(written, folder, prices, more=()):
    """The write-up published, or why it was not.

    Parameters
    ----------
    written : WriteUp
        Of a project. [-]
    folder : str
        Where to. [-]
    prices : bool
        Whether the build book shows what was paid. [-]
    more : iterable of (str, bytes), optional
        Further files. [-]

    Returns
    -------
    str
        Html. [-]
    """
    if not folder.strip():
        return lead_html("Write a folder to publish to.")
    try:
        files = publish(written, Path(folder.strip()).expanduser(), prices, more)
    except ProjectFaults as trouble:
        return lead_html("Nothing was published.") + faults_html(trouble)
    return lead_html(f"{len(files)} files in {folder.strip()}. Open article.html there.")


def folder_beside(project):
    """Where a write-up would go.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    str
        A folder beside the project's. [-]
    """
    home = Path(project.folder).resolve()
    return str(home.with_name(f"{home.name}-write-up"))


def _paper(page, words):
    """A whole page in a frame of its own, that can run its script and do nothing else."""
    return f'<iframe class="paper" title="{words}" sandbox="allow-scripts" srcdoc="{escape(page)}"></iframe>'


def _drawing(frame, shape):
    data = b64encode(frame.svg[shape].encode()).decode()
    return f'<figure class="frame {shape}"><img alt="{escape(frame.alt)}" src="data:image/svg+xml;base64,{data}"><figcaption>{escape(frame.id.replace("_", " "))}</figcaption></figure>'
