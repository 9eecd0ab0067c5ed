"""What comes back beside the car, in each of the engines."""

import numpy as np
import pytest

from buildecon.ownership.keeping import total_if_kept
from buildecon.ownership.replacement import Life, total_if_replaced, totals_if_replaced
from buildecon.ownership.scenarios import totals
from buildecon.ownership.terms import Terms

YEARS = np.arange(25) / 12
KIT = 900 * 0.8**YEARS
CAR = 8000 * 0.85**YEARS
PLAIN = {"money_in": 9000.0, "yearly": {"tax": 240.0}, "insurance_share": 0.03, "value_path": CAR, "selling_share": 0.05, "km_a_year": 12000.0}


def lifted(terms):
    return {name: np.asarray(value)[None, None] for name, value in terms.items() if name != "yearly"} | {"yearly": {"tax": [[240.0]]}}


def test_a_kit_comes_back_beside_the_car_and_is_not_insured_with_it():
    end = CAR * 0.95 + KIT
    wanted = total_if_kept(Terms(**PLAIN), end, 24, 0.04)
    assert total_if_kept(Terms(**PLAIN, end_path=end), None, 24, 0.04) == pytest.approx(wanted, rel=1e-12)
    assert totals(Terms(**lifted(PLAIN | {"end_path": end})), 24, 1, 0.04)[0, :, 0] == pytest.approx(wanted, rel=1e-12)
    by_year = {"value_path": CAR[::12], "end_path": end[::12]}
    assert totals(Terms(**lifted(PLAIN | by_year)), 24, 12, 0.04)[0, :, 0] == pytest.approx(wanted[::12], rel=1e-12)
    assert wanted[24] == pytest.approx(total_if_kept(Terms(**PLAIN), None, 24, 0.04)[24] - KIT[24] * 1.04**-2)


def test_a_kit_comes_back_with_each_car_whose_life_ends():
    end, life = CAR * 0.95 + KIT, Life(7000.0, 300.0)
    wanted = total_if_replaced(Terms(**PLAIN), end, 24, life, 0.04).total
    found = totals_if_replaced(Terms(**lifted(PLAIN | {"end_path": end})), 24, life, 12, 0.04).total
    assert found[0, :, 0] == pytest.approx(wanted[::12], rel=1e-12)


def test_a_path_of_another_length_is_refused():
    with pytest.raises(ValueError, match=r"end_path must have a value for each of 25 exits, got shape \(3,\)\."):
        total_if_kept(Terms(**PLAIN, end_path=[1, 2, 3]), None, 24)
    with pytest.raises(ValueError, match=r"end_path must have a value for each of 3 exits, got shape \(1, 1, 25\)\."):
        totals(Terms(**lifted(PLAIN | {"value_path": CAR[::12], "end_path": CAR})), 24, 12)
