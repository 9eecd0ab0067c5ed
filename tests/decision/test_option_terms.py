"""Every figure that is a range reaches the costs: many draws at once against a comparison with each draw written down as plain numbers."""

import numpy as np
import pytest
from demos import demo
from ranges import PATHS, everything, figures_of, project_of, value_path, with_figures

from buildecon.decision.chances import Asked
from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
from buildecon.decision.inputs import COUNTED, SPENT, unknown
from buildecon.ledger.ladder import ladder

DRAWS = 20
# Renewals by chance are straight between points of a grid that reaches as far as the longest distance asked for at once.
BETWEEN_POINTS = 2e-4
BUILDS = {
    "a rate": "decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }",
    "its own value": "value = { low = 6000, likely = 8500, high = 9000 }\ndecline_rate = { low = 0.05, likely = 0.1, high = 0.2 }",
    "the finished value written once more": "value = { low = 7000, likely = 9000, high = 12000 }\ndecline_rate = { low = 0.05, likely = 0.1, high = 0.2 }",
    **{kind: value_path(kind, end=True) for kind in PATHS},
}


def asked_of(project, view=WHOLE_STORY, **turned):
    totals = ladder(project)
    return Asked(unknown(project, totals), as_written(project, totals).model_copy(update=turned), view)


def drawn(asked, seed=7):
    return {name: draws[:DRAWS] for name, draws in asked.unknown.drawn(32, [seed]).items()}


def by_comparison(asked, draws, j, **turned):
    """What the comparison says at whole years where every range is the figure of draw j."""
    one = {name: float(values[j]) for name, values in draws.items()}
    project = with_figures(asked.project, one)
    totals = asked.unknown.totals
    numbers = {"spent_off": one[SPENT] - float(totals["stands_in_at"]) if SPENT in one else 0.0, "counted_on_comes": one.get(COUNTED, 1.0), "still_to_come": float(asked.unknown.left(one))}
    found = compare(project, totals, as_written(project, totals).model_copy(update=numbers | turned), asked.view)
    return found.total[[found.position(option.id) for option in asked.options]][:, ::12]


def assert_every_draw_is_a_comparison(asked, exact=1e-9, **turned):
    draws = drawn(asked)
    cost = asked.costs(draws)
    assert cost.shape == (len(asked.options), asked.project.file.use.horizon_years + 1, DRAWS)
    for j in range(DRAWS):
        expected = by_comparison(asked, draws, j, **turned)
        np.testing.assert_allclose(cost[:, :, j], expected, rtol=exact, atol=exact * np.abs(expected).max())


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_column_of_the_costs_is_the_comparison_of_that_draw(name, view):
    assert_every_draw_is_a_comparison(asked_of(demo(name), view))


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("kind", BUILDS)
def test_a_column_of_the_costs_is_the_comparison_of_that_draw_where_everything_is_a_range(tmp_path, kind, view):
    toml = everything("mi" if kind == "table" else "km", convention="wage" if kind == "steady" else "hobby", build=BUILDS[kind], chances="[chances]\ncounted_on = 0.7\n")
    assert_every_draw_is_a_comparison(asked_of(project_of(tmp_path, toml), view), BETWEEN_POINTS)


def test_without_components_that_fail_by_chance_the_costs_agree_to_the_last_digits(tmp_path):
    toml = everything(build=BUILDS["a rate"]).replace("shape = 2.5\nwarranty = 40000\nwarranty_pays = 0.8\n", "")
    for view in (WHOLE_STORY, FROM_TODAY):
        assert_every_draw_is_a_comparison(asked_of(project_of(tmp_path, toml), view))


@pytest.mark.parametrize("horizon", [6, 40])
def test_a_short_and_a_long_horizon_agree(tmp_path, horizon):
    assert_every_draw_is_a_comparison(asked_of(project_of(tmp_path, everything(horizon=horizon))), BETWEEN_POINTS)


@pytest.mark.parametrize("shape", ["triangular", "four in five"])
def test_ranges_of_every_shape_agree(tmp_path, shape):
    project = project_of(tmp_path, everything(chances=f'[chances]\nshape = "{shape}"\n'))
    assert_every_draw_is_a_comparison(asked_of(project), BETWEEN_POINTS)


NUMBERS = {
    "distance_a_year": 4321.0, "energy_price": 1.7, "end_value": 6543.0, "discount_percent": 4.0, "still_to_come": 987.0, "upkeep": 1.4, "upkeep_rise_percent": 3.0,
    "decline_percent": 13.0, "lifetime_distance": 210000.0, "spent_off": 500.0, "counted_on_comes": 0.25, "enjoyment": 120.0,
}  # fmt: skip


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_that_the_reader_has_turned_is_known(tmp_path, name):
    toml = everything(build=value_path("two stage", end=True) if name == "lifetime_distance" else BUILDS["a rate"], chances="[chances]\ncounted_on = 0.7\n")
    turned = {name: NUMBERS[name]}
    asked = asked_of(project_of(tmp_path, toml), **turned)
    assert asked.turned == {name}
    assert_every_draw_is_a_comparison(asked, BETWEEN_POINTS, **turned)


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
def test_every_figure_that_the_comparison_counts_with_is_an_input(tmp_path, view):
    """Each figure of the files is moved by itself: where the comparison minds, it must be among the inputs of the costs, unless it is one that is excepted."""
    project = project_of(tmp_path, everything(convention="wage"))
    asked = asked_of(project, view)
    ids, plain = {one.id for one in asked.inputs}, compare(project, view=view)
    rows = [plain.position(option.id) for option in asked.options]
    missing = []
    for path, estimate in figures_of(project.file):
        if estimate.is_sure or path.split(".")[0] in ("chances", "must_haves"):
            continue
        high = compare(with_figures(project, {path: float(estimate.high)}), view=view)
        if not np.allclose(high.total[rows], plain.total[rows], rtol=1e-12) and path not in ids:
            missing.append(path)
    assert missing == []


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
def test_each_input_of_a_question_moves_its_costs(tmp_path, view):
    asked = asked_of(project_of(tmp_path, everything(horizon=40, convention="shop", chances="[chances]\ncounted_on = 0.7\n")), view)
    middles = {name: np.array([value]) for name, value in asked.unknown.middles().items()}
    plain = asked.costs(middles)
    idle = [one.id for one in asked.inputs if np.array_equal(asked.costs(middles | {one.id: asked.unknown.quantiles[one.id](np.array([0.05]))}), plain)]
    assert idle == []
