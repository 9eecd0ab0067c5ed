"""A build against one other car, whose costs and chances are known by hand, and the verdict on it."""

from project.folders import LINES, TOML, made, swapped

from buildecon.decision.compare import FROM_TODAY, WHOLE_STORY, as_written, compare
from buildecon.decision.verdict import not_known, verdict
from buildecon.ledger.ladder import ladder
from buildecon.project import read_project

FUEL = 'energy = [{ source = "petrol", amount = 8, unit = "L/100 km" }]\n'
BARE = swapped(swapped(swapped(TOML, FUEL, ""), "finished = 2000", "finished = 0"), "as_is = { low = 900, likely = 1000, high = 1200 }", "as_is = 1000")
SEATS = "[options.facts]\nseats = {}"
ALONE = BARE[: BARE.index("# what else there is")]


def against(price, shape="triangular", **changes):
    """The build costs 1760 in all (1000 + 500 + 300 - 40) and brings nothing in the end; the other costs this price and brings nothing either. No running costs."""
    toml = swapped(BARE, "price = 3000", f"value = 0\nprice = {price}") + f'\n[chances]\nshape = "{shape}"\n'
    for old, new in changes.values():
        toml = swapped(toml, old, new)
    return toml


def verdict_of(project, **turned):
    totals = ladder(project)
    what_if = as_written(project, totals).model_copy(update=turned)
    return verdict(*(compare(project, totals, what_if, view) for view in (WHOLE_STORY, FROM_TODAY)), not_known(project, totals))


def judged(where, toml, lines=LINES, **turned):
    return verdict_of(read_project(made(where / "folder", build=toml, lines=lines)), **turned)
