"""Rows for the tables and charts of what is not known."""

import numpy as np

from buildecon.story.doubt_words import DIALS, chance_words, dial_figure
from buildecon.story.input_words import input_figure, input_words, way_to_find_out
from buildecon.story.words import number, years_text

SHOWN = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40)
MOST = 12  # inputs drawn in the chart of what moves the answer


def chances_table(side):
    """The chance that the build is the cheaper, by years kept.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    list of dict
        A row a length; empty where nothing is drawn. [money/month]
    """
    if side.doubts is None:
        return []
    found = side.doubts.chances
    (chance, error), band = found.cheaper, found.band
    lengths = sorted({*(year for year in SHOWN if side.comparison.first_year <= year < len(chance)), side.years})
    return [
        {"kept": years_text(year), "chance that the build is cheaper": f"{chance[year]:.0%}", "give or take": f"{2 * error[year]:.1%}", "in words": chance_words(float(chance[year]))}
        | {f"more a month, {name}": number(band[k, year]) for k, name in enumerate(("a tenth below", "middle", "a tenth above"))}
        for year in lengths
    ]


def finding_out_table(found, project):
    """What each input is worth finding out, with what moves the answer.

    Parameters
    ----------
    found : Doubts or None
        Of either view. [-]
    project : Project
        For units. [-]

    Returns
    -------
    list of dict
        The most worth knowing first, then what moves the answer most. [money]
    """
    if found is None:
        return []
    net = found.worth.shown - found.price
    order = sorted(range(len(found.inputs)), key=lambda k: (-max(net[k], 0.0), -found.shares[k]))
    rows = []
    for k in order:
        one, quantile = found.inputs[k], found.chances.asked.unknown.quantiles[found.inputs[k].id]
        low, high = (float(quantile(u)) for u in (0.1, 0.9))
        rows.append({
            "what is not known": input_words(one), "worth finding out, up to": number(found.worth.shown[k]), "costs": number(found.price[k]) if found.price[k] else "",
            "how": way_to_find_out(one) if found.worth.shown[k] > 0 else "", "share of the spread": f"{found.shares[k]:.0%}",
            "eight times out of ten": f"{input_figure(one, low, project)} to {input_figure(one, high, project)}",
        })  # fmt: skip
    return rows


def turning_table(side):
    """Single changes that would turn the answer, the nearest first, and the numbers that never do.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    list of dict
        A row a number. [-]
    """
    project, names = side.comparison.project, {"first": "the build", "second": "the other", "neither": "neither"}
    rows = []
    for one in [*side.changes, *(one for one in side.turnings.values() if not np.isfinite(one.nearest))]:
        places = [dial_figure(one.name, at, project) for at in one.found.at]
        rows.append({
            "this alone": DIALS[one.name], "turns the answer at": ", ".join(places) or f"never: {names[one.cheaper_now]} is cheaper throughout", "now": dial_figure(one.name, one.now, project),
            "searched": f"{dial_figure(one.name, one.found.low, project)} to {dial_figure(one.name, one.found.high, project)}", "cheaper now": names[one.cheaper_now],
        })  # fmt: skip
    return rows


def band_frames(side):
    """What the chart of chances draws.

    Parameters
    ----------
    side : Side
        Of either view. [-]

    Returns
    -------
    dict
        `band` (years, low, middle, high), `told` (years, high, shown), `chosen` (years), as lists of rows; `top` and `bottom` of the frame. [money/month]
    """
    if side.doubts is None:
        return {"band": [], "told": [], "chosen": [], "top": 1.0, "bottom": -1.0}
    found = side.doubts.chances
    chance, band = found.cheaper[0], found.band
    last = len(chance) - 1
    start = max(side.comparison.first_year, 1 if last < 4 else 2)
    rows = [{"years": year, "low": round(float(band[0, year]), 1), "middle": round(float(band[1, year]), 1), "high": round(float(band[2, year]), 1)} for year in range(start, last + 1)]
    top, bottom = max(max(row["high"] for row in rows), 0.0), min(min(row["low"] for row in rows), 0.0)
    room = 0.18 * ((top - bottom) or 1.0)
    lengths = sorted({year for year in (3, 6, 10, 15, 20, 30, 40) if start <= year <= last} | {side.years} - set(range(start)))
    lengths = [year for year in lengths if year == side.years or abs(year - side.years) > 0.06 * last]
    told = [{"years": year, "high": round(float(band[2, year]), 1), "shown": f"{chance[year]:.0%}"} for year in lengths]
    return {"band": rows, "told": told, "chosen": [{"years": side.years}], "top": top + room, "bottom": bottom - 0.4 * room}


def swings_frames(found, project):
    """What the chart of what moves the answer draws: each input at its low and its high.

    Parameters
    ----------
    found : Doubts or None
        Of either view. [-]
    project : Project
        For units. [-]

    Returns
    -------
    dict
        `swings` (label, low, high, at_low, at_high, flips), widest first, and `middle` (middle, shown), as lists of rows. [money/month]
    """
    if found is None:
        return {"swings": [], "middle": []}
    rows = []
    for k in found.swings.widest_first[:MOST]:
        one, quantile = found.inputs[k], found.chances.asked.unknown.quantiles[found.inputs[k].id]
        low, high = float(found.swings.low[k]), float(found.swings.high[k])
        if abs(high - low) < 0.05:
            continue
        at = [input_figure(one, float(quantile(u)), project) for u in (0.1, 0.9)]
        rows.append({"label": input_words(one), "low": round(min(low, high), 1), "high": round(max(low, high), 1), "at_low": at[0] if low <= high else at[1], "at_high": at[1] if low <= high else at[0], "flips": "turns the answer" if found.swings.flips[k] else ""})
    return {"swings": rows, "middle": [{"middle": round(found.swings.middle, 1), "shown": f"{number(found.swings.middle)} with all in the middle"}] if rows else []}


def map_frames(found, side):
    """What the map of years kept by distance draws.

    Parameters
    ----------
    found : Border or None
        Of `decision.doubts.years_by_distance`. [money]
    side : Side
        For where one stands. [-]

    Returns
    -------
    dict
        `cells` (years, until, distance, above, cheaper, more), `here` (years, distance, shown), as lists of rows. [-]
    """
    if found is None:
        return {"cells": [], "here": []}
    step = float(found.ys[1] - found.ys[0])
    cells = [
        {"years": float(x) - 0.5, "until": float(x) + 0.5, "distance": max(float(y) - step / 2, 0.0), "above": float(y) + step / 2, "cheaper": "the build" if found.difference[j, i] < 0 else "the other", "more": round(float(found.difference[j, i]) / (12 * float(x)), 1)}
        for j, y in enumerate(found.ys) for i, x in enumerate(found.xs) if x >= side.comparison.first_year
    ]  # fmt: skip
    here = [{"years": side.years, "distance": side.comparison.what_if.distance_a_year, "shown": "here"}]
    return {"cells": cells, "here": here}


def band_heading(project, view):
    """Unit at the head of the chart of chances.

    Parameters
    ----------
    project : Project
        For its currency. [-]
    view : str
        Whole story or from today. [-]

    Returns
    -------
    str
        In words. [-]
    """
    return f"{project.currency} a month more, {view}; %: chance to be cheaper"


def swings_heading(project, view):
    """Unit at the head of the chart of what moves the answer.

    Parameters
    ----------
    project : Project
        For its currency. [-]
    view : str
        Whole story or from today. [-]

    Returns
    -------
    str
        In words. [-]
    """
    return f"{project.currency} a month the build costs more, {view}"


def map_heading(project):
    """Unit at the head of the map.

    Parameters
    ----------
    project : Project
        For its unit. [-]

    Returns
    -------
    str
        In words. [-]
    """
    return f"{project.file.build.distance_unit} a year, by years kept"
