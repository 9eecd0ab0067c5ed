"""Chances: a case whose chance is known exactly, an error that is honest, inputs that both options share, and what a turned slider does."""

import numpy as np
import pytest
from demos import demo
from project.folders import LINES, TOML, made, swapped
from ranges import everything, project_of

from buildecon.decision.chances import BLOCKS, EACH, Asked, chances, scenario_costs
from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare, price_of_joy
from buildecon.decision.inputs import SPENT, unknown
from buildecon.decision.option_terms import Question
from buildecon.ledger.ladder import ladder
from buildecon.project import read_project
from buildecon.quantities.timevalue import annuity_factor

FUEL = 'energy = [{ source = "petrol", amount = 8, unit = "L/100 km" }]\n'
# The build stands in at 1760 (1000 + 500 + 300 - 40) and brings nothing in the end; the other costs its price and brings nothing either. No running costs.
BARE = swapped(swapped(swapped(TOML, FUEL, ""), "finished = 2000", "finished = 0"), "price = 3000", "value = 0\nprice = { low = 1000, likely = 2000, high = 4000 }")
BARE = swapped(BARE, "as_is = { low = 900, likely = 1000, high = 1200 }", "as_is = 1000") + '\n[chances]\nshape = "triangular"\n'
# The triangle has (1760 - 1000)^2 / (3000 x 1000) of itself below 1760.
DEARER = 1 - 760**2 / 3e6


def asked_of(project, view=WHOLE_STORY, **turned):
    totals = ladder(project)
    return Asked(unknown(project, totals), as_written(project, totals).model_copy(update=turned), view)


def read(tmp_path, toml, lines=LINES):
    return read_project(made(tmp_path / "folder", build=toml, lines=lines))


def test_the_chance_of_a_triangle_is_found(tmp_path):
    found = chances(asked_of(read(tmp_path, BARE)))
    chance, error = found.cheaper
    np.testing.assert_allclose(chance, DEARER, atol=1e-3)
    assert np.all(error < 5e-4) and chance.shape == error.shape == (21,)
    # What it costs more is 1760 less the price, over 60 months: the price's tenths by the triangle's own quantile.
    prices = [4000 - np.sqrt(0.1 * 3000 * 2000), 4000 - np.sqrt(0.5 * 3000 * 2000), 1000 + np.sqrt(0.1 * 3000 * 1000)]
    np.testing.assert_allclose(found.band[:, 5], (1760 - np.array(prices)) / 60, atol=0.05)


def test_the_reported_error_is_honest(tmp_path):
    # Seven degrees of freedom: two errors hold 91 of 100 times. Two more inputs that cancel nothing, so that the chance is no longer a matter of one grid.
    toml = swapped(swapped(BARE, "price = {", "purchase_costs = { low = 0, likely = 300, high = 600 }\nprice = {"), "as_is = 1000", "as_is = { low = 900, likely = 1000, high = 1200 }")
    asked = asked_of(read(tmp_path, toml))
    many = np.random.default_rng(5).random((2, 4_000_000))
    price, costs = (asked.unknown.quantiles[f"options.other.{name}"](u) for name, u in zip(("price", "purchase_costs"), many, strict=True))
    exact = np.mean(price + costs > 1760)
    held = []
    for seed in range(200):
        chance, error = (each[5] for each in chances(asked, seed=1000 * seed).cheaper)
        held.append(abs(chance - exact) <= 2 * error)
        assert 0 < error < 0.004  # sqrt(p (1 - p) / 4096) would be 0.005
    assert 0.86 <= np.mean(held) <= 0.98


def test_an_input_that_both_share_cancels_in_the_difference(tmp_path):
    toml = swapped(swapped(TOML, "price = 1.5", "price = { low = 1.2, likely = 1.5, high = 2.4 }"), "price = 3000", 'price = 3000\nenergy = [{ source = "petrol", amount = AMOUNT, unit = "L/100 km" }]\n')
    toml = swapped(toml, "as_is = { low = 900, likely = 1000, high = 1200 }", "as_is = 1000")
    same, less = (chances(asked_of(read(tmp_path, toml.replace("AMOUNT", amount)))) for amount in ("8", "7"))
    assert list(same.draws) == ["energy.petrol.price"] and same.cost[0, 5].std() > 500
    np.testing.assert_allclose(same.more[5], same.more[5, 0], rtol=1e-12)
    # 8 against 7 litres: the difference has an eighth of the spread, whatever the draws.
    assert less.more[5].std() / less.cost[0, 5].std() == pytest.approx(1 / 8, rel=1e-9)


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_band_rises_and_holds_the_middle_of_the_draws(name, view):
    asked = asked_of(demo(name), view)
    found = chances(asked)
    assert found.cost.shape == (len(asked.options), 21, BLOCKS * EACH)
    assert np.all(np.isnan(found.band[:, 0])) and np.all(np.diff(found.band[:, 1:], axis=0) >= 0)
    chance, error = found.cheaper
    assert np.all((chance >= 0) & (chance <= 1)) and np.all(error < 0.01)
    # The build is the cheaper in more than half of the draws exactly where the middle of the band is below 0.
    assert np.array_equal(chance[1:] > 0.5, found.band[1, 1:] < 0)
    # Nothing moves the middle of the draws far from the answer at likely figures, measured by the band.
    likely = price_of_joy(compare(asked.project, view=view))[::12]
    width = found.band[2, 1:] - found.band[0, 1:]
    assert np.all(np.abs(likely[1:] - found.band[1, 1:]) < width)


def test_equal_costs_are_no_win_for_either(tmp_path):
    # Both cost 1760 and nothing else; only the value as it stands is a range.
    toml = swapped(BARE, "price = { low = 1000, likely = 2000, high = 4000 }", "price = 1760")
    found = chances(asked_of(read(tmp_path, swapped(toml, "as_is = 1000", "as_is = { low = 900, likely = 1000, high = 1200 }"))))
    np.testing.assert_array_equal(found.cheaper[0], 0.5)
    np.testing.assert_array_equal(found.cheaper[1], 0.0)


def test_how_far_upside_down_by_hand(tmp_path):
    # It stands in at 1760 and would bring 90 % of a triangle of 1500, 2000 and 2100: upside down below 1760 / 0.9 = 1955.56, by 100 below 1844.44.
    toml = swapped(BARE, "as_is = 1000", "as_is = { low = 1500, likely = 2000, high = 2100 }\nselling_cost_share = 0.1")
    found = chances(asked_of(read(tmp_path, toml)))
    chance, error = found.upside_down([-1e6, 0.0, 100.0, 1e6])
    np.testing.assert_allclose(chance, [1, (1760 / 0.9 - 1500) ** 2 / 3e5, (1660 / 0.9 - 1500) ** 2 / 3e5, 0], atol=1.5e-3)
    assert chance.shape == error.shape == (4,) and np.all(error < 1e-3)
    assert np.all(np.diff(found.upside_down(np.linspace(-500, 500, 50))[0]) <= 0)


def test_receipts_that_leave_something_open_count_in_how_far_upside_down(tmp_path):
    lines = LINES.replace("part,500,", "part,450-550,")
    toml = swapped(BARE, "as_is = 1000", "as_is = 1760")
    found = chances(asked_of(read(tmp_path, toml, lines)))
    np.testing.assert_allclose(found.short, found.draws[SPENT] - 1760, atol=1e-9)
    assert found.upside_down([0.0])[0][0] == pytest.approx(0.5, abs=1e-3)  # the triangle of 1710, 1760 and 1810 is even


def test_the_same_seed_gives_the_same_bits_and_another_seed_others():
    asked = asked_of(demo("roadster"))
    one, again, other = chances(asked), chances(asked), chances(asked, seed=5)
    assert one.cost.tobytes() == again.cost.tobytes() and one.cost.tobytes() != other.cost.tobytes()


@pytest.mark.parametrize(
    ("name", "value", "gone"),
    [
        ("distance_a_year", 5000.0, {"use.distance_a_year"}),
        ("end_value", 8000.0, {"value.finished"}),
        ("discount_percent", 2.0, {"use.discount_rate"}),
        ("still_to_come", 100.0, {"lines.a3", "lines.a4"}),
        ("decline_percent", 3.0, {"options.build.decline_rate"}),
        ("spent_off", 10.0, {SPENT}),
        ("energy_price", 2.0, set()),
        ("years_kept", 9, set()),
    ],
)
def test_a_number_that_was_turned_is_known(tmp_path, name, value, gone):
    project = project_of(tmp_path, everything())
    plain, turned = asked_of(project), asked_of(project, **{name: value})
    assert {one.id for one in plain.inputs} - {one.id for one in turned.inputs} == gone
    middles = {id: np.full(2, middle) for id, middle in plain.unknown.middles().items()}
    for id in gone:  # the range is there to be drawn, and moves nothing any more
        moved = middles | {id: plain.unknown.quantiles[id](np.array([0.05, 0.95]))}
        assert np.ptp(plain.costs(moved), axis=-1).any() and not np.ptp(turned.costs(moved), axis=-1).any()


def test_a_number_turned_back_is_a_range_again():
    asked = asked_of(demo("pickup"), still_to_come=as_written(demo("pickup"), ladder(demo("pickup"))).still_to_come)
    assert asked.turned == set() and "lines.p066" in {one.id for one in asked.inputs}


def test_what_fails_a_must_have_is_not_asked_about_unless_it_is_the_build():
    asked = asked_of(demo("van"))
    assert [option.id for option in asked.options] == ["build-with-grant", "e50", "shop"]
    assert not any(one.id.startswith(("options.e33.", "options.build-no-grant.")) for one in asked.inputs)
    assert [option.id for option in asked.of_build_alone().options] == ["build-with-grant"]
    assert [option.id for option in asked_of(demo("van"), FROM_TODAY).options] == ["build-with-grant", "e50"]


def test_what_only_the_other_view_counts_with_is_not_asked_about(tmp_path):
    whole, today = ({one.id for one in asked_of(project_of(tmp_path, everything(convention="wage")), view).inputs} for view in (WHOLE_STORY, FROM_TODAY))
    assert whole - today == {SPENT, "own_hours.spent", "own_hours.wage"}  # the price of keeping the old car is 0 in the whole story
    assert today - whole == {"value.as_is", "options.keep.from_today.price", "options.keep.from_today.kit.price", "options.keep.from_today.kit.end_value_share", "options.keep.from_today.kit.decline_rate"}


def test_a_rate_that_is_a_range_is_in_the_payments_too(tmp_path):
    toml = swapped(BARE, "years_kept = 5", "years_kept = 5\ndiscount_rate = { low = 0.0, likely = 0.05, high = 0.1 }")
    asked = asked_of(read(tmp_path, toml))
    draws = {"use.discount_rate": np.array([0.0, 0.1])}
    monthly = asked.a_month(np.full((21, 2), 6000.0), draws)
    # 6000 over 60 months is 100 without interest; with a tenth a year it is 6000 / a(60).
    assert monthly[5, 0] == pytest.approx(100, rel=1e-12)
    assert monthly[5, 1] == pytest.approx(6000 / annuity_factor(1.1 ** (1 / 12) - 1, 60), rel=1e-12)
    assert np.all(np.isnan(monthly[0]))
    assert asked_of(read(tmp_path, toml), discount_percent=0.0).a_month(np.full((21, 2), 6000.0), draws)[5].tolist() == [100, 100]


def test_without_draws_the_costs_are_those_of_the_comparison(tmp_path):
    for project in (demo("pickup"), project_of(tmp_path, everything())):
        asked = asked_of(project)
        found = compare(project)
        expected = found.total[[found.position(option.id) for option in asked.options]][:, ::12]
        np.testing.assert_allclose(asked.costs({})[..., 0], expected, rtol=1e-9, atol=1e-6)


def test_costs_of_scenarios_may_be_asked_without_draws():
    van = demo("van")
    totals = ladder(van)
    question = Question(van, totals, as_written(van, totals), WHOLE_STORY)
    found = scenario_costs(van.options, question, 3)
    assert found.shape == (6, 21, 3)
    np.testing.assert_allclose(found[..., 2], compare(van).total[:, ::12], rtol=1e-9, atol=1e-6)
