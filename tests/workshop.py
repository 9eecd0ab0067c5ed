"""A small project with jobs, for the tests of what to cut."""

from demos import line, money, small

from buildecon.decision.work_list import LEFT, menu
from buildecon.ledger.settlement import settle
from buildecon.project.half_way import Phase
from buildecon.project.jobs import Job, Trim
from buildecon.project.rows import Line


def open_line(id, to_finish, **more):
    """A line of which nothing is paid yet."""
    return Line(id=id, system="To do", item=id, nature=more.pop("nature", "part"), to_finish=money(to_finish) if isinstance(to_finish, (int, str)) else to_finish, **more)


def workshop(jobs, lines=(), phases=(), trim=None, selling=0, **build):
    """Jobs given as dicts; without a cost or lines of their own they cost 100."""
    project = small(lines or (line("p1", paid=50),), **build)
    made = tuple(Job(**({"what": one["id"]} | ({} if "lines" in one or "cost" in one else {"cost": 100}) | one)) for one in jobs)
    value = project.file.value.model_copy(update={"selling_cost_share": money(selling)})
    update = {"jobs": made, "phases": tuple(Phase(**({"what": one["id"]} | one)) for one in phases), "trim": Trim(**(trim or {})), "value": value}
    return project.model_copy(update={"file": project.file.model_copy(update=update)})


def menu_of(jobs, view=LEFT, kept=True, **more):
    """What can be chosen from in such a project."""
    project = workshop(jobs, **more)
    return menu(project, settle(project), view, kept)
