"""Simulated truth: on 200 made-up projects whose figures are then drawn by numpy and priced one by one, the stated chances come true as often as they say,
and what is said to be worth finding out is what really decides."""

from decimal import Decimal
from functools import cache

import numpy as np
import pytest
from demos import demo

from buildecon.decision.chances import Asked
from buildecon.decision.compare import FROM_TODAY, as_written, compare
from buildecon.decision.doubts import doubts
from buildecon.decision.information import perfect_information
from buildecon.decision.inputs import unknown
from buildecon.ledger.ladder import ladder
from buildecon.project.chances import Chances
from buildecon.project.options import Consumption, Option, Yearly
from buildecon.quantities.estimate import Estimate, sure

PROJECTS, TRUTHS = 200, 6
FACTS = {"seats": 2, "soft_top": True, "manual": True, "length": Decimal("3.8"), "zone": "always"}
BANDS = [(0, 0.05), (0.05, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 0.95), (0.95, 1.0001)]


def a_range(rng, likely, spread):
    low, high = likely * (1 - spread * rng.random()), likely * (1 + spread * rng.random())
    return Estimate(*(Decimal(str(round(value, 2))) for value in (low, likely, high)))


@cache
def a_case(seed):
    """A project whose options are close, with one figure less known than the others."""
    rng = np.random.default_rng(seed)
    wide = rng.permutation([0.05, 0.1, 0.15, 0.2, 0.3, 0.8])
    as_is = rng.uniform(4000, 12000)
    build = Option(
        id="build", name="the build", kind="build", value=None, decline_rate=sure(round(rng.uniform(0.02, 0.15), 3)), selling_cost_share=sure(0), facts=FACTS,
        yearly=Yearly(upkeep=a_range(rng, rng.uniform(300, 900), wide[0])), energy=(Consumption(source="petrol", amount=a_range(rng, 31, min(wide[1], 0.4)), unit="mpg imperial"),),
    )  # fmt: skip
    other = Option(
        id="other", name="the other", kind="buy", price=a_range(rng, as_is * rng.uniform(0.9, 1.25), wide[2]), value=sure(round(as_is)), decline_rate=sure(round(rng.uniform(0.02, 0.15), 3)), facts=FACTS,
        selling_cost_share=sure(0), yearly=Yearly(upkeep=a_range(rng, rng.uniform(300, 900), wide[3])), energy=(Consumption(source="petrol", amount=sure(36), unit="mpg imperial"),),
    )  # fmt: skip
    base = demo("roadster")
    value = base.file.value.model_copy(update={"as_is": a_range(rng, as_is, wide[4]), "finished": a_range(rng, as_is * rng.uniform(0.9, 1.2), wide[5]), "selling_cost_share": sure(0)})
    use = base.file.use.model_copy(update={"distance_a_year": sure(2400), "years_kept": int(rng.integers(2, 7)), "horizon_years": 6})
    energy = {"petrol": base.file.energy["petrol"].model_copy(update={"price": sure("1.46")})}
    chances = Chances(shape="triangular", values_together=sure(0))
    file = base.file.model_copy(update={"options": (build, other), "value": value, "use": use, "energy": energy, "chances": chances})
    project = base.model_copy(update={"file": file, "lines": (), "events": ()})
    totals = ladder(project)
    asked = Asked(unknown(project, totals), as_written(project, totals), FROM_TODAY)
    return project, asked, doubts(asked)


def made_sure(project, figures):
    """The project as it would be written if its figures were known; each range is put there by hand."""

    def known(id):
        return sure(repr(float(figures[id])))

    build, other = project.file.options
    build = build.model_copy(update={
        "yearly": build.yearly.model_copy(update={"upkeep": known("options.build.yearly.upkeep")}),
        "energy": (build.energy[0].model_copy(update={"amount": known("options.build.energy.0.amount")}),),
    })  # fmt: skip
    other = other.model_copy(update={"price": known("options.other.price"), "yearly": other.yearly.model_copy(update={"upkeep": known("options.other.yearly.upkeep")})})
    value = project.file.value.model_copy(update={"as_is": known("value.as_is"), "finished": known("value.finished")})
    return project.model_copy(update={"file": project.file.model_copy(update={"options": (build, other), "value": value})})


def test_of_the_cases_said_to_be_seventy_in_a_hundred_about_seventy_come_true():
    rng, said, came = np.random.default_rng(7), [], []
    for seed in range(PROJECTS):
        project, asked, found = a_case(seed)
        years = project.file.use.years_kept
        chance = float(found.chances.cheaper[0][years])
        for _ in range(TRUTHS):
            figures = {one.id: rng.triangular(*one.estimate.floats) for one in asked.inputs}
            truth = compare(made_sure(project, figures), view=FROM_TODAY).total[:, 12 * years]
            said.append(chance)
            came.append(truth[0] < truth[1])
    said, came = np.array(said), np.array(came, dtype=float)
    print(f"\n{'said':>12} {'cases':>6} {'mean said':>10} {'came true':>10}")
    for low, high in BANDS:
        here = (said >= low) & (said < high)
        if not here.any():
            continue
        mean, share = said[here].mean(), came[here].mean()
        spread = np.sqrt((said[here] * (1 - said[here])).sum()) / here.sum()
        print(f"{low:5.0%} - {min(high, 1):4.0%} {here.sum():6d} {mean:10.1%} {share:10.1%}")
        assert abs(share - mean) <= 3 * spread + 0.01
    assert (said > 0.05).sum() > 200 and ((said > 0.2) & (said < 0.8)).sum() > 200  # there are cases that could go wrong
    assert abs(came.mean() - said.mean()) < 3 * np.sqrt((said * (1 - said)).sum()) / said.size


def worth_by_force(asked, name, outer=24, inner=128):
    """What finding out one input is worth, in two loops: for each of its figures the mean of all others, drawn by numpy."""
    rng = np.random.default_rng(11)
    figures = asked.unknown.quantiles[name]((np.arange(outer) + 0.5) / outer)
    draws = {one.id: np.tile(asked.unknown.quantiles[one.id](rng.permutation((np.arange(inner) + 0.5) / inner)), outer) for one in asked.inputs}
    draws[name] = np.repeat(figures, inner)
    benefit = -asked.costs(draws)[:, asked.what_if.years_kept].reshape(len(asked.options), outer, inner).mean(axis=-1)
    return perfect_information(benefit)


def test_what_is_said_to_be_worth_finding_out_is_what_really_decides():
    clear = right = quiet = silent = 0
    for seed in range(PROJECTS):
        _, asked, found = a_case(seed)
        forced = np.array([worth_by_force(asked, one.id) for one in asked.inputs])
        first, second = np.argsort(-forced)[:2]
        if forced[first] > 0.3 * found.everything and forced[first] > 1.5 * forced[second] and forced[first] > 5:
            clear += 1
            right += bool(found.worth_asking) and found.worth_asking[0] == first
            assert found.worth.worth[first] == pytest.approx(forced[first], rel=0.2, abs=8)
        elif found.everything < 0.5:
            quiet += 1
            silent += not found.worth_asking
    print(f"\none input decides in {clear} projects, and is named first in {right}; nothing matters in {quiet}, and nothing is named in {silent}")
    assert clear >= 30 and right >= 0.97 * clear
    assert quiet >= 10 and silent == quiet
