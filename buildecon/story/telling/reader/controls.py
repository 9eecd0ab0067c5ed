"""What a reader of the write-up can turn, stop by stop, and the comparison at any of these settings."""

from dataclasses import dataclass, field

from buildecon.decision.compare import WHOLE_STORY, as_written, compare
from buildecon.ownership.energy import price_per_litre_or_kwh
from buildecon.quantities.estimate import sure
from buildecon.quantities.units import AMOUNT_PER
from buildecon.story.dials import soonest
from buildecon.story.words import amount, number

STOPS = 90  # about so many along a slider
LEAST_DISTANCE = 10_000  # km or mi; how far the slider goes at least
ROUND = (1, 2, 5, 10)


@dataclass(frozen=True)
class Settings:
    """Where a reader has put the controls.

    Parameters
    ----------
    years_kept : int
        Years the car is kept. [year]
    distance_a_year : float
        In the owner's unit. [km/year]
    prices : dict of str to float
        Of a unit of energy, by its name; what is left out is at the price of the files. [money]
    hours_rate : float
        Of an own hour; 0 for a hobby. [money]
    street_prices : bool
        Given and discounted parts at what a reader would pay. [-]
    view : {"whole story", "from today"}
        All money in, or only what is still to be decided. [-]
    """

    years_kept: int
    distance_a_year: float
    prices: dict = field(default_factory=dict)
    hours_rate: float = 0.0
    street_prices: bool = False
    view: str = WHOLE_STORY


def as_published(project):
    """The settings of the files.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    Settings
        What the page shows first. [-]
    """
    hours, use = project.file.own_hours, project.file.use
    return Settings(use.years_kept, float(use.distance_a_year), hours_rate=hours.an_hour)


def comparison_at(project, totals, settings):
    """Every option side by side, as a reader has set it.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder. [money]
    settings : Settings
        Of the controls. [-]

    Returns
    -------
    Comparison
        In home currency. [money]
    """
    asked = as_written(project, totals).model_copy(
        update={"years_kept": settings.years_kept, "distance_a_year": settings.distance_a_year, "spent_off": given(totals) if settings.street_prices else 0.0}
    )
    energy = {name: repriced(one, settings.prices[name]) if name in settings.prices else one for name, one in project.file.energy.items()}
    tables = {"own_hours": at_rate(project.file.own_hours, settings.hours_rate), "energy": energy}
    return compare(project.model_copy(update={"file": project.file.model_copy(update=tables)}), totals, asked, settings.view)


def given(totals):
    """What a reader would pay more than the owner, where parts were given or cheap.

    Parameters
    ----------
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    float
        At street price, less as paid. [money]
    """
    return float(totals["at_street_price"] - totals["stands_in_at"])


def at_rate(hours, rate):
    """Own hours at another rate.

    Parameters
    ----------
    hours : OwnHours
        Of the files. [-]
    rate : float
        0 for a hobby; else a wage, but for the shop rate of the files. [money]

    Returns
    -------
    OwnHours
        The same hours. [-]
    """
    if not rate:
        return hours.model_copy(update={"convention": "hobby"})
    if rate == float(hours.shop_rate) and (hours.convention == "shop" or rate != float(hours.wage)):
        return hours.model_copy(update={"convention": "shop"})
    return hours.model_copy(update={"convention": "wage", "wage": sure(rate)})


def repriced(energy, price):
    """An energy at one price instead of its own.

    Parameters
    ----------
    energy : Energy
        Of the files. [-]
    price : float
        Of a unit. [money]

    Returns
    -------
    Energy
        The same unit and growth. [-]
    """
    return energy.model_copy(update={"price": sure(price), "tariffs": ()})


def controls(project, totals):
    """Every control with its stops, and at which of them it stands first.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder. [money]

    Returns
    -------
    dict
        `years`, `distance`, `energy`, `hours`, `street`; the last two are None where they would move nothing. [-]
    """
    written, horizon = as_published(project), project.file.use.horizon_years
    far = max(2.5 * written.distance_a_year, LEAST_DISTANCE)
    distances = _stops(0.0, far, round_step(far / STOPS), written.distance_a_year)
    more, first = given(totals), soonest(project)
    return {
        "years": {"stops": list(range(first, horizon + 1)), "at": written.years_kept - first},
        "distance": {"stops": distances, "at": distances.index(written.distance_a_year)},
        "energy": [_energy(project, name) for name in _used(project)],
        "hours": _hours(project) if float(project.hours_spent) else None,
        "street": {"more": amount(more, project.currency)} if more else None,
    }


def round_step(least):
    """The next round number: 1, 2 or 5 with zeros.

    Parameters
    ----------
    least : float
        Above 0. [-]

    Returns
    -------
    float
        At least as large. [-]
    """
    power = 0
    while 10.0**power > least:
        power -= 1
    while 10.0 ** (power + 1) <= least:
        power += 1
    return next(round(times * 10.0**power, max(-power, 0)) for times in ROUND if times * 10.0**power >= least * (1 - 1e-12))


def _stops(low, high, step, written):
    """Round stops and what the files say, rising."""
    first, last = int(-(-low // step)), int(-(-high // step))
    return sorted({*(round(k * step, 6) for k in range(first, last + 1)), written})


def _used(project):
    """Names of the energies that some option uses, in the order of the files."""
    used = {part.source for option in project.options for part in option.energy}
    return [name for name in project.file.energy if name in used]


def _energy(project, name):
    energy, currency = project.file.energy[name], project.currency
    written = float(price_per_litre_or_kwh(energy)) * AMOUNT_PER[energy.unit]
    own = round(written, 9)
    top = 3 * own or 1.0
    stops = _stops(0.4 * own, top, round_step((top - 0.4 * own) / STOPS), own)
    at = stops.index(own)
    prices = [float(price_per_litre_or_kwh(energy if k == at else repriced(energy, stop))) for k, stop in enumerate(stops)]
    mix = ", ".join(f"{part.name} {float(part.share):.0%} at {float(part.price):.4g}" for part in energy.tariffs)
    texts = [f"{_price(stop)} {currency} a {energy.unit}" for stop in stops]
    return {"name": name, "label": f"{name[:1].upper()}{name[1:]}", "stops": stops, "prices": prices, "texts": texts, "mix": mix, "at": at}


def _price(price):
    """Two decimals at least, and no more than four that say something."""
    shown = number(price, 4)
    return shown[:-2] + shown[-2:].rstrip("0")


def _hours(project):
    hours, currency = project.file.own_hours, project.currency
    top = max(2.0 * float(hours.shop_rate), 2.0 * float(hours.wage), 20.0)
    here = {hours.an_hour, float(hours.wage), float(hours.shop_rate)}
    stops = sorted({*_stops(0.0, top, round_step(top / STOPS * 2), 0.0), *here})
    called = [at_rate(hours, rate).convention if rate in here or not rate else "" for rate in stops]
    words = {"hobby": ", a hobby", "wage": ", a wage", "shop": ", a shop rate", "": ""}
    return {
        "stops": stops,
        "texts": [f"{amount(rate, currency, 0 if rate == int(rate) else 2)} an hour{words[kind]}" for rate, kind in zip(stops, called, strict=True)],
        "conventions": [at_rate(hours, rate).convention for rate in stops],
        "at": stops.index(hours.an_hour),
        "spent": f"{number(float(project.hours_spent))} hours",
    }
