"""What the log of a project's fills says of its energies, beside what build.toml states."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from buildecon.ownership.energy import used_amount
from buildecon.ownership.fuel_log import FILL_LEVEL_SD, Pooled, Spans, charging_loss, distance_driven, fill_spans, pooled
from buildecon.project.fills import in_order, unit_of
from buildecon.quantities.units import AMOUNT_PER, BOUGHT_AS, consumption_per_100_km, kilometres

TOLD_APART = 2  # standard errors, about nineteen times out of twenty
SAME = 1e-9  # of a figure: what is left of adding up in another order tells no two figures apart


@dataclass(frozen=True)
class Stated:
    """What the quoted build's option states of one energy: a figure or a range.

    Parameters
    ----------
    bought, used : tuple of float
        Low, likely and high, at the pump or wall and at the car; its share of the distance is in both. [per 100 km]
    loss : tuple of float
        Charging loss, low, likely and high. [-]
    unit : str
        In which the owner wrote it. [-]
    """

    bought: tuple
    used: tuple
    loss: tuple
    unit: str


@dataclass(frozen=True)
class Place:
    """What was bought at one place.

    Parameters
    ----------
    name : str
        The owner's word; empty where there is none. [-]
    amount : float
        Bought there and paid for. [L or kWh]
    paid : float
        For that. [money]
    fills : int
        How many. [-]
    stated_price : float or None
        What build.toml gives as the price of a litre or kWh there. [money]
    stated_share : float or None
        Share of all that build.toml says is bought there. [-]
    """

    name: str
    amount: float
    paid: float
    fills: int
    stated_price: float | None
    stated_share: float | None

    @property
    def price(self):
        """Paid for one litre or kWh. [money]"""
        return self.paid / self.amount


@dataclass(frozen=True)
class Log:
    """All that one energy's fills say.

    Parameters
    ----------
    source : str
        Name of the energy. [-]
    unit : str
        In which it is paid for. [-]
    rows : tuple of Fill
        In order of time. [-]
    bought_spans, used_spans : Spans
        At the pump or wall; in the battery, empty for a fuel. [-]
    bought, used : Pooled or None
        Measured over them; None where it cannot be. [per 100 km]
    loss : tuple of (float, float, int) or None
        Charging loss, its standard error, and on how many charges both were read. [-]
    places : tuple of Place
        Most bought first. [-]
    stated : Stated or None
        None where the quoted build does not use it. [-]
    level_sd : float
        Standard deviation of how full a full fill is. [L or kWh]
    """

    source: str
    unit: str
    rows: tuple
    bought_spans: Spans
    used_spans: Spans
    bought: Pooled | None
    used: Pooled | None
    loss: tuple | None
    places: tuple
    stated: Stated | None
    level_sd: float

    @property
    def price(self):
        """Paid for one litre or kWh, all places together; None where nothing was paid. [money]"""
        amount = sum(place.amount for place in self.places)
        return sum(place.paid for place in self.places) / amount if amount else None

    def middle_days(self, spans):
        """Day halfway through each span, for telling seasons."""
        days = np.array([row.date.toordinal() for row in self.rows], dtype=int)
        return [date.fromordinal(int(day)) for day in (days[spans.start] + days[spans.end]) // 2]

    def loads(self, spans):
        """Load of each span: the word on all its fills, or "mixed"."""
        words = [{row.load for row in self.rows[start + 1 : end + 1]} for start, end in zip(spans.start, spans.end, strict=True)]
        return [next(iter(one)) if len(one) == 1 else "mixed" for one in words]


def read_logs(project, level_sd=None):
    """What energy.csv says of each energy in it.

    Parameters
    ----------
    project : Project
        The files. [-]
    level_sd : dict of str to float, optional
        For "fuel" and "electricity", how full a full fill is, one standard deviation; `FILL_LEVEL_SD` by default. [L or kWh]

    Returns
    -------
    list of Log
        One an energy, in the order of build.toml. [-]

    Raises
    ------
    ValueError
        For a standard deviation below 0, or of something else.
    """
    level_sd = FILL_LEVEL_SD | (level_sd or {})
    if not all(name in FILL_LEVEL_SD and 0 <= value < np.inf for name, value in level_sd.items()):
        raise ValueError(f"level_sd must be at least 0 for 'fuel' and 'electricity', got {level_sd}.")
    rows = in_order(project.energy)
    driven = kilometres(distance_driven(*(_column(rows, name) for name in ("odometer", "odometer_now", "correction"))), project.file.build.distance_unit)
    return [_log(project, source, rows, driven, level_sd) for source in project.file.energy if any(row.is_fill and row.source == source for row in rows)]


def _log(project, source, rows, driven, level_sd):
    energy = project.file.energy[source]
    mine = [k for k, row in enumerate(rows) if row.is_fill and row.source == source]
    fills, at = tuple(rows[k] for k in mine), driven[mine]
    used = _column(fills, "in_battery")
    bought = _column(fills, "filled") * [AMOUNT_PER[unit_of(row, project.file.energy)] for row in fills]
    full, gap = [row.full == "yes" for row in fills], [row.gap_before == "yes" for row in fills]
    sd = level_sd[BOUGHT_AS[energy.unit]]
    spans, in_battery = fill_spans(bought, at, full, gap), fill_spans(used, at, full, gap)
    both = ~np.isnan(bought) & ~np.isnan(used)
    loss = (*charging_loss(bought[both], used[both]), int(both.sum())) if both.any() else None
    found = pooled(spans, sd), pooled(in_battery, sd)
    return Log(source, energy.unit, fills, spans, in_battery, *found, loss, _places(energy, fills, bought), _stated(project, source), sd)


def _column(rows, name):
    """A column of the log, NaN where its cell is empty."""
    return np.array([np.nan if getattr(row, name) is None else float(getattr(row, name)) for row in rows])


def _places(energy, fills, bought):
    """What was paid at each place, for the fills of which amount and price are known."""
    prices = {tariff.name: (float(tariff.price), float(tariff.share)) for tariff in energy.tariffs}
    usual = (float(energy.price), None) if energy.price is not None else (None, None)
    sums = {}
    for row, amount in zip(fills, bought, strict=True):
        if row.paid is not None and not np.isnan(amount):
            before = sums.get(row.place, (0.0, 0.0, 0))
            sums[row.place] = (before[0] + float(amount), before[1] + float(row.paid), before[2] + 1)
    stated = {name: prices.get(name, usual) for name in sums}
    per = AMOUNT_PER[energy.unit]
    found = [Place(name, *sums[name], None if stated[name][0] is None else stated[name][0] / per, stated[name][1]) for name in sums]
    return tuple(sorted(found, key=lambda place: -place.amount))


def _stated(project, source):
    """What the quoted build's option says of an energy; a range of miles a gallon is turned round."""
    option = project.option(project.file.build.quoted_option)
    part = next((part for part in option.energy if part.source == source), None)
    if part is None or not part.distance_share.likely:
        return None
    share = part.distance_share
    ends = sorted(consumption_per_100_km(list(used_amount(part)), part.unit))
    used = tuple(float(end) * float(edge) for end, edge in zip(ends, (share.low, share.likely, share.high), strict=True))
    loss = tuple(float(edge) for edge in (part.charging_loss.low, part.charging_loss.likely, part.charging_loss.high))
    return Stated(tuple(end / (1 - edge) for end, edge in zip(used, loss, strict=True)), used, loss, part.unit)


def agrees(measured, error, stated):
    """Whether a measured figure and a stated one go together.

    Parameters
    ----------
    measured, error : float
        Figure and standard error. [-]
    stated : tuple of float
        Low, likely, high; all equal where it is one figure. [-]

    Returns
    -------
    bool
        Whether it lies no more than `TOLD_APART` errors outside what is stated. [-]
    """
    low, _, high = stated
    apart = TOLD_APART * error + SAME * abs(measured)
    return low - apart <= measured <= high + apart
