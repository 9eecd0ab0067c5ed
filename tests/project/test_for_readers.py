"""A reader's copy: the same figures, and none of the private words."""

import pytest
from demos import demo

from buildecon.decision.compare import compare
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth
from buildecon.ownership.measured import read_logs
from buildecon.project.for_readers import for_readers


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_every_figure_stays(name):
    owner = demo(name)
    reader = for_readers(owner)
    assert [(one.line.id, one.cost, one.low, one.high, one.planned) for one in ladder(reader).settled] == [(one.line.id, one.cost, one.low, one.high, one.planned) for one in ladder(owner).settled]
    assert [(rung.id, rung.amount, rung.low, rung.high) for rung in ladder(reader).rungs] == [(rung.id, rung.amount, rung.low, rung.high) for rung in ladder(owner).rungs]
    assert compare(reader).total == pytest.approx(compare(owner).total, nan_ok=True, rel=0)
    assert worth(reader).value == worth(owner).value
    assert [log.bought for log in read_logs(reader)] == [log.bought for log in read_logs(owner)]


def test_words_that_hold_rows_together_become_numbers_and_notes_are_gone():
    van = for_readers(demo("van"))
    assert {line.note for line in van.lines} | {event.note + event.document for event in van.events} | {option.note for option in van.options} == {""}
    named = {line.supplier for line in van.lines} - {""}
    assert {name for name in named if not name.startswith("supplier ")} == set(van.file.publish.name_suppliers)
    assert all(line.order == "" or line.order.startswith("order ") for line in van.lines)
    assert all(one.id.startswith("row ") and one.what.startswith("car ") for one in van.market)
    assert van.folder == "" and van.file.value.basis == ""
