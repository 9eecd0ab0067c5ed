"""The verbs: the promised objects, the plain answer first, and quiet imports."""

import json
import re
import subprocess
import sys

import pytest
from demos import DATA

from buildecon.cli import main

VAN = str(DATA / "van")


def run(capsys, *typed):
    assert main(list(typed)) == 0
    return capsys.readouterr().out


def document(capsys, *typed):
    return json.loads(run(capsys, *typed, "--json"))


def test_cost_gives_rungs_systems_and_what_is_owed(capsys):
    found = document(capsys, "cost", VAN)
    assert found["format"] == "buildecon.cost/1"
    assert (found["currency"], found["as_of"]) == ("EUR", "2026-06-30")
    assert [(rung["id"], rung["amount"]) for rung in found["rungs"]][7] == ("stands_in_at", 23035.0)
    assert all({"id", "label", "amount", "includes"} <= set(rung) for rung in found["rungs"]) and len(found["rungs"]) == 12
    assert all({"name", "lines", "planned", "actual"} <= set(system) for system in found["systems"])
    assert sum(system["actual"] for system in found["systems"]) == 23035.0
    assert [(one["line"], one["item"], one["amount"], one["due"], one["days"]) for one in found["owed"]] == [("v072", "conversion grant", 3000.0, "2026-11-30", 153)]


def test_cost_writes_a_sheet_and_never_over_a_file(capsys, tmp_path):
    sheet = tmp_path / "cost.xlsx"
    assert run(capsys, "cost", VAN, "--sheet", str(sheet)) == run(capsys, "cost", VAN).rstrip("\n") + f"\n\nThe sheet is in {sheet}.\n"
    written = sheet.read_bytes()
    assert written[:2] == b"PK" and [path.name for path in tmp_path.iterdir()] == ["cost.xlsx"]
    assert document(capsys, "cost", VAN, "--sheet", str(tmp_path / "two.xlsx"))["sheet"] == str(tmp_path / "two.xlsx")
    assert "sheet" not in document(capsys, "cost", VAN)
    for name, told in (("cost.xlsx", "is there already"), ("none/cost.xlsx", "Make that folder first"), ("cost.csv", "ends in .xlsx")):
        assert main(["cost", VAN, "--sheet", str(tmp_path / name)]) == 2
        out, err = capsys.readouterr()
        assert out == "" and told in err and err.endswith("1 fault. Nothing was changed.\n")
    assert sheet.read_bytes() == written and {path.name for path in tmp_path.iterdir()} == {"cost.xlsx", "two.xlsx"}


def test_keep_gives_every_option_by_years_kept(capsys):
    found = document(capsys, "keep", VAN, "--years", "3,6,9", "--discount-rate", "0")
    assert found["view"] == "whole story"
    by_name = {option["name"]: option for option in found["options"]}
    used = by_name["used factory e-van Brevane E33"]
    assert not used["passes"] and used["fails"][0]["must_have"] == "winter_range" and "87 km" in used["fails"][0]["reason"]
    assert list(used["by_years"]) == ["3", "6", "9"]
    figures = by_name["newer factory e-van Brevane E50"]["by_years"]["6"]
    assert round(figures["per_month"]) == 327 and round(100 * figures["per_distance"], 1) == 22.5
    assert figures["total"] == pytest.approx(72 * figures["per_month"], abs=0.5)
    assert by_name["build, grant paid"]["near_misses"][0]["must_have"] == "winter_range"


def test_keep_from_today_leaves_out_what_cannot_be_had(capsys):
    found = document(capsys, "keep", VAN, "--from-today", "--years", "6")
    assert found["view"] == "from today"
    assert {one["name"] for one in found["left_out"]} == {"keep diesel + zone charge", "shop conversion"}


def test_a_discount_rate_makes_the_far_end_value_count_less(capsys):
    plain, discounted = (
        document(capsys, "keep", str(DATA / "roadster"), "--years", "10", "--discount-rate", rate)["options"][0]["by_years"]["10"]["per_month"]
        for rate in ("0", "0.05")
    )
    # By hand: 8,480 in, 5,900 back after ten years, 1,274 a year in monthly parts, level over 120 months at 1.05^(1/12) - 1.
    month = 1.05 ** (1 / 12) - 1
    yearly = 2400 / 31 * 4.54609 * 1.46 + 185 + 210 + 65 + 300
    assert discounted == pytest.approx((8480 - 5900 * 1.05**-10) * month / (1 - 1.05**-10) + yearly / 12, abs=0.01)
    assert discounted > plain


def test_decide_gives_answer_break_even_and_price_of_joy(capsys):
    found = document(capsys, "decide", VAN)
    assert found["format"] == "buildecon.decide/1"
    assert found["answer"].startswith("Kept 6 years, 'build, grant paid' costs 364 EUR a month")
    diesel = next(one for one in found["break_even"] if one["against"] == "keep diesel + zone charge")
    assert [round(at, 1) for at in diesel["years"]] == [2.7]
    assert diesel["searched"] == {"from": 0.0, "to": 20.0, "unit": "years kept"}
    newer = next(one for one in found["break_even"] if one["against"] == "newer factory e-van Brevane E50")
    assert newer["years"] == [] and "throughout (searched 0 to 20 years)" in newer["verdict"]
    assert [round(found["price_of_joy"][year]["per_month"]) for year in ("3", "6", "9", "14")] == [131, 38, 14, 4]
    assert found["from_today"]["answer"].startswith("Kept 6 years from today")
    assert any("not financial, tax or legal advice" in text for text in found["cautions"])


@pytest.mark.parametrize("verb", ["check", "cost", "keep", "decide"])
@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_every_verb_answers_every_demo_in_words(capsys, verb, name):
    out = run(capsys, verb, str(DATA / name))
    first = out.split("\n\n")[0]
    assert any(char.isdigit() for char in first)
    assert not re.search(r"\bnan\b", out.lower()) and ".. " not in out.replace("...", "")
    assert max(map(len, first.splitlines())) <= 96


def test_faults_are_an_object_too(capsys, tmp_path):
    assert main(["cost", str(tmp_path), "--json"]) == 2
    out, err = capsys.readouterr()
    found = json.loads(out)
    assert found["format"] == "buildecon.faults/1"
    assert [(fault["file"], fault["line"]) for fault in found["faults"]] == [("build.toml", 0), ("lines.csv", 0)]
    assert err.endswith("2 faults. Nothing was changed.\n")


@pytest.mark.parametrize("verb", ["check", "cost", "keep", "decide"])
def test_the_same_files_give_the_same_answer_twice(capsys, verb):
    assert run(capsys, verb, VAN, "--json") == run(capsys, verb, VAN, "--json")


def test_new_makes_a_folder_that_every_verb_reads(capsys, tmp_path):
    folder = str(tmp_path / "mine")
    run(capsys, "new", folder)
    for verb in ("check", "cost", "keep", "decide"):
        run(capsys, verb, folder)
    assert main(["new", folder]) == 2


def test_asking_for_help_loads_no_library():
    code = "import sys; sys.argv=['buildecon','--help']\nfrom buildecon.cli import main\ntry: main()\nexcept SystemExit: pass\n"
    code += "heavy={'numpy','pandas','scipy','altair','pydantic','marimo'} & set(sys.modules); sys.exit(len(heavy))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize(("verb", "unneeded"), [("cost", {"pandas", "scipy", "altair", "marimo"}), ("decide", {"pandas", "altair", "marimo"})])
def test_a_verb_loads_only_the_libraries_it_needs(verb, unneeded):
    code = f"import sys\nfrom buildecon.cli import main\nmain([{verb!r}, {VAN!r}])\nsys.exit(len({unneeded!r} & set(sys.modules)))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0
