"""Rows for the tables and charts of how long to keep a car: lists of dicts, as a page takes them."""

import numpy as np

from buildecon.ownership.terms import HAIR
from buildecon.quantities.units import KM_PER, kilometres
from buildecon.story.how_long_words import at_month
from buildecon.story.plain import HUNDREDTHS
from buildecon.story.tables import spread
from buildecon.story.words import number, years_text

MOST_RENEWALS = 100  # of one component, that are drawn
CLOSE = 8  # quarters that are drawn one by one before every second is
LABEL = 18.0  # pixels that a name takes
SHOWN = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40)


def years_table(found):
    """The build by years kept: level cost, by distance, and what that single year costs.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of dict
        A row a length. [money/month]
    """
    comparison, k = found.comparison, found.build
    best, rows = found.life(k)[0], []
    also = {comparison.what_if.years_kept, *([int(best)] if np.isfinite(best) else [])}
    for year in sorted({*SHOWN, *also}):
        month = comparison.month(year)
        if year > found.project.file.use.horizon_years or month < comparison.ready(k):
            continue
        row = {"kept": years_text(year) + (", least" if year == best else ""), "a month": at_month(comparison.per_month[k], month)}
        row[f"{HUNDREDTHS.get(found.project.currency, 'hundredths')} a {found.project.file.build.distance_unit}"] = number(100 * comparison.per_distance[k, month], 1)
        row["that year alone, a month"] = number(found.marginal_a_month[k, year - 1])
        rows.append(row | {cause: at_month(level, month) for cause, level in found.causes.items()})
    return rows


def lives_table(found):
    """Every option at the years that cost least.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of dict
        A row an option, the cheapest first. [money/month]
    """
    rows, comparison = [], found.comparison
    for k in sorted(range(len(comparison.options)), key=lambda k: np.nan_to_num(found.life(k)[1], nan=np.inf)):
        years, cost, status, low, high = found.life(k)
        soonest = ", as soon as it is done" if comparison.ready(k) else " or less"
        kept = years_text(years) + {"or more": " or more", "at once": soonest}.get(status, "") if status != "none" else "not done by then"
        rows.append({
            "option": comparison.options[k].name + ("" if comparison.passes[k] else " (fails)"), "a month": number(cost), "cheapest kept": "any" if status == "flat" else kept,
            "within 1 %": "-" if status == "none" else years_text(low) if low == high else f"{low:g} to {high:g} years", "bought again after years": ", ".join(f"{year:.1f}".removesuffix(".0") for year in found.replaced_years(k)[:3]),
        })  # fmt: skip
    return rows


def limit_table(found):
    """The largest bill worth paying, year by year, and the chance that the car is still there.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    list of dict
        A row a year; empty where there is no limit. [money]
    """
    if found.limit is None:
        return []
    limit = found.limit
    words = {"pay any": "any that can come, up to {}", "sell": "none: sell", "limit": "{}"}
    return [
        {"year": str(year + 1), "largest bill worth paying": words[str(limit.status[year])].format(number(float(limit.limit[year]))), "chance still kept": f"{float(limit.still_kept[year]):.0%}"}
        for year in range(len(limit.limit)) if year + 1 in SHOWN
    ]


def kept_frames(found):
    """What the chart of cost by years kept draws: the build's causes stacked, and its cheapest years.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    dict
        `causes` (years, cause, per_month, order), `total` (years, per_month), `least` (years, per_month, shown), `names` (years, cause, middle, y), `chosen` (years, per_month, shown), as lists of rows; `top` of the frame, which cuts a dear beginning off. [money/month]
    """
    comparison, k = found.comparison, found.build
    months = range(max(12, comparison.done_after), len(comparison.years), 3)
    order = sorted(found.causes, key=lambda cause: -float(np.nanmean(found.causes[cause][12:])))
    level = np.array([float(comparison.per_month[k, month]) for month in months])
    bands = np.array([found.causes[cause][months] for cause in order])
    stacked, sunk = np.where(bands > 0, bands, 0.0).sum(axis=0), np.where(bands < 0, bands, 0.0).sum(axis=0)
    drawn = sorted({*months[:CLOSE], *months[CLOSE::2], months[-1]})  # fewer points where the curve is flat: the browser draws them all at each move
    top, bottom = float(max(2.2 * np.median(level), 1.08 * stacked[-1], 1.0)), float(min(sunk.min(), level.min(), 0.0))
    causes = [
        {"years": round(month / 12, 3), "cause": cause, "per_month": round(float(found.causes[cause][month]), 1), "order": rank}
        for rank, cause in enumerate(order) for month in drawn
    ]  # fmt: skip
    total = [{"years": round(month / 12, 3), "per_month": round(float(comparison.per_month[k, month]), 1)} for month in drawn]
    years, cost, status, *_ = found.life(k)
    least = [{"years": years, "per_month": round(cost, 1), "shown": f"{number(cost)}, {years_text(years)}" + (" or more" if status == "or more" else "")}] if np.isfinite(years) else []
    kept = comparison.what_if.years_kept
    at = round(float(comparison.per_month[k, comparison.month(kept)]), 1)
    chosen = [{"years": kept, "per_month": at, "shown": f"{number(at)} at {years_text(kept)}"}] if kept != years and comparison.month(kept) >= comparison.done_after else []
    return {"causes": causes, "total": total, "least": least, "names": _names(found, order, bottom, top), "chosen": chosen, "top": top}


def _names(found, order, bottom, top):
    """Names of the causes at the right edge, each near the middle of its band, none touching another; what is taken off hangs below 0."""
    last, edges, middles = len(found.comparison.years) - 1, {True: 0.0, False: 0.0}, []
    bands = [float(found.causes[cause][last]) for cause in order]
    for band in bands:
        middles.append(edges[band > 0] + band / 2)
        edges[band > 0] += band
    whole = edges[True] - edges[False]
    shown = [k for k, band in enumerate(bands) if abs(band) > 0.01 * (whole or 1.0)]
    places = spread(np.array([middles[k] for k in shown]), np.full(len(shown), LABEL), bottom, top) if shown else []
    return [{"years": float(found.comparison.years[last]), "cause": order[k], "middle": round(middles[k], 1), "y": round(float(y), 1)} for k, y in zip(shown, places, strict=True)]


def limit_frames(found):
    """What the chart of the repair limit draws.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    dict
        `limit` (year, middle, until, limit, shown, last), as a list of rows; empty where there is no limit. [money]
    """
    if found.limit is None:
        return {"limit": []}
    most = [float(value) for value in found.limit.limit]
    end, sells = len(most) - 1, np.isnan(most)
    return {"limit": [
        {
            "year": year + 0.5, "until": year + 1.5, "middle": year + (1.5 if year == end and np.isfinite(value) else 1), "last": year == end and bool(np.isfinite(value)),
            "limit": round(value) if np.isfinite(value) else 0, "shown": "sell" if sells[year] and not (year and sells[year - 1]) else number(value) if year in (0, end) and not sells[year] else "",
        }
        for year, value in enumerate(most)
    ]}  # fmt: skip


def renewals_frames(found):
    """What the chart of renewals draws: when each component of the build is renewed.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    dict
        `renewals` (what, years, cost, shown, distance), as a list of rows; `end` of the years looked at. [money]
    """
    option, what_if, unit = found.comparison.options[found.build], found.comparison.what_if, found.project.file.build.distance_unit
    km_a_year, horizon, rows = kilometres(what_if.distance_a_year, unit), float(found.project.file.use.horizon_years), []
    lives = [0.0, *found.replaced_years(found.build)]
    drawn = _drawn(found) if option.wear and km_a_year else ()
    for start, end in zip(lives, [*lives[1:], horizon], strict=True):  # each later car begins as the first did
        for part in drawn:
            every, when = (kilometres(float(value), unit) for value in (part.every, max(part.every.likely - part.used.likely, 0)))
            while start + when / km_a_year <= end * (1 + HAIR):
                rows.append({"what": part.what, "years": round(start + when / km_a_year, 2), "cost": float(part.cost), "shown": number(float(part.cost)), "distance": round(when / KM_PER[unit])})
                when += every
    return {"renewals": rows, "end": horizon}


def _drawn(found):
    """Components that can be told apart when drawn: renewed when a distance is reached, and not too often."""
    most = float(found.project.file.use.horizon_years) * found.comparison.what_if.distance_a_year
    return [part for part in found.comparison.options[found.build].wear.renewals if part.shape is None and most <= MOST_RENEWALS * float(part.every)]


def too_often_sentence(found):
    """What of the build is renewed so often that its days could not be told apart on the chart of renewals.

    Parameters
    ----------
    found : HowLong
        Of a comparison. [-]

    Returns
    -------
    str
        Empty where all is drawn. [-]
    """
    wear = found.comparison.options[found.build].wear
    often = [part.what for part in wear.renewals if part.shape is None and part not in _drawn(found)] if wear else []
    return f"Renewed too often to be drawn: {', '.join(often)}. The bills are in the costs." if often else ""
