"""Run by hand: `python tests/benchmarks/cost_engine.py [TIMES]` times the cost engine beside a floor measured in turn in the same process.

The floor is an exponential, a multiplication and an addition for every option, scenario and month, worked in pieces that stay near the processor
and written to one result: no model of as many numbers is done in fewer. Goals: a ratio of 6 at step 1 and 2 at step 12; below 400 MB for
100,000 scenarios by year; one scenario of 4 options by month in 3 ms.
"""

import resource
import statistics
import sys
import time

import numpy as np

from buildecon.ownership.keeping import total_if_kept
from buildecon.ownership.scenarios import totals
from buildecon.ownership.terms import Terms, renewals_by

OPTIONS, SCENARIOS, MONTHS, COMPONENTS = 4, 10_000, 240, 6
PIECE = 4096
LIVES = np.array([250_000.0, 180_000, 150_000, 100_000, 240_000, 60_000])  # km


def made_up(scenarios, options=OPTIONS, seed=1):
    """Terms with everything in them, each number its own in each scenario, and discount rates."""
    rng = np.random.default_rng(seed)

    def drawn(low, high, *last):
        return rng.uniform(low, high, (options, scenarios, *last))

    life = LIVES * drawn(0.8, 1.2, COMPONENTS)
    terms = Terms(
        money_in=drawn(9000, 30000), yearly={"tax": drawn(100, 400), "parking": drawn(0, 600)}, energy=drawn(500, 2500, 2), energy_growth=drawn(-0.01, 0.04, 2),
        loan=drawn(0, 9000), loan_rate=drawn(0.02, 0.09), loan_months=np.full((options, 1), 60.0), build_cost=drawn(2000, 20000), build_months=drawn(6, 24),
        downtime=drawn(0, 200), insurance_share=drawn(0.02, 0.05), upkeep=drawn(300, 900), upkeep_by_year=drawn(0, 0.1), upkeep_by_km=drawn(0, 0.05),
        renewal_cost=drawn(200, 3000, COMPONENTS), first_km=life * drawn(0, 1, COMPONENTS), life_km=life, km_a_year=drawn(8000, 16000), enjoyment=drawn(0, 500),
        value=drawn(8000, 30000), decline_rate=drawn(0.05, 0.15), selling_share=drawn(0.0, 0.05),
    )  # fmt: skip
    return terms, rng.uniform(0.0, 0.06, scenarios)


def floor(out, room):
    """exp, multiply, add into the result, piece by piece."""
    flat = out.reshape(-1)
    x = room[:PIECE]
    for at in range(0, flat.size, PIECE):
        piece = flat[at : at + PIECE]
        np.exp(x[: piece.size], out=piece)
        piece *= 1.5
        piece += 2.5


def seconds(work):
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def main(times=15):
    print(f"memory of 100,000 scenarios by year: {memory():.0f} MB at the peak, program and terms included", flush=True)
    terms, discount = made_up(SCENARIOS)
    events = renewals_by(terms.first_km, terms.life_km, terms.km_a_year[..., None] * MONTHS / 12).sum(axis=-1).mean()
    print(f"{OPTIONS} options, {SCENARIOS:,} scenarios, {MONTHS} months, {COMPONENTS} components, {events:.1f} renewals, two energies, medians of {times}")
    months, result, room = OPTIONS * SCENARIOS * (MONTHS + 1), np.empty((OPTIONS, MONTHS + 1, SCENARIOS)), np.linspace(-1, 0, PIECE)
    works = {
        **{f"step {step}": lambda step=step: totals(terms, MONTHS, step, discount, 0.02) for step in (1, 3, 12)},
        "step 1, block by block": lambda: totals(terms, MONTHS, 1, discount, 0.02, reduce=lambda block: block[:, -1].mean()),
    }
    taken, base = {name: [] for name in works}, []
    for _ in range(int(times)):
        base.append(seconds(lambda: floor(result, room)))
        for name, work in works.items():
            taken[name].append(seconds(work))
    least = statistics.median(base)
    print(f"floor {1e9 * least / months:22.2f} ns an option, scenario and month")
    for name, each in taken.items():
        one = statistics.median(each)
        ratios = statistics.median(t / b for t, b in zip(each, base, strict=True))
        print(f"{name:22} {1e9 * one / months:5.2f} ns, {ratios:5.2f} x floor, {SCENARIOS / one:9,.0f} scenarios a second")
    few, rate = made_up(1)
    shown = [1e3 * seconds(lambda: total_if_kept(few, None, MONTHS, rate[0], 0.02)) for _ in range(200)]
    print(f"1 scenario x {OPTIONS} options x {MONTHS + 1} months: {statistics.median(shown):.2f} ms")


def memory():
    """Peak of the process after the large case. [MB]"""
    terms, discount = made_up(100_000)
    totals(terms, MONTHS, 12, discount, 0.02)
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
