"""What each option costs to have, from the files to arrays: money in, value by years, running cost, length of life.

Every figure of the files is asked for by its `figure`, so a project with draws gives the same in many scenarios at once.
"""

from dataclasses import dataclass, replace

import numpy as np

from buildecon.ledger.ladder import Ladder
from buildecon.market.decline import held_then_declining
from buildecon.market.paths import value_path
from buildecon.ownership.energy import energy_cost_per_km, price_per_litre_or_kwh
from buildecon.ownership.replacement import Life
from buildecon.ownership.terms import Terms
from buildecon.project.paths import ValuePath
from buildecon.project.records import FromToday, OneOff, Project, WhatIf
from buildecon.quantities.estimate import drawn, sure
from buildecon.quantities.units import kilometres

WHOLE_STORY, FROM_TODAY = "whole story", "from today"
KEPT_AS_IS = FromToday()
COUNTED_ON = "counted on, not yet received"
FAR_YEARS = 1000.0  # for what never comes
NEVER_KM = 1e12  # for a component that an option does not have


@dataclass(frozen=True)
class Question:
    """What is asked of the files: whose cost, with which numbers, looking back or forward.

    Parameters
    ----------
    project : Project
        The files; with draws, everything below has an axis of scenarios after that of options. [-]
    totals : Ladder
        Its ladder. [money]
    what_if : WhatIf
        Numbers that replace those of the files. [-]
    view : {"whole story", "from today"}
        All money in, or only what is still to be decided. [-]
    """

    project: Project
    totals: Ladder
    what_if: WhatIf
    view: str

    @property
    def km_a_year(self):
        """Driven. [km/year]"""
        return kilometres(self.what_if.distance_a_year, self.project.file.build.distance_unit)

    @property
    def rate(self):
        """Of discount. [1/year]"""
        return self.what_if.discount_percent / 100

    def is_quoted(self, option):
        """Whether an option is the build that the story is told for."""
        return option.id == self.project.file.build.quoted_option

    def selling_share(self, option):
        """Of its end value, spent on selling. [-]"""
        own = option.selling_cost_share
        return (self.project.file.value.selling_cost_share if own is None else own).figure


def offered(project, view):
    """The options that can be had, and those that cannot.

    Parameters
    ----------
    project : Project
        The files. [-]
    view : {"whole story", "from today"}
        From today, some are out of reach and some cost less. [-]

    Returns
    -------
    options, left_out : tuple of Option
        In the owner's order. [-]
    """
    if view == WHOLE_STORY:
        return project.options, ()
    can = tuple(option for option in project.options if (option.from_today or KEPT_AS_IS).available)
    return tuple(_as_of_today(option) for option in can), tuple(option for option in project.options if option not in can)


def money_in(option, question):
    """What goes in at the start, by what it is for.

    Parameters
    ----------
    option : Option
        As it is in that view. [-]
    question : Question
        Of either view. [-]

    Returns
    -------
    dict of str to (float or ndarray)
        What is nothing is left out. [money]
    """
    file, parts, totals, whole = question.project.file, {}, question.totals, question.view == WHOLE_STORY
    as_is = file.value.as_is.figure * (1 - file.value.selling_cost_share.figure)
    if option.kind == "build":
        if whole:
            parts["stands in at"] = float(totals["stands_in_at"]) + question.what_if.spent_off
            rate = {"wage": file.own_hours.wage, "shop": file.own_hours.shop_rate}.get(file.own_hours.convention)
            parts["own hours"] = question.project.hours_spent.figure * rate.figure if rate else 0.0
        else:
            parts["not selling it as it stands"] = as_is
        parts["still to come"] = question.what_if.still_to_come
        parts[COUNTED_ON] = -counted_on(option, totals) * question.what_if.counted_on_comes
    else:
        if not whole:  # what is spent is spent for this option too; using the car is not selling it
            parts["not selling it as it stands"] = as_is if option.uses_base_car else 0.0
        else:
            base = sum(settled.cost for settled in totals.settled if settled.line.nature == "base car")
            parts["base car"] = float(base) if option.uses_base_car else 0.0
            work = [one for one in totals.settled if one.line.system in option.shares_systems and one.line.nature not in ("base car", "credit")]
            parts["work it shares with the build"] = float(sum(one.cost for one in work))
        parts["price"] = option.price.figure
        parts["purchase tax"] = option.price.figure * option.purchase_tax_rate.figure
    parts["purchase costs"] = option.purchase_costs.figure
    for one in [*option.one_offs, *([OneOff(what=option.kit.what, amount=option.kit.price)] if option.kit else [])]:
        parts[one.what] = parts.get(one.what, 0.0) + one.amount.figure
    return {name: amount for name, amount in parts.items() if np.any(amount)}


def counted_on(option, totals):
    """Money a build counts on and has not received.

    Parameters
    ----------
    option : Option
        With the lines it counts on. [-]
    totals : Ladder
        What is still owed on each line. [money]

    Returns
    -------
    float
        Amount. [money]
    """
    return float(sum(settled.owed for settled in totals.settled if settled.line.id in option.counts_on))


def values_by(options, question, years):
    """What each car would sell for by years kept, before selling cost.

    Parameters
    ----------
    options : sequence of Option
        As they are in that view. [-]
    question : Question
        Of either view. [-]
    years : ndarray, shape (n,)
        When. [year]

    Returns
    -------
    ndarray, shape (options, n) or (options, scenarios, n)
        Value. [money]
    """
    return _by_year([_value(option, question, years[:, None]) for option in options])


def ends_by(options, question, values, years):
    """What would come back by years kept, kit included and selling cost taken off.

    Parameters
    ----------
    options : sequence of Option
        As they are in that view. [-]
    question : Question
        Of either view. [-]
    values : ndarray, shape (options, ..., n)
        Before selling cost, and without the kit. [money]
    years : ndarray, shape (n,)
        When. [year]

    Returns
    -------
    ndarray, shape (options, ..., n)
        Money back. [money]
    """
    selling = _lined_up([question.selling_share(option) for option in options])[..., None]
    kits = _by_year([np.broadcast_to(_kit_left(option, years[:, None]), (len(years), np.size(_kit_left(option, 0.0)))) for option in options])
    selling, kits, values = _same_axes(selling, kits, values)
    return values * (1 - selling) + kits


def all_in(options, question, parts):
    """What went into each option in the whole story, money counted on left out: what another like it costs.

    Parameters
    ----------
    options : sequence of Option
        As they are in that view. [-]
    question : Question
        Of either view. [-]
    parts : sequence of dict
        Money in of each in that view. [money]

    Returns
    -------
    list of (float or ndarray)
        One an option. [money]
    """
    whole = parts if question.view == WHOLE_STORY else [money_in(option, replace(question, view=WHOLE_STORY)) for option in options]
    return [sum(amount for what, amount in each.items() if what != COUNTED_ON) for each in whole]


def life_of(options, question, terms, again):
    """How far each option goes, what it brings then, and what another costs: all that went in, where the files do not say.

    Parameters
    ----------
    options : sequence of Option
        As they are in that view. [-]
    question : Question
        Of either view. [-]
    terms : Terms
        Of the options. [-]
    again : sequence of (float or ndarray)
        What went into each, in the whole story. [money]

    Returns
    -------
    Life
        Infinite where the files name no end. [km]
    """
    unit, km, later, scrap, again = question.project.file.build.distance_unit, [], [], [], list(again)
    turned = question.what_if.lifetime_distance
    for k, option in enumerate(options):
        path, now = option.value_path, question.project.file.this_car.distance
        far, left = (path.lifetime_distance.figure, path.distance_now.figure) if path and path.lifetime_distance else (np.inf, 0.0)
        if question.is_quoted(option) and turned is not None and (now is not None or np.all(np.isfinite(far))):
            far, left = turned, left if np.all(np.isfinite(far)) else now.figure
        fresh = left if option.wear is None or option.wear.again_distance is None else option.wear.again_distance.figure
        later.append(np.maximum(kilometres(far - fresh, unit), 1.0))
        km.append(np.maximum(kilometres(far - left, unit), 1.0) if option.kind != "hire" else np.inf)  # done already: done in the first month
        repairs = question.project.file.repairs
        brings = path.scrap_value.figure if path and path.scrap_value else repairs.scrap_value.figure if repairs else 0.0
        scrap.append(brings * (1 - question.selling_share(option)) + _kit_left(option, km[-1] / np.maximum(question.km_a_year, 1e-9)))
        if option.wear and option.wear.again is not None:
            again[k] = option.wear.again.figure
    km, scrap, again, later, _ = _same_axes(*(_lined_up(each) for each in (km, scrap, again, later)), terms.money_in)
    return Life(km, scrap, replace(terms, money_in=again, build_cost=0.0, downtime=0.0), later)


def terms_of(options, question, parts, values, ends=None, scenarios=0):
    """The options' terms as arrays.

    Parameters
    ----------
    options : sequence of Option
        As they are in that view. [-]
    question : Question
        Of either view. [-]
    parts : sequence of dict
        Money in of each. [money]
    values : ndarray, shape (options, ..., n)
        Value by exit, before selling cost. [money]
    ends : ndarray, shape (options, ..., n), optional
        What comes back by exit. [money]
    scenarios : int, optional
        How many, where terms have an axis of them. [-]

    Returns
    -------
    Terms
        One row an option; with scenarios, (options, scenarios) or (options, 1). [-]
    """
    file, km_a_year = question.project.file, question.km_a_year
    sources = list(file.energy) or [""]
    energy = [[0.0] * len(sources) for _ in options]
    for row, option in enumerate(options):
        whole = sum(part.distance_share.figure for part in option.energy)  # drawn apart, the shares are still all of it
        for part in option.energy:
            price = question.what_if.energy_price * price_per_litre_or_kwh(file.energy[part.source])
            energy[row][sources.index(part.source)] = energy[row][sources.index(part.source)] + km_a_year * energy_cost_per_km(part, price) / whole
    days = file.use.drive_days_a_year.figure
    yearly = {name: [getattr(option.yearly, name).figure for option in options] for name in type(options[0].yearly).model_fields}
    yearly["charges by the day"] = [days * option.charge_per_drive_day.figure for option in options]
    yearly["hire"] = [option.hire.days_a_year.figure * option.hire.per_day.figure if option.hire else 0.0 for option in options]
    yearly["upkeep"] = [question.what_if.upkeep * each for each in yearly["upkeep"]]
    later = [each.get("still to come", 0.0) if option.build_months else 0.0 for option, each in zip(options, parts, strict=True)]
    loans = [option.loan for option in options]
    found = {
        "money_in": [sum(each.values()) - put_off for each, put_off in zip(parts, later, strict=True)],
        "build_cost": later,
        "build_months": [option.build_months.figure if option.build_months else 1.0 for option in options],
        "downtime": [option.downtime.figure for option in options],
        "enjoyment": [option.enjoyment.figure + (question.what_if.enjoyment if question.is_quoted(option) else 0.0) for option in options],
        "loan": [loan.amount.figure if loan else 0.0 for loan in loans],
        "loan_rate": [loan.rate.figure if loan else 0.0 for loan in loans],
        "loan_months": [float(loan.months) if loan else 1.0 for loan in loans],
        "km_a_year": [0.0 if option.kind == "hire" else km_a_year for option in options],
    }
    growth = [[file.energy[name].price_growth_rate.figure if name else 0.0 for name in sources] for _ in options]
    wear, renewed = _wear(options, question, yearly)
    flat = {name: _lined_up(rows) for name, rows in (found | wear).items()}
    deep = {name: _lined_up(rows) for name, rows in ({"energy": energy, "energy_growth": growth} | renewed).items()}
    each = {name: _lined_up(rows) for name, rows in yearly.items()}
    if scenarios:
        flat, each = ({name: a if a.ndim > 1 else a[:, None] for name, a in some.items()} for some in (flat, each))
        flat["money_in"] = np.broadcast_to(flat["money_in"], (len(options), scenarios))
        deep = {name: a if a.ndim > 2 else a[:, None] for name, a in deep.items()}
        values, ends = (a if a is None or a.ndim > 2 else a[:, None] for a in (values, ends))
    return Terms(yearly=each, value_path=values, end_path=ends, **flat, **deep)


def _as_of_today(option):
    changed = option.from_today or KEPT_AS_IS
    return option.model_copy(update={name: getattr(changed, name) for name in ("price", "kit") if getattr(changed, name) is not None})


def _value(option, question, years):
    """What the car would sell for by years kept, before selling cost; years down, scenarios across."""
    if option.kind == "hire":
        return np.zeros_like(years)
    file, what_if = question.project.file, question.what_if
    path = option.value_path or ValuePath(kind="steady", decline_rate=option.decline_rate)
    if option.kind == "build":
        done = file.value.finished
        value, quoted = option.value or done, question.project.option(file.build.quoted_option).value or done
        value = what_if.end_value if value == quoted else value.figure
        turned = question.is_quoted(option)
        if turned and what_if.lifetime_distance is not None and path.lifetime_distance:
            path = path.model_copy(update={"lifetime_distance": sure(max(what_if.lifetime_distance, float(path.distance_now) + 1))})
        if turned and what_if.decline_percent is not None and not np.allclose(100 * float(option.decline_rate or 0), what_if.decline_percent, rtol=0, atol=0.0051):
            rate = np.round(np.asarray(what_if.decline_percent) / 100, 6)
            path = ValuePath(kind="steady", decline_rate=drawn(sure(0), rate) if rate.ndim else sure(rate))
    else:
        value = (option.price if option.value is None else option.value).figure
    return value_path(path, value, years, question.km_a_year, file.build.distance_unit)


def _kit_left(option, years):
    """What the kit would bring by years kept."""
    kit = option.kit
    if kit is None:
        return 0.0
    return held_then_declining(kit.price.figure * kit.end_value_share.figure, kit.held_years.figure, kit.decline_rate.figure, np.minimum(years, FAR_YEARS))


def _wear(options, question, yearly):
    """What of keeping is not the same every year, as arguments of `Terms`: by option, and by option and component; rising upkeep leaves the yearly sums."""
    unit, wears = question.project.file.build.distance_unit, [option.wear for option in options]
    by_year = [question.what_if.upkeep_rise_percent / 100 + (wear.upkeep_by_year.figure if wear else 0.0) for wear in wears]
    by_km = [wear.upkeep_by_distance.figure / kilometres(1.0, unit) if wear else 0.0 for wear in wears]
    rises = [np.any(np.greater(year, 0)) or np.any(np.greater(km, 0)) for year, km in zip(by_year, by_km, strict=True)]
    rising = [each if up else 0.0 for each, up in zip(yearly["upkeep"], rises, strict=True)]
    yearly["upkeep"] = [0.0 if up else each for each, up in zip(yearly["upkeep"], rises, strict=True)]
    share = [wear.insurance_share.figure if wear else 0.0 for wear in wears]
    # What fails by chance has its expected bills added apart.
    parts = [[part for part in wear.renewals if part.shape is None] if wear else [] for wear in wears]
    most, renewed = max(map(len, parts)), {}
    if most:
        cost = [[part.cost.figure for part in mine] + [0.0] * (most - len(mine)) for mine in parts]
        every = [[kilometres(part.every.figure, unit) for part in mine] + [NEVER_KM] * (most - len(mine)) for mine in parts]
        first = [[kilometres(np.maximum(part.every.figure - part.used.figure, 0.0), unit) for part in mine] + [NEVER_KM] * (most - len(mine)) for mine in parts]
        renewed = {"renewal_cost": cost, "first_km": first, "life_km": every}
    return {"upkeep": rising, "upkeep_by_year": by_year, "upkeep_by_km": by_km, "insurance_share": share}, renewed


def _lined_up(rows):
    """Options on the first axis, scenarios on the next where there are any, what each option has several of on the last."""
    wide = isinstance(rows[0], list)
    cells = [cell for row in rows for cell in row] if wide else rows
    found = np.stack(np.broadcast_arrays(*(np.asarray(cell, dtype=float) for cell in cells)))
    return np.moveaxis(found.reshape(len(rows), -1, *found.shape[1:]), 1, -1) if wide else found


def _by_year(columns):
    """The same of values by year, years down and scenarios across; without scenarios the axis is left out."""
    found = np.stack(np.broadcast_arrays(*columns))
    return found[..., 0] if found.shape[-1] == 1 else np.moveaxis(found, 1, 2)


def _same_axes(*arrays):
    """An axis for scenarios, after that of options, in those that have none while others have one."""
    most = max(a.ndim for a in arrays)
    return [a[:, None] if a.ndim < most else a for a in arrays]
