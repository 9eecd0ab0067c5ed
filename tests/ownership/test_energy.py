"""Energy: prices and costs by hand. Nothing published is repeated here; the units it rests on are checked in tests/quantities/test_units.py."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from buildecon.ownership.energy import blended_price, energy_cost_per_km, price_per_litre_or_kwh, used_amount
from buildecon.project.records import Consumption, Energy, Tariff
from buildecon.quantities.estimate import drawn
from buildecon.quantities.units import kilometres

steadily = settings(deadline=None, derandomize=True)
prices = st.integers(1, 10**6).map(lambda number: number / 1000)
NIGHT_AND_ROAD = (Tariff(name="at night at home", share=0.85, price=0.19), Tariff(name="fast, on the road", share=0.15, price=0.52))


def consumption(amount, unit, **more):
    return Consumption(source="any", amount=amount, unit=unit, **more)


# blended_price


def test_a_price_of_two_tariffs_by_hand():
    # 0.85 x 0.19 + 0.15 x 0.52 = 0.1615 + 0.078 = 0.2395.
    assert blended_price([0.85, 0.15], [0.19, 0.52]) == pytest.approx(0.2395, rel=1e-14)


@steadily
@given(st.lists(prices, min_size=1, max_size=5), st.data())
def test_a_mixed_price_lies_among_its_prices_and_all_of_one_is_that_one(several, data):
    weights = data.draw(st.lists(st.floats(0.01, 1), min_size=len(several), max_size=len(several)))
    shares = [weight / sum(weights) for weight in weights]
    assert min(several) * (1 - 1e-12) <= blended_price(shares, several) <= max(several) * (1 + 1e-12)
    assert blended_price([1.0, *[0.0] * (len(several) - 1)], several) == several[0]


# price_per_litre_or_kwh


def test_prices_of_a_litre_and_a_kilowatt_hour_by_hand():
    assert price_per_litre_or_kwh(Energy(unit="L", price=1.72)) == 1.72
    # 3.785411784 a US gallon and 4.54609 an imperial one are 1 a litre.
    assert price_per_litre_or_kwh(Energy(unit="gal US", price=3.785411784)) == pytest.approx(1, rel=1e-14)
    assert price_per_litre_or_kwh(Energy(unit="gal imperial", price=9.09218)) == pytest.approx(2, rel=1e-14)
    assert price_per_litre_or_kwh(Energy(unit="kWh", tariffs=NIGHT_AND_ROAD)) == pytest.approx(0.2395, rel=1e-14)


@steadily
@given(prices, st.sampled_from(["L", "gal US", "gal imperial", "kWh"]))
def test_one_tariff_for_all_is_its_price(price, unit):
    alone = Energy(unit=unit, tariffs=(Tariff(name="all", share=1, price=price),))
    assert price_per_litre_or_kwh(alone) == pytest.approx(price_per_litre_or_kwh(Energy(unit=unit, price=price)), rel=1e-14)


def test_shares_that_were_drawn_apart_are_still_all_of_it_by_hand():
    # A share drawn at 0.80 beside one of 0.20, and at 0.90: (0.9 x 0.2 + 0.2 x 0.6) / 1.1.
    night, road = Tariff(name="night", share=0.8, price=0.2), Tariff(name="road", share=0.2, price=0.6)
    night = night.model_copy(update={"share": drawn(night.share, np.array([0.8, 0.9]))})
    found = price_per_litre_or_kwh(Energy(unit="kWh", price=1).model_copy(update={"price": None, "tariffs": (night, road)}))
    assert found == pytest.approx([0.28, 0.3 / 1.1], rel=1e-14)


# energy_cost_per_km


def test_charging_losses_are_paid_for_by_hand():
    # 23 kWh at the car is 23 / 0.88 = 26.136 at the wall; at 0.2395 that is 6.26 per 100 km.
    price = price_per_litre_or_kwh(Energy(unit="kWh", tariffs=NIGHT_AND_ROAD))
    assert round(100 * energy_cost_per_km(consumption(23, "kWh/100 km", charging_loss=0.12), price), 2) == 6.26


def test_fuel_for_a_year_by_hand():
    # 9000 / 15 x 3.45 = 2070.00; 9000 / 24 x 3.95 = 1481.25; the saving is 588.75.
    thirsty, modest = (
        kilometres(9000, "mi") * energy_cost_per_km(consumption(mpg, "mpg US"), price_per_litre_or_kwh(Energy(unit="gal US", price=price)))
        for mpg, price in ((15, 3.45), (24, 3.95))
    )
    assert (round(thirsty, 2), round(modest, 2), round(thirsty - modest, 2)) == (2070.00, 1481.25, 588.75)
    # 2400 / 31 x 4.54609 x 1.46 = 513.85: imperial gallons, paid by the litre.
    assert round(kilometres(2400, "mi") * energy_cost_per_km(consumption(31, "mpg imperial"), 1.46), 2) == 513.85


def test_a_hybrid_pays_each_energy_for_its_share_of_the_distance_by_hand():
    # 0.6 of the way on 20 kWh per 100 km at 0.25 is 3.00; 0.4 on 5 L at 2.00 is 4.00.
    electric = energy_cost_per_km(consumption(20, "kWh/100 km", distance_share=0.6), 0.25)
    fuel = energy_cost_per_km(consumption(5, "L/100 km", distance_share=0.4), 2.0)
    assert (100 * electric, 100 * fuel) == (pytest.approx(3.0, rel=1e-14), pytest.approx(4.0, rel=1e-14))


def test_two_published_figures_cost_what_their_mix_over_distance_uses_by_hand():
    # 20 in town and 30 on the open road: 0.55 / 20 + 0.45 / 30 = .0425 gallons a mile, 23.5294 miles a gallon, and not the mean of 24.5.
    part = Consumption(source="any", town=20, open_road=30, unit="mpg US")
    assert energy_cost_per_km(part, 1.0) == pytest.approx(0.0425 * 3.785411784 / 1.609344, rel=1e-12)
    assert energy_cost_per_km(part, 1.0) == pytest.approx(energy_cost_per_km(consumption(23.5294, "mpg US"), 1.0), rel=1e-5)
    # 12 L and 8 L: .55 x 12 + .45 x 8 = 10.2 L.
    part = Consumption(source="any", town=12, open_road=8, unit="L/100 km")
    assert 100 * energy_cost_per_km(part, 2.0) == pytest.approx(20.4, rel=1e-12)
    assert used_amount(part) == pytest.approx((10.2, 10.2, 10.2), rel=1e-12)


@steadily
@given(prices, prices, st.integers(0, 90).map(lambda percent: percent / 100))
def test_cost_goes_with_consumption_price_and_what_the_charger_loses(amount, price, loss):
    plain = energy_cost_per_km(consumption(amount, "kWh/100 km"), price)
    assert energy_cost_per_km(consumption(2 * amount, "kWh/100 km"), price) == pytest.approx(2 * plain, rel=1e-12)
    assert energy_cost_per_km(consumption(amount, "kWh/100 km"), 2 * price) == pytest.approx(2 * plain, rel=1e-12)
    assert (1 - loss) * energy_cost_per_km(consumption(amount, "kWh/100 km", charging_loss=loss), price) == pytest.approx(plain, rel=1e-12)
