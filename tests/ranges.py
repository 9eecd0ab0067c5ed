"""Projects in which every figure that may be a range is one, and the same with draws written down as plain numbers."""

from buildecon.project import read_project
from buildecon.project.fields import Record
from buildecon.quantities.estimate import Estimate, sure

HEAD = """\
format = 1

[build]
name = "All in doubt"
currency = "EUR"
as_of = 2026-06-30
distance_unit = "{unit}"
stage = "in progress"
base_car = "bought"
quoted_because = "It is all of it."
quoted_option = "build"

[use]
distance_a_year = {{ low = 7000, likely = 9000, high = 12000 }}
drive_days_a_year = {{ low = 90, likely = 100, high = 150 }}
drive_hours_a_year = {{ low = 90, likely = 100, high = 150 }}
years_kept = 6
horizon_years = {horizon}
discount_rate = {{ low = 0.01, likely = 0.03, high = 0.06 }}
inflation_rate = {{ low = 0.0, likely = 0.02, high = 0.05 }}

[own_hours]
spent = {{ low = 90, likely = 100, high = 130 }}
wage = {{ low = 9, likely = 10, high = 14 }}
shop_rate = {{ low = 19, likely = 20, high = 24 }}
convention = "{convention}"

[value]
as_is = {{ low = 2500, likely = 3000, high = 4200 }}
finished = {{ low = 7000, likely = 9000, high = 12000 }}
selling_cost_share = {{ low = 0.02, likely = 0.05, high = 0.09 }}
basis = "A guess."

[energy.petrol]
unit = "L"
price = {{ low = 1.4, likely = 1.6, high = 2.1 }}
price_growth_rate = {{ low = -0.01, likely = 0.01, high = 0.04 }}

[energy.charging]
unit = "kWh"
[[energy.charging.tariffs]]
name = "night"
share = {{ low = 0.6, likely = 0.75, high = 0.9 }}
price = {{ low = 0.17, likely = 0.2, high = 0.3 }}
[[energy.charging.tariffs]]
name = "public"
share = 0.25
price = {{ low = 0.4, likely = 0.5, high = 0.7 }}

"""

BUILD = """\
[[options]]
id = "build"
name = "this build"
kind = "build"
counts_on = ["a5"]
purchase_costs = { low = 50, likely = 80, high = 160 }
one_offs = [{ what = "approval", amount = { low = -100, likely = 300, high = 700 } }]
build_months = { low = 3, likely = 5, high = 11 }
downtime = { low = 100, likely = 150, high = 260 }
enjoyment = { low = 100, likely = 300, high = 600 }
selling_cost_share = { low = 0.03, likely = 0.04, high = 0.1 }
energy = [{ source = "charging", amount = { low = 17, likely = 20, high = 26 }, unit = "kWh/100 km", charging_loss = { low = 0.08, likely = 0.12, high = 0.2 }, distance_share = { low = 0.5, likely = 0.6, high = 0.7 } }, { source = "petrol", town = { low = 7, likely = 9, high = 12 }, open_road = { low = 5, likely = 6, high = 8 }, unit = "L/100 km", distance_share = 0.4 }]
yearly = { insurance = { low = 300, likely = 400, high = 600 }, upkeep = { low = 200, likely = 300, high = 700 }, tax = { low = 10, likely = 20, high = 40 }, tests = { low = 40, likely = 50, high = 90 }, storage = { low = 0, likely = 60, high = 300 }, other = { low = 1, likely = 5, high = 20 } }
charge_per_drive_day = { low = 1, likely = 2, high = 5 }
kit = { what = "rack", price = { low = 200, likely = 300, high = 500 }, end_value_share = { low = 0.2, likely = 0.5, high = 0.7 }, held_years = { low = 0, likely = 1, high = 4 }, decline_rate = { low = 0.05, likely = 0.1, high = 0.3 } }
loan = { amount = { low = 1000, likely = 2000, high = 4000 }, rate = { low = 0.02, likely = 0.05, high = 0.09 }, months = 48 }
"""

WEAR = """\
[options.wear]
upkeep_by_year = { low = 0.01, likely = 0.05, high = 0.1 }
upkeep_by_distance = { low = 0.0, likely = 0.02, high = 0.06 }
insurance_share = { low = 0.01, likely = 0.02, high = 0.04 }
again = { low = 6000, likely = 8000, high = 13000 }
again_distance = { low = 1000, likely = 10000, high = 30000 }
[[options.wear.renewals]]
what = "battery"
cost = { low = 1500, likely = 2500, high = 5000 }
every = { low = 60000, likely = 90000, high = 140000 }
used = { low = 10000, likely = 30000, high = 50000 }
[[options.wear.renewals]]
what = "tyres"
cost = { low = 300, likely = 400, high = 600 }
every = { low = 25000, likely = 40000, high = 50000 }
[[options.wear.renewals]]
what = "gearbox"
cost = { low = 900, likely = 1500, high = 2600 }
every = 80000
used = 20000
shape = 2.5
warranty = 40000
warranty_pays = 0.8
"""

END = """
scrap_value = { low = 200, likely = 400, high = 700 }
distance_now = { low = 90000, likely = 100000, high = 115000 }
lifetime_distance = { low = 150000, likely = 180000, high = 240000 }
"""

# A curve of each kind, everything in it a range.
PATHS = {
    "steady": "decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }",
    "years and distance": "decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }\ndistance_rate = { low = 0.01, likely = 0.03, high = 0.08 }",
    "two stage": "decline_rate = { low = 0.1, likely = 0.2, high = 0.3 }\nfirst_years = { low = 1, likely = 3, high = 6 }\nlater_rate = { low = -0.02, likely = 0.02, high = 0.08 }",
    "floor then rise": "decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }\nfloor_value = { low = 2000, likely = 4000, high = 5000 }\nrise_rate = { low = 0, likely = 0.02, high = 0.05 }",
    "floor then rise, by years": "decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }\nfirst_years = { low = 2, likely = 4, high = 9 }\nrise_rate = { low = 0, likely = 0.02, high = 0.05 }",
    "held then declining": "held_years = { low = 0, likely = 2, high = 5 }\ndecline_rate = { low = 0.05, likely = 0.1, high = 0.2 }",
    "straight line": "over_years = { low = 5, likely = 8, high = 14 }\nend_value = { low = 500, likely = 1000, high = 2500 }",
    "table": "table = [{ years = { low = 1, likely = 2, high = 3 }, value = { low = 5000, likely = 6000, high = 7000 } }, { years = { low = 4, likely = 6, high = 9 }, value = { low = 2000, likely = 3000, high = 4500 } }]\nlater_rate = { low = 0, likely = 0.04, high = 0.1 }",
    "distance": END,
}  # fmt: skip

BUY = """\
[[options]]
id = "{id}"
name = "the {id}"
kind = "buy"
price = {{ low = 8000, likely = 9500, high = 13000 }}
purchase_tax_rate = {{ low = 0.0, likely = 0.02, high = 0.1 }}
energy = [{{ source = "petrol", amount = {{ low = 5, likely = 7, high = 9 }}, unit = "L/100 km" }}]
yearly = {{ upkeep = {{ low = 200, likely = 350, high = 500 }}, insurance = 300 }}
{more}
"""

HIRE = """\
[[options]]
id = "hired"
name = "hired by the day"
kind = "hire"
hire = { days_a_year = { low = 80, likely = 100, high = 160 }, per_day = { low = 40, likely = 55, high = 80 } }
"""

KEEP = """\
[[options]]
id = "keep"
name = "the old car as it was"
kind = "keep"
uses_base_car = true
shares_systems = ["Engine"]
value = { low = 600, likely = 1000, high = 1500 }
decline_rate = { low = 0.1, likely = 0.2, high = 0.4 }
energy = [{ source = "petrol", amount = { low = 5, likely = 7, high = 9 }, unit = "L/100 km" }]
[options.from_today]
price = { low = 500, likely = 900, high = 2000 }
kit = { what = "seats", price = { low = 100, likely = 150, high = 300 }, end_value_share = { low = 0.1, likely = 0.3, high = 0.5 }, decline_rate = { low = 0.05, likely = 0.1, high = 0.3 } }
"""

LINES = """\
id,system,item,nature,planned,paid,date,to_finish,grade
a1,Base,the car,base car,1000,1000-1200,2026-01-02,,
a2,Engine,gaskets,part,450,500-620,2026-02-03,,
a3,Engine,head work,outside work,800,,,700-1300,quote
a4,Body,paint,outside work,900,,,,
a5,Body,grant,credit,,,,,
a6,Body,a bill not paid yet,part,,,,,
"""
EVENTS = """\
line,date,kind,amount
a5,,grant,600
a6,,payment,350
"""


def value_path(kind, end=False):
    """`[options.value_path]` of a kind of curve."""
    curve = PATHS[kind] + (END if end and kind != "distance" else "")
    return f'[options.value_path]\nkind = "{kind.split(",")[0]}"\n{curve}\n'


def everything(unit="km", horizon=20, convention="hobby", build="decline_rate = { low = 0.05, likely = 0.1, high = 0.2 }", chances=""):
    """build.toml with a range wherever one may stand; the build's value goes by `build`."""
    tables = [HEAD.format(unit=unit, horizon=horizon, convention=convention)]
    tables.append(BUILD + (build + "\n" + WEAR if not build.startswith("[") else build + WEAR))
    for k, kind in enumerate(PATHS):
        tables.append(BUY.format(id=f"path{k}", more=value_path(kind)))
    tables.append(BUY.format(id="done", more=value_path("steady", end=True) + WEAR))
    return "\n".join([*tables, HIRE, KEEP, chances])


def folder_of(where, toml, lines=LINES, events=EVENTS):
    """A folder of these files."""
    where.mkdir(exist_ok=True)
    for name, text in {"build.toml": toml, "lines.csv": lines, "events.csv": events}.items():
        (where / name).write_text(text, encoding="utf-8")
    return where


def project_of(where, toml, lines=LINES, events=EVENTS):
    """The project read from them."""
    return read_project(folder_of(where, toml, lines, events))


def figures_of(record, path=""):
    """(path, estimate) of every figure of a record, whatever it is for."""
    for field in type(record).model_fields:
        yield from _figures(getattr(record, field), f"{path}.{field}" if path else field)


def _figures(value, here):
    if isinstance(value, Estimate):
        yield here, value
    elif isinstance(value, Record):
        yield from figures_of(value, here)
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from _figures(one, f"{here}.{key}")
    elif isinstance(value, tuple):
        for k, one in enumerate(value):
            yield from _figures(one, f"{here}.{getattr(one, 'id', k) if here == 'options' else k}")


def with_figures(project, figures):
    """The project with plain numbers, by path, in the place of its ranges; a build's value written the same as that of the finished car stays the same."""
    done, builds = figures.get("value.finished"), {f"options.{option.id}.value" for option in project.options if option.kind == "build"}

    def put(value, here):
        if isinstance(value, Estimate):
            same = done is not None and here in builds and value == project.file.value.finished
            return sure(done) if same else sure(figures[here]) if here in figures else value
        if isinstance(value, Record):
            return value.model_copy(update={field: put(getattr(value, field), f"{here}.{field}" if here else field) for field in type(value).model_fields})
        if isinstance(value, dict):
            return {key: put(one, f"{here}.{key}") for key, one in value.items()}
        if isinstance(value, tuple):
            return tuple(put(one, f"{here}.{getattr(one, 'id', k) if here == 'options' else k}") for k, one in enumerate(value))
        return value

    return project.model_copy(update={"file": put(project.file, "")})
