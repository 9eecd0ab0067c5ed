"""The verb `trim`: what it promises, and what it refuses."""

import json

import pytest
from demos import DATA

from buildecon.cli import main

PICKUP = str(DATA / "pickup")


def run(capsys, *typed):
    assert main(["trim", *typed]) == 0
    return capsys.readouterr().out


def document(capsys, *typed):
    return json.loads(run(capsys, *typed, "--json"))


def test_trim_answers_first_with_the_limits_of_the_files(capsys):
    told = run(capsys, PICKUP)
    assert told.startswith("With 2,500 USD and 80 hours: do final alignment, small parts and fluids, dual battery and\nfridge, 2,388 USD")


def test_trim_takes_other_limits_and_views(capsys):
    found = document(capsys, PICKUP, "--budget", "1,200", "--hours", "30")
    assert (found["format"], found["budget"], found["hours"], found["view"], found["kept"]) == ("buildecon.trim/1", 1200, 30, "what is left", True)
    assert found["best"]["cost"] <= 1200 and found["best"]["hours"] <= 30
    assert found["answer"].startswith("With 1,200 USD and 30 hours: do ")
    assert document(capsys, PICKUP, "--selling")["best"]["jobs"] == ["alignment"]
    assert document(capsys, PICKUP, "--budget", "0")["status"] == "money"
    again = document(capsys, str(DATA / "roadster"), "--again")
    assert again["view"] == "to do it again" and again["levels"][0]["cost"] == 2948.0 and again["budget"] is None
    assert document(capsys, str(DATA / "van"))["view"] == "to do it again"


def test_a_new_folder_is_told_what_to_write(capsys, tmp_path):
    assert main(["new", str(tmp_path / "mine")]) == 0
    capsys.readouterr()
    assert "[[jobs]]" in run(capsys, str(tmp_path / "mine"))
    assert document(capsys, str(tmp_path / "mine"))["no_jobs_written"]


@pytest.mark.parametrize(("option", "typed"), [("--budget", "-5"), ("--budget", "lots"), ("--hours", "nan"), ("--budget", "inf")])
def test_limits_that_are_no_numbers_are_refused(capsys, option, typed):
    with pytest.raises(SystemExit) as stopped:
        main(["trim", PICKUP, f"{option}={typed}"])
    assert stopped.value.code == 2
    assert f"argument {option}: must be a number of at least 0, got '{typed}'" in capsys.readouterr().err
