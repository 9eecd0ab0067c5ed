"""Run by hand: `python tests/benchmarks/chances_speed.py [TIMES]` times what a page of chances asks for at every move of a dial.

22 inputs, 4,096 even points, two options. First with a difference that is a made-up sum of the inputs, so that the times are those of the methods alone;
then on a project, with the costs. Beside each stands how many passes of the floor it is worth: an exponential, a multiplication and an addition for each of
inputs times draws, piece by piece, measured in turn in the same process. Goal: everything on the page, costs included, within 100 ms.
"""

import statistics
import sys
from decimal import Decimal
from pathlib import Path

import numpy as np
from cost_engine import PIECE, floor, seconds

from buildecon.decision.chances import BLOCKS, EACH, Asked, Chances, chances
from buildecon.decision.compare import FROM_TODAY, as_written
from buildecon.decision.doubts import _more_a_month, doubts, turning, years_by_distance
from buildecon.decision.information import first_order, perfect_information, worth_finding_out
from buildecon.decision.inputs import unknown
from buildecon.decision.sensitivity import indices, tornado
from buildecon.ledger.ladder import ladder
from buildecon.project.read import read_project
from buildecon.quantities.estimate import Estimate
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


def a_project():
    """The demo pickup from today, with one other option and more ranges: 22 inputs that are priced by the cost engine."""
    project = read_project(Path(__file__).parents[2] / "data-demo" / "pickup")
    options = [one for one in project.options if one.id in ("build", "used-corran")]
    wide = {name: Estimate(*(Decimal(str(share)) * Decimal("400") for share in (0.8, 1, 1.5))) for name in ("insurance", "tests")}
    options = tuple(one.model_copy(update={"yearly": one.yearly.model_copy(update=wide)}) for one in options)
    project = project.model_copy(update={"file": project.file.model_copy(update={"options": options})})
    totals = ladder(project)
    return Asked(unknown(project, totals), as_written(project, totals), FROM_TODAY)


def page_works():
    """What the page of build or buy asks for when a slider moves, on that project."""
    asked, drawn_before = a_project(), {}
    assert len(asked.inputs) == INPUTS, len(asked.inputs)
    drawn_before = chances(asked)
    inputs = np.array([drawn_before.draws[one.id] for one in asked.inputs])
    middle = doubts(asked)

    def told():
        again = Chances(asked, drawn_before.draws, drawn_before.cost)
        return again.cheaper, again.band

    return {
        f"draws and costs, {INPUTS} inputs, {BLOCKS * EACH:,} x 2 options x 21 exits": lambda: chances(asked),
        "chance, its standard error, band": told,
        "worth finding out, all inputs": lambda: worth_finding_out(inputs, drawn_before.benefit),
        "first order from the draws": lambda: first_order(inputs, drawn_before.more[drawn_before.year]),
        f"tornado, {2 * INPUTS + 1} runs": lambda: tornado(_more_a_month(asked), {one.id: asked.unknown.quantiles[one.id] for one in asked.inputs}),
        f"indices, {FEWER * (INPUTS + 2):,} runs": lambda: middle.alone(FEWER),
        "beside the page: turning points of 8 dials": lambda: turning(asked),
        "beside the page: map of years by distance": lambda: years_by_distance(asked),
    }


def main(times=15):
    for title, asked in (("a sum of the inputs", works()), ("the demo pickup, by the cost engine", page_works())):
        print(f"\n{title}")
        table(asked, times)


def table(asked, times):
    room, result = np.linspace(-1, 0, PIECE), np.empty((INPUTS, DRAWS))
    taken, base = {name: [] for name in asked}, []
    for work in asked.values():
        work()  # imports and tables are made once
    for _ in range(int(times)):
        base.append(seconds(lambda: floor(result, room)))
        for name, work in asked.items():
            taken[name].append(seconds(work))
    print(f"{'floor':72} {1e3 * statistics.median(base):7.2f} ms, {1e9 * statistics.median(base) / result.size:.2f} ns a figure, medians of {times}")
    for name, each in taken.items():
        ratio = statistics.median(t / b for t, b in zip(each, base, strict=True))
        print(f"{name:72} {1e3 * statistics.median(each):7.2f} ms {ratio:7.1f} x floor")
    page = sum(statistics.median(each) for name, each in taken.items() if not name.startswith("beside"))
    print(f"{'all of the page':72} {1e3 * page:7.2f} ms")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
