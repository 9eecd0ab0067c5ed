"""Run by hand: `python tests/benchmarks/value_coverage.py [REPETITIONS]` prints how often the value model's ranges hold the truth, by kind of evidence.

Of each made-up market 40 % of the rows are not sales. status: a price was set without looking at the car, and only taken or not taken is known, read as a bound.
asks: the owner asks the price times an exponential markup of mean .10, read as a margin of .10, as a sale, or as a bound. Each of both again with odd rows
allowed. believed: the truth drawn from the beliefs anew each time, where 80 and 90 % would be exact. beliefs far off: age, distance and condition each two
sds from the truth, and cars that differ by .35 where .20 is believed. Three stars: more than two points off.
The error of a share by chance is 1.3 points at 80 % and 0.9 at 90 % for 1000 repetitions.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from evidence import FOUR, SIGMA, TRUTH, between, cars

from buildecon.market.valuation import fitted

MARGIN, SHARE = 0.10, 0.4
ENDS = [0.05, 0.1, 0.5, 0.9, 0.95]


def status(rng, y, x, guess, not_sold):
    """A price around what the market is taken to be, without a look at the car: above it if it was taken, below it if not."""
    price = x @ guess + rng.normal(0.05, 0.25, len(y))
    taken = y >= price
    return np.where(not_sold, np.where(taken, price, -np.inf), y), np.where(not_sold, np.where(taken, np.inf, price), y), 0.0


def asked(rng, y, not_sold):
    return y + not_sold * rng.exponential(MARGIN, len(y))


def margin(rng, y, x, guess, not_sold):
    seen = asked(rng, y, not_sold) - MARGIN * not_sold
    return seen, seen, MARGIN * not_sold


def as_sales(rng, y, x, guess, not_sold):
    seen = asked(rng, y, not_sold)
    return seen, seen, 0.0


def as_bounds(rng, y, x, guess, not_sold):
    seen = asked(rng, y, not_sold)
    return np.where(not_sold, -np.inf, seen), seen, 0.0


READINGS = {
    "status, bounds": (status, False, "one"), "status, bounds, odd rows": (status, True, "one"), "status, bounds, believed": (status, False, "believed"),
    "asks, margin": (margin, False, "one"), "asks, margin, odd rows": (margin, True, "one"), "asks, margin, believed": (margin, False, "believed"),
    "asks, beliefs far off": (margin, False, "far off"), "asks as sales": (as_sales, False, "one"), "asks as bounds": (as_bounds, False, "one"),
}  # fmt: skip


def truth(rng, which):
    """Coefficients and spread between cars of one made-up market."""
    if which == "believed":
        return rng.normal(FOUR.mean, FOUR.sd), 0.2 * np.exp(0.5 * rng.normal())
    return (FOUR.mean + [np.log(17500 / 15000), *(2 * FOUR.sd[1:])], 0.35) if which == "far off" else (TRUTH, SIGMA)


def simulated(reading, odd, which, n, repetitions):
    """Bias and root mean square error of the line's median, and shares of ranges that hold: one car 80, 90, the line 80, 90."""
    rng, errors, hits = np.random.default_rng(1000 + n), [], []
    for _ in range(repetitions):
        beta, sigma = truth(rng, which)
        x = cars(rng, n + 1)
        y = x @ beta + sigma * rng.normal(size=n + 1)
        guess = FOUR.mean if which == "believed" else beta  # a price set by who knows the truth would tell of it, which no bound reads
        low, high, spread = reading(rng, y[:n], x[:n], guess, np.arange(n) < round(SHARE * n))
        fit, car = fitted(between(low, high, x[:n], spread), FOUR, odd), x[n]
        one, line = (fit.quantiles(car, ENDS, which) for which in (False, True))
        errors.append(line[2] - car @ beta)
        hits.append([at[a] < truth < at[-1 - a] for at, truth in ((one, y[n]), (line, car @ beta)) for a in (1, 0)])
    return np.mean(errors), np.sqrt(np.mean(np.square(errors))), *np.mean(hits, axis=0)


def main(repetitions=1000):
    print(f"{'evidence':26} {'n':>3} {'bias':>7} {'rmse':>6}   one car 80 / 90        the line 80 / 90")
    for name, (reading, odd, which) in READINGS.items():
        for n in (6, 12, 30):
            bias, rmse, *shares = simulated(reading, odd, which, n, int(repetitions))
            marked = [f"{share:.3f}{'***' if abs(share - wanted) > 0.02 else '   '}" for share, wanted in zip(shares, (0.8, 0.9, 0.8, 0.9), strict=True)]
            print(f"{name:26} {n:3} {bias:+7.3f} {rmse:6.3f}   {'  '.join(marked)}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
