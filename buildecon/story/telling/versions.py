"""What was published, what of it is no longer so, and the reasons given: a new version only where a figure changed."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from buildecon.project.records import RUNG_IDS
from buildecon.project.rows import Published

QUOTED = "quoted"
# What the money in lines.csv does not move: for these a reason given for the quoted total is none.
ALONE = ("worth_low", "worth", "worth_high", "own_hours", "helper_hours", "planned", "cap", "years_kept", "rival", "rival_a_month", "rival_from_today", "rival_a_month_from_today")
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
        With their reasons; one counts for the figure it names and the text it calls new, from the day of publishing on. That of the quoted total counts for what moves with it, too. [-]

    Returns
    -------
    tuple of Change
        In the order in which they were published. [-]
    """
    return _changed(last_published(published), {id: one.text for id, one in figures.items()}, corrections)


def without_reason(published, corrections=()):
    """What changed from one version to the next, and no correction tells why.

    Parameters
    ----------
    published : sequence of Published
        All versions. [-]
    corrections : sequence of Correction, optional
        As of `changes`. [-]

    Returns
    -------
    dict of int to tuple of Change
        By the version that brought it, the first left out; empty tuples where all is told. [-]
    """
    versions = {number: [row for row in published if row.version == number] for number in sorted({row.version for row in published})}
    return {
        after: tuple(one for one in _changed({row.figure: row for row in versions[before]}, {row.figure: row.text for row in versions[after]}, corrections) if not one.reason)
        for before, after in pairwise(versions)
    }  # fmt: skip


def _changed(before, texts, corrections):
    """Changes from rows of one version to texts by id."""
    moved = {id: (was, texts.get(id, "")) for id, was in before.items() if not same_text(texts.get(id, ""), was.text)}
    reasons = {id: _reason(was, now, corrections) for id, (was, now) in moved.items()}
    inherited = reasons.get(QUOTED, "")
    return tuple(Change(was, now, reasons[id] or ("" if id in ALONE else inherited)) for id, (was, now) in moved.items())


def _reason(was, now, corrections):
    """The last reason given; one for a rung counts for the quoted total that showed the same figure."""
    found = ""
    for one in corrections:
        is_of_it = one.figure == was.figure or was.figure == QUOTED and one.figure in RUNG_IDS and same_text(one.old, was.text)
        if is_of_it and one.date >= was.published_on and (not now or same_text(one.new, now)):
            found = one.reason
    return found


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


def same_text(one, other):
    """Whether two texts show the same figure.

    Parameters
    ----------
    one, other : str
        Finished text. [-]

    Returns
    -------
    bool
        However blanks, thousands and capitals are set. [-]
    """
    return _bare(one) == _bare(other)


def _bare(text):
    return "".join(text.replace(",", "").split()).casefold()


def _plain(value):
    return None if value is None or value != value else Decimal(f"{value:.{DECIMALS}f}".rstrip("0").rstrip("."))
