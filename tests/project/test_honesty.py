"""What is overruled and disclosed, as it stands in build.toml."""

import pytest
from project.folders import TOML, faults_of, made

from buildecon.project import read_project
from buildecon.project.honesty import TRAPS


def with_tables(tmp_path, text):
    return made(tmp_path / "car", build=TOML + text)


def overruled(trap, because="It is meant."):
    return f'\n[[overruled]]\ntrap = "{trap}"\nbecause = "{because}"\n'


def test_every_trap_can_be_overruled(tmp_path):
    file = read_project(with_tables(tmp_path, "".join(overruled(id) for id in TRAPS))).file
    assert [one.trap for one in file.overruled] == list(TRAPS)


def test_an_unknown_trap_is_a_fault_with_the_known_names(tmp_path):
    (told,) = faults_of(with_tables(tmp_path, overruled("no_wast")))
    assert told.startswith("build.toml line ") and "overruled.1.trap: must be one of 'placeholders', 'lines_without_money', " in told
    assert told.endswith("got 'no_wast'. Did you mean 'no_waste'?")


def test_an_overruling_needs_its_reason_and_stands_once(tmp_path):
    (told,) = faults_of(with_tables(tmp_path, overruled("no_waste", "")))
    assert told.endswith("overruled.1.because: must be filled in, got ''.")
    (told,) = faults_of(with_tables(tmp_path, overruled("no_waste") * 2))
    assert told.endswith("overruled.trap: must name each trap once, got 'no_waste' 2 times.")


@pytest.mark.parametrize(("more", "told"), [
    ("lines = ['a9']", "disclosures.1.lines: 'a9' is not a known name. Known names: "),
    ("since = 2026-07-01", "disclosures.1.since: must be on or before as_of, 2026-06-30, got 2026-07-01."),
    ("kind = 'lent'", "disclosures.1.kind: must be one of 'discounted', 'given', 'swapped', 'on loan', 'paid', or empty, got 'lent'."),
])  # fmt: skip
def test_a_disclosure_is_of_lines_that_are_there_and_days_that_were(tmp_path, more, told):
    text = f'\n[[disclosures]]\nsupplier = "Hollow Peak"\ngave = "a tent"\nin_return = "a video"\n{more}\n'
    (fault,) = faults_of(with_tables(tmp_path, text))
    assert told in fault
