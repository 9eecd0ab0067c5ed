"""Numbers between two ends, and the words of a refusal."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from buildecon.quantities.bounds import within


def test_numbers_inside_come_back_as_floats():
    assert within("years", 3, 0) == 3.0 and isinstance(within("years", 3, 0), float)
    assert np.array_equal(within("share", [0, 1], 0, 1), [0.0, 1.0])
    assert within("rate", -7) == -7


@settings(deadline=None, derandomize=True)
@given(st.lists(st.floats(allow_nan=True, allow_infinity=True), min_size=1, max_size=5))
def test_a_list_is_refused_where_one_of_it_is(numbers):
    refused = []
    for asked in (numbers, *([one] for one in numbers)):
        try:
            within("share", asked, 0, 1)
            refused.append(False)
        except ValueError:
            refused.append(True)
    assert refused[0] == any(refused[1:])


@pytest.mark.parametrize(
    ("values", "ends", "message"),
    [
        (-1, {"low": 0}, "years must be at least 0, got -1.0."),
        ([0, 2, 3], {"high": 1}, "years must be at most 1, got 2.0."),
        (1.5, {"low": 0, "high": 1}, "years must be at least 0 and at most 1, got 1.5."),
        (float("nan"), {"low": 0}, "years must be at least 0, got nan."),
        (float("nan"), {}, "years must be finite, got nan."),
        (float("-inf"), {}, "years must be finite, got -inf."),
    ],
)
def test_what_is_outside_is_refused_with_the_rule_and_the_number(values, ends, message):
    with pytest.raises(ValueError) as refusal:
        within("years", values, **ends)
    assert str(refusal.value) == message
