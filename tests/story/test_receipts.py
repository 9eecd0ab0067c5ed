"""What the page of receipts says and does, without a browser."""

import shutil

import pytest
from demos import DATA

from buildecon.project import read_project
from buildecon.project.grid import grid_of
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE
from buildecon.story import export_form, receipts

ORDERS = "Bestellnummer;Datum;Artikel;Shop;Betrag\nQ1;02.05.2026;bolt kit;A Shop;4,80\nQ2;40.05.2026;hose;A Shop;12,00\nQ3;04.05.2026;lamp;A Shop;<20\nQ4;05.05.2026;rack;A Shop;95,00\n".encode("cp1252")
NO_COLUMNS = dict.fromkeys(export_form.ASKED_FOR, export_form.NONE)
DEFAULTS = {"holds": "purchases", "of_system": "To sort", "of_nature": "part", "of_currency": "", "at_rate": ""}


@pytest.fixture
def project(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    return read_project(tmp_path / "van")


def as_first_shown(project, raw=ORDERS):
    guess, said = export_form.first_mapping(project, export_form.NEW, "shop", "orders.csv", raw)
    assert not said
    source, columns, sheet, said = export_form.table(guess, {}, "orders.csv", raw)
    return source, columns, sheet, NO_COLUMNS | {meaning: export_form.column(source, columns, meaning) for meaning in export_form.ASKED_FOR} | DEFAULTS


def test_a_file_is_mapped_judged_and_saved_and_the_mapping_kept(project):
    source, columns, sheet, turned = as_first_shown(project)
    mapped, missing = export_form.mapping(source, columns, turned)
    found, counts = receipts.found_in(project, mapped, sheet)
    assert not missing and "4 rows:</b> 2 accepted, 0 already there, 1 asked about, 1 rejected" in counts
    assert [row["row"] for row in receipts.rows_of(found, [REJECTED])] == [3] and receipts.rows_of(found, [ASKED])[0]["why"]
    after, what_comes = receipts.with_rows(project, mapped, found, [])
    assert "Saving adds 2 lines and 0 events" in what_comes and "23,134.80 EUR, 23,035.00 EUR before" in what_comes
    assert "Saved in" in receipts.saved(after)
    again = read_project(project.folder)
    assert [line.item for line in again.lines[-2:]] == ["bolt kit", "rack"] and again.file.sources[0].columns["paid"] == "Betrag"
    assert export_form.kinds(again) == [export_form.NEW, "shop"]
    assert [each.verdict for each in receipts.found_in(again, mapped, sheet)[0]] == [THERE, REJECTED, ASKED, THERE]


def test_what_was_saved_by_another_is_not_written_over(project):
    source, columns, sheet, turned = as_first_shown(project)
    found, _ = receipts.found_in(project, export_form.mapping(source, columns, turned)[0], sheet)
    rows = grid_of(project)
    rows[1]["item"] = "weighed"
    put_right, told = receipts.edited(project, rows)
    assert "1 line changed, 0 lines new, 0 lines gone." in told
    assert "Saved in" in receipts.saved(receipts.with_rows(project, source, found, [])[0])
    assert "was changed meanwhile" in receipts.saved(put_right)
    assert read_project(project.folder).lines[1].item != "weighed"


def test_a_page_says_what_is_missing(project):
    source, columns, _, turned = as_first_shown(project)
    mapped, missing = export_form.mapping(source, columns, turned | {"paid": export_form.NONE})
    assert mapped is None and "which column holds paid" in missing
    mapped, missing = export_form.mapping(source, columns, turned | {"of_currency": "usd", "at_rate": "1,0x"})
    assert mapped is None and "rate" in missing
    assert export_form.first_mapping(project, export_form.NEW, "shop", None, None) == (None, export_form.first_mapping(project, export_form.NEW, "", None, None)[1])
    assert "orders.csv" in export_form.first_mapping(project, export_form.NEW, "shop", "orders.csv", b"a;b\n1;2\n")[1]
    assert "Nothing was saved" in receipts.saved(None)
    assert set(receipts.rows_of([], [ACCEPTED])) == {"row", "what", "why", "paid", "date", "supplier"}


def test_faults_in_the_grid_are_told_and_none_is_saved(project):
    rows = grid_of(project)
    rows[1]["paid"] = "TBC"
    put_right, told = receipts.edited(project, rows)
    assert put_right is None and "lines.csv line 3, paid: must be" in told


def test_every_changed_cell_is_listed_before_it_is_saved(project):
    rows = grid_of(project)
    assert receipts.edited(project, rows)[1].count("<li>") == 0
    first, second, gone = project.lines[1], project.lines[2], project.lines[3]  # v004, which no job names
    rows[1]["paid"] = "195"
    rows[2] |= {"supplier": "B & Co", "note": ""}
    rows.append(dict.fromkeys(rows[0], "") | {"id": "n1", "system": "Tools", "item": "vice", "nature": "tool", "paid": "35"})
    del rows[3]
    _, told = receipts.edited(project, rows)
    assert f"<li>line {first.id}, paid: {first.paid.likely} -&gt; 195</li>" in told
    assert f"<li>line {second.id}, supplier: {second.supplier or 'empty'} -&gt; B &amp; Co</li>" in told
    assert "<li>line n1, new: " in told and "paid 35" in told and f"<li>line {gone.id}, gone: " in told


def test_saving_nothing_says_that_nothing_was_written(project):
    assert receipts.saved(receipts.edited(project, grid_of(project))[0]) == "<p>Nothing has changed, so nothing was written.</p>"
    rows = grid_of(project)
    rows[1]["item"] = "weighed"
    said = receipts.saved(receipts.edited(project, rows)[0])
    assert ": lines.csv.</b> What lines.csv held before is in before/." in said
