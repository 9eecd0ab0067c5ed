"""What `trim` gives: as text, and as an object."""

from math import isfinite

from buildecon.decision.paydays import paydays
from buildecon.story.documents import cents
from buildecon.story.plain import bullets, paragraph, sheet
from buildecon.story.trim_tables import jobs_table, levels_table, months_table, skip_table, steps_table
from buildecon.story.trim_words import gain_sentence, nested_sentence, next_sentence, other_money_sentences, trim_assumptions, trim_sentence
from buildecon.story.words import cautions, is_figure


def trim_text(found, curve):
    """What to do and what to cut, as plain text.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money. [money]

    Returns
    -------
    str
        The answer, the jobs, good to best, what each step of money adds, what each job's absence saves, the months. [-]
    """
    menu, currency = found.menu, found.menu.project.currency
    said = [trim_sentence(found), gain_sentence(found), next_sentence(found, curve)]
    parts = [paragraph(" ".join(text for text in said if text))]
    tables = ((jobs_table(found), f"job, {currency}"), (levels_table(found), currency), (steps_table(found, curve), f"with {currency}"), (skip_table(found), f"leave out, {currency}"), (months_table(found), "month"))
    parts += [_of_rows(rows, first) for rows, first in tables if rows]
    parts.append(bullets("What goes with it", [text for text in [*other_money_sentences(found), nested_sentence(found, curve)] if text]))
    return "\n\n".join(part for part in [*parts, bullets("Assumptions", trim_assumptions(found)), bullets("Cautions", cautions(menu.project))] if part)


def _of_rows(rows, first):
    """Rows of a page as a table; a column with nothing in it is left out."""
    shown = [column for column in rows[0] if any(row[column] for row in rows)]
    words = {column for column in shown if not all(is_figure(row[column]) for row in rows)}
    head = [first if k == 0 else column for k, column in enumerate(shown)]
    return sheet(head, [[row[column] for column in shown] for row in rows], left={k for k, column in enumerate(shown) if column in words})


def trim_document(found, curve):
    """The object of `trim --json`.

    Parameters
    ----------
    found : Trimmed
        Of a project. [money]
    curve : sequence of Choice
        The best set at every amount of money. [money]

    Returns
    -------
    dict
        Format `buildecon.trim/1`. [-]
    """
    menu, project = found.menu, found.menu.project
    why = {cut.work.id: cut.why for cut in found.cuts}
    return {
        "format": "buildecon.trim/1",
        "name": project.file.build.name,
        "currency": project.currency,
        "as_of": project.file.build.as_of.isoformat(),
        "view": menu.view,
        "kept": menu.kept,
        "answer": trim_sentence(found),
        "budget": found.budget if isfinite(found.budget) else None,
        "hours": found.hours if isfinite(found.hours) else None,
        "no_jobs_written": menu.offered,
        "status": found.best.status,
        "short": round(found.best.short, 2),
        "best": _set(found, found.best),
        "jobs": [_work(menu, work, why.get(work.id, "")) for work in (*menu.works, *menu.ruled_out)],
        "done": [work.id for work in menu.done],
        "in_no_job": round(menu.elsewhere, 2),
        "levels": [{"name": level.name} | _set(found, level.choice) | {"without": [work.id for work in level.without]} for level in found.levels],
        "by_money": [_set(found, one) for one in curve],
        "skips": [
            {"job": skip.work.id, "goes_too": [work.id for work in skip.also], "or_instead": [work.id for work in skip.instead], "saves": cents(skip.money), "hours": cents(skip.hours), "loses": cents(skip.worth)}
            for skip in found.skips
        ],
        "months": [
            {"job": day.work.id, "month": f"{day.month:%Y-%m}" if day.month else None, "opens": cents(day.opens), "left_over": cents(day.left)}
            for day in paydays(menu, found.best)
        ] if months_table(found) else [],
    }  # fmt: skip


def _set(found, choice):
    return {"jobs": [work.id for work in found.works(choice)], "cost": cents(choice.cost), "hours": cents(choice.hours), "worth": cents(choice.worth)}


def _work(menu, work, why):
    return {
        "id": work.id, "what": work.what, "cost": cents(work.cost), "hours": cents(work.hours), "worth": cents(menu.worth(work)), "worth_to_you": cents(work.to_you),
        "adds": cents(work.adds), "must": work.must, "worth_is_written": work.known, "left_out_because": why,
    }  # fmt: skip
