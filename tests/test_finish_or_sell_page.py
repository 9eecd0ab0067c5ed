"""The page `finish_or_sell`: the engine's figures on every demo, sliders that move the answer, odd folders."""

import html
import importlib.util
from pathlib import Path
from types import SimpleNamespace

import pytest
from demos import DATA, demo

from buildecon.decision.ahead import Turned, sampled
from buildecon.decision.half_way import half_way
from buildecon.decision.inputs import unknown
from buildecon.ledger.ladder import ladder
from buildecon.story.drawings import Shown
from buildecon.story.half_way_words import finish_sentence, keep_or_switch_sentence, sunk_sentence
from buildecon.story.words import number


def page_of(folder, **defs):
    path = Path(__file__).parents[1] / "notebooks" / "finish_or_sell.py"
    spec = importlib.util.spec_from_file_location(path.stem, path)
    loaded = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(loaded)
    outputs, found = loaded.app.run(defs={"picked": SimpleNamespace(value=str(folder)), "folders": {}} | defs)
    return outputs, found, html.unescape(" ".join(output.text for output in outputs if hasattr(output, "text")))


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_page_shows_the_engine_s_figures(name):
    outputs, defs, text = page_of(DATA / name)
    project = demo(name)
    found = half_way(project, ladder(project), sample=sampled(unknown(project, ladder(project))))
    for said in (finish_sentence(found), keep_or_switch_sentence(found)):
        assert said in text
    assert text.count(sunk_sentence(found)) == 1
    for way in found.ways:
        assert way.name in text and number(way.net) in text
    [chart] = [output for output in outputs if isinstance(output, Shown)]
    assert len(chart.spec["datasets"]["ways"]) == len(found.ways) + 1
    assert ("Gates: go on" in text) == (name == "pickup")


def test_sliders_stand_where_the_files_do_and_move_the_answer():
    _, defs, _ = page_of(DATA / "pickup")
    assert {name: each["value"] for name, each in defs["ends"].items()} == {"finished": 34000, "as_is": 24500, "cost_left": 6486.67, "months": 4, "holding": 0, "years_kept": 6}
    turned = {"finished": 28000.0, "as_is": 24500.0, "cost_left": 6486.67, "months": 4.0, "holding": 0.0, "years_kept": 6}
    _, defs, text = page_of(DATA / "pickup", sliders=SimpleNamespace(value=turned))
    pickup = demo("pickup")
    totals = ladder(pickup)
    found = half_way(pickup, totals, Turned(finished=28000.0), sampled(unknown(pickup, totals)))
    assert defs["found"].ranked[0].id == found.best.id == "sell"
    assert finish_sentence(found) in text


def test_a_slider_back_where_it_was_changes_nothing():
    ends = page_of(DATA / "pickup")[1]["ends"]
    _, defs, _ = page_of(DATA / "pickup", sliders=SimpleNamespace(value={name: each["value"] for name, each in ends.items()}))
    assert defs["found"].turned == Turned()


def test_a_new_folder_has_a_page(tmp_path):
    from buildecon.project.start import start_project

    start_project(tmp_path / "new")
    outputs, defs, text = page_of(tmp_path / "new")
    assert finish_sentence(defs["found"]) in text
