"""The build beside everything one could have instead: same start, same money, same use, by years kept."""

from dataclasses import dataclass, replace
from math import isclose

import numpy as np

from buildecon.decision.breakeven import break_even
from buildecon.decision.gates import cost_of_each_gate, gates_of
from buildecon.ledger.ladder import Ladder, ladder
from buildecon.market.decline import held_then_declining
from buildecon.market.paths import value_path
from buildecon.ownership.energy import energy_cost_per_km, price_per_litre_or_kwh
from buildecon.ownership.expected import expected_renewals_by_month
from buildecon.ownership.keeping import level_cost
from buildecon.ownership.replacement import Life, total_if_replaced
from buildecon.ownership.terms import Terms
from buildecon.project.paths import ValuePath
from buildecon.project.records import FromToday, OneOff, Project, WhatIf
from buildecon.quantities.estimate import sure
from buildecon.quantities.units import kilometres

WHOLE_STORY, FROM_TODAY = "whole story", "from today"
KEPT_AS_IS = FromToday()
COUNTED_ON = "counted on, not yet received"
FAR_YEARS = 1000.0  # for what never comes
NEVER_KM = 1e12  # for a component that an option does not have


@dataclass(frozen=True)
class Comparison:
    """Cost of every option by years kept.

    Parameters
    ----------
    project : Project
        What is compared. [-]
    view : {"whole story", "from today"}
        All money in, or only what is still to be decided. [-]
    what_if : WhatIf
        The numbers it was made with. [-]
    options, left_out : tuple of Option
        Compared, and not to be had from today. [-]
    money_in : tuple of dict of str to float
        What goes in at the start, by what it is for, an option each. [money]
    years : ndarray, shape (n,)
        Month by month from 0. [year]
    total, per_month, per_distance : ndarray, shape (options, n)
        Present value; level cost a month; the same for one km or mile. [money, money/month, money/km]
    gates : tuple of tuple of Gate
        How each option stands against each must-have. [-]
    terms : Terms
        What it was added up from. [-]
    end_value : ndarray, shape (options, n)
        What would come back by age. [money]
    replaced : ndarray, shape (options, most)
        Months at whose end a car at the end of its life is replaced; NaN where there is none. [month]
    by_chance : ndarray, shape (options, months)
        Expected bills for components that fail by chance, as if no car were replaced. [money]
    """

    project: Project
    view: str
    what_if: WhatIf
    options: tuple
    left_out: tuple
    money_in: tuple
    years: np.ndarray
    total: np.ndarray
    per_month: np.ndarray
    per_distance: np.ndarray
    gates: tuple
    terms: Terms
    end_value: np.ndarray
    replaced: np.ndarray
    by_chance: np.ndarray

    @property
    def build(self):
        """Position of the build that is quoted."""
        return self.position(self.project.file.build.quoted_option)

    @property
    def passes(self):
        """Whether each option meets every must-have, shape (options,)."""
        return np.array([all(gate.passes for gate in gates) for gates in self.gates])

    def position(self, id):
        """Position of an option by its id."""
        return [option.id for option in self.options].index(id)

    def month(self, years):
        """Position on the month grid of some years kept."""
        return round(12 * years)

    def rivals(self):
        """Positions of the options that are no build, in the owner's order."""
        return [k for k, option in enumerate(self.options) if option.kind != "build"]

    def cheapest_rival(self, years):
        """Position of the cheapest option that is no build and passes, at some years kept, or None."""
        able = [k for k in self.rivals() if self.passes[k]]
        return min(able, key=lambda k: self.total[k, self.month(years)], default=None)

    def break_even(self, k):
        """Where the quoted build and option k cross, in years kept."""
        return break_even(self.total[self.build] - self.total[k], self.years)

    def against_cheapest(self):
        """Where the quoted build crosses whatever other option is the cheapest that passes at each length; None where nothing passes."""
        able = [k for k in self.rivals() if self.passes[k]]
        return break_even(self.total[self.build] - self.total[able].min(axis=0), self.years) if able else None

    def gate_costs(self, years):
        """What each must-have that somebody fails costs a month at some years kept."""
        return cost_of_each_gate(self.per_month[:, self.month(years)], self.gates)


def as_written(project, totals):
    """The numbers a reader may turn, as the files have them.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder of totals. [money]

    Returns
    -------
    WhatIf
        Likely values; what is still to come at the mean of its range. [-]
    """
    build, use = project.option(project.file.build.quoted_option), project.file.use
    return WhatIf(
        years_kept=use.years_kept,
        distance_a_year=float(use.distance_a_year),
        end_value=float(build.value or project.file.value.finished),
        discount_percent=100 * float(use.discount_rate),
        still_to_come=round(float(totals.expected_to_finish), 2),
    )


def compare(project, totals: Ladder = None, what_if: WhatIf = None, view=WHOLE_STORY):
    """Every option side by side.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder, optional
        Its ladder, where the caller has it already. [money]
    what_if : WhatIf, optional
        Numbers that replace those of the files. [-]
    view : {"whole story", "from today"}, optional
        Looking back on all money in, or forward from what the car would sell for now. [-]

    Returns
    -------
    Comparison
        By month over the horizon searched. [money]
    """
    totals = totals or ladder(project)
    what_if = what_if or as_written(project, totals)
    if view == FROM_TODAY:
        options = tuple(option for option in project.options if (option.from_today or KEPT_AS_IS).available)
        left_out = tuple(option for option in project.options if option not in options)
        options = tuple(_as_of_today(option) for option in options)
    else:
        options, left_out = project.options, ()
    use = project.file.use
    months = 12 * use.horizon_years
    years = np.arange(months + 1) / 12
    money_in = tuple(_money_in(option, project, totals, what_if, view) for option in options)
    values = np.array([_value(option, project, what_if, years) for option in options])
    end = np.array([_end_value(option, project, value, years) for option, value in zip(options, values, strict=True)])
    rate = what_if.discount_percent / 100
    terms = _terms(options, project, what_if, money_in, values)
    whole = money_in if view == WHOLE_STORY else tuple(_money_in(option, project, totals, what_if, WHOLE_STORY) for option in options)
    again = np.array([sum(amount for what, amount in parts.items() if what != COUNTED_ON) for parts in whole])
    total, replaced = total_if_replaced(terms, end, months, _lives(options, project, what_if, terms, again), rate, float(use.inflation_rate))
    by_chance = np.array([expected_renewals_by_month(option, what_if.distance_a_year, project.file.build.distance_unit, months) for option in options])
    if by_chance.any():
        total[:, 1:] += np.cumsum(by_chance * (1 + rate) ** (-np.arange(1, months + 1) / 12), axis=1)
    per_month = level_cost(total, rate)
    driven = np.array([0 if option.kind == "hire" else what_if.distance_a_year / 12 for option in options])[:, None]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        per_distance = np.where(driven > 0, per_month / driven, np.nan)
    gates = tuple(gates_of(option, project.file.must_haves) for option in options)
    return Comparison(project, view, what_if, options, left_out, money_in, years, total, per_month, per_distance, gates, terms, end, replaced, by_chance)


def price_of_joy(comparison, build=None):
    """What the build costs a month above the cheapest other option that passes every must-have, by month kept.

    Parameters
    ----------
    comparison : Comparison
        Every option. [-]
    build : int, optional
        Position of the build; the quoted one by default. [-]

    Returns
    -------
    ndarray, shape (n,)
        Below 0 where the build is the cheap choice; NaN where nothing else passes. [money/month]
    """
    build = comparison.build if build is None else build
    able = [k for k in comparison.rivals() if comparison.passes[k]]
    if not able:
        return np.full(comparison.years.shape, np.nan)
    return comparison.per_month[build] - comparison.per_month[able].min(axis=0)


def joy_by(comparison, per_month, years):
    """A price of joy spread over drive days and over hours.

    Parameters
    ----------
    comparison : Comparison
        For the use and the own hours. [-]
    per_month : float
        The price of joy. [money/month]
    years : float
        Years kept. [year]

    Returns
    -------
    dict of str to float or None
        `per_drive_day`, and `per_hour` of building and driving together; None where the files give no hours, or count them as labour. [money]
    """
    file = comparison.project.file
    days, hours = float(file.use.drive_days_a_year), years * float(file.use.drive_hours_a_year)
    if comparison.view == WHOLE_STORY:  # from today the hours of building are spent
        # Hours that are paid for in the sums are not divided by as well.
        hours = hours + float(comparison.project.hours_spent) if file.own_hours.convention == "hobby" else 0.0
    return {"per_drive_day": 12 * per_month / days if days else None, "per_hour": 12 * years * per_month / hours if hours else None}


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


def _as_of_today(option):
    changed = option.from_today or KEPT_AS_IS
    return option.model_copy(update={name: getattr(changed, name) for name in ("price", "kit") if getattr(changed, name) is not None})


def _money_in(option, project, totals, what_if, view):
    """What goes in at the start, by what it is for."""
    file, parts = project.file, {}
    as_is = float(file.value.as_is) * (1 - float(file.value.selling_cost_share))
    if option.kind == "build":
        if view == WHOLE_STORY:
            parts["stands in at"] = float(totals["stands_in_at"])
            parts["own hours"] = float(totals.hours_views[file.own_hours.convention] - totals.hours_views["hobby"])
        else:
            parts["not selling it as it stands"] = as_is
        parts["still to come"] = what_if.still_to_come
        parts[COUNTED_ON] = -counted_on(option, totals)
    else:
        if view == FROM_TODAY:  # what is spent is spent for this option too; using the car is not selling it
            parts["not selling it as it stands"] = as_is if option.uses_base_car else 0.0
        else:
            base = sum(settled.cost for settled in totals.settled if settled.line.nature == "base car")
            parts["base car"] = float(base) if option.uses_base_car else 0.0
            work = [one for one in totals.settled if one.line.system in option.shares_systems and one.line.nature not in ("base car", "credit")]
            parts["work it shares with the build"] = float(sum(one.cost for one in work))
        parts["price"] = float(option.price)
        parts["purchase tax"] = float(option.price) * float(option.purchase_tax_rate)
    parts["purchase costs"] = float(option.purchase_costs)
    extras = [*option.one_offs, *([OneOff(what=option.kit.what, amount=option.kit.price)] if option.kit else [])]
    for one in extras:
        parts[one.what] = parts.get(one.what, 0.0) + float(one.amount)
    return {name: amount for name, amount in parts.items() if amount}


def _value(option, project, what_if, years):
    """What the car would sell for by years kept, before selling cost."""
    if option.kind == "hire":
        return np.zeros_like(years)
    path, unit = option.value_path or ValuePath(kind="steady", decline_rate=option.decline_rate), project.file.build.distance_unit
    if option.kind == "build":
        done = project.file.value.finished
        value, quoted = option.value or done, project.option(project.file.build.quoted_option).value or done
        value = what_if.end_value if value == quoted else float(value)
        turned = option.id == project.file.build.quoted_option
        if turned and what_if.lifetime_distance is not None and path.lifetime_distance:
            path = path.model_copy(update={"lifetime_distance": sure(max(what_if.lifetime_distance, float(path.distance_now) + 1))})
        if turned and what_if.decline_percent is not None and not isclose(100 * float(option.decline_rate or 0), what_if.decline_percent, abs_tol=0.0051):
            path = ValuePath(kind="steady", decline_rate=sure(round(what_if.decline_percent / 100, 6)))
    else:
        value = float(option.price if option.value is None else option.value)
    return value_path(path, value, years, kilometres(what_if.distance_a_year, unit), unit)


def _end_value(option, project, value, years):
    """What would come back by years kept, kit included and selling cost taken off."""
    selling = project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share
    return value * (1 - float(selling)) + _kit_left(option, years)


def _kit_left(option, years):
    """What the kit would bring by years kept."""
    kit = option.kit
    if kit is None:
        return 0.0
    return held_then_declining(float(kit.price) * float(kit.end_value_share), float(kit.held_years), float(kit.decline_rate), np.minimum(years, FAR_YEARS))


def _lives(options, project, what_if, terms, again):
    """How far each option goes, what it brings then, and what another costs: all that went in, where the files do not say."""
    unit, km, later, scrap = project.file.build.distance_unit, [], [], []
    for k, option in enumerate(options):
        path, now = option.value_path, project.file.this_car.distance
        far, left = (float(path.lifetime_distance), float(path.distance_now)) if path and path.lifetime_distance else (np.inf, 0.0)
        if option.id == project.file.build.quoted_option and what_if.lifetime_distance is not None and (now is not None or np.isfinite(far)):
            far, left = what_if.lifetime_distance, left if np.isfinite(far) else float(now)
        fresh = left if option.wear is None or option.wear.again_distance is None else float(option.wear.again_distance)
        later.append(max(kilometres(far - fresh, unit), 1.0))
        km.append(max(kilometres(far - left, unit), 1.0) if option.kind != "hire" else np.inf)  # done already: done in the first month
        repairs = project.file.repairs
        selling = project.file.value.selling_cost_share if option.selling_cost_share is None else option.selling_cost_share
        brings = float(path.scrap_value) if path and path.scrap_value else float(repairs.scrap_value) if repairs else 0.0
        scrap.append(brings * (1 - float(selling)) + _kit_left(option, km[-1] / max(kilometres(what_if.distance_a_year, unit), 1e-9)))
        if option.wear and option.wear.again is not None:
            again[k] = float(option.wear.again)
    return Life(np.array(km), np.array(scrap), replace(terms, money_in=again, build_cost=0.0, downtime=0.0), np.array(later))


def _wear(options, project, what_if, yearly):
    """What of keeping is not the same every year, as arguments of `Terms`; rising upkeep leaves the yearly sums."""
    unit, wears = project.file.build.distance_unit, [option.wear for option in options]
    rise = what_if.upkeep_rise_percent / 100
    by_year = np.array([rise + (float(wear.upkeep_by_year) if wear else 0.0) for wear in wears])
    by_km = np.array([float(wear.upkeep_by_distance) / kilometres(1.0, unit) if wear else 0.0 for wear in wears])
    rises = (by_year > 0) | (by_km > 0)
    most = max((len(wear.renewals) for wear in wears if wear), default=0)
    cost, first, every = np.zeros((len(options), most)), np.full((len(options), most), NEVER_KM), np.full((len(options), most), NEVER_KM)
    for k, wear in enumerate(wears):
        for j, part in enumerate(wear.renewals if wear else ()):
            if part.shape is not None:  # expected bills are added apart
                continue
            cost[k, j], every[k, j] = float(part.cost), kilometres(float(part.every), unit)
            first[k, j] = kilometres(max(float(part.every) - float(part.used), 0.0), unit)
    found = {
        "upkeep": np.where(rises, yearly["upkeep"], 0.0), "upkeep_by_year": by_year, "upkeep_by_km": by_km,
        "insurance_share": np.array([float(wear.insurance_share) if wear else 0.0 for wear in wears]),
    }  # fmt: skip
    yearly["upkeep"] = np.where(rises, 0.0, yearly["upkeep"])
    return found | ({"renewal_cost": cost, "first_km": first, "life_km": every} if most else {})


def _terms(options, project, what_if, money_in, values):
    """The options' terms as arrays, one row an option."""
    file = project.file
    km_a_year = kilometres(what_if.distance_a_year, file.build.distance_unit)
    days = float(file.use.drive_days_a_year)
    sources = list(file.energy) or [""]
    energy = np.zeros((len(options), len(sources)))
    for row, option in enumerate(options):
        for part in option.energy:
            price = what_if.energy_price * price_per_litre_or_kwh(file.energy[part.source])
            energy[row, sources.index(part.source)] += km_a_year * energy_cost_per_km(part, price)
    yearly = {name: np.array([float(getattr(option.yearly, name)) for option in options]) for name in type(options[0].yearly).model_fields}
    yearly["charges by the day"] = np.array([days * float(option.charge_per_drive_day) for option in options])
    yearly["hire"] = np.array([float(o.hire.days_a_year) * float(o.hire.per_day) if o.hire else 0.0 for o in options])
    yearly["upkeep"] = what_if.upkeep * yearly["upkeep"]
    loans = [option.loan for option in options]
    later = np.array([parts.get("still to come", 0.0) if option.build_months else 0.0 for option, parts in zip(options, money_in, strict=True)])
    driven = np.array([0.0 if option.kind == "hire" else km_a_year for option in options])
    return Terms(
        money_in=np.array([sum(parts.values()) for parts in money_in]) - later,
        build_cost=later,
        build_months=np.array([float(option.build_months) if option.build_months else 1.0 for option in options]),
        downtime=np.array([float(option.downtime) for option in options]),
        enjoyment=np.array([float(option.enjoyment) for option in options]),
        yearly=yearly,
        energy=energy,
        energy_growth=np.array([float(file.energy[name].price_growth_rate) if name else 0.0 for name in sources]),
        loan=np.array([float(loan.amount) if loan else 0.0 for loan in loans]),
        loan_rate=np.array([float(loan.rate) if loan else 0.0 for loan in loans]),
        loan_months=np.array([float(loan.months) if loan else 1.0 for loan in loans]),
        km_a_year=driven,
        value_path=values,
        **_wear(options, project, what_if, yearly),
    )
