"""Run by hand: `python tests/benchmarks/scope_speed.py [TIMES]` times the best set of 30, 60 and 120 jobs, and the whole frontier of a published knapsack."""

import csv
import statistics
import sys
import time
from pathlib import Path

import numpy as np

from buildecon.decision.scope import Jobs, Phases, choose, frontier

PUBLISHED = Path(__file__).parents[1] / "reference" / "knapsack_01.csv"


def made_up(n, seed):
    """Jobs worth about what they cost, the hardest kind; a third need an earlier one, a tenth are variants, in four phases."""
    luck = np.random.default_rng(seed)
    cost = np.round(luck.uniform(50, 1500, n), 2)
    needs = [[[int(luck.integers(0, k))]] if k and luck.random() < 0.33 else [] for k in range(n)]
    variants = [((k, k + 1), False) for k in range(0, n - 1, 20)]
    jobs = Jobs(cost, np.round(cost * luck.uniform(0.8, 1.4, n), 2), luck.integers(1, 30, n), np.zeros(n, dtype=bool), needs, variants)
    return jobs, Phases(luck.integers(0, 4, n), np.full(4, 100.0), np.full(4, cost.sum() / 5)), cost.sum() * 0.4


def seconds(work):
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def main(times=5):
    choose(Jobs([1], [1], [1], [False]))  # the solver is loaded once
    for n in (30, 60, 120):
        taken = [seconds(lambda jobs=jobs, phases=phases, budget=budget: choose(jobs, phases, budget, 10 * n)) for jobs, phases, budget in (made_up(n, seed) for seed in range(times))]
        print(f"{n:4} jobs: {1e3 * statistics.median(taken):7.0f} ms, slowest {1e3 * max(taken):7.0f} ms")
    case = next(csv.DictReader(row for row in PUBLISHED.read_text(encoding="utf-8").splitlines() if not row.startswith("#")))
    weights, profits = ([int(part) for part in case[name].split(";")] for name in ("weights", "profits"))
    jobs = Jobs(weights, profits, [0] * len(weights), [False] * len(weights))
    print(f"frontier of {case['case']}: {len(frontier(jobs))} sets in {seconds(lambda: frontier(jobs)):.2f} s")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
