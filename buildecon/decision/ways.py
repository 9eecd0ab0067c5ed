"""Ways on from here, in money from today: sell as it stands, finish and sell, leave lines out, one more job, part out, shelve.

Every way counts with whatever figures it is given: one number, three ends of a range, or many scenarios at once.
"""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.finish import finished_then_sold, paid_while_held, parts_sold
from buildecon.market.selling import ways_out

SELL, ROUTE, FINISH, WITHOUT, JOB, PART_OUT, SHELVE, KEEP = "sell", "route", "finish", "without", "job", "part out", "shelve", "keep"


@dataclass(frozen=True)
class Way:
    """One way on.

    Parameters
    ----------
    id, kind, name : str
        Its own, what it is, in words. [-]
    brings, costs : float or ndarray
        Present worth of the sale, selling cost taken off; of what is still to be paid, own hours among it where they count. [money]
    hours, months : float or ndarray
        Own hours still to be worked; until the money is there. [hour, month]
    hours_cost : float or ndarray
        Own hours within the costs. [money]
    """

    id: str
    kind: str
    name: str
    brings: object
    costs: object
    hours: object = 0.0
    months: object = 0.0
    hours_cost: object = 0.0

    @property
    def net(self):
        """In hand, in today's money. [money]"""
        return self.brings - self.costs


def ways_on(here):
    """Every way of turning the car into money from here.

    Parameters
    ----------
    here : Ahead
        The figures. [-]

    Returns
    -------
    tuple of Way
        Selling as it stands first, then in a fixed order; only those the files tell of. [money]
    """
    return tuple(way for kind in KINDS for way in kind(here))


def _sell(here):
    yield Way(SELL, SELL, "Sell as it stands", here.sale(here.as_is), 0.0 * here.as_is)


def _route(here):
    """The best of the owner's routes, chosen by the likely figures, where it beats the plain sale."""
    file = here.project.file
    price = file.value.as_is.likely if here.turned.as_is is None else here.turned.as_is
    told = ways_out(file.routes, (float(price),) * 3)
    best = max(range(len(told)), key=lambda k: told[k].net[1], default=None)
    if best is None or told[best].net[1] <= float(price) * (1 - float(file.value.selling_cost_share)) + 0.005:
        return
    route = file.routes[best]
    asked = here.gain(route.price) if route.price is not None else here.as_is * here.gain(route.price_share)
    brings = asked * (1 - here.pay(route.fee_share)) + here.gain(route.parts_beside)
    worked = here.pay(route.hours) * here.an_hour
    yield Way(ROUTE, ROUTE, f"Sell whole, {route.name}", brings, here.pay(route.costs) + worked, here.pay(route.hours), here.pay(route.weeks) * 12 / 52, worked)


def _done(here, id, kind, name, price, spared):
    """Finishing and selling; what is left out spares cost, hours and months."""
    cost, hours, months = spared
    left, months = np.maximum(here.cost_left - cost, 0.0), np.maximum(here.months - months, 0.0)
    hours = np.maximum(here.hours - hours, 0.0)
    worked, done = hours * here.an_hour, here.sale(price)
    brings = finished_then_sold(done, 0.0, months, 0.0, here.rate)
    return Way(id, kind, name, brings, brings - finished_then_sold(done, left + worked, months, here.holding, here.rate), hours, months, worked)


def _finish(here):
    if here.is_open:
        yield _done(here, FINISH, FINISH, "Finish and sell", here.finished, (0.0, 0.0, 0.0))


def _without(here):
    for k, one in enumerate(here.project.file.half_way.without if here.is_open else ()):
        spared = (here.left_of(one.lines), here.pay(one.hours), here.pay(one.months))
        yield _done(here, f"{WITHOUT} {k + 1}", WITHOUT, f"Finish without {one.what}, sell", here.done_at(one.finished), spared)


def _jobs(here):
    """One more job on the car as it stands, then selling it; what the job adds stays what it is when the value as it stands is turned."""
    for k, job in enumerate(here.project.file.improvements):
        worked = here.pay(job.hours) * here.an_hour
        brings = here.sale(here.after(job.value_after))
        yield Way(f"{JOB} {k + 1}", JOB, f"{job.what[0].upper()}{job.what[1:]}, then sell", brings, here.pay(job.cost) + worked, here.pay(job.hours), 0.0, worked)


def _part_out(here):
    terms = here.project.file.part_out
    if terms is None:
        return
    months = here.pay(terms.within_months)
    sold = parts_sold([here.gain(one.price) for one in terms.parts], [here.gain(one.chance) for one in terms.parts], months, here.rate)
    worked = here.pay(terms.hours) * here.an_hour
    yield Way(PART_OUT, PART_OUT, "Part it out", sold * (1 - here.pay(terms.fee_share)), here.pay(terms.costs) + worked, here.pay(terms.hours), months, worked)


def _shelve(here):
    terms = here.project.file.half_way.shelve
    if terms is None:
        return
    months = here.pay(terms.months)
    later = here.sale(here.as_is) * ((1 + here.gain(terms.drift)) / (1 + here.rate)) ** (months / 12)
    yield Way(SHELVE, SHELVE, f"Shelve it {float(terms.months):.0f} months, sell then", later, paid_while_held(here.pay(terms.holding), months, here.rate), 0.0, months)


KINDS = (_sell, _route, _finish, _without, _jobs, _part_out, _shelve)
