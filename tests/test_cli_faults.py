"""The command as it is typed: help for every verb, and for every slip a message and status 2."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
VAN = ROOT / "data-demo" / "van"
VERBS = ("new", "check", "cost", "worth", "keep", "finish", "decide", "trim", "open")
ON_A_FOLDER = ("check", "cost", "worth", "keep", "finish", "decide", "trim", "open")


def typed(*words):
    return subprocess.run([sys.executable, "-m", "buildecon", *map(str, words)], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)


def refused(*words):
    """What is said on the error channel, with status 2, nothing else printed and no traceback."""
    done = typed(*words)
    assert done.returncode == 2 and not done.stdout and "Traceback" not in done.stderr, done
    return done.stderr


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_has_help(verb):
    done = typed(verb, "--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"usage: buildecon {verb} ") and "project folder, with build.toml and lines.csv in it" in done.stdout


def test_the_command_alone_gives_help_that_names_every_verb():
    done = typed()
    assert (done.returncode, done.stderr) == (0, "")
    assert all(f"    {verb} " in done.stdout for verb in VERBS)


def test_an_unknown_verb_is_refused_with_those_that_are_known():
    said = refused("prise", VAN)
    assert "invalid choice: 'prise'" in said and all(verb in said for verb in VERBS)


@pytest.mark.parametrize("verb", VERBS)
def test_a_verb_without_a_folder_says_so(verb):
    assert "the following arguments are required: folder" in refused(verb)


@pytest.mark.parametrize("verb", ON_A_FOLDER)
def test_a_folder_that_is_not_there_is_refused_by_every_verb(tmp_path, verb):
    folder = tmp_path / "nowhere"
    assert refused(verb, folder) == f"{folder}: must be a project folder with build.toml and lines.csv in it.\n1 fault. Nothing was changed.\n"
    assert not folder.exists()


@pytest.mark.parametrize("verb", ON_A_FOLDER)
def test_an_empty_folder_is_refused_by_every_verb_with_what_is_missing(tmp_path, verb):
    assert refused(verb, tmp_path).splitlines() == [
        "build.toml: must be there, and is missing. Copy one from a demo folder and change it.",
        "lines.csv: must be there, and is missing. Copy one from a demo folder and change it.",
        "2 faults. Nothing was changed.",
    ]


@pytest.mark.parametrize("years", ["0", "-3", "x", "", "3,", "3,0", "3;6", "2.5", "nan", "1e3", "9" * 5000])
def test_years_kept_that_are_none_are_refused(years):
    said = refused("keep", VAN, f"--years={years}")
    assert f"argument --years: must be whole years of at least 1 with commas between, as 3,6,9, got {years!r}" in said


@pytest.mark.parametrize("years", ["50", "3,21", "9" * 400])
def test_years_kept_past_the_horizon_are_refused_with_the_cure(years):
    assert refused("keep", VAN, "--years", years) == (
        f"buildecon: --years must be at most horizon_years, 20, got {years.split(',')[-1]}. Raise use.horizon_years in build.toml.\n"
        "1 fault. Nothing was changed.\n"
    )


@pytest.mark.parametrize("verb", ["keep", "finish", "decide"])
@pytest.mark.parametrize("rate", ["3", "-1", "3%", "x", "nan", "inf", ""])
def test_a_discount_rate_that_is_no_fraction_is_refused_with_the_cure(verb, rate):
    said = refused(verb, VAN, f"--discount-rate={rate}")
    assert f"argument --discount-rate: must be a fraction a year between -0.9 and 1, got {rate!r}. Write 3 % as 0.03" in said


@pytest.mark.parametrize("rate", ["-0.9", "0", "0.03", "1"])
def test_a_discount_rate_at_the_ends_of_what_is_allowed_gives_an_answer(rate):
    done = typed("keep", VAN, "--json", f"--discount-rate={rate}")
    assert (done.returncode, done.stderr) == (0, "") and json.loads(done.stdout)["format"] == "buildecon.keep/1"


@pytest.mark.parametrize("option", ["--year-kept", "--jason", "--port"])
def test_an_unknown_option_is_refused(option):
    assert f"unrecognized arguments: {option}" in refused("keep", VAN, option)


@pytest.mark.parametrize("port", ["x", "1.5", ""])
def test_a_port_that_is_none_is_refused(port):
    assert "argument --port: " in refused("open", VAN, "--no-browser", f"--port={port}")


def test_new_touches_nothing_that_is_there(tmp_path):
    (tmp_path / "lines.csv").write_text("mine", encoding="utf-8")
    assert f"lines.csv: must not be in {tmp_path} yet. Choose another folder." in refused("new", tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["lines.csv"] and (tmp_path / "lines.csv").read_text(encoding="utf-8") == "mine"
    assert "must be a folder that can be made, got 'File exists'." in refused("new", tmp_path / "lines.csv")


@pytest.mark.parametrize("name", ["x" * 5000, "a/" * 3000], ids=["a long name", "a long way down"])
def test_new_refuses_a_folder_that_cannot_be_made(tmp_path, name):
    assert "must be a folder that can be made, got 'File name too long'." in refused("new", tmp_path / name)


def test_faults_as_an_object_hold_what_the_words_say(tmp_path):
    (tmp_path / "build.toml").write_text("format = 1\n[build]\nname = 3\n", encoding="utf-8")
    done = typed("check", tmp_path, "--json")
    assert done.returncode == 2 and "Traceback" not in done.stderr
    found = json.loads(done.stdout)["faults"]
    assert {"file": "build.toml", "line": 3, "column": "build.name", "message": "must be text in quotes, got 3."} in found
    assert len(found) == len(done.stderr.splitlines()) - 1
