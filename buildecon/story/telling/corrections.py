"""Corrections: as readers are shown them, and those of what was never published."""

from buildecon.project.faults import Fault, wrong
from buildecon.story.telling.change_words import quoted_first
from buildecon.story.telling.versions import changes, next_version, same_text, without_reason

FILE, NONE_GIVEN = "corrections.csv", "no reason given"
NAMED = 6  # figures of those that moved as well; the others are counted


def correction_rows(project, figures):
    """What was published and is another figure now, for readers: told with its reason, or that there is none.

    Parameters
    ----------
    project : Project
        With its published.csv and corrections.csv. [-]
    figures : dict of str to Figure
        Today's, which are about to be published. [-]

    Returns
    -------
    list of dict
        Changes without a reason first, the newest version before the others, at most two rows a version; then a row a correction, the last first. Finished text. [-]
    """
    bare, coming = without_reason(project.published, project.corrections), next_version(project.published, figures)
    bare[coming] = bare.get(coming, ()) + tuple(one for one in changes(project.published, figures, project.corrections) if not one.reason)
    rows = [row for version in sorted(bare, reverse=True) for row in _bare_rows(quoted_first(bare[version]), version, figures)]
    latest = sorted(project.corrections, key=lambda one: one.date, reverse=True)
    return rows + [{"figure": _words(one.figure, figures), "published": one.old, "right": one.new, "why": one.reason, "on": f"{one.date}"} for one in latest]


def _bare_rows(found, version, figures):
    """The quoted total, then all that moved as well in one row."""
    for one in found[:1]:
        yield {"figure": _words(one.was.figure, figures), "published": one.was.text, "right": one.now or "no longer told", "why": NONE_GIVEN, "on": f"version {version}"}
    if more := found[1:]:
        names = [_words(one.was.figure, figures) for one in more]
        left = [f"{len(names) - NAMED} others"] if len(names) > NAMED + 1 else names[NAMED:]
        listed = "; ".join([*names[:NAMED], *left])
        yield {"figure": f"{len(more)} more: {listed}", "published": f"version {more[0].was.version}", "right": f"version {version}", "why": NONE_GIVEN, "on": f"version {version}"}


def _words(id, figures):
    """What a figure is called; one that is no more by its name."""
    return figures[id].what if id in figures else id.replace("_", " ")


def never_published(project, figures):
    """Corrections whose old or new text no reader was ever shown.

    Parameters
    ----------
    project : Project
        With its published.csv and corrections.csv. [-]
    figures : dict of str to Figure
        Today's. [-]

    Returns
    -------
    list of Fault
        Empty where nothing was published, since corrections may be older than that file. [-]
    """
    found = []
    for one in project.corrections if project.published else ():
        shown = {row.text: row.version for row in project.published if row.figure == one.figure}
        now = [figures[one.figure].text] if one.figure in figures else []
        if not any(same_text(one.old, text) for text in shown):
            found.append(Fault(FILE, one.row, "old", wrong(f"a text that was published of {one.figure}", one.old, f"Published was {_listed(shown)}.")))
        if not any(same_text(one.new, text) for text in (*shown, *now)):
            cure = f"Published was {_listed(shown)}" + (f"; today it is {now[0]}." if now else ".")
            found.append(Fault(FILE, one.row, "new", wrong(f"a text that was published of {one.figure}, or today's", one.new, cure)))
    return found


def _listed(shown):
    return ", ".join(f"{text} (version {version})" for text, version in shown.items())
