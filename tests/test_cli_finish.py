"""`buildecon finish`: the promised object, the plain answer first, every demo, and a rate that is the reader's."""

import json

import pytest
from demos import DATA

from buildecon.cli import main

PICKUP = str(DATA / "pickup")


def run(capsys, *typed):
    assert main(list(typed)) == 0
    return capsys.readouterr().out


def document(capsys, *typed):
    return json.loads(run(capsys, "finish", *typed, "--json"))


def test_finish_gives_the_object_it_promises(capsys):
    found = document(capsys, PICKUP)
    assert (found["format"], found["best"], found["currency"]) == ("buildecon.finish/1", "without 1", "USD")
    ways = {way["id"]: way for way in found["ways"]}
    assert {id: round(way["likely"]) for id, way in ways.items()} == {"without 1": 27084, "finish": 26493, "sell": 23765, "shelve": 21979, "part out": 17866}
    assert [way["likely"] for way in found["ways"]] == sorted((way["likely"] for way in found["ways"]), reverse=True)
    assert ways["without 1"]["own_hours"] == 120 and ways["without 1"]["an_hour_earns"] == 27.66
    assert ways["sell"]["an_hour_earns"] is None
    assert sum(way["chance_of_being_the_best"] for way in found["ways"]) == pytest.approx(1, abs=1e-3)
    assert found["keep"]["against"] == "used-corran" and (round(found["keep"]["per_month"]), round(found["keep"]["against_per_month"])) == (361, 577)
    assert found["cost_ceiling"] == 9215 and found["finished_value_needed"] == 31187.29
    assert found["spent_not_in_this_decision"] == 57820
    assert [phase["before"] for phase in found["gates"]["phases"]][1] == "Paint"
    assert (found["still_to_come"]["at_the_pace_so_far"], found["still_to_come"]["past"]) == (7075.82, None)


def test_the_fields_are_those_of_the_developers_table(capsys):
    row = next(line for line in (DATA.parent / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines() if line.startswith("| `finish` |"))
    for name in ("van", "pickup", "roadster"):
        found = document(capsys, str(DATA / name))
        parts = [found, found["counted"], *found["ways"], found["keep"], found["still_to_come"], *([found["gates"], *found["gates"]["phases"]] if found["gates"] else [])]
        assert not [key for part in parts for key in part if f"`{key}`" not in row and key != "format"]


def test_the_plain_answer_comes_first(capsys):
    said = run(capsys, "finish", PICKUP)
    assert " ".join(said.split("\n\n")[0].split()) == "Finish it, but leave the paint: 27,084 USD in hand against 23,765 for selling today; the 120 hours left earn 28 USD each. Parting it out brings 17,866."
    assert said.count("57,820") == 1
    assert "open" in said.splitlines()[-1] and said.splitlines()[-1].endswith("finish_or_sell")


def test_the_roadster_s_respray_is_told_twice_if_selling_and_if_keeping(capsys):
    said = " ".join(run(capsys, "finish", str(DATA / "roadster")).split())
    assert said.startswith("Nothing is left to finish. Sell it as it stands: 5,664 GBP in hand.")
    assert "Full respray: if you sell, it loses 382 GBP (worst -1,112, best 202), and would pay below 768; kept 10 years, it costs about 3 GBP a month, a question of taste." in said


def test_the_van_is_done(capsys):
    found = document(capsys, str(DATA / "van"))
    assert not found["anything_left"] and found["gates"] is None and found["cost_ceiling"] is None
    assert found["best"] == "sell"


def test_a_rate_of_the_reader_s_is_used_and_said(capsys):
    found = document(capsys, PICKUP, "--discount-rate", "0.06")
    assert found["counted"]["discount_rate"] == 0.06
    finish = next(way for way in found["ways"] if way["id"] == "finish")
    # 4 months: 32,980 / 1.06^(1/3) - 6,486.67 / 1.06^(1/6)
    assert finish["likely"] == pytest.approx(32980 / 1.06 ** (1 / 3) - 6486.6667 / 1.06 ** (1 / 6), abs=0.01)
    assert "discount rate 6 % a year" in " ".join(found["assumptions"])


def test_a_new_folder_is_answered(capsys, tmp_path):
    run(capsys, "new", str(tmp_path / "mine"))
    assert document(capsys, str(tmp_path / "mine"))["answer"]
