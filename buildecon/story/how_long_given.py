"""What `keep` gives of how long to keep a car: as text, and as a part of its object."""

import math

from buildecon.ownership.expected import clocks
from buildecon.quantities.units import AMOUNT_PER
from buildecon.story.documents import cents
from buildecon.story.energy_words import measured_sentence
from buildecon.story.how_long_tables import limit_table, lives_table, years_table
from buildecon.story.how_long_words import (
    chance_sentence,
    clocks_sentence,
    ends_sentences,
    how_long_assumptions,
    keep_sentence,
    life_sentence,
    limit_sentences,
    next_year_sentence,
    spread_sentence,
)
from buildecon.story.plain import bullets, sheet


def how_long_text(found, logs):
    """Sections between the table of options and the assumptions.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]
    logs : sequence of Log
        Of the project. [-]

    Returns
    -------
    list of str
        How long, the table by years, every option at its best, the repair limit, what was measured, assumptions. [-]
    """
    said = [life_sentence(found), keep_sentence(found), next_year_sentence(found), spread_sentence(found), *ends_sentences(found), chance_sentence(found)]
    parts = [bullets("How long to keep it", [text for text in said if text])]
    for rows in (years_table(found), lives_table(found), limit_table(found)):
        parts += [sheet(list(rows[0]), [list(row.values()) for row in rows], left={0})] if rows else []
    parts.append(bullets("Repair limit", limit_sentences(found)))
    parts.append(bullets("Measured", [measured_sentence(log, found.project) for log in logs]))
    parts.append(bullets("What the years rest on", [*how_long_assumptions(found), clocks_sentence(found)]))
    return [part for part in parts if part]


def how_long_document(found, logs):
    """The fields that `keep --json` adds.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]
    logs : sequence of Log
        Of the project. [-]

    Returns
    -------
    dict
        `economic_life`, `economic_life_over_ranges`, `marginal`, `keep_until`, `lifetime`, `repair_limit`, `measured_energy`, `one_more_year`, `clocks`. [-]
    """
    comparison = found.comparison
    ids = [option.id for option in comparison.options]
    return {
        "economic_life": {id: _life(found, k) for k, id in enumerate(ids)},
        "economic_life_over_ranges": None if found.spread is None else _spread(found.spread),
        "marginal": {id: [cents(float(cost)) for cost in found.marginal[k]] for k, id in enumerate(ids)},
        "one_more_year": _one_more_year(found),
        "keep_until": _keep(found, found.keep, found.rival),
        "keep_until_as_long": _keep(found, found.keep_as_long, found.comparison.cheapest_rival(found.comparison.what_if.years_kept)),
        "lifetime": {id: {"bought_again_after_years": [round(year, 4) for year in found.replaced_years(k)]} for k, id in enumerate(ids)},
        "clocks": _clocks(found),
        "repair_limit": _limit(found.limit),
        "measured_energy": [_log(log) for log in logs],
    }


def _life(found, k):
    years, cost, status, low, high = found.life(k)
    return {"years": _plain(years), "per_month": cents(cost), "status": status, "low": _plain(low), "high": _plain(high), "searched": float(found.lives.searched)}


def _spread(lives):
    return {"at": [float(share) for share in lives.at], "years": [float(year) for year in lives.quantile], "or_more": round(float(lives.or_more), 4), "flat": round(float(lives.flat), 4)}


def _keep(found, keep, rival):
    if keep is None:
        return None
    against = found.comparison.options[rival].id
    return {"against": against, "years": _plain(float(keep.years)), "status": str(keep.status), "first_dear_year_after": _plain(float(keep.first_dearer)), "saving": cents(float(keep.saving)), "searched": float(keep.searched)}


def _one_more_year(found):
    if found.next_year is None:
        return None
    return {"against": found.comparison.options[found.rival].id, "per_month": cents(found.next_year), "saves": cents(found.next_year_saves)}


def _clocks(found):
    ends = clocks(found.project, found.comparison.what_if.distance_a_year)
    if ends is None:
        return None
    names = ("chance_engine_first", "years", "years_if_given_up", "engine_renewals")
    return {"first": ends.first, "shell_like": found.project.file.clocks.shell_like or None} | {name: round(float(getattr(ends, name)), 4) for name in names}


def _limit(limit):
    if limit is None:
        return []
    return [
        {"year": year + 1, "status": str(limit.status[year]), "limit": cents(float(limit.limit[year])), "still_kept": round(float(limit.still_kept[year]), 4)}
        for year in range(len(limit.limit))
    ]


def _log(log):
    def pooled(one):
        return None if one is None else {"per_100_km": round(float(one.consumption), 4), "standard_error": round(float(one.standard_error), 4), "spans": int(one.spans), "km": round(float(one.distance), 1)}

    loss = None if log.loss is None else {"share": cents(log.loss[0], 4), "standard_error": cents(log.loss[1], 4), "charges": int(log.loss[2])}
    price = None if log.price is None else log.price * AMOUNT_PER[log.unit]
    return {"source": log.source, "unit": log.unit, "bought": pooled(log.bought), "used": pooled(log.used), "charging_loss": loss, "price": cents(price, 4)}


def _plain(value):
    return value if math.isfinite(value) else None
