"""What jobs name must be there, no money may stand in two of them, and what must be done must be possible: each rule with its message."""

import pytest
from project.folders import LINES, TOML, faults_of, made

from buildecon.project.job_rules import groups_of
from buildecon.project.jobs import Job

JOB = 'what = "a job"\n'
FIRST = TOML.count("\n") + 1  # line on which the added text begins


def said(tmp_path, added, lines=LINES):
    return faults_of(made(tmp_path / "car", build=TOML + added, lines=lines))


def jobs(*rows):
    """One job a text, cost 10 where it names no lines."""
    return "".join(f'[[jobs]]\n{JOB}{row}\n{"" if "lines" in row else "cost = 10" + chr(10)}' for row in rows)


def test_jobs_that_agree_are_read(tmp_path):
    text = jobs('id = "a"\nlines = ["a2"]', 'id = "b"\nneeds = ["a", ["c", "d"]]\nphase = "late"', 'id = "c"\none_of = "seats"', 'id = "d"\none_of = "seats"\nadds = -20')
    assert said(tmp_path, text + '[[phases]]\nid = "late"\nwhat = "late work"\nopens = 20\nbudget = 900\n[trim]\nbudget = 500\nhours = 20\na_month = 100\nfirst_month = 2026-07-01\n') == []


def test_a_line_a_need_and_a_phase_that_are_not_there_are_told_with_the_nearest(tmp_path):
    text = jobs('id = "battery"\nlines = ["a22"]', 'id = "solar"\nneeds = [["batery", "sun"]]\nphase = "late"')
    assert said(tmp_path, text) == [
        f"build.toml line {FIRST + 3}, jobs.1.lines: 'a22' is not a known name. Did you mean 'a2'?",
        f"build.toml line {FIRST + 7}, jobs.2.needs: 'batery' is not a known name. Did you mean 'battery'?",
        f"build.toml line {FIRST + 7}, jobs.2.needs: 'sun' is not a known name. Known names: battery, solar.",
        f"build.toml line {FIRST + 8}, jobs.2.phase: 'late' is not a known name. Known names: none.",
    ]


def test_the_money_of_a_line_stands_in_one_job_but_variants_may_share_it(tmp_path):
    both = said(tmp_path, jobs('id = "a"\nlines = ["a2"]', 'id = "b"\nlines = ["a2", "a3"]'))
    assert both == [
        f"build.toml line {FIRST + 7}, jobs.2.lines: must not name a line that another job has, got 'a2', which is in 'a': its money would count twice. "
        "Give it to one of them, or give both the same one_of."
    ]
    assert said(tmp_path, jobs('id = "a"\nlines = ["a2"]\none_of = "x"', 'id = "b"\nlines = ["a2"]\none_of = "x"')) == []
    assert said(tmp_path, jobs('id = "a"\nlines = ["a2", "a2"]')) == [f"build.toml line {FIRST + 3}, jobs.1.lines: must name each line once, got 'a2' 2 times."]
    assert said(tmp_path, jobs('id = "a"\nlines = ["a1"]')) == [f"build.toml line {FIRST + 3}, jobs.1.lines: must be lines of the work, not the base car, got 'a1'."]


def test_two_jobs_or_phases_with_one_id_are_refused(tmp_path):
    phase = '[[phases]]\nid = "p"\nwhat = "a phase"\n'
    assert said(tmp_path, jobs('id = "a"', 'id = "a"') + phase + phase) == [
        f"build.toml line {FIRST + 6}, jobs.2.id: must be unique, got 'a', which number 1 of [[jobs]] has already.",
        f"build.toml line {FIRST + 12}, phases.2.id: must be unique, got 'p', which number 1 of [[phases]] has already.",
    ]


@pytest.mark.parametrize(("rows", "round_"), [(['id = "a"\nneeds = ["a"]'], "a -> a"), (['id = "a"\nneeds = [["b", "c"]]', 'id = "b"\nneeds = ["c"]', 'id = "c"\nneeds = ["a"]'], None)])
def test_jobs_that_need_each_other_in_a_circle_are_told(tmp_path, rows, round_):
    (told,) = said(tmp_path, jobs(*rows))
    assert told.startswith(f"build.toml line {FIRST + 3}, jobs.1.needs: must not go round in a circle, got ")
    assert round_ is None or told.endswith(f"got {round_}.")


def test_variants_that_need_each_other_can_never_be_done(tmp_path):
    assert said(tmp_path, jobs('id = "a"\none_of = "x"\nneeds = ["b"]', 'id = "b"\none_of = "x"')) == [
        f"build.toml line {FIRST + 4}, jobs.1.needs: must not need two of which only one is done, got 'a' and 'b' of one_of = 'x'."
    ]


def test_a_must_do_that_needs_what_another_must_do_rules_out_is_told(tmp_path):
    rows = ['id = "a"\none_of = "x"\nmust = true', 'id = "b"\none_of = "x"', 'id = "c"\nneeds = ["b"]\nmust = true']
    assert said(tmp_path, jobs(*rows)) == [
        f"build.toml line {FIRST + 4}, jobs.1.must: must not ask for two of which only one is done: the must-dos need 'a' and 'b' of one_of = 'x'."
    ]
    assert said(tmp_path, jobs(*rows[:2], 'id = "c"\nneeds = [["a", "b"]]\nmust = true')) == []


def test_must_stands_on_one_variant_or_on_all(tmp_path):
    three = [f'id = "{id}"\none_of = "x"' for id in "abc"]
    assert said(tmp_path, jobs(*(row + "\nmust = true" for row in three))) == []
    assert said(tmp_path, jobs(*(row + "\nmust = true" for row in three[:2]), three[2])) == [
        f"build.toml line {FIRST + 4}, jobs.1.must: must be true on one job of one_of = 'x', or on all where any will do, got 2 of 3."
    ]
    assert said(tmp_path, jobs('id = "a"\none_of = "x"')) == [
        f"build.toml line {FIRST + 3}, jobs.1.one_of: must be a word that two jobs or more have, of which one is done at most, got 'x'."
    ]


def test_a_job_has_a_cost_or_lines(tmp_path):
    assert said(tmp_path, '[[jobs]]\nid = "a"\nwhat = "x"\n') == [f"build.toml line {FIRST}, jobs.1: must be given cost or lines, and not both. Name the rows of lines.csv the job is made of, or write what it costs."]
    assert said(tmp_path, '[[jobs]]\nid = "a"\nwhat = "x"\ncost = 5\nneeds = [[]]\n') == [f"build.toml line {FIRST + 4}, jobs.1.needs: must not hold an empty list."]


def test_lines_are_not_judged_where_lines_csv_is_broken(tmp_path):
    assert all("jobs" not in fault for fault in said(tmp_path, jobs('id = "a"\nlines = ["a2"]'), lines=LINES.replace("500", "TBC")))


def test_names_may_be_in_any_script(tmp_path):
    assert said(tmp_path, jobs('id = "座席"', 'id = "plaza-única"\nneeds = ["座席"]')) == []


def test_needs_are_groups_of_which_one_is_enough():
    assert groups_of(Job(id="a", what="a", cost=1, needs=("b", ("c", "d")))) == (("b",), ("c", "d"))
