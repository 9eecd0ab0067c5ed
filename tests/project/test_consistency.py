"""What one file of a project names, another must have: every rule, and the message where it is broken."""

import pytest
from project.folders import EVENTS, LINES, MARKET, TOML, faults_of, made, swapped, with_rows

DEPOSITS = "line,date,kind,amount,currency,rate\na3,2026-03-04,{out},100,,\na3,2026-03-05,{back},{amount},,\n"


def said(tmp_path, **changed):
    return faults_of(made(tmp_path / "car", **changed))


def test_two_lines_with_one_id_name_the_line_that_had_it_first(tmp_path):
    assert said(tmp_path, lines=with_rows("a2,Engine,oil,part,20,,", "a2,Engine,oil,part,20,,")) == [
        "lines.csv line 5, id: must be unique, got 'a2', which line 3 has already.",
        "lines.csv line 6, id: must be unique, got 'a2', which line 3 has already.",
    ]


def test_two_rows_of_evidence_with_one_id_are_refused(tmp_path):
    assert said(tmp_path, market=MARKET + "m1,another,bid,2026-04-01,1500,\n") == ["market.csv line 3, id: must be unique, got 'm1', which line 2 has already."]


def test_two_options_with_one_id_are_refused(tmp_path):
    assert said(tmp_path, build=swapped(TOML, 'id = "other"', 'id = "build"')) == ["build.toml, options.id: must have ids that differ, got 'build' 2 times."]


def test_a_line_has_its_money_in_one_place(tmp_path):
    assert said(tmp_path, lines=swapped(LINES, "outside work,,", "outside work,260,")) == [
        "lines.csv line 4, paid: must be empty, got 260: events.csv has the money of 'a3'. Keep one of the two."
    ]


def test_a_kit_with_events_needs_list_prices_to_split_them_by(tmp_path):
    lines = "id,system,item,nature,paid,kit,list_price\nc,Base,car,base car,1,,\nk1,E,x,part,,set,100\nk2,E,y,part,,set,\n"
    assert said(tmp_path, lines=lines, events="line,kind,amount,date\nset,payment,150,2026-01-01\n") == [
        "lines.csv line 4, list_price: must be given to split the price of kit 'set' over its parts; or share on all of them."
    ]


def test_a_kit_and_a_line_never_share_a_name(tmp_path):
    lines = "id,system,item,nature,paid,kit\nc,Base,car,base car,1,\nk1,E,x,part,5,\nk2,E,y,part,,k1\n"
    assert said(tmp_path, lines=lines, events=None) == ["lines.csv line 4, kit: must be a name that no line has as its id, got 'k1'."]


def test_an_event_for_a_line_that_is_not_there_is_refused(tmp_path):
    assert said(tmp_path, events=EVENTS + "a33,2026-03-04,payment,3,,\n") == [
        "events.csv line 4, line: must be the id of a line or the name of a kit, got 'a33', which is not a known name. Did you mean 'a3'?"
    ]


def test_money_in_another_currency_needs_its_rate(tmp_path):
    assert said(tmp_path, events=EVENTS + "a3,2026-03-04,payment,3,USD,\n") == ["events.csv line 4, rate: must be given for USD: EUR for one USD on that date."]
    assert said(tmp_path, events=EVENTS + "a3,2026-03-04,payment,3,USD,0\n") == ["events.csv line 4, rate: must be above 0, got 0."]
    assert said(tmp_path, events=EVENTS + "a3,2026-03-04,payment,3,EUR,\na3,2026-03-04,payment,3,USD,0.9\n") == []


@pytest.mark.parametrize("kind", ["sale", "grant"])
def test_money_from_others_stands_against_a_credit(tmp_path, kind):
    assert said(tmp_path, events=EVENTS + f"a3,2026-03-04,{kind},3,,\n") == [
        "events.csv line 4, kind: must stand against a line of nature 'credit', got 'outside work'."
    ]
    assert said(tmp_path, lines=with_rows("a4,Engine,old carburettor,credit,,,"), events=EVENTS + f"a4,2026-03-04,{kind},3,,\n") == []


def test_a_refund_has_its_date_or_the_date_it_is_due(tmp_path):
    events = "line,date,kind,amount,due\na3,2026-03-04,payment,300,\na3,,refund,40,{}\n"
    assert said(tmp_path, events=events.format("")) == ["events.csv line 3, date: must be given for a refund, or due for one still owed."]
    assert said(tmp_path, events=events.format("2026-08-01")) == []


def test_refunds_are_at_most_what_was_paid_to_the_cent(tmp_path):
    assert said(tmp_path, events=swapped(EVENTS, "refund,40", "refund,300.02")) == [
        "events.csv line 3, amount: must be at most the payments of 'a3', 300.00, got 300.02 in all. Check which line it belongs to."
    ]
    assert said(tmp_path, events=swapped(EVENTS, "refund,40", "refund,300")) == []
    assert said(tmp_path, events=EVENTS + "a3,2026-03-21,refund,300,,\n") == [
        f"events.csv line {line}, amount: must be at most the payments of 'a3', 300.00, got 340.00 in all. Check which line it belongs to." for line in (3, 4)
    ]


@pytest.mark.parametrize(
    ("out", "back"),
    [("deposit", "deposit back"), ("deposit", "deposit lost"), ("core deposit", "core credit"), ("core deposit", "core lost")],
)
def test_no_more_of_a_deposit_comes_back_or_is_lost_than_was_left(tmp_path, out, back):
    assert said(tmp_path, events=DEPOSITS.format(out=out, back=back, amount=100)) == []
    assert said(tmp_path, events=DEPOSITS.format(out=out, back=back, amount=101)) == [
        f"events.csv line 3, amount: must be at most the {out}s of 'a3', 100.00, got 101.00 in all. Check which line it belongs to."
    ]


def test_the_energy_of_an_option_is_one_that_is_priced_and_in_a_unit_that_fits(tmp_path):
    assert said(tmp_path, build=swapped(TOML, 'source = "petrol"', 'source = "petrl"')) == [
        "build.toml line 43, options.1.energy: source 'petrl' is not a known name. Did you mean 'petrol'?"
    ]
    assert said(tmp_path, build=swapped(TOML, "L/100 km", "kWh/100 km")) == [
        "build.toml line 43, options.1.energy: must be in a unit that fits L, got 'kWh/100 km'."
    ]


def test_what_an_option_counts_on_is_a_credit_line(tmp_path):
    build = swapped(TOML, 'kind = "build"', 'kind = "build"\ncounts_on = ["a2"]')
    assert said(tmp_path, build=build) == ["build.toml line 42, options.1.counts_on: 'a2' is not a known name. Known names: none."]
    assert said(tmp_path, build=build, lines=swapped(LINES, "gaskets,part", "old engine,credit")) == []


def test_what_an_option_shares_is_a_system_of_the_lines(tmp_path):
    build = swapped(TOML, "price = 3000", 'price = 3000\nshares_systems = ["Engin"]')
    assert said(tmp_path, build=build) == ["build.toml line 54, options.2.shares_systems: 'Engin' is not a known name. Did you mean 'Engine'?"]


def test_once_work_has_begun_an_option_on_the_base_car_says_what_it_is_from_today(tmp_path):
    build = swapped(swapped(TOML, "price = 3000", "price = 3000\nuses_base_car = true"), '"planned"', '"in progress"')
    assert said(tmp_path, build=build) == [
        "build.toml line 49, options.2.from_today: must say what this option is from today, because it uses the base car and the work has begun."
    ]
    assert said(tmp_path, build=build + '[options.from_today]\navailable = false\nbecause = "it is in pieces"\n') == []
    assert said(tmp_path, build=build + "[options.from_today]\navailable = false\n") == [
        "build.toml line 61, options.2.from_today: must be given because = '...' when available = false."
    ]


@pytest.mark.parametrize(
    ("must", "good", "bad", "rule"),
    [
        ("at_least = 2", ["2", "3.5", '"unknown"'], ["true", '"many"'], "a number"),
        ("at_most = 2", ["2"], ["false"], "a number"),
        ("yes = true", ["true", "false", '"unknown"'], ["1", '"always"'], "true or false"),
        ("until_year = 2034", ["2040", '"always"', '"unknown"'], ["true", "2030.5"], "a last year, or 'always'"),
    ],
)
def test_every_option_states_a_fact_that_fits_each_must_have(tmp_path, must, good, bad, rule):
    build = TOML.replace("at_least = 2", must).replace("seats = 2", "seats = {}").replace("seats = 4", "seats = {}")
    for fact in good:
        assert said(tmp_path, build=build.replace("seats = {}", f"seats = {fact}")) == []
    for fact in bad:
        shown = fact.replace('"', "'")
        assert said(tmp_path, build=build.replace("seats = {}", f"seats = {fact}")) == [
            f"build.toml line {line}, options.{option}.facts.seats: must be {rule}, or 'unknown', got {shown}." for line, option in ((46, 1), (57, 2))
        ]


def test_a_fact_is_missing_or_belongs_to_no_must_have(tmp_path):
    assert said(tmp_path, build=swapped(TOML, "seats = 4", "seat = 4")) == [
        "build.toml line 56, options.2.facts: must state 'seats' (seats), or 'unknown'.",
        "build.toml line 57, options.2.facts.seat: is not a known name. Did you mean 'seats'?",
    ]


def test_the_story_is_told_for_an_option_that_is_the_build(tmp_path):
    for name in ("other", "nobody"):
        assert said(tmp_path, build=swapped(TOML, 'quoted_option = "build"', f'quoted_option = "{name}"')) == [
            f"build.toml line 11, build.quoted_option: must be the id of an option of kind 'build', got {name!r}. There are: build."
        ]


def test_a_project_has_a_line_for_the_base_car(tmp_path):
    assert said(tmp_path, lines=swapped(LINES, "base car", "part")) == [
        "lines.csv, nature: must have one line of nature 'base car': what the car was bought for, or its as-is value today."
    ]


def test_a_foreign_refund_is_held_against_its_payment_in_its_own_currency(tmp_path):
    events = "line,date,kind,amount,currency,rate\na3,2026-03-01,payment,100,USD,0.9\na3,2026-04-01,refund,{},USD,1.1\n"
    assert said(tmp_path, events=events.format(100)) == []
    assert said(tmp_path, events=events.format(101)) == [
        "events.csv line 3, amount: must be at most the payments of 'a3', 100.00, got 101.00 in all. Check which line it belongs to."
    ]


def test_a_rate_without_a_foreign_currency_is_asked_about(tmp_path):
    events = "line,date,kind,amount,currency,rate\na3,2026-03-01,payment,100,,0.9\n"
    assert said(tmp_path, events=events) == ["events.csv line 2, rate: must be empty for an amount in EUR, got 0.9. Name the currency, or drop the rate."]


def test_money_cannot_have_moved_after_the_day_the_figures_hold_on(tmp_path):
    events = "line,date,kind,amount\na3,2026-07-01,payment,100\n"
    assert said(tmp_path, events=events) == [
        "events.csv line 2, date: must be on or before as_of, 2026-06-30, got 2026-07-01. "
        "Leave it empty and write due, if it has not happened yet; else move as_of in build.toml."
    ]


@pytest.mark.parametrize("what", ["options.other.price", "lines.a2", "value.finished", "use.distance_a_year", "spent", "options.build.yearly.upkeep"])
def test_what_can_be_found_out_stands_somewhere(tmp_path, what):
    assert said(tmp_path, build=TOML + f'\n[[chances.finding_out]]\nwhat = "{what}"\ncosts = 10\n') == []


@pytest.mark.parametrize("what", ["options.nobody.price", "lines.zz", "value", "value.basis", "price"])
def test_what_can_be_found_out_must_stand_somewhere(tmp_path, what):
    found = said(tmp_path, build=TOML + f'\n[[chances.finding_out]]\nwhat = "{what}"\ncosts = 10\n')
    assert len(found) == 1 and found[0].endswith(f"chances.finding_out.what: must be where a figure stands, as 'options.ID.price', 'value.finished' or 'lines.ID', got '{what}'.")


def of_the_build(more):
    return swapped(TOML, "decline_rate = 0.1\nenergy", f"{more}\nenergy")


LIVED = 'value_path = { kind = "steady", decline_rate = 0.1, scrap_value = SCRAP, distance_now = 100000, lifetime_distance = { low = 180000, likely = 200000, high = 250000 } }'


def test_scrap_is_worth_no_more_than_the_car(tmp_path):
    assert said(tmp_path, build=of_the_build(LIVED.replace("SCRAP", "2000"))) == []
    assert said(tmp_path, build=of_the_build(LIVED.replace("SCRAP", "2001"))) == [
        "build.toml line 42, options.1.value_path.scrap_value: must be at most what it is worth on the first day, 2000, got 2001. It would never sell below its scrap: raise the one or lower the other."
    ]


def test_the_car_that_follows_has_some_of_its_life_left(tmp_path):
    short = LIVED.replace("SCRAP", "200") + "\nwear = { again_distance = DISTANCE }"
    assert said(tmp_path, build=of_the_build(short.replace("DISTANCE", "179999"))) == []
    assert said(tmp_path, build=of_the_build(short.replace("DISTANCE", "180000"))) == [
        "build.toml line 43, options.1.wear.again_distance: must be below lifetime_distance, 180000, got 180000. A car that has run its life cannot follow."
    ]


def test_the_car_is_kept_longer_than_it_is_built(tmp_path):
    assert said(tmp_path, build=of_the_build("decline_rate = 0.1\nbuild_months = 59")) == []
    assert said(tmp_path, build=of_the_build("decline_rate = 0.1\nbuild_months = 60")) == [
        "build.toml line 16, use.years_kept: must be more years than the 60 months of building of 'build', got 5. The years kept count from today, those of building with them."
    ]


    near = swapped(of_the_build("decline_rate = 0.1\nbuild_months = 59"), "years_kept = 5", "years_kept = 5\nhorizon_years = 5")
    assert said(tmp_path, build=near) == ["build.toml line 17, use.horizon_years: must be a year more than the 59 months of building of 'build', got 5."]
    assert said(tmp_path, build=near.replace("= 59", "= 48")) == []


def test_a_shell_like_a_fleet_s_needs_the_year_of_the_car(tmp_path):
    like = '[clocks]\nshell_like = "EPA cars"\nengine_every = 200000\nengine_shape = 2\n'
    assert said(tmp_path, build=TOML + like + "[this_car]\nyear = 1990\n") == []
    assert said(tmp_path, build=TOML + like) == [
        "build.toml line 61, clocks.shell_like: must stand beside the year of the car under [this_car]. Write it there, or shell_years here instead."
    ]


@pytest.mark.parametrize(
    ("clocks", "message"),
    [
        ("engine_every = 250\nengine_shape = 2", ".engine_every: must be a distance of at least 1,000, got 250. Write it whole, as 250000."),
        (
            "engine_every = 40000\nengine_used = 60000\nengine_shape = 20",
            ": must be given a smaller engine_used for every = 40000 and shape = 20. None of them reaches 60000. Count from when it was last renewed, or lower the shape.",
        ),
    ],
)
def test_an_engine_of_the_clocks_is_one_that_there_can_be(tmp_path, clocks, message):
    [fault] = said(tmp_path, build=TOML + f"[clocks]\nshell_years = 9\n{clocks}\n")
    assert fault.endswith("clocks" + message)


def test_a_part_that_fails_by_chance_is_one_that_some_of_its_kind_reach(tmp_path):
    belt = 'decline_rate = 0.1\nwear = { renewals = [{ what = "belt", cost = 300, every = 40000, used = USED, shape = 20 }] }'
    assert said(tmp_path, build=of_the_build(belt.replace("USED", "50000"))) == []
    [fault] = said(tmp_path, build=of_the_build(belt.replace("USED", "60000")))
    assert fault.endswith("must be given a smaller used for every = 40000 and shape = 20. None of them reaches 60000. Count from when it was last renewed, or lower the shape.")
