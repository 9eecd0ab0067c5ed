"""Shoeboxes of files, one for each demo: taken in, they give exactly its ledger, and each row that adds nothing to it is listed with the reason."""

import csv
import re
import shutil
import tomllib
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from demos import DATA, demo

from buildecon.cli import main
from buildecon.ledger.ladder import ladder
from buildecon.ledger.settlement import settle
from buildecon.ledger.variance import waterfall
from buildecon.project import read_project
from buildecon.project.chances import Chances
from buildecon.project.exports import suggested, table_of
from buildecon.project.forms import Source
from buildecon.project.half_way import HalfWay
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE, judged, taken
from buildecon.project.moneys import OUT

BOX = DATA / "shoebox"
DEMOS = ("van", "roadster", "pickup")
KINDS = ("orders", "notes", "money", "card")
LISTED = Path(__file__).parent / "shoebox_expected.csv"


def sources(name):
    """The mappings of a shoebox by name."""
    tables = tomllib.loads((BOX / name / "mappings.toml").read_text(encoding="utf-8"), parse_float=Decimal)["sources"]
    return {table["name"]: Source.model_validate(table) for table in tables}


def file_of(name, kind):
    return next(path for path in (BOX / name).iterdir() if path.stem == kind)


def start_of(whole):
    """The demo before anything is taken in: its build.toml and the car. An option can count on a credit, and a job or phase be made of lines, only once they are there."""
    options = tuple(option.model_copy(update={"counts_on": ()}) for option in whole.options)
    base = tuple(line for line in whole.lines if line.nature == "base car")
    events = tuple(event for event in whole.events if event.line in {line.id for line in base})
    return whole.model_copy(update={"file": whole.file.model_copy(update={"options": options, "jobs": (), "half_way": HalfWay(), "phases": (), "chances": Chances()}), "lines": base, "events": events})


def take_in(project, name):
    """The project with all four files taken in, and what became of each row by file."""
    found, mapped = {}, sources(name)
    for kind in KINDS:
        path = file_of(name, kind)
        found[path.name] = judged(project, mapped[kind], *table_of(path, mapped[kind]))
        project = taken(project, found[path.name])
    return project, found


@pytest.fixture(scope="module", params=DEMOS)
def box(request):
    whole = demo(request.param)
    after, found = take_in(start_of(whole), request.param)
    return request.param, whole, after.model_copy(update={"file": whole.file}), found


def lines_of(project):
    """Lines as they are but for their row, by id; and ranges in the owner's own words."""
    return [({name: value for name, value in line if name != "row"}, [f"{value}" for _, value in line if hasattr(value, "is_sure") and not value.is_sure])
            for line in sorted(project.lines, key=lambda line: line.id)]  # fmt: skip


def events_of(project):
    """Events as they are but for their row, in one order."""
    events = [{name: value for name, value in event if name != "row"} for event in project.events]
    return sorted(events, key=lambda event: (event["line"], str(event["date"]), event["kind"], event["amount"].likely, event["document"], event["note"]))


def test_the_files_give_exactly_the_lines_and_events_of_the_demo(box):
    _, whole, after, _ = box
    assert lines_of(after) == lines_of(whole)
    assert events_of(after) == events_of(whole)


def test_the_totals_are_those_of_the_demo_to_the_cent_and_so_are_the_causes(box):
    _, whole, after, _ = box
    assert ladder(after).rungs == ladder(whole).rungs
    here, there = waterfall(settle(after)), waterfall(settle(whole))
    assert (here.planned, here.actual) == (there.planned, there.actual)
    assert [(step.cause, step.amount, sorted(step.lines)) for step in here.steps] == [(step.cause, step.amount, sorted(step.lines)) for step in there.steps]


def test_every_row_that_adds_nothing_is_in_the_list_with_its_reason_and_no_other_row_is(box):
    name, _, _, found = box
    with LISTED.open(encoding="utf-8", newline="") as file:
        listed = {(row["file"], int(row["row"])): row for row in csv.DictReader(file) if row["demo"] == name}
    told = {(file, each.row): each for file, rows in found.items() for each in rows if each.verdict != ACCEPTED}
    assert told.keys() == listed.keys()
    wrong = [each for key, each in told.items() if each.verdict != listed[key]["verdict"] or listed[key]["reason"] not in each.reason]
    assert not wrong and all(row["reason"] for row in listed.values())


def test_no_row_of_a_file_is_left_without_a_verdict(box):
    name, _, _, found = box
    for kind in KINDS:
        path, source = file_of(name, kind), sources(name)[kind]
        filled = [row for row, cells in table_of(path, source)[1] if any(cell.strip() for cell in cells)]
        assert [each.row for each in found[path.name]] == filled


def test_the_card_speaks_for_all_dated_money_but_cash_and_adds_none(box):
    _, whole, _, found = box
    counts = Counter(each.verdict for each in found["card.csv"])
    assert counts[ACCEPTED] == 0 and counts[THERE] > 40 and counts[ASKED] >= 10 and counts[REJECTED] >= 6
    moved = [event for event in whole.events if event.date and "cash" not in event.document and "lost" not in event.kind]
    assert sum(each.reason.startswith(f"It is the {event.kind} of {event.line},") for event in moved for each in found["card.csv"]) >= len(moved)
    assert sum(each.reason.startswith("It is the ") for each in found["card.csv"] if each.verdict == THERE) == len(moved)
    paid = sum(line.paid.likely for line in whole.lines if line.paid and line.date and line.nature != "base car")
    by_events = sum((1 if event.kind in OUT else -1) * event.amount.likely * (event.rate.likely if event.rate else 1) for event in moved)
    assert -sum(Decimal(each.cells["paid"]) for each in found["card.csv"] if each.verdict == THERE) == paid + by_events


def test_all_files_again_change_nothing(box):
    name, _, after, first = box
    once_more, again = take_in(after, name)
    assert lines_of(once_more) == lines_of(after) and events_of(once_more) == events_of(after)
    for file, rows in again.items():
        assert {each.verdict for each, before in zip(rows, first[file], strict=True) if before.verdict == ACCEPTED} <= {THERE}
        assert ACCEPTED not in {each.verdict for each in rows}


def test_a_week_charged_twice_is_kept_twice():
    _, found = take_in(start_of(demo("van")), "van")
    twins = [each for each in found["money.csv"] if "kept as a second one" in each.reason]
    assert [(each.verdict, each.event.line, str(each.event.date)) for each in twins] == [(ACCEPTED, "v066", "2026-04-06")]


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("kind", ["orders", "card"])
def test_a_first_look_at_a_file_sees_how_it_is_written(name, kind):
    mapped = sources(name)[kind]
    seen = suggested(file_of(name, kind), kind)
    form = ("decimal", "date_order", "encoding", "separator", "skip", "spent", "holds")
    assert [getattr(seen, key) for key in form] == [getattr(mapped, key) for key in form]
    assert seen.columns.items() <= mapped.columns.items() and (kind == "orders" or seen.columns == mapped.columns)


def test_the_start_folder_reads_the_files_as_the_mappings_do():
    start = read_project(BOX / "van" / "start")
    assert {source.name: source for source in start.file.sources} == sources("van")
    assert [line.id for line in start.lines] == ["v001"] and not start.events


def test_the_commands_of_the_readme_take_the_van_in_from_its_start_folder(tmp_path, capsys, monkeypatch):
    commands = re.findall(r"^buildecon (.*)$", (DATA / "README.md").read_text(encoding="utf-8").partition("## Shoeboxes")[2], re.MULTILINE)
    assert [command.split()[0] for command in commands] == ["import"] * len(KINDS) + ["cost"]
    (tmp_path / "data-demo").symlink_to(DATA)
    monkeypatch.chdir(tmp_path)
    shutil.copytree(BOX / "van" / "start", "my-van")
    for command in commands:
        assert main(command.split()) == 0, capsys.readouterr().err
    assert "row 44: v072, grant, 3000.00." in capsys.readouterr().out
    after, whole = read_project("my-van"), demo("van")
    assert lines_of(after) == lines_of(whole) and events_of(after) == events_of(whole)
    assert [rung.amount for rung in ladder(after).rungs] == [rung.amount for rung in ladder(whole).rungs]
    files = {path.name: path.read_bytes() for path in Path("my-van").iterdir() if path.is_file()}
    capsys.readouterr()
    for kind in KINDS:
        assert main(["import", "my-van", str(file_of("van", kind)), "--source", kind, "--save"]) == 0
        assert " 0 accepted," in capsys.readouterr().out
    assert {path.name: path.read_bytes() for path in Path("my-van").iterdir() if path.is_file()} == files
