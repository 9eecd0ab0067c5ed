"""The phases of a project as gates: the pickup's paint, the rest, figures of the files and turned ones."""

import pytest
from demos import demo

from buildecon.decision.ahead import Turned, ahead, open_lines
from buildecon.decision.phases import staged_build
from buildecon.ledger.ladder import ladder
from buildecon.project.half_way import BadNews, Outcome, Phase
from buildecon.quantities.estimate import sure


def phased(*phases, **turned):
    pickup = demo("pickup")
    pickup = pickup.model_copy(update={"file": pickup.file.model_copy(update={"phases": tuple(phases)})})
    totals = ladder(pickup)
    return staged_build(pickup, ahead(pickup, totals, Turned(**turned)), open_lines(totals))


def test_the_pickup_s_paint_is_not_worth_its_gate():
    pickup = demo("pickup")
    totals = ladder(pickup)
    found = staged_build(pickup, ahead(pickup, totals), open_lines(totals))
    comfort, paint = found.gates
    # Done 34,000 x .97 = 32,980; without the paint 33,200 x .97 = 32,204; bad news adds .35 x 1,500 = 525 to whatever the paint costs.
    assert (comfort.stop, paint.stop) == (23765, pytest.approx(32204))
    assert paint.limit == pytest.approx((251, 251)) and paint.goes_on == 0
    assert comfort.limit == pytest.approx((8439, 8439)) and comfort.goes_on == 1
    # The three figures of a range have nearly its PERT mean: 5,120 + 150 to open it, and 1,367 + 525.
    assert comfort.expected == pytest.approx(5270, abs=5) and paint.expected == pytest.approx(1892, abs=5)
    assert found.value == pytest.approx(27084 - 150, abs=5)


def test_lines_in_no_phase_are_a_last_one():
    found = phased(Phase(id="paint", what="the paint", lines=("p070",)))
    assert [gate.what for gate in found.gates] == ["the paint", "the rest"]
    assert found.gates[1].expected == pytest.approx(5120, abs=5)


def test_a_phase_with_a_cost_outcomes_and_a_stop_of_its_own():
    lines = tuple(f"p{n:03}" for n in range(66, 75))
    found = phased(Phase(id="a", what="a", lines=lines), Phase(id="b", what="b", cost=sure(1000), stop_value=sure(30000), outcomes=(Outcome(times=sure("0.9"), chance=sure("0.5")), Outcome(times=sure("1.2"), chance=sure("0.5")))))
    # 32,980 x 1.05 - 29,100
    assert found.gates[1].limit == pytest.approx((5529, 5529))


def test_a_turned_cost_left_turns_the_phases_with_it():
    phase = Phase(id="all", what="all", lines=tuple(f"p{n:03}" for n in range(66, 75)))
    once, twice = phased(phase).gates[0].expected, phased(phase, cost_left=2 * 6486.6666667).gates[0].expected
    assert twice == pytest.approx(2 * once)


def test_bad_news_never_leaves_more_to_stop_for_than_good_news():
    news = BadNews(what="gold under the tape", chance=sure("0.5"), adds=sure(0), look=sure(1), stop_value=sure(99000))
    assert phased(Phase(id="p", what="p", lines=("p070",), bad_news=news)).value == pytest.approx(phased(Phase(id="p", what="p", lines=("p070",))).value)


def test_without_phases_or_money_to_come_there_is_nothing_staged():
    assert phased() is None
    assert phased(Phase(id="a", what="a", lines=tuple(f"p{n:03}" for n in range(66, 75))), cost_left=0.0) is None
