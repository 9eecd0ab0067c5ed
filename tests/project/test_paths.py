"""What a value path must hold, as the owner is told it, and that it is written as it was read."""

import pytest
from project.folders import TOML, faults_of, made, records, swapped

from buildecon.project import read_project, write_project
from buildecon.project.paths import NEEDS

END = "\nscrap_value = 200\ndistance_now = 40000\nlifetime_distance = 200000"
ASKED = {
    "steady": "decline_rate = 0.1",
    "years and distance": "decline_rate = 0.1\ndistance_rate = 0.03",
    "two stage": "decline_rate = 0.2\nfirst_years = 3\nlater_rate = { low = 0.05, likely = 0.1, high = 0.12 }",
    "floor then rise": "decline_rate = 0.1\nrise_rate = 0.02\nfloor_value = 900",
    "held then declining": "held_years = 2\ndecline_rate = 0.1",
    "straight line": "over_years = 5\nend_value = 700",
    "table": "table = [{ years = 2, value = 2000 }, { years = 4, value = { low = 900, likely = 1000, high = 1300 } }]\nlater_rate = 0",
    "distance": END.strip(),
}


def folder(tmp_path, text, kind="two stage", rate=""):
    """The small folder whose second option has a value path; its table stands on line 58."""
    swapped_in = swapped(TOML, "# EUR, as advertised\ndecline_rate = 0.1\n", f"# EUR, as advertised\n{rate}\n")
    return made(tmp_path / "car", build=swapped(swapped_in, "\n# the end", f'[options.value_path]\nkind = "{kind}"\n{text}\n\n# the end'))


@pytest.mark.parametrize("end", ["", END])
@pytest.mark.parametrize("kind", NEEDS)
def test_each_kind_is_read_and_written(tmp_path, kind, end):
    place = folder(tmp_path, ASKED[kind] + (end if kind != "distance" else ""), kind)
    project = read_project(place)
    assert project.options[1].value_path.kind == kind
    other = made(tmp_path / "copy", build=None, lines=None, events=None, market=None)
    write_project(project, other)
    assert records(read_project(other)) == records(project)


STANDS = "build.toml line 58, options.2.value_path: must be "
REFUSED = {
    ("two stage", "decline_rate = 0.2"): STANDS + "given decline_rate, first_years, later_rate when kind = 'two stage'. Add first_years, later_rate.",
    ("two stage", ASKED["two stage"] + "\nfloor_value = 3"): STANDS + "given decline_rate, first_years, later_rate when kind = 'two stage'. Leave out floor_value.",
    ("steady", "later_rate = 0.2"): STANDS + "given decline_rate when kind = 'steady'. Add decline_rate; leave out later_rate.",
    ("floor then rise", "decline_rate = 0.1\nrise_rate = 0.02"): STANDS
    + "given decline_rate, floor_value, rise_rate or decline_rate, first_years, rise_rate when kind = 'floor then rise'. Add floor_value.",
    ("floor then rise", ASKED["floor then rise"] + "\nfirst_years = 2"): STANDS
    + "given decline_rate, floor_value, rise_rate or decline_rate, first_years, rise_rate when kind = 'floor then rise'. Leave out first_years.",
    ("floor then rise", "decline_rate = -0.1\nrise_rate = 0.02\nfloor_value = 900"): STANDS
    + "given a decline_rate of at least 0 when kind = 'floor then rise'. It is -0.1.",
    ("distance", "decline_rate = 0.1" + END): STANDS + "given none of the rates and values of other kinds when kind = 'distance'. Leave out decline_rate.",
    ("distance", "scrap_value = 200"): STANDS + "given distance_now, lifetime_distance and scrap_value when kind = 'distance'.",
    ("steady", "decline_rate = 0.1\ndistance_now = 4"): STANDS + "given distance_now, lifetime_distance and scrap_value, or neither distance.",
    ("steady", "decline_rate = 0.1\ndistance_now = 4\nlifetime_distance = 9"): STANDS + "given distance_now, lifetime_distance and scrap_value, or neither distance.",
    ("steady", ASKED["steady"] + END.replace("40000", "{ low = 1, likely = 2, high = 200000 }")): STANDS
    + "given a lifetime_distance above distance_now. They are 200000 and 1/2/200000.",
    ("table", "table = [{ years = 2, value = 2000 }, { years = 2, value = 9 }]\nlater_rate = 0"): STANDS
    + "given a table whose years rise from row to row. 2 comes after 2.",
    ("table", "table = []\nlater_rate = 0"): STANDS + "given table, later_rate when kind = 'table'. Add table.",
    ("table", "table = [{ years = 0, value = 2000 }]\nlater_rate = 0"): "build.toml line 60, options.2.value_path.table.1.years: must be above 0, got 0.",
    ("steady", "decline_rate = 12"): "build.toml line 60, options.2.value_path.decline_rate: must be a fraction a year between -0.9 and 1, got 12. "
    "Write 12 % a year as 0.12.",
    ("floor then rise", "decline_rate = 0.1\nrise_rate = -0.1\nfloor_value = 1"): "build.toml line 61, options.2.value_path.rise_rate: "
    "must be a fraction a year between 0 and 1, got -0.1. Write 3 % a year as 0.03.",
    ("two stages", "decline_rate = 0.1"): "build.toml line 59, options.2.value_path.kind: must be one of 'steady', 'years and distance', 'two stage', "
    "'floor then rise', 'held then declining', 'straight line', 'table', 'distance', got 'two stages'. Did you mean 'two stage'?",
    ("steady", "decline_rat = 0.1"): "build.toml line 60, options.2.value_path.decline_rat: is not a known name. Did you mean 'decline_rate'?",
}


@pytest.mark.parametrize(("asked", "message"), REFUSED.items(), ids=map(str, range(len(REFUSED))))
def test_a_path_that_cannot_be_followed_is_refused_with_its_cure(tmp_path, asked, message):
    assert faults_of(folder(tmp_path, asked[1], asked[0])) == [message]


def test_a_rate_of_decline_and_a_path_are_not_both_given(tmp_path):
    both = "must be given decline_rate, the share of its value lost a year, or value_path, and not both. Write decline_rate = 0 for a value that holds."
    assert faults_of(folder(tmp_path, ASKED["steady"], "steady", rate="decline_rate = 0.1")) == [f"build.toml line 49, options.2: {both}"]


def test_a_hire_has_no_path(tmp_path):
    place = folder(tmp_path, ASKED["steady"], "steady", rate="hire = { days_a_year = 3, per_day = 50 }")
    text = (place / "build.toml").read_text().replace('kind = "buy"\nprice = 3000', 'kind = "hire"\nprice = 0')
    (place / "build.toml").write_text(text)
    assert faults_of(place) == [
        "build.toml line 49, options.2: must be without price, value, value_path, kit, loan, uses_base_car and energy when kind = 'hire'. Put fuel into per_day."
    ]
