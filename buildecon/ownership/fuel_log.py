"""Consumption measured from full fill to full fill: arrays of readings in, pooled figures and their errors out.

What is filled between two full fills is what was burned between them, but for how full "full" was each time. Over fills that
follow on each other those differences cancel, but for the first and the last; so all is pooled, and no mean of tanks is taken.
"""

from dataclasses import dataclass

import numpy as np

from buildecon.quantities.units import LITRES_PER_US_GALLON, pooled_consumption

# By how much "full" differs from one fill to the next, one standard deviation. Common practice, no source.
FILL_LEVEL_SD = {"fuel": 0.5 * LITRES_PER_US_GALLON, "electricity": 0.5}  # L, kWh
LEFT_OUT, TWICE, FAR_SDS, FEW_SPANS = 0.6, 1.6, 3.0, 4  # shares of the middle stretch, sd of a difference of two levels, stretches
WINTER_HALF = {"north": (10, 11, 12, 1, 2, 3), "south": (4, 5, 6, 7, 8, 9)}


@dataclass(frozen=True)
class Spans:
    """Stretches from one full fill to the next, of which all is known.

    Parameters
    ----------
    start, end : ndarray of int, shape (n,)
        Places in the log of the full fills around each. [-]
    amount : ndarray, shape (n,)
        Filled after the first and up to the second of them. [L or kWh]
    distance : ndarray, shape (n,)
        Driven between them. [km]
    void : int
        Further stretches of which something is not known. [-]
    """

    start: np.ndarray
    end: np.ndarray
    amount: np.ndarray
    distance: np.ndarray
    void: int = 0

    def __len__(self):
        return len(self.start)

    def where(self, wanted):
        """Those of a mask."""
        wanted = np.asarray(wanted, dtype=bool)
        return Spans(self.start[wanted], self.end[wanted], self.amount[wanted], self.distance[wanted])

    @property
    def runs(self):
        """Number of rows of spans that follow on each other without a break."""
        return int(len(self) and 1 + np.sum(self.start[1:] != self.end[:-1]))

    @property
    def each(self):
        """Consumption on each, NaN where nothing was driven. [per 100 km]"""
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(self.distance > 0, 100 * self.amount / self.distance, np.nan)


@dataclass(frozen=True)
class Pooled:
    """Consumption over many spans.

    Parameters
    ----------
    consumption : float
        All that was filled over all that was driven. [per 100 km]
    standard_error : float
        Of that, from how full the first and last fill of each run were. [per 100 km]
    amount : float
        Filled. [L or kWh]
    distance : float
        Driven. [km]
    spans, runs : int
        How many, and in how many rows without a break. [-]
    """

    consumption: float
    standard_error: float
    amount: float
    distance: float
    spans: int
    runs: int


def distance_driven(odometer, odometer_now, correction):
    """Distance truly driven up to each reading of the odometer.

    Parameters
    ----------
    odometer : array_like, shape (n,)
        Readings in order of time. [km or mi]
    odometer_now : array_like, shape (n,)
        What it shows from that reading on, where it was changed or set; NaN elsewhere. [km or mi]
    correction : array_like, shape (n,)
        True distance for one shown, from that reading on; NaN where it goes on as before, which is 1 at first. [-]

    Returns
    -------
    ndarray, shape (n,)
        From the first reading, where it is 0. [km or mi]
    """
    odometer, odometer_now, correction = (np.asarray(part, dtype=float) for part in (odometer, odometer_now, correction))
    if not len(odometer):
        return np.zeros(0)
    shown = np.where(np.isnan(odometer_now), odometer, odometer_now)
    last = np.maximum.accumulate(np.where(np.isnan(correction), -1, np.arange(len(correction))))  # where it was last written
    factor = np.where(last < 0, 1.0, correction[np.maximum(last, 0)])
    return np.concatenate([[0.0], np.cumsum((odometer[1:] - shown[:-1]) * factor[:-1])])


def tyre_correction(diameter_before, diameter_now):
    """True distance for one that the odometer shows after a change of tyres.

    Parameters
    ----------
    diameter_before, diameter_now : array_like, shape (...)
        Outer diameters in any one unit: of the tyres that the odometer was right with, and of those now on. [-]

    Returns
    -------
    ndarray or float, shape (...)
        Above 1 for larger ones. [-]

    Examples
    --------
    >>> print(f"{tyre_correction(25.7, 27.0):.4f}")
    1.0506
    """
    return np.asarray(diameter_now, dtype=float)[()] / np.asarray(diameter_before, dtype=float)[()]


def fill_spans(amount, driven, full, gap_before):
    """Stretches from full fill to full fill; what was filled in between counts with the full fill after it.

    Parameters
    ----------
    amount : array_like, shape (n,)
        Filled, in order of time; NaN where it is not known. [L or kWh]
    driven : array_like, shape (n,)
        Distance driven up to each fill. [km]
    full : array_like of bool, shape (n,)
        Whether it was filled to the same level as always. [-]
    gap_before : array_like of bool, shape (n,)
        Whether a fill before it was not written down; voids the stretch up to the next full fill. [-]

    Returns
    -------
    Spans
        Without those that are void; the first full fill only starts. [-]
    """
    amount, driven = np.asarray(amount, dtype=float), np.asarray(driven, dtype=float)
    fills = np.flatnonzero(np.asarray(full, dtype=bool))
    if len(fills) < 2:
        none = np.zeros(0)
        return Spans(none.astype(int), none.astype(int), none, none)
    start, end, first = fills[:-1], fills[1:], fills[:-1] + 1
    filled = np.add.reduceat(amount[: end[-1] + 1], first)
    gaps = np.add.reduceat(np.asarray(gap_before, dtype=int)[: end[-1] + 1], first)
    known = (gaps == 0) & ~np.isnan(filled)
    return Spans(start[known], end[known], filled[known], (driven[end] - driven[start])[known], int(np.sum(~known)))


def pooled(spans, level_sd):
    """Consumption over spans, and how sure it is.

    Parameters
    ----------
    spans : Spans
        From full fill to full fill. [-]
    level_sd : float
        Standard deviation of how full a full fill is. [L or kWh]

    Returns
    -------
    Pooled or None
        None where nothing was driven. [per 100 km]

    Notes
    -----
    Measured on span n is burned + e_n - e_(n-1), e the level of each fill. Over a run only the ends remain, e_N - e_0, of variance 2 level_sd^2;
    runs have ends of their own. How much the car burns on other roads is no part of it.
    """
    distance = float(np.sum(spans.distance))
    if not distance > 0:
        return None
    consumption, amount = pooled_consumption(spans.amount, spans.distance), float(np.sum(spans.amount))
    return Pooled(consumption, consumption * float(pooled_error(level_sd, amount, spans.runs)), amount, distance, len(spans), spans.runs)


def pooled_error(level_sd, amount, runs=1):
    """Standard error of a pooled consumption, as a share of it.

    Parameters
    ----------
    level_sd : array_like, shape (...)
        Standard deviation of how full a full fill is. [L or kWh]
    amount : array_like, shape (...)
        All that was filled. [L or kWh]
    runs : array_like of int, shape (...), optional
        Rows of fills without a break. [-]

    Returns
    -------
    ndarray or float, shape (...)
        The square root of 2 runs, times the standard deviation, over the amount. [-]

    Examples
    --------
    >>> print(f"{pooled_error(0.5, 100):.2%}")
    0.71%
    """
    return np.sqrt(2 * np.asarray(runs, dtype=float)[()]) * np.asarray(level_sd, dtype=float)[()] / np.asarray(amount, dtype=float)[()]


def lag_one_correlation(values):
    """How each figure goes with the next: -0.5 where nothing but the level of the fills makes them differ.

    Parameters
    ----------
    values : array_like, shape (n,)
        In order of time. [-]

    Returns
    -------
    float
        Between -1 and 1; NaN for fewer than three, or where all are equal. [-]
    """
    apart = np.asarray(values, dtype=float)
    apart = apart - np.mean(apart) if len(apart) > 2 else np.zeros(0)
    whole = float(apart @ apart)
    return float(apart[1:] @ apart[:-1]) / whole if whole > 0 else float("nan")


def odd_spans(spans, level_sd):
    """Stretches on which a car cannot have used what the log says: a fill that was not written down, one written twice, a slip of the odometer.

    Parameters
    ----------
    spans : Spans
        Of one energy. [-]
    level_sd : float
        Standard deviation of how full a full fill is. [L or kWh]

    Returns
    -------
    ndarray of bool, shape (n,)
        Below 0.6 or above 1.6 times the middle one, and further from it than the fills' level explains; all false below four spans. [-]

    Notes
    -----
    A fill left out halves what a stretch seems to use; winter, load and town take or add a third at most: common practice, no source.
    """
    each = spans.each
    if np.sum(np.isfinite(each)) < FEW_SPANS:
        return np.zeros(len(spans), dtype=bool)
    middle = np.nanmedian(each)
    apart = np.abs(spans.amount - middle * spans.distance / 100)
    return ((each < LEFT_OUT * middle) | (each > TWICE * middle)) & (apart > FAR_SDS * level_sd * np.sqrt(2))


def charging_loss(wall, battery):
    """Share of the bought electricity that never reached the battery, over charges of which both are known.

    Parameters
    ----------
    wall : array_like, shape (n,)
        What the wall gave on each charge. [L or kWh]
    battery : array_like, shape (n,)
        What arrived in the battery. [L or kWh]

    Returns
    -------
    tuple of (float, float)
        The share, and its standard error; NaN where there are too few charges to tell. [-]

    Notes
    -----
    A ratio of sums; its error is that of the ratio estimator, sqrt(n sum (b - r w)^2 / (n - 1)) / sum w.

    References
    ----------
    W. Cochran, Sampling Techniques, 3rd edition, 1977, chapter 6 (from memory).
    """
    wall, battery = np.asarray(wall, dtype=float), np.asarray(battery, dtype=float)
    count, whole = len(wall), float(np.sum(wall))
    if not whole > 0:
        return float("nan"), float("nan")
    arrived = float(np.sum(battery)) / whole
    error = np.sqrt(count * np.sum((battery - arrived * wall) ** 2) / (count - 1)) / whole if count > 1 else np.nan
    return 1 - arrived, float(error)


def by_group(spans, labels, level_sd):
    """Pooled consumption of each group of spans.

    Parameters
    ----------
    spans : Spans
        From full fill to full fill. [-]
    labels : sequence of str, shape (n,)
        Group of each. [-]
    level_sd : float
        Standard deviation of how full a full fill is. [L or kWh]

    Returns
    -------
    dict of str to Pooled
        In order of first appearance; a group in which nothing was driven is left out. [per 100 km]
    """
    labels = np.asarray(labels, dtype=object)
    found = {label: pooled(spans.where(labels == label), level_sd) for label in dict.fromkeys(labels)}
    return {label: one for label, one in found.items() if one is not None}


def season_labels(days, winter_months):
    """Half of the year that each day lies in.

    Parameters
    ----------
    days : sequence of date
        One a span. [-]
    winter_months : sequence of int
        Numbers of the months called winter; `WINTER_HALF` has those of each hemisphere. [-]

    Returns
    -------
    list of str
        "winter" or "summer". [-]

    Raises
    ------
    ValueError
        For a number that is no month.
    """
    if not set(winter_months) <= set(range(1, 13)):
        raise ValueError(f"winter_months must be numbers of months, 1 to 12, got {sorted(winter_months)}.")
    return ["winter" if day.month in winter_months else "summer" for day in days]
