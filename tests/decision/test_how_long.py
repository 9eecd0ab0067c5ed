"""How long to keep it: by hand, on the demos, and through what wears out."""

import numpy as np
import pytest
from demos import changed, demo, line, money, small

from buildecon.decision.compare import FROM_TODAY, as_written, compare
from buildecon.decision.how_long import LOSS_OF_VALUE, how_long
from buildecon.ledger.ladder import ladder
from buildecon.project.paths import ValuePath
from buildecon.project.records import Option, Yearly
from buildecon.project.wear import Bill, Renewal, Repairs, Wear

FACTS = demo("roadster").options[0].facts
MILES = 6000


def project(build=None, other=None, repairs=None, rate="0", **use):
    base = small([line("engine", paid=4000)], quoted_option="build", stage="finished")
    first = Option(**({"id": "build", "name": "the build", "kind": "build", "value": money(4000), "decline_rate": money("0.2"), "selling_cost_share": money(0), "facts": FACTS, "yearly": Yearly(upkeep=money(600))} | (build or {})))
    second = Option(**({"id": "other", "name": "the other", "kind": "buy", "price": money(6000), "decline_rate": money(0), "selling_cost_share": money(0), "facts": FACTS, "yearly": Yearly(upkeep=money(1200))} | (other or {})))
    terms = base.file.use.model_copy(update={"distance_a_year": money(MILES), "discount_rate": money(rate)} | use)
    return base.model_copy(update={"file": base.file.model_copy(update={"options": (first, second), "use": terms, "repairs": repairs})})


def test_rising_upkeep_makes_a_cheapest_year_and_it_is_found_by_hand():
    # 4,000 in, worth 1,000 x 0.8^n; upkeep 600 a year rising by 300 of its first each year (a half), paid monthly at (m / 12 of a year)
    made = project({"value": money(1000), "wear": Wear(upkeep_by_year=money("0.5"))})
    found = how_long(compare(made))
    total = [4000 - 1000 * 0.8**n + sum(50 * (1 + 0.5 * m / 12) for m in range(1, 12 * n + 1)) for n in range(21)]
    np.testing.assert_allclose(found.comparison.total[0, ::12], total, rtol=1e-12)
    level = [total[n] / n for n in range(1, 21)]
    assert found.life(0)[0] == 1 + int(np.argmin(level)) and found.life(0)[2] == "inside"
    assert found.life(0)[1] == pytest.approx(min(level) / 12)
    assert found.marginal[0] == pytest.approx(np.diff(total))


def test_renewals_are_paid_when_their_distance_is_reached():
    tyres = Renewal(what="tyres", cost=money(500), every=money(9000), used=money(3000))  # after 6,000, 15,000, 24,000 miles: 1, 2.5, 4 years
    plain, worn = (compare(project({"wear": wear})) for wear in (None, Wear(renewals=(tyres,))))
    more = worn.total[0] - plain.total[0]
    assert [float(more[month]) for month in (11, 12, 29, 30, 47, 48)] == pytest.approx([0, 500, 500, 1000, 1000, 1500])
    assert how_long(worn).causes["renewals"][48] == pytest.approx(1500 / 48)


def test_insurance_by_value_follows_the_value_at_the_start_of_each_year():
    plain, insured = (compare(project({"wear": wear})) for wear in (None, Wear(insurance_share=money("0.06"))))
    assert (insured.total[0] - plain.total[0])[[12, 24]] == pytest.approx([240, 240 + 0.06 * 3200])


def test_the_causes_add_up_to_the_level_cost():
    for name in ("van", "roadster", "pickup"):
        for view in ("whole story", FROM_TODAY):
            found = how_long(compare(demo(name), view=view))
            np.testing.assert_allclose(sum(found.causes.values())[1:], found.comparison.per_month[found.build][1:], rtol=1e-12)
            assert next(iter(found.causes)) == LOSS_OF_VALUE


def test_the_end_of_a_life_buys_another_and_is_told():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))  # 30,000 miles: five years
    found = how_long(compare(project({"decline_rate": None, "value_path": path, "wear": Wear(again=money(5000))})))
    assert found.replaced_years(0)[:3] == [5, 10, 15]
    total = found.comparison.total[0]
    start = float(total[0]) + 4000  # what goes in at first, before the value that would come back
    assert total[60] == pytest.approx(start + 5 * 600 - 100)
    assert total[72] == pytest.approx(start + 6 * 600 - 100 + 5000 - 4000 * 0.8)


def test_a_shell_that_is_done_sooner_is_dearer():
    made = project()
    made = made.model_copy(update={"file": made.file.model_copy(update={"this_car": made.file.this_car.model_copy(update={"distance": money(60000)})})})
    written = as_written(made, ladder(made))
    costs = [compare(made, what_if=written.model_copy(update={"lifetime_distance": miles})).per_month[0, 180] for miles in (400000.0, 120000.0, 90000.0)]
    assert costs[0] == compare(made).per_month[0, 180] and costs[0] < costs[1] < costs[2]


def test_the_sliders_replace_what_the_files_say():
    made = project()
    written = as_written(made, ladder(made))
    base = compare(made)
    twice = compare(made, what_if=written.model_copy(update={"upkeep": 2.0}))
    assert (twice.total[0] - base.total[0])[12] == pytest.approx(600)
    rising = compare(made, what_if=written.model_copy(update={"upkeep_rise_percent": 50.0}))
    np.testing.assert_allclose(rising.total[0], compare(project({"wear": Wear(upkeep_by_year=money("0.5"))})).total[0], rtol=1e-12)
    slower = compare(made, what_if=written.model_copy(update={"decline_percent": 0.0}))
    assert (base.total[0] - slower.total[0])[12] == pytest.approx(800)
    assert np.array_equal(slower.total[1], base.total[1])  # the other is no build


def test_keep_until_another_at_its_best_is_cheaper():
    found = how_long(compare(project({"wear": Wear(upkeep_by_year=money("0.5"))}, {"price": money(1200)})))
    # the other loses nothing: 100 a month at any length; the build's year n costs 4,000 x 0.8^(n-1) x 0.2 + 600 + ...
    each = found.marginal[0]
    assert found.life(1)[1] == pytest.approx(100)
    expected = int(np.argmax(np.cumsum(1200 - each)) + 1) if np.max(np.cumsum(1200 - each)) > 0 else 0
    assert float(found.keep.years) == expected
    assert found.rival == 1


def test_the_repair_limit_of_one_year_by_hand():
    repairs = Repairs(bills=(Bill(amount=money(3000), chance=money("0.1")),), scrap_value=money(500))
    found = how_long(compare(project({"wear": None}, {"price": money(1200), "yearly": Yearly(upkeep=money(600))}, repairs, horizon_years=1, years_kept=1)))
    # joy 600 and the 300 of repairs to be expected, running 600, worth 3,200 after it: ahead = 3,500, below the 4,000 it would fetch: sell
    assert str(found.limit.status[0]) == "sell"
    dear = how_long(compare(project({"wear": Wear(again=money(9000))}, {"price": money(1200), "yearly": Yearly(upkeep=money(2400))}, repairs, horizon_years=1, years_kept=1)))
    # joy 2,700: ahead = 5,300, so any bill up to 5,300 - 500 is worth paying, another like it being dearer
    assert str(dear.limit.status[0]) == "pay any" and float(dear.limit.limit[0]) == pytest.approx(4800)


def test_no_bill_is_worth_more_than_another_like_it():
    repairs = Repairs(bills=(Bill(amount=money(3000), chance=money("0.1")), Bill(amount=money(9000), chance=money("0.01"))), scrap_value=money(500))
    loved = how_long(compare(project({"enjoyment": money(9000)}, None, repairs)))
    assert loved.limit.limit == pytest.approx(np.full(20, 4000 - 500.0)) and set(loved.limit.status) == {"limit"}
    today = how_long(compare(project({"enjoyment": money(9000)}, None, repairs), view=FROM_TODAY))
    assert today.limit.limit == pytest.approx(loved.limit.limit)
    dear = how_long(compare(project({"enjoyment": money(9000), "wear": Wear(again=money(2500))}, None, repairs)))
    assert dear.limit.limit == pytest.approx(np.full(20, 2500 - 500.0))


def test_nothing_to_go_over_to_and_no_bills():
    seats = demo("roadster").file.must_haves[0].id
    found = how_long(compare(project(other={"facts": FACTS | {seats: 1}})))
    assert found.rival is None and found.keep is None and found.limit is None


def test_the_spread_over_ranges():
    from market.garage import spread

    sure_of_all = project().model_copy(update={"lines": (), "events": ()})
    assert how_long(compare(sure_of_all)).spread is None  # a value of its own that is no range, and no receipts that leave anything open
    wide = project({"value": spread(2000, 4000, 9000), "wear": Wear(upkeep_by_year=money("0.5"))})
    found = how_long(compare(wide)).spread
    assert found.share.sum() == pytest.approx(1) and found.quantile[0] <= found.quantile[1] <= found.quantile[2]
    again = how_long(compare(wide)).spread
    assert np.array_equal(found.quantile, again.quantile)
    narrow = project({"value": spread(3999, 4000, 4001), "wear": Wear(upkeep_by_year=money("0.5"))})
    one = how_long(compare(narrow))
    assert set(one.spread.quantile) == {one.life(0)[0]}


@pytest.mark.parametrize("name", ["van", "roadster", "pickup"])
def test_the_demos_have_no_cheapest_year_without_wear(name):
    found = how_long(compare(demo(name)))
    assert found.life(found.build)[2] == "or more" and found.life(found.build)[0] == demo(name).file.use.horizon_years


def test_chances_above_one_are_refused():
    with pytest.raises(ValueError, match="chances add up to at most 1"):
        Repairs(bills=(Bill(amount=money(1), chance=money("0.7")), Bill(amount=money(2), chance=money("0.7"))))


def test_what_fails_by_chance_is_the_bill_to_be_expected():
    # Shape 1 is pure chance: M(x) = x / mean, and half last longer than mean x log 2.
    pump = Renewal(what="pump", cost=money(400), every=money(9000), shape=money(1))
    plain, worn = (compare(project({"wear": wear})) for wear in (None, Wear(renewals=(pump,))))
    more = (worn.total[0] - plain.total[0])[[12, 120, 240]]
    assert more == pytest.approx(400 * np.log(2) * 6000 * np.array([1, 10, 20]) / 9000, rel=2e-4)
    assert how_long(worn).causes["renewals by chance"][120] == pytest.approx(more[1] / 120, rel=1e-6)
    # of all that fails within 6,000 miles the maker pays a half: a quarter less over the first two years
    covered = compare(project({"wear": Wear(renewals=(pump.model_copy(update={"warranty": money(6000), "warranty_pays": money("0.5")}),))}))
    assert (covered.total[0] - plain.total[0])[24] == pytest.approx(0.75 * (worn.total[0] - plain.total[0])[24], rel=5e-3)


def test_months_of_building_and_the_car_meanwhile():
    made = project({"build_months": money(6), "downtime": money(50), "enjoyment": money(120)})
    written = as_written(made, ladder(made)).model_copy(update={"still_to_come": 900.0})
    bare = project()
    found, plain = compare(made, what_if=written), compare(bare, what_if=written)
    paid = [150 * min(m, 6) + 50 * min(m, 6) - 10 * m for m in (1, 6, 12)]
    assert (found.total[0] - plain.total[0])[[1, 6, 12]] == pytest.approx(np.array(paid) - 900)
    assert {"build", "second car while building", "enjoyment"} <= set(how_long(found).causes)


@pytest.mark.parametrize(
    ("terms", "message"),
    [
        ({"downtime": money(50)}, "given build_months when it has a downtime"),
        ({"kind": "buy", "price": money(1), "build_months": money(3)}, "without build_months and downtime unless kind = 'build'"),
    ],
)
def test_terms_that_do_not_go_together_are_refused(terms, message):
    with pytest.raises(ValueError, match=message):
        project(terms)


def test_the_two_clocks_as_the_files_state_them():
    from buildecon.ownership.expected import clocks
    from buildecon.project.wear import Clocks

    base = project()
    stated = Clocks(shell_years=money(10), engine_every=money(60000), engine_shape=money(1))
    one = clocks(base.model_copy(update={"file": base.file.model_copy(update={"clocks": stated})}), 6000.0)
    # pure chance, half last longer than 60,000 miles, which is just what ten years are
    assert one.years == pytest.approx(10) and one.chance_engine_first == pytest.approx(0.5, abs=1e-3) and one.engine_renewals == pytest.approx(np.log(2), rel=1e-3)
    assert clocks(base, 6000.0) is None
    with pytest.raises(ValueError, match="given shell_years or shell_like, and not both"):
        Clocks(engine_every=money(60000), engine_shape=money(2))


def test_a_car_older_than_the_fleet_has_no_clock_of_it_and_says_so():
    from buildecon.ownership.expected import clocks
    from buildecon.project.wear import Clocks
    from buildecon.story.how_long_words import clocks_sentence

    base = project()
    like = Clocks(shell_like="NHTSA cars", engine_every=money(60000), engine_shape=money(2))

    def of_year(year):
        car = base.file.this_car.model_copy(update={"year": year})
        return base.model_copy(update={"file": base.file.model_copy(update={"clocks": like, "this_car": car})})

    year = base.file.build.as_of.year
    assert clocks(of_year(year - 24), 6000.0) is not None and clocks(of_year(year - 25), 6000.0) is None
    said = clocks_sentence(how_long(compare(of_year(year - 51))))
    assert "NHTSA cars, the US fleet named for the shell, ends at 25 years, and this car is 51 years old" in said
    still = compare(of_year(year - 10), what_if=as_written(base, ladder(base)).model_copy(update={"distance_a_year": 0.0}))
    assert clocks_sentence(how_long(still)).endswith("At 0 mi a year the engine's stands still.")
    assert "a US fleet average that ends at 25 years" in clocks_sentence(how_long(compare(of_year(year - 10))))


def test_what_fails_by_chance_begins_anew_with_the_car_that_follows():
    pump = Renewal(what="pump", cost=money(400), every=money(40000), used=money(10000), shape=money("2.5"))
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))  # 30,000 miles: five years
    plain, worn = (compare(project({"decline_rate": None, "value_path": path, "wear": Wear(again=money(5000), renewals=parts)})) for parts in ((), (pump,)))
    more = worn.total[0] - plain.total[0]
    assert more[60] > 100 and more[[120, 180, 240]] == pytest.approx(more[60] * np.array([2, 3, 4]))
    assert how_long(worn).causes["renewals by chance"][120] == pytest.approx(more[60] / 60)


def test_bills_begin_anew_where_a_car_is_replaced_by_hand():
    from buildecon.ownership.expected import begun_anew

    bills, ends = [[1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 6]], [[np.nan, np.nan], [2, 4]]
    assert begun_anew(bills, ends).tolist() == [[1, 2, 3, 4, 5, 6], [1, 2, 1, 2, 1, 2]]
    assert begun_anew(bills[0], ends).tolist() == begun_anew(bills, ends).tolist()
    assert begun_anew(bills[0], []).tolist() == bills[0]


def test_a_part_that_lasts_no_distance_at_all_is_a_running_cost():
    # Half last longer than 20 miles, shape 2: the mean is 20 (log 2)^-1/2 gamma(3/2), and 6,000 miles a year are 282 of them.
    oil = Renewal(what="oil", cost=money("0.10"), every=money(20), shape=money(2))
    plain, worn = (compare(project({"wear": wear})) for wear in (None, Wear(renewals=(oil,))))
    mean = 20 / np.log(2) ** 0.5 * np.sqrt(np.pi) / 2
    more = (worn.total[0] - plain.total[0])[[12, 240]]
    assert more == pytest.approx(0.10 * 6000 * np.array([1, 20]) / mean, rel=2e-3)
    covered = compare(project({"wear": Wear(renewals=(oil.model_copy(update={"warranty": money(6000)}),))}))
    assert (covered.total[0] - plain.total[0])[[12, 24]] == pytest.approx([0, more[0]], rel=2e-2, abs=0.5)


def test_two_published_figures_are_mixed_by_distance():
    from buildecon.ownership.energy import used_amount
    from buildecon.project.records import Consumption

    # 40 CFR 600 Appendix II: 27.7 in the city and 36.9 on the highway; 31.2 combined (from memory, see tests/reference/epa_combined_mpg.csv)
    mixed = Consumption(source="petrol", town=money("27.7"), open_road=money("36.9"), unit="mpg US")
    assert used_amount(mixed)[1] == pytest.approx(31.2005, abs=1e-4)
    with pytest.raises(ValueError, match="given amount, or town and open_road"):
        Consumption(source="petrol", town=money("27.7"), unit="mpg US")


def test_keep_rule_and_repair_limit_do_not_contradict_each_other():
    for name in ("van", "roadster", "pickup"):
        base = demo(name)
        for option in (option.id for option in base.options if option.kind == "build"):
            quoted = base.model_copy(update={"file": base.file.model_copy(update={"build": base.file.build.model_copy(update={"quoted_option": option})})})
            found = how_long(compare(quoted))
            kept = int(found.keep.years)
            assert not any(str(status) == "sell" for status in found.limit.status[: max(kept - 5, 0)]), (name, option)


def test_the_next_car_may_be_younger_than_this_one():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    found = how_long(compare(project({"decline_rate": None, "value_path": path, "wear": Wear(again=money(5000), again_distance=money(20000))})))
    assert found.replaced_years(0) == [5, 15]  # 30,000 miles left of this one, 60,000 of each that follows
    assert found.spread is None


def test_the_slider_of_the_shell_moves_a_lifetime_that_the_file_gives():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    made = project({"decline_rate": None, "value_path": path})
    written = as_written(made, ladder(made))
    moved = how_long(compare(made, what_if=written.model_copy(update={"lifetime_distance": 98000.0})))
    assert moved.replaced_years(0) == [8, 16]
    assert moved.comparison.end_value[0, 90] > 100


def test_upkeep_by_miles_and_the_scrap_of_repairs():
    by_miles = compare(project({"wear": Wear(upkeep_by_distance=money("0.5"))}))
    # 600 a year more by half for each 10,000 miles: after a year at 6,000, 0.3 of it; 50 a month x (1 + 0.3 m / 12)
    assert by_miles.total[0, 12] - compare(project()).total[0, 12] == pytest.approx(sum(50 * 0.3 * m / 12 for m in range(1, 13)))
    plain = project()
    plain = plain.model_copy(update={"file": plain.file.model_copy(update={"this_car": plain.file.this_car.model_copy(update={"distance": money(50000)})})})
    worth_scrap = plain.model_copy(update={"file": plain.file.model_copy(update={"repairs": Repairs(bills=(Bill(amount=money(1), chance=money("0.1")),), scrap_value=money(300))})})
    done = as_written(plain, ladder(plain)).model_copy(update={"lifetime_distance": 80000.0})
    assert compare(plain, what_if=done).total[0, 60] - compare(worth_scrap, what_if=done).total[0, 60] == pytest.approx(300)


def test_the_limit_brings_every_amount_of_a_year_to_its_start():
    repairs = Repairs(bills=(Bill(amount=money(9000), chance=money("0.1")),), scrap_value=money(500))
    found = how_long(compare(project({"wear": Wear(again=money(9000))}, {"price": money(1200), "yearly": Yearly(upkeep=money(2400))}, repairs, rate="0.10", horizon_years=1, years_kept=1)))
    other = (1200 + 200 * sum(1.1 ** (-m / 12) for m in range(1, 13)) - 1200 / 1.1) * 1.1  # a year of the other, at its end
    joy, running = other / 1.1 + 900, 50 * sum(1.1 ** (-m / 12) for m in range(1, 13))
    assert float(found.limit.limit[0]) == pytest.approx(joy - running + 3200 / 1.1 - 500)


def test_a_build_is_kept_from_the_day_it_is_done_by_hand():
    # 3,000 still to come over 36 months and 100 a month for another car, then 50 a month; 4,000 that loses nothing. Another costs 90 a month at any length.
    made = project({"build_months": money("35.5"), "downtime": money(100), "decline_rate": money(0)}, {"price": money(0), "yearly": Yearly(upkeep=money(1080))})
    written = as_written(made, ladder(made)).model_copy(update={"still_to_come": 3550.0})
    found = how_long(compare(made, what_if=written))
    in_three_years = 4000 + 3550 + 3550 + 36 * 50 - 4000
    assert found.comparison.ready(0) == 36 and found.comparison.total[0, 36] == pytest.approx(in_three_years)
    level = [(in_three_years + 50 * (m - 36)) / m for m in range(36, 241, 12)]
    years, cost, status, low, _ = found.life(0)
    assert (years, status, low) == (20, "or more", 20) and cost == pytest.approx(level[-1])
    assert np.isnan(found.marginal[0, :3]).all() and found.marginal[0, 3:] == pytest.approx(600) and not np.isnan(found.marginal[1]).any()
    # The day it is done, what is spent is spent: 50 against 90 a month for the 17 years that are left.
    assert (str(found.keep.status), float(found.keep.years), float(found.keep.saving)) == ("or more", 17, pytest.approx(17 * 12 * 40))
    dear = how_long(compare(project({"build_months": money(36), "decline_rate": money("0.5"), "value": money(90000)}), what_if=written.model_copy(update={"end_value": 90000.0})))
    assert dear.life(0)[0] == 3 and dear.life(0)[2] == "at once"  # half of its value a year: it goes when it is done, not half-built


def test_the_money_of_the_day_it_is_done_is_that_day_s():
    made = project({"build_months": money(24), "decline_rate": money(0)}, {"price": money(0), "yearly": Yearly(upkeep=money(1200))}, rate="0.1")
    saving = float(how_long(compare(made)).keep.saving)
    interest = 4000 * 1.1 ** (1 / 12) - 4000  # a month, on what selling it would have brought
    assert saving == pytest.approx(sum((100 - 50 - interest) * 1.1 ** (-m / 12) for m in range(1, 217)))


def test_the_repair_limit_begins_when_the_build_is_done():
    repairs = Repairs(bills=(Bill(amount=money(3000), chance=money("0.1")),), scrap_value=money(500))
    later = how_long(compare(project({"build_months": money(24), "decline_rate": money(0)}, None, repairs, horizon_years=6)))
    at_once = how_long(compare(project({"decline_rate": money(0)}, {"price": money(6000)}, repairs, horizon_years=4, years_kept=4)))
    assert len(later.limit.limit) == 4 and later.limit.limit == pytest.approx(at_once.limit.limit, nan_ok=True)


def test_a_rate_that_is_a_range_is_the_rate_of_its_own_draw():
    from market.garage import spread

    # Nothing else is a range: every cheapest year met in the draws is that of some one rate.
    clutch = Renewal(what="clutch", cost=money(1000), every=money(6000 * 6 + 1))
    made = project({"value": money(2000), "decline_rate": money("0.1"), "wear": Wear(renewals=(clutch,), upkeep_by_year=money("0.2"))})
    made = made.model_copy(update={"file": made.file.model_copy(update={"use": made.file.use.model_copy(update={"discount_rate": spread("0", "0.02", "0.9")})})})
    seen = set(how_long(compare(made)).spread.quantile)
    rates = [how_long(compare(made, what_if=as_written(made, ladder(made)).model_copy(update={"discount_percent": 100 * rate}))).life(0)[0] for rate in np.linspace(0.001, 0.899, 60)]
    assert seen <= set(rates)


def test_single_years_stand_beside_the_level_cost_in_payments_of_a_month():
    found = how_long(compare(project({"decline_rate": money(0), "value": money(0)}, rate="0.12")))
    assert found.marginal_a_month[0] == pytest.approx(50) and found.marginal[0] == pytest.approx(50 * sum(1.12 ** (m / 12) for m in range(12)))


def test_the_other_kept_as_long_costs_what_it_costs_in_a_year_of_the_same_money():
    # The other costs 100 a month at any length, at 12 % a year: what selling brings, 4,000, pays 37.96 a month; with 62.04 to run, both are the same.
    interest = 4000 * (1.12 ** (1 / 12) - 1)
    for more, status in ((-0.5, "or more"), (0.5, "at once")):
        upkeep = money(str(round(12 * (100 - interest + more), 6)))
        made = project({"decline_rate": money(0), "yearly": Yearly(upkeep=upkeep)}, {"price": money(0), "yearly": Yearly(upkeep=money(1200))}, rate="0.12")
        found = how_long(compare(made))
        assert str(found.keep.status) == str(found.keep_as_long.status) == status


def test_what_a_loan_costs_is_told_apart_from_what_the_car_loses():
    from buildecon.project.records import Loan

    loan = Loan(amount=money(3000), rate=money("0.12"), months=12)
    found = how_long(compare(project({"loan": loan})))
    payment = 3000 * 0.01 / (1 - 1.01**-12)
    assert "loan payments" not in found.causes
    assert found.causes["the loan"][[12, 24]] == pytest.approx([(12 * payment - 3000) / 12, (12 * payment - 3000) / 24])  # with no rate of discount: its interest
    half = 3000 * 1.01**6 - payment * (1.01**6 - 1) / 0.01
    assert found.causes["the loan"][6] * 6 == pytest.approx(6 * payment + half - 3000)
    assert found.causes[LOSS_OF_VALUE][12] == pytest.approx(800 / 12)  # a fifth of 4,000, whoever lent it
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(0), distance_now=money(50000), lifetime_distance=money(80000))
    ended, plain = (how_long(compare(project({"decline_rate": None, "value_path": path, "loan": one}))) for one in (loan, None))
    difference = ended.comparison.per_month[0, 1:] - plain.comparison.per_month[0, 1:]
    assert ended.causes["the loan"][1:] == pytest.approx(difference)


def test_a_car_that_follows_is_not_built_again():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    made = project({"decline_rate": None, "value_path": path, "build_months": money(6), "downtime": money(50)})
    found = how_long(compare(made, what_if=as_written(made, ladder(made)).model_copy(update={"still_to_come": 900.0})))
    assert found.causes["build"][240] * 240 == pytest.approx(900) and found.causes["second car while building"][240] * 240 == pytest.approx(300)


def test_loan_payments_are_owed_whether_it_is_kept_or_not():
    from buildecon.project.records import Loan

    repairs = Repairs(bills=(Bill(amount=money(9000), chance=money("0.1")),), scrap_value=money(500))
    plain, borrowed = (how_long(compare(project({"loan": loan}, None, repairs))) for loan in (None, Loan(amount=money(2000), rate=money("0.08"), months=36)))
    assert plain.limit.limit == pytest.approx(borrowed.limit.limit, nan_ok=True)


def test_the_limit_ends_with_the_car():
    repairs = Repairs(bills=(Bill(amount=money(9000), chance=money("0.1")),), scrap_value=money(500))
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    found = how_long(compare(project({"decline_rate": None, "value_path": path}, None, repairs)))
    assert len(found.limit.limit) == 5


def test_causes_restart_with_the_car_that_follows():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    found = how_long(compare(project({"decline_rate": None, "value_path": path, "wear": Wear(again=money(5000), upkeep_by_year=money("0.5"))})))
    life = sum(50 * (1 + 0.5 * m / 12) for m in range(1, 61))
    assert found.causes["upkeep"][120] * 120 == pytest.approx(2 * life)


def test_only_the_quoted_build_is_turned_and_only_where_it_is_moved():
    base = project()
    twin = base.options[0].model_copy(update={"id": "twin", "name": "the twin", "decline_rate": money("0.12345")})
    made = base.model_copy(update={"file": base.file.model_copy(update={"options": (*base.options, twin)})})
    written = as_written(made, ladder(made))
    same = compare(made, what_if=written.model_copy(update={"decline_percent": 20.0}))
    moved = compare(made, what_if=written.model_copy(update={"decline_percent": 5.0}))
    assert np.array_equal(same.total, compare(made).total)
    assert not np.array_equal(moved.total[0], same.total[0]) and np.array_equal(moved.total[2], same.total[2])


def test_another_car_like_it_costs_all_that_went_in_seen_from_today_too():
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    made = project({"decline_rate": None, "value_path": path})
    whole, today = compare(made), compare(made, view=FROM_TODAY)
    assert (whole.total[0, 72] - whole.total[0, 60]) == pytest.approx(today.total[0, 72] - today.total[0, 60])


def test_a_kit_comes_back_in_the_draws_too():
    from market.garage import spread

    from buildecon.project.records import Kit

    kit = Kit(what="tent", price=money(2000), end_value_share=money("0.8"), decline_rate=money(0))
    found = how_long(compare(project({"kit": kit, "value": spread("999.9", "1000", "1000.1"), "wear": Wear(upkeep_by_year=money("0.5"))})))
    assert set(found.spread.quantile) == {found.life(0)[0]}


def test_the_kit_of_a_car_at_its_end_is_sold_with_it():
    from buildecon.project.records import Kit

    kit = Kit(what="tent", price=money(2000), end_value_share=money(1), decline_rate=money(0))
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    bare, kitted = (compare(project({"decline_rate": None, "value_path": path, "kit": one})) for one in (None, kit))
    assert (kitted.total[0] - bare.total[0])[[0, 59, 60, 61, 120]] == pytest.approx(np.zeros(5), abs=1e-9)  # it loses nothing, so it costs nothing


def test_one_more_year_against_going_over_by_hand():
    # Its next year: 4,000 falls to 3,200, and 600 of upkeep: 1,400. The other loses nothing of its price: 1,200 a year at any length.
    found = how_long(compare(project(None, {"price": money(1200)})))
    assert (found.next_year, found.next_year_saves) == (pytest.approx(1400 / 12), pytest.approx(-200 / 12))
    # At 10 %: 4,000 x 1.1 - 3,200 at the end of the year and 50 a month; the other 120 at its end and 100 a month.
    found = how_long(compare(project(None, {"price": money(1200)}, rate="0.10")))
    to_the_end = sum(1.1 ** (k / 12) for k in range(12))
    assert found.next_year == pytest.approx(1200 / to_the_end + 50) == found.marginal_a_month[0, 0]
    assert found.next_year_saves == pytest.approx(120 / to_the_end + 100 - found.next_year)
    assert (found.next_year_saves > 0) == bool(found.keep.one_more[0])
    # Six months of building come first: from there 4,000 x 0.8^0.5 loses a fifth, and the year costs 600.
    building = how_long(compare(project({"build_months": money(6), "downtime": money(50)}, {"price": money(1200)})))
    assert building.next_year == pytest.approx((4000 * 0.8**0.5 * 0.2 + 600) / 12)
    nothing = how_long(compare(project({"build_months": money(6)}, {"price": money(1200)}, horizon_years=1, years_kept=1)))
    assert nothing.next_year is None and nothing.next_year_saves is None


def test_a_warranty_that_cannot_be_is_refused():
    part = {"what": "pump", "cost": money(1), "every": money(9)}
    with pytest.raises(ValueError, match="given shape when it has a warranty"):
        Renewal(**part, warranty=money(5))
    with pytest.raises(ValueError, match="given a warranty when warranty_renews is true"):
        Renewal(**part, shape=money(2), warranty_renews=True)


def test_what_a_buyer_pays_comes_without_the_cost_of_selling():
    # 10 % of the price goes to sell it: 3,200 after a year is 2,880, scrap of 500 is 450; another would cost 9,000. Joy 2,400 and the 300 to be expected, running 600: 4,980 ahead.
    repairs = Repairs(bills=(Bill(amount=money(3000), chance=money("0.1")),), scrap_value=money(500))
    found = how_long(compare(project({"selling_cost_share": money("0.1"), "wear": Wear(again=money(9000))}, {"price": money(1200), "yearly": Yearly(upkeep=money(2400))}, repairs, horizon_years=1, years_kept=1)))
    assert (float(found.limit.ahead[0]), float(found.limit.limit[0])) == (pytest.approx(4980), pytest.approx(4530))
    assert float(found.limit.value[-1]) == pytest.approx(2880)
    # Where the option says nothing, the share under [value] of build.toml is taken: 5 %.
    made = project({"selling_cost_share": None, "wear": Wear(again=money(9000))}, {"price": money(1200), "yearly": Yearly(upkeep=money(2400))}, repairs, horizon_years=1, years_kept=1)
    made = changed(made, value=made.file.value.model_copy(update={"selling_cost_share": money("0.05")}))
    assert float(how_long(compare(made)).limit.limit[0]) == pytest.approx(2400 + 300 - 600 + 3200 * 0.95 - 500 * 0.95)


def test_a_shell_that_is_done_leaves_scrap_and_no_more():
    # 30,000 miles left by the slider: in its fifth year it leaves 300 of scrap, not the 1,311 that a car with years to come would fetch.
    repairs = Repairs(bills=(Bill(amount=money(9000), chance=money("0.1")),), scrap_value=money(300))
    made = project(None, None, repairs)
    made = changed(made, this_car=made.file.this_car.model_copy(update={"distance": money(50000)}))
    done = as_written(made, ladder(made)).model_copy(update={"lifetime_distance": 80000.0})
    found = how_long(compare(made, what_if=done))
    # Joy 1,200 and the 900 to be expected, running 600, scrap 300.
    assert len(found.limit.limit) == 5 and float(found.limit.ahead[4]) == pytest.approx(1800) and float(found.limit.limit[4]) == pytest.approx(1500)


def test_a_cause_that_is_the_same_every_month_is_its_own_level_cost_whatever_the_rate():
    found = how_long(compare(project(rate="0.10")))
    assert found.causes["upkeep"][1:] == pytest.approx(np.full(240, 50))
    # 4,000 in and 3,200 back after a year: 4,000 - 3,200 / 1.1 over twelve months, each worth 1.1^(-m / 12).
    assert found.causes[LOSS_OF_VALUE][12] == pytest.approx((4000 - 3200 / 1.1) / sum(1.1 ** (-m / 12) for m in range(1, 13)))


def test_a_price_of_energy_goes_on_where_the_car_begins_anew():
    from buildecon.project.records import Consumption

    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    part = Consumption(source="petrol", amount=money(30), unit="mpg US")
    made = project({"decline_rate": None, "value_path": path, "energy": (part,), "wear": Wear(again=money(5000))})
    petrol = made.file.energy["petrol"].model_copy(update={"unit": "gal US", "price": money(3), "price_growth_rate": money("0.05")})
    made = changed(made, energy=made.file.energy | {"petrol": petrol})
    found = how_long(compare(made))
    # 6,000 miles at 30 a gallon are 50 a month at first, growing to 1.05 in a year, over ten years and two cars.
    assert found.replaced_years(0)[0] == 5
    assert found.causes["energy"][120] == pytest.approx(sum(50 * 1.05 ** (m / 12) for m in range(1, 121)) / 120)


def test_no_spread_is_told_of_a_car_that_ends_inside_the_horizon():
    from market.garage import spread

    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    ends, lasts = (how_long(compare(project({"value": spread(2000, 4000, 9000), "decline_rate": None, "value_path": path.model_copy(update={"lifetime_distance": money(miles)})}))) for miles in (80000, 900000))
    assert ends.spread is None and lasts.spread is not None


@pytest.mark.parametrize("months", [24, 37, 60, 200])
def test_what_the_loan_costs_is_what_the_same_car_costs_more_with_it(months):
    from buildecon.project.records import Loan

    # With interest, inflation and cars that end after five years, one of them on the last day of its loan.
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    terms, use = {"decline_rate": None, "value_path": path, "wear": Wear(again=money(5000))}, {"rate": "0.06", "inflation_rate": money("0.02")}
    loan = Loan(amount=money(2000), rate=money("0.09"), months=months)
    plain, borrowed = (how_long(compare(project(terms | {"loan": one}, **use))) for one in (None, loan))
    assert borrowed.replaced_years(0)[:2] == [5, 10]
    more = borrowed.comparison.per_month[0] - plain.comparison.per_month[0]
    np.testing.assert_allclose(borrowed.causes["the loan"][1:], more[1:], rtol=1e-9, atol=1e-9)
    for cause in plain.causes:
        np.testing.assert_allclose(borrowed.causes[cause][1:], plain.causes[cause][1:], rtol=1e-9, atol=1e-9)


def test_years_of_the_limit_are_counted_and_costed_from_the_day_it_is_done():
    repairs = Repairs(bills=(Bill(amount=money(9000), chance=money("0.1")),), scrap_value=money(500))
    wear = Wear(upkeep_by_year=money("0.5"), again=money(20000))
    found = how_long(compare(project({"build_months": money(12), "wear": wear}, {"price": money(6000), "yearly": Yearly(upkeep=money(2400))}, repairs, horizon_years=2, years_kept=2)))
    # One year, from month 13 on: joy 2,400 and the 900 to be expected, upkeep 50 (1 + 0.5 m / 12) a month, 4,000 x 0.8^2 at its end, scrap 500.
    running = sum(50 * (1 + 0.5 * m / 12) for m in range(13, 25))
    assert found.limit.limit == pytest.approx([2400 + 900 - running + 2560 - 500])
    path = ValuePath(kind="steady", decline_rate=money("0.2"), scrap_value=money(100), distance_now=money(50000), lifetime_distance=money(80000))
    ends = how_long(compare(project({"build_months": money(12), "decline_rate": None, "value_path": path}, None, repairs)))
    assert ends.replaced_years(0)[0] == 5 and len(ends.limit.limit) == 4


def test_no_draw_lives_for_less_than_its_building():
    from market.garage import spread

    # Worth far more than it cost the day it is done, so every draw goes at once: after three whole years, for it takes thirty months.
    found = how_long(compare(project({"build_months": money(30), "value": spread(40000, 50000, 60000)})))
    assert found.life(0)[0] == 3 and set(found.spread.quantile) == {3}
