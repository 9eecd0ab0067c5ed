"""Run by hand: `python tests/benchmarks/chances_speed.py [TIMES]` times what a page of chances asks for at every move of a dial.

22 inputs, 5 pairs of which move together, 4,096 even points, two options whose difference is a made-up sum of the inputs: the times are those of the
methods, not of a model of costs. Beside each stands how many passes of the floor it is worth: an exponential, a multiplication and an addition for each of
inputs times draws, piece by piece, measured in turn in the same process. Goal: everything on the page, costs included, within 100 ms.
"""

import statistics
import sys

import numpy as np
from cost_engine import PIECE, floor, seconds

from buildecon.decision.information import first_order, perfect_information, worth_finding_out
from buildecon.decision.sensitivity import indices, tornado
from buildecon.quantities.sampling import correlated, drawn, lognormal, pert, triangular, with_error

INPUTS, DRAWS, PAIRS, FEWER = 22, 4096, 5, 1024


def made_up():
    """Quantile functions, what moves together, and a difference that is a sum of the inputs."""
    shapes = [pert, triangular, lambda low, likely, high: lognormal(low, high)]
    quantiles = {f"input {k}": shapes[k % 3](1 + k / 10, 2 + k / 10, 5 + k / 5) for k in range(INPUTS)}
    wanted = np.eye(INPUTS)
    for k in range(PAIRS):
        wanted[2 * k, 2 * k + 1] = wanted[2 * k + 1, 2 * k] = 0.6
    weights = np.where(np.arange(INPUTS) % 2, -1.0, 1.0) * 0.7 ** np.arange(INPUTS)

    def difference(x):
        return sum(weight * column for weight, column in zip(weights, x.values(), strict=True))

    return quantiles, correlated(wanted), difference


def works():
    """What is timed, by name."""
    quantiles, together, difference = made_up()
    sample = drawn(quantiles, DRAWS, 1, together)
    inputs, y = np.stack(list(sample.values())), difference(sample)
    y = y - np.median(y)
    two, three = np.stack([np.zeros_like(y), y]), np.stack([np.zeros_like(y), y, 0.5 * y - 0.1])

    def chance(seed):
        return np.mean(difference(drawn(quantiles, DRAWS // 8, seed, together)) < 0)

    return {
        f"draws, {INPUTS} x {DRAWS:,}": lambda: drawn(quantiles, DRAWS, 1, together),
        f"standard error, 8 x {DRAWS // 8} draws": lambda: with_error(chance),
        "perfect information": lambda: perfect_information(two),
        "worth finding out, 2 options": lambda: worth_finding_out(inputs, two),
        "first order from the draws": lambda: first_order(inputs, y),
        f"indices, {FEWER * (INPUTS + 2):,} runs": lambda: indices(difference, quantiles, FEWER, 1),
        f"tornado, {2 * INPUTS + 1} runs": lambda: tornado(difference, quantiles),
        "beside the page: 3 options": lambda: worth_finding_out(inputs, three),
    }


def main(times=15):
    room, result = np.linspace(-1, 0, PIECE), np.empty((INPUTS, DRAWS))
    asked = works()
    taken, base = {name: [] for name in asked}, []
    for work in asked.values():
        work()  # imports and tables are made once
    for _ in range(int(times)):
        base.append(seconds(lambda: floor(result, room)))
        for name, work in asked.items():
            taken[name].append(seconds(work))
    print(f"{'floor':34} {1e3 * statistics.median(base):7.2f} ms, {1e9 * statistics.median(base) / result.size:.2f} ns a figure, medians of {times}")
    for name, each in taken.items():
        ratio = statistics.median(t / b for t, b in zip(each, base, strict=True))
        print(f"{name:34} {1e3 * statistics.median(each):7.2f} ms {ratio:7.1f} x floor")
    page = sum(statistics.median(each) for name, each in taken.items() if not name.startswith("beside"))
    print(f"{'all of the page':34} {1e3 * page:7.2f} ms")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
