"""What `worth --json` gives: a versioned object of plain numbers and text, described in DEVELOPERS.md."""

import math

from buildecon.market.flags import flags
from buildecon.story.documents import cents
from buildecon.story.worth_words import equity_sentence, evidence_sentence, worth_sentence

ENDS = ("low", "likely", "high")


def worth_document(stand):
    """What the car is worth, against what it stands in at.

    Parameters
    ----------
    stand : Standing
        Of a project. [money]

    Returns
    -------
    dict
        Format `buildecon.worth/1`. [-]
    """
    market, project = stand.market, stand.project
    return {
        "format": "buildecon.worth/1",
        "name": project.file.build.name,
        "currency": project.currency,
        "as_of": project.file.build.as_of.isoformat(),
        "answer": " ".join(text for text in (worth_sentence(stand), evidence_sentence(stand), equity_sentence(stand)) if text),
        "value": _value(market),
        "today": _three(stand.price) | {"from": ("evidence" if market.counted else "first guess") if stand.by_market else "your own"},
        "bound": {"side": market.bound[0], "price": cents(market.bound[1])} if market.bound else None,
        "middle_of_the_market": _range(market.middle),
        "your_own": dict(zip(ENDS, stand.stated, strict=True)),
        "evidence": [_evidence(*row) for row in market.told],
        "first_guess_pull": cents(market.value.likely - market.without_guess.value.likely) if market.without_guess else None,
        "corrections": _corrections(market),
        "decline_a_year": {end: round(getattr(market.decline, end), 4) for end in ENDS} if market.decline else None,
        "equity": [_equity(one, own) for one, own in zip(stand.equity, stand.stated_equity, strict=True)],
        "counted_on": cents(stand.owed),
        "by_state": [_stage(stage) for stage in stand.stages],
        "contribution": _contribution(stand.built),
        "part_out": _part_out(stand.parted),
        "ways": [{"name": way.name} | _three(way.net) | {"weeks": round(way.weeks, 1), "hours": way.hours, "per_extra_hour": cents(way.per_hour)} for way in stand.ways],
        "insured": _cover(stand.cover),
        "improvements": [_job(job) for job in stand.jobs],
        "flags": [vars(flag) for flag in flags(market)],
    }


def _value(market):
    if not market.is_known:
        return None
    here, sold = market.evidence_for(market.stage)
    file = market.project.file
    told = {"level": market.level, "basis": file.market.basis, "state": market.stage, "date": file.build.as_of.isoformat(), "n": here, "sold": sold}
    return _range(market.value) | told | {"n_all_states": len(market.counted), "from": "evidence" if market.counted else "first guess"}


def _range(value):
    return _three((value.low, value.likely, value.high)) if value else None


def _three(values):
    return dict(zip(ENDS, map(cents, values), strict=True))


def _evidence(read, says, pull):
    low, high = says or (None, None)
    return {
        "id": read.row.id,
        "kind": read.row.kind,
        "date": read.row.date.isoformat(),
        "figure": cents(read.figure),
        "read_as": read.reading,
        "because": read.because,
        "weight": read.weight if read.counts else 0.0,
        "says_low": cents(low) if low else None,
        "says_high": cents(high) if high and math.isfinite(high) else None,
        "pull": cents(pull[2]) if pull else None,
        "chance_by_the_others": round(float(pull[0]), 4) if pull and math.isfinite(pull[0]) else None,
    }


def _corrections(market):
    if not market.is_known:
        return []
    error = [math.sqrt(variance) for variance in market.fit.covariance.diagonal()]
    rows = zip(market.columns, market.fit.mean, error, market.fit.prior_share, strict=True)
    return [
        {"correction": column.name, "believed": round(column.mean, 6) if column.stated or k else None, "believed_sd": round(column.sd, 6) if column.stated or k else None, "yours": column.stated}
        | {"mean": round(float(mean), 6), "sd": round(sd, 6), "prior_share": round(float(share), 4)}
        for k, (column, mean, sd, share) in enumerate(rows)
    ]


def _equity(one, own):
    share = {"share_recovered": None if one.recovered is None else round(one.recovered, 4), "chance_of_more": None if one.chance is None else round(float(one.chance), 4)}
    return {"rung": one.rung, "outlay": cents(one.outlay)} | _three((one.low, one.likely, one.high)) | share | {"at_your_own_figure": cents(own.likely)}


def _stage(stage):
    told = {"state": stage.state, "what": stage.what, "since": stage.since.isoformat(), "to_come": stage.ahead, "source": stage.source, "rows": stage.rows, "sold": stage.sales}
    return told | (_three(stage.value) if stage.value else dict.fromkeys(ENDS)) | {"money_before": cents(stage.money_before), "money_in": cents(stage.money_in)}


def _contribution(built):
    if built is None:
        return None
    work = [
        {"kind": one.kind, "systems": list(one.systems), "cost": cents(one.cost), "share": dict(zip(ENDS, one.share, strict=True)), "adds": cents(one.adds[1]), "yours": one.stated}
        for one in built.work
    ]
    return {"base": cents(built.base[1]), "work": work, "not_listed": cents(built.unlisted), "capped": built.capped} | _three(built.value)


def _part_out(parted):
    if parted is None:
        return None
    found = {"parts": [{"what": what, "price": price, "chance": chance} for what, price, chance in parted.parts], "fees": cents(parted.fees), "costs": cents(parted.costs)}
    return found | {"net": _three(parted.net), "sd_by_luck": cents(parted.by_luck), "hours": parted.hours, "within_months": parted.months}


def _cover(cover):
    if cover is None:
        return None
    return {"sum": cents(cover.sum), "means": cover.means} | {name: cents(getattr(cover, name)) for name in ("paid_at_most", "short_of_value", "short_of_outlay")}


def _job(job):
    gain = dict(zip(("worst", "likely", "best"), map(cents, job.if_selling), strict=True))
    return {"what": job.what, "cost": cents(job.cost[1]), "value_after": cents(job.value_after[1]), "if_selling": gain, "per_month_if_keeping": cents(job.per_month_if_keeping), "keep_years": job.keep_years}
