"""The spreadsheet of what a build has cost: its formulas give our totals to the cent, no text turns into one, nothing private is in it, and it comes back."""

import io
import os
import shutil
import subprocess
import zipfile
from datetime import date
from decimal import Decimal

import openpyxl
import pytest
from demos import cents, demo, event, line, money, small

from buildecon.ledger.ladder import ladder
from buildecon.ledger.settlement import settle
from buildecon.ledger.variance import waterfall
from buildecon.project.exports import suggested, table_of
from buildecon.project.intake import ACCEPTED, ASKED, REJECTED, THERE, judged, taken
from buildecon.project.records import ProjectLoan
from buildecon.project.rows import Hours
from buildecon.quantities.estimate import estimate
from buildecon.story.spreadsheet import COLUMNS, cost_sheet

SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
recomputing = pytest.mark.skipif(SOFFICE is None and not os.environ.get("CI"), reason="no LibreOffice found on this machine")
DEMOS = ("van", "roadster", "pickup")
NASTY = (
    '=HYPERLINK("http://x.invalid","click")', "+1+1", "-2", "@SUM(A1)", "=1/0", "#REF!", "#N/A", "TRUE", "0012", "1e5", "2026-01-01", "'quoted", "\tTab first",
    "two\nlines", "bell\x07", "<b>&amp;</b>", "=cmd|' /C calc'!A0", "總成 🚗", "Total rebuild", "balance shaft", "engine*", "Engine", "engine", "~?", ">5", "<>",
    "x" * 5000,
)  # fmt: skip


def sheet_of(project):
    return cost_sheet(project, ladder(project))


def nasty():
    """A ledger whose items, systems and part numbers look like formulas, errors, numbers and patterns; all kinds of money among them."""
    words = [line(f"n{k:02}", paid=f"{k}.1{k % 10}", system=text, planned=money(k)) for k, text in enumerate(NASTY)]
    words = [each.model_copy(update={"item": text, "part_number": text}) for each, text in zip(words, NASTY, strict=True)]
    more = [
        line("=id", cause="rework").model_copy(update={"paid": estimate("10.01-10.02")}),  # 10.015
        line("sold", nature="credit", system="Back", planned=money(500)),
        line("given", paid=0, funding="given", street_price=money("99.99"), list_price=money("120")),
        line("bill", nature="outside work", planned=money("70.07")),
        line("range", nature="consumable").model_copy(update={"paid": estimate("150/180/200")}),
        line("old", paid=3).model_copy(update={"date": date(1899, 12, 31)}),
        line("next").model_copy(update={"to_finish": estimate("150/180/200"), "date": None}),
    ]
    events = [event("sold", "sale", "512.34"), event("bill", "payment", "80.80", day=None)]
    return small([*words, *more], events, name="=1+1", quoted_because="+because")


def long():
    systems = ("Engine", "engine", "Body*", "Body and paint")
    natures = ("part", "tool", "outside work", "consumable", "storage")
    causes = ("", "rework", "delay")
    return small(
        line(f"l{k:04}", natures[k % 5], f"{k % 997}.{k % 100:02}", causes[k % 3], systems[k % 4], planned=money(f"{k % 991}.5")) for k in range(1999)
    )


def rules():
    """A ledger with freight and a donor car laid on parts, tools by their rules, a loan, and hours that stand in the log alone."""
    lines = [
        line("engine", paid=0), line("donor", paid=1500, planned=money(1500), lay_on="engine"), line("sold", "credit", "1120.10", lay_on="engine"),
        line("a", paid=100, order="Q1", planned=money(90)), line("b", paid=200, order="Q1"), line("post", "freight and tax", "30.01", planned=money(25), lay_on="Q1"),
        line("gift", paid=0, order="Q1", funding="given", street_price=money(100), list_price=money(120)),
        line("press", "tool", 240, planned=money(200), tool_rule="less resale", tool_part=money(150)), line("vice", "tool", 35, tool_rule="needed anyway"),
    ]  # fmt: skip
    project = small(lines)
    own = project.file.own_hours.model_copy(update={"spent": None})
    loan = ProjectLoan(name="engine", amount=money(12000), rate=money("0.099"), months=36, first_payment=date(2025, 2, 15))
    hours = (Hours(system="Engine", hours=estimate("30-40")), Hours(system="Body", hours=money(20)), Hours(system="Body", hours=money(9), who="helper"))
    return project.model_copy(update={"hours": hours, "file": project.file.model_copy(update={"own_hours": own, "loans": (loan,)})})


PROJECTS = {**{name: lambda name=name: demo(name) for name in DEMOS}, "nasty": nasty, "long": long, "rules": rules}


@pytest.fixture(scope="module")
def recomputed(tmp_path_factory):
    """Every workbook as LibreOffice saves it anew, with each formula worked out by it."""
    folder = tmp_path_factory.mktemp("sheets")
    files = [folder / f"{name}.xlsx" for name in PROJECTS]
    for file in files:
        file.write_bytes(sheet_of(PROJECTS[file.stem]()))
    return saved_anew(folder, files)


def saved_anew(folder, files):
    """Where LibreOffice, with a profile of its own, has put the files once more."""
    profile, out = f"-env:UserInstallation={(folder / 'profile').as_uri()}", folder / "out"
    command = [SOFFICE, profile, "--headless", "--convert-to", "xlsx", "--outdir", out, *files]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0 and all((out / file.name).is_file() for file in files), done.stdout + done.stderr
    return out


def tables_of(path):
    """The tables of sheet `totals`, by the first word of their header."""
    tables, now = {}, None
    for cells in openpyxl.load_workbook(path, data_only=True)["totals"].iter_rows(values_only=True):
        if cells[0] is None:
            now = None
        elif now is None:
            tables[cells[0]] = now = {}
        else:
            now[cells[0]] = cells[1:]
    return tables


def rounded(*amounts):
    return tuple(Decimal(repr(float(amount))).quantize(Decimal("0.0001")) for amount in amounts)


@recomputing
@pytest.mark.parametrize("name", PROJECTS)
def test_the_formulas_give_our_totals(recomputed, name):
    totals, tables = ladder(PROJECTS[name]()), tables_of(recomputed / f"{name}.xlsx")
    rungs = tables["rung"]
    assert len(rungs) == len(totals.rungs) == 12
    for rung in totals.rungs:
        assert rounded(*rungs[rung.label][:3]) == rounded(rung.amount, rung.low, rung.high), rung.id
    for kind, groups in (("system", totals.systems), ("nature", totals.natures)):
        assert [*tables[kind]] == [*dict.fromkeys([*(group.name.replace("\x07", "\ufffd") for group in groups), "all"])]
        for group in groups:
            wanted = rounded(group.planned, group.actual, group.to_come, group.actual + group.to_come - group.planned)
            assert rounded(*tables[kind][group.name.replace("\x07", "\ufffd")][:4]) == wanted, group.name
    assert rounded(tables["system"]["all"][1]) == rounded(totals["stands_in_at"])


@recomputing
@pytest.mark.parametrize("name", PROJECTS)
def test_what_stands_beside_a_formula_is_what_it_gives(recomputed, name):
    stored, anew = (openpyxl.load_workbook(io.BytesIO(raw), data_only=True)["totals"] for raw in (sheet_of(PROJECTS[name]()), (recomputed / f"{name}.xlsx").read_bytes()))
    formulas = [cell for row in openpyxl.load_workbook(io.BytesIO(sheet_of(PROJECTS[name]())))["totals"].iter_rows() for cell in row if cell.data_type == "f"]
    assert len(formulas) > 50
    for cell in formulas:
        assert rounded(stored[cell.coordinate].value) == rounded(anew[cell.coordinate].value), cell.coordinate


def test_the_same_files_give_the_same_bytes():
    assert sheet_of(demo("pickup")) == sheet_of(demo("pickup"))


def test_a_car_got_for_nothing_is_a_sheet_of_no_money():
    book = openpyxl.load_workbook(io.BytesIO(sheet_of(small([]))), data_only=True)
    assert book["lines"].max_row == 2
    assert {cell.value for row in book["totals"].iter_rows(min_row=2, max_row=13, min_col=2, max_col=4) for cell in row} == {0}


@recomputing
@pytest.mark.parametrize("name", PROJECTS)
def test_the_causes_lead_from_the_plan_to_the_cost(recomputed, name):
    fall, rows = waterfall(ladder(PROJECTS[name]()).settled), tables_of(recomputed / f"{name}.xlsx")["from plan to actual, by cause"]
    amounts = {cause: cells[0] for cause, cells in rows.items()}
    assert rounded(amounts.pop("planned"), amounts.pop("actual")) == rounded(fall.planned, fall.actual)
    assert amounts.pop("no difference", 0) == 0
    assert {cause: rounded(amount) for cause, amount in amounts.items()} == {step.cause: rounded(step.amount) for step in fall.steps}


@recomputing
def test_own_hours_and_what_was_changed_on_the_sheet_are_worked_out_there(tmp_path):
    van = demo("van")
    own = van.file.own_hours.model_copy(update={"convention": "shop"})
    van = van.model_copy(update={"file": van.file.model_copy(update={"own_hours": own})})
    book = openpyxl.load_workbook(io.BytesIO(sheet_of(van)))
    cost = book["lines"].cell(3, [column[0] for column in COLUMNS].index("cost") + 1)
    cost.value += 1000
    book.save(tmp_path / "changed.xlsx")
    rungs = tables_of(saved_anew(tmp_path, [tmp_path / "changed.xlsx"]) / "changed.xlsx")["rung"]
    totals = ladder(van)
    assert rounded(rungs["with own hours"][0]) == rounded(totals["with_own_hours"] + 1000) == rounded(23035 + 430 * 25 + 1000)
    assert rounded(rungs["parts on the car"][0]) == rounded(totals["parts_on_car"])


def test_cells_are_typed_and_the_header_is_one_row():
    project = demo("pickup")
    book = openpyxl.load_workbook(io.BytesIO(sheet_of(project)))
    lines, totals = book["lines"], book["totals"]
    assert book.sheetnames == ["lines", "totals", "about"]
    assert [cell.value for cell in lines[1]] == [column[0] for column in COLUMNS] and all(cell.font.bold for cell in lines[1])
    assert (lines.freeze_panes, lines.auto_filter.ref, lines.max_row) == ("A2", f"A1:W{len(project.lines) + 1}", len(project.lines) + 1)
    at = {cell.value: cell.column for cell in lines[1]}
    for row, one in enumerate(settle(project), start=2):
        cost, day = lines.cell(row, at["cost"]), lines.cell(row, at["date"])
        assert cost.data_type == "n" and cost.number_format == "#,##0.00" and cents(str(cost.value)) == one.cost
        assert day.value is None if one.line.date is None else day.is_date and day.value.date() == one.line.date
    figures = [cell for row in totals.iter_rows(min_row=2, max_row=13, min_col=2, max_col=4) for cell in row]
    assert len(figures) == 36 and all(cell.data_type == "f" for cell in figures)
    assert [row[0].value for row in totals.iter_rows(max_row=13) if row[4].value == "quoted"] == ["what the car stands you in"]
    pasted = [cell.coordinate for row in totals.iter_rows(min_row=20) for cell in row[1:] if cell.data_type == "n" and cell.value is not None]
    assert pasted == []


def test_no_text_of_the_owner_is_ever_a_formula():
    project = nasty()
    book = openpyxl.load_workbook(io.BytesIO(sheet_of(project)))
    assert {cell.data_type for row in book["lines"].iter_rows() for cell in row if cell.value is not None} == {"s", "n", "d"}
    assert {cell.data_type for row in book["about"].iter_rows() for cell in row if cell.value is not None} == {"s"}
    assert {cell.data_type for row in book["totals"].iter_rows(max_col=1) for cell in row if cell.value is not None} == {"s"}
    items = [row[2] for row in book["lines"].iter_rows(min_row=3, max_row=2 + len(NASTY))]
    assert [cell.value for cell in items] == [text.replace("\x07", "\ufffd") for text in NASTY]
    assert all(cell.quotePrefix for cell in items if cell.value[0] in "=+-@")


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_private_is_in_it(name):
    project = demo(name)
    marked = project.model_copy(
        update={
            "lines": tuple(each.model_copy(update={"supplier": "PRIVATE", "order": "PRIVATE", "note": "PRIVATE"}) for each in project.lines),
            "events": tuple(each.model_copy(update={"document": "PRIVATE", "note": "PRIVATE"}) for each in project.events),
        }
    )
    with zipfile.ZipFile(io.BytesIO(sheet_of(marked))) as parts:
        assert not any(b"PRIVATE" in parts.read(part) for part in parts.namelist())
    said = "\n".join(f"{cell}" for sheet in openpyxl.load_workbook(io.BytesIO(sheet_of(project))) for row in sheet.values for cell in row if cell is not None)
    disclosed = {one.supplier for one in project.file.disclosures}
    private = {text for each in project.lines for text in (each.supplier, each.order, each.note)}
    private |= {text for each in project.events for text in (each.document, each.note)}
    telling = {text for text in private if len(text) > 8 or any(letter.isdigit() for letter in text)} - disclosed
    names = {text for each in project.lines for text in (each.item, each.part_number)}  # a note may be worded as the item is
    assert len(telling) > 50 and [text for text in telling if text in said and not any(text in name for name in names)] == []


def test_who_gave_what_and_the_cautions_are_told():
    about = "\n".join(f"{name}: {text}" for name, text in openpyxl.load_workbook(io.BytesIO(sheet_of(demo("pickup"))))["about"].values)
    told = ("Packer with a new heart", "USD", "31 August 2026", "owner's own figures", "Hollow Peak Tents", "In return: One video.", "old shell")
    assert [words for words in (*told, "not financial, tax or legal advice") if words not in about] == []


def back(project, path):
    """The workbook taken in again, as `import --source sheet` does."""
    source = suggested(path, "sheet")
    return source, judged(project, source, *table_of(path, source), {one.line.id: one.cost for one in settle(project)})


@pytest.mark.parametrize("name", PROJECTS)
def test_an_untouched_sheet_adds_nothing(name, tmp_path):
    project = PROJECTS[name]()
    (tmp_path / "sheet.xlsx").write_bytes(sheet_of(project))
    source, found = back(project, tmp_path / "sheet.xlsx")
    assert (source.columns["paid"], source.holds, source.spent) == ("cost", "purchases", "positive")
    odd = [each for each in found if each.verdict != THERE]
    assert [each.cells["item"] for each in odd] == (["bell\ufffd"] if name == "nasty" else []), odd  # what no workbook holds is asked about
    assert len(found) == len(project.lines) + len(project.file.loans) and taken(project, found) == project


@recomputing
@pytest.mark.parametrize("name", DEMOS)
def test_a_sheet_saved_by_another_program_adds_nothing(recomputed, name):
    project = demo(name)
    found = back(project, recomputed / f"{name}.xlsx")[1]
    assert {each.verdict for each in found} == {THERE} and len(found) == len(project.lines)


@pytest.mark.parametrize("name", DEMOS)
def test_what_was_changed_is_asked_about_and_what_was_added_is_taken(name, tmp_path):
    project = demo(name)
    book = openpyxl.load_workbook(io.BytesIO(sheet_of(project)))
    lines, at = book["lines"], {column[0]: k for k, column in enumerate(COLUMNS, start=1)}
    by_events = {each.line for each in project.events}
    paid = next(row for row, each in enumerate(project.lines, start=2) if each.paid is not None and each.id not in by_events)
    evented = next(row for row, each in enumerate(project.lines, start=2) if each.id in by_events and each.nature != "credit")
    sold = next(row for row, each in enumerate(project.lines, start=2) if each.nature == "credit" and each.id in by_events)
    for row in (paid, evented, sold):
        lines.cell(row, at["cost"]).value += -7 if row == sold else 7
    emptied, renamed = [row for row in range(3, lines.max_row) if row not in (paid, evented, sold) and lines.cell(row, at["planned"]).value][:2]
    lines.cell(emptied, at["planned"]).value = None
    lines.cell(renamed, at["item"]).value += ", red"
    end = lines.max_row
    alike = project.lines[paid - 2].paid.likely  # that money has a row already, so a row without a date is no second sight of it
    added = {"item": "lamp", "cost": alike}, {"id": "mine", "item": "tow bar", "cost": 210, "date": date(2026, 5, 2)}, {"item": "nothing yet", "planned": 9}
    for k, cells in enumerate(added, start=1):
        for header, value in {"system": "Extras", "nature": "part", **cells}.items():
            lines.cell(end + k, at[header]).value = value
    book.save(tmp_path / "sheet.xlsx")
    found = {each.row: each for each in back(project, tmp_path / "sheet.xlsx")[1]}
    changed = {paid: "cost", evented: "cost", sold: "cost", emptied: "planned", renamed: "item"}
    for row, column in changed.items():
        assert found[row].verdict == ASKED and f"says otherwise: {column} " in found[row].reason
        assert found[row].reason.endswith("Its own money stands in events.csv: change it there." if row in (evented, sold) else "Take it to change the line.")
    assert [found[end + k].verdict for k in (1, 2, 3)] == [ACCEPTED, ACCEPTED, REJECTED] and found[end + 3].reason == "cost: must be given, and is empty."
    assert {each.verdict for row, each in found.items() if row <= end and row not in changed} == {THERE}
    after = taken(project, list(found.values()))
    assert ladder(after)["stands_in_at"] - ladder(project)["stands_in_at"] == alike + 210
    mine = taken(project, list(found.values()), [paid, renamed])
    assert mine.lines[paid - 2].paid.likely == alike + 7 and mine.lines[renamed - 2] == project.lines[renamed - 2].model_copy(update={"item": project.lines[renamed - 2].item + ", red"})
    assert len(mine.lines) == len(after.lines) and mine.events == project.events
