"""Half-way through: the finished value at which finishing pays."""

from hypothesis import given, settings
from hypothesis import strategies as st

from buildecon.decision.finish import break_even_finished_value


def test_finishing_the_pickup_pays_above_31_188():
    # (6,487 + 23,765) / 0.97 = 31,187.6
    assert round(float(break_even_finished_value(6487, 23765, 0.03))) == 31188


@settings(deadline=None, derandomize=True)
@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 0.5))
def test_selling_at_that_value_brings_back_the_cost_left_and_the_sale_given_up(left, net, share):
    value = break_even_finished_value(left, net, share)
    assert abs(value * (1 - share) - left - net) <= 1e-9 * (1 + left + net)
