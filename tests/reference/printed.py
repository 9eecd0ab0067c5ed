"""Published figures as they stand in the csv files beside this module; a test imports it as `reference.printed`."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def rows(name):
    """Rows of a reference file below its comment lines, every cell as text."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def numbers(cell):
    """Numbers of a cell written `1;2;3`."""
    return [float(part) for part in cell.split(";")]


def printed(text, tolerance=""):
    """A figure to compare with: half a unit of its last printed digit, or the tolerance its row gives.

    The one part in 10^13 added lets a figure that was printed from exactly half a unit pass.
    """
    half = 0.5 * 10.0 ** Decimal(text).as_tuple().exponent
    return pytest.approx(float(text), rel=0, abs=(float(tolerance) if tolerance else half) + 1e-13 * abs(float(text)))


def case_ids(cases):
    """Names of parametrised rows."""
    return [case["case"] for case in cases]
