"""The sentences, tables and object of what to cut: plain, rounded once, true to the engine."""

import datetime as dt
import json
import re
from math import inf

import pytest
from demos import demo, line
from workshop import menu_of, open_line

from buildecon.decision.trim import trimmed, worth_by_money
from buildecon.decision.work_list import AGAIN, LEFT, menu
from buildecon.ledger.settlement import settle
from buildecon.story import dials
from buildecon.story import trim_tables as tables
from buildecon.story import trim_words as words
from buildecon.story.trim_given import trim_document, trim_text


def chosen(name, view=LEFT, kept=True, budget=inf, hours=inf):
    project = demo(name)
    found = trimmed(menu(project, settle(project), view, kept), budget, hours)
    return found, worth_by_money(found.menu, hours)


def cut(jobs, budget=inf, hours=inf, view=LEFT, **more):
    found = trimmed(menu_of(jobs, view, **more), budget, hours)
    return found, worth_by_money(found.menu, hours)


A, B = {"id": "a", "what": "seats", "worth_to_you": 300, "hours": 5}, {"id": "b", "what": "paint", "cost": 500, "adds": 200, "hours": 20}


def test_the_first_sentences_of_the_pickup():
    found, curve = chosen("pickup", budget=2500, hours=80)
    assert words.trim_sentence(found) == (
        "With 2,500 USD and 80 hours: do final alignment, small parts and fluids, dual battery and fridge, 2,388 USD and 15 hours together; "
        "leave paint touch-up: it costs 1,367 USD and adds 776."
    )
    assert words.gain_sentence(found) == "That is worth 2,651 USD to you, with what it adds to the sale: 262 more than it costs. 112 USD stay in the pocket."
    assert words.next_sentence(found, curve) == "With 232 USD more you would add sound deadening. From 5,355 USD on, more money brings nothing that is worth it."
    assert words.nested_sentence(found, curve).endswith("At 775 USD, say, sound deadening goes out again for the old seats re-covered.")


def test_the_roadster_is_told_to_leave_the_respray_and_the_van_to_count_its_must_dos():
    assert words.trim_sentence(chosen("roadster")[0]) == "With no limit on money or hours: do none of it. Leave full respray: it costs 1,150 GBP, adds 768 and is worth 300 to you."
    assert words.trim_sentence(chosen("van", AGAIN)[0]).startswith("To do it again with no limit on money or hours: do the 7 must-dos, salvage pack of 40 kWh, wiring at home and electric cabin heater, 18,286 EUR")
    assert words.trim_sentence(chosen("pickup", kept=False, budget=900)[0]).startswith("With 900 USD, to sell it: do final alignment, 293 USD and 2 hours together; leave paint touch-up: it costs 1,367 USD and adds 776.")


@pytest.mark.parametrize(
    ("jobs", "limits", "said"),
    [
        ([A | {"must": True}], {"budget": 60}, "The must-dos with what they need (seats) cost 100 GBP: 40 GBP more than the 60 GBP there is. Find that, or take must = true off one of them."),
        ([A | {"must": True}], {"hours": 4}, "The must-dos with what they need (seats) take at least 5 hours: 1 hour more than the 4 there are. Have some of it done, or take must = true off one of them."),
        ([A], {"budget": 0}, "With 0 GBP: not one job fits."),
        ([A, B], {"budget": 0}, "With 0 GBP: not one job fits. Leave paint: it costs 500 GBP and adds 200."),
        ([B], {}, "With no limit on money or hours: do none of it. Leave paint: it costs 500 GBP and adds 200."),
        ([B | {"adds": -40}], {}, "With no limit on money or hours: do none of it. Leave paint: it costs 500 GBP and takes 40 off."),
        ([{"id": "a", "what": "seats"}], {}, "With no limit on money or hours: do none of it. Nothing says what seats would be worth."),
        ([A], {"hours": 8}, "With 8 hours: do seats, 100 GBP and 5 hours together."),
    ],
)
def test_answers_to_odd_questions(jobs, limits, said):
    assert words.trim_sentence(cut(jobs, **limits)[0]) == said


def test_must_dos_over_a_phase_or_against_each_other():
    over = cut([A | {"must": True, "phase": "p"}], phases=[{"id": "p", "opens": 30, "budget": 90}])[0]
    assert words.trim_sentence(over) == "The must-dos with what they need (seats, and 30 GBP to open a phase) go over the budget of a phase by 40 GBP. Raise budget under [[phases]], or take must = true off one of them."
    jobs = [{"id": id, "one_of": "x"} for id in "ab"] + [{"id": "c", "must": True, "needs": [["a", "b"]]}, {"id": "d", "must": True, "needs": [["a"]]}, {"id": "e", "must": True, "needs": [["b"]]}]
    assert words.trim_sentence(cut(jobs)[0]) == "The must-dos rule each other out: no set of jobs has them all. Look at must, needs and one_of under [[jobs]]."


def test_a_job_that_pays_but_not_with_the_opening_of_its_phase_says_so():
    found = cut([A | {"phase": "p"}], phases=[{"id": "p", "opens": 300}])[0]
    assert words.trim_sentence(found) == "With no limit on money or hours: do none of it. Leave seats: it would pay, but not what its phase costs to open."


def test_without_jobs_the_answer_says_what_to_write():
    found, curve = cut([], lines=(open_line("p1", 70), open_line("p2", 30)))
    assert words.trim_sentence(found) == "2 lines are still to come, 100 GBP together. Nothing says yet what they are worth to you: write a [[jobs]] table in build.toml for each job that could be left out."
    assert tables.jobs_table(found) == [{"still open": "p1", "costs": "70"}, {"still open": "p2", "costs": "30"}]
    assert not tables.levels_table(found) and not tables.skip_table(found) and not tables.months_table(found) and not tables.frontier_frames(found, curve)["sets"]
    again, _ = cut([], view=AGAIN, lines=(line("p1", paid=70),), stage="finished")
    assert words.trim_sentence(again).startswith("Done again for a reader it would cost 70 GBP. Nothing says yet")
    assert words.trim_sentence(cut([], lines=(line("p1", paid=70),))[0]) == "Nothing is still to come in lines.csv, and build.toml has no [[jobs]]: nothing can be cut."
    assert words.trim_sentence(cut([{"id": "a", "lines": ["p1"]}], lines=(line("p1", paid=70),))[0]) == "Nothing is left to choose: every job is done or ruled out by one that is."


def test_what_more_money_brings():
    found, curve = cut([A, B | {"adds": 900}], 100)
    assert words.next_sentence(found, curve) == "With 400 GBP more you would add paint and drop seats. From 600 GBP on, more money brings nothing that is worth it."
    assert words.next_sentence(*cut([A, B | {"adds": 900}], 600)) == "More money would bring nothing that is worth it."
    assert words.next_sentence(*cut([A, B | {"adds": 900}], 600, 5)) == "More money would bring nothing that is worth it with these hours."


def test_a_must_do_that_brings_less_than_it_costs_is_said_to_be_one():
    assert words.gain_sentence(cut([B | {"must": True}])[0]) == "That is worth 200 GBP to you, with what it adds to the sale: 300 less than it costs. It is done because it must be."


@pytest.mark.parametrize(("names", "said"), [([], "nothing"), (["a"], "a"), (["a", "b"], "a and b"), (["a, b", "c"], "'a, b' and c"), (list("abcdefghi"), "a, b, c, d, e, f and 3 more")])
def test_names_in_a_sentence(names, said):
    assert words.listed(names) == said


def test_the_tables_hold_the_engine_s_figures():
    found, curve = chosen("pickup", budget=2500, hours=80)
    by_job = {row["job"]: row for row in tables.jobs_table(found)}
    assert (by_job["paint touch-up"]["verdict"], by_job["paint touch-up"]["costs"], by_job["paint touch-up"]["adds to the sale"]) == ("leave: brings less than it costs", "1,367", "776")
    assert by_job["fridge"]["needs"] == "dual battery or isolator on the starter battery"
    assert [(row["costs"], row["worth less cost"]) for row in tables.levels_table(found)] == [("293", "-143"), ("2,388", "+262"), ("5,355", "+857")]
    assert tables.skip_table(found)[1] == {"leave out": "paint touch-up", "saves": "1,367", "hours saved": "4", "loses": "776", "saved for each 1 lost": "1.76", "goes too": "", "or instead": "", "what you lose": "it looks its age; nothing rusts for it"}
    # 900 saved and 450 in September: 1,350 less 293 and 358; the battery waits for November, the fridge for December.
    assert [(row["month"], row["pay for"]) for row in tables.months_table(found)] == [("Sep 2026", "final alignment"), ("Sep 2026", "small parts and fluids"), ("Nov 2026", "dual battery"), ("Dec 2026", "fridge")]
    steps = tables.steps_table(found, curve)
    assert len(steps) <= tables.STEPS and steps[-1]["with"] == "5,355"


def test_the_steps_shown_of_many_still_add_up_from_the_first_to_the_last():
    found, curve = cut([{"id": f"j{k}", "cost": 10 + k, "worth_to_you": 40 + 3 * k} for k in range(8)])
    rows, inside = tables.steps_table(found, curve), set()
    assert len(curve) > tables.STEPS >= len(rows)
    for row in rows:
        inside = (inside | set(row["comes in"].split(", "))) - set(row["goes out"].split(", "))
    assert inside - {""} == {f"j{k}" for k in range(8)}


def test_the_chart_s_rows_are_the_engine_s_and_inside_the_frame():
    found, curve = chosen("pickup", budget=2500, hours=80)
    frames = tables.frontier_frames(found, curve)
    assert [(row["money"], row["worth"]) for row in frames["sets"][:-1]] == [(round(one.cost), round(one.worth)) for one in curve]
    assert frames["budget"] == [{"money": 2500, "shown": "budget 2,500"}]
    assert [(mark["shown"], mark["chosen"]) for mark in frames["marks"]] == [("good: 293", False), ("this: 2,388", True), ("best: 5,355", False)]
    assert all(frames["left"] <= row["money"] <= frames["right"] and frames["bottom"] <= row["worth"] <= frames["top"] for name in ("sets", "even", "marks") for row in frames[name])
    assert frames["left"] == 0 and tables.frontier_frames(*cut([A, B | {"adds": 900}], 1e9))["budget"] == []


def test_the_frame_begins_near_the_must_dos_where_they_are_most_of_it():
    frames = tables.frontier_frames(*chosen("van", AGAIN))
    assert 15_000 < frames["left"] < 17_188 and frames["bottom"] > 0
    assert all(frames["left"] <= row["money"] <= frames["right"] and frames["bottom"] <= row["worth"] <= frames["top"] for name in ("sets", "even", "marks") for row in frames[name])


def test_the_object_is_whole_and_plain_json():
    found, curve = chosen("pickup", budget=2500, hours=80)
    told = json.loads(json.dumps(trim_document(found, curve), allow_nan=False))
    assert told["format"] == "buildecon.trim/1" and told["status"] == "best" and told["best"] == {"jobs": ["alignment", "fittings", "battery", "fridge"], "cost": 2388.33, "hours": 15.0, "worth": 2650.7}
    assert {job["id"]: job["left_out_because"] for job in told["jobs"]}["paint"] == "dear"
    assert told["months"][2] == {"job": "battery", "month": "2026-11", "opens": 0.0, "left_over": 431.67}
    assert [level["name"] for level in told["levels"]] == ["good", "better", "best"] and told["by_money"][-1]["cost"] == 5355.0
    free = trim_document(*chosen("roadster"))
    assert free["budget"] is None and free["hours"] is None and free["months"] == []


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
@pytest.mark.parametrize("view", [LEFT, AGAIN])
def test_the_text_is_told_of_every_demo_in_both_views(name, view):
    text = trim_text(*chosen(name, view))
    assert "Assumptions\n" in text and "Cautions\n" in text and not re.search(r"\b(nan|inf)\b", text)


def test_sliders_end_beyond_all_jobs_and_their_right_end_is_no_limit():
    found, _ = chosen("pickup")
    ends = dials.trim_dials(found.menu)
    assert (ends["budget"]["value"], ends["hours"]["value"]) == (2500, 80)
    assert ends["budget"]["stop"] >= sum(work.cost for work in found.menu.works)
    assert dials.limits({"budget": 2500, "hours": ends["hours"]["stop"]}, ends) == {"budget": 2500, "hours": inf}
    roadster = dials.trim_dials(chosen("roadster")[0].menu)
    assert roadster["budget"]["value"] == roadster["budget"]["stop"]
    assert dials.trim_dials(menu_of([]))["budget"]["stop"] > 0


def test_a_month_that_is_never_reached_is_said():
    found, _ = cut([A, {"id": "c", "worth_to_you": 900, "cost": 500}], trim={"saved": 500, "first_month": dt.date(2026, 9, 1)})
    assert [(row["month"], row["left over"]) for row in tables.months_table(found)] == [("Sep 2026", "400"), ("not reached", "-")]


def test_names_in_other_scripts_come_through():
    found, curve = cut([A | {"what": "座席"}])
    assert "座席" in words.trim_sentence(found) and "座席" in trim_text(found, curve)


def test_a_single_line_is_told_as_one():
    found, _ = cut([], lines=(open_line("p1", 70),))
    assert words.trim_sentence(found).startswith("1 line is still to come, 70 GBP. Nothing says yet what it is worth to you: ")


def test_better_is_left_out_where_no_limit_makes_it_the_best():
    jobs = [A, B | {"adds": 900}]
    assert [row[""].split(":")[0] for row in tables.levels_table(cut(jobs)[0])] == ["good", "best"]
    assert [row[""] for row in tables.levels_table(cut(jobs, budget=150)[0])][1] == "better: best for the budget"
    assert [row[""] for row in tables.levels_table(cut(jobs, hours=8)[0])][1:] in (["better: best for the hours there are", "best: all that pays"], ["best: all that pays"])
