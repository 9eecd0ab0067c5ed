"""A reader's copy: the same figures, and none of the private words."""

import pytest
from demos import demo, event, line, small

from buildecon.decision.compare import compare
from buildecon.ledger.honesty import traps
from buildecon.ledger.ladder import ladder
from buildecon.market.worth import worth
from buildecon.ownership.measured import read_logs
from buildecon.project import read_project
from buildecon.project.for_readers import for_readers, plain_line
from buildecon.project.write import write_project


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
    assert {line.note for line in van.lines} | {event.note for event in van.events} | {option.note for option in van.options} == {""}
    assert all(event.document == "" or event.document.startswith("paper ") for event in van.events)
    named = {line.supplier for line in van.lines} - {""}
    assert {name for name in named if not name.startswith("supplier ")} == set(van.file.publish.name_suppliers)
    assert all(line.order == "" or line.order.startswith("order ") for line in van.lines)
    assert all(one.id.startswith("row ") and one.what.startswith("car ") for one in van.market)
    assert van.folder == "" and van.file.value.basis == ""


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_copy_can_be_written_and_read_as_a_folder_of_its_own(name, tmp_path):
    # A way of selling in the pickup has a price and no price_share: a share of 1 that nobody wrote must not come to stand beside it.
    write_project(for_readers(demo(name)), tmp_path)
    assert ladder(read_project(tmp_path))["stands_in_at"] == ladder(demo(name))["stands_in_at"]


def test_two_payments_alike_on_two_papers_are_no_copy_of_each_other_for_readers_either():
    pair = [event("one", "payment", "50", document=paper) for paper in ("receipt 17", "receipt 18")]
    owner = small([line("one")], pair)
    for project in (owner, for_readers(owner)):
        assert "same_event_twice" not in {trap.id for trap in traps(project, ladder(project))}
    assert "receipt" not in for_readers(owner).model_dump_json()


@pytest.mark.parametrize(("written", "seen"), [("a\x00b\x1bc", "abc"), ("\u202egnp.exe\u202c", "gnp.exe"), (" two\n lines\t", "two lines"), ("e\u0301tat", "\u00e9tat"), ("z" + "\u0336" * 50, "z\u0336"), ("x" * 3000, "x" * 1997 + "..."), ("", "")])
def test_a_text_becomes_one_line_of_what_can_be_seen(written, seen):
    assert plain_line(written) == seen


def test_every_text_of_the_copy_is_plain_and_what_refers_to_it_still_does():
    pickup = demo("pickup")
    ids = {line.id: f"{line.id}\u202e" for line in pickup.lines}
    lines = tuple(line.model_copy(update={"id": ids[line.id], "item": f"{line.item}\u202e\x00"}) for line in pickup.lines)
    events = tuple(event.model_copy(update={"line": ids.get(event.line, event.line)}) for event in pickup.events)
    shown = for_readers(pickup.model_copy(update={"lines": lines, "events": events}))
    assert shown == for_readers(pickup) and not [line for line in shown.lines if "\u202e" in line.model_dump_json()]
