"""One trap, its name, and the reason it was overruled for."""

from decimal import Decimal

import pytest
from demos import DATA, changed, demo

from buildecon.ledger.trap import Trap, in_money, with_reasons
from buildecon.project.honesty import TRAPS, Overruled


def test_the_reason_goes_to_every_trap_of_that_name_and_to_no_other():
    project = changed(demo("van"), overruled=(Overruled(trap="no_waste", because="None yet."),))
    found = with_reasons(project, (Trap("no_waste", "1", "."), Trap("no_tools", "2", "."), Trap("no_waste", "3", ".")))
    assert [(trap.figure, trap.overruled) for trap in found] == [("1", "None yet."), ("2", ""), ("3", "None yet.")]


def test_a_trap_without_a_name_is_none():
    assert Trap("no_waste", "", "").name == "no waste at all"
    with pytest.raises(KeyError):
        Trap("no_such", "", "").name  # noqa: B018


def test_an_amount_has_its_currency():
    assert in_money(demo("van"), Decimal("2010.4")) == "2,010 EUR"


def test_every_trap_is_described_for_the_owner_and_none_that_is_not_there():
    rows = [line.split("`")[1] for line in (DATA / "README.md").read_text().split("| trap | it is told when |")[1].split("\n\n")[0].splitlines() if line.startswith("| `")]
    assert rows == list(TRAPS)
