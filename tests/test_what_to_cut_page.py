"""The page of what to cut: a full run on each demo with figures that agree with the engine."""

import html
import importlib.util
from math import inf
from pathlib import Path
from types import SimpleNamespace

import pytest
from demos import DATA, demo

from buildecon.decision.trim import trimmed
from buildecon.decision.work_list import AGAIN, LEFT, menu, usual_view
from buildecon.ledger.settlement import settle
from buildecon.story.drawings import Shown
from buildecon.story.trim_words import trim_sentence


def run(name, **chosen):
    path = Path(__file__).parents[1] / "notebooks" / "what_to_cut.py"
    spec = importlib.util.spec_from_file_location(path.stem, path)
    page = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(page)
    folder = name if isinstance(name, Path) else DATA / name
    defs = {"picked": SimpleNamespace(value=str(folder)), "folders": {}} | {key: SimpleNamespace(value=value) for key, value in chosen.items()}
    outputs, defs = page.app.run(defs=defs)
    return html.unescape(" ".join(output.text for output in outputs if hasattr(output, "text"))), outputs, defs


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_what_to_cut_runs_and_shows_the_engine_s_answer(name):
    page, outputs, defs = run(name)
    project = demo(name)
    plan, settled = project.file.trim, settle(project)
    limits = (inf if limit is None else float(limit) for limit in (plan.budget, plan.hours))
    found = trimmed(menu(project, settled, usual_view(project, settled)), *limits)
    assert trim_sentence(found) in page and trim_sentence(defs["found"]) == trim_sentence(found)
    assert bool([output for output in outputs if isinstance(output, Shown)]) == (name != "roadster")  # with one job that does not pay there is nothing to draw


def test_a_turned_slider_and_another_view_move_the_answer():
    pickup = demo("pickup")
    page, _, defs = run("pickup", money=900.0, time=30.0)
    expected = trimmed(menu(pickup, settle(pickup), LEFT), 900, 30)
    assert trim_sentence(expected) in page
    assert list(defs["found"].best.chosen) == list(expected.best.chosen)
    sold, _, _ = run("pickup", view=LEFT, kept=False)
    assert "With 2,500 USD and 80 hours, to sell it: do final alignment, 293 USD" in sold
    again, _, _ = run("roadster", view=AGAIN, kept=True)
    assert "do the 5 must-dos, hood" in again and "Skip list" in again


def test_the_right_end_of_a_slider_is_no_limit():
    _, _, defs = run("van")
    assert (defs["found"].budget, defs["found"].hours) == (inf, inf)


def test_a_folder_without_jobs_still_has_a_page(tmp_path):
    from buildecon.project.start import start_project

    start_project(tmp_path / "new")
    page, outputs, _ = run(tmp_path / "new")
    assert "[[jobs]]" in page and not [output for output in outputs if isinstance(output, Shown)]
