"""The plain output of `worth`: the answer, the tables, what follows, assumptions and cautions."""

from buildecon.story.plain import bullets, paragraph, sheet
from buildecon.story.standing_words import built_sentence, cover_sentence, dip_sentence, job_sentences, ways_sentence
from buildecon.story.words import cautions, is_figure
from buildecon.story.worth_tables import corrections_table, equity_table, evidence_table, parts_table, stages_table, ways_table, work_table
from buildecon.story.worth_words import (
    asks_sentence,
    decline_sentence,
    equity_sentence,
    evidence_sentence,
    flag_sentences,
    grave_sentences,
    middle_sentence,
    pull_sentence,
    worth_assumptions,
    worth_sentence,
)  # fmt: skip


def worth_text(stand):
    """What the car is worth, as plain text.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    str
        The range, how far upside down, the evidence, the states, the ways out, what is thin. [-]
    """
    market, project = stand.market, stand.project
    currency = project.currency
    parts = [paragraph(f"{worth_sentence(stand)} {evidence_sentence(stand)}".strip()), *map(paragraph, grave_sentences(market)), paragraph(equity_sentence(stand))]
    told = [evidence_table(market), corrections_table(market), equity_table(stand), stages_table(stand), work_table(stand), ways_table(stand), parts_table(stand)]
    heads = (f"row of market.csv, {currency}", "a difference between cars", f"{currency} against", f"by state, {currency}", f"what the work adds, {currency}", f"ways out, {currency}", f"in pieces, {currency}")
    for rows, first in zip(told, heads, strict=True):
        parts += [_of_rows(rows, first)] if rows else []
    said = [middle_sentence(stand), pull_sentence(market), asks_sentence(project, market), decline_sentence(market), dip_sentence(stand), built_sentence(stand), ways_sentence(stand), cover_sentence(stand), *job_sentences(stand)]
    parts += [bullets("What follows", [text for text in said if text]), bullets("Thin, odd or assumed", flag_sentences(market))]
    return "\n\n".join([part for part in parts if part] + [bullets("Assumptions", worth_assumptions(stand)), bullets("Cautions", cautions(project))])


def _of_rows(rows, first):
    """Rows of a page as a table; a column with nothing in it is left out."""
    shown = [column for column in rows[0] if any(row[column] for row in rows)]
    words = {column for column in shown if not all(is_figure(row[column]) for row in rows)}
    head = [first if k == 0 else column for k, column in enumerate(shown)]
    return sheet(head, [[row[column] for column in shown] for row in rows], left={k for k, column in enumerate(shown) if column in words})
