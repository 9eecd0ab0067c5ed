"""The page of the write-up: every form to look at, and publishing by a button."""

import html
import importlib.util
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest
from demos import DATA

from buildecon.story.telling.preview import FORMS


def run(home, **chosen):
    path = Path(__file__).parents[1] / "notebooks" / "tell_the_story.py"
    spec = importlib.util.spec_from_file_location(path.stem, path)
    page = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(page)
    defs = {"picked": SimpleNamespace(value=str(home)), "folders": {}} | {key: SimpleNamespace(value=value) for key, value in chosen.items()}
    outputs, defs = page.app.run(defs=defs)
    return " ".join(output.text for output in outputs if hasattr(output, "text")), defs


@pytest.mark.parametrize(("form", "holds"), list(zip(FORMS, ("srcdoc=", "frame wide", "frame tall", "about fifty-eight thousand dollars", "the build book", "{stands_in_at}"), strict=True)))
def test_every_form_can_be_looked_at(form, holds):
    page, defs = run(DATA / "pickup", form=form, prices=False)
    assert holds in page and "Ready: 57,820 USD" in page and "<script>" not in page
    assert html.unescape(page).count("Given or discounted parts in the quoted total") >= 1
    assert defs["written"].version == 1


def test_the_button_publishes_and_says_where(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    page, _ = run(tmp_path / "mine", form="spoken script", prices=False, folder=str(tmp_path / "out"), go=True)
    assert f"files in {tmp_path / 'out'}. Open article.html there." in page
    assert (tmp_path / "out" / "article.html").is_file() and (tmp_path / "mine" / "published.csv").is_file()
    assert "version 1" in run(tmp_path / "mine", form="spoken script", prices=False)[0]


def test_what_keeps_it_back_is_told_and_the_folder_too(tmp_path):
    shutil.copytree(DATA / "roadster", tmp_path / "mine")
    page, _ = run(tmp_path / "mine", form="spoken script", prices=False, folder=str(tmp_path / "mine" / "out"), go=True)
    assert "Nothing was published." in page and "outside the project folder" in page
    assert "Write a folder to publish to." in run(tmp_path / "mine", form="spoken script", prices=False, folder="  ", go=True)[0]
    (tmp_path / "mine" / "story.md").write_text("It cost 8,480 GBP.")
    page, _ = run(tmp_path / "mine", form="spoken script", prices=False)
    assert "Not to be published yet" in page and "Write {stands_in_at}" in html.unescape(page) and 'data-disabled="true"' in page.replace("'", '"')
