"""A car and like cars for the tests of the market."""

import datetime as dt
from decimal import Decimal

from demos import demo

from buildecon.project.records import Project
from buildecon.project.rows import Evidence
from buildecon.project.worth import Market, ThisCar
from buildecon.quantities.estimate import Estimate, sure

DAY = dt.date(2026, 9, 30)


def spread(low, likely, high):
    """A range."""
    return Estimate(*(Decimal(str(end)) for end in (low, likely, high)))


def row(id, price, kind="sold", day=DAY, **more):
    """One row of market.csv; numbers become estimates."""
    numbers = {name: sure(value) if isinstance(value, (int, float)) else value for name, value in more.items()}
    return Evidence(id=id, what=more.get("what", f"a like car, {id}"), kind=kind, date=day, price=price if isinstance(price, Estimate) else sure(price), **{n: v for n, v in numbers.items() if n != "what"})


def garage(*rows, car=None, states=(), **market):
    """A project of pounds and miles on 30 September 2026 with these rows, this car and this [market]; finished where no state is given."""
    base = demo("roadster")
    build = base.file.build.model_copy(update={"stage": "in progress" if states else "finished"})
    file = base.file.model_copy(update={"build": build, "market": Market(**market), "this_car": ThisCar(**(car or {})), "states": tuple(states), "contribution": None})
    return Project(folder="", file=file, lines=base.lines, events=base.events, market=tuple(rows))
