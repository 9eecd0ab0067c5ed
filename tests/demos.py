"""The demo folders and small projects made for a test."""

from datetime import date
from decimal import Decimal
from pathlib import Path

from buildecon.project import Project, read_project
from buildecon.project.rows import Event, Line

DATA = Path(__file__).parents[1] / "data-demo"


def demo(name):
    return read_project(DATA / name)


def small(lines, events=(), **build):
    """A project with these lines and events on top of the roadster's build.toml."""
    base = demo("roadster")
    car = Line(id="car", system="Base", item="the car", nature="base car", paid=money(0))
    file = base.file.model_copy(update={"build": base.file.build.model_copy(update=build), "contribution": None, "jobs": ()})
    return Project(folder="", file=file, lines=(car, *lines), events=tuple(events))


def experienced():
    """The pickup of an owner with three earlier builds."""
    pickup = demo("pickup")
    half_way = pickup.file.half_way.model_copy(update={"past_overruns": tuple(money(times) for times in ("1.06", "1.10", "1.24"))})
    return changed(pickup, half_way=half_way)


def changed(project, **tables):
    """The project with other tables in its build.toml."""
    return project.model_copy(update={"file": project.file.model_copy(update=tables)})


def half_way_of(project, chances=False, **turned):
    """All ways on from a project, with figures turned."""
    from buildecon.decision.ahead import Turned, sampled
    from buildecon.decision.half_way import half_way
    from buildecon.decision.inputs import unknown
    from buildecon.ledger.ladder import ladder

    totals = ladder(project)
    return half_way(project, totals, Turned(**turned), sampled(unknown(project, totals)) if chances else None)


def money(text):
    from buildecon.quantities.estimate import sure

    return sure(text)


def line(id, nature="part", paid=None, cause="", system="Engine", **more):
    return Line(id=id, system=system, item=id, nature=nature, cause=cause, paid=None if paid is None else money(paid), date=date(2026, 3, 1), **more)


def event(line, kind, amount, day=date(2026, 3, 1), **more):
    return Event(line=line, kind=kind, amount=money(amount), date=day, **more)


def cents(text):
    return Decimal(text)
