"""The buyer's build book: what is on the car, what was done, by whom it was left to a qualified person; prices by one switch."""

from buildecon.story import cost_tables
from buildecon.story.telling.article import DAY
from buildecon.story.telling.blocks import Heading, Points, Says, Sheet, clean
from buildecon.story.telling.disclosure import disclosure_sentences
from buildecon.story.telling.parts_list import fitted_rows, parts_rows
from buildecon.story.telling.public_words import public
from buildecon.story.words import amount, cautions, number


def build_book(told, given, prices=False):
    """All blocks of the book.

    Parameters
    ----------
    told : Told
        A project's models. [-]
    given : Given
        What is disclosed. [-]
    prices : bool, optional
        Whether what was paid is shown. [-]

    Returns
    -------
    tuple
        Blocks in order. [-]
    """
    project, build = told.project, told.project.file.build
    blocks = [
        Heading(f"{clean(build.name, 120)}: the build book", 1),
        Says((clean(build.summary, 2000),)),
        Says((f"As it stands on {build.as_of:{DAY}}, {build.stage}. " + ("Prices are shown as they were paid." if prices else "Prices are left out."),)),
        Heading("What is fitted and done"),
        Sheet("Parts and outside work", tuple(fitted_rows(told))),
        Heading("Hours"),
        Says((f"{number(project.hours_spent.likely)} {'hour' if project.hours_spent.likely == 1 else 'hours'} of the builder's own.",)),
        Sheet("Hours by system", tuple(cost_tables.hours_table(project))),
        Heading("What is due"),
        Points(_due(told)),
        *([Heading("What was paid"), Says((f"What the car stands in at: {amount(told.totals['stands_in_at'], told.currency)}.",)), Sheet("Everything bought", tuple(parts_rows(told, given.marks)))] if prices else []),
        Heading("Given parts"),
        Says(given.sentences if prices else tuple(disclosure_sentences(project, told.totals, money=False)), "disclosure"),
        Heading("Before you drive or work on it"),
        Points(tuple(map(public, cautions(project))), "caution"),
    ]
    return tuple(block for k, block in enumerate(blocks) if _holds(block) and not (isinstance(block, Heading) and k + 1 < len(blocks) and not _holds(blocks[k + 1])))


def _due(told):
    """What the files say has to be renewed, and at what distance."""
    unit, builds = told.project.file.build.distance_unit, [option for option in told.project.options if option.kind == "build" and option.wear]
    parts = builds[0].wear.renewals if builds else ()
    return tuple(f"{clean(part.what, 120)}: every {_range(part.every)} {unit}; {_range(part.used)} {unit} on it." for part in parts)


def _range(estimate):
    return number(estimate.likely) if estimate.low == estimate.high else f"{number(estimate.low)} to {number(estimate.high)}"


def _holds(block):
    return not (isinstance(block, (Says, Points)) and not any(block.texts) or isinstance(block, Sheet) and not block.rows)
