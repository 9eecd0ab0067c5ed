"""Run by hand: `python tests/benchmarks/value_speed.py [TIMES]` times a fit and its range of the value model beside a least-squares fit of as many rows.

Absolute times say as much of the machine as of the model, so each is also printed as a multiple of numpy's least squares, timed in turn in the same process.
"""

import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from evidence import FOUR, between, made_up

from buildecon.market.left_out import left_out
from buildecon.market.valuation import fitted

CAR, ENDS = np.array([1.0, 2, -2, 1]), [0.05, 0.1, 0.5, 0.9, 0.95]


def milliseconds(work):
    begun = time.perf_counter()
    work()
    return 1e3 * (time.perf_counter() - begun)


def main(times=200, n=15):
    y, x = made_up(n, 1)
    bounds = np.arange(n) % 3 == 0
    low, high = np.where(bounds, y - 0.2, y), np.where(bounds & (np.arange(n) % 2 == 0), np.inf, y)
    cases = {"exact": (between(y, y, x), False), "a third in bounds": (between(low, high, x), False), "odd rows": (between(y, y, x), True)}
    for name, (rows, odd) in cases.items():
        fit = fitted(rows, FOUR, odd)
        works = {
            "fit": lambda rows=rows, odd=odd: fitted(rows, FOUR, odd),
            "range": lambda fit=fit: fit.quantiles(CAR, ENDS),
            "fit and range": lambda rows=rows, odd=odd: fitted(rows, FOUR, odd).quantiles(CAR, ENDS),
            "each row left out": lambda fit=fit: left_out(fit, CAR),
        }
        for what, work in works.items():
            taken, base = [], []
            for _ in range(int(times)):
                taken.append(milliseconds(work))
                base.append(milliseconds(lambda: np.linalg.lstsq(x, y, rcond=None)))
            one, least = statistics.median(taken), statistics.median(base)
            print(f"n = {n} {name:18} {what:18} {one:8.2f} ms   {one / least:7.0f} x least squares ({1e3 * least:.0f} us)", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
