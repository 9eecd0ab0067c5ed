"""Rules of market.csv and of the tables of worth that hold between files."""

import pytest
from project.folders import LINES, MARKET, ROOT, TOML, faults_of, made

from buildecon.project.worth import KINDS_OF_WORK


def said(tmp_path, build=TOML, market=MARKET):
    return [str(fault) for fault in faults_of(made(tmp_path / "car", build=build, market=market, lines=LINES))]


HEAD = "id,what,kind,date,price,currency,rate\n"


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("m1,x,sold,2031-05-01,1900,,", "date: must be on or before as_of"),
        ("m1,x,sold,1826-05-01,1900,,", "date: must be in 1900 or later"),
        ("m1,x,sold,2026-04-01,1900,SEK,", "rate: must be given for SEK"),
        ("m1,x,sold,2026-04-01,1900,,1.1", "rate: must be empty for an amount in"),
        ("m1,x,sold,,1900,,", "date: must be given"),
        ("m1,x,sold,2026-04-01,0,,", "price: must be above 0"),
        ("m1,x,sould,2026-04-01,1900,,", "Did you mean 'sold'?"),
    ],
)
def test_a_row_that_cannot_be_true_is_refused(tmp_path, row, message):
    [fault] = said(tmp_path, market=HEAD + row + "\n")
    assert fault.startswith("market.csv line 2") and message in fault


def test_every_cell_of_a_row_is_told_of_at_once(tmp_path):
    row = "id,what,kind,date,price,ask,condition\nm1,x,refused offer,3.5.2026,8200 EUR,9000,good\n"
    told = said(tmp_path, market=row)
    assert [fault.split(":")[0] for fault in told] == [f"market.csv line 2, {column}" for column in ("condition", "date", "kind", "price")]
    assert "Did you mean 'offer refused'?" in told[2] and told[3].endswith("Write it without 'EUR', in the unit or currency of the file.")
    assert not [fault for fault in told if "empty if" in fault or "cell empty" in fault]  # a price and a date must be there
    # An ask without a price that can be read says nothing yet of whether it stands below the bid.
    (tmp_path / "other").mkdir()
    assert len(said(tmp_path / "other", market="id,what,kind,date,price,ask\nm1,x,sold,2026-04-01,?,9000\n")) == 1


@pytest.mark.parametrize(
    ("cell", "message"),
    [("Finished", "Did you mean 'finished'?"), ("striped", "Did you mean 'stripped'?")],
)
def test_a_state_is_asked_about_once(tmp_path, cell, message):
    [fault] = said(tmp_path, market=f"id,what,kind,date,price,state\nm1,x,sold,2026-04-01,1900,{cell}\n")
    assert "must be one of 'as found'" in fault and message in fault


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ('[[states]]\nstate = "stripped"\nsince = 2026-03-01\n[[states]]\nstate = "running"\nsince = 2026-02-01\n', "states.2.since: must be after that of the state before it"),
        ('[contribution]\nbase = 900\n[[contribution.work]]\nkind = "wheels and tyres"\nsystems = ["Engin"]\n', "Did you mean 'Engine'?"),
        ('[contribution]\nbase = 900\n[[contribution.work]]\nkind = "wheels and tyres"\nsystems = ["Engine"]\n[[contribution.work]]\nkind = "cage and track parts"\nsystems = ["Engine"]\n', "must name each system once, got 'Engine' 2 times"),
        ('[contribution]\nbase = 900\n[[contribution.work]]\nkind = "flames"\nsystems = ["Engine"]\n', "given adds, the share of its cost"),
        ("[market]\nfirst_guess = 9000\n", "given first_guess as a range"),
        ('[[routes]]\nname = "advert"\nweeks = 3\nprice_share = 88\n', "Write 95 % as 0.95."),
        ("[this_car]\nyear = 86\n", "at least 1885"),
    ],
)
def test_a_table_of_worth_that_cannot_be_true_is_refused(tmp_path, more, message):
    [fault] = said(tmp_path, build=TOML + "\n" + more)
    assert fault.startswith("build.toml line") and message in fault


def test_an_empty_market_file_is_no_reason_to_copy_one(tmp_path):
    [fault] = said(tmp_path, market="\n")
    assert "Delete it, or give it the header line of its columns." in fault


def test_the_guide_lists_every_kind_of_work_with_its_share():
    guide = (ROOT / "data-demo" / "README.md").read_text(encoding="utf-8")
    for kind, (low, high) in KINDS_OF_WORK.items():
        assert f"| {kind} | {float(low):.0%} to {float(high):.0%} |" in guide
