"""Measured consumption in plain words and tables: beside what build.toml states, with its error."""

from math import ceil, inf, isfinite, log10

import numpy as np

from buildecon.ownership.fuel_log import by_group, lag_one_correlation, odd_spans, pooled_error, season_labels
from buildecon.ownership.measured import TOLD_APART, agrees
from buildecon.quantities.units import AMOUNT_PER, BOUGHT_AS, KM_PER, consumption_in
from buildecon.story.words import number

TANKS_NOTE = (
    "A single tank says little: what one fill leaves out the next one takes in, so a high tank is followed by a low one. "
    "Read the pooled figure."
)
NOTHING_YET = "no consumption yet: it takes two full fills with a distance between them, and every fill in between written down"


def measured_sentence(log, project):
    """What the log says of one energy, how sure that is, and whether build.toml says the same.

    Parameters
    ----------
    log : Log
        Of the energy. [-]
    project : Project
        The files. [-]

    Returns
    -------
    str
        Two or three sentences with units and the date of the last fill. [-]
    """
    name = log.source[0].upper() + log.source[1:]
    found, where = (log.used, " in the battery") if log.used else (log.bought, " at the wall" if log.unit == "kWh" else "")
    unpriced = _unpriced(log, project.currency)
    if found is None:
        return f"{name}: {NOTHING_YET}.{unpriced}"
    unit, spans = unit_shown(log), log.used_spans if log.used else log.bought_spans
    figure, error = _with_error(found, unit)
    last, distance = log.rows[spans.end[-1]].date, number(found.distance / KM_PER[project.file.build.distance_unit])
    said = (
        f"{name}: {figure} {unit}{where}, give or take {error}, over {distance} {project.file.build.distance_unit} "
        f"from full fill to full fill ({found.spans} {'span' if found.spans == 1 else 'spans'}, up to {last:%d %B %Y})"
    )
    if log.stated:
        stated = log.stated.used if log.used else log.stated.bought
        same = agrees(found.consumption, found.standard_error, stated)
        said += f"; build.toml states {_range(stated, unit)}, {'and they agree' if same else 'which differs by more than that error'}."
        said += "" if same else _a_month(log, project)
    else:
        said += "; the quoted build in build.toml states none."
    if log.loss and log.loss[2] > 1:
        said += f" Lost in charging: {log.loss[0]:.1%}, give or take {TOLD_APART * log.loss[1]:.1%}, on {log.loss[2]} charges"
        said += (
            f"; build.toml states {_percents(log.stated.loss)}{', and they agree' if agrees(log.loss[0], log.loss[1], log.stated.loss) else ', which differs by more than that error'}."
            if log.stated
            else "."
        )
    return said + (f" {_void(spans.void)}" if spans.void else "") + _odd(log, spans, unit) + unpriced


def measured_table(logs, project):
    """Each measured figure beside what build.toml states.

    Parameters
    ----------
    logs : sequence of Log
        Of the project. [-]
    project : Project
        The files. [-]

    Returns
    -------
    list of dict
        A row a figure: consumption at the pump, wall and battery, charging loss, price. [-]
    """
    rows = []
    for log in logs:
        unit, electric = unit_shown(log), log.unit == "kWh"
        for found, stated, where in (
            (log.bought, log.stated and log.stated.bought, "at the wall" if electric else "consumption"),
            (log.used, log.stated and log.stated.used, "in the battery"),
        ):
            if found:
                figure, error = _with_error(found, unit)
                on = f"{number(found.distance / KM_PER[project.file.build.distance_unit])} {project.file.build.distance_unit}, {found.spans} {'span' if found.spans == 1 else 'spans'}"
                rows.append(
                    _row(
                        log,
                        where,
                        f"{figure} {unit}",
                        error,
                        on,
                        _range(stated, unit) if stated else "",
                        stated and agrees(found.consumption, found.standard_error, stated),
                    )
                )
        if log.loss and log.loss[2] > 1:
            loss, error, count = log.loss
            stated = log.stated and log.stated.loss
            rows.append(
                _row(
                    log,
                    "lost in charging",
                    f"{loss:.1%}",
                    f"{TOLD_APART * error:.1%}",
                    f"{count} charges",
                    _percents(stated) if stated else "",
                    stated and agrees(loss, error, stated),
                )
            )
        if log.price is not None:
            energy, paid = project.file.energy[log.source], sum(place.fills for place in log.places)
            states = float(energy.price) if energy.price is not None else sum(float(one.share) * float(one.price) for one in energy.tariffs)
            rows.append(
                _row(
                    log,
                    "price",
                    f"{_price(log, log.price)} {project.currency} a {_one(log.unit)}",
                    "",
                    f"{paid} {'fill' if paid == 1 else 'fills'}",
                    _price(log, states / AMOUNT_PER[log.unit]),
                    None,
                )
            )
    return rows


def _row(log, what, measured, error, on, states, same):
    verdict = "" if same is None else "agree" if same else "differ by more than the error"
    return {"energy": log.source, "figure": what, "measured": measured, "give or take": error, "from": on, "build.toml states": states, "the two": verdict}


def tanks_table(log, project):
    """Each stretch from full fill to full fill; `TANKS_NOTE` belongs under it.

    Parameters
    ----------
    log : Log
        Of one energy. [-]
    project : Project
        The files. [-]

    Returns
    -------
    list of dict
        Oldest first: from, to, distance, amount, consumption, and by how much one tank alone may be off. [-]
    """
    spans, unit, distance_unit = log.bought_spans, unit_shown(log), project.file.build.distance_unit
    rows = []
    for start, end, amount, distance, each in zip(spans.start, spans.end, spans.amount, spans.distance, spans.each, strict=True):
        one = {
            "from": f"{log.rows[start].date:%d %b %Y}",
            "to": f"{log.rows[end].date:%d %b %Y}",
            f"distance, {distance_unit}": number(distance / KM_PER[distance_unit]),
        }
        one |= {
            f"filled, {log.unit}": number(amount / AMOUNT_PER[log.unit], 1),
            f"consumption, {unit}": f"{consumption_in(each, unit):.1f}" if distance > 0 else "-",
        }
        rows.append(one | {"alone, give or take": f"{TOLD_APART * pooled_error(log.level_sd, amount):.0%}", "load": log.rows[end].load})
    return rows


def neighbours_sentence(log):
    """How each tank goes with the next, beside what the level of the fills alone would do.

    Parameters
    ----------
    log : Log
        Of one energy. [-]

    Returns
    -------
    str
        `TANKS_NOTE`, with the correlation found where there are ten tanks or more. [-]
    """
    each = log.bought_spans.each
    each = each[each == each]
    return TANKS_NOTE + (f" Neighbours here go together by {lag_one_correlation(each):.1f}, over {len(each)} tanks: -0.5 would be the level of the fills alone, above 0 the tanks do differ." if len(each) >= 10 else "")


def places_table(log, currency):
    """What was bought where, at which price.

    Parameters
    ----------
    log : Log
        Of one energy. [-]
    currency : str
        Home currency. [-]

    Returns
    -------
    list of dict
        Most bought first; shares are of what was bought and paid for. [money]
    """
    whole, per = sum(place.amount for place in log.places), AMOUNT_PER[log.unit]
    return [
        {
            "place": place.name or "not said", "fills": number(place.fills), f"bought, {log.unit}": number(place.amount / per, 1), "share": f"{place.amount / whole:.0%}",
            f"paid, {currency}": number(place.paid, 2), f"{currency} a {_one(log.unit)}": _price(log, place.price),
            "build.toml: share": "" if place.stated_share is None else f"{place.stated_share:.0%}", "build.toml: price": "" if place.stated_price is None else _price(log, place.stated_price),
        }
        for place in log.places
    ]  # fmt: skip


def groups_table(log, winter_months):
    """Consumption by half of the year and by load.

    Parameters
    ----------
    log : Log
        Of one energy. [-]
    winter_months : sequence of int
        Numbers of the months called winter. [-]

    Returns
    -------
    list of dict
        A row a group; loads only where one is written. [-]
    """
    spans, unit = log.bought_spans, unit_shown(log)
    loads = log.loads(spans)
    groups = by_group(spans, season_labels(log.middle_days(spans), winter_months), log.level_sd)
    groups |= by_group(spans, [load or "no load written" for load in loads], log.level_sd) if any(loads) else {}
    rows = []
    for name, one in groups.items():
        figure, error = _with_error(one, unit)
        rows.append({"when": name, f"consumption, {unit}": figure, "give or take": error, "spans": number(one.spans)})
    return rows


def unit_shown(log):
    """Unit in which a consumption is said: the owner's, else the plain one.

    Parameters
    ----------
    log : Log
        Of one energy. [-]

    Returns
    -------
    str
        One of the units of consumption. [-]
    """
    return log.stated.unit if log.stated else "kWh/100 km" if BOUGHT_AS[log.unit] == "electricity" else "L/100 km"


def _with_error(found, unit):
    """Figure and two standard errors, with the decimals that the error deserves."""
    figure = float(consumption_in(found.consumption, unit))
    error = TOLD_APART * figure * found.standard_error / found.consumption if found.consumption else 0.0
    decimals = min(max(ceil(-log10(error)), 0), 3) if error > 0 else 2
    return number(figure, decimals), number(error, decimals)


def _range(stated, unit):
    low, likely, high = (_figure(end, unit) for end in stated)
    most = max(low, high)
    ends = f"{min(low, high):.4g} {f'to {most:.4g}' if isfinite(most) else 'or more'}, likely " if low != high else ""
    return f"{ends}{likely:.4g} {unit}"


def _figure(per_100_km, unit):
    """A consumption in a unit; of a share of the distance that may be none, no end of miles a gallon."""
    if per_100_km > 0:
        return float(consumption_in(per_100_km, unit))
    return 0.0 if consumption_in(2.0, unit) > consumption_in(1.0, unit) else inf


def _percents(stated):
    low, likely, high = stated
    return f"{likely:.0%}" if low == high else f"{low:.0%} to {high:.0%}, likely {likely:.0%}"


def _a_month(log, project):
    """What the difference between the log and build.toml comes to, as an addition to a sentence."""
    if log.bought is None or not log.price:
        return ""
    distance, unit = float(project.file.use.distance_a_year), project.file.build.distance_unit
    more = (log.bought.consumption - log.stated.bought[1]) / 100 * distance * KM_PER[unit] / 12 * log.price
    return f" By the log it costs {number(abs(more))} {project.currency} a month {'more' if more > 0 else 'less'} than all sums here count, at {number(distance)} {unit} a year: write what is measured, if it is to be counted."


def _odd(log, spans, unit):
    """The stretch that lies furthest from the middle one, and what may be wrong there, as an addition to a sentence."""
    far = np.flatnonzero(odd_spans(spans, log.level_sd))
    if not len(far):
        return ""
    each, middle = spans.each, np.nanmedian(spans.each)
    k = max(far, key=lambda k: abs(np.log(each[k] / middle)) if each[k] > 0 else np.inf)
    why = "Was a fill in between not written down? Then write gap_before = yes for the later one." if each[k] < middle else "Is a fill written twice, or a reading of the odometer wrong?"
    more = f" And so {len(far) - 1} more." if len(far) > 1 else ""
    shown, usual = (number(float(consumption_in(one, unit)), 1) for one in (each[k], middle))
    return f" Odd: from {log.rows[spans.start[k]].date:%d %B} to {log.rows[spans.end[k]].date:%d %B %Y} it would have used {shown} {unit}, where {usual} is the middle of all. {why}{more}"


def _void(count):
    return f"{count} further {'span is' if count == 1 else 'spans are'} left out, because a fill in {'it' if count == 1 else 'them'} is not known."


def _unpriced(log, currency):
    """What was paid for without saying how much was bought, as an addition to a sentence."""
    rows = [float(row.paid) for row in log.rows if row.paid and row.filled is None]
    if not sum(rows):
        return ""
    return f" {number(sum(rows), 2)} {currency} of {len(rows)} {'charge is' if len(rows) == 1 else 'charges are'} in no price here: filled, what the charger gave, is not written."


def _price(log, price):
    """A price for the unit that is paid for, with the decimals in which such prices are told."""
    return number(price * AMOUNT_PER[log.unit], 4 if log.unit == "kWh" else 3)


def _one(unit):
    return {"L": "litre", "gal US": "US gallon", "gal imperial": "imperial gallon", "kWh": "kWh"}[unit]
