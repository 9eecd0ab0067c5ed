"""What the reader's page works with: of every option all that does not depend on a control as finished figures, the rest as what it is made of."""

from dataclasses import replace

import numpy as np

from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, Question, as_written, compare
from buildecon.decision.option_terms import NEVER_KM, all_in, counted_on, ends_by, life_of, money_in, values_by
from buildecon.ledger.ladder import ladder
from buildecon.ownership.energy import energy_cost_per_km
from buildecon.ownership.expected import paid_by_distance
from buildecon.ownership.keeping import running_costs
from buildecon.quantities.estimate import sure
from buildecon.quantities.timevalue import annuity_factor, discount_factor, loan_balance, rate_per_period
from buildecon.quantities.units import KM_PER, kilometres
from buildecon.story.tables import role, wrapped
from buildecon.story.telling.reader.controls import at_rate, controls, given
from buildecon.story.telling.reader.names import plainly_named
from buildecon.story.words import called

BY_DISTANCE = ("years and distance", "distance")  # kinds of value path that a reader's distance moves
WEAR_DISTANCE = 10_000  # km or mi: `distance_rate` is told for it
BUILDING = ("build", "second car while building")
NOTHING = dict.fromkeys(("energy", "energy_growth", "upkeep", "insurance_share", "renewal_cost"), 0.0)


def reader_data(project):
    """All that the page needs of a project.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    dict
        Ready for JSON: nothing is NaN or infinite, and nothing of it is an order, a seller, a note or a document. [-]

    Notes
    -----
    A number that stands where an array is meant is a place in `series`, in which each array is kept once. Arrays by month start with month 0,
    those of what is paid in a month with month 1.
    """
    project = plainly_named(project)
    file, totals = project.file, ladder(project)
    months, series, turned = 12 * file.use.horizon_years, _Series(), controls(project, totals)
    asked = as_written(project, totals)
    rate, at = asked.discount_percent / 100, np.arange(12 * file.use.horizon_years + 1)
    growth = {name: (1 + one.price_growth_rate.figure) ** (at[1:] / 12) for name, one in file.energy.items() if one.price_growth_rate.figure}
    return {
        "name": file.build.name,
        "currency": project.currency,
        "as_of": f"{file.build.as_of.day} {file.build.as_of:%B %Y}",
        "unit": file.build.distance_unit,
        "km_per": KM_PER,
        "months": months,
        "rate": rate,
        "factors": series.place(discount_factor(rate, at / 12)),
        "annuity": series.place(annuity_factor(rate_per_period(rate, 12), at)),
        "drive_days": float(file.use.drive_days_a_year),
        "drive_hours": float(file.use.drive_hours_a_year),
        "hours_spent": float(project.hours_spent),
        "convention": file.own_hours.convention,
        "controls": turned,
        "growth": [series.place(growth[one["name"]]) if one["name"] in growth else None for one in turned["energy"]],
        "views": {view: _view(project, totals, view, turned, series) for view in (WHOLE_STORY, FROM_TODAY)},
        "series": series.kept,
    }


class _Series:
    """Arrays, each kept once."""

    def __init__(self):
        self.kept, self.places = [], {}

    def place(self, array):
        """Where an array is kept; None for one of nothing but zeros."""
        found = tuple(np.asarray(array, dtype=float).tolist())
        if not any(found):
            return None
        if found not in self.places:
            self.places[found] = len(self.kept)
            self.kept.append(list(found))
        return self.places[found]


def _view(project, totals, view, turned, series):
    """Every option of one view."""
    asked = as_written(project, totals)
    shown = compare(project, totals, asked, view)
    question, options = Question(project, totals, asked, view), shown.options
    money, again = _money(project, totals, view, turned, options)
    bare = [option.model_copy(update={"kit": None}) for option in options]
    life = life_of(bare, question, shown.terms, all_in(options, question, shown.money_in))
    found = []
    for k, option in enumerate(options):
        failed = [gate.reason for gate in shown.gates[k] if not gate.passes]
        words = {"name": option.name, "called": called(option.name), "wide": wrapped(option.name, 28), "narrow": wrapped(option.name, 14), "kind": option.kind, "role": role(shown, k), "fails": failed, "ready": min(shown.ready(k), len(shown.years) - 1)}
        sums = {"money_in": money[k], "again": again[k], "waiting": counted_on(option, totals), "put_off": 0.0}
        lives = {"km": _finite(life.km[k]), "again_km": _finite(life.again_km[k]), "scrap": float(life.scrap_value[k]), "kit": _kit(option)}
        found.append(words | sums | _running(shown, k, series) | {"energy": _energy(option, turned, series), "value": _value(option, question, shown.years, series), "life": lives, "chance": _chance(option, project, turned, series)})
        found[-1] |= {"selling": float(question.selling_share(option)), "kits": series.place(ends_by([option], question, np.zeros((1, len(shown.years))), shown.years)[0])}
    left = [f"{option.name}, {option.from_today.because.rstrip('.')}" for option in shown.left_out]
    return {"build": shown.build, "done_after": shown.done_after, "options": found, "left_out": left}


def _money(project, totals, view, turned, options):
    """Money in, and what another like it costs, of each option: by way of counting given parts, and by rate of own hours."""
    rates = turned["hours"]["stops"] if turned["hours"] else [0.0]
    money, again = [[] for _ in options], [[] for _ in options]
    for more in (0.0, given(totals)):
        asked = as_written(project, totals).model_copy(update={"spent_off": more})
        parts = []
        for rate in rates:
            hours = at_rate(project.file.own_hours, rate)
            question = Question(project.model_copy(update={"file": project.file.model_copy(update={"own_hours": hours})}), totals, asked, view)
            paid = [money_in(option, question) for option in options]
            parts.append((paid, all_in(options, question, paid)))
        for k, option in enumerate(options):
            money[k].append([float(sum(paid[k].values())) for paid, _ in parts])
            stated = option.wear.again if option.wear else None
            again[k].append([float(stated) if stated is not None else float(bought[k]) for _, bought in parts])
    return [_once(table) for table in money], [_once(table) for table in again]


def _once(table):
    """A table of one figure as that figure."""
    cells = {cell for row in table for cell in row}
    return cells.pop() if len(cells) == 1 else table


def _running(shown, k, series):
    """What an option costs from month to month, with what depends on the distance as what it is made of."""
    terms, months = shown.terms, len(shown.years) - 1
    inflation = float(shown.project.file.use.inflation_rate)
    paid = running_costs(replace(terms, yearly={}, **NOTHING), months, inflation)
    later, loan = float(terms.build_cost[k]), float(terms.loan[k])
    owed = loan_balance(loan, terms.loan_rate[k] / 12, terms.loan_months[k], np.arange(months + 1)) * discount_factor(inflation, shown.years) if loan else 0.0 * shown.years
    renewals = [list(map(float, each)) for each in zip(*(np.atleast_1d(np.asarray(a)[k]) for a in (terms.renewal_cost, terms.first_km, terms.life_km)), strict=True)] if np.ndim(terms.renewal_cost) else []
    return {
        "put_off": later, "loan": loan, "at_once": later if terms.build_months[k] == 0 else 0.0,
        "a_month": float(sum(amount[k] / 12 for amount in terms.yearly.values())),
        "fixed": [series.place(paid[cause][k]) for cause in ("loan payments", *BUILDING) if cause in paid and np.any(paid[cause][k])],
        "fixed_again": [series.place(paid["loan payments"][k])] if loan else [],
        "enjoyment": float(paid["enjoyment"][k, 0]) if "enjoyment" in paid else 0.0,
        "owed": series.place(owed),
        **{name: float(getattr(terms, name)[k]) for name in ("upkeep", "upkeep_by_year", "upkeep_by_km", "insurance_share")},
        "renewals": [each for each in renewals if each[0] and each[1] < NEVER_KM],
    }  # fmt: skip


def _energy(option, turned, series):
    """By part of its energy: the source, what a km costs at each stop of its price, and the sum of the shares."""
    sources, whole = {one["name"]: (k, one["prices"]) for k, one in enumerate(turned["energy"])}, sum(part.distance_share.figure for part in option.energy)
    return [[sources[part.source][0], series.place([energy_cost_per_km(part, price) for price in sources[part.source][1]]), float(whole)] for part in option.energy]


def _value(option, question, years, series):
    """Value by month as far as the distance does not move it, and what the distance does to it."""
    path, unit = option.value_path, question.project.file.build.distance_unit
    wear, straight, per = 0.0, None, float(kilometres(WEAR_DISTANCE, unit))
    if path and path.kind in BY_DISTANCE:
        rate = sure(0) if path.decline_rate is None else path.decline_rate
        option = option.model_copy(update={"value_path": None, "decline_rate": rate})
        wear = path.distance_rate.figure if path.distance_rate is not None else 0.0
    elif path:
        option = option.model_copy(update={"value_path": path.model_copy(update={"scrap_value": None, "lifetime_distance": None})})
    by_year = values_by([option], question, years)[0]
    if path and path.kind == "distance":
        straight, by_year = float(by_year[0]), np.zeros_like(by_year)
    left = np.inf if path is None or path.lifetime_distance is None else max(path.lifetime_distance.figure - path.distance_now.figure, 1e-6)
    return {
        "by_year": series.place(by_year), "straight": straight, "wear": wear, "per": per, "left": _finite(kilometres(left, unit)),
        "scrap": None if path is None or path.scrap_value is None else path.scrap_value.figure,
    }  # fmt: skip


def _kit(option):
    """First value, years held and rate after them of what goes with the car."""
    kit = option.kit
    return None if kit is None else [kit.price.figure * kit.end_value_share.figure, kit.held_years.figure, kit.decline_rate.figure]


def _chance(option, project, turned, series):
    """Of each component that fails by chance: its bill, and renewals paid by distance for every reach that a stop asks for."""
    if option.wear is None or option.kind == "hire":
        return []
    unit, years = project.file.build.distance_unit, project.file.use.horizon_years
    driven = [float(kilometres(stop, unit)) * (12 * years) / 12 for stop in turned["distance"]["stops"] if stop]
    reaches = sorted({float(2.0 ** np.ceil(np.log2(far))) for far in driven})
    parts = [part for part in option.wear.renewals if part.shape is not None]
    return [{"cost": part.cost.figure, "paid": {f"{reach:.0f}": series.place(paid_by_distance(part, unit, reach)[1]) for reach in reaches}} for part in parts]


def _finite(number):
    """JSON has no infinity."""
    return float(number) if np.isfinite(number) else None
