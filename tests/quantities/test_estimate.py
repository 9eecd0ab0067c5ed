"""Numbers as people write them: what is read one way only, and what is asked about."""

from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from buildecon.quantities.estimate import LONGEST, Estimate, estimate, plain_number, sure

steadily = settings(deadline=None, derandomize=True)
cents = st.integers(0, 10**9).map(lambda number: Decimal(number) / 100)


def ends(found):
    return found.low, found.likely, found.high


# Estimate. Nothing is published about these: the cases are by hand.


def test_the_mean_of_a_range_leans_on_its_likely_value():
    # (1000 + 4 x 1150 + 1900) / 6 = 7500 / 6 = 1250.
    found = Estimate(Decimal(1000), Decimal(1150), Decimal(1900))
    assert found.mean == 1250
    assert not found.is_sure
    assert float(found) == 1150.0


def test_what_was_written_plays_no_part_in_equality():
    assert Estimate(Decimal(1), Decimal(2), Decimal(3), "1-3") == Estimate(Decimal(1), Decimal(2), Decimal(3))
    assert Estimate(Decimal(1), Decimal(2), Decimal(3)) != Estimate(Decimal(1), Decimal(2), Decimal(4))


@steadily
@given(st.lists(cents, min_size=3, max_size=3))
def test_the_mean_of_a_range_lies_inside_it(three):
    low, likely, high = sorted(three)
    assert low <= Estimate(low, likely, high).mean <= high


@pytest.mark.parametrize("three", [(2, 1, 3), (1, 3, 2), (3, 2, 1)])
def test_a_range_out_of_order_is_refused(three):
    with pytest.raises(ValueError, match=r"^must be low, likely, high in rising order, got {}, {}, {}\.$".format(*three)):
        Estimate(*map(Decimal, three))


@pytest.mark.parametrize("three", [("NaN", 1, 3), (1, "NaN", 3), (1, 2, "NaN"), ("-Infinity", 1, 2), (1, 2, "Infinity")])
def test_a_range_with_an_end_that_is_no_number_is_refused(three):
    with pytest.raises(ValueError, match=r"^must be low, likely, high in rising order, got {}, {}, {}\.$".format(*three)):
        Estimate(*map(Decimal, three))


# sure


@steadily
@given(cents)
def test_a_sure_number_is_its_own_range_and_mean(number):
    assert ends(sure(number)) == (number, number, number)
    assert sure(number).is_sure
    assert sure(number).mean == number
    assert sure(str(number)) == sure(number)


def test_a_sure_float_is_the_number_one_sees():
    assert sure(0.1).likely == Decimal("0.1")


# plain_number

POINT = {
    "1250": "1250", " 1250.50 ": "1250.50", "1,250": "1250", "1 250": "1250", "1'250": "1250", "1,250,000.5": "1250000.5", "1.2k": "1200", "12K": "12000",
    "-3.5": "-3.5", "0": "0", "1.234": "1.234", "0.05": "0.05",
}  # fmt: skip
COMMA = {"1250": "1250", "1250,50": "1250.50", "1.250": "1250", "1 250": "1250", "1,2k": "1200", "1.234": "1234", "1,234": "1.234", "1.250.000,5": "1250000.5"}


@pytest.mark.parametrize(("written", "meant"), POINT.items())
def test_a_number_of_a_file_with_decimal_points(written, meant):
    assert plain_number(written) == Decimal(meant)


@pytest.mark.parametrize(("written", "meant"), COMMA.items())
def test_a_number_of_a_file_with_decimal_commas(written, meant):
    assert plain_number(written, ",") == Decimal(meant)


@steadily
@given(cents, st.sampled_from([".", ","]))
def test_a_number_is_read_back_however_its_thousands_are_grouped(number, decimal):
    for group in ("," if decimal == "." else ".", " ", "'", ""):
        written = f"{number:,.2f}".replace(",", "#").replace(".", decimal).replace("#", group)
        assert plain_number(written, decimal) == number


@pytest.mark.parametrize("written", ["", "12,50", "1,25", "1250.", ".5", "1,2345", "12 34", "12k5", "--1", "+1", "1e3", "nan", "inf", "twelve", "1.2.3"])
def test_anything_else_is_no_number_with_a_decimal_point(written):
    with pytest.raises(ValueError) as refusal:
        plain_number(written)
    assert str(refusal.value).startswith(f"must be a number with '.' as its decimal sign, got {written!r}.")


@pytest.mark.parametrize("written", ["1.25", "12.5", "1250.00", "1,234,567"])
def test_a_decimal_point_is_refused_in_a_file_with_decimal_commas(written):
    with pytest.raises(ValueError) as refusal:
        plain_number(written, ",")
    assert str(refusal.value).startswith(f"must be a number with ',' as its decimal sign, got {written!r}.")


# estimate

# By hand; the likely value of two ends is their middle: (1000 + 1300) / 2 = 1150.
READ = {
    "1250": (1250, 1250, 1250), "1.2k": (1200, 1200, 1200), "about 1200": (1200, 1200, 1200), "~ 1,200": (1200, 1200, 1200), "-40": (-40, -40, -40),
    "1000-1300": (1000, 1150, 1300), "1000–1300": (1000, 1150, 1300), "1000 to 1300": (1000, 1150, 1300), "about 1000-1300": (1000, 1150, 1300),
    "Ca. 1k-1.3k": (1000, 1150, 1300), "approx 1 000 - 1 300": (1000, 1150, 1300),
    "1000/1150/1300": (1000, 1150, 1300), "1000 / 1100 / 1900": (1000, 1100, 1900),
    "0-200": (0, 100, 200), "90-110": (90, 100, 110), "500-2k": (500, 1250, 2000), "1\u00a0000-1\u202f300": (1000, 1150, 1300),
}  # fmt: skip


@pytest.mark.parametrize(("written", "meant"), READ.items())
def test_an_estimate_is_read_the_way_people_write_one(written, meant):
    found = estimate(written)
    assert ends(found) == meant
    assert found.text == written


def test_an_estimate_of_a_file_with_decimal_commas():
    assert ends(estimate("1.000-1.300", ",")) == (1000, 1150, 1300)
    assert ends(estimate("0,5/0,75/1,5", ",")) == (Decimal("0.5"), Decimal("0.75"), Decimal("1.5"))
    assert estimate("1.234", ",").likely == 1234
    assert estimate("1.234").likely == Decimal("1.234")


@steadily
@given(st.lists(cents, min_size=3, max_size=3))
def test_three_numbers_written_in_order_are_read_back(three):
    low, likely, high = sorted(three)
    assert ends(estimate(f"{low:f}/{likely:f}/{high:f}")) == (low, likely, high)


@steadily
@given(st.integers(100, 10**6), st.integers(0, 10**6))
def test_two_ends_with_as_many_digits_are_read_back(low, more):
    high = low + more % (10 ** len(str(low)) - low)
    assert ends(estimate(f"{low} to {high}")) == (low, Decimal(low + high) / 2, high)


ASKED = {
    "<200": "must be readable one way only, got '<200'. Write 0-200 for a range, or 200 alone.",
    "> 1.5k": "must be readable one way only, got '> 1.5k'. Write 0-1.5k for a range, or 1.5k alone.",
    "12-1500": "must be readable one way only, got '12-1500'. Write 1200-1500 for 1200 to 1500, or 12/756/1500 for 12 to 1500.",
    "9-10k": "must be readable one way only, got '9-10k'. Write 9000-10000 for 9000 to 10000, or 9/5004.5/10000 for 9 to 10000.",
    "1300-1000": "must rise from low to high, got '1300-1000'.",
    "1300/1150/1000": "must be low, likely, high in rising order, got 1300, 1150, 1000.",
    "1,25-1300": "must be a number with '.' as its decimal sign, got '1,25'. Write 1.25, or declare decimal = ',' for the file in build.toml, as in [files.lines].",
    **{
        text: f"must be a number or a range, got {text!r}. Write 1250, 1000-1300 or 1000/1150/1300; leave it empty if it is not known."
        for text in ("", "a lot", "1-2-3", "1000/1300", "1e3", "2026-11-25", "-5--3")
    },
    **{
        text: f"must be a number or a range, got {text!r}. Write it without {beside!r}, in the unit or currency of the file; leave it empty if it is not known."
        for text, beside in (("12 EUR", "EUR"), ("\u20ac8200", "\u20ac"), ("96000 mi", "mi"), ("1000-1300 km", "km"), ("1.2k km", "km"), ("900kg", "kg"), ("about 40 h", "h"))
    },
}


def test_the_cure_is_written_with_the_decimal_sign_of_the_file_and_can_be_read_there():
    with pytest.raises(ValueError) as refusal:
        estimate("1,5-2k", ",")
    cure = "Write 1500-2000 for 1500 to 2000, or 1,5/1000,75/2000 for 1,5 to 2000."
    assert str(refusal.value) == f"must be readable one way only, got '1,5-2k'. {cure}"
    assert ends(estimate("1,5/1000,75/2000", ",")) == (Decimal("1.5"), Decimal("1000.75"), 2000)


def test_a_cell_too_long_to_be_a_number_is_refused_by_its_length():
    with pytest.raises(ValueError) as refusal:
        estimate("1" * (LONGEST + 1))
    assert str(refusal.value) == f"must be a number or a range, got {LONGEST + 1} characters. Write 1250, 1000-1300 or 1000/1150/1300."
    assert estimate("1" * LONGEST).likely == int("1" * LONGEST)


@pytest.mark.parametrize("written", ASKED)
def test_what_can_be_read_two_ways_or_not_at_all_is_asked_about(written):
    with pytest.raises(ValueError) as refusal:
        estimate(written)
    assert str(refusal.value) == ASKED[written]
