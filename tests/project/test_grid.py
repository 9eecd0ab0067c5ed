"""lines.csv as a grid: it comes back as it went, says every fault, and never saves an older copy over a newer one."""

import shutil

import pytest
from demos import DATA, demo

from buildecon.project import ProjectFaults, read_project
from buildecon.project.grid import EMPTY, LINE, from_grid, grid_of, with_blank_rows
from buildecon.project.write import write_project


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_grid_left_alone_is_the_project(name):
    project = demo(name)
    assert from_grid(project, grid_of(project)) == project
    assert [row[LINE] for row in grid_of(project)][:2] == ["2", "3"]


def test_a_cell_typed_anew_a_row_added_and_one_taken_out(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    project = read_project(tmp_path / "van")
    rows = grid_of(project)
    rows[1] |= {"paid": "about 90-110", "note": EMPTY}
    rows[2:4] = [rows[2]]  # v004, which no job names
    rows.append({name: None for name in rows[0]} | {"id": "n1", "system": "Tools", "item": "vice", "nature": "tool", "paid": "35"})
    rows.append({name: float("nan") for name in rows[0]})  # a row the page has added and nobody filled
    after = from_grid(project, rows)
    write_project(after)
    again = read_project(tmp_path / "van")
    assert again == after and len(again.lines) == len(project.lines)
    assert again.lines[1].paid.text == "about 90-110" and again.lines[-1].item == "vice"


def test_every_fault_is_told_by_line_and_column():
    project = demo("van")
    rows = grid_of(project)
    rows[0]["paid"], rows[4]["nature"], rows[5]["id"] = "TBC", "parts", rows[6]["id"]
    with pytest.raises(ProjectFaults) as told:
        from_grid(project, rows)
    said = [str(fault) for fault in told.value.faults]
    assert said[0].startswith("lines.csv line 2, paid: must be") and said[1].startswith("lines.csv line 6, nature: must be one of")
    with pytest.raises(ProjectFaults, match=r"line 8, id: must be unique"):
        from_grid(project, [row | {"paid": "2400", "nature": "base car"} if k == 0 else row | {"nature": "part"} if k == 4 else row for k, row in enumerate(rows)])


def test_an_older_copy_is_not_saved_over_a_newer_one(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    project = read_project(tmp_path / "van")
    first, second = grid_of(project), grid_of(project)
    first[1]["item"], second[1]["item"] = "weighed first", "weighed second"
    write_project(from_grid(project, first))
    with pytest.raises(ProjectFaults, match="was changed meanwhile"):
        write_project(from_grid(project, second))
    assert read_project(tmp_path / "van").lines[1].item == "weighed first"


def test_a_fault_names_the_line_that_the_grid_shows_also_below_a_note_of_three_lines(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    rows = grid_of(read_project(tmp_path / "van"))
    rows[1]["note"] = "one\ntwo\nthree"
    write_project(from_grid(read_project(tmp_path / "van"), rows))
    rows = grid_of(read_project(tmp_path / "van"))
    assert [row[LINE] for row in rows[:4]] == ["2", "3", "6", "7"]
    rows[3]["paid"] = "TBC"
    del rows[2]  # what is above it in the grid is not what is above it in the file
    with pytest.raises(ProjectFaults, match="lines.csv line 7, paid"):
        from_grid(read_project(tmp_path / "van"), rows)


def test_an_emptied_grid_is_refused():
    with pytest.raises(ProjectFaults, match="must keep at least one line"):
        from_grid(demo("van"), [{name: EMPTY for name in row} for row in grid_of(demo("van"))])


def test_a_default_that_nobody_wrote_stays_an_empty_cell(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    path = tmp_path / "van" / "lines.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",own,", ",,"), encoding="utf-8")
    project = read_project(tmp_path / "van")
    before = path.read_text(encoding="utf-8").splitlines()
    rows = grid_of(project)
    assert not any(row.get("funding") == "own" for row in rows)
    rows[1]["paid"] = "91"
    assert write_project(from_grid(project, rows)) == (("lines.csv",), ("lines.csv",))
    after = path.read_text(encoding="utf-8").splitlines()
    assert [k for k, (was, now) in enumerate(zip(before, after, strict=True)) if was != now] == [2]
    assert write_project(read_project(tmp_path / "van")) == ((), ())


def test_empty_rows_at_the_end_are_no_lines_until_they_are_filled():
    project = demo("van")
    rows = with_blank_rows(grid_of(project))
    assert len(rows) == len(project.lines) + 5 and set(rows[-1].values()) == {EMPTY}
    assert from_grid(project, rows) == project
    rows[-5] |= {"id": "n1", "system": "Tools", "item": "vice", "nature": "tool", "paid": "35"}
    assert [line.id for line in from_grid(project, rows).lines[-2:]] == [project.lines[-1].id, "n1"]
    assert with_blank_rows([]) == []
