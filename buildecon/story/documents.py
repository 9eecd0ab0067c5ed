"""What the verbs give with `--json`: versioned objects of plain numbers and text, described in DEVELOPERS.md."""

import math

from buildecon.decision.compare import joy_by, price_of_joy
from buildecon.ledger.cash import cash_by_month, peak_funding, reconciled
from buildecon.ledger.flattered_totals import STALE_YEARS
from buildecon.ledger.forecast import forecast
from buildecon.ledger.honesty import traps
from buildecon.ledger.hours import hours_by_system
from buildecon.ledger.owed import owed_items, return_windows
from buildecon.ledger.repricing import stale
from buildecon.ledger.variance import small_change, waterfall
from buildecon.story.cost_words import SMALL, trap_rows
from buildecon.story.words import answer, assumptions, break_even_verdict, cautions


def cost_document(project, totals):
    """The ladder of totals.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    dict
        Format `buildecon.cost/1`. [-]
    """
    build = project.file.build
    months = cash_by_month(project)
    peak, small = peak_funding(months), small_change(totals.settled, SMALL)
    old = stale(totals.settled, build.as_of, STALE_YEARS)
    return {
        "format": "buildecon.cost/1",
        "name": build.name,
        "currency": project.currency,
        "as_of": build.as_of.isoformat(),
        "quoted": {"rung": build.quoted_rung, "because": build.quoted_because},
        "rungs": [
            {"id": r.id, "label": r.label, "amount": float(r.amount), "low": float(r.low), "high": float(r.high), "includes": r.includes} for r in totals.rungs
        ],
        "own_hours": {"convention": project.file.own_hours.convention} | {name: float(total) for name, total in totals.hours_views.items()},
        "systems": _groups(totals.systems),
        "natures": _groups(totals.natures),
        "months": {month: float(total) for month, total in totals.months.items()},
        "still_to_come": dict(zip(("low", "likely", "high"), map(float, totals.to_finish), strict=True)) | {"mean": cents(totals.expected_to_finish)},
        "forecast": _forecast(forecast(project, totals.settled)),
        "causes": _causes(waterfall(totals.settled)),
        "cash": [{"month": m.month, "out": float(m.out), "back": float(m.back), "outstanding": float(m.outstanding)} for m in months],
        "peak_funding": {"month": peak.month, "amount": float(peak.outstanding)} if peak else None,
        "statements": [{"month": m, "ledger": float(a), "statements": float(b), "unexplained": float(c)} for m, a, b, c in reconciled(months, project.statements)],
        "stale": {"years": STALE_YEARS, "amount": float(old.amount), "share": round(float(old.share), 4), "lines": list(old.lines)},
        "small_change": {"under": SMALL, "lines": small[0], "amount": float(small[1]), "share": round(float(small[2]), 4)},
        "honesty": trap_rows(traps(project, totals)),
        "owed": [_owed(one) for one in owed_items(project)],
        "can_go_back": [_owed(one) for one in return_windows(project, totals.settled)],
        "hours": [{"system": system, "own": float(own), "helpers": float(helpers)} for system, own, helpers in hours_by_system(project)],
        "laid_on_others": {s.line.id: float(-s.laid) for s in totals.settled if s.line.lay_on},
        "tools_not_counted": {s.line.id: float(s.left_out) for s in totals.settled if s.left_out},
        "tax_inside": float(sum(s.line.tax_inside.likely for s in totals.settled if s.line.tax_inside)),
        "baseline": project.file.plan.baseline.isoformat() if project.file.plan.baseline else None,
        "given": [
            {"line": s.line.id, "item": s.line.item, "supplier": s.line.supplier, "funding": s.line.funding, "paid": float(s.cost),
             "street_price": float(s.line.street_price), "list_price": float(s.line.list_price) if s.line.list_price else None}
            for s in totals.settled if s.line.funding != "own"
        ],
    }  # fmt: skip


def _owed(one):
    return {"what": one.what, "line": one.line or None, "item": one.item, "supplier": one.who, "amount": float(one.amount), "due": one.due.isoformat() if one.due else None, "days": one.days}


def _forecast(ahead):
    ends = ("low", "likely", "high")
    return {
        "spent": cents(ahead.spent),
        "committed": cents(ahead.committed),
        "as_written": {end: cents(getattr(ahead.as_written, end)) for end in ends},
        "overrun_so_far": round(float(ahead.overrun), 4),
        "scaled": {end: cents(getattr(ahead.scaled, end)) for end in ends} | {"mean": cents(ahead.mean)},
        "standard_deviation": {"lines_move_together": cents(ahead.together), "lines_move_apart": cents(ahead.apart)},
        "contingency": cents(ahead.contingency),
        "at_completion": cents(ahead.at_completion),
    }


def _causes(fall):
    steps = [{"cause": step.cause, "amount": float(step.amount), "lines": list(step.lines)} for step in fall.steps]
    return {"planned": float(fall.planned), "actual": float(fall.actual), "steps": steps}


def keep_document(comparison, years):
    """Cost of every option at some numbers of years kept.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    years : sequence of int
        Years kept. [year]

    Returns
    -------
    dict
        Format `buildecon.keep/1`. [-]
    """
    options = []
    for k, option in enumerate(comparison.options):
        gates = comparison.gates[k]
        options.append(
            {
                "id": option.id,
                "name": option.name,
                "kind": option.kind,
                "passes": bool(comparison.passes[k]),
                "fails": [{"must_have": gate.must_have, "reason": gate.reason} for gate in gates if not gate.passes],
                "near_misses": [{"must_have": gate.must_have, "reason": gate.reason} for gate in gates if gate.near],
                "money_in": {what: cents(amount) for what, amount in comparison.money_in[k].items()},
                "by_years": {str(year): _figures(comparison, k, comparison.month(year)) for year in years},
            }
        )
    return {
        "format": "buildecon.keep/1",
        "name": comparison.project.file.build.name,
        "currency": comparison.project.currency,
        "as_of": comparison.project.file.build.as_of.isoformat(),
        "view": comparison.view,
        "discount_rate": round(comparison.what_if.discount_percent / 100, 6),
        "distance_unit": comparison.project.file.build.distance_unit,
        "distance_a_year": comparison.what_if.distance_a_year,
        "options": options,
        "left_out": [{"name": option.name, "because": option.from_today.because} for option in comparison.left_out],
    }


def decide_document(whole, today, totals):
    """Build or buy: the answer, where the curves cross, the price of joy; looking back and from today.

    Parameters
    ----------
    whole, today : Comparison
        The two views. [-]
    totals : Ladder
        The project's totals. [money]

    Returns
    -------
    dict
        Format `buildecon.decide/1`; the top level is the whole story, `from_today` the other. [-]
    """
    project = whole.project
    head = {"format": "buildecon.decide/1", "name": project.file.build.name, "currency": project.currency, "as_of": project.file.build.as_of.isoformat()}
    tail = {"assumptions": assumptions(whole), "cautions": cautions(project)}
    return head | _decision(whole, totals) | {"from_today": _decision(today, totals)} | tail


def _decision(comparison, totals):
    build, years = comparison.options[comparison.build], comparison.what_if.years_kept
    other_builds = [k for k, option in enumerate(comparison.options) if option.kind == "build" and k != comparison.build]
    costs = comparison.gate_costs(years)
    names = {must.id: must.name for must in comparison.project.file.must_haves}
    return {
        "answer": answer(comparison, totals),
        "build": build.name,
        "years_kept": years,
        "break_even": [_break_even(comparison, k, build.name) for k in comparison.rivals()],
        "price_of_joy": _joy(comparison, comparison.build),
        "price_of_joy_of_other_builds": [{"name": comparison.options[k].name, "by_years": _joy(comparison, k)} for k in other_builds],
        "must_have_costs": [
            {"must_have": id, "name": names[id], "per_month": cents(cost), "shuts_out": None if k is None else comparison.options[k].name} for id, (cost, k) in costs.items()
        ],
        "left_out": [{"name": option.name, "because": option.from_today.because} for option in comparison.left_out],
    }


def _break_even(comparison, k, build):
    found, other = comparison.break_even(k), comparison.options[k].name
    names = {"first": build, "second": other}
    return {
        "against": other,
        "passes": bool(comparison.passes[k]),
        "years": [round(at, 4) for at in found.at],
        "verdict": break_even_verdict(found, build, other),
        "searched": {"from": found.low, "to": found.high, "unit": "years kept"},
        "crossings": [
            {"years": round(one.at, 4), "kind": one.kind, "cheaper_before": names[one.cheaper_before], "cheaper_after": names[one.cheaper_after]}
            for one in found.crossings
        ],
    }


def _joy(comparison, build):
    joy, by_years = price_of_joy(comparison, build), {}
    for year in range(1, comparison.project.file.use.horizon_years + 1):
        per_month = cents(joy[comparison.month(year)])
        spread = joy_by(comparison, per_month, year) if per_month is not None else {"per_drive_day": None, "per_hour": None}
        by_years[str(year)] = {"per_month": per_month} | {name: cents(value) for name, value in spread.items()}
    return by_years


def _figures(comparison, k, month):
    if month < comparison.ready(k):  # a build that is not done can be left by then, but not at its value when done
        return {"total": None, "per_month": None, "per_distance": None}
    return {
        "total": cents(comparison.total[k, month]),
        "per_month": cents(comparison.per_month[k, month]),
        "per_distance": cents(comparison.per_distance[k, month], 5),
    }


def _groups(groups):
    return [{"name": g.name, "lines": g.lines, "planned": float(g.planned), "actual": float(g.actual), "to_come": float(g.to_come)} for g in groups]


def cents(value, decimals=2):
    """A figure rounded for an object.

    Parameters
    ----------
    value : float
        Any. [money]
    decimals : int, optional
        Kept. [-]

    Returns
    -------
    float or None
        None for what does not exist. [money]
    """
    return None if value is None or not math.isfinite(value) else round(float(value), decimals)
