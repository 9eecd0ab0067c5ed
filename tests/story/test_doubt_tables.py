"""Rows for what is not known: the engine's figures, inside the frame of their chart, and nothing where nothing is drawn."""

import numpy as np
import pytest
from demos import demo
from ranges import everything, project_of
from verdicts import ALONE, against, judged, verdict_of

from buildecon.decision.doubts import years_by_distance
from buildecon.story import doubt_tables as tables
from buildecon.story.charts.band_chart import band_chart
from buildecon.story.charts.map_chart import map_chart
from buildecon.story.charts.swings_chart import swings_chart
from buildecon.story.doubt_document import verdict_document
from buildecon.story.doubt_words import chance_words
from buildecon.story.input_words import input_figure
from buildecon.story.tables import joy_table, options_table
from buildecon.story.theme import DARK, LIGHT, PAGE
from buildecon.story.words import is_figure, number

PRICE = "{ low = 1000, likely = 2000, high = 4000 }"  # as in tests/decision/test_verdict.py: a chance of 81 %
DEMOS = [(name, view) for name in ("van", "roadster", "pickup") for view in ("whole", "today")]


def side_of(name, view, **turned):
    return getattr(verdict_of(demo(name), **turned), view)


def test_the_table_of_chances_by_hand(tmp_path):
    rows = tables.chances_table(judged(tmp_path, against(PRICE)).whole)
    assert [row["kept"] for row in rows] == [f"{year} year{'s' if year > 1 else ''}" for year in (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20)]
    # The same 81 % whatever the years; 24.4 less, 8.5 less and 3.5 more a month over 5 years are 12.2, 4.2 and 1.8 over 10.
    assert {(row["chance that the build is cheaper"], row["in words"]) for row in rows} == {("81%", "about four in five")}
    assert [rows[7][f"more a month, {at}"] for at in ("a tenth below", "middle", "a tenth above")] == ["-12", "-4", "2"]


@pytest.mark.parametrize(("name", "view"), DEMOS)
def test_chances_are_those_of_the_draws_and_the_years_asked_about_are_among_them(name, view):
    side = side_of(name, view, years_kept=7)
    rows, found = tables.chances_table(side), side.doubts.chances
    years = [int(row["kept"].split()[0]) for row in rows]
    assert years == sorted(set(years)) and 7 in years and max(years) <= side.comparison.project.file.use.horizon_years
    for row, year in zip(rows, years, strict=True):
        chance, error = (float(part[year]) for part in found.cheaper)
        assert (row["chance that the build is cheaper"], row["give or take"], row["in words"]) == (f"{chance:.0%}", f"{2 * error:.1%}", chance_words(chance))
        assert row["more a month, middle"] == number(np.median(found.asked.a_month(found.more, found.draws)[year]))


def test_nothing_drawn_is_nothing_to_show(tmp_path):
    for toml in (against(2000), ALONE):
        side = judged(tmp_path, toml).whole
        assert tables.chances_table(side) == [] and tables.finding_out_table(side.doubts, side.comparison.project) == []
        assert tables.swings_frames(side.doubts, side.comparison.project) == {"swings": [], "middle": []}
        frames = tables.band_frames(side)
        assert [frames[name] for name in ("band", "told", "chosen")] == [[], [], []] and frames["bottom"] < frames["top"]
    assert tables.turning_table(side) == [] and tables.map_frames(years_by_distance(side.asked), side) == {"cells": [], "here": []}


# finding_out_table


def test_what_to_find_out_by_hand(tmp_path):
    side = judged(tmp_path, against(PRICE, asks=("[chances]", '[[chances.finding_out]]\nwhat = "options.other.price"\ncosts = 20\n\n[chances]'))).whole
    # 760^3 / 9e6 = 48.8; a tenth of the triangle is below 1548, a tenth above 3225.
    assert tables.finding_out_table(side.doubts, side.comparison.project) == [
        {"what is not known": "price, another car", "worth finding out, up to": "49", "costs": "20", "how": "a firm price", "share of the spread": "100%", "eight times out of ten": "1,548 to 3,225"}
    ]


@pytest.mark.parametrize(("name", "view"), DEMOS)
def test_every_input_has_a_row_the_most_worth_first_then_the_widest(name, view):
    side = side_of(name, view)
    rows = tables.finding_out_table(side.doubts, side.comparison.project)
    assert len(rows) == len(side.doubts.inputs)
    worth = [float(row["worth finding out, up to"].replace(",", "")) for row in rows]
    nothing = [float(row["share of the spread"].rstrip("%")) for row, at in zip(rows, worth, strict=True) if not at]
    assert nothing == sorted(nothing, reverse=True) and all((row["how"] == "") == (at == 0) or at < 1 for row, at in zip(rows, worth, strict=True))


def test_what_costs_more_than_it_is_worth_stands_behind_what_is_worth_its_price(tmp_path):
    toml = against("{ low = 500, likely = 1300, high = 2500 }\npurchase_costs = { low = 0, likely = 500, high = 1000 }")
    dear = toml + '[[chances.finding_out]]\nwhat = "options.other.price"\ncosts = 9999\n'
    orders = [[row["what is not known"] for row in tables.finding_out_table(side.doubts, side.comparison.project)] for side in (judged(tmp_path, one).whole for one in (toml, dear))]
    assert orders == [["price, another car", "costs of buying another car"], ["costs of buying another car", "price, another car"]]


# turning_table


def test_what_turns_by_hand(tmp_path):
    rows = tables.turning_table(judged(tmp_path, against(PRICE)).whole)
    # 1760 against 2000; no distance, no energy, nothing in the end: nothing else turns it.
    assert rows[0] == {"this alone": "what the build has cost in all", "turns the answer at": "2,000 EUR", "now": "1,760 EUR", "searched": "0 EUR to 3,520 EUR", "cheaper now": "the build"}
    never = [row for row in rows[1:] if row["this alone"] == "years kept"]
    assert never == [{"this alone": "years kept", "turns the answer at": "never: the build is cheaper throughout", "now": "5 years", "searched": "0 years to 20 years", "cheaper now": "the build"}]


@pytest.mark.parametrize(("name", "view"), DEMOS)
def test_changes_stand_first_and_what_never_turns_names_who_is_the_cheaper(name, view):
    side = side_of(name, view)
    rows = tables.turning_table(side)
    assert len(rows) == len(side.turnings) and [row["turns the answer at"].startswith("never") for row in rows] == [False] * len(side.changes) + [True] * (len(rows) - len(side.changes))
    cheaper = "the build" if side.more < 0 else "the other"
    assert {row["cheaper now"] for row in rows} == {cheaper} and all(cheaper in row["turns the answer at"] for row in rows[len(side.changes) :])


# band_frames


@pytest.mark.parametrize(("name", "view"), DEMOS)
@pytest.mark.parametrize("years", [1, 2, 6, 20])
def test_the_band_is_the_engine_s_and_inside_its_frame(name, view, years):
    side = side_of(name, view, years_kept=years)
    frames, found = tables.band_frames(side), side.doubts.chances
    assert [row["years"] for row in frames["band"]] == list(range(2, 21))
    for row in frames["band"]:
        assert [row["low"], row["middle"], row["high"]] == pytest.approx(found.band[:, row["years"]], abs=0.05)
        assert frames["bottom"] < row["low"] <= row["middle"] <= row["high"] < frames["top"]
    assert frames["bottom"] < 0 < frames["top"]  # where neither is the cheaper
    for mark in frames["told"]:
        assert mark["shown"] == f"{found.cheaper[0][mark['years']]:.0%}" and mark["high"] == next(row["high"] for row in frames["band"] if row["years"] == mark["years"])
        assert frames["top"] - mark["high"] > 0.1 * (frames["top"] - frames["bottom"])  # there is room for the words above it
    places = [mark["years"] for mark in frames["told"]]
    assert frames["chosen"] == [{"years": years}] and (years in places) == (years > 1) and np.all(np.diff(places) > 0.06 * 20)


def test_a_short_horizon_has_a_band_from_its_first_year(tmp_path):
    side = judged(tmp_path, against(PRICE, short=("years_kept = 5", "years_kept = 2\nhorizon_years = 2"))).whole
    frames = tables.band_frames(side)
    assert [row["years"] for row in frames["band"]] == [1, 2] and [mark["years"] for mark in frames["told"]] == [2]


@pytest.mark.parametrize("price", ["{ low = 2000, likely = 2500, high = 3000 }", "{ low = 100, likely = 200, high = 300 }"])
def test_even_is_in_the_frame_of_a_band_that_is_far_from_it(tmp_path, price):
    side = judged(tmp_path, against(price, short=("years_kept = 5", "years_kept = 2\nhorizon_years = 2"))).whole
    frames = tables.band_frames(side)
    assert frames["bottom"] < 0 < frames["top"] and all((row["low"] > 60) == (side.more > 0) for row in frames["band"])


# swings_frames


def test_swings_by_hand(tmp_path):
    # What buying it costs is a bar of less than two cents a month, and is not drawn.
    side = judged(tmp_path, against(PRICE + "\npurchase_costs = { low = 0, likely = 0, high = 2 }")).whole
    assert len(side.doubts.inputs) == 2
    frames = tables.swings_frames(side.doubts, side.comparison.project)
    # The build costs (1760 - price) / 60 more: 3.5 at 1548, 24.4 less at 3225, 8.5 less at the median, 2268. The low end of the price is at the right.
    assert frames == {
        "swings": [{"label": "price, another car", "low": -24.4, "high": 3.5, "at_low": "3,225", "at_high": "1,548", "flips": "turns the answer"}],
        "middle": [{"middle": -8.5, "shown": "-8 with all in the middle"}],
    }


@pytest.mark.parametrize(("name", "view"), DEMOS)
def test_swings_are_the_widest_first_with_the_figures_at_their_own_ends(name, view):
    side = side_of(name, view)
    found, project = side.doubts, side.comparison.project
    rows = tables.swings_frames(found, project)["swings"]
    widths = [row["high"] - row["low"] for row in rows]
    assert 0 < len(rows) <= tables.MOST and all(near >= far - 0.2 for near, far in zip(widths, widths[1:], strict=False))
    for row, k in zip(rows, (k for k in found.swings.widest_first if abs(found.swings.high[k] - found.swings.low[k]) >= 0.05), strict=False):
        ends = {round(float(found.swings.low[k]), 1): 0.1, round(float(found.swings.high[k]), 1): 0.9}
        for at in ("low", "high"):
            assert row[f"at_{at}"] == input_figure(found.inputs[k], float(found.chances.asked.unknown.quantiles[found.inputs[k].id](ends[row[at]])), project)
        assert row["low"] <= round(found.swings.middle, 1) <= row["high"] or found.inputs[k].estimate.likely in (found.inputs[k].estimate.low, found.inputs[k].estimate.high)
        assert (row["flips"] != "") == (row["low"] < 0 < row["high"])


def test_a_project_full_of_ranges_draws_the_widest_dozen(tmp_path):
    side = verdict_of(project_of(tmp_path, everything())).whole
    rows = tables.swings_frames(side.doubts, side.comparison.project)["swings"]
    assert len(rows) == tables.MOST and len({row["label"] for row in rows}) == tables.MOST


# map_frames


@pytest.mark.parametrize(("name", "view"), DEMOS)
def test_tiles_of_the_map_lie_side_by_side_and_say_who_is_the_cheaper_there(name, view):
    side = side_of(name, view)
    found = years_by_distance(side.asked)
    frames = tables.map_frames(found, side)
    cells = {(cell["years"], round(cell["above"], 6)): cell for cell in frames["cells"]}
    assert len(cells) == found.difference.size
    step = found.ys[1] - found.ys[0]
    for j in (0, 7, 24):
        for i in (0, 5, 19):
            cell = cells[(found.xs[i] - 0.5, round(found.ys[j] + step / 2, 6))]
            assert cell["until"] == found.xs[i] + 0.5 and cell["distance"] == pytest.approx(max(found.ys[j] - step / 2, 0))
            assert cell["cheaper"] == ("the build" if found.difference[j, i] < 0 else "the other")
            assert cell["more"] == pytest.approx(found.difference[j, i] / 12 / found.xs[i], abs=0.05)
    (here,) = frames["here"]
    assert (here["years"], here["distance"]) == (side.years, side.comparison.what_if.distance_a_year)
    assert 0.5 <= here["years"] <= 20.5 and 0 <= here["distance"] <= max(cell["above"] for cell in frames["cells"])
    # Where one stands it says what the verdict says; the tile of that place is within half a step of it.
    [mine] = [cell for cell in frames["cells"] if cell["years"] < here["years"] < cell["until"] and cell["distance"] <= here["distance"] < cell["above"]]
    assert mine["cheaper"] == ("the build" if side.more < 0 else "the other")


# the drawings


@pytest.mark.parametrize("palette", [LIGHT, DARK, PAGE])
def test_the_drawings_are_valid_and_carry_their_heading(palette):
    side = side_of("pickup", "whole")
    for chart, frames in (
        (band_chart, tables.band_frames(side)), (swings_chart, tables.swings_frames(side.doubts, side.comparison.project)), (map_chart, tables.map_frames(years_by_distance(side.asked), side)),
    ):  # fmt: skip
        spec = chart(frames, "USD a month", palette).to_dict()
        assert spec["title"] == "USD a month" and all(spec["datasets"][name] == rows for name, rows in frames.items() if isinstance(rows, list))


def test_headings_carry_currency_unit_and_view():
    pickup = demo("pickup")
    assert tables.band_heading(pickup, "from today") == "USD a month more, from today; %: chance to be cheaper"
    assert tables.swings_heading(pickup, "whole story") == "USD a month the build costs more, whole story"
    assert tables.map_heading(pickup) == "mi a year, by years kept"


def test_nothing_is_told_of_years_before_a_build_is_done(tmp_path):
    side = judged(tmp_path, against(PRICE, months=('kind = "build"', 'kind = "build"\nbuild_months = 30'))).whole
    assert side.comparison.first_year == 3
    assert tables.chances_table(side)[0]["kept"] == "3 years" and tables.band_frames(side)["band"][0]["years"] == 3
    assert min(cell["years"] for cell in tables.map_frames(years_by_distance(side.asked), side)["cells"]) == 2.5
    given = verdict_document(judged(tmp_path, against(PRICE, months=('kind = "build"', 'kind = "build"\nbuild_months = 30'))))
    assert list(given["whole_story"]["chances"]["by_years"])[0] == "3"
    assert list(joy_table(side.comparison)[0])[1] == "3 years"
    assert sorted(row["2 years"] == "not done" for row in options_table(side.comparison, (2, 3))) == [False, True] and is_figure("not done")
