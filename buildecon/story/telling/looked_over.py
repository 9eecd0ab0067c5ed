"""What `check` says of a write-up: story.md before it can be published, and what was published before."""

from dataclasses import dataclass

from buildecon.project.for_readers import for_readers
from buildecon.story.telling.change_words import change_sentences, unexplained_sentences
from buildecon.story.telling.corrections import never_published
from buildecon.story.telling.figures import figures
from buildecon.story.telling.prose import prose_faults
from buildecon.story.telling.told import Told
from buildecon.story.telling.versions import change_rows, changes, without_reason


@dataclass(frozen=True)
class LookedOver:
    """What a look at the words and at what was published has shown.

    Parameters
    ----------
    story : tuple of Fault
        What is wrong with story.md. [-]
    changed : tuple of Change
        Published figures that are others today. [-]
    bare : tuple of Change
        Figures that the last version changed without a reason. [-]
    version : int
        The last one; 0 where nothing was published. [-]
    corrections : tuple of Fault
        Corrections of what was never published. [-]
    """

    story: tuple = ()
    changed: tuple = ()
    bare: tuple = ()
    version: int = 0
    corrections: tuple = ()


def looked_over(project):
    """A look at story.md and at what was published; where there is neither no model is asked.

    Parameters
    ----------
    project : Project
        The owner's files. [-]

    Returns
    -------
    LookedOver
        With nothing in it where all is well. [-]
    """
    if not (project.story or project.published):
        return LookedOver()
    shown = for_readers(project)
    today, bare = figures(Told(shown)), without_reason(project.published, project.corrections)
    return LookedOver(
        tuple(prose_faults(shown.story, today, project.currency)), changes(project.published, today, project.corrections), bare[max(bare)] if bare else (),
        max((row.version for row in project.published), default=0), tuple(never_published(project, today)),
    )  # fmt: skip


def looked_over_sections(found):
    """The same in words.

    Parameters
    ----------
    found : LookedOver
        Of a project. [-]

    Returns
    -------
    tuple of (str, list of str)
        A heading and what stands under it; what has nothing under it is for the caller to leave out. [-]
    """
    return (
        ("story.md, before it can be published", [str(fault) for fault in found.story]),
        ("Published, and no longer so", change_sentences(found.changed)),
        ("Published anew without a reason", unexplained_sentences(found.bare, found.version)),
        ("Corrections of what was never published", [str(fault) for fault in found.corrections]),
    )


def looked_over_document(found):
    """The same as an object has it.

    Parameters
    ----------
    found : LookedOver
        Of a project. [-]

    Returns
    -------
    dict
        `story` and `corrections` as faults, `published` and `without_reason` as changes; in the latter `now` is what the last version told. [-]
    """
    return {
        "story": [vars(fault) for fault in found.story], "published": change_rows(found.changed), "without_reason": change_rows(found.bare),
        "corrections": [vars(fault) for fault in found.corrections],
    }  # fmt: skip
