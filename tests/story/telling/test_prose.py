"""The owner's words: figures come from names, never from fingers."""

import pytest
from demos import demo

from buildecon.story.telling.blocks import Heading, Points, Says
from buildecon.story.telling.figures import MONEY, Figure, figures
from buildecon.story.telling.prose import prose, prose_faults
from buildecon.story.telling.told import Told

OURS = {id: Figure(id, id, value, f"{value:,.0f} USD", MONEY) for id, value in (("stands_in_at", 57820.0), ("worth", 24500.0))}


def faults(text):
    return [str(fault) for fault in prose_faults(text, OURS, "USD")]


def test_a_name_in_braces_becomes_its_figure_and_what_is_before_the_first_heading_opens():
    found = prose("It took {stands_in_at}.\nAll of it.\n\n# Why\n- one,\n  still one\n- {worth}\n\nLast.", OURS)
    assert found.opening == (Says(("It took 57,820 USD. All of it.",)),)
    assert found.sections == (Heading("Why"), Points(("one,\nstill one", "24,500 USD")), Says(("Last.",)))


def test_a_name_that_is_none_is_told_with_its_line_and_the_nearest():
    assert faults("a\nb {stand_in_at}") == ["story.md line 2: {stand_in_at} is not a known name. Did you mean 'stands_in_at'?"]


@pytest.mark.parametrize("typed", ["57,820 USD", "USD 57,820", "$57,820", "57820", "57,820", "57819.60"])
def test_a_typed_figure_of_ours_is_refused_with_its_name(typed):
    [said] = faults(f"it cost {typed} all in")
    assert said == f"story.md line 1: must hold no typed figure, got '{typed}'. Write {{stands_in_at}}, so that it follows the files."


@pytest.mark.parametrize("typed", ["58k", "57.9 k", "57900", "57,500", "58 thousand"])
def test_one_rounded_from_memory_is_told_which_it_may_be(typed):
    [said] = faults(f"it cost {typed} all in")
    assert said.endswith(f"got '{typed}'. Write {{stands_in_at}} if it is meant, so that it follows the files, or {{as typed: {typed}}} where it is not this build's own.")


@pytest.mark.parametrize("typed", ["$500", "45 USD", "1,234", "450.50 €"])
def test_a_typed_figure_that_is_not_ours_may_stand_once_it_is_said_to_be_typed(typed):
    [said] = faults(f"he asked {typed} for it")
    assert f"or {{as typed: {typed}}} where it is not this build's own." in said
    assert not faults(f"he asked {{as typed: {typed}}} for it")
    assert prose(f"he asked {{as typed: {typed}}}", OURS).opening == (Says((f"he asked {typed}",)),)


@pytest.mark.parametrize("text", ["a 1600 of 1983", "OP30, 3.0 L", "15 minutes", "room 101", "{worth}", "12 of 24"])
def test_years_models_and_small_numbers_are_nobody_s_money(text):
    assert faults(text) == []


@pytest.mark.parametrize(("line", "told"), [
    ("see [my page](https://a.invalid)", "got a link, '[my page](https://a.invalid)'. Write the address as text."),
    ("<https://a.invalid>", "got a link, '<https://a.invalid>'. Write the address as text."),
    ("[1]: https://a.invalid", "got a link, '[1]: https://a.invalid'. Write the address as text."),
    ("![the sills](sills.jpg) and [a link](b)", "got a picture, '![the sills](sills.jpg)'. Take it out; the pictures are made from the figures."),
    ("| part | price |", "got a table, '| part | price |'. Write its rows as a list."),
    ("--- | ---", "got a table, '--- | ---'. Write its rows as a list."),
    ("> he said so", "got a quote, '> he said so'. Write it as a paragraph, with quotation marks."),
    ("the `buildecon` command", "got code, '`buildecon`'. Write it as plain text."),
    ("```", "got code, '```'. Write it as plain text."),
    ("it was **{worth}** then", "got bold or slanted text, '**{worth}**'. Write it without the signs around it."),
    ("- I *really* mean it", "got bold or slanted text, '*really*'. Write it without the signs around it."),
    ("__all of it__", "got bold or slanted text, '__all of it__'. Write it without the signs around it."),
    ("* one", "got a list with another sign, '* one'. Begin its lines with '- '."),
])  # fmt: skip
def test_what_is_no_paragraph_list_or_heading_is_told_once_a_line_with_its_cure(line, told):
    assert faults(f"fine\n{line}") == [f"story.md line 2: must be paragraphs, lists and headings, {told}"]


@pytest.mark.parametrize("text", ["2*3*4 and 5 * 6 * 7", "snake_case_word and _ alone", "https://a.invalid/b_c_d", "f(x) [sic], a | b", "- - a", "5 > 4 <b>", "it`s"])
def test_a_sign_inside_a_word_or_alone_is_no_mark(text):
    assert faults(text) == []


def test_what_is_in_braces_in_braces_or_never_closed_breaks_nothing():
    assert len(faults("{{worth}} {worth {} {as typed:}")) == 1
    assert prose("{{worth}}", OURS).opening == (Says(("{24,500 USD}",)),)


@pytest.mark.parametrize("name", ("van", "roadster", "pickup"))
def test_the_demos_have_words_of_their_own_and_no_fault_in_them(name):
    project = demo(name)
    assert project.story and not prose_faults(project.story, figures(Told(project)), project.currency)
