"""What `finish` gives of a build half-way: as text, and as an object."""

from math import isfinite

from buildecon.decision.ways import KEEP, SELL
from buildecon.story.documents import cents
from buildecon.story.half_way_tables import gates_table, left_table, ways_table
from buildecon.story.half_way_words import (
    chance_sentences,
    finish_assumptions,
    finish_sentence,
    gate_sentences,
    job_sentences,
    keep_or_switch_sentence,
    left_sentences,
    limit_of_finishing_sentences,
    sunk_sentence,
)
from buildecon.story.plain import bullets, paragraph, sheet
from buildecon.story.words import cautions

ENDS = ("low", "likely", "high")


def finish_text(found, totals):
    """What to do with a build half-way, as plain text.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    str
        The answer, keeping, the ways, what would change it, assumptions, cautions. [-]
    """
    parts = [paragraph(finish_sentence(found)), *(paragraph(text) for text in job_sentences(found)), paragraph(keep_or_switch_sentence(found)), paragraph(sunk_sentence(found))]
    ways = ways_table(found)
    shown = [column for column in ways[0] if any(row[column] for row in ways)]
    parts.append(f"{found.project.currency}, from today\n" + sheet(shown, [[row[column] for column in shown] for row in ways], left={0}))
    parts.append(bullets("What would change it", [*limit_of_finishing_sentences(found), *chance_sentences(found)]))
    parts.append(bullets("Still to come", left_sentences(found, totals)))
    parts += [sheet(list(rows[0]), [list(row.values()) for row in rows], left={0}) for rows in (left_table(found),) if rows]
    parts.append(bullets("Gates", gate_sentences(found)))
    parts += [sheet(list(rows[0]), [list(row.values()) for row in rows], left={0}) for rows in (gates_table(found),) if rows]
    parts += [bullets("Assumptions", finish_assumptions(found)), bullets("Cautions", cautions(found.project))]
    return "\n\n".join(part for part in parts if part)


def finish_document(found, totals):
    """The same as a versioned object.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    dict
        Format `buildecon.finish/1`. [-]
    """
    project, names = found.project, ("as_is", "finished", "still_to_come", "months", "own_hours", "holding_a_month")
    build, other = found.kept.per_month
    rival = None if found.kept.rival is None else found.kept.comparison.options[found.kept.rival].id
    return {
        "format": "buildecon.finish/1",
        "name": project.file.build.name,
        "currency": project.currency,
        "as_of": project.file.build.as_of.isoformat(),
        "answer": finish_sentence(found),
        "best": found.best.id,
        "too_close_to_call": found.too_close,
        "anything_left": found.is_open,
        "counted": dict(zip(names, map(cents, found.figures), strict=True)) | {"discount_rate": round(found.kept.comparison.what_if.discount_percent / 100, 6)},
        "spent_not_in_this_decision": cents(found.sunk),
        "ways": [_way(found, way) for way in found.ranked],
        "keep": {
            "years": found.kept.years, "against": rival, "per_month": cents(build), "against_per_month": cents(other),
            "as_good_as_in_hand": None if found.keep is None else cents(found.keep.net), "low": None, "high": None,
            "chance_of_beating_every_sale": _share(found.chances.get(KEEP)),
        } | ({} if found.keep is None else {"low": cents(found.ends[found.keep.id][0]), "high": cents(found.ends[found.keep.id][2])}),
        "finished_value_needed": cents(found.finished_value_needed),
        "cost_ceiling": cents(found.cost_ceiling),
        "chance_best_beats_what_it_is_told_against": _share(found.chances.get("best beats beside")),
        "worth_of_finding_out": cents(found.finding_out),
        "still_to_come": _left(found.left),
        "gates": _gates(found.staged),
        "improvements": [{"what": job.what, "if_selling": dict(zip(ENDS, map(cents, job.if_selling), strict=True)), "per_month_if_keeping": cents(job.per_month_if_keeping), "keep_years": job.keep_years} for job in found.jobs],
        "notes": [keep_or_switch_sentence(found), *left_sentences(found, totals)],
        "assumptions": finish_assumptions(found),
        "cautions": cautions(project),
    }  # fmt: skip


def _way(found, way):
    low, _, high = found.ends[way.id]
    wage = found.wage(way)
    money = {"low": cents(low), "likely": cents(way.net), "high": cents(high), "against_selling_today": cents(way.net - found.way(SELL).net)}
    work = {"brings": cents(way.brings), "still_to_pay": cents(way.costs), "own_hours": cents(way.hours), "an_hour_earns": cents(wage) if isfinite(wage) else None, "months": cents(way.months)}
    return {"id": way.id, "kind": way.kind, "name": way.name} | money | work | {"chance_of_being_the_best": _share(found.chances.get(way.id))}


def _share(chance):
    return None if chance is None else round(float(chance), 4)


def _left(left):
    past = {"builds": left.past_builds, "middle": cents(left.past_middle), "holds_in_4_of_5": cents(left.past_holds)} if left.past_builds else None
    return {"as_written": cents(left.as_written), "low": cents(left.low), "high": cents(left.high), "overrun_so_far": round(left.overrun, 4), "at_the_pace_so_far": cents(left.at_pace), "past": past}


def _gates(staged):
    if staged is None:
        return None
    rules = [
        {"before": gate.what, "stopping_brings": cents(gate.stop), "go_on_below": {"low": cents(gate.limit[0]), "high": cents(gate.limit[1])}, "expected": cents(gate.expected), "reached": _share(gate.reached), "goes_on": _share(gate.goes_on), "looks_first": _share(gate.looks)}
        for gate in staged.gates
    ]
    worths = {"value": cents(staged.value), "committed": cents(staged.committed), "stop_now": cents(staged.stop_now), "worth_of_option": cents(staged.worth_of_option), "worth_of_looking": cents(staged.worth_of_looking)}
    return worths | {"chance_of_finishing": _share(staged.finishes), "phases": rules}
