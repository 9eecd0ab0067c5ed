"""Old prices in today's money: published price levels, and which price wins."""

from datetime import date

import pytest
from demos import line, money, small

from buildecon.ledger.ladder import ladder
from buildecon.ledger.repricing import repriced_at, stale
from buildecon.ledger.settlement import settle
from buildecon.project.records import Repricing
from buildecon.project.rows import IndexRow
from buildecon.quantities.price_index import us_cpi

# US Bureau of Labor Statistics, CPI-U annual averages: 10,000 of 2000 in the money of 2025, worked out from the published levels.
RISES = {"all items": 18695.88, "parts and equipment": 18197.54, "used cars and trucks": 11869.77, "maintenance and repair": 24333.62}


@pytest.mark.parametrize("series", RISES)
def test_ten_thousand_of_2000_is_what_the_published_levels_make_it(series):
    assert 10000 * us_cpi(series).rise(date(2000, 7, 1), date(2025, 7, 1)) == pytest.approx(RISES[series], abs=0.01)


def test_prices_can_fall():
    # Year on year, all items: 2009 -0.356 %, 2022 8.003 % (same source).
    found = us_cpi()
    assert 100 * (found.rise(date(2008, 1, 1), date(2009, 1, 1)) - 1) == pytest.approx(-0.356, abs=5e-4)
    assert 100 * (found.rise(date(2021, 1, 1), date(2022, 1, 1)) - 1) == pytest.approx(8.003, abs=5e-4)


def test_an_unknown_series_is_refused_with_the_names_there_are():
    with pytest.raises(ValueError, match=r"^series must be one of all items, .*, got 'hats'\.$"):
        us_cpi("hats")


def test_a_line_s_own_new_price_wins_over_the_index():
    bought = date(2026, 1, 1)
    lines = [line("a", paid=100).model_copy(update={"date": bought}), line("b", paid=100).model_copy(update={"date": bought, "price_today": money(150)})]
    base = small(lines, as_of=date(2026, 8, 31))
    chosen = Repricing(index="index.csv", source="made up")
    levels = (IndexRow(period="2026-01", level=money(100)), IndexRow(period="2026-08", level=money(110)))
    project = base.model_copy(update={"file": base.file.model_copy(update={"repricing": chosen}), "index": levels})
    rung = ladder(project).rungs[-1]
    assert rung.amount == 110 + 150
    assert rung.includes == "1 lines at a price of today, 1 carried on by index.csv to 2026-08, the rest at what a reader paid; before own hours"
    assert ladder(base)["replacement_today"] == 100 + 150


def test_a_yearly_rise_compounds_from_the_day_of_each_price():
    settled = settle(small([line("a", paid=100).model_copy(update={"date": date(2024, 8, 31)})]))
    days = (date(2026, 8, 31) - date(2024, 8, 31)).days
    assert float(repriced_at(settled, 0.05, date(2026, 8, 31))) == pytest.approx(100 * 1.05 ** (days / 365.25), abs=0.005)


def test_old_prices_are_listed_oldest_first():
    lines = [line(f"l{year}", paid=100).model_copy(update={"date": date(year, 1, 1)}) for year in (2025, 2021, 2022)]
    old = stale(settle(small(lines)), date(2026, 1, 1), 3)
    assert (old.lines, old.amount, old.oldest) == (("l2021", "l2022"), 200, date(2021, 1, 1))
