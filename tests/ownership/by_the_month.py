"""What keeping a car costs, one month after the other in plain Python: slow, and written to be checked by reading.

A case is a dict of plain numbers with the names of `Terms`; `energy` and `renewals` are lists. `kept` says what leaving at the end of each month
costs, and how much money met on the way, against which a difference is judged.
"""

import math

HAIR = 1 + 1e-12  # miles become kilometres and years months: what falls short of a distance by this much has reached it

PLAIN = {
    "money_in": 9000.0, "yearly": [480.0, 650.0], "energy": [(900.0, 0.03)], "loan": 0.0, "loan_rate": 0.0, "loan_months": 1.0,
    "build_cost": 0.0, "build_months": 1.0, "downtime": 0.0, "insurance_share": 0.0, "upkeep": 0.0, "upkeep_by_year": 0.0, "upkeep_by_km": 0.0,
    "renewals": [], "km_a_year": 0.0, "enjoyment": 0.0, "value": 9000.0, "decline_rate": 0.1, "selling_share": 0.05, "value_path": None,
}  # fmt: skip


def kept(case, months, discount, inflation, life=None):
    """Cost of leaving at the end of month 0, 1, ..., the size of each, and the months at whose end it is replaced.

    `life` is (km it lasts, scrap value, the case that is bought instead, km that one lasts).
    """
    car, bought, lasts, replaced = case, 0, life and life[0], []
    spent = car["money_in"] - car["loan"] + at_once(car)
    size = abs(car["money_in"]) + car["loan"] + at_once(car)
    costs, sizes = [spent + car["loan"] - sold(car, 0)], [size + car["loan"] + sold(car, 0)]
    for month in range(1, months + 1):
        age = month - bought
        discounted = (1 + discount) ** (-month / 12)
        for amount in bills(car, age, month, inflation):
            spent += amount * discounted
            size += abs(amount) * discounted
        back, owed = sold(car, age), owed_after(car, age) / (1 + inflation) ** (age / 12)
        at_its_end = life and car["km_a_year"] * age / 12 * HAIR >= lasts
        if at_its_end:
            back = life[1]
        costs.append(spent + (owed - back) * discounted)
        sizes.append(size + (owed + back) * discounted)
        if at_its_end and month < months:
            replaced.append(month)
            car, bought, lasts = life[2], month, life[3]
            spent += (owed - back + car["money_in"] - car["loan"] + at_once(car)) * discounted
            size += (owed + back + abs(car["money_in"]) + car["loan"] + at_once(car)) * discounted
    return costs, sizes, replaced


def at_once(car):
    """What is built in no time is paid at the start."""
    return car["build_cost"] if car["build_months"] == 0 else 0.0


def value(car, age):
    """Before selling cost."""
    return car["value_path"][age] if car["value_path"] is not None else car["value"] * (1 - car["decline_rate"]) ** (age / 12)


def sold(car, age):
    return value(car, age) * (1 - car["selling_share"])


def part_of_month(last, age):
    """How much of a month lies before the end of something that lasts so many months: 1, a part, or 0."""
    return min(max(last - (age - 1), 0.0), 1.0)


def payment(car):
    """Equal payments that clear the loan."""
    rate, count = car["loan_rate"] / 12, car["loan_months"]
    return car["loan"] / annuity(rate, count)


def annuity(rate, count):
    if rate == 0:
        return count
    return -math.expm1(-count * math.log1p(rate)) / rate


def owed_after(car, age):
    """What the payments still to come are worth to the lender."""
    left = max(car["loan_months"] - age, 0.0)
    return payment(car) * annuity(car["loan_rate"] / 12, left) if car["loan"] else 0.0


def bills(car, age, month, inflation):
    """All that is paid at the end of a month: the car's age is its own, prices go by the month since the very start."""
    for amount in car["yearly"]:
        yield amount / 12
    for amount, growth in car["energy"]:
        yield amount / 12 * (1 + growth) ** (month / 12)
    if car["loan"]:
        yield payment(car) * part_of_month(car["loan_months"], age) / (1 + inflation) ** (age / 12)
    building = part_of_month(car["build_months"], age)
    if building:
        yield car["build_cost"] / car["build_months"] * building
        yield car["downtime"] * building
    policy_year = (age - 1) // 12
    yield car["insurance_share"] * value(car, 12 * policy_year) / 12
    years, driven = age / 12, car["km_a_year"] * age / 12
    yield car["upkeep"] / 12 * (1 + car["upkeep_by_year"] * years + car["upkeep_by_km"] * driven / 10_000)
    for cost, first_km, life_km in car["renewals"]:
        yield cost * (renewed(first_km, life_km, driven) - (renewed(first_km, life_km, car["km_a_year"] * (age - 1) / 12) if age > 1 else 0))
    yield -car["enjoyment"] / 12


def renewed(first_km, life_km, driven):
    """How often, once so far has been driven."""
    return math.floor((driven * HAIR - first_km) / life_km) + 1 if driven * HAIR >= first_km else 0
