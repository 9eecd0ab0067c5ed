"""Rows for the tables and the chart of a build half-way, and the ends of its sliders: lists of dicts, as a page takes them."""

from math import isfinite

from buildecon.decision.ways import SELL
from buildecon.story.words import number


def _against(money):
    return "0" if abs(money) < 0.5 else f"{money:+,.0f}"


def _in_order(found):
    return [*found.ranked, *([found.keep] if found.keep else [])]


def ways_table(found):
    """Every way on, the best first; keeping last, in the same money.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a way. [money]
    """
    sell, rows = found.way(SELL), []
    for way in _in_order(found):
        low, _, high = found.ends[way.id]
        wage = float("nan") if way is found.keep else found.wage(way)
        row = {"way": way.name + (", a car being needed anyway" if way is found.keep else ""), "in hand": number(way.net), "low": number(low), "high": number(high)}
        row["against selling today"] = "" if way is sell else _against(float(way.net - sell.net))
        row |= {"still to pay": "" if way is found.keep else number(float(way.costs)), "own hours": number(float(way.hours)) if float(way.hours) else "", "an hour earns": number(wage) if isfinite(wage) else ""}
        row |= {"months": f"{float(way.months):.3g}" if float(way.months) else "", "the best in": f"{found.chances[way.id]:.0%}" if way.id in found.chances else ""}
        rows.append(row)
    return rows


def left_table(found):
    """What is still to come by every reading, and what finishing and selling then brings.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a reading; empty where nothing is to come. [money]
    """
    left = found.left
    if not left.as_written:
        return []
    readings = {"as written": left.as_written, f"at the pace so far, likely and high times {left.overrun:.2f}": left.at_pace}
    if left.past_builds:
        readings |= {"as your earlier builds ran, the middle": left.past_middle, "the same, safe in 4 of 5": left.past_holds}
    readings["everything at its high end"] = left.high
    sell = found.way(SELL).net
    return [{"reading": name, "still to come": number(money), "finish and sell brings": number(found.finish_at(money)), "against selling today": _against(found.finish_at(money) - sell)} for name, money in readings.items()]


def gates_table(found):
    """The rule at every gate.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    list of dict
        A row a phase; empty where the files tell of none. [money]
    """
    rows = []
    for gate in found.staged.gates if found.staged else ():
        low, high = (max(one, 0.0) for one in gate.limit)
        limit = number(high) if high - low < 0.5 else f"{number(low)} to {number(high)}"
        rows.append({"before": gate.what, "go on if it costs less than": limit, "expected": number(gate.expected), "stopping brings": number(gate.stop), "one comes here": f"{gate.reached:.0%}", "and goes on": f"{gate.goes_on:.0%}", "looking first": f"{gate.looks:.0%}" if gate.looks else ""})
    return rows


def ways_frames(found):
    """What the chart of ways draws: a range for each, its likely figure, and selling as it stands as the line to beat.

    Parameters
    ----------
    found : HalfWay
        Of a project. [money]

    Returns
    -------
    dict
        `ways` (name, low, likely, high, shown, best), `sell` (likely, shown), as lists of rows. [money]
    """
    rows = []
    for way in _in_order(found):
        low, likely, high = found.ends[way.id][0], float(way.net), found.ends[way.id][2]
        name = f"{way.name}, a car being needed anyway" if way is found.keep else way.name
        rows.append({"name": name, "low": round(min(low, likely)), "likely": round(likely), "high": round(max(high, likely)), "shown": number(likely), "best": way is found.best})
    sell = found.way(SELL)
    return {"ways": rows, "sell": [{"likely": round(float(sell.net)), "shown": "to beat"}]}


def half_way_dials(project, here):
    """Ends, steps and labels of the sliders.

    Parameters
    ----------
    project : Project
        For its currency and horizon. [-]
    here : Ahead
        By the figures as written. [money]

    Returns
    -------
    dict of str to dict
        By field of Turned: start, stop, step, value and label of its slider. [-]
    """
    currency, use = project.currency, project.file.use
    top = max(float(here.finished), float(here.as_is), 100.0)

    def ends(label, value, stop, step):
        stop = max(stop, value)
        return {"start": 0.0, "stop": -(-stop // step) * step, "step": step, "value": value, "label": label}

    step = 10.0 ** (len(str(int(top))) - 3)
    cents = float(round(here.cost_left, 2))
    return {
        "finished": ends(f"Sells for when finished, {currency}", float(here.finished), 2 * top, step),
        "as_is": ends(f"Sells for as it stands, {currency}", float(here.as_is), 2 * top, step),
        "cost_left": ends(f"Still to come, {currency}", cents, max(3 * cents, top / 2), step / 10 if step >= 10 else 1.0),
        "months": ends("Months until it is done and sold", float(here.months), max(24.0, 3 * float(here.months)), 1.0),
        "holding": ends(f"Holding it costs a month, {currency}", float(here.holding), max(4 * float(here.holding), top / 50), max(step / 10, 1.0)),
        "years_kept": {"start": 1, "stop": use.horizon_years, "step": 1, "value": use.years_kept, "label": "Years kept, if it is kept"},
    }
