"""Copies of the demos with odd figures, each of which still makes sense."""

import shutil

import tomlkit
from demos import DATA


def spread(low, likely, high):
    return {"low": low, "likely": likely, "high": high}


def folder_of(where, demo, change):
    """A copy of a demo with its build.toml changed; what is to be found out and refers to a line or option goes first."""
    folder = shutil.copytree(DATA / demo, where / demo)
    file = tomlkit.parse((folder / "build.toml").read_text(encoding="utf-8"))
    file.pop("chances", None)
    change(file)
    (folder / "build.toml").write_text(tomlkit.dumps(file), encoding="utf-8")
    return str(folder)


def quoted(file):
    return next(option for option in file["options"] if option["id"] == file["build"]["quoted_option"])


def seats(needed, of_build, of_others):
    def change(file):
        file["must_haves"] = [{"id": "seats", "name": "seats", "at_least": needed}]
        for option in file["options"]:
            option["facts"] = {"seats": of_others}
        quoted(file)["facts"] = {"seats": of_build}

    return change


def alone(file):
    file["options"] = [quoted(file)]


def distance_of_nothing(file):
    file["use"]["distance_a_year"] = 0
    file["use"]["drive_days_a_year"] = 0


def one_year(file):
    file["use"] |= {"horizon_years": 1, "years_kept": 1}


def forty_years(file):
    file["use"] |= {"horizon_years": 40, "years_kept": 40}


def very_wide(file):
    file["value"] |= {"as_is": spread(1, 3000, 1_000_000), "finished": spread(1, 5000, 1_000_000)}
    file["use"]["distance_a_year"] = spread(1, 9000, 1_000_000)


def worth_nothing(file):
    file["value"] |= {"as_is": 0, "finished": 0}


def selling_takes_all(file):
    file["value"]["selling_cost_share"] = 1


def from_nothing_up(file):
    file["value"] |= {"as_is": spread(0, 0, 10), "finished": spread(0, 0, 5000), "selling_cost_share": spread(0, 0.5, 1)}
    file["use"]["distance_a_year"] = spread(0, 0, 5000)


def money_later_is_dear(file):
    file["use"] |= {"discount_rate": spread(-0.05, 0.03, 0.5), "inflation_rate": spread(-0.3, 0.02, 0.5)}
    file.setdefault("half_way", {})["months"] = spread(1, 60, 600)


def wild_past(file):
    file.setdefault("half_way", {})["past_overruns"] = [0.5, 100, 1000]


def nothing_but_the_least(file):
    for table in ("part_out", "routes", "contribution", "repairs", "states", "insured", "improvements", "half_way", "jobs", "phases", "trim", "this_car", "clocks", "disclosures"):
        file.pop(table, None)


ODD = {
    "distance 0": distance_of_nothing, "1 year": one_year, "40 years": forty_years, "very wide": very_wide, "worth nothing": worth_nothing, "selling takes all": selling_takes_all,
    "from nothing up": from_nothing_up, "dear money": money_later_is_dear, "wild past": wild_past, "the least": nothing_but_the_least,
    "all fail": seats(99, 4, 4), "others fail": seats(5, 6, 4), "the build fails": seats(5, 4, 6), "alone": alone,
}  # fmt: skip
