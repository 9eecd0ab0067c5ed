"""`decide`, `finish` and `trim` on figures that are odd: an answer or a plain refusal, never a traceback or a figure that is none; and the object says what the text says."""

import json
import re

import pytest
from demos import DATA
from odd_folders import ODD, alone, folder_of, seats, spread, very_wide

from buildecon.cli import main

DEMOS = ("van", "roadster", "pickup")
VERBS = ("decide", "finish", "trim")
NO_FIGURE = re.compile(r"\b(nan|NaN|inf|Infinity|None)\b|(?<![\d.])-0(?![.,\d-])")


def answered(capsys, verb, folder, *more):
    """The plain text, looked over, and the object."""
    assert main([verb, folder, *more]) == 0
    said = capsys.readouterr()
    assert not said.err and [line for line in said.out.splitlines() if NO_FIGURE.search(line)] == []
    assert main([verb, folder, *more, "--json"]) == 0
    return " ".join(said.out.split()), json.loads(capsys.readouterr().out, parse_constant=lambda constant: pytest.fail(constant))


def refused(capsys, verb, folder, *more):
    assert main([verb, folder, *more]) == 2
    said = capsys.readouterr()
    assert said.out == "" and "Traceback" not in said.err
    return said.err


# odd figures, on every demo and verb


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("odd", ODD)
def test_every_verb_answers(capsys, tmp_path, demo, odd):
    folder = folder_of(tmp_path, demo, ODD[odd])
    for verb in VERBS:
        answered(capsys, verb, folder)


# what is said of them


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (seats(99, 4, 4), "No verdict: the build fails a must-have (seats: 4, needs at least 99), and nothing else meets every must-have."),
        (seats(5, 6, 4), "Finish it and keep it: nothing else meets every must-have."),
        (alone, "Finish it and keep it: no other option is written to set it against; add one under [[options]]."),
    ],
)
def test_where_nothing_can_be_compared_the_verdict_says_so(capsys, tmp_path, change, said):
    text, found = answered(capsys, "decide", folder_of(tmp_path, "pickup", change))
    assert text.startswith(said) and found["in_doubt"]["verdict"]["call"] == "alone"
    side = found["in_doubt"]["from_today"]
    assert (side["chances"], side["finding_out"], side["turning"]) == (None, None, [])
    assert "Find out next. Nothing: there is nothing to choose between." in text and "No figure in these sums is a range" not in text


def test_a_build_that_fails_is_told_in_the_verdict(capsys, tmp_path):
    text, found = answered(capsys, "decide", folder_of(tmp_path, "pickup", seats(5, 4, 6)))
    assert " But the build itself fails a must-have: seats: 4, needs at least 5." in found["in_doubt"]["verdict"]["sentence"] and text.startswith(found["in_doubt"]["verdict"]["sentence"])


def test_what_cannot_move_together_is_repaired_and_told(capsys, tmp_path):
    def change(file):
        file["chances"] = {"prices_together": 0, "delay_and_cost": 1}
        file["half_way"]["months"] = spread(2, 4, 9)

    folder = folder_of(tmp_path, "pickup", change)
    text, found = answered(capsys, "decide", folder)
    moved = found["in_doubt"]["from_today"]["chances"]["correlation_moved"]
    told = f"Not all that [chances] says moves together can do so at once: the nearest that can be had is up to {moved:.2f} away from it, and counts here."
    assert 0.1 < moved < 1 and told in text and told in answered(capsys, "finish", folder)[0]
    plain = folder_of(tmp_path / "plain", "pickup", lambda file: None)
    text, found = answered(capsys, "decide", plain)
    assert found["in_doubt"]["from_today"]["chances"]["correlation_moved"] == 0 and "moves together can" not in text + answered(capsys, "finish", plain)[0]


def test_ends_passed_once_in_ten_stay_within_reason_however_wide(capsys, tmp_path):
    def change(file):
        very_wide(file)
        file["chances"] = {"shape": "four in five"}
        for option in file["options"]:
            if "price" in option:
                option["price"] = spread(1, 9000, 1_000_000)

    _, found = answered(capsys, "decide", folder_of(tmp_path, "van", change))
    doubt = found["in_doubt"]["from_today"]
    # A lognormal from 1 to a million has a mean of two thousand million.
    assert doubt["finding_out"]["everything"] < 1e6
    ends = {one["input"]: (one["low"], one["high"]) for one in doubt["finding_out"]["inputs"]}
    assert ends["options.e50.price"] == (pytest.approx(1, abs=0.01), pytest.approx(1_000_000, abs=0.01))


# refusals


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda file: file["value"].update(finished=spread(9000, 5000, 3000)), "value.finished: must be low, likely, high in rising order, got 9000, 5000, 3000."),
        (lambda file: file["value"].update(finished=-5), "value.finished: must be a number of at least 0, got -5."),
        (lambda file: file["value"].update(finished=float("nan")), "value.finished: must be a finite number, got NaN."),
        (lambda file: file["use"].update(discount_rate=float("inf")), "use.discount_rate: must be a finite number, got Infinity."),
        (lambda file: file["value"].update(finished=spread(float("nan"), 1, 2)), "value.finished: must be a range of low, likely and high, got { low = NaN, likely = 1, high = 2 }."),
        (lambda file: file.update(chances={"prices_together": float("nan")}), "chances.prices_together: must be a finite number, got NaN."),
        (lambda file: file.update(chances={"delay_and_cost": 1.5}), "chances.delay_and_cost: must be a fraction between 0 and 1, got 1.5."),
        (lambda file: file.update(chances={"finding_out": [{"what": "options.nobody.price", "costs": 1}]}), "chances.finding_out.what: must be where a figure stands"),
        (lambda file: file.pop("options"), "options: must be given, and is missing."),
        (lambda file: file.update(options=[]), "options: must be at least one, got []."),
        (lambda file: file["half_way"].update(past_overruns=[0]), "half_way.past_overruns.1: must be above 0, got 0."),
        (lambda file: file["trim"].update(budget=-5), "trim.budget: must be a number of at least 0, got -5."),
        (lambda file: file.update(jobs=[{"id": id, "what": id, "cost": 1, "needs": [needs]} for id, needs in ("ab", "bc", "ca")]), "jobs.1.needs: must not go round in a circle, got a -> b -> c -> a."),
        (lambda file: file.update(jobs=[{"id": "a", "what": "a", "cost": 1, "needs": ["a"]}]), "jobs.1.needs: must not go round in a circle, got a -> a."),
        (lambda file: file.update(phases=[{}]), "phases.1.id: must be given, and is missing."),
        (lambda file: file.update(trim=[]), "trim: must be a table, got []."),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_by_its_name(capsys, tmp_path, verb, change, said):
    told = refused(capsys, verb, folder_of(tmp_path, "pickup", change))
    assert told.startswith("build.toml") and said in told and told.endswith("Nothing was changed.\n")


# jobs


def jobs(*given, phases=(), **trim):
    def change(file):
        file["jobs"] = [{"id": name, "what": f"the {name}"} | one for name, one in given]
        file["phases"] = list(phases)
        file["trim"] = trim

    return change


MUST, MORE = ("roof", {"cost": 1000, "hours": 10, "must": True}), ("seats", {"cost": 100, "adds": 500, "hours": 1})


@pytest.mark.parametrize(
    ("change", "status", "short", "said"),
    [
        (jobs(MUST, MORE, budget=100), "money", 900, "The must-dos with what they need (the roof) cost 1,000 EUR: 900 EUR more than the 100 EUR there is."),
        (jobs(MUST, MORE, hours=0), "hours", 10, "The must-dos with what they need (the roof) take at least 10 hours: 10 hours more than the 0 there are."),
        (jobs((MUST[0], MUST[1] | {"phase": "x"}), MORE, phases=[{"id": "x", "what": "X", "budget": 100}]), "phase", 900, "The must-dos with what they need (the roof) go over the budget of a phase by 900 EUR."),
        (jobs(MORE, budget=0), "best", 0, "With 0 EUR: "),
        (jobs(MORE, phases=[{"id": "x", "what": "Nothing in it", "opens": 500}]), "best", 0, "With no limit on money or hours: do the seats, 100 EUR and 1 hour together."),
        (jobs(("gift", {"cost": 0, "adds": 5}), budget=0, hours=0), "best", 0, "With 0 EUR and 0 hours: do the gift"),
    ],
)  # fmt: skip
def test_jobs_that_do_not_fit_say_by_how_much_and_the_rest_is_answered(capsys, tmp_path, change, status, short, said):
    text, found = answered(capsys, "trim", folder_of(tmp_path, "van", change))
    assert text.startswith(said), text[:200]
    assert (found["status"], found["short"]) == (status, pytest.approx(short))


def test_five_hundred_jobs_are_answered(capsys, tmp_path):
    many = [(f"j{k}", {"cost": 100 + k, "adds": 300 - k}) for k in range(500)]
    folder = folder_of(tmp_path, "van", jobs(*many, budget=20_000))
    assert main(["trim", folder, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    # 100 + k against 300 - k: up to j99 it pays, j100 brings as much as it costs. j0 to j99 cost 100 x 149.5.
    assert sorted(found["best"]["jobs"], key=lambda id: int(id[1:])) == [f"j{k}" for k in range(100)] and found["best"]["cost"] == 14_950


# the object says what the text says


@pytest.mark.parametrize("demo", DEMOS)
def test_decide_s_object_and_text_have_the_same_figures(capsys, demo):
    text, found = answered(capsys, "decide", str(DATA / demo))
    doubt = found["in_doubt"]
    assert text.startswith(doubt["verdict"]["sentence"])
    for line in doubt["verdict"]["lines"]:
        assert f"{line['asked']}. {line['answer']}" in text
    said = {line["asked"]: line["answer"] for line in doubt["verdict"]["lines"]}
    for view, asked in (("whole_story", "Chance, the whole story"), ("from_today", "Chance, from today")):
        at = doubt[view]["chances"]["by_years"][str(found["years_kept"])]
        assert set(at) == {"build_cheaper", "standard_error", "more_a_month"} and at["more_a_month"]["low"] < at["more_a_month"]["middle"] < at["more_a_month"]["high"]
        assert f"{abs(at['more_a_month']['middle']):,.0f} " in said[asked]
        if 0.01 <= at["build_cheaper"] <= 0.99:
            assert f"({at['build_cheaper']:.0%}, " in said[asked]
        rows = doubt[view]["finding_out"]["inputs"]
        assert all(0 <= row["worth"] <= doubt[view]["finding_out"]["everything"] + 0.01 and 0 <= row["share_of_spread"] <= 1 and row["low"] <= row["high"] for row in rows)
        assert all(row["turns_the_answer"] == (row["more_a_month_at_low"] * row["more_a_month_at_high"] < 0) for row in rows if row["more_a_month_at_low"] and row["more_a_month_at_high"])
        assert all(one["searched"]["from"] <= one["now"] <= one["searched"]["to"] for one in doubt[view]["turning"])
        joy = (found if view == "whole_story" else found["from_today"])["price_of_joy"][str(found["years_kept"])]["per_month"]
        assert {one["cheaper_now"] for one in doubt[view]["turning"]} == {"other" if joy > 0 else "build"}
    # Money to cents, shares and rates to four digits: nothing longer stands in the object.
    assert not re.search(r"\d\.\d{5,}", json.dumps(doubt))


def test_what_the_guard_holds_back_is_told_apart(capsys, tmp_path):
    rows = answered(capsys, "decide", folder_of(tmp_path, "pickup", very_wide))[1]["in_doubt"]["from_today"]["finding_out"]["inputs"]
    assert all(row["worth"] in (0, row["before_the_guard"]) for row in rows) and any(row["worth"] == 0 < row["before_the_guard"] for row in rows)


def keys(found):
    if isinstance(found, dict):
        for key, value in found.items():
            yield key
            yield from keys(value)
    elif isinstance(found, list):
        for value in found:
            yield from keys(value)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_fields_of_doubt_are_those_of_the_developers_table(capsys, demo):
    row = next(line for line in (DATA.parent / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines() if line.startswith("| `decide` |"))
    found = answered(capsys, "decide", str(DATA / demo))[1]["in_doubt"]
    assert not {key for key in keys(found) if f"`{key}`" not in row and not key.isdigit() and key not in ("from", "to")}


@pytest.mark.parametrize("demo", DEMOS)
def test_finish_s_object_and_text_have_the_same_figures(capsys, demo):
    text, found = answered(capsys, "finish", str(DATA / demo))
    assert text.startswith(found["answer"])
    for way in found["ways"]:
        assert f"{way['likely']:,.0f}" in text and way["low"] <= way["likely"] <= way["high"]
        assert way["likely"] == pytest.approx(way["brings"] - way["still_to_pay"], abs=0.011)
    assert f"{found['spent_not_in_this_decision']:,.0f} {found['currency']} is in it already." in text


@pytest.mark.parametrize("demo", DEMOS)
def test_trim_s_object_and_text_have_the_same_figures(capsys, demo):
    text, found = answered(capsys, "trim", str(DATA / demo))
    assert text.startswith(found["answer"]) and (f"{found['best']['cost']:,.0f} {found['currency']}" in found["answer"] or not found["best"]["jobs"])
    chosen = [job for job in found["jobs"] if job["id"] in found["best"]["jobs"]]
    assert not any(job["left_out_because"] for job in chosen) and all(job["left_out_because"] for job in found["jobs"] if job not in chosen)
    assert sum(job["worth"] for job in chosen) == pytest.approx(found["best"]["worth"], abs=0.05)
    assert [one["cost"] for one in found["by_money"]] == sorted(one["cost"] for one in found["by_money"])
