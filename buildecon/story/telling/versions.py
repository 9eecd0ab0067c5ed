"""What was published, what of it is no longer so, and the reasons given: a new version only where a figure changed."""

from dataclasses import dataclass
from decimal import Decimal

from buildecon.project.rows import Published

DECIMALS = 6  # of a value in published.csv; what is compared is what readers were shown, its text


@dataclass(frozen=True)
class Change:
    """A published figure that is another now.

    Parameters
    ----------
    was : Published
        As readers were told it last. [-]
    now : str
        As it is shown today; empty where there is no such figure any more. [-]
    reason : str
        Of the correction that tells of it; empty where none does. [-]
    """

    was: Published
    now: str
    reason: str


def last_published(published):
    """The last version of what was published.

    Parameters
    ----------
    published : sequence of Published
        All versions. [-]

    Returns
    -------
    dict of str to Published
        By id of the figure; empty where nothing was published. [-]
    """
    last = max((row.version for row in published), default=0)
    return {row.figure: row for row in published if row.version == last}


def changes(published, figures, corrections=()):
    """Published figures that no longer equal today's.

    Parameters
    ----------
    published : sequence of Published
        All versions. [-]
    figures : dict of str to Figure
        Today's, by id, each with a `.value` and a `.text`. [-]
    corrections : sequence of Correction, optional
        With their reasons; one counts for the figure it names and the text it calls new, from the day of publishing on. [-]

    Returns
    -------
    tuple of Change
        In the order in which they were published. [-]
    """
    found = []
    for id, was in last_published(published).items():
        now = figures[id].text if id in figures else ""
        if not _same(now, was.text):
            reasons = [one.reason for one in corrections if one.figure == id and one.date >= was.published_on and (not now or _same(one.new, now))]
            found.append(Change(was, now, reasons[-1] if reasons else ""))
    return tuple(found)


def change_sentences(found):
    """Changes in words, with what to do.

    Parameters
    ----------
    found : sequence of Change
        From `changes`. [-]

    Returns
    -------
    list of str
        One a change with a reason; of those without, the quoted total first and the others in one. [-]
    """
    told = [one for one in found if one.reason]
    bare = sorted((one for one in found if not one.reason), key=lambda one: one.was.figure != "quoted")
    said = [f"{_was(one)} The reason in corrections.csv: {one.reason.rstrip('.')}. Publish again." for one in told]
    if bare:
        said.append(f"{_was(bare[0])} Publish again, and add the reason to corrections.csv.")
    if bare[1:]:
        moved = ", ".join(f"{one.was.figure} {one.was.text} to {one.now or 'none'}" for one in bare[1:])
        said.append(f"So {'is' if len(bare) == 2 else 'are'} {len(bare) - 1} more: {moved}.")
    return said


def _was(one):
    is_now = f"it is {one.now} now" if one.now else "there is no such figure now"
    return f"{one.was.figure} was published as {one.was.text} on {one.was.published_on}, version {one.was.version}; {is_now}."


def change_rows(found):
    """Changes as an object has them.

    Parameters
    ----------
    found : sequence of Change
        From `changes`. [-]

    Returns
    -------
    list of dict
        `figure`, `published`, `version`, `published_on`, `now` and `reason`, the last two None where there is none. [-]
    """
    return [
        {"figure": one.was.figure, "published": one.was.text, "version": one.was.version, "published_on": one.was.published_on.isoformat(), "now": one.now or None, "reason": one.reason or None}
        for one in found
    ]  # fmt: skip


def next_version(published, figures):
    """Number of the version that would be published now.

    Parameters
    ----------
    published : sequence of Published
        All versions so far. [-]
    figures : dict of str to Figure
        Today's. [-]

    Returns
    -------
    int
        1 at first; one more only where a published figure changed. [-]
    """
    last = max((row.version for row in published), default=0)
    return last + 1 if not last or changes(published, figures) else last


def published_anew(project, figures, day):
    """The project with today's figures published, to be written by `write_project`.

    Parameters
    ----------
    project : Project
        As it was read. [-]
    figures : dict of str to Figure
        Today's. [-]
    day : date
        Of publishing. [-]

    Returns
    -------
    Project
        With one more version in its `published`; the same project where no figure changed. [-]
    """
    version = next_version(project.published, figures)
    if version == max((row.version for row in project.published), default=0):
        return project
    as_of, priced = project.file.build.as_of, max((line.price_date for line in project.lines if line.price_date), default=None)
    rows = (Published(figure=id, value=_plain(one.value), text=one.text, as_of=as_of, price_date=priced, version=version, published_on=day) for id, one in figures.items() if one.text.strip())
    return project.model_copy(update={"published": (*project.published, *rows)})


def correction_rows(project):
    """Corrections for readers.

    Parameters
    ----------
    project : Project
        With its corrections.csv. [-]

    Returns
    -------
    list of dict
        A row a correction, the last first; finished text. [-]
    """
    latest = sorted(project.corrections, key=lambda one: one.date, reverse=True)
    return [{"figure": one.figure, "published": one.old, "right": one.new, "why": one.reason, "on": f"{one.date}"} for one in latest]


def _same(one, other):
    """Whether two texts show the same figure, however spaces and thousands are set."""
    return _bare(one) == _bare(other)


def _bare(text):
    return "".join(text.replace(",", "").split()).casefold()


def _plain(value):
    return None if value is None or value != value else Decimal(f"{value:.{DECIMALS}f}".rstrip("0").rstrip("."))
