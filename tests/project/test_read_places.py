"""The line a fault is said to stand on: in build.toml by key, in a csv file by row."""

import pytest
from project.folders import LINES, TOML, faults_of, made, swapped, with_rows

from buildecon.project import read_project
from buildecon.project.toml import line_of

# Every line is numbered by hand.
LISTS = """\
format = 1
summary = \"\"\"
[use]
years_kept = 5
[[options]]
\"\"\"
[use]
  years_kept = 5
"quoted key" = 1
dotted.inner = 2

[energy.charging]
[[energy.charging.tariffs]]
share = 1
[[energy.charging.tariffs]]
share = 2

[[options]]
id = "a"
[[options.energy]]
amount = 1
[[options.energy]]
amount = 2
[options.yearly]
tax = 3

[[ options ]]
id = "b"
[[options.energy]]
amount = 4
[options.from_today.kit]
price = 5
loan = { amount = 1,
  months = 2 }
"""


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        (("format",), 1),
        (("summary",), 2),
        (("use",), 7),
        (("use", "years_kept"), 8),
        (("use", "quoted key"), 9),
        (("use", "dotted", "inner"), 10),
        (("use", "not there"), 7),
        (("energy", "charging", "tariffs", 0, "share"), 14),
        (("energy", "charging", "tariffs", 1, "share"), 16),
        (("options",), 0),
        (("options", 0), 18),
        (("options", 0, "id"), 19),
        (("options", 0, "price"), 18),
        (("options", 0, "energy", 0, "amount"), 21),
        (("options", 0, "energy", 1, "amount"), 23),
        (("options", 0, "yearly", "tax"), 25),
        (("options", 1), 27),
        (("options", 1, "id"), 28),
        (("options", 1, "energy", 0, "amount"), 30),
        (("options", 1, "energy", 0, "unit"), 29),
        (("options", 1, "from_today", "kit", "price"), 32),
        (("options", 1, "from_today", "kit", "loan", "months"), 33),
        (("options", 2), 0),
        (("nothing",), 0),
    ],
)
def test_a_key_of_build_toml_is_found_on_its_line_or_at_the_table_above(keys, line):
    assert line_of(LISTS, keys) == line


def test_lines_are_counted_as_an_editor_counts_them():
    assert line_of(LISTS.replace("\n", "\r\n"), ("use", "years_kept")) == 8
    assert line_of('note = "a\u2028b\u0085c"\nname = 1\n', ("name",)) == 2


def test_a_fault_in_the_second_option_stands_on_the_line_of_the_second(tmp_path):
    two = TOML + '[[options.energy]]\nsource = "petrol"\namount = 7\nunit = "L/100 km"\ndistance_share = 2\n'
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", build=two))] == ["build.toml line 64, options.2.energy.1.distance_share"]


def test_a_fault_in_a_table_on_one_line_stands_on_that_line(tmp_path):
    build = swapped(TOML, "finished = 2000", "finished = { low = 1, likely = 2, hihg = 3 }")
    assert faults_of(made(tmp_path / "car", build=build))[0].startswith("build.toml line 26, value.finished: must be a range of low, likely and high")
    build = swapped(TOML, "amount = 8, unit", "amount = 8, unti")
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", build=build))] == [
        "build.toml line 43, options.1.energy.1.unit",
        "build.toml line 43, options.1.energy.1.unti",
    ]


def test_a_missing_key_stands_at_its_table_and_a_missing_table_nowhere(tmp_path):
    assert faults_of(made(tmp_path / "car", build=swapped(TOML, 'name = "another car"\n', ""))) == [
        "build.toml line 49, options.2.name: must be given, and is missing."
    ]
    build = swapped(TOML, TOML[TOML.index("[own_hours]") : TOML.index("[value]")], "")
    assert faults_of(made(tmp_path / "car", build=build)) == ["build.toml, own_hours: must be given, and is missing."]


def test_a_key_named_as_a_python_type_keeps_its_place(tmp_path):
    build = swapped(TOML, "[energy.petrol]", '[energy.int]\nunit = "L"\nprice = -1\n\n[energy.petrol]')
    assert faults_of(made(tmp_path / "car", build=build)) == ["build.toml line 31, energy.int.price: must be a number of at least 0, got -1."]


def test_a_line_break_inside_quotes_is_counted(tmp_path):
    lines = with_rows('a4,Engine,"oil\nof a good\nsort",consumable,20,,', "a5,Engine,oil,consumable,TBC,,", '"a6",Engine,"oil', 'again",oils,20,,')
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", lines=lines))] == ["lines.csv line 8, paid", "lines.csv line 9, nature"]


def test_line_ends_of_other_systems_are_counted_alike(tmp_path):
    lines = with_rows('a4,Engine,"oil\nof a sort",consumable,20,,', "a5,Engine,oil,consumable,TBC,,")
    for end in ("\r\n", "\r"):
        found = faults_of(made(tmp_path / "car", lines=lines.replace("\n", end)))
        assert [fault.split(":")[0] for fault in found] == ["lines.csv line 7, paid"]


def test_rows_without_anything_in_them_are_no_rows_but_count_as_lines(tmp_path):
    rows = with_rows("", ",,,,,,", "  ,", "a5,Engine,oil,consumable,TBC,,", "", "")
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", lines=rows))] == ["lines.csv line 8, paid"]
    project = read_project(made(tmp_path / "car", lines=rows.replace("TBC", "20")))
    assert [(line.id, line.row) for line in project.lines] == [("a1", 2), ("a2", 3), ("a3", 4), ("a5", 8)]


def test_a_quote_that_never_closes_stands_on_the_line_where_it_opens(tmp_path):
    lines = with_rows('a4,Engine,"oil,consumable,20,,', "a5,Engine,oil,consumable,20,,", "a6,Engine,oil,consumable,20,,")
    assert [fault.split(":")[0] for fault in faults_of(made(tmp_path / "car", lines=lines))] == ["lines.csv line 5"]


def test_a_byte_that_is_no_utf_8_stands_on_its_line(tmp_path):
    assert faults_of(made(tmp_path / "car", lines=with_rows("a4,Engine,caf\u00e9,part,20,,").encode("cp1252"))) == [
        "lines.csv line 5: must be utf-8 text, got byte 0xe9. Save it as UTF-8, or declare its encoding under [files]."
    ]
    assert faults_of(made(tmp_path / "car", lines=LINES, build=swapped(TOML, "A guess", "A gu\u00e9ss").encode("cp1252"))) == [
        "build.toml line 27: must be utf-8 text, got byte 0xe9. Save it as UTF-8."
    ]
