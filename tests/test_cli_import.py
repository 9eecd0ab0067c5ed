"""The verb import: it shows before it writes, writes once, and says what it wrote."""

import json
import shutil

import pytest
from demos import DATA

from buildecon.cli import main
from buildecon.project import read_project

ORDERS = "Order,Date,Item,Shop,Price\nQ1,2026-05-02,bolt kit,A Shop,4.80\nQ1,2026-05-02,bolt kit,A Shop,4.80\nQ2,2026-05-40,hose,A Shop,12.00\nQ3,2026-05-04,lamp,A Shop,<20\n"


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(DATA / "van", tmp_path / "van")
    (tmp_path / "orders.csv").write_text(ORDERS)
    return tmp_path / "van"


def files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def run(folder, *more, file="orders.csv"):
    return main(["import", str(folder), str(folder.parent / file), "--source", "shop", *more])


def test_a_new_source_is_shown_and_nothing_written(folder, capsys):
    before = files(folder)
    assert run(folder) == 0
    said = capsys.readouterr().out
    assert 'paid = "Price"' in said and "Nothing was written." in said and "taken for something bought" in said and "Not read" not in said
    assert files(folder) == before


def test_a_confirmed_mapping_is_kept_and_rows_only_with_save(folder, capsys):
    lines = (folder / "lines.csv").read_bytes()
    assert run(folder, "--confirm") == 0
    assert capsys.readouterr().out.startswith("4 rows: 2 accepted, 0 already there, 1 asked about, 1 rejected.")
    assert read_project(folder).file.sources[0].columns["paid"] == "Price"
    assert (folder / "lines.csv").read_bytes() == lines
    assert run(folder, "--save") == 0 and "Saved;" in capsys.readouterr().out
    assert [line.item for line in read_project(folder).lines[-2:]] == ["bolt kit", "bolt kit"]
    saved = files(folder)
    assert run(folder, "--save", "--json") == 0
    rows = json.loads(capsys.readouterr().out)["rows"]
    assert [row["verdict"] for row in rows] == ["already there", "already there", "rejected", "asked about"]
    assert files(folder) == saved


def test_what_cannot_be_taken_writes_nothing_not_even_the_mapping(folder, capsys):
    before = files(folder)
    assert run(folder, "--confirm", "--save", "--take", "5") == 2
    told = capsys.readouterr().err
    assert "row" in told and "<20" in told and "Nothing was changed." in told
    assert files(folder) == before


def test_an_export_without_money_or_with_other_columns_is_told(folder, capsys):
    (folder.parent / "other.csv").write_text("a,b\n1,2\n")
    assert run(folder, file="other.csv") == 2 and "an amount" in capsys.readouterr().err
    assert run(folder, "--confirm") == 0
    assert run(folder, file="other.csv") == 2 and "must have the columns of source 'shop', Item, Price, Date, Shop, Order, and has a, b. Is it another kind of file" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_a_sheet_of_the_verb_cost_maps_itself_and_every_row_is_already_there(tmp_path, capsys, name):
    folder, sheet = str(shutil.copytree(DATA / name, tmp_path / name)), str(tmp_path / "cost.xlsx")
    lines = len(read_project(folder).lines)
    assert main(["cost", folder, "--sheet", sheet]) == 0
    assert main(["import", folder, sheet, "--source", "sheet", "--confirm", "--save"]) == 0
    assert f"{lines} rows: 0 accepted, {lines} already there, 0 asked about, 0 rejected." in capsys.readouterr().out
    assert read_project(folder).file.sources[-1].columns["paid"] == "cost" and len(read_project(folder).lines) == lines
    assert main(["import", folder, sheet, "--source", "sheet", "--json"]) == 0
    assert {row["verdict"] for row in json.loads(capsys.readouterr().out)["rows"]} == {"already there"}
