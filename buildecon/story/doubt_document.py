"""What `decide --json` says of chances, of what to find out and of what would turn the answer."""

import numpy as np

from buildecon.decision.doubts import Doubts
from buildecon.story.documents import cents
from buildecon.story.doubt_words import DIALS
from buildecon.story.input_words import input_words, way_to_find_out
from buildecon.story.verdict_words import verdict_lines, verdict_sentence


def verdict_document(found):
    """The verdict and all that it rests on.

    Parameters
    ----------
    found : Verdict
        Of a project. [-]

    Returns
    -------
    dict
        `verdict`, `whole_story`, `from_today`. [-]
    """
    lines = [{"asked": asked, "answer": told} for asked, told in verdict_lines(found)]
    return {"verdict": {"call": found.forward.call, "sentence": verdict_sentence(found), "lines": lines}, "whole_story": _side(found.whole), "from_today": _side(found.today)}


def _side(side):
    return {"chances": _chances(side), "finding_out": _finding_out(side.doubts) if side.doubts else None, "turning": [_turning(one) for one in side.turnings.values()]}


def _chances(side):
    if side.doubts is None:
        return None
    found: Doubts = side.doubts
    (chance, error), band = found.chances.cheaper, found.chances.band
    short = np.quantile(found.chances.short, (0.1, 0.5, 0.9))
    return {
        "by_years": {
            str(year): {"build_cheaper": round(float(chance[year]), 4), "standard_error": round(float(error[year]), 4), "more_a_month": dict(zip(("low", "middle", "high"), map(cents, band[:, year]), strict=True))}
            for year in range(side.comparison.first_year, len(chance))
        },
        "upside_down": {"chance": round(float(found.chances.upside_down([0.0])[0][0]), 4), "by": dict(zip(("low", "middle", "high"), map(cents, short), strict=True))},
        "draws": found.chances.cost.shape[-1],
        "correlation_moved": round(found.chances.asked.unknown.moved, 4),
    }


def _finding_out(found):
    shares_alone = found.alone()
    rows = [
        {
            "input": one.id, "what": input_words(one), "low": cents(found.chances.asked.unknown.quantiles[one.id](0.1), 4), "high": cents(found.chances.asked.unknown.quantiles[one.id](0.9), 4),
            "worth": cents(found.worth.shown[k]), "before_the_guard": cents(found.worth.worth[k]), "costs": cents(found.price[k]), "how": way_to_find_out(one),
            "more_a_month_at_low": cents(found.swings.low[k]), "more_a_month_at_high": cents(found.swings.high[k]), "turns_the_answer": bool(found.swings.flips[k]),
            "share_of_spread": round(float(found.shares[k]), 4), "share_alone": {"first": round(float(shares_alone.first[k]), 4), "total": round(float(shares_alone.total[k]), 4)},
        }
        for k, one in enumerate(found.inputs)
    ]  # fmt: skip
    return {"everything": cents(found.everything), "ask": [found.inputs[k].id for k in found.worth_asking], "inputs": rows}


def _turning(one):
    return {
        "number": one.name, "what": DIALS[one.name], "now": cents(one.now, 4), "cheaper_now": {"first": "build", "second": "other", "neither": None}[one.cheaper_now],
        "turns_at": [cents(at, 4) for at in one.found.at], "searched": {"from": cents(one.found.low, 4), "to": cents(one.found.high, 4)},
    }  # fmt: skip
