"""Doubts: what is worth asking and what it costs to ask, dials against the exact answer of two runs, and the map against the comparison."""

import numpy as np
import pytest
from demos import demo
from project.folders import LINES, TOML, made, swapped
from ranges import everything, project_of

from buildecon.decision.chances import Asked, chances
from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare, price_of_joy
from buildecon.decision.doubts import doubts, turning, years_by_distance
from buildecon.decision.inputs import unknown
from buildecon.decision.turning import nearest_changes
from buildecon.ledger.ladder import ladder
from buildecon.project import read_project

FUEL = 'energy = [{ source = "petrol", amount = 8, unit = "L/100 km" }]\n'
# As in test_chances: the build costs 1760 and the other its price, whatever the years.
BARE = swapped(swapped(swapped(TOML, FUEL, ""), "finished = 2000", "finished = 0"), "price = 3000", "value = 0\nprice = { low = 1000, likely = 2000, high = 4000 }")
BARE = swapped(BARE, "as_is = { low = 900, likely = 1000, high = 1200 }", "as_is = 1000") + '\n[chances]\nshape = "triangular"\n'


def asked_of(project, view=WHOLE_STORY, **turned):
    totals = ladder(project)
    return Asked(unknown(project, totals), as_written(project, totals).model_copy(update=turned), view)


def read(tmp_path, toml, lines=LINES):
    return read_project(made(tmp_path / "folder", build=toml, lines=lines))


def finding_out(what, costs):
    return f'[[chances.finding_out]]\nwhat = "{what}"\ncosts = {costs}\n'


def more_of(project, view=WHOLE_STORY, **turned):
    """What the build costs above the cheapest other over the years asked about."""
    what_if = as_written(project, ladder(project)).model_copy(update=turned)
    found = compare(project, what_if=what_if, view=view)
    rivals = [k for k in found.rivals() if found.passes[k]]
    month = found.month(what_if.years_kept)
    return found.total[found.build, month] - found.total[rivals, month].min()


# The price is below 1760 with (1760 - 1000)^2 / 3e6, and then the other saves a third of 760 on average.
EVERYTHING = 760**3 / 3e6 / 3


def test_what_everything_and_the_only_input_are_worth_by_hand(tmp_path):
    found = doubts(asked_of(read(tmp_path, BARE)))
    # The build is the better choice: 1760 against a mean price of 7000 / 3. Knowing saves the integral of (1760 - p) below 1760.
    assert found.everything == pytest.approx(EVERYTHING, rel=2e-3)
    assert found.worth.shown == pytest.approx([EVERYTHING], rel=2e-2)
    assert found.shares == pytest.approx([1], abs=1e-3)
    assert [one.id for one in found.inputs] == ["options.other.price"] and found.worth_asking == [0] and found.price.tolist() == [0]
    assert found.swings.flips.tolist() == [True] and found.swings.low[0] > 0 > found.swings.high[0]
    alone = found.alone()
    assert (alone.first[0], alone.total[0]) == (pytest.approx(1, abs=0.02), pytest.approx(1, abs=0.02))


@pytest.mark.parametrize(("costs", "asking"), [(EVERYTHING - 1, [0]), (EVERYTHING + 1, []), (0, [0])])
def test_what_costs_more_to_find_out_than_it_is_worth_is_not_asked(tmp_path, costs, asking):
    found = doubts(asked_of(read(tmp_path, BARE + finding_out("options.other.price", round(costs, 2)))))
    assert found.price == pytest.approx([costs], abs=0.01) and found.worth_asking == asking


def test_the_most_worth_after_its_price_is_asked_first(tmp_path):
    # Two inputs of the other: its price, and what buying it costs, of a third of that spread.
    toml = swapped(BARE, "price = {", "purchase_costs = { low = 0, likely = 500, high = 1000 }\nprice = {")
    toml = swapped(toml, "low = 1000, likely = 2000, high = 4000", "low = 500, likely = 1300, high = 2500")
    plain = doubts(asked_of(read(tmp_path, toml)))
    price, buying = plain.worth.shown
    assert [one.id for one in plain.inputs] == ["options.other.price", "options.other.purchase_costs"]
    assert price > buying > 0 and plain.worth_asking == [0, 1]
    dear = doubts(asked_of(read(tmp_path, toml + finding_out("options.other.price", round(price - buying / 2)))))
    assert dear.worth_asking == [1, 0]
    assert plain.everything >= price and np.all(plain.worth.shown <= plain.everything)


def test_nothing_else_that_passes_is_nothing_to_decide(tmp_path):
    asked = asked_of(read(tmp_path, swapped(BARE, "[options.facts]\nseats = 4", "[options.facts]\nseats = 1")))
    assert [option.id for option in asked.options] == ["build"]
    assert doubts(asked) is None and turning(asked) == {} and years_by_distance(asked) is None
    # Of the build alone there is still a chance of being upside down, here of 760 and with nothing to draw.
    assert chances(asked).more is None


def test_ranges_that_do_not_count_are_no_doubt(tmp_path):
    toml = swapped(BARE, "price = { low = 1000, likely = 2000, high = 4000 }", "price = 2000")
    asked = asked_of(read(tmp_path, swapped(toml, "as_is = 1000", "as_is = { low = 900, likely = 1000, high = 1200 }")))
    assert asked.inputs == () and doubts(asked) is None and chances(asked) is not None


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_doubts_of_a_demo_hold_together(name, view):
    asked = asked_of(demo(name), view)
    found = doubts(asked)
    d = len(asked.inputs)
    for figures in (found.worth.shown, found.shares, found.swings.low, found.swings.high, found.price):
        assert figures.shape == (d,) and np.all(np.isfinite(figures))
    assert found.everything >= found.worth.shown.max(initial=0) >= 0 and np.all((found.shares >= 0) & (found.shares <= 1))
    net = found.worth.shown - found.price
    assert list(net[found.worth_asking]) == sorted(net[found.worth_asking], reverse=True)
    assert not any(found.worth.shown[k] > 0 and net[k] > 0 for k in range(d) if k not in found.worth_asking)
    # An end of a swing, all else in the middle, is that run of the costs.
    k = int(found.swings.widest_first[0])
    draws = {id: np.array([middle]) for id, middle in asked.unknown.middles().items()} | {asked.inputs[k].id: np.atleast_1d(asked.unknown.quantiles[asked.inputs[k].id](0.9))}
    cost = asked.costs(draws)
    assert asked.a_month(cost[0] - cost[1:].min(axis=0), draws)[found.chances.year, 0] == pytest.approx(found.swings.high[k], rel=1e-9)


# turning


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_dial_stands_where_the_comparison_stands(name, view):
    project = demo(name)
    found = turning(asked_of(project, view))
    sign = {-1.0: "first", 0.0: "neither", 1.0: "second"}[np.sign(more_of(project, view))]
    assert {one.cheaper_now for one in found.values()} == {sign}
    written = as_written(project, ladder(project))
    for dial, one in found.items():
        assert one.found.low <= one.now <= one.found.high
        if dial not in ("spent_off", "decline_percent"):
            assert one.now == getattr(written, dial)
    assert ("spent_off" in found) == (view == WHOLE_STORY)


@pytest.mark.parametrize(("dial", "places"), [("spent_off", (0.0, 1000.0)), ("enjoyment", (0.0, 500.0)), ("still_to_come", (0.0, 1000.0)), ("end_value", (8000.0, 9000.0))])
def test_what_is_linear_in_a_dial_turns_where_two_runs_say(tmp_path, dial, places):
    # One other that passes, so that the difference is a straight line: f(a) + (f(b) - f(a)) (x - a) / (b - a) = 0.
    toml = swapped(TOML, "price = 3000", "price = 2400\nyearly = { tests = 300 }")
    project = read(tmp_path, toml)
    first, second = (more_of(project, **{dial: x}) for x in places)
    exact = places[0] - first * (places[1] - places[0]) / (second - first)
    one = turning(asked_of(project))[dial]
    if dial == "spent_off":
        exact += float(ladder(project)["stands_in_at"])
    if one.found.low <= exact <= one.found.high:
        assert one.found.at == (pytest.approx(exact, rel=1e-8),) and one.nearest == one.found.at[0]
    else:
        assert one.found.at == () and np.isnan(one.nearest)


def test_at_a_turning_point_the_comparison_is_even():
    for name in ("van", "roadster", "pickup"):
        project = demo(name)
        for dial, one in turning(asked_of(project)).items():
            off = float(ladder(project)["stands_in_at"]) if dial == "spent_off" else 0.0
            for meeting in one.found.crossings:
                if meeting.kind == "crossing" and dial != "decline_percent":  # a rate is rounded to six digits
                    assert more_of(project, **{dial: meeting.at - off}) == pytest.approx(0, abs=0.05), (name, dial)


def test_the_nearest_change_comes_first_and_is_the_shortest_part_of_its_range():
    found = nearest_changes(turning(asked_of(demo("van"))))
    parts = [abs(one.share_of_range) for one in found]
    assert parts == sorted(parts)


def test_ranges_on_everything_turn_where_the_comparison_turns(tmp_path):
    project = project_of(tmp_path, everything())
    found = turning(asked_of(project))
    assert set(found) == {"distance_a_year", "end_value", "still_to_come", "spent_off", "energy_price", "enjoyment", "discount_percent", "decline_percent"}
    for at in found["enjoyment"].found.at:
        assert more_of(project, enjoyment=at) == pytest.approx(0, abs=1e-3)


# years by distance


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_cell_of_the_map_is_the_comparison_there(name, view):
    project = demo(name)
    found = years_by_distance(asked_of(project, view))
    assert found.xs.tolist() == list(range(1, 21)) and found.ys[0] == 0 and found.difference.shape == (25, 20)
    for j, i in ((0, 0), (10, 5), (24, 19), (3, 12)):
        expected = more_of(project, view, distance_a_year=float(found.ys[j]), years_kept=int(found.xs[i]))
        assert found.difference[j, i] == pytest.approx(expected, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(("horizon", "years"), [(1, None), (2, [1, 2])])
def test_one_year_is_no_map(tmp_path, horizon, years):
    found = years_by_distance(asked_of(read(tmp_path, swapped(BARE, "years_kept = 5", f"years_kept = 1\nhorizon_years = {horizon}"))))
    assert (found and found.xs.tolist()) == years


def test_the_map_keeps_what_the_reader_has_turned():
    project = demo("van")
    found = years_by_distance(asked_of(project, end_value=20000.0))
    expected = more_of(project, distance_a_year=float(found.ys[7]), years_kept=9, end_value=20000.0)
    assert found.difference[7, 8] == pytest.approx(expected, rel=1e-9)


def test_the_answer_at_likely_figures_is_that_of_the_page():
    project = demo("pickup")
    comparison = compare(project)
    at = project.file.use.years_kept
    asked = asked_of(project)
    cost = asked.costs({})
    month = asked.a_month(cost[0] - cost[1:].min(axis=0), {})[at, 0]
    assert month == pytest.approx(price_of_joy(comparison)[12 * at], rel=1e-9)
