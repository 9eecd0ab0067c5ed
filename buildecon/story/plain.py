"""The verbs' plain output: the answer, then a table, then assumptions and cautions."""

from textwrap import fill

from buildecon.decision.compare import price_of_joy
from buildecon.ledger.cash import cash_by_month, peak_funding
from buildecon.story.cost_tables import causes_table, spread, statements_table, systems_table
from buildecon.story.cost_words import (
    forecast_sentences,
    honesty_sentences,
    owed_sentences,
    quoted_sentence,
    rules_sentences,
    small_change_sentence,
    trap_sentences,
)
from buildecon.story.doubt_tables import finding_out_table, turning_table
from buildecon.story.doubt_words import moved_sentence
from buildecon.story.telling.disclosure import disclosure_sentences
from buildecon.story.verdict_words import verdict_lines, verdict_sentence
from buildecon.story.words import (
    NOT_DONE,
    amount,
    answer,
    assumptions,
    break_even_verdict,
    cautions,
    gate_cost_sentence,
    is_figure,
    joy_sentence,
    near_misses,
    number,
    years_text,
)

WIDTH = 96
HUNDREDTHS = {"GBP": "pence", "EUR": "cents", "USD": "cents"}
OVERRULE = "To let one of these stand, write [[overruled]] in build.toml with trap = the word in brackets and because = your reason; it is then shown with the reason."


def cost_text(project, totals):
    """What the build cost, as plain text.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    str
        The quoted rung, the ladder, the systems, what is owed, the notes. [-]
    """
    build, currency = project.file.build, project.currency
    ladder = [
        [("> " if rung.id == build.quoted_rung else "  ") + rung.label, number(rung.amount, 2), spread(rung.low, rung.high), rung.includes] for rung in totals.rungs
    ]
    systems = [list(row.values()) for row in systems_table(totals.systems)]
    parts = [
        paragraph(quoted_sentence(project, totals)),
        sheet(["rung", currency, "range", "what it takes in"], ladder, left={0, 3}),
        sheet(["system", *list(systems_table(totals.systems)[0])[1:]], systems, left={0}),
        sheet(["from plan to actual, by cause", currency, "most of it"], [list(row.values()) for row in causes_table(totals.settled)], left={0, 2}),
    ]
    views, convention = totals.hours_views, project.file.own_hours.convention
    notes = [
        f"Own hours as a hobby {amount(views['hobby'], currency)}, at a wage {amount(views['wage'], currency)}, "
        f"at a shop rate {amount(views['shop'], currency)}; the ladder uses {convention}."
    ]
    if totals.to_finish[2]:
        notes += forecast_sentences(project, totals)
    notes.append(small_change_sentence(project, totals))
    if peak := peak_funding(cash_by_month(project)):
        notes.append(f"Most money out at the end of a month: {amount(peak.outstanding, currency)}, {peak.month}.")
    notes += [f"{row['month']}: card and bank say {row['statements']} {currency}, the ledger {row['ledger']}; unexplained {row['unexplained']}." for row in statements_table(project)]
    notes += [*owed_sentences(project, totals), *rules_sentences(project, totals)]
    if build.base_paid_then.likely:
        notes.append(f"Paid for the base car at the time: {amount(build.base_paid_then.likely, currency)}. History, in no total above.")
    notes += [f"Disclosed: {sentence}" for sentence in disclosure_sentences(project, totals)]
    if not any(settled.line.price_today for settled in totals.settled):
        notes.append("No line has a price of today yet, so the last rung is the reader's price.")
    return "\n\n".join(part for part in [*parts, bullets("Notes", notes), bullets("Before you publish", honesty_sentences(project, totals))] if part)


def keep_text(comparison, years, more=()):
    """What keeping each option costs, as plain text.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    years : sequence of int
        Years kept. [year]
    more : sequence of str, optional
        Sections before the assumptions. [-]

    Returns
    -------
    str
        The cheapest that qualifies, the table, the notes. [-]
    """
    currency, unit = comparison.project.currency, comparison.project.file.build.distance_unit
    first = comparison.month(years[0]) if years else 12
    kept = comparison.what_if.years_kept if comparison.what_if.years_kept in years else years[len(years) // 2]
    told = comparison.month(kept)
    able = [k for k, passes in enumerate(comparison.passes) if passes and comparison.ready(k) <= told]
    if able:
        best = min(able, key=lambda k: comparison.total[k, told])
        lead = (
            f"Kept {years_text(kept)}, the cheapest that meets every must-have is {comparison.options[best].name}: "
            f"{amount(comparison.per_month[best, told], currency)} a month. ({comparison.view.capitalize()}.)"
        )
    else:
        lead = f"Kept {years_text(kept)}, no option that meets every must-have is done by then." if any(comparison.passes) else "No option meets every must-have."
    rows = []
    for k in sorted(range(len(comparison.options)), key=lambda k: (comparison.ready(k) > first, comparison.per_month[k, first])):
        cells = [
            f"{number(comparison.per_month[k, m])} ({number(100 * comparison.per_distance[k, m], 1)})" if m >= comparison.ready(k) else NOT_DONE
            for m in map(comparison.month, years)
        ]
        rows.append([comparison.options[k].name, *cells, "pass" if comparison.passes[k] else "FAILS"])
    head = ["option", *(years_text(year) for year in years), "must-haves"]
    unit_line = f"{currency} a month ({HUNDREDTHS.get(currency, f'hundredths of {currency}')} per {unit}), {comparison.view}"
    notes = [f"{option.name} fails: {gate.reason}." for option, gates in zip(comparison.options, comparison.gates, strict=True) for gate in gates if not gate.passes]
    notes += [f"Near miss: {text}." for text in near_misses(comparison)]
    notes += [f"Left out from today: {option.name}, {option.from_today.because.rstrip('.')}." for option in comparison.left_out]
    table = f"{unit_line}\n{sheet(head, rows, left={0})}"
    return "\n\n".join(part for part in [paragraph(lead), table, bullets("Must-haves", notes), *more, _closing(comparison)] if part)


def decide_text(whole, today, totals, found):
    """Build or buy, as plain text.

    Parameters
    ----------
    whole, today : Comparison
        The two views. [-]
    totals : Ladder
        The project's totals. [money]
    found : Verdict
        Of the two. [-]

    Returns
    -------
    str
        The verdict, both answers, the break-evens, the price of joy, the must-haves, the notes. [-]
    """
    kept = whole.what_if.years_kept
    years = sorted({*(y for y in (2, 3, 5, 6, 9, 10) if y <= whole.project.file.use.horizon_years), kept})
    parts = [
        paragraph(verdict_sentence(found)),
        paragraph("Whole story. " + answer(whole, totals)),
        paragraph("From today. " + answer(today, totals)),
    ]
    for view in (whole, today):
        months = [view.month(year) for year in years]
        order = sorted(range(len(view.options)), key=lambda k: view.per_month[k, view.month(kept)])
        rows = [[view.options[k].name + ("" if view.passes[k] else " (fails)"), *(number(view.per_month[k, m]) if m >= view.ready(k) else NOT_DONE for m in months)] for k in order]
        rows.append(["price of joy", *(number(price_of_joy(view)[m]) if m >= view.done_after else "-" for m in months)])
        head = [f"{view.project.currency} a month, {view.view}", *(years_text(year) for year in years)]
        parts.append(sheet(head, rows, left={0}))
    build = whole.options[whole.build].name
    parts.append(bullets("Break-even in years kept, whole story", [
        f"against {whole.options[k].name}{'' if whole.passes[k] else ' (fails)'}: {break_even_verdict(whole.break_even(k), build, whole.options[k].name)}." for k in whole.rivals()
    ]))  # fmt: skip
    musts = [f"{option.name} fails: {gate.reason}." for option, gates in zip(whole.options, whole.gates, strict=True) for gate in gates if not gate.passes]
    musts += gate_cost_sentence(whole) + [f"Near miss: {text}." for text in near_misses(whole)]
    parts.append(bullets("Joy and must-haves", ["Whole story. " + joy_sentence(whole), "From today. " + joy_sentence(today), *musts, *(f"Left out from today: {o.name}, {o.from_today.because.rstrip('.')}." for o in today.left_out)]))
    parts.append(bullets("The verdict on one page", [*(f"{asked}. {told}" for asked, told in verdict_lines(found)), *moved_sentence(found.forward.asked.unknown.moved)]))
    parts += [_rows(finding_out_table(found.forward.doubts, found.project)[:6], f"what is not known, {found.forward.comparison.view}"), _rows(turning_table(found.forward), f"what would turn the answer, {found.forward.comparison.view}")]
    return "\n\n".join([*filter(None, parts), _closing(whole)])


def _rows(rows, title):
    """A table of finished rows; its first column is named by the title."""
    if not rows:
        return ""
    first, *rest = rows[0]
    return sheet([title, *rest], [list(row.values()) for row in rows], left={0, *(k for k, name in enumerate(rows[0]) if not all(is_figure(row[name]) for row in rows))})


def check_text(project, found, doubts=(), sections=()):
    """That a project folder is in order, as plain text.

    Parameters
    ----------
    project : Project
        Read without a fault. [-]
    found : sequence of Trap
        How its figures could mislead. [-]
    doubts : sequence of Flag, optional
        About the market evidence. [-]
    sections : sequence of (str, sequence of str), optional
        More to say, each with its heading; one with nothing under it is left out. [-]

    Returns
    -------
    str
        What was read, and how its figures could mislead. [-]
    """
    counts = f"{len(project.lines)} lines, {len(project.events)} events, {len(project.market)} pieces of market evidence, {len(project.options)} options"
    undated = [line.id for line in project.lines if line.paid and line.paid.likely and line.date is None and line.nature != "base car"]
    notes = [f"{len(undated)} paid {'line has' if len(undated) == 1 else 'lines have'} no date: {', '.join(undated[:12])}{' ...' if len(undated) > 12 else ''}."] if undated else []
    notes += trap_sentences(found, ids=True)
    notes += [f"Market: {flag.name}: {flag.figure}. {flag.cure}" for flag in doubts]
    last = [paragraph(OVERRULE)] if any(not trap.overruled for trap in found) else []
    return "\n\n".join([paragraph(f"No faults in {project.folder}: {counts}."), *(bullets(heading, said) for heading, said in sections if said), *([bullets("Worth a look", notes)] if notes else []), *last])


def _closing(comparison):
    return "\n\n".join([bullets("Assumptions", assumptions(comparison)), bullets("Cautions", cautions(comparison.project))])


def paragraph(text):
    """A sentence or more, in lines of the house's width.

    Parameters
    ----------
    text : str
        Of any length. [-]

    Returns
    -------
    str
        With line breaks. [-]
    """
    return fill(text, WIDTH, break_long_words=False)


def bullets(title, items):
    """A title and a list under it.

    Parameters
    ----------
    title : str
        Plain words. [-]
    items : sequence of str
        Sentences. [-]

    Returns
    -------
    str
        Empty where there are none. [-]
    """
    return "\n".join([title, *(fill(item, WIDTH, initial_indent="- ", subsequent_indent="  ", break_long_words=False) for item in items)]) if items else ""


def sheet(head, rows, left):
    """Columns side by side, numbers to the right.

    Parameters
    ----------
    head : sequence of str
        Names of the columns. [-]
    rows : sequence of sequence of str
        Finished cells. [-]
    left : set of int
        Positions of the columns of words. [-]

    Returns
    -------
    str
        With a line under the head. [-]
    """
    cells = [[str(cell) for cell in row] for row in [head, *rows]]
    widths = [max(len(row[k]) for row in cells) for k in range(len(head))]
    lines = ["  ".join(cell.ljust(w) if k in left else cell.rjust(w) for k, (cell, w) in enumerate(zip(row, widths, strict=True))).rstrip() for row in cells]
    return "\n".join([lines[0], "-" * len(lines[0]), *lines[1:]])
