"""Still pages: every notebook for readers as html that needs nothing, with the owner's figures and none of his private words."""

import re
import tempfile

import pytest
from demos import demo

from buildecon.decision.compare import compare
from buildecon.project import ProjectFaults
from buildecon.still import PRIVATE, still_page, still_pages
from buildecon.story.page import PAGES
from buildecon.story.words import number


@pytest.fixture(scope="module")
def van():
    return dict(still_pages(demo("van")))


def test_every_page_for_readers_is_there_and_asks_nobody_for_anything(van):
    assert set(van) == set(PAGES) - set(PRIVATE)
    for page in van.values():
        assert "<marimo" not in page and "<script" not in page and "default-src 'none'" in page
        assert not re.findall(r'(?:src|href)="(?!data:|[a-z_]+\.html")', page)
        assert "<svg" in page and "Caution" in page


def test_its_figures_are_the_engine_s(van):
    comparison = compare(demo("van"))
    assert number(comparison.per_month[comparison.build, 72]) in van["build_or_buy"]
    assert "Years kept: 6" in van["build_or_buy"]


def test_private_words_and_places_of_this_machine_are_on_none(van):
    owner = demo("van")
    private = {line.supplier for line in owner.lines if line.supplier not in owner.file.publish.name_suppliers} | {line.order for line in owner.lines}
    private |= {line.note for line in owner.lines} | {event.document for event in owner.events} | {option.note for option in owner.options}
    for text in private - {"", "supplier", "several shops"}:
        assert not [name for name, page in van.items() if text in page], text
    assert not [name for name, page in van.items() if owner.folder in page or tempfile.gettempdir() in page]


def test_the_folder_s_name_is_on_none_and_a_tick_is_a_word(van):
    assert not [name for name, page in van.items() if "Project: " in page or ": False" in page or ": True" in page]
    assert "What if asking prices were sales?: no" in van["what_is_it_worth"]


def test_a_copy_that_cannot_be_read_is_told_and_no_empty_page_comes_out():
    van = demo("van")
    broken = van.model_copy(update={"lines": (*van.lines, van.lines[0])})  # two lines of one id
    with pytest.raises(ProjectFaults, match=re.escape(van.lines[0].id)):
        next(still_pages(broken))


def test_what_the_owner_wrote_is_text_and_a_page_that_puts_out_nothing_is_still_one():
    van = demo("van")
    named = van.model_copy(update={"file": van.file.model_copy(update={"build": van.file.build.model_copy(update={"name": "<script>alert(1)</script>"})})})
    page = still_page(named, "what_to_cut", (None, object()), ("what_to_cut",))
    assert "<script" not in page and "&lt;script&gt;" in page


def test_without_the_notebooks_extra_it_is_told(monkeypatch):
    monkeypatch.setattr("buildecon.still.NOTEBOOKS", None)
    with pytest.raises(ProjectFaults, match=re.escape("must have the notebooks extra. Run: pip install '.[notebooks]' in the clone.")):
        next(still_pages(demo("van")))
