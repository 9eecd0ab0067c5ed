"""One made-up comparison with a loan, inflation, price growth, a hybrid, one-offs and own hours, each worked out in the test."""

from datetime import date

import numpy as np
import pytest
from demos import demo, event, line, money, small

from buildecon.decision.compare import FROM_TODAY, as_written, compare, price_of_joy
from buildecon.ledger.ladder import ladder
from buildecon.ledger.owed import owed_items
from buildecon.project.records import Consumption, Energy, FromToday, Kit, Loan, OneOff, Option, Tariff, Yearly

FACTS = demo("roadster").options[0].facts


def project(*options, energy=None, lines=(), events=(), hours=None, **use):
    base = small(lines or [line("engine", paid=4000)], events, quoted_option="build")
    build = Option(id="build", name="the build", kind="build", value=money(6000), decline_rate=money(0), facts=FACTS, selling_cost_share=money(0))
    own = base.file.own_hours.model_copy(update=hours or {"convention": "hobby"})
    file = base.file.model_copy(
        update={"options": (build, *options), "energy": energy or {}, "use": base.file.use.model_copy(update=use), "own_hours": own}
    )
    return base.model_copy(update={"file": file})


def buying(**terms):
    return Option(**{"id": "other", "name": "the other", "kind": "buy", "price": money(10000), "decline_rate": money("0.1"), "facts": FACTS, "selling_cost_share": money(0)} | terms)


def total(found, months, id="other"):
    return found.total[found.position(id), months]


def test_a_loan_is_paid_off_in_the_money_of_its_day():
    # 6,000 at 6 % (a twelfth a month) over 24 months, prices rising 3 % a year; after 12 months the rest is cleared at the sale.
    found = compare(project(buying(loan=Loan(amount=money(6000), rate=money("0.06"), months=24)), inflation_rate=money("0.03")))
    payment = 6000 * 0.005 / (1 - 1.005**-24)
    paid = sum(payment / 1.03 ** (k / 12) for k in range(1, 13))
    owed = payment * (1 - 1.005**-12) / 0.005 / 1.03
    assert total(found, 12) == pytest.approx(10000 - 6000 + paid + owed - 9000)


def test_a_price_that_grows_is_paid_at_the_price_of_each_month():
    # 12,000 km a year at 5 L per 100 km is 50 L a month at 2.00, rising 4 % a year above general prices.
    use = Consumption(source="petrol", amount=money(5), unit="L/100 km")
    petrol = Energy(unit="L", price=money(2), price_growth_rate=money("0.04"))
    found = compare(project(buying(energy=(use,)), energy={"petrol": petrol}, distance_a_year=money(12000 / 1.609344)))
    fuel = sum(100 * 1.04 ** (k / 12) for k in range(1, 25))
    assert total(found, 24) == pytest.approx(10000 + fuel - 8100, rel=1e-9)


def test_a_hybrid_adds_both_of_its_energies_and_a_second_use_of_one():
    # A year of 10,000 km: 40 % on 6 L at 1.50, 60 % on 18 kWh from the battery with a tenth lost, half at 0.20 and half at 0.40.
    parts = (
        Consumption(source="petrol", amount=money(6), unit="L/100 km", distance_share=money("0.3")),
        Consumption(source="petrol", amount=money(6), unit="L/100 km", distance_share=money("0.1")),
        Consumption(source="home", amount=money(18), unit="kWh/100 km", charging_loss=money("0.1"), distance_share=money("0.6")),
    )
    half = money("0.5")
    tariffs = (Tariff(name="night", share=half, price=money("0.2")), Tariff(name="day", share=half, price=money("0.4")))
    energy = {"petrol": Energy(unit="L", price=money("1.5")), "home": Energy(unit="kWh", tariffs=tariffs)}
    made = project(buying(energy=parts), energy=energy, distance_a_year=money(10000 / 1.609344))
    yearly = 0.4 * 600 * 1.5 + 0.6 * 2000 * 0.3
    assert total(compare(made), 12) == pytest.approx(10000 + yearly - 9000)
    dearer = as_written(made, ladder(made)).model_copy(update={"energy_price": 2.0})
    assert total(compare(made, what_if=dearer), 12) == pytest.approx(10000 + 2 * yearly - 9000)


def test_everything_at_the_start_and_at_the_end_is_counted():
    # In: 10,000 + 5 % + 200 + 300 - 100 + kit 1,000. Out after two years: 8,100 less 3 %, kit 600 x 0.9. A year: 100 + 20 days x 5.
    kit = Kit(what="rack", price=money(1000), end_value_share=money("0.6"), held_years=money(1), decline_rate=money("0.1"))
    offs = (OneOff(what="delivery", amount=money(300)), OneOff(what="cash back", amount=money(-100)))
    terms = {"purchase_tax_rate": money("0.05"), "purchase_costs": money(200), "one_offs": offs, "kit": kit, "selling_cost_share": money("0.03")}
    found = compare(project(buying(**terms, yearly=Yearly(insurance=money(100)), charge_per_drive_day=money(5)), drive_days_a_year=money(20)))
    assert total(found, 24) == pytest.approx(10500 + 200 + 300 - 100 + 1000 + 2 * 200 - 8100 * 0.97 - 540)


def test_selling_costs_what_the_project_says_unless_an_option_says_otherwise():
    found = compare(project(buying(selling_cost_share=None)))
    assert total(found, 12) == pytest.approx(10000 - 9000 * 0.96)  # the roadster's 4 %


def test_a_price_of_today_replaces_the_price_in_the_view_from_today():
    cheaper = buying(from_today=FromToday(price=money(8000)), value=money(10000))
    assert total(compare(project(cheaper), view=FROM_TODAY), 0) == pytest.approx(8000 - 10000)


def test_own_hours_counted_as_labour_are_in_the_sum_and_not_divided_by():
    wage = {"convention": "wage", "spent": money(100), "wage": money(20), "shop_rate": money(50)}
    plain, paid = compare(project(buying())), compare(project(buying(), hours=wage))
    assert total(paid, 60, "build") - total(plain, 60, "build") == pytest.approx(2000)
    assert total(compare(project(buying(), hours=wage), view=FROM_TODAY), 60, "build") == total(compare(project(buying()), view=FROM_TODAY), 60, "build")


def test_a_build_still_planned_counts_its_plan():
    lines = [line("engine").model_copy(update={"planned": money(9000)}), line("paint", "outside work").model_copy(update={"to_finish": money(500)})]
    found = compare(project(buying(), lines=lines))
    assert found.money_in[found.build] == {"still to come": 9500.0}


def test_a_bill_not_yet_paid_is_still_to_come():
    waiting = event("engine", "payment", 700, None)
    totals = ladder(small([line("engine")], [event("engine", "payment", 300), waiting]))
    assert (totals["parts_on_car"], totals.expected_to_finish) == (300, 700)


def test_an_open_deposit_is_owed_and_costs_nothing():
    project = small([line("box", paid=None)], [event("box", "core deposit", 600, due=date(2026, 5, 1)), event("box", "core credit", 200)])
    totals = ladder(project)
    assert totals["stands_in_at"] == 0
    assert [one.owed for one in totals.owed] == [400]
    assert [(one.amount, one.due) for one in owed_items(project)] == [(400, date(2026, 5, 1))]


def test_from_today_an_option_on_the_base_car_gives_up_its_sale_and_no_old_money():
    keep = Option(id="keep", name="keep it", kind="keep", uses_base_car=True, shares_systems=("Engine",), value=money(1000), decline_rate=money(0),
                  facts=FACTS, from_today=FromToday())  # fmt: skip
    found = compare(project(keep), view=FROM_TODAY)
    assert found.money_in[found.position("keep")] == {"not selling it as it stands": pytest.approx(5900 * 0.96)}
    assert compare(project(keep)).money_in[1] == {"work it shares with the build": 4000.0}


def test_a_hire_has_no_figure_for_a_distance():
    found = compare(demo("roadster"))
    assert np.all(np.isnan(found.per_distance[found.position("hire")])) and np.isfinite(price_of_joy(found)[60])
