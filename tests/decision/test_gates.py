"""Must-haves: pass, fail, near miss, not known, and what each costs."""

from decimal import Decimal

import numpy as np
import pytest
from demos import demo

from buildecon.decision.gates import Gate, cost_of_each_gate, gate, gates_of
from buildecon.project.records import MustHave

RANGE = MustHave(id="range", name="winter range", unit="km", at_least=110)
LENGTH = MustHave(id="length", name="length", unit="m", at_most=Decimal("3.9"))
ZONE = MustHave(id="zone", name="zone", until_year=2034)
LEGAL = MustHave(id="legal", name="legal", yes=True)


@pytest.mark.parametrize(
    ("must", "fact", "passes", "near", "reason"),
    [
        (RANGE, 113, True, True, "winter range: 113 km, needs at least 110 (passes by 3 km)"),
        (RANGE, 107, False, True, "winter range: 107 km, needs at least 110 (fails by 3 km)"),
        (RANGE, 87, False, False, "winter range: 87 km, needs at least 110"),
        (RANGE, 148, True, False, "winter range: 148 km, needs at least 110"),
        (LENGTH, Decimal("4.4"), False, False, "length: 4.4 m, needs at most 3.9"),
        (LENGTH, Decimal("3.85"), True, True, "length: 3.85 m, needs at most 3.9 (passes by 0.05 m)"),
        (ZONE, 2027, False, False, "zone: to 2027, needs 2034"),
        (ZONE, 2033, False, True, "zone: to 2033, needs 2034"),
        (ZONE, "always", True, False, "zone: always, needs 2034"),
        (LEGAL, True, True, False, "legal: yes"),
        (LEGAL, False, False, False, "legal: no"),
        (LEGAL, "unknown", False, False, "legal: not known, so it does not pass"),
    ],
)
def test_a_fact_is_held_against_a_must_have(must, fact, passes, near, reason):
    assert gate(must, fact) == Gate(must.id, passes, near, reason)


def test_the_van_fails_where_its_story_says():
    van = demo("van")
    failed = {option.id: [one.must_have for one in gates_of(option, van.file.must_haves) if not one.passes] for option in van.options}
    assert {id: gates for id, gates in failed.items() if gates} == {"keep-diesel": ["zone"], "e33": ["winter_range"]}


def gates(*failed):
    return tuple(Gate(name, name not in failed, False, "") for name in ("a", "b"))


def test_a_must_have_costs_the_gap_to_the_cheapest_that_it_alone_shuts_out():
    # Passing all: 100. Without a: 70, so a costs 30. The 20 fails both, so no single one lets it in.
    assert cost_of_each_gate([100, 70, 20], [gates(), gates("a"), gates("a", "b")]) == {"a": (30.0, 1), "b": (0.0, None)}


def test_a_must_have_that_leaves_nothing_has_no_price():
    costs = cost_of_each_gate([70.0], [gates("a")])
    assert np.isnan(costs["a"][0]) and costs["a"][1] == 0
