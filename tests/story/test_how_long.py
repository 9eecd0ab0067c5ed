"""What is told of how long to keep a car: sentences, tables, charts and object, true to the engine."""

import json
import math

import numpy as np
import pytest
from demos import demo, money

from buildecon.decision.compare import FROM_TODAY, compare
from buildecon.decision.how_long import how_long
from buildecon.ownership.measured import read_logs
from buildecon.story import how_long_tables as tables
from buildecon.story import how_long_words as words
from buildecon.story.dials import with_build
from buildecon.story.how_long_given import how_long_document, how_long_text
from buildecon.story.words import number

NAMES = ("van", "roadster", "pickup")


def found(name, view="whole story", build=None):
    project = demo(name)
    return how_long(compare(with_build(project, build) if build else project, view=view))


WORN = found("pickup", build="build-wear")


def test_the_longer_the_cheaper_is_told_with_the_range():
    said = words.life_sentence(found("pickup"))
    assert said == "This build costs least at the last year looked at: kept 20 years or more, 481 USD a month (whole story)."


def test_going_over_names_the_other_and_its_cost():
    said = words.keep_sentence(WORN)
    years = float(WORN.keep.years)
    assert "against used Corran D 2021 at its best, 446 USD a month kept 20 years or more" in said and f"worth keeping {years:.0f} years, then go over; what is spent is spent." in said and said.startswith("Once it is finished, against ")


def test_the_other_kept_as_long_as_asked_is_told_where_that_changes_the_answer():
    # Selling pays against the other at its best, 446 a month, where the build's years cost 450; kept 6 years the other costs 639.
    import dataclasses

    from buildecon.ownership.switching import keep_until

    years = np.arange(21) * 12 * 450.0
    other = dataclasses.replace(found("pickup"), keep=keep_until(years, 12 * 446.0, periods_a_year=1), keep_as_long=keep_until(years, 12 * 639.0, periods_a_year=1))
    said = words.keep_sentence(other)
    assert "selling it is cheaper than any length with it from then on, up to 20 years." in said
    assert said.endswith("Against used Corran D 2021 kept only 6 years, 639 USD a month, it is worth keeping for 20 years or more.")
    assert "kept only" not in words.keep_sentence(found("pickup"))


def test_one_more_year_is_told_with_what_the_other_costs():
    import dataclasses

    van, roadster = found("van"), found("roadster")
    assert words.next_year_sentence(van) == "One more year of the build by itself costs 284 EUR a month: 43 EUR more than newer factory e-van Brevane E50 at its best."
    assert words.next_year_sentence(roadster) == "Once it is finished, one year of the build by itself costs 106 GBP a month: 8 GBP less than buy one finished at its best."
    # 5,900 flat, so its next year is fuel 514 and 760 of yearly cost: 106 a month (arithmetic of the demo, undiscounted).
    assert roadster.marginal[roadster.build, 0] == pytest.approx(2400 / 31 * 4.54609 * 1.46 + 760, abs=0.01)
    assert words.next_year_sentence(dataclasses.replace(van, next_year_saves=0.2)).endswith(": as much as newer factory e-van Brevane E50 at its best.")
    assert words.next_year_sentence(dataclasses.replace(van, rival=None, next_year_saves=None)) == ""
    built = dataclasses.replace(van.comparison, options=tuple(one.model_copy(update={"build_months": money(6)}) if one.kind == "build" else one for one in van.comparison.options))
    assert words.next_year_sentence(dataclasses.replace(van, comparison=built)).startswith("Its next year, with the rest of the work in it, costs 284 EUR a month: 43 EUR more")
    assert words.next_year_sentence(found("pickup")).startswith("Once it is finished, one year of the build by itself costs 444 USD a month: 2 USD less than used Corran D 2021")


def test_the_bills_by_chance_are_told_whole():
    import dataclasses

    from buildecon.ownership.expected import bills_by_chance

    assert words.chance_sentence(found("pickup")) == ""
    mean = number(float(WORN.comparison.by_chance[WORN.build, :72].sum()))
    drawn = bills_by_chance(WORN.comparison.options[WORN.build], 9000, "mi", 6)
    said = words.chance_sentence(WORN)
    assert said == f"What fails by chance comes to {mean} USD on average over 6 years, but bills come whole: {drawn.none:.0%} of the time there are none, and where there are they come to {number(drawn.when_some)} USD."
    long = dataclasses.replace(WORN, comparison=dataclasses.replace(WORN.comparison, what_if=WORN.comparison.what_if.model_copy(update={"years_kept": 20})))
    assert "over 20 years" in words.chance_sentence(long) and words.chance_sentence(long).endswith("Nine times out of ten they are at most 3,400 USD.")
    ended = dataclasses.replace(WORN.comparison, replaced=np.full((len(WORN.comparison.options), 1), 60.0))
    assert words.chance_sentence(dataclasses.replace(WORN, comparison=ended)) == ""
    assert said in "\n\n".join(how_long_text(WORN, [])).replace("\n  ", " ")


def test_a_warranty_is_told_with_its_component():
    import dataclasses

    from buildecon.decision.how_long import SCENARIOS

    said = " ".join(words.how_long_assumptions(WORN))
    assert f"from triangles, {SCENARIOS:,} times" in said and SCENARIOS >= 1000
    assert "injectors and turbo, 3,400 USD, half last longer than 150,000 mi, Weibull shape 2.5, 60% of it paid by the maker within 24,000 mi from today." in said
    options = list(WORN.comparison.options)
    wear = options[WORN.build].wear
    anew = tuple(part.model_copy(update={"warranty_renews": part.shape is not None}) for part in wear.renewals)
    options[WORN.build] = options[WORN.build].model_copy(update={"wear": wear.model_copy(update={"renewals": anew})})
    told = dataclasses.replace(WORN, comparison=dataclasses.replace(WORN.comparison, options=tuple(options)))
    assert "within 24,000 mi of each new one." in " ".join(words.how_long_assumptions(told))


def test_words_for_each_status():
    import dataclasses

    base = found("roadster")
    for status, start in (("inside", "Kept"), ("at once", "This build costs least"), ("flat", "How long this build is kept hardly matters"), ("none", "There are no years")):
        lives = dataclasses.replace(base.lives, status=np.full(len(base.comparison.options), status))
        assert words.life_sentence(dataclasses.replace(base, lives=lives)).startswith(start)


def test_no_bills_no_limit_and_no_other_no_rule():
    import dataclasses

    bare = dataclasses.replace(found("roadster"), limit=None, keep=None, rival=None)
    assert words.limit_sentences(bare) == [] and tables.limit_table(bare) == [] and tables.limit_frames(bare) == {"limit": []}
    assert words.keep_sentence(bare) == "No other option passes every must-have, so there is nothing to go over to."


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("view", ["whole story", FROM_TODAY])
def test_the_tables_are_the_engine_s(name, view):
    one = found(name, view)
    rows = tables.years_table(one)
    for row in rows:
        year = int(row["kept"].split()[0])
        assert row["a month"] == number(float(one.comparison.per_month[one.build, 12 * year]))
        part = {"van": "cents a km", "roadster": "pence a mi", "pickup": "cents a mi"}[name]
        assert row[part] == number(100 * float(one.comparison.per_distance[one.build, 12 * year]), 1)
        assert row["that year alone, a month"] == number(one.marginal[one.build, year - 1] / 12)
    assert sum("least" in row["kept"] for row in rows) <= 1
    lives = tables.lives_table(one)
    assert len(lives) == len(one.comparison.options)
    assert [row["a month"] for row in lives] == [number(cost) for cost in sorted(one.life(k)[1] for k in range(len(lives)))]


def test_the_renewals_line_up_with_the_sums():
    frames = [row for row in tables.renewals_frames(WORN)["renewals"] if row["what"] != "injectors and turbo"]
    tires = [row["years"] for row in frames if row["what"] == "tires"]
    assert tires == pytest.approx([26000 / 9000, 71000 / 9000, 116000 / 9000, 161000 / 9000], abs=0.01)
    paid = sum(row["cost"] for row in frames)
    assert WORN.causes["renewals"][240] * 240 == pytest.approx(paid)


def test_the_stack_and_its_names():
    frames = tables.kept_frames(WORN)
    last = max(row["years"] for row in frames["causes"])
    stacked = sum(row["per_month"] for row in frames["causes"] if row["years"] == last)
    total = next(row["per_month"] for row in frames["total"] if row["years"] == last)
    assert stacked == pytest.approx(total, abs=0.5)
    places = [row["y"] for row in frames["names"]]
    gap = tables.LABEL * frames["top"] / 380
    assert all(abs(a - b) >= 0.95 * gap for k, a in enumerate(places) for b in places[:k])
    years, cost, status, *_ = WORN.life(WORN.build)
    assert status == "inside" and frames["least"][0]["shown"] == f"{number(cost)}, {years:.0f} years"


@pytest.mark.parametrize("name", NAMES)
def test_the_object_is_plain_and_agrees(name):
    one, logs = found(name), read_logs(demo(name))
    given = json.loads(json.dumps(how_long_document(one, logs), allow_nan=False))
    quoted = demo(name).file.build.quoted_option
    assert given["economic_life"][quoted]["years"] == one.life(one.build)[0]
    assert len(given["marginal"][quoted]) == demo(name).file.use.horizon_years
    assert given["keep_until"]["against"] == one.comparison.options[one.rival].id
    assert len(given["repair_limit"]) == demo(name).file.use.horizon_years
    assert [log["source"] for log in given["measured_energy"]] == [log.source for log in logs]


def test_the_measured_demos_are_in_the_object():
    [diesel] = how_long_document(found("pickup"), read_logs(demo("pickup")))["measured_energy"]
    per_100_km = 100 * 3.785411784 / (1.609344 * 24)  # 24 miles a US gallon
    assert diesel["bought"]["per_100_km"] == pytest.approx(per_100_km, abs=2 * diesel["bought"]["standard_error"])
    [charging] = how_long_document(found("van"), read_logs(demo("van")))["measured_energy"]
    assert charging["used"]["per_100_km"] == pytest.approx(23, abs=2 * charging["used"]["standard_error"])
    assert charging["charging_loss"]["share"] == pytest.approx(0.12, abs=2 * charging["charging_loss"]["standard_error"])


@pytest.mark.parametrize("name", NAMES)
def test_the_text_has_every_section(name):
    text = "\n\n".join(how_long_text(found(name), read_logs(demo(name))))
    for title in ("How long to keep it", "Repair limit", "What the years rest on"):
        assert title in text
    assert " nan" not in text and " inf " not in text


def test_the_range_of_lives_in_words():
    said = words.spread_sentence(found("pickup", FROM_TODAY, "build-wear"))
    assert said.startswith("Over the ranges you wrote for the build's figures the cheapest years run from 1 to 2") and "eight times out of ten" in said
    assert math.isclose(float(WORN.spread.share.sum()), 1)
    assert "20 or more" in words.spread_sentence(found("pickup")) or "at the end" in words.spread_sentence(found("pickup"))


def test_the_best_and_the_chosen_year_have_their_rows():
    rows = tables.years_table(WORN)
    best = int(WORN.life(WORN.build)[0])
    assert f"{best} years, least" in [row["kept"] for row in rows]
    assert "6 years" in [row["kept"] for row in rows]


def test_renewals_begin_anew_with_the_car_that_follows():
    from buildecon.decision.compare import as_written
    from buildecon.ledger.ladder import ladder

    project = with_build(demo("pickup"), "build-wear")
    short = how_long(compare(project, what_if=as_written(project, ladder(project)).model_copy(update={"lifetime_distance": 120000.0 + 54000})))
    assert short.replaced_years(short.build) == [6, 12, 18]
    tires = [row["years"] for row in tables.renewals_frames(short)["renewals"] if row["what"] == "tires"]
    assert tires == pytest.approx([2.89, 8.89, 14.89], abs=0.01)
    said = " ".join(words.ends_sentences(short))
    assert "after 6 and again after 12 and again after 18 years" in said


def test_a_first_dear_year_is_told_only_where_cheaper_ones_follow():
    for one in (found("pickup"), found("van"), WORN):
        first, kept = float(one.keep.first_dearer), float(one.keep.years)
        assert ("cheaper years follow" in words.keep_sentence(one)) == (str(one.keep.status) != "at once" and first < kept)


def test_the_limit_in_words_table_and_object_is_one():
    import dataclasses

    one = found("roadster")
    limit = dataclasses.replace(one.limit, status=np.array(["sell", "limit", "pay any"]), limit=np.array([np.nan, 800.0, 3000.0]), still_kept=np.array([1.0, 0.5, 0.25, 0.2]))
    one = dataclasses.replace(one, limit=limit)
    assert [row["largest bill worth paying"] for row in tables.limit_table(one)] == ["none: sell", "800", "any that can come, up to 3,000"]
    said = ["Year 1: sell, whatever the bill.", "Year 2: if a bill above 800 GBP comes, sell.", "Year 3: any bill that can come is worth paying; too much would be more than 3,000 GBP in year 3."]
    assert words.limit_sentences(one) == said
    drawn = tables.limit_frames(one)["limit"]
    assert [(row["shown"], row["middle"], row["last"]) for row in drawn] == [("sell", 1, False), ("", 2, False), ("3,000", 3.5, True)]
    run = dataclasses.replace(one, limit=dataclasses.replace(limit, status=np.array(["pay any", "pay any", "sell", "sell"]), limit=np.array([900.0, 700.0, np.nan, np.nan]), still_kept=np.ones(4)))
    assert words.limit_sentences(run) == ["Years 1 to 2: any bill that can come is worth paying; too much would be more than 900 GBP in year 1 and 700 GBP in year 2.", "Years 3 to 4: sell, whatever the bill."]
    assert [(row["shown"], row["last"]) for row in tables.limit_frames(run)["limit"]] == [("900", False), ("", False), ("sell", False), ("sell", False)]
    given = how_long_document(one, [])["repair_limit"]
    assert [(row["year"], row["status"], row["limit"]) for row in given] == [(1, "sell", None), (2, "limit", 800.0), (3, "pay any", 3000.0)]


def test_the_object_gives_the_saving_whole():
    one = found("van")
    assert how_long_document(one, [])["keep_until"]["saving"] == pytest.approx(float(one.keep.saving), abs=0.01)


def test_the_object_has_one_more_year_and_the_clocks():
    import dataclasses

    given = how_long_document(found("pickup"), [])
    one = found("pickup")
    assert given["one_more_year"] == {"against": "used-corran", "costs": given["marginal"]["build"][0], "saves": pytest.approx(float(one.next_year_saves), abs=0.005)}
    assert given["clocks"]["years"] == 14 and given["clocks"]["first"] == "shell" and 0 < given["clocks"]["chance_engine_first"] < given["clocks"]["engine_renewals"] + 1e-3
    bare = how_long_document(dataclasses.replace(found("van"), rival=None, keep=None, keep_as_long=None, next_year_saves=None), [])
    assert bare["one_more_year"] is bare["keep_until"] is bare["clocks"] is None


def test_the_dials_stand_where_the_files_stand():
    from buildecon.decision.compare import as_written
    from buildecon.ledger.ladder import ladder
    from buildecon.story.dials import keeping_dials, moved

    project = demo("pickup")
    written = as_written(project, ladder(project))
    ends = keeping_dials(project, written)
    assert (ends["upkeep"]["value"], ends["upkeep_rise_percent"]["value"], ends["decline_percent"]["value"]) == (1.0, 0.0, 7.0)
    standing = {name: end["value"] for name, end in ends.items()}
    assert moved(standing, ends) == {} and moved(standing | {"upkeep": 2.0}, ends) == {"upkeep": 2.0}
    untouched = compare(project, what_if=written.model_copy(update=moved(standing, ends)))
    assert np.array_equal(untouched.total, compare(project).total)  # opening the page changes nothing
