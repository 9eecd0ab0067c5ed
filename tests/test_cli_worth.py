"""`buildecon worth`: the promised object with every field in its place, the three demos' figures, and bad evidence that is refused or said."""

import json
import shutil

import pytest
from demos import DATA

from buildecon.cli import main

DEMOS = ("van", "roadster", "pickup")
VALUE = ["low", "likely", "high", "level", "basis", "state", "date", "n", "sold", "n_all_states", "from"]
EVIDENCE = ["id", "kind", "date", "figure", "read_as", "because", "weight", "says_low", "says_high", "pull", "chance_by_the_others"]
EQUITY = ["rung", "outlay", "low", "likely", "high", "share_recovered", "chance_of_more", "at_your_own_figure"]
STATE = ["state", "what", "since", "to_come", "source", "rows", "sold", "low", "likely", "high", "money_before", "money_in"]
PARTS = ["parts", "fees", "costs", "net", "sd_by_luck", "hours", "within_months"]


def run(capsys, *typed):
    assert main(list(typed)) == 0
    return capsys.readouterr().out


def document(capsys, folder):
    return json.loads(run(capsys, "worth", str(folder), "--json"))


def keys(found):
    if isinstance(found, dict):
        for key, value in found.items():
            yield key
            yield from keys(value)
    elif isinstance(found, list):
        for value in found:
            yield from keys(value)


@pytest.mark.parametrize("name", DEMOS)
def test_worth_gives_the_object_it_promises(capsys, name):
    found = document(capsys, DATA / name)
    assert found["format"] == "buildecon.worth/1"
    assert list(found["value"]) == VALUE
    for part, fields in (("evidence", EVIDENCE), ("equity", EQUITY), ("by_state", STATE), ("flags", ["name", "figure", "cure", "grave"])):
        assert found[part] and all(list(row) == fields for row in found[part]), part
    assert list(found["part_out"]) == PARTS and all(list(part) == ["what", "price", "chance"] for part in found["part_out"]["parts"])
    assert found["value"]["low"] < found["value"]["likely"] < found["value"]["high"]


@pytest.mark.parametrize("name", DEMOS)
def test_the_fields_are_those_of_the_developers_table(capsys, name):
    row = next(line for line in (DATA.parent / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines() if line.startswith("| `worth` |"))
    told = set(keys(document(capsys, DATA / name))) - {"format", "what", "price", "chance", "worst", "best", "name", "figure", "cure", "grave"}
    assert not {key for key in told if f"`{key}`" not in row}


@pytest.mark.parametrize(
    ("name", "likely", "n", "sold", "basis", "outlay", "own", "recovered", "counted_on"),
    [
        ("van", 12000, 5, 2, "buyer pays", 23035, -11035, 0.52, 3000),
        ("roadster", 5900, 8, 5, "seller gets", 8480, -2580, 0.70, 0),
        ("pickup", 24500, 2, 2, "buyer pays", 57820, -33320, 0.42, 0),
    ],
)
def test_the_demos_say_what_their_owners_worked_out(capsys, name, likely, n, sold, basis, outlay, own, recovered, counted_on):
    found = document(capsys, DATA / name)
    assert found["value"]["likely"] == pytest.approx(likely, rel=0.02)
    assert (found["value"]["n"], found["value"]["sold"], found["value"]["basis"], found["value"]["level"], found["value"]["from"]) == (n, sold, basis, 0.8, "evidence")
    stands_in = next(one for one in found["equity"] if one["rung"] == "stands_in_at")
    assert (stands_in["outlay"], stands_in["at_your_own_figure"], found["counted_on"]) == (outlay, own, counted_on)
    assert found["your_own"]["likely"] / outlay == pytest.approx(recovered, abs=0.005)
    assert stands_in["share_recovered"] == pytest.approx(found["value"]["likely"] / outlay, abs=1e-4)
    assert stands_in["likely"] == pytest.approx(found["value"]["likely"] - outlay, abs=0.011)
    assert stands_in["chance_of_more"] < 0.02


def test_the_pickup_s_dip_and_its_pieces_and_three_numbers_on_one_line(capsys):
    found = document(capsys, DATA / "pickup")
    assert [(one["state"], one["likely"], one["source"]) for one in found["by_state"]] == [
        ("running", 11500, "stated"), ("running", 13500, "stated"), ("stripped", 9300, "stated"), ("running again", 21000, "stated"), ("running again", 24500, "stated"), ("finished", 34000, "stated")
    ]  # fmt: skip
    assert [one["sold"] for one in found["by_state"]] == [0, 0, 2, 2, 2, 3]
    assert found["by_state"][4]["money_in"] == 57820 and found["by_state"][5]["to_come"]
    # 8,200 + 1,400 + 900 + 1,100 + 2,200 + 500 + 5,500, less 8 % and 350
    assert found["part_out"]["net"]["likely"] == pytest.approx(19800 * 0.92 - 350) and found["part_out"]["hours"] == 90
    assert (found["insured"]["sum"], found["insured"]["paid_at_most"], found["insured"]["short_of_outlay"]) == (30000, 30000, 27820)
    said = " ".join(run(capsys, "worth", str(DATA / "pickup")).split())
    assert "Insured for 30,000 USD as agreed value; it would sell for 24,500 USD and it stands you in at 57,820 USD." in said


def test_each_row_tells_how_it_was_read_and_what_it_pulls(capsys):
    rows = {one["id"]: one for one in document(capsys, DATA / "roadster")["evidence"]}
    assert [one["read_as"] for one in rows.values()] == ["as price"] * 5 + ["margin"] * 3 + ["as price"] * 2 + ["left out"]
    assert rows["m06"]["because"] == "taken to stand 8% above a price" and rows["m06"]["figure"] == 6995
    assert rows["m04"]["figure"] == 6400  # what the seller gets: the buyer's premium is not in it
    assert rows["m11"]["pull"] is None and rows["m11"]["weight"] == 0
    assert rows["m04"]["pull"] > 0 > rows["m01"]["pull"]
    assert all(0 <= one["chance_by_the_others"] <= 1 for one in rows.values() if one["weight"])


def test_the_answer_of_the_object_is_the_text_s_and_its_figures_are_in_the_tables(capsys):
    for name in DEMOS:
        found, text = document(capsys, DATA / name), run(capsys, "worth", str(DATA / name))
        assert " ".join(text.split()).startswith(found["answer"].split(".")[0])
        for one in found["equity"]:
            assert f"{one['outlay']:,.0f}" in text
        for part in found["part_out"]["parts"]:
            assert f"{part['price']:,.0f}" in text


def edited(tmp_path, *rows, head="id,what,kind,date,price,currency,rate,car,days_listed\n"):
    """The roadster with these rows of evidence."""
    folder = tmp_path / "car"
    shutil.copytree(DATA / "roadster", folder)
    (folder / "market.csv").write_text(head + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("m1,x,sold,2027-05-01,5900,,,,", "market.csv line 2, date: must be on or before as_of, 2026-09-30, got 2027-05-01."),
        ("m1,x,sold,2026-05-01,5900,SEK,,,", "market.csv line 2, rate: must be given for SEK: GBP for one SEK on that date."),
        ("m1,x,sold,2026-05-01,-5900,,,,", "market.csv line 2, price: must be above 0, got -5900."),
        ("m1,x,asking,2026-05-01,5900,,,,-3", "market.csv line 2, days_listed: must be a number of at least 0, got -3."),
        ("m1,x,sold,2026-05-01,6000-5000,,,,", "market.csv line 2, price: must rise from low to high, got '6000-5000'."),
    ],
)
def test_evidence_that_cannot_be_is_refused_by_line_and_column(capsys, tmp_path, row, said):
    assert main(["worth", str(edited(tmp_path, row)), "--json"]) != 0
    heard = capsys.readouterr()
    assert said in " ".join((heard.out + heard.err).split())


def test_a_bid_above_the_later_ask_is_said_and_the_later_counts(capsys, tmp_path):
    found = document(capsys, edited(tmp_path, "b,x,bid,2026-04-01,6000,,,red,", "a,x,asking,2026-05-01,5600,,,red,", "s,y,sold,2026-05-01,5900,,,,"))
    assert [one["read_as"] for one in found["evidence"]] == ["left out", "margin", "as price"]
    [clash] = [flag for flag in found["flags"] if flag["name"] == "b contradicts another row"]
    assert clash["grave"] and clash["figure"] == "bid 6000 GBP on 2026-04-01 does not go with asking 5600 GBP on 2026-05-01 for the same car: the later is kept"


def test_a_car_counted_twice_is_counted_once_and_said(capsys, tmp_path):
    found = document(capsys, edited(tmp_path, "m1,x,sold,2026-05-01,5900,,,,", "m2,x,sold,2026-05-01,5900,,,,"))
    assert found["value"]["n"] == 1 and "m2 is a repeat" in {flag["name"] for flag in found["flags"]}


def test_without_any_row_there_is_the_owner_s_figure_and_no_range_of_the_market(capsys, tmp_path):
    folder = edited(tmp_path)
    toml = folder / "build.toml"
    toml.write_text("\n".join(line for line in toml.read_text(encoding="utf-8").splitlines() if not line.startswith("first_guess")) + "\n", encoding="utf-8")
    found = document(capsys, folder)
    assert found["value"] is None and found["evidence"] == [] and found["today"] == {"low": 5400, "likely": 5900, "high": 6300, "from": "your own"}
    assert found["flags"][0]["name"] == "no evidence"
    assert all(one["chance_of_more"] is None for one in found["equity"])
