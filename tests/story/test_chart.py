"""The break-even chart: nothing touches, nothing is drawn along the frame, and the drawing is valid."""

import hypothesis.strategies as st
import numpy as np
import pytest
from demos import changed, demo
from hypothesis import given, settings

from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, compare
from buildecon.quantities.estimate import sure
from buildecon.story import drawings
from buildecon.story.charts.break_even_chart import break_even_chart
from buildecon.story.tables import PLOT_HEIGHT, break_even_frames, spread
from buildecon.story.theme import DARK, LIGHT, PAGE


@pytest.mark.parametrize("view", [WHOLE_STORY, FROM_TODAY])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_rows_are_the_engine_s_and_stay_inside_the_frame(name, view):
    comparison = compare(demo(name), view=view)
    frames = break_even_frames(comparison)
    names = [option.name for option in comparison.options]
    for row in frames["curves"]:
        assert frames["bottom"] <= row["per_month"] <= frames["top"]
        if frames["bottom"] < row["per_month"] < frames["top"]:
            expected = np.interp(row["years"], comparison.years[1:], comparison.per_month[names.index(row["option"]), 1:])
            assert row["per_month"] == pytest.approx(expected, abs=frames["top"] * 0.002)
    for option in names:
        edge = [row for row in frames["curves"] if row["option"] == option and row["per_month"] in (frames["top"], frames["bottom"])]
        assert len(edge) <= 2
    assert len(frames["ends"]) == len(names)


def test_a_curve_begins_when_its_option_is_there_to_be_kept():
    pickup = demo("pickup")
    options = tuple(one.model_copy(update={"build_months": sure(30)}) if one.id == pickup.file.build.quoted_option else one for one in pickup.options)
    comparison = compare(changed(pickup, options=options))
    begins = {option.name: min(row["years"] for row in break_even_frames(comparison)["curves"] if row["option"] == option.name) for option in comparison.options}
    assert begins[comparison.options[comparison.build].name] >= 2.5
    assert min(begins.values()) < 1.5


@pytest.mark.parametrize("palette", [LIGHT, DARK, PAGE])
def test_the_drawing_is_valid_and_names_its_units(palette):
    spec = break_even_chart(break_even_frames(compare(demo("van"))), "EUR a month, today's money", palette).to_dict()
    assert spec["title"] == "EUR a month, today's money"
    assert any(layer.get("encoding", {}).get("x", {}).get("title") == "years kept" for layer in spec["layer"])
    assert spec["usermeta"]["embedOptions"] == {"renderer": "svg", "actions": False}


@pytest.mark.parametrize("name", drawings.NO_ROWS)
def test_the_drawing_kept_for_the_page_is_what_the_chart_draws(name):
    kept, drawn = ({part: spec[part] for part in spec if part != "$schema"} for spec in (drawings.live(name).spec, drawings.drawn(name)))
    assert kept == drawn


def test_every_chart_is_kept_for_the_page():
    assert {path.stem.removesuffix("_chart") for path in drawings.CHARTS.glob("*_chart.py")} == set(drawings.NO_ROWS)


def test_a_live_chart_sends_new_rows_in_the_same_drawing():
    live = drawings.live("break_even")
    frames = break_even_frames(compare(demo("van")))
    shown = live.showing(frames, "EUR a month", "what it says").spec
    assert shown["datasets"]["curves"] == frames["curves"]
    assert {param["name"]: param["value"] for param in shown["params"]} == {name: frames[name] for name in ("top", "bottom", "late")}
    assert shown["layer"] == live.spec["layer"] and shown["description"] == "what it says"


def luminance(colour):
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_words_have_the_contrast_that_wcag_asks_for(palette):
    # W3C, Web Content Accessibility Guidelines 2.2, 1.4.3 and 1.4.11: 4.5 to 1 for text, 3 to 1 for lines.
    for role in palette:
        lighter, darker = sorted((luminance(palette[role]), luminance(palette["ground"])), reverse=True)
        ratio = (lighter + 0.05) / (darker + 0.05)
        assert role in ("ground", "hair") or ratio >= (3 if role == "stone" else 4.5), (role, ratio)


@settings(deadline=None, derandomize=True)
@given(st.lists(st.floats(0, 1000), min_size=1, max_size=8))
def test_labels_never_touch_and_keep_their_order(values):
    heights = np.full(len(values), 32.0)
    places = np.array(spread(np.array(values), heights, 0.0, 1000.0))
    pixels = np.sort(places) * PLOT_HEIGHT / 1000
    assert np.all(np.diff(pixels) >= 32 - 0.5)
    by_value = places[np.argsort(np.array(values), kind="stable")]
    assert len(set(values)) < len(values) or np.all(np.diff(by_value) > 0)
