"""Settings of the reader's page for tests, and projects that use all the engine can do."""

from dataclasses import replace
from random import Random

from demos import changed, demo, money

from buildecon.decision.option_terms import counted_on
from buildecon.project.options import Kit, Loan
from buildecon.project.paths import TableRow, ValuePath
from buildecon.project.wear import Renewal, Wear
from buildecon.quantities.units import KM_PER
from buildecon.story.page import heading
from buildecon.story.tables import break_even_frames, break_even_table, joy_table
from buildecon.story.telling.reader.controls import Settings, as_published, comparison_at
from buildecon.story.telling.reader.tables import captions, every_option_table, every_year_table, left_out_sentences
from buildecon.story.words import amount, answer, joy_sentence

AS_SHIPPED = {"unit": None, "rate": "", "code": ""}


def at_start(data):
    """Where the controls stand first."""
    turned = data["controls"]
    return AS_SHIPPED | {
        "unit": data["unit"], "view": "whole story", "street": False, "years": turned["years"]["at"], "distance": turned["distance"]["at"],
        "hours": turned["hours"]["at"] if turned["hours"] else 0, "energy": [one["at"] for one in turned["energy"]],
    }  # fmt: skip


def anywhere(data, random: Random):
    """Every control at some stop; now and then the money in another currency."""
    turned = data["controls"]
    shown = {"rate": f"{random.uniform(0.05, 180):.4g}", "code": "ZZZ"} if random.random() < 0.25 else {}
    return at_start(data) | shown | {
        "unit": random.choice(["km", "mi"]), "view": random.choice(list(data["views"])), "street": bool(turned["street"]) and random.random() < 0.5,
        "years": random.randrange(len(turned["years"]["stops"])), "distance": random.randrange(len(turned["distance"]["stops"])),
        "hours": random.randrange(len(turned["hours"]["stops"])) if turned["hours"] else 0,
        "energy": [random.randrange(len(one["stops"])) for one in turned["energy"]],
    }  # fmt: skip


def python_at(project, totals, data, where):
    """The package's own comparison where the controls stand."""
    turned = data["controls"]
    rate = turned["hours"]["stops"][where["hours"]] if turned["hours"] else as_published(project).hours_rate
    prices = {one["name"]: one["stops"][k] for one, k in zip(turned["energy"], where["energy"], strict=True) if k != one["at"]}
    set_to = Settings(turned["years"]["stops"][where["years"]], turned["distance"]["stops"][where["distance"]], prices, rate, where["street"], where["view"])
    return comparison_at(project, totals, set_to)


def page_says(project, totals, data, where):
    """All that the page should show, by the package's own words and tables."""
    found = python_at(project, totals, data, where)
    rate, code = (float(where["rate"]), where["code"]) if where["rate"] else (1.0, project.currency)
    build = found.options[found.build]
    waiting = counted_on(build, totals)
    in_unit = found.project.file.build.model_copy(update={"currency": code, "distance_unit": where["unit"]})
    by = KM_PER[where["unit"]] / KM_PER[data["unit"]]
    shown = replace(
        found, project=changed(found.project, build=in_unit), per_month=found.per_month * rate, per_distance=found.per_distance * by * rate,
        money_in=tuple({"all": sum(parts.values()) * rate} for parts in found.money_in),
    )  # fmt: skip
    frames, over = break_even_frames(shown), captions(code, where["unit"], where["view"])
    tables = {"options": every_option_table(shown), "joy": joy_table(shown), "meet": break_even_table(shown), "every": every_year_table(shown)}
    return {
        "answer": answer(shown, totals).replace(f"(counting on {amount(waiting, code)} ", f"(counting on {amount(waiting * rate, code)} "),
        "joy": joy_sentence(shown),
        "heading": heading(shown.project, where["view"]),
        "left": left_out_sentences(shown),
        "figures": [row["shown"] for row in frames["chosen"]],
        "meetings": [f"{row['shown']}: {row['against']}" for row in frames["crossings"]],
        "ends": [" ".join(row["wide"]) for row in frames["ends"]],
        "captions": [over[name] for name in tables],
        "tables": {name: [[key or "kept" for key in rows[0]], *(list(row.values()) for row in rows)] if rows else [] for name, rows in tables.items()},
    }


PATHS = (
    ValuePath(kind="years and distance", decline_rate=money("0.1"), distance_rate=money("0.05"), scrap_value=money("400"), distance_now=money("60000"), lifetime_distance=money("180000")),
    ValuePath(kind="two stage", decline_rate=money("0.2"), first_years=money("2.5"), later_rate=money("0.05"), scrap_value=money("700")),
    ValuePath(kind="floor then rise", decline_rate=money("0.1"), floor_value=money("5000"), rise_rate=money("0.03")),
    ValuePath(kind="held then declining", held_years=money("1.3"), decline_rate=money("0.11")),
    ValuePath(kind="straight line", over_years=money("9"), end_value=money("900")),
    ValuePath(kind="table", table=(TableRow(years=money("1"), value=money("9000")), TableRow(years=money("4.5"), value=money("4000"))), later_rate=money("0.02"),
              scrap_value=money("500"), distance_now=money("10000"), lifetime_distance=money("220000")),
    ValuePath(kind="distance", scrap_value=money("350"), distance_now=money("90000"), lifetime_distance=money("140000")),
)  # fmt: skip
TYRES = Renewal(what="tyres", cost=money("480"), every=money("40000"), used=money("39000"))
CLUTCH = Renewal(what="clutch", cost=money("900"), every=money("130000"), shape=money("2.5"), used=money("20000"), warranty=money("30000"), warranty_pays=money("0.5"))
WEAR = Wear(
    upkeep_by_year=money("0.04"), upkeep_by_distance=money("0.000003"), insurance_share=money("0.03"), again=money("7777.5"), again_distance=money("20000"),
    renewals=(TYRES, CLUTCH),
)  # fmt: skip


def hard(name, first_path):
    """A demo whose options lose value, wear out, end, are borrowed for and carry kits in every way there is."""
    base = demo(name)
    file, options = base.file, []
    for k, option in enumerate(base.options):
        more = {"value_path": PATHS[(k + first_path) % len(PATHS)], "decline_rate": None, "selling_cost_share": money("0.06")}
        if k % 2 == 0:
            more["wear"] = WEAR if k % 4 else WEAR.model_copy(update={"again": None, "again_distance": None})
        if k % 3 == 1:
            more["loan"] = Loan(amount=money("5000"), rate=money("0.07"), months=47)
        if option.kind == "build":
            more |= {"build_months": money("5.5"), "downtime": money("120"), "enjoyment": money("60")}
        elif k % 3 == 2:
            more["kit"] = Kit(what="kit", price=money("1500"), end_value_share=money("0.7"), held_years=money("2"), decline_rate=money("0.2"))
        options.append(option if option.kind == "hire" else option.model_copy(update=more))
    use = file.use.model_copy(update={"discount_rate": money("0.03"), "inflation_rate": money("0.02"), "horizon_years": 18})
    energy = {name: one.model_copy(update={"price_growth_rate": money("-0.01" if k else "0.02")}) for k, (name, one) in enumerate(file.energy.items())}
    hours = file.own_hours.model_copy(update={"convention": "wage"})
    return changed(base, options=tuple(options), use=use, energy=energy, own_hours=hours)


def evil(name):
    """The van with a name that would break out of a page."""
    van = demo("van")
    build = van.file.build.model_copy(update={"name": name})
    options = tuple(option.model_copy(update={"name": f"{name} {k}"}) for k, option in enumerate(van.options))
    must_haves = tuple(must.model_copy(update={"name": name, "unit": name}) for must in van.file.must_haves)
    return changed(van, build=build, options=options, must_haves=must_haves)
