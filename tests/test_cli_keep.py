"""`keep` on odd figures: it answers in plain numbers, or says which figure cannot be and what to do."""

import json

import pytest
from demos import DATA
from odd_folders import folder_of, quoted

from buildecon.cli import main


def use(**terms):
    return lambda file: file["use"].update(terms)


def wear(*renewals, **terms):
    def change(file):
        quoted(file)["wear"] = terms | {"renewals": [{"what": f"part {k}", "cost": 500} | part for k, part in enumerate(renewals)]}

    return change


def life(now, end):
    def change(file):
        build = quoted(file)
        del build["decline_rate"]
        build["value_path"] = {"kind": "steady", "decline_rate": 0.1, "scrap_value": 100, "distance_now": now, "lifetime_distance": end}

    return change


def clocks(year=None, **stated):
    def change(file):
        file["clocks"] = {"engine_every": 100000, "engine_shape": 2.5} | stated
        file["this_car"].pop("year", None)
        file["this_car"] |= {"year": year} if year else {}

    return change


def price(of):
    return lambda file: file["energy"]["diesel"].update(price=of)


def both(*changes):
    return lambda file: [change(file) for change in changes]


ANSWERED = {
    "no distance": use(distance_a_year=0),
    "a mile in a thousand years": use(distance_a_year=0.001),
    "round the world each hour": both(use(distance_a_year=1e9), wear({"every": 10}, {"every": 10, "shape": 2}, {"every": 1, "shape": 20, "warranty": 5}, {"every": 3, "shape": 0.5, "warranty": 1, "warranty_renews": True})),
    "thousands of lives of a steep part": wear({"every": 10, "shape": 20}),
    "parts far beyond their lives": wear({"every": 1000, "used": 10**6}, {"every": 10**5, "used": 9 * 10**5, "shape": 3}),
    "a mile before the end": life(99_999, 100_000),
    "forty years of upkeep that trebles each year": both(use(horizon_years=40, years_kept=40), wear(upkeep_by_year=2)),
    "an engine far beyond its life": clocks(shell_years=1000, engine_used=10**6),
    "an engine of a thousand miles, round the world each hour": both(use(distance_a_year=1e9), clocks(2004, shell_like="NHTSA light trucks", engine_every=1000)),
    "a car older than the fleet": clocks(1969, shell_like="NHTSA cars"),
    "money that grows by nine tenths": use(discount_rate=-0.9),
}  # fmt: skip


@pytest.mark.parametrize("case", ANSWERED)
def test_odd_figures_are_answered_in_plain_numbers(capsys, tmp_path, case):
    folder = folder_of(tmp_path, "pickup", ANSWERED[case])
    assert main(["keep", folder]) == 0
    said = capsys.readouterr().out
    assert "How long to keep it" in said and " nan" not in said and " inf" not in said
    assert main(["keep", folder, "--json"]) == 0
    found = json.loads(capsys.readouterr().out, parse_constant=lambda word: pytest.fail(word))
    assert {"economic_life", "marginal", "repair_limit", "lifetime", "measured_energy"} <= set(found)


REFUSED = {
    "sixty years ahead": (use(horizon_years=60), "use.horizon_years: must be at most 40, got 60."),
    "a life that is over": (life(120_000, 100_000), "value_path: must be given a lifetime_distance above distance_now. They are 100000 and 120000."),
    "fuel that pays": (price(-1), "energy.diesel.price: must be a number of at least 0, got -1."),
    "a bill below nothing": (wear({"cost": -5, "every": 10}), "cost: must be a number of at least 0, got -5."),
    "a part that never lasts": (wear({"every": 0}), "every: must be above 0, got 0."),
    "miles backwards": (use(distance_a_year=-9000), "use.distance_a_year: must be a number of at least 0, got -9000."),
    "a fleet for a car of no year": (clocks(shell_like="EPA cars"), "clocks.shell_like: must stand beside the year of the car under [this_car]. Write it there, or shell_years here instead."),
    "a part that none of its kind reaches": (wear({"every": 1000, "used": 10**6, "shape": 3}), "must be given a smaller used for every = 1000 and shape = 3. None of them reaches 1000000."),
    "an engine that none of its kind reaches": (clocks(shell_years=9, engine_used=10**9), "must be given a smaller engine_used for every = 100000 and shape = 2.5."),
    "an engine of a mile": (clocks(shell_years=9, engine_every=1), "clocks.engine_every: must be a distance of at least 1,000, got 1."),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_refused_with_its_line_and_cure(capsys, tmp_path, case):
    change, message = REFUSED[case]
    assert main(["keep", folder_of(tmp_path, "pickup", change)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.startswith("build.toml line ") and message in err and err.endswith("1 fault. Nothing was changed.\n")


def test_the_oldest_car_of_a_fleet_is_told_of_and_the_next_year_is_not(capsys, tmp_path):
    from buildecon.ownership.survival import TABLES, survival_table

    for name in TABLES:
        end = int(survival_table(name).ends)
        for age in (end - 1, end):
            assert main(["keep", folder_of(tmp_path / f"{name} {age}", "pickup", clocks(2026 - age, shell_like=name)), "--json"]) == 0
            told = json.loads(capsys.readouterr().out)["clocks"]
            assert (told is None) == (age == end) and (told is None or (told["shell_like"] == name and 0 < told["years"] <= 1))


def test_an_empty_log_and_an_odometer_that_runs_back(capsys, tmp_path):
    folder = folder_of(tmp_path, "pickup", lambda file: None)
    log = (DATA / "pickup" / "energy.csv").read_text(encoding="utf-8").splitlines()
    (tmp_path / "pickup" / "energy.csv").write_text(log[0] + "\n", encoding="utf-8")
    assert main(["keep", folder, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["measured_energy"] == []
    (tmp_path / "pickup" / "energy.csv").write_text("\n".join([log[0], log[2], log[1].replace("2025", "2026", 1)]), encoding="utf-8")
    assert main(["keep", folder]) == 2
    assert "odometer: must be at least that of the row before it by date" in capsys.readouterr().err
