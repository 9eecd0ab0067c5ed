"""The parts list: what was waste says so, beside who gave it."""

from demos import line, money, small

from buildecon.story.telling.parts_list import parts_rows
from buildecon.story.telling.told import Told


def test_waste_is_marked_by_its_cause():
    lines = [line("a", paid=1, cause="wrong part"), line("b", paid=2, cause="scope added"), line("c", paid=0, cause="bought twice", funding="given", street_price=money(5), supplier="Tin Shed"), line("d", paid=3)]
    rows = parts_rows(Told(small(lines)), {"c": "given by Tin Shed", "d": "sold cheaper"})
    assert {row["part"]: row["mark"] for row in rows if row["part"] in "abcd"} == {"a": "wrong part", "b": "", "c": "bought twice; given by Tin Shed", "d": "sold cheaper"}
