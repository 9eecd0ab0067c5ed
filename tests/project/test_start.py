"""A new folder: it reads at once, and so it does with every placeholder taken out of its comment."""

import re

from buildecon.project import read_project
from buildecon.project.start import NAMES, start_project

COMMENTED = re.compile(r"^# (?=\[|[a-z_]+ = )", re.MULTILINE)


def test_a_new_folder_reads_without_a_fault(tmp_path):
    start_project(tmp_path / "mine")
    project = read_project(tmp_path / "mine")
    assert {path.name for path in (tmp_path / "mine").iterdir()} == set(NAMES)
    assert project.energy == () and project.market == () and project.lines


def test_what_is_commented_out_can_be_taken_in_as_it_stands(tmp_path):
    start_project(tmp_path / "mine")
    file = tmp_path / "mine" / "build.toml"
    text = file.read_text(encoding="utf-8")
    assert len(COMMENTED.findall(text)) > 60
    lines = COMMENTED.sub("", text).splitlines()
    path = next(k for k, line in enumerate(lines) if line.startswith("value_path"))
    assert lines[path - 1].startswith("decline_rate")  # one of the two, as the comment beside it says
    del lines[path - 1]
    file.write_text("\n".join(lines), encoding="utf-8")
    told = read_project(tmp_path / "mine").file
    assert told.clocks and told.improvements and told.jobs and told.trim and told.loans and told.repairs and told.insured and told.half_way.months
