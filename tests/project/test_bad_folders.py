"""What people feed a program: each bad folder gets a clear error and status 2, and nothing in it is touched."""

import os
import shutil
import stat

import pytest
from project.folders import EVENTS, LINES, MARKET, TOML, digests, ignores_permissions, made, python, swapped, with_rows

# Every case: what differs from the small folder, and words of the message.
TEXTS = {
    "no build.toml": ({"build": None}, "build.toml: must be there, and is missing."),
    "no lines.csv": ({"lines": None}, "lines.csv: must be there, and is missing."),
    "an empty build.toml": ({"build": ""}, "build.toml: must not be empty."),
    "an empty lines.csv": ({"lines": ""}, "lines.csv: must not be empty."),
    "an empty events.csv": ({"events": "\n \n"}, "events.csv: must not be empty."),
    "a header alone": ({"lines": LINES.split("\n")[0]}, "lines.csv, nature: must have one line of nature 'base car'"),
    "a percentage for a fraction": (
        {"build": swapped(TOML, "decline_rate = 0.1", "decline_rate = 12")},
        "decline_rate: must be a fraction a year between -0.9 and 1, got 12.",
    ),
    "a distance below 0": (
        {"build": swapped(TOML, "distance_a_year = 10000", "distance_a_year = -1")},
        "line 14, use.distance_a_year: must be a number of at least 0, got -1.",
    ),
    "a distance below 0 in the evidence": (
        {"market": swapped(MARKET, "140000", "-140000")},
        "market.csv line 2, distance: must be a number of at least 0, got -140000.",
    ),
    "an unknown currency": (
        {"events": swapped(EVENTS, "300,,", "300,EURO,")},
        "events.csv line 2, currency: must be a three-letter ISO 4217 currency code, got 'EURO'.",
    ),
    "two rows with one id": (
        {"lines": with_rows("a1,Engine,oil,part,20,,")},
        "lines.csv line 5, id: must be unique, got 'a1', which line 2 has already.",
    ),
    "a refund above the payment": (
        {"events": swapped(EVENTS, "refund,40", "refund,400")},
        "amount: must be at most the payments of 'a3', 300.00, got 400.00 in all.",
    ),
    "an event for no line": (
        {"events": EVENTS + "b7,2026-03-04,payment,3,,\n"},
        "events.csv line 4, line: must be the id of a line or the name of a kit, got 'b7'",
    ),
    "a decimal comma in a file with points": (
        {"lines": with_rows('a4,Engine,oil,part,"12,50",,')},
        "must be a number with '.' as its decimal sign, got '12,50'.",
    ),
    "no UTF-8": ({"lines": with_rows("a4,Engine,\u00d6l,part,20,,").encode("cp1252")}, "lines.csv line 5: must be utf-8 text, got byte 0xd6."),
    "no UTF-8 behind a mark of the byte order": ({"lines": b"\xef\xbb\xbf" + with_rows("a4,Engine,\u00d6\nl,part,20,,").encode("cp1252")}, "lines.csv line 5: must be utf-8 text, got byte 0xd6."),
    "bytes at random": ({"lines": bytes(range(1, 256)) * 40}, "lines.csv line 2: must be utf-8 text, got byte 0x80."),
    "a NUL byte in a csv file": ({"lines": with_rows("a4,Engine,o\0il,part,20,,")}, "lines.csv line 5: must be text, got a NUL byte."),
    "a NUL byte in build.toml": ({"build": swapped(TOML, "A guess", "A\0guess")}, "build.toml line 27: must be text, got a NUL byte."),
    "a quote that never closes": (
        {"lines": with_rows('a4,Engine,"oil,part,20,,')},
        "lines.csv line 5: must be csv with ',' between cells; unexpected end of data.",
    ),
    "text after a closing quote": ({"lines": with_rows('a4,Engine,"oil" x,part,20,,')}, "lines.csv line 5: must be csv with ',' between cells;"),
    "a row with too many cells": ({"lines": with_rows("a4,Engine,oil,part,20,,,,,")}, "lines.csv line 5: must have 7 cells, got 10."),
    "a row with too few cells": ({"lines": with_rows("a4,Engine,oil")}, "lines.csv line 5: must have 7 cells, got 3."),
    "a cell without end": (
        {"lines": with_rows(f"a4,Engine,{'x' * 200_000},part,20,,")},
        "lines.csv line 5: must be csv with ',' between cells; field larger than field limit",
    ),
    "a day that is none": (
        {"lines": with_rows("a4,Engine,oil,part,20,2026-02-30,")},
        "lines.csv line 5, date: must be a date like 2026-06-30, got '2026-02-30'.",
    ),
    "a day that is none in build.toml": (
        {"build": swapped(TOML, "2026-06-30", "2026-02-30")},
        "build.toml line 6: must be TOML, got 'as_of = 2026-02-30': invalid date",
    ),
    "no TOML": ({"build": swapped(TOML, '"A guess."', '"A guess.')}, "build.toml line 27: must be TOML, got 'basis = \"A guess.': illegal character"),
    "a table without its bracket": ({"build": swapped(TOML, "[value]", "[value")}, "build.toml line 24: must be TOML, got '[value'"),
    "a key that stands twice": (
        {"build": swapped(TOML, "years_kept = 5", "years_kept = 5\nyears_kept = 6")},
        "build.toml line 17: must be TOML, got 'years_kept = 6': cannot overwrite",
    ),
    "brackets without end": (
        {"build": TOML + "x = " + "[" * 5000},
        "build.toml: must be TOML, got a number of thousands of digits or brackets without end.",
    ),
    "digits without end": ({"build": swapped(TOML, "= 3000", "= " + "9" * 5000)}, "build.toml: must be TOML, got a number of thousands of digits"),
    "an energy that has no price": (
        {"build": swapped(TOML, '"petrol", amount', '"diesel", amount')},
        "options.1.energy: source 'diesel' is not a known name. Known names: petrol.",
    ),
    "shares that do not make 1": (
        {"build": swapped(TOML, "price = 1.5", 'tariffs = [{ name = "a", share = 0.5, price = 1 }]')},
        "whose shares add up to 1. They add up to 0.5.",
    ),
    "distance shares that do not make 1": (
        {"build": swapped(TOML, 'km" }', 'km", distance_share = 0.5 }')},
        "line 38, options.1: must be given energy whose distance_share adds up to 1. In option 'build' they add up to 0.5.",
    ),
    "a huge number in build.toml": (
        {"build": swapped(TOML, "= 3000", "= 1e400")},
        "options.2.price: must be a number of at most 1,000,000,000,000, got 1E+400.",
    ),
    "a huge fact": ({"build": swapped(TOML, "seats = 4", "seats = 1e400")}, "options.2.facts.seats: must be a number of at most 1,000,000,000,000"),
    "a huge number in a csv file": (
        {"lines": with_rows(f"a4,Engine,oil,part,{'9' * 20},,")},
        f"paid: must be a number of at most 1,000,000,000,000, got {'9' * 20}.",
    ),
    "a number of a thousand digits": (
        {"lines": with_rows(f"a4,Engine,oil,part,{'9' * 1000},,")},
        "paid: must be a number or a range, got 1000 characters.",
    ),
    "a number of spaces": (
        {"lines": with_rows(f"a4,Engine,oil,part,1{' ' * 100_000}x,,")},
        "paid: must be a number or a range, got 100002 characters.",
    ),
    "a huge event": ({"events": swapped(EVENTS, "300", "9" * 30)}, "events.csv line 2, amount: must be a number of at most 1,000,000,000,000"),
}
NUMBERS = {"nan": "NaN", "inf": "Infinity", "-inf": "-Infinity"}


def refused(folder, *words, rights=True):
    """A check of the folder, which must fail clearly and change nothing."""
    before = digests(folder) if os.path.isdir(folder) and rights else None
    done = python("-m", "buildecon", "check", folder, rights=rights)
    assert done.returncode == 2, done
    assert "Traceback" not in done.stderr and not done.stdout
    assert all(word in done.stderr for word in words), done.stderr
    assert done.stderr.rstrip().endswith("Nothing was changed.")
    assert before is None or digests(folder) == before
    return done.stderr


@pytest.mark.parametrize("case", TEXTS)
def test_a_bad_file_is_refused_in_words_and_left_alone(tmp_path, case):
    changed, words = TEXTS[case]
    refused(made(tmp_path / "car", **changed), words)


@pytest.mark.parametrize("number", NUMBERS)
def test_a_number_that_is_none_is_refused_in_both_kinds_of_file(tmp_path, number):
    lines, build = with_rows(f"a4,Engine,oil,part,{number},,"), swapped(TOML, "= 3000", f"= {number}")
    refused(
        made(tmp_path / "car", lines=lines, build=build),
        f"options.2.price: must be a finite number, got {NUMBERS[number]}.",
        f"lines.csv line 5, paid: must be a number or a range, got {number!r}.",
    )


@pytest.mark.parametrize("name", ["nowhere", "x" * 5000, "with\nbreak", "\udcff"], ids=["nowhere", "a long name", "a line break", "no text"])
def test_a_folder_that_is_not_there_is_refused(tmp_path, name):
    refused(tmp_path / name, "must be a project folder with build.toml and lines.csv in it.")


def test_a_file_in_place_of_the_folder_is_refused(tmp_path):
    refused(made(tmp_path / "car") / "lines.csv", "must be a project folder with build.toml and lines.csv in it.")


def test_an_empty_story_wants_words_and_no_columns(tmp_path):
    folder = made(tmp_path / "car")
    (folder / "story.md").write_text("\n \n")
    refused(folder, "story.md: must not be empty. Delete it, or write in it.")


def test_a_folder_in_place_of_a_file_is_refused(tmp_path):
    folder = made(tmp_path / "car", lines=None)
    (folder / "lines.csv").mkdir()
    refused(folder, "lines.csv: must be a plain file, got a folder or a device.")


def test_a_pipe_in_place_of_a_file_is_refused_and_not_waited_for(tmp_path):
    folder = made(tmp_path / "car", events=None)
    os.mkfifo(folder / "events.csv")
    refused(folder, "events.csv: must be a plain file, got a folder or a device.")


@pytest.mark.parametrize("name", ["build.toml", "lines.csv", "market.csv"])
@pytest.mark.parametrize("target", ["kept.txt", "nothing"])
def test_a_symbolic_link_is_refused(tmp_path, name, target):
    folder = made(tmp_path / "car")
    shutil.move(folder / name, tmp_path / "kept.txt")
    (folder / name).symlink_to(tmp_path / target)
    refused(folder, f"{name}: must be a plain file, got a symbolic link. Copy the file itself into the folder.")


def test_a_file_of_40_megabytes_is_refused_without_being_read(tmp_path):
    folder = made(tmp_path / "car")
    with (folder / "lines.csv").open("ab") as file:
        file.truncate(40_000_000)
    refused(folder, "lines.csv: must be at most 20 MB, got 40 MB. Keep one build in a folder.")


@pytest.mark.parametrize(("mode", "words"), [(0o000, "build.toml: must be readable"), (0o600, "lines.csv: must be readable")])
def test_a_folder_that_may_not_be_read_is_refused(tmp_path, mode, words):
    if ignores_permissions():
        pytest.skip("needs a user whom permissions bind: this one is root, on a system without prctl")
    folder = made(tmp_path / "car")
    before = digests(folder)
    folder.chmod(mode)
    try:
        refused(folder, words, "Permission denied", rights=False)
    finally:
        folder.chmod(0o755)
    assert digests(folder) == before


def test_a_file_that_may_not_be_read_is_refused(tmp_path):
    if ignores_permissions():
        pytest.skip("needs a user whom permissions bind: this one is root, on a system without prctl")
    folder = made(tmp_path / "car")
    (folder / "events.csv").chmod(stat.S_IWUSR)
    refused(folder, "events.csv: must be readable, got 'Permission denied'. Give yourself the right to read it.", rights=False)


def test_ten_thousand_lines_are_read(tmp_path):
    folder = made(tmp_path / "car", lines=with_rows(*(f"b{k},Engine,part {k},part,{k}.50,2026-02-03,a note" for k in range(10_000))))
    done = python("-m", "buildecon", "check", folder)
    assert (done.returncode, done.stderr) == (0, "")


def test_ten_thousand_faults_are_all_said(tmp_path):
    folder = made(tmp_path / "car", lines=with_rows(*(f"b{k},Engine,part {k},part,TBC,2026-02-03,a note" for k in range(10_000))))
    assert refused(folder, "lines.csv line 10004, paid", "10000 faults.").count("\n") == 10_001
