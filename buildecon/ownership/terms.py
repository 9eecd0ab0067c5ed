"""What an option costs to have, as arrays, and what of it does not depend on the way it is added up."""

from dataclasses import dataclass, field

import numpy as np

from buildecon.quantities.bounds import within

NONE = 0.0
WEAR_KM = 10_000.0  # `upkeep_by_km` is told for it
HAIR = 1e-12  # years times miles a year times km a mile may stop this share short of the same miles
SHORTEST = 1e-9  # months or km that others are divided by
TINY = 1e-200  # stands in for 0 where something is divided by it
LARGEST = np.finfo(float).max

# Lowest and highest; what stands here has no axis of its own, what stands in `WITH_AN_AXIS` has one last.
LIMITS = {
    "money_in": (None, None), "loan": (0, None), "loan_rate": (-1, None), "loan_months": (SHORTEST, None),
    "build_cost": (0, None), "build_months": (0, None), "downtime": (0, None), "insurance_share": (0, None),
    "upkeep": (0, None), "upkeep_by_year": (0, None), "upkeep_by_km": (0, None), "km_a_year": (0, None), "enjoyment": (None, None),
    "value": (0, None), "decline_rate": (None, 1), "selling_share": (0, 1),
}  # fmt: skip
WITH_AN_AXIS = {
    "energy": (0, None), "energy_growth": (-1 + 1e-9, None), "renewal_cost": (0, None), "first_km": (0, None), "life_km": (SHORTEST, None),
    "value_path": (0, None), "end_path": (None, None),
}  # fmt: skip


@dataclass(frozen=True)
class Terms:
    """What options cost to have, as arrays; leading axes are options and, where there are any, scenarios.

    Everything but the loan payments is in today's money. Leading axes broadcast, so what differs by option alone is (options, 1) beside scenarios.

    Parameters
    ----------
    money_in : array_like, shape (...)
        All that is paid at the start: car, tax, fees, kit. [money]
    yearly : dict of str to array_like, shape (...)
        Costs by name that come every year in today's money. [money/year]
    energy : array_like, shape (..., sources)
        Energy at the prices of the start. [money/year]
    energy_growth : array_like, shape (..., sources)
        Real growth of each price. [1/year]
    loan, loan_rate, loan_months : array_like, shape (...)
        Amount borrowed, yearly rate as the lender quotes it (a twelfth a month), number of payments. [money, 1/year, month]
    build_cost, build_months : array_like, shape (...)
        Spent in equal parts at the end of each month of building; a last part of a month costs its part; 0 months are paid at the start. [money, month]
    downtime : array_like, shape (...)
        A second car or hire while it is built. [money/month]
    insurance_share : array_like, shape (...)
        Premium as a share of the car's value at the start of each policy year, paid in twelve parts. [1/year]
    upkeep : array_like, shape (...)
        At the age and distance of the start. [money/year]
    upkeep_by_year : array_like, shape (...)
        Share of `upkeep` that each year adds to it. [1/year]
    upkeep_by_km : array_like, shape (...)
        Share of `upkeep` that each 10,000 km add to it. [-]
    renewal_cost : array_like, shape (..., components)
        Of renewing each component once. [money]
    first_km : array_like, shape (..., components)
        From now to its first renewal; 0 where it is due, and then paid in the first month. [km]
    life_km : array_like, shape (..., components)
        From one renewal to the next, above 0. [km]
    km_a_year : array_like, shape (...)
        Driven. [km/year]
    enjoyment : array_like, shape (...)
        Taken off the cost. [money/year]
    value, decline_rate : array_like, shape (...)
        What it would sell for at the start, and the share of it lost each year. [money, 1/year]
    selling_share : array_like, shape (...)
        Of the value, spent on selling. [-]
    value_path : array_like, shape (..., exits), optional
        Value by exit, the start first, before selling cost, instead of `value` and `decline_rate`. [money]
    end_path : array_like, shape (..., exits), optional
        What comes back by exit, selling cost taken off and all that is sold beside the car added, instead of the value less `selling_share`. [money]

    Notes
    -----
    In month m, with y = m / 12 years and x = y `km_a_year` driven, upkeep is `upkeep` / 12 (1 + `upkeep_by_year` y + `upkeep_by_km` x / 10,000).
    A renewal is paid in the month in which its distance is reached; reached on the last day counts in that month.
    """

    money_in: np.ndarray
    yearly: dict = field(default_factory=dict)
    energy: np.ndarray = NONE
    energy_growth: np.ndarray = NONE
    loan: np.ndarray = NONE
    loan_rate: np.ndarray = NONE
    loan_months: np.ndarray = 1.0
    build_cost: np.ndarray = NONE
    build_months: np.ndarray = 1.0
    downtime: np.ndarray = NONE
    insurance_share: np.ndarray = NONE
    upkeep: np.ndarray = NONE
    upkeep_by_year: np.ndarray = NONE
    upkeep_by_km: np.ndarray = NONE
    renewal_cost: np.ndarray = NONE
    first_km: np.ndarray = NONE
    life_km: np.ndarray = 1.0
    km_a_year: np.ndarray = NONE
    enjoyment: np.ndarray = NONE
    value: np.ndarray = NONE
    decline_rate: np.ndarray = NONE
    selling_share: np.ndarray = NONE
    value_path: np.ndarray = None
    end_path: np.ndarray = None

    def __post_init__(self):
        for name, (low, high) in (LIMITS | WITH_AN_AXIS).items():
            if getattr(self, name) is not None:
                _refuse_outside(name, getattr(self, name), low, high)
        for name, amount in self.yearly.items():
            _refuse_outside(f"yearly[{name!r}]", amount, None, None)


def end_by_exit(terms, years):
    """What comes back at each exit.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    years : array_like, shape (n,)
        When each exit is. [year]

    Returns
    -------
    ndarray, shape (..., n)
        Its `end_path`, or the value less selling cost. [money]

    Raises
    ------
    ValueError
        Where the path is not as long as the exits are many.
    """
    if terms.end_path is None:
        return value_by_exit(terms, years) * (1 - column(terms.selling_share))
    return _a_path("end_path", terms.end_path, np.shape(years))


def value_by_exit(terms, years):
    """Value of the car at each exit, before selling cost.

    Parameters
    ----------
    terms : Terms
        Of one option or many. [-]
    years : array_like, shape (n,)
        When each exit is; a `value_path` has one value for each. [year]

    Returns
    -------
    ndarray, shape (..., n)
        Its `value_path`, or value (1 - decline rate)^years. [money]

    Raises
    ------
    ValueError
        Where the path is not as long as the exits are many.
    """
    years = np.asarray(years, dtype=float)
    if terms.value_path is None:
        return column(terms.value) * (1 - column(terms.decline_rate)) ** years
    return _a_path("value_path", terms.value_path, years.shape)


def _a_path(name, path, shape):
    path = np.asarray(path, dtype=float)
    if path.shape[-1:] != shape:
        raise ValueError(f"{name} must have a value for each of {shape[0]} exits, got shape {path.shape}.")
    return path


def renewals_by(first_km, life_km, driven_km):
    """How often something has been renewed by some distance.

    Parameters
    ----------
    first_km : array_like, shape (...)
        To the first renewal. [km]
    life_km : array_like, shape (...)
        From one renewal to the next. [km]
    driven_km : array_like, shape (...)
        So far; exactly reached is reached. [km]

    Returns
    -------
    ndarray or float, shape (...)
        Whole number. [-]

    Examples
    --------
    >>> print(renewals_by(30_000, 60_000, [29_999, 30_000, 90_000, 149_999]))
    [0. 1. 2. 2.]
    """
    first, driven = np.asarray(first_km, dtype=float)[()], np.asarray(driven_km, dtype=float)[()]
    return np.maximum(np.floor((driven * (1 + HAIR) - first) / np.asarray(life_km, dtype=float)[()]) + 1, 0)


def not_zero(rates):
    """Rates to divide by: what is 0, or next to it, is tiny instead.

    Parameters
    ----------
    rates : array_like, shape (...)
        In logs, or fractions a period. [-]

    Returns
    -------
    ndarray, shape (...)
        The same but for those below 1e-200, for which expm1(k rate) / rate is k to the last bit. [-]
    """
    rates = np.asarray(rates, dtype=float)
    return np.where(np.abs(rates) < TINY, TINY, rates)


def column(amount):
    """An array with a last axis of one, to run along the exits.

    Parameters
    ----------
    amount : array_like, shape (...)
        Any. [-]

    Returns
    -------
    ndarray, shape (..., 1)
        The same. [-]
    """
    return np.asarray(amount, dtype=float)[..., None]


def _refuse_outside(name, values, low, high):
    """Two quick passes where all is well; NaN and what is not finite fail them."""
    found = np.asarray(values, dtype=float)
    lowest, highest = -LARGEST if low is None else low, LARGEST if high is None else high
    if found.size and not (lowest <= found.min() and found.max() <= min(highest, LARGEST)):
        within(name, found, low, high)
