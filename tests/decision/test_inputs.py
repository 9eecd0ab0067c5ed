"""What is not known of a folder: every range once, the group it moves with, the shape it is drawn in."""

import numpy as np
import pytest
from demos import changed, demo
from project.folders import LINES, TOML, faults_of, made, swapped
from ranges import everything, figures_of, project_of, with_figures

from buildecon.decision.chances import Asked, chances
from buildecon.decision.compare import as_written
from buildecon.decision.doubts import doubts
from buildecon.decision.inputs import COST, COUNTED, DELAY, OVERRUN, SPENT, VALUE, unknown
from buildecon.decision.verdict import not_known
from buildecon.ledger.forecast import forecast, open_parts
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth
from buildecon.project import read_project
from buildecon.quantities.estimate import Estimate
from buildecon.quantities.sampling import TEN_IN_A_HUNDRED

CHANCES = "\n[chances]\n"


def known_of(project):
    return unknown(project, ladder(project))


def inputs_of(project):
    return {one.id: one for one in known_of(project).inputs}


def small(tmp_path, toml=TOML, lines=LINES, **more):
    return read_project(made(tmp_path / "folder", build=toml, lines=lines, **more))


def test_each_kind_of_range_is_found_once_with_its_id_and_group(tmp_path):
    known = known_of(project_of(tmp_path, everything(chances=CHANCES + "counted_on = 0.7\n[half_way]\nmonths = { low = 2, likely = 3, high = 6 }\nhours = { low = 20, likely = 30, high = 90 }\nholding = { low = 20, likely = 30, high = 90 }\n")))
    ids = [one.id for one in known.inputs]
    assert len(ids) == len(set(ids)) and list(known.quantiles) == ids
    groups = {one.id: one.group for one in known.inputs if one.group}
    assert groups == {
        "value.as_is": VALUE, "value.finished": VALUE, "options.build.build_months": DELAY, "half_way.months": DELAY, "half_way.hours": DELAY, "lines.a3": COST, "lines.a4": COST,
    }  # fmt: skip
    for one in ("use.distance_a_year", "energy.charging.tariffs.0.share", "options.path7.value_path.table.1.years", "options.build.wear.renewals.0.every", "options.keep.from_today.kit.price", SPENT, COUNTED):
        assert one in ids
    # How long a component that fails by chance lasts is spread by its shape already; hours of driving and hobby hours cost nothing.
    assert not {"options.build.wear.renewals.2.every", "use.drive_hours_a_year", "own_hours.spent", "own_hours.wage"} & set(ids)


def test_what_an_input_belongs_to_is_named(tmp_path):
    found = inputs_of(project_of(tmp_path, everything()))
    names = {"options.build.kit.price": ("this build",), "energy.charging.tariffs.0.price": ("charging", "night"), "options.build.wear.renewals.0.cost": ("this build", "battery"), "lines.a4": ("a4", "paint")}
    assert {id: found[id].names for id in names} == names


def test_the_ranges_of_the_files_are_the_inputs_and_nothing_else(tmp_path):
    project = project_of(tmp_path, everything(convention="shop"))
    ranges = {path for path, estimate in figures_of(project.file) if not estimate.is_sure}
    found = {one.id for one in known_of(project).inputs}
    assert ranges - found == {"use.drive_hours_a_year", "own_hours.wage"}
    assert found - ranges == {SPENT, "lines.a3", "lines.a4"}


def test_an_input_holds_the_range_of_the_file(tmp_path):
    project = project_of(tmp_path, everything())
    written = dict(figures_of(project.file))
    assert all(one.estimate == written[one.id] for one in known_of(project).inputs if one.id in written)
    # Receipts: the car 1000 to 1200, gaskets 500 to 620, with what is sure beside them.
    spent = inputs_of(project)[SPENT].estimate
    assert (spent.high - spent.low, spent.likely - spent.low) == (320, 160)


def test_a_build_s_value_that_is_the_finished_one_written_again_is_drawn_once(tmp_path):
    toml = swapped(TOML, "finished = 2000", "finished = { low = 1500, likely = 2000, high = 2600 }")
    same, other = (swapped(toml, 'name = "this build"', f'name = "this build"\nvalue = {{ low = 1500, likely = 2000, high = {high} }}') for high in (2600, 2700))
    known = known_of(small(tmp_path, same))
    assert [one.id for one in known.inputs if one.group == VALUE] == ["value.as_is", "value.finished"]
    drawn = known.with_draws(known.drawn(16, [1]))
    np.testing.assert_array_equal(drawn.option("build").value.figure, drawn.file.value.finished.figure)
    assert [one.id for one in known_of(small(tmp_path, other)).inputs if one.group == VALUE] == ["value.as_is", "value.finished", "options.build.value"]


def test_a_table_of_a_build_that_names_the_finished_value_is_drawn_all_the_same(tmp_path):
    toml = swapped(TOML, "finished = 2000", "finished = { low = 1500, likely = 2000, high = 2600 }")
    path = '[options.value_path]\nkind = "table"\ntable = [{ years = 3, value = { low = 1500, likely = 2000, high = 2600 } }]\nlater_rate = 0\n\n[options.facts]\nseats = 2\n\n# what'
    toml = swapped(swapped(toml, "decline_rate = 0.1\n", ""), "[options.facts]\nseats = 2\n\n# what", path)
    assert inputs_of(small(tmp_path, toml))["options.build.value_path.table.0.value"].group == ""


PLANNED = "id,system,item,nature,planned,paid,date,to_finish,grade\na1,Base,the car,base car,,1000,2026-01-02,,\n"


def test_past_overruns_multiply_what_is_still_to_come_and_never_leave_what_was_seen(tmp_path):
    toml = TOML + "\n[half_way]\npast_overruns = [1.2, 2, 1.4]\n"
    lines = PLANNED + "a2,Engine,kit,part,,,,400-600,quote\na3,Engine,labour,outside work,,,,1000,settled\n"
    known = known_of(small(tmp_path, toml, lines, events=None))
    assert [(one.id, one.group) for one in known.inputs][-2:] == [("lines.a2", COST), (OVERRUN, DELAY)]
    # By hand: the empirical quantile runs straight through 1.2, 1.4 and 2 at 0, a half and 1.
    np.testing.assert_allclose(known.quantiles[OVERRUN](np.array([0, 0.25, 0.5, 0.75, 1])), [1.2, 1.3, 1.4, 1.7, 2.0], rtol=1e-12)
    assert known.sure_left == 1000
    assert known.left({"lines.a2": 450.0, OVERRUN: 1.5}) == pytest.approx((1000 + 450) * 1.5)


def test_a_bill_that_is_not_paid_yet_is_still_to_come_and_runs_over_no_more(tmp_path):
    toml = TOML + "\n[half_way]\npast_overruns = [1.2, 2]\n"
    lines = PLANNED + "a2,Engine,kit,part,,,,400-600,quote\na3,Engine,head,part,,,,,\n"
    project = small(tmp_path, toml, lines, events="line,date,kind,amount\na3,,payment,300\n")
    known = known_of(project)
    assert known.bills == 300 and known.left({"lines.a2": 450.0, OVERRUN: 2.0}) == pytest.approx(300 + 2 * 450)
    assert as_written(project, ladder(project)).still_to_come == 800  # 300 and the middle of 400 to 600


@pytest.mark.parametrize(("comes", "share"), [("0.85", 0.85), ("0.25", 0.25), ("0", 0.0)])
def test_money_counted_on_comes_or_does_not(tmp_path, comes, share):
    project = demo("van")
    file = project.file.model_copy(update={"chances": project.file.chances.model_copy(update={"counted_on": with_figures(project, {"chances.counted_on": comes}).file.chances.counted_on})})
    known = known_of(project.model_copy(update={"file": file}))
    draws = known.drawn(512, [1, 2])[COUNTED]
    assert set(draws) <= {0.0, 1.0} and draws.mean() == pytest.approx(share, abs=0.002)


def test_money_that_surely_comes_is_not_drawn():
    van = demo("van")
    assert COUNTED in inputs_of(van)
    file = van.file.model_copy(update={"chances": with_figures(van, {"chances.counted_on": 1}).file.chances})
    assert COUNTED not in inputs_of(van.model_copy(update={"file": file}))


def test_a_value_from_the_market_has_the_range_of_the_evidence(tmp_path):
    roadster = demo("roadster")
    project = roadster.model_copy(update={"file": roadster.file.model_copy(update={"chances": roadster.file.chances.model_copy(update={"value_from": "market"})})})
    known, market = not_known(project, ladder(project)), worth(project)
    for path, stage in (("value.as_is", market.stage), ("value.finished", "finished")):
        price = market.of_state(stage, level=0.8)
        np.testing.assert_allclose(known.quantiles[path](np.array([0.1, 0.9])), [price.low, price.high], rtol=1e-9)
    plain = not_known(roadster, ladder(roadster))
    assert plain.quantiles["value.as_is"](0.0) == pytest.approx(5400, abs=1) and plain.quantiles["value.as_is"](1.0) == pytest.approx(6300, abs=1)


def test_what_cannot_move_together_is_moved_as_little_as_need_be_and_the_move_is_told(tmp_path):
    # All costs as one, all delays as one, and the two all but apart: nothing has such a correlation once delays and costs are 0.95 apart.
    toml = TOML + CHANCES + "prices_together = 0\ndelay_and_cost = 0.9\n\n[half_way]\nmonths = { low = 2, likely = 3, high = 6 }\n"
    lines = PLANNED + "".join(f"b{k},Engine,part {k},part,,,,400-600,quote\n" for k in range(5))
    known = known_of(small(tmp_path, toml, lines, events=None))
    # By hand: five independent costs each 0.9 with one delay would need 5 x 0.81 of its variance.
    assert known.moved > 0.2
    together = known.root @ known.root.T
    np.testing.assert_allclose(np.diag(together), 1, rtol=1e-12)
    draws = np.array(list(known.drawn(512, range(4)).values()))
    assert np.all(np.isfinite(draws))
    assert known_of(small(tmp_path, swapped(toml, "delay_and_cost = 0.9", "delay_and_cost = 0.3"), lines, events=None)).moved == pytest.approx(0, abs=1e-9)


def test_groups_move_together_as_far_as_is_written(tmp_path):
    from scipy.stats import spearmanr

    lines = PLANNED + "b1,Engine,one,part,,,,400-600,quote\nb2,Engine,two,part,,,,300-900,quote\n"
    toml = TOML + CHANCES + "prices_together = 0.7\ndelay_and_cost = 0.4\nvalues_together = 0.9\n[half_way]\nmonths = { low = 2, likely = 3, high = 6 }\n"
    known = known_of(small(tmp_path, swapped(toml, "finished = 2000", "finished = { low = 1500, likely = 2000, high = 2600 }"), lines, events=None))
    draws = known.drawn(1024, range(4))
    pairs = {("lines.b1", "lines.b2"): 0.7, ("lines.b1", "half_way.months"): 0.4, ("value.as_is", "value.finished"): 0.9, ("value.as_is", "lines.b1"): 0.0}
    for (one, other), share in pairs.items():
        assert spearmanr(draws[one], draws[other])[0] == pytest.approx(share, abs=0.02)


def test_a_finished_car_as_it_stands_is_the_finished_car():
    known = known_of(demo("van"))
    draws = known.drawn(256, [3])
    np.testing.assert_allclose(draws["value.as_is"], draws["value.finished"], rtol=1e-4)


def test_a_range_that_falls_is_refused_where_it_is_read(tmp_path):
    toml = swapped(TOML, "price = 3000", "price = { low = 3000, likely = 2500, high = 4000 }")
    assert faults_of(made(tmp_path / "folder", build=toml)) == ["build.toml line 53, options.2.price: must be low, likely, high in rising order, got 3000, 2500, 4000."]


SHAPES = {
    # Of a range of 10, 20 and 60 by hand: mean and variance of the triangle and of the beta, both from their closed forms.
    "triangular": (90 / 3, (100 + 400 + 3600 - 200 - 600 - 1200) / 18),
    "pert": ((10 + 80 + 60) / 6, (25 - 10) * (60 - 25) / 7),
}


@pytest.mark.parametrize("shape", SHAPES)
def test_a_shape_has_the_moments_of_its_closed_form_and_keeps_within_its_ends(tmp_path, shape):
    toml = swapped(TOML, "price = 3000", "price = { low = 10, likely = 20, high = 60 }") + CHANCES + f'shape = "{shape}"\n'
    draws = known_of(small(tmp_path, toml)).drawn(4096, range(4))["options.other.price"]
    mean, variance = SHAPES[shape]
    assert draws.mean() == pytest.approx(mean, rel=1e-4) and draws.var() == pytest.approx(variance, rel=2e-3)
    assert 10 <= draws.min() and draws.max() <= 60


def test_four_in_five_passes_each_end_once_in_ten(tmp_path):
    toml = swapped(TOML, "price = 3000", "price = { low = 2000, likely = 3000, high = 5000 }") + CHANCES + 'shape = "four in five"\n'
    known = known_of(small(tmp_path, toml))
    draws = known.drawn(4096, range(2))["options.other.price"]
    np.testing.assert_allclose([np.mean(draws < 2000), np.mean(draws > 5000)], 0.1, atol=2e-3)
    # Lognormal: its logs have the mean of those of the ends, and the distance of these is 2 x 1.2816 sd.
    assert np.log(draws).mean() == pytest.approx(np.log(2000 * 5000) / 2, abs=1e-3)
    assert np.log(draws).std() == pytest.approx(np.log(2.5) / (2 * TEN_IN_A_HUNDRED), rel=1e-3)


@pytest.mark.parametrize(("high", "mean"), [(1000, 10**2 * np.exp(0.5 * (np.log(100) / (2 * TEN_IN_A_HUNDRED)) ** 2)), (1001, None), (1e6, None)])
def test_a_range_too_wide_for_a_lognormal_is_cut_at_0_and_keeps_its_ends(tmp_path, high, mean):
    toml = swapped(TOML, "price = 3000", f"price = {{ low = 10, likely = 11, high = {high:.0f} }}") + CHANCES + 'shape = "four in five"\n'
    draws = known_of(small(tmp_path, toml)).drawn(4096, range(2))["options.other.price"]
    np.testing.assert_allclose([np.mean(draws < 10), np.mean(draws > high)], 0.1, atol=2e-3)
    # To a hundred times: e^(mu + s^2/2). Beyond, a normal around the middle with a tenth and a little cut at 0; never a mean beyond the high end.
    assert draws.mean() == pytest.approx(mean, rel=0.02) if mean else 0.5 * high < draws.mean() < 0.55 * high
    assert draws.min() >= 0 and (mean or draws.min() == 0)


@pytest.mark.parametrize(
    ("old", "new", "id", "least", "most"),
    [
        ("price = 1.5", "price = { low = 0.8, likely = 0.9, high = 1.0 }", "energy.petrol.price", 0, np.inf),
        ("price = 1.5", "price = 1.5\nprice_growth_rate = { low = -0.5, likely = 0, high = 0.5 }", "energy.petrol.price_growth_rate", -0.9, 1),
        ('source = "petrol", amount = 8, unit = "L/100 km" }]', 'source = "socket", amount = 20, unit = "kWh/100 km", charging_loss = { low = 0.1, likely = 0.3, high = 0.8 } }]\n[energy.socket]\nunit = "kWh"\nprice = 0.3\n', "options.build.energy.0.charging_loss", 0, 0.9),
        ("finished = 2000", "finished = 2000\nselling_cost_share = { low = 0, likely = 0.3, high = 0.9 }", "value.selling_cost_share", 0, 1),
        ("price = 3000", "price = { low = 0, likely = 1, high = 2000 }", "options.other.price", 0, np.inf),
    ],
)
def test_four_in_five_never_leaves_what_the_figure_may_be(tmp_path, old, new, id, least, most):
    known = known_of(small(tmp_path, swapped(TOML, old, new) + CHANCES + 'shape = "four in five"\n'))
    ends = known.quantiles[id](np.array([1e-9, 1 - 1e-9]))
    assert least <= ends[0] and ends[1] <= most
    # An amount has no highest figure: a price that may be 1.00 may be 1.10.
    assert np.isfinite(most) or ends[1] > 1.05 * known.quantiles[id](0.9)


def test_nothing_uncertain_is_nothing_to_draw(tmp_path):
    toml = swapped(TOML, "as_is = { low = 900, likely = 1000, high = 1200 }", "as_is = 1000")
    project = small(tmp_path, toml)
    known = known_of(project)
    asked = Asked(known, as_written(project, ladder(project)))
    assert (known.inputs, known.quantiles, known.root, known.moved, known.middles()) == ((), {}, None, 0.0, {})
    assert asked.inputs == () and chances(asked) is None and doubts(asked) is None
    assert known.with_draws({}) == project


@pytest.mark.parametrize("name", ["pickup", "roadster"])
def test_the_mean_of_what_is_still_to_come_is_that_of_the_forecast(name):
    project = demo(name)
    totals = ladder(project)
    known = unknown(project, totals)
    draws = known.drawn(8192, range(8))
    expected = forecast(project, totals.settled)
    assert np.mean(known.left(draws)) == pytest.approx(float(expected.mean + expected.committed), rel=2e-5)
    assert float(sum(part.mean for _, part in open_parts(project, totals.settled))) == pytest.approx(float(expected.mean), rel=1e-12)


def test_the_middle_of_an_input_is_its_median(tmp_path):
    known = known_of(project_of(tmp_path, everything()))
    middles = known.middles()
    assert set(middles) == {one.id for one in known.inputs}
    for one in known.inputs:
        assert float(one.estimate.low) <= middles[one.id] <= float(one.estimate.high)


def test_draws_stand_in_the_place_of_ranges_and_nothing_else_changes(tmp_path):
    project = project_of(tmp_path, everything())
    known = known_of(project)
    draws = known.drawn(16, [1])
    drawn = known.with_draws(draws)
    assert drawn.file.options[0].yearly.upkeep.figure is draws["options.build.yearly.upkeep"]
    assert isinstance(drawn.file.options[0].build_months, Estimate) and drawn.file.must_haves is project.file.must_haves and drawn.lines is project.lines
    plain = {path for path, estimate in figures_of(drawn.file) if np.ndim(estimate.figure)}
    assert plain == {one.id for one in known.inputs if one.id.split(".")[0] in ("use", "value", "energy", "options")}


def test_the_market_of_finished_cars_says_nothing_of_a_half_built_one():
    roadster = changed(demo("roadster"), states=(), chances=demo("roadster").file.chances.model_copy(update={"value_from": "market"}))
    known, market = not_known(roadster, ladder(roadster)), worth(roadster)
    price = market.of_state("finished", level=0.8)
    np.testing.assert_allclose(known.quantiles["value.finished"](np.array([0.1, 0.9])), [price.low, price.high], rtol=1e-9)
    assert known.quantiles["value.as_is"](0.0) == pytest.approx(5400, abs=1) and known.quantiles["value.as_is"](1.0) == pytest.approx(6300, abs=1)  # as its owner wrote it
