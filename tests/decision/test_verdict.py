"""The verdict: every call by a chance known by hand, both views, the band of the price of joy, and a value that the market gives."""

import numpy as np
import pytest
from demos import changed, demo
from verdicts import ALONE, BARE, against, judged, verdict_of

from buildecon.decision.compare import price_of_joy
from buildecon.decision.verdict import CLOSE, not_known, price_of_joy_chance
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth


def triangle(low, likely, high):
    return f"{{ low = {low}, likely = {likely}, high = {high} }}"


# Of a triangle from a over m to b the part below x <= m is (x - a)^2 / ((b - a) (m - a)), that above x >= m is (b - x)^2 / ((b - a) (b - m)).
@pytest.mark.parametrize(
    ("price", "chance", "more", "call"),
    [
        (triangle(1000, 2000, 4000), 1 - 760**2 / (3000 * 1000), -4.0, "build"),  # 0.81
        (triangle(1000, 1300, 2000), 240**2 / (1000 * 700), 23 / 3, "other"),  # 0.08
        (triangle(1000, 1700, 2600), 840**2 / (1600 * 900), 1.0, "too close to call"),  # 0.49
        (triangle(1000, 1700, 4000), 2240**2 / (3000 * 2300), 1.0, "build"),  # 0.73, though it is dearer by the likely figures
        (triangle(200, 1800, 1900), 1 - 1560**2 / (1700 * 1600), -2 / 3, "other"),  # 0.11, though it is cheaper by the likely figures
    ],
)
def test_each_call_by_a_chance_by_hand(tmp_path, price, chance, more, call):
    side = judged(tmp_path, against(price)).whole
    found, error = side.chance
    assert found == pytest.approx(chance, abs=max(4 * error, 1e-3)) and 0 <= error < 0.01
    # The build costs 1760, over 60 months.
    assert side.more == pytest.approx(more) and (side.call, side.rival.name, side.years) == (call, "another car", 5)


@pytest.mark.parametrize(("price", "call"), [(2000, "build"), (1760, "too close to call"), (1731, "too close to call"), (1729, "other"), (1789, "too close to call"), (1791, "build"), (1500, "other")])
def test_without_ranges_the_likely_figures_decide(tmp_path, price, call):
    side = judged(tmp_path, against(price)).whole
    assert (side.call, side.chance, side.doubts, price_of_joy_chance(side)) == (call, None, None, None)


def test_a_call_is_close_at_both_its_limits(tmp_path):
    side = judged(tmp_path, against(triangle(1000, 2000, 4000))).whole
    for chance, call in ((CLOSE[0], "too close to call"), (CLOSE[1], "too close to call"), (CLOSE[1] + 1e-9, "build"), (CLOSE[0] - 1e-9, "other")):
        side.doubts.chances.__dict__["cheaper"] = (np.full(21, chance), np.zeros(21))
        assert side.call == call


def test_the_band_of_the_price_of_joy_by_hand(tmp_path):
    # Prices that a tenth, half and nine tenths stay below: 1000 + sqrt(.1 x 3000 x 1000), 4000 - sqrt(.5 x 3000 x 2000), 4000 - sqrt(.1 x 3000 x 2000); dear ones are low ends.
    prices = (4000 - np.sqrt(0.1 * 3000 * 2000), 4000 - np.sqrt(0.5 * 3000 * 2000), 1000 + np.sqrt(0.1 * 3000 * 1000))
    side = judged(tmp_path, against(triangle(1000, 2000, 4000))).whole
    assert price_of_joy_chance(side) == pytest.approx([(1760 - price) / 60 for price in prices], abs=0.05)


def test_nothing_else_that_passes_leaves_the_build_alone(tmp_path):
    for toml in (against(triangle(1000, 2000, 4000), seats=("seats = 4", "seats = 1")), ALONE):
        side = judged(tmp_path, toml).whole
        assert (side.call, side.rival, side.chance, side.doubts, side.turnings, side.changes) == ("alone", None, None, None, {}, ())
        assert np.isnan(side.more) and price_of_joy_chance(side) is None


def test_a_build_that_fails_is_judged_and_told(tmp_path):
    found = judged(tmp_path, against(2000, seats=("seats = 2\n\n# what", "seats = 1\n\n# what")))
    assert [gate.reason for gate in found.build_fails] == ["seats: 1, needs at least 2"] and found.whole.call == "build"
    assert judged(tmp_path, against(2000)).build_fails == []


@pytest.mark.parametrize(("stage", "view"), [("planned", "whole"), ("in progress", "today"), ("finished", "today")])
def test_what_is_only_planned_is_decided_with_all_its_money_and_all_else_from_today(tmp_path, stage, view):
    found = judged(tmp_path, against(2000, stage=('"planned"', f'"{stage}"')))
    assert found.forward is getattr(found, view) and found.forward.comparison.view == {"whole": "whole story", "today": "from today"}[view]


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_demo_s_verdict_is_that_of_its_comparison_and_its_draws(name):
    found = verdict_of(demo(name))
    for side in (found.whole, found.today):
        month = side.comparison.month(side.years)
        assert side.more == price_of_joy(side.comparison)[month]
        assert side.chance[0] == np.mean(side.doubts.chances.more[side.years] < 0)
        low, middle, high = price_of_joy_chance(side)
        assert low < middle < high
        assert list(side.turnings)[0] == "years_kept" and side.turnings["years_kept"].now == side.years
        parts = [abs(one.share_of_range) for one in side.changes]
        assert parts == sorted(parts) and all(one.cheaper_now == ("first" if side.more < 0 else "second") for one in side.turnings.values())
        assert side.turnings["years_kept"].found.at == side.comparison.against_cheapest().at


def test_a_turned_number_reaches_both_views(tmp_path):
    found = judged(tmp_path, against(2000), years_kept=3)
    # 240 less over 36 months.
    assert (found.whole.years, found.today.years) == (3, 3) and found.whole.more == pytest.approx(-240 / 36)


def test_what_is_not_known_is_the_owner_s_or_the_market_s():
    van = demo("van")
    own = not_known(van, ladder(van))
    asked = changed(van, chances=van.file.chances.model_copy(update={"value_from": "market"}))
    market, price = not_known(asked, ladder(asked)), worth(asked).of_state("finished", level=0.8)
    assert [one.id for one in market.inputs] == [one.id for one in own.inputs]
    assert (market.quantiles["value.finished"](0.1), market.quantiles["value.finished"](0.9)) == (pytest.approx(price.low), pytest.approx(price.high))
    assert own.quantiles["value.finished"](0.1) != pytest.approx(price.low, rel=1e-3)


def test_the_bare_build_is_what_its_lines_say(tmp_path):
    assert float(ladder(judged(tmp_path, BARE).project)["stands_in_at"]) == 1760
