"""Rows for tables and charts: lists of dicts, as a page or a data frame takes them."""

import numpy as np

from buildecon.decision.compare import price_of_joy
from buildecon.decision.gates import figure
from buildecon.story.words import break_even_verdict, number, years_text

PLOT_HEIGHT = 380  # of the break-even chart, for spreading labels [pixel]
LINE = 14  # height of a line of label text [pixel]


def options_table(comparison, years=None):
    """Each option at some numbers of years kept.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    years : sequence of int, optional
        Years kept; 3, 6, 9 and the chosen ones by default. [year]

    Returns
    -------
    list of dict
        Cheapest first: money in, cost a month by years kept, must-haves failed. [money, money/month]
    """
    chosen, horizon = comparison.what_if.years_kept, comparison.project.file.use.horizon_years
    years = years or sorted({*(year for year in (3, 6, 9) if year <= horizon), chosen})
    rows = [
        {"option": option.name, "money in": number(sum(comparison.money_in[k].values()))}
        | {years_text(year): number(comparison.per_month[k, comparison.month(year)]) for year in years}
        | {"must-haves": "; ".join(gate.reason for gate in comparison.gates[k] if not gate.passes) or "all met"}
        for k, option in enumerate(comparison.options)
    ]
    order = np.argsort(comparison.per_month[:, comparison.month(chosen)], kind="stable")
    return [rows[k] for k in order]


def gate_table(comparison):
    """Every must-have against every option.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of dict
        A row a must-have, a column an option: what it has, and whether it passes. [-]
    """
    rows = []
    for row, must in enumerate(comparison.project.file.must_haves):
        cells, show = {"must-have": _limit(must)}, _year if must.until_year else _fact
        for option, gates in zip(comparison.options, comparison.gates, strict=True):
            gate = gates[row]
            verdict = "" if gate.passes and not gate.near else "just passes" if gate.passes else "just FAILS" if gate.near else "FAILS"
            cells[option.name] = f"{show(option.facts[must.id], must.unit)} {verdict}".strip()
        rows.append(cells)
    return rows


def break_even_table(comparison):
    """Where the build and each other option cross.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    list of dict
        A row an option: the years, and who is cheaper on each side. [year]
    """
    build = comparison.options[comparison.build].name
    rows = []
    for k in comparison.rivals():
        found, other = comparison.break_even(k), comparison.options[k].name
        crossings = ", ".join(years_text(at) for at in found.at) or "none"
        rows.append({"against": other, "they cross at": crossings, "who is cheaper": break_even_verdict(found, build, other)})
    return rows


def joy_table(comparison, years=(1, 2, 3, 5, 6, 8, 10, 15, 20)):
    """Price of joy by years kept.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    years : sequence of int, optional
        Years kept; those past the horizon are left out. [year]

    Returns
    -------
    list of dict
        One row; a column a number of years. [money/month]
    """
    joy = price_of_joy(comparison)
    able = [year for year in years if year <= comparison.project.file.use.horizon_years]
    head = {"": f"price of joy, {comparison.project.currency} a month"}
    return [head | {years_text(year): number(joy[comparison.month(year)]) for year in able}]


def break_even_frames(comparison):
    """What the break-even chart draws.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]

    Returns
    -------
    dict
        `curves`, `ends`, `chosen`, `crossings` as lists of rows; `top` and `bottom` of the frame, and whether the
        chosen years stand near its right edge. [money/month, year]

    Notes
    -----
    Curves are cut where they leave the frame; labels and figures are spread so that they never touch.
    """
    top, bottom = _frame(comparison)
    roles = [role(comparison, k) for k in range(len(comparison.options))]
    shown = [k for k in range(len(comparison.options)) if np.any(_inside(comparison.per_month[k], bottom, top))]
    curves = [row for k in shown for row in _curve(comparison, k, roles[k], bottom, top)]
    ends = _ends(comparison, shown, roles, bottom, top)
    month = comparison.month(comparison.what_if.years_kept)
    values = comparison.per_month[:, month]
    at = spread(np.clip(values, bottom, top), np.full(len(values), LINE + 2.0), bottom, top)
    years = comparison.years[month]
    late = bool(years > 0.8 * comparison.years[-1])
    chosen = [
        {"role": roles[k], "years": years, "per_month": round(float(value), 2), "shown": number(value) + (" (above)" if value > top else ""), "y": y}
        for k, (value, y) in enumerate(zip(values, at, strict=True))
    ]
    return {"curves": curves, "ends": ends, "chosen": chosen, "crossings": _crossings(comparison, bottom, top), "top": top, "bottom": bottom, "late": late}


def _limit(must):
    unit = f" {must.unit}" if must.unit else ""
    if must.yes:
        return must.name
    if must.until_year:
        return f"{must.name}, to {must.until_year}"
    word, limit = ("at least", must.at_least) if must.at_least else ("at most", must.at_most)
    return f"{must.name}, {word} {figure(limit.likely)}{unit}"


def _fact(fact, unit):
    if isinstance(fact, bool):
        return "yes" if fact else "no"
    return f"{figure(fact)} {unit}".strip() if not isinstance(fact, str) else fact


def _year(fact, _):
    return str(fact)


def role(comparison, k):
    """What an option is drawn as.

    Parameters
    ----------
    comparison : Comparison
        Of either view. [-]
    k : int
        Its position. [-]

    Returns
    -------
    str
        A key of `theme.COLOURS`: build, other build, passes, fails. [-]
    """
    if k == comparison.build:
        return "build"
    if not comparison.passes[k]:
        return "fails"
    return "other build" if comparison.options[k].kind == "build" else "passes"


def _frame(comparison):
    """Top and bottom of the frame: all of every curve from two years on, and zero."""
    from_two = comparison.per_month[:, min(24, len(comparison.years) - 1) :]
    high, low = 1.04 * float(np.max(from_two)), min(0.0, float(np.min(from_two)))
    step = 10.0 ** np.floor(np.log10(max(high - low, 1e-9))) / 4
    return float(np.ceil(high / step) * step), float(np.floor(low / step) * step)


def _inside(values, bottom, top):
    return (values >= bottom) & (values <= top)


def _curve(comparison, k, role, bottom, top):
    """Points of one curve inside the frame, from the day it is there to be kept, with the points where it crosses the frame."""
    months, ready = len(comparison.years) - 1, comparison.ready(k)
    every = [*range(1, 12), *range(12, 37, 3), *range(42, months, 12), months] if months > 42 else range(1, months + 1)
    x, y, name = comparison.years.tolist(), comparison.per_month[k].tolist(), comparison.options[k].name
    points, before = [], None
    for month in (month for month in every if month >= ready):
        inside = bottom <= y[month] <= top
        if before is not None and inside != (bottom <= y[before] <= top):
            edge = top if max(y[before], y[month]) > top else bottom
            points.append((x[before] + (x[month] - x[before]) * (edge - y[before]) / (y[month] - y[before]), edge))
        if inside:
            points.append((x[month], y[month]))
        before = month
    return [{"option": name, "role": role, "years": round(a, 3), "per_month": round(b, 2)} for a, b in points]


def _ends(comparison, shown, roles, bottom, top):
    """Labels at the ends of the curves, wrapped for a wide and for a narrow page."""
    values = np.clip(comparison.per_month[shown, -1], bottom, top)
    wide = [wrapped(comparison.options[k].name, 28) for k in shown]
    narrow = [wrapped(comparison.options[k].name, 14) for k in shown]
    y_wide = spread(values, np.array([LINE * len(words) + 4.0 for words in wide]), bottom, top)
    y_narrow = spread(values, np.array([LINE * len(words) + 4.0 for words in narrow]), bottom, top)
    # A block of text is placed by its first line.
    unit = (top - bottom) / PLOT_HEIGHT
    return [
        {
            "wide": wide[j], "narrow": narrow[j], "role": roles[k], "years": float(comparison.years[-1]),
            "y_wide": y_wide[j] + unit * LINE * (len(wide[j]) - 1) / 2, "y_narrow": y_narrow[j] + unit * LINE * (len(narrow[j]) - 1) / 2,
        }
        for j, k in enumerate(shown)
    ]  # fmt: skip


def wrapped(text, width):
    """A name in lines.

    Parameters
    ----------
    text : str
        Of an option. [-]
    width : int
        Letters in a line. [-]

    Returns
    -------
    list of str
        Three at most. [-]
    """
    from textwrap import wrap

    return wrap(text, width, max_lines=3, placeholder=" ...")


def spread(values, heights, bottom, top):
    """Places as near to the values as they can be with no two blocks touching, in the order of the values.

    Parameters
    ----------
    values, heights : array_like, shape (n,)
        Where each block would stand, and how high it is. [money/month, pixel]
    bottom, top : float
        Of the frame, which is `PLOT_HEIGHT` high. [money/month]

    Returns
    -------
    list of float
        In the order given. [money/month]
    """
    if not len(values):
        return []
    unit = (top - bottom) / PLOT_HEIGHT
    order = sorted(range(len(values)), key=lambda k: -values[k])
    half = [float(heights[k]) / 2 for k in order]
    wanted = [(top - float(values[k])) / unit for k in order]  # pixels below the top
    place = [min(max(at, h), PLOT_HEIGHT - h) for at, h in zip(wanted, half, strict=True)]
    for _ in range(200):  # push overlapping neighbours apart by equal shares until none is left
        moved = False
        for k in range(len(place) - 1):
            overlap = half[k] + half[k + 1] - (place[k + 1] - place[k])
            if overlap > 0.01:
                place[k], place[k + 1], moved = place[k] - overlap / 2, place[k + 1] + overlap / 2, True
        place = [min(max(at, h), PLOT_HEIGHT - h) for at, h in zip(place, half, strict=True)]
        if not moved:
            break
    spread = [0.0] * len(place)
    for k, at in zip(order, place, strict=True):
        spread[k] = round(top - at * unit, 3)
    return spread


def _crossings(comparison, bottom, top):
    """Where the quoted build meets another option, inside the frame; each told at the foot, one above the other where they are close."""
    rows, horizon = [], float(comparison.years[-1])
    for k in comparison.rivals():
        for crossing in comparison.break_even(k).crossings:
            y = float(np.interp(crossing.at, comparison.years[1:], comparison.per_month[comparison.build, 1:]))
            if bottom <= y <= top and crossing.at > 0:
                rows.append({"years": round(crossing.at, 3), "per_month": round(y, 2), "shown": years_text(crossing.at), "against": comparison.options[k].name})
    rows.sort(key=lambda row: row["years"])
    unit = (top - bottom) / PLOT_HEIGHT
    for j, row in enumerate(rows):
        row |= {"label_at": min(row["years"], 0.88 * horizon), "y": round(bottom + unit * (10 + (LINE + 2) * (j % 3)), 3), "foot": bottom}
    return rows
