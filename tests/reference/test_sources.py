"""Every reference file says where it comes from, and SOURCES.md lists it."""

from pathlib import Path

import pytest
from reference.printed import HERE, printed

FILES = sorted(path.name for path in HERE.glob("*.csv"))


@pytest.mark.parametrize("name", FILES)
def test_a_reference_file_names_its_source_how_it_was_reached_and_when(name):
    head = " ".join(line for line in (HERE / name).read_text(encoding="utf-8").splitlines() if line.startswith("# "))
    assert "Reached:" in head
    assert "Date: 20" in head


def test_sources_lists_every_file_once_and_no_other():
    listed = [line.split("|")[1].strip() for line in Path(HERE, "SOURCES.md").read_text(encoding="utf-8").splitlines() if ".csv |" in line]
    assert listed == FILES


def test_a_printed_figure_is_met_to_half_its_last_digit_and_no_further():
    assert 0.7125 == printed(".713")
    assert 0.71249 != printed(".713")
    assert 1234.5 == printed("1235")
    assert 1234.4 != printed("1235")
    assert 1234.4 == printed("1235", "1")
    assert -0.504 == printed("-.50")
