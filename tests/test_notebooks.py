"""Every notebook: thin cells, a clean check, and a full run on each demo with figures that agree with the engine."""

import ast
import html
import importlib.util
import re
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from demos import DATA, demo
from odd_folders import ODD, folder_of

from buildecon.decision.compare import as_written, compare
from buildecon.ledger.ladder import ladder
from buildecon.story import dials, page
from buildecon.story.drawings import Shown
from buildecon.story.words import number

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.py"))
FORBIDDEN = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef, ast.Lambda, ast.For, ast.While, ast.Try, ast.BinOp, ast.AugAssign, ast.comprehension)
STATEMENTS = 8


def cells(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in tree.body if isinstance(node, ast.FunctionDef)]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_cells_are_thin_named_and_without_sums(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 200
    for cell in cells(path):
        assert cell.name != "_"
        inside = [node for statement in cell.body for node in ast.walk(statement)]
        assert not [type(node).__name__ for node in inside if isinstance(node, FORBIDDEN)], cell.name
        assert not [node for node in inside if isinstance(node, ast.Attribute) and node.attr == "state"], cell.name
        assert len(cell.body) <= STATEMENTS, cell.name
    text = path.read_text(encoding="utf-8")
    assert "altair" not in text and "import pandas" not in text


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_the_notebook_check_finds_nothing(path):
    done = subprocess.run([sys.executable, "-m", "marimo", "check", "--strict", str(path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def module(path):
    spec = importlib.util.spec_from_file_location(path.stem, path)
    loaded = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(loaded)
    return loaded


def build_or_buy():
    return module(Path(__file__).parents[1] / "notebooks" / "build_or_buy.py")


def choice(name, view="whole story"):
    return {"picked": SimpleNamespace(value=str(DATA / name)), "view": SimpleNamespace(value=view), "folders": {}}


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_build_or_buy_runs_and_shows_the_engine_s_figures(name):
    outputs, defs = build_or_buy().app.run(defs=choice(name))
    project = demo(name)
    comparison = compare(project)
    years = project.file.use.years_kept
    assert defs["shown"].per_month == pytest.approx(comparison.per_month, nan_ok=True)
    page = " ".join(output.text for output in outputs if hasattr(output, "text"))
    assert number(comparison.per_month[comparison.build, 12 * years]) in page
    assert number(ladder(project)["stands_in_at"], 2) in page


@pytest.mark.parametrize("page", ["build_or_buy", "finish_or_sell", "what_to_cut", "how_long_to_keep_it"])
@pytest.mark.parametrize("odd", ODD)
def test_a_page_of_odd_figures_is_drawn_without_a_hole(tmp_path, page, odd):
    chosen = choice("van") | {"picked": SimpleNamespace(value=folder_of(tmp_path, "van", ODD[odd]))}
    outputs, _ = module(Path(__file__).parents[1] / "notebooks" / f"{page}.py").app.run(defs={name: value for name, value in chosen.items() if name != "view" or page in ("build_or_buy", "how_long_to_keep_it")})
    tables = [output.text for output in outputs if hasattr(output, "text") and "<table" in output.text]
    assert tables and not [cell for cell in re.findall(r"<td[^>]*>([^<]*)</td>", " ".join(tables)) if cell.strip() in ("nan", "NaN", "inf", "-inf", "None")]


def test_a_moved_slider_moves_the_answer():
    van = demo("van")
    written = as_written(van, ladder(van)).model_copy(update={"years_kept": 3})
    turned = {name: getattr(written, name) for name in dials.slider_ends(van, written)}
    _, defs = build_or_buy().app.run(defs=choice("van") | {"turned": SimpleNamespace(value=turned)})
    comparison = compare(van, what_if=written)
    assert defs["whole"].what_if.years_kept == 3
    assert defs["whole"].per_month[defs["whole"].build, 36] == comparison.per_month[comparison.build, 36]


def test_the_view_from_today_reaches_chart_and_tables():
    _, defs = build_or_buy().app.run(defs=choice("pickup", "from today"))
    assert defs["shown"] is defs["today"]


def test_a_faulty_folder_is_told_on_the_page(tmp_path):
    (tmp_path / "build.toml").write_text("format = 2\n", encoding="utf-8")
    from buildecon.story.page import opened

    project, faults = opened(str(tmp_path))
    assert project is None
    assert "build.toml line 1, format: must be one of 1, got 2." in faults
    assert "lines.csv: must be there, and is missing." in faults


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_what_has_it_cost_runs_and_shows_the_ledger_s_figures(name):
    path = Path(__file__).parents[1] / "notebooks" / "what_has_it_cost.py"
    chosen = {key: value for key, value in choice(name).items() if key != "view"}
    outputs, defs = module(path).app.run(defs=chosen | {"folders": {}})
    page = " ".join(output.text for output in outputs if hasattr(output, "text"))
    for rung in defs["totals"].rungs:
        assert number(rung.amount, 2) in page
    assert "vegalite" in page


def test_every_notebook_is_opened_by_name():
    from buildecon.cli import PAGES
    from buildecon.story import page

    assert {path.stem for path in NOTEBOOKS} == set(PAGES) == set(page.PAGES)


def worth_page():
    return module(Path(__file__).parents[1] / "notebooks" / "what_is_it_worth.py")


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_what_is_it_worth_runs_and_shows_the_engine_s_figures(name):
    from buildecon.market.worth import worth
    from buildecon.story.worth_words import spread_text

    outputs, defs = worth_page().app.run(defs={"picked": SimpleNamespace(value=str(DATA / name)), "folders": {}})
    value = worth(demo(name)).value
    page = " ".join(output.text for output in outputs if hasattr(output, "text"))
    assert defs["market"].value == value
    assert spread_text(value.low, value.high) in page
    assert "vegalite" in page and [output for output in outputs if isinstance(output, Shown)]
    assert defs["stand"].stands_in.outlay == float(ladder(demo(name))["stands_in_at"])


def test_a_turned_margin_moves_the_range():
    from buildecon.market.worth import as_stated, worth

    roadster = demo("roadster")
    turned = as_stated(roadster).model_copy(update={"asking_percent": 20.0})
    sliders = turned.model_dump(exclude={"asks_are_sales", "odd_rows"})
    _, defs = worth_page().app.run(defs={"picked": SimpleNamespace(value=str(DATA / "roadster")), "folders": {}, "sliders": SimpleNamespace(value=sliders)})
    assert defs["market"].value == worth(roadster, turned).value
    assert defs["market"].value.likely < worth(roadster).value.likely


def test_a_page_without_distance_or_evidence_still_stands(tmp_path):
    from buildecon.project.start import start_project

    start_project(tmp_path / "new")
    outputs, defs = worth_page().app.run(defs={"picked": SimpleNamespace(value=str(tmp_path / "new")), "folders": {}})
    assert "nothing says what it is worth" in " ".join(output.text for output in outputs if hasattr(output, "text"))
    assert "distance" not in defs["ends"]


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_how_long_to_keep_it_runs_and_shows_the_engine_s_figures(name):
    from buildecon.decision.how_long import how_long
    from buildecon.story.how_long_words import life_sentence

    path = Path(__file__).parents[1] / "notebooks" / "how_long_to_keep_it.py"
    outputs, defs = module(path).app.run(defs={"picked": SimpleNamespace(value=str(DATA / name)), "view": SimpleNamespace(value="whole story"), "folders": {}})
    found = how_long(compare(demo(name)))
    page = " ".join(output.text for output in outputs if hasattr(output, "text"))
    assert life_sentence(defs["found"]) == life_sentence(found) and life_sentence(found) in html.unescape(page)
    assert number(float(found.comparison.per_month[found.build, 72])) in page
    assert [output for output in outputs if isinstance(output, Shown)] and "vegalite" in page
    assert ("Measured from the log" in page) == (name != "roadster")


def test_a_turned_upkeep_and_another_build_move_the_page():
    path = Path(__file__).parents[1] / "notebooks" / "how_long_to_keep_it.py"
    chosen = {"picked": SimpleNamespace(value=str(DATA / "pickup")), "view": SimpleNamespace(value="whole story"), "folders": {}}
    (shown, plain), (shown_worn, worn) = (module(path).app.run(defs=chosen | more) for more in ({}, {"chosen": SimpleNamespace(value="build-wear")}))
    page, page_worn = (" ".join(output.text for output in outputs if hasattr(output, "text")) for outputs in (shown, shown_worn))
    assert "Once it is finished, one year of the build by itself costs 444 USD" in page and "How long the cars of US fleets last" in page
    assert "What fails by chance comes to" in page_worn and "What fails by chance" not in page
    assert worn["found"].comparison.per_month[worn["found"].build, 240] > plain["found"].comparison.per_month[plain["found"].build, 240]
    _, dear = module(path).app.run(defs=chosen | {"sliders": SimpleNamespace(value={"upkeep": 4.0})})
    assert dear["found"].causes["upkeep"][12] == pytest.approx(4 * plain["found"].causes["upkeep"][12])


def test_a_slider_stands_where_the_files_do_and_can_be_typed_into_where_that_is_a_step():
    def control(**given):
        return given

    def shown(start, stop, step, value):
        return page.sliders(control, {"x": {"start": start, "stop": stop, "step": step, "value": value, "label": "x"}})["x"]

    exact, finer, off = shown(0, 43_700, 100, 9_000), shown(0, 43_700, 100, 17_460), shown(0, 13_000, 100, 6_487)
    assert (exact["step"], finer["step"], off["step"]) == (100, 20, 100)
    assert exact["include_input"] and finer["include_input"] and "include_input" not in off and off["show_value"]
    assert type(shown(1, 20, 1, 6)["step"]) is int  # or years kept would come back as 6.0
    assert shown(-10, 40, 0.5, 6.5)["include_input"] and shown(0, 25, 0.5, 8.2)["step"] == 0.1


def test_what_was_moved_stands_over_the_answer_and_is_plain_text():
    ends = {"years_kept": {"label": "Years kept", "value": 6}, "distance_a_year": {"label": "Distance a year, km", "value": 17460.0}, "energy_price": {"label": "<Energy>", "value": 1.0}}
    assert dials.what_if_text({"years_kept": 9, "distance_a_year": 17460.0, "energy_price": 1.0}, ends) == ""
    said = dials.what_if_text({"years_kept": 9, "distance_a_year": 12000.0, "energy_price": 1.25}, ends)
    assert said == "What if? Distance a year, km: 12,000 instead of 17,460; <Energy>: 1.25 instead of 1."
    shell = {"lifetime_distance": {"label": "The shell is done at, km on its clock" + dials.NEVER, "value": 534000.0}}
    assert dials.what_if_text({"lifetime_distance": 300000.0}, shell).endswith(": 300,000 instead of never.")
    assert 'class="turned"' not in page.lead_html("It costs 5.") and page.lead_html("It costs 5.", what_if=said).index("&lt;Energy&gt;") < page.lead_html("It costs 5.", what_if=said).index("It costs 5.")
