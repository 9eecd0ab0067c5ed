"""What is told of how long to keep a car: sentences, tables, charts and object, true to the engine."""

import json
import math

import numpy as np
import pytest
from demos import demo

from buildecon.decision.compare import FROM_TODAY, compare
from buildecon.decision.how_long import how_long
from buildecon.ownership.measured import read_logs
from buildecon.project.records import Energy
from buildecon.quantities.estimate import sure
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
    assert "against used Corran D 2021 at its best, 446 USD a month kept 20 years or more" in said and f"worth keeping {years:.0f} years, then change to it; what is spent is spent." in said and said.startswith("Once it is finished, against ")


def test_the_other_kept_as_long_as_asked_is_told_where_that_changes_the_answer():
    # Selling pays against the other at its best, 446 a month, where the build's years cost 450; kept 6 years the other costs 639.
    import dataclasses

    from buildecon.ownership.switching import keep_until

    years = np.arange(21) * 12 * 450.0
    other = dataclasses.replace(found("pickup"), keep=keep_until(years, 12 * 446.0, periods_a_year=1), keep_as_long=keep_until(years, 12 * 639.0, periods_a_year=1))
    said = words.keep_sentence(other)
    by = 450 - float(other.lives.cost[other.rival]) / 12  # no interest: a year is twelve months of the same
    assert other.dearer_by == pytest.approx(by) and f"up to 20 years, though by {by:.0f} USD a month at the nearest." in said
    assert said.endswith("Against used Corran D 2021 kept only 6 years, 639 USD a month, it is worth keeping for 20 years or more.")
    assert "kept only" not in words.keep_sentence(found("pickup"))


def test_one_more_year_is_told_with_what_the_other_costs():
    import dataclasses

    van, roadster = found("van"), found("roadster")
    assert words.next_year_sentence(van) == "One more year of the build by itself costs 284 EUR a month: 43 EUR more than newer factory e-van Brevane E50 at its best."
    assert words.next_year_sentence(roadster) == "Once it is finished, one year of the build by itself costs 106 GBP a month: 8 GBP less than buy one finished at its best."
    # 5,900 flat, so its next year is fuel 514 and 760 of yearly cost: 106 a month (arithmetic of the demo, undiscounted).
    assert 12 * roadster.next_year == pytest.approx(2400 / 31 * 4.54609 * 1.46 + 760, abs=0.01)
    assert words.next_year_sentence(dataclasses.replace(van, next_year_saves=0.2)).endswith(": as much as newer factory e-van Brevane E50 at its best.")
    assert words.next_year_sentence(dataclasses.replace(van, rival=None, next_year=None, next_year_saves=None)) == ""
    assert words.next_year_sentence(found("pickup")).startswith("Once it is finished, one year of the build by itself costs 444 USD a month: 2 USD less than used Corran D 2021")
    assert words.next_year_sentence(found("pickup")) in " ".join(how_long_text(found("pickup"), [])[0].split())


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


@pytest.mark.parametrize(("change", "told"), [
    ({"every": sure(5000), "shape": sure(8)}, "on average over 6 years; nine times out of ten to at most "),
    ({"every": sure(130_000), "shape": sure(8), "used": sure(0)}, "on average over 6 years: there are next to never bills, and where there are they come to 1,000 USD."),
    ({"every": sure(90_000), "shape": sure(8), "used": sure(0), "warranty": sure(900_000), "warranty_pays": sure(1)}, "What fails by chance comes to 0 USD on average over 6 years: there are next to never bills."),
])  # fmt: skip
def test_bills_that_come_always_or_next_to_never_have_no_share_of_the_time(change, told):
    option = WORN.comparison.options[WORN.build]
    part = next(part for part in option.wear.renewals if part.shape is not None).model_copy(update={"cost": sure(1000), "warranty": None} | change)
    worn = option.model_copy(update={"wear": option.wear.model_copy(update={"renewals": [part]})})
    project = WORN.project
    options = [worn if one.id == option.id else one for one in project.file.options]
    said = words.chance_sentence(how_long(compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options})}))))
    assert told in said and "% of the time" not in said


def test_a_warranty_is_told_with_its_component():
    import dataclasses

    from buildecon.decision.how_long import SCENARIOS

    said = " ".join(words.how_long_assumptions(WORN))
    assert f", {SCENARIOS:,} times." in said and SCENARIOS >= 1000
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


def test_what_is_taken_off_hangs_below_and_hides_no_cost():
    project = demo("pickup")
    options = tuple(one.model_copy(update={"enjoyment": sure(12000)}) if one.id == "build" else one for one in project.options)
    loved = how_long(compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options})})))
    assert float(loved.comparison.per_month[loved.build, 240]) < 0
    frames = tables.kept_frames(loved)
    last = [row["per_month"] for row in frames["causes"] if row["years"] == 20]
    assert frames["top"] >= sum(each for each in last if each > 0) > 400
    names = {row["cause"]: row["y"] for row in frames["names"]}
    assert names["enjoyment"] < 0 < names["energy"] and "loss of value" in names
    plain = found("pickup")
    assert tables.kept_frames(plain)["top"] == pytest.approx(2.2 * np.median(plain.comparison.per_month[plain.build, 12::3]))


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


def test_the_object_of_a_log_prices_the_unit_it_names_and_holds_one_charge():
    from fuel import CHARGING, fill, project_of

    one = found("roadster")
    gallons = {"petrol": Energy(unit="gal US", price=6.5)}
    [petrol] = how_long_document(one, read_logs(project_of([fill(0, 0, 10, paid=65), fill(1, 240, 10, paid=67)], gallons)))["measured_energy"]
    assert petrol["unit"] == "gal US" and petrol["price"] == 6.6  # 132 for 20 gallons
    charges = [fill(0, 0, 40, "charging"), fill(1, 200, 44, "charging", in_battery=40)]  # the display was read once
    [charging] = json.loads(json.dumps(how_long_document(one, read_logs(project_of(charges, CHARGING, source="charging", amount=20, unit="kWh/100 km"))), allow_nan=False))["measured_energy"]
    assert charging["charging_loss"] == {"share": 0.0909, "standard_error": None, "charges": 1}  # 1 - 40 / 44


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


def test_the_clocks_say_that_no_sum_counts_them():
    assert words.clocks_sentence(found("pickup")).endswith("None of this is in the sums above: lifetime_distance under value_path would end a life there.")


def test_what_fails_by_chance_is_named_where_it_cannot_be_drawn():
    assert words.by_chance_sentence(WORN) == "Renewed by chance, so on no day of that line: injectors and turbo. The bills to be expected are in the costs."
    assert words.by_chance_sentence(found("van")) == ""
    assert tables.renewals_frames(WORN)["end"] == WORN.project.file.use.horizon_years


def test_a_name_of_a_cause_leads_to_its_band():
    frames = tables.kept_frames(WORN)
    foot = 0.0
    for name in frames["names"]:
        band = WORN.causes[name["cause"]][len(WORN.comparison.years) - 1]
        assert abs(name["middle"] - (foot + band / 2)) < 0.02 * frames["top"]
        foot += band


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


def test_what_is_renewed_too_often_to_be_drawn_is_named():
    from buildecon.project.wear import Renewal

    assert tables.too_often_sentence(WORN) == tables.too_often_sentence(found("pickup")) == ""
    project = with_build(demo("pickup"), "build-wear")

    def worn(*more):
        options = tuple(one.model_copy(update={"wear": one.wear.model_copy(update={"renewals": (*more, *one.wear.renewals[:1])})}) if one.id == "build-wear" else one for one in project.options)
        return how_long(compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options})})))

    # 180,000 miles in 20 years: at 1,800 miles each there are 100, and that is the most.
    for every, note in ((1800, ""), (1799, "Renewed too often to be drawn: oil. The bills are in the costs.")):
        oil = worn(Renewal(what="oil", cost=sure(60), every=sure(every)))
        assert tables.too_often_sentence(oil) == note
        drawn = [row["what"] for row in tables.renewals_frames(oil)["renewals"]]
        assert (drawn.count("oil"), drawn.count("tires")) == (0 if note else 100, 4)


def test_a_first_dear_year_is_told_only_where_cheaper_ones_follow():
    for one in (found("pickup"), found("van"), WORN):
        first, kept = float(one.keep.first_dearer), float(one.keep.years)
        assert ("cheaper years follow" in words.keep_sentence(one)) == (str(one.keep.status) != "at once" and first < kept)


def half_built(months=30, **use):
    """The pickup with its build still off the road."""
    project = demo("pickup")
    options = tuple(one.model_copy(update={"build_months": sure(months)}) if one.id == "build" else one for one in project.options)
    return project.model_copy(update={"file": project.file.model_copy(update={"options": options, "use": project.file.use.model_copy(update=use)})})


def test_nothing_is_told_of_a_build_before_it_is_done():
    from buildecon.story.documents import keep_document
    from buildecon.story.plain import keep_text

    one = how_long(compare(half_built()))
    rows = tables.years_table(one)
    assert [row["kept"] for row in rows][:2] == ["3 years", "4 years"] and [row["that year alone, a month"] for row in rows[:2]] == ["-", number(one.marginal_a_month[one.build, 3])]
    assert min(row["years"] for row in tables.kept_frames(one)["causes"]) == 2.5
    said = words.how_long_assumptions(one)
    assert said[0].startswith("The build is off the road for 30 months from today. Years kept count from today, those of the repair limit and of going over from the day it is done.")
    assert not [text for text in words.how_long_assumptions(found("pickup")) if "off the road" in text]
    text = keep_text(one.comparison, [1, 2, 3])
    cells = next(line for line in text.splitlines() if line.startswith("this build  "))
    assert cells.split("  ")[-1].strip() == "pass" and cells.count("not done") == 2 and text.index("this build  ") > text.index("this build, wear counted")
    options = {each["id"]: each["by_years"] for each in keep_document(one.comparison, [2, 3])["options"]}
    assert options["build"]["2"] == {"total": None, "per_month": None, "per_distance": None} and options["build"]["3"]["total"] > 0 and options["camper"]["2"]["total"] > 0
    assert json.loads(json.dumps(how_long_document(one, []), allow_nan=False))["marginal"]["build"][:4] == [None, None, None, pytest.approx(one.marginal[one.build, 3], abs=0.01)]


def test_the_cheapest_is_one_that_is_there():
    from buildecon.story.plain import keep_text

    project = half_built()
    options = tuple(one.model_copy(update={"value": sure(90000), "decline_rate": sure(0)}) if one.id == "build" else one for one in project.options)
    comparison = compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options})}))
    assert comparison.total[comparison.build, 24] < comparison.total[comparison.cheapest_rival(2), 24]
    assert "the cheapest that meets every must-have is used Corran D 2021" in " ".join(keep_text(comparison, [2]).split())
    assert "the cheapest that meets every must-have is this build" in " ".join(keep_text(comparison, [3]).split())
    only = comparison.project.model_copy(update={"file": comparison.project.file.model_copy(update={"options": options[:1]})})
    assert keep_text(compare(only), [2]).startswith("Kept 2 years, no option that meets every must-have is done by then.")


def test_a_build_that_goes_as_soon_as_it_is_done_and_one_that_never_is():
    import dataclasses

    one = how_long(compare(half_built()))
    lives = dataclasses.replace(one.lives, status=np.full(len(one.comparison.options), "at once"), years=np.full(len(one.comparison.options), 3.0))
    at_once = dataclasses.replace(one, lives=lives)
    assert words.life_sentence(at_once).startswith("This build costs least if it goes as soon as it is done, 3 years from today: 1,273 USD a month")
    assert {row["cheapest kept"] for row in tables.lives_table(at_once)} == {"3 years or less", "3 years, as soon as it is done"}
    never = how_long(compare(with_build(half_built(300), "build-wear")))
    row = tables.lives_table(never)[-1]
    assert (row["option"], row["a month"], row["cheapest kept"], row["within 1 %"]) == ("this build", "-", "not done by then", "-")
    assert json.loads(json.dumps(how_long_document(never, []), allow_nan=False))["economic_life"]["build"]["status"] == "none"


def test_why_a_build_costs_less_than_nothing_is_said_as_it_is():
    def said(view="whole story", finished=None, discount_rate=sure(0), **build):
        project = demo("roadster")
        use = project.file.use.model_copy(update={"discount_rate": discount_rate})
        options = tuple(one.model_copy(update=build) if one.id == "build" else one for one in project.options)
        value = project.file.value.model_copy(update={"finished": sure(finished)} if finished else {})
        return words.life_sentence(how_long(compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options, "value": value, "use": use})}), view=view)))

    assert "Below 0" not in said()
    assert said(enjoyment=sure(9000)).endswith(" Below 0, because what having it is worth, its enjoyment, is taken off.")
    assert said(finished=20000).endswith(" Below 0, because it is counted as worth more when done than all that goes into it: look at [value].")
    assert said(FROM_TODAY, 20000).endswith(" Below 0, because it is counted as worth more when done than it would fetch now with what is still to come: look at [value].")
    assert said(discount_rate=sure("-0.5")).endswith(" Below 0, because at a discount rate below 0 what comes back later counts for more than what goes in now.")
    assert said(decline_rate=sure("-0.3")).endswith(" Below 0, because its value is counted to rise by more than having it costs: look at its decline_rate or value_path.")


def test_the_assumptions_say_how_ranges_are_drawn_and_why_there_is_no_limit():
    import dataclasses

    from buildecon.project.chances import Chances
    from buildecon.project.records import Loan

    project = demo("pickup")
    for shape, told in (("pert", "most often near its likely figure (PERT)"), ("triangular", "as a triangle")):
        drawn = project.model_copy(update={"file": project.file.model_copy(update={"chances": Chances(shape=shape)})})
        assert f"every range that the build's cost counts with, drawn {told}, 1,024 times." in " ".join(words.how_long_assumptions(how_long(compare(drawn))))
    alone = dataclasses.replace(found("pickup"), limit=None, keep=None, rival=None)
    assert "No repair limit: it needs another option that passes every must-have, for what having the build a year is worth." in words.how_long_assumptions(alone)
    bills = (*project.file.repairs.bills, project.file.repairs.bills[0].model_copy(update={"chance": sure("0.004")}))
    rare = project.model_copy(update={"file": project.file.model_copy(update={"repairs": project.file.repairs.model_copy(update={"bills": bills})})})
    assert "900 USD in 25 % of years; 2,600 USD in 8 % of years; 6,500 USD in 2 % of years; 900 USD in 0.4 % of years." in " ".join(words.how_long_assumptions(how_long(compare(rare))))
    loan = Loan(amount=sure(9000), rate=sure("0.08"), months=48)
    options = tuple(one.model_copy(update={"loan": loan}) if one.id == "build" else one for one in project.options)
    lent = words.how_long_assumptions(how_long(compare(project.model_copy(update={"file": project.file.model_copy(update={"options": options})}))))
    assert [text for text in lent if text.startswith("The loan costs what is paid on it")]


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
    assert [(row["shown"], row["last"]) for row in tables.limit_frames(run)["limit"]] == [("900", False), ("", False), ("sell", False), ("", False)]
    given = how_long_document(one, [])["repair_limit"]
    assert [(row["year"], row["status"], row["limit"]) for row in given] == [(1, "sell", None), (2, "limit", 800.0), (3, "pay any", 3000.0)]


def test_the_object_gives_the_saving_whole():
    one = found("van")
    assert how_long_document(one, [])["keep_until"]["saving"] == pytest.approx(float(one.keep.saving), abs=0.01)


def test_the_object_has_one_more_year_and_the_clocks():
    import dataclasses

    given = how_long_document(found("pickup"), [])
    one = found("pickup")
    assert given["one_more_year"] == {"against": "used-corran", "per_month": pytest.approx(given["marginal"]["build"][0] / 12, abs=0.005), "saves": pytest.approx(one.next_year_saves, abs=0.005)}
    assert given["clocks"]["years"] == 14 and given["clocks"]["first"] == "shell" and 0 < given["clocks"]["chance_engine_first"] < given["clocks"]["engine_renewals"] + 1e-3
    bare = how_long_document(dataclasses.replace(found("van"), rival=None, keep=None, keep_as_long=None, next_year=None, next_year_saves=None), [])
    assert bare["one_more_year"] is bare["keep_until"] is bare["clocks"] is None


def test_the_dials_stand_where_the_files_stand():
    from buildecon.decision.compare import as_written
    from buildecon.ledger.ladder import ladder
    from buildecon.story.dials import keeping_dials, moved

    project = demo("pickup")
    assert [keeping_dials(one, as_written(one, ladder(one)))["years_kept"]["start"] for one in (project, half_built(6), half_built(12), half_built(30))] == [1, 1, 2, 3]
    written = as_written(project, ladder(project))
    ends = keeping_dials(project, written)
    assert (ends["upkeep"]["value"], ends["upkeep_rise_percent"]["value"], ends["decline_percent"]["value"]) == (1.0, 0.0, 7.0)
    standing = {name: end["value"] for name, end in ends.items()}
    assert moved(standing, ends) == {} and moved(standing | {"upkeep": 2.0}, ends) == {"upkeep": 2.0}
    untouched = compare(project, what_if=written.model_copy(update=moved(standing, ends)))
    assert np.array_equal(untouched.total, compare(project).total)  # opening the page changes nothing
