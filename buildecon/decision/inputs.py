"""What is not known: every range of the files that the costs count with, how each is drawn, and a project with draws in their place."""

from dataclasses import dataclass
from decimal import Decimal
from functools import partial

import numpy as np

from buildecon.decision.option_terms import offered
from buildecon.ledger.forecast import open_parts
from buildecon.ledger.ladder import Ladder
from buildecon.project.fields import Record
from buildecon.project.records import Project
from buildecon.quantities.estimate import Estimate, drawn, sure
from buildecon.quantities.sampling import correlated, drawn_in_blocks, empirical, lognormal, normal, pert, triangular

SPENT, OVERRUN, COUNTED = "spent", "half_way.past_overruns", "chances.counted_on"
COST, DELAY, VALUE = "cost to finish", "delay", "value"  # groups that move together
FOUR_IN_FIVE = 0.8
WIDEST = 100.0  # high by low of a lognormal: of a wider one the mean is what no draw but a few ever reaches


@dataclass(frozen=True)
class Input:
    """One figure that is not known.

    Parameters
    ----------
    id : str
        Where it stands: `use.distance_a_year`, `options.ID.price`, `lines.ID`. [-]
    estimate : Estimate
        Its range. [-]
    group : str
        What it moves together with; empty for nothing. [-]
    names : tuple of str
        Of the option, line, energy or kit it belongs to. [-]
    """

    id: str
    estimate: Estimate
    group: str = ""
    names: tuple = ()


@dataclass(frozen=True)
class Unknown:
    """All that is not known of a project, and how it is drawn.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder. [money]
    inputs : tuple of Input
        In the order of the files, the lines last. [-]
    quantiles : dict of str to callable
        From chances to figures, by id. [-]
    root : ndarray or None
        Of the correlation of all inputs; None where nothing moves together. [-]
    moved : float
        The largest change that was needed to make the correlations possible. [-]
    sure_left, bills : float
        Still to come that has no range, and bills that are not paid yet, which run over no more. [money]
    """

    project: Project
    totals: Ladder
    inputs: tuple
    quantiles: dict
    root: np.ndarray | None
    moved: float
    sure_left: float
    bills: float = 0.0

    def drawn(self, n, seeds):
        """Draws of every input by id, shape (n x seeds,), each seed an independent set of even points."""
        return drawn_in_blocks(self.quantiles, n, seeds, self.root)

    def middles(self):
        """The median of every input by id."""
        return {name: float(quantile(0.5)) for name, quantile in self.quantiles.items()}

    def left_by_line(self, draws):
        """Still to come on each open line that has a range, by id. [money]"""
        times = draws.get(OVERRUN, 1.0)
        return {one.names[0]: draws.get(one.id, float(one.estimate)) * times for one in self.inputs if one.id.startswith("lines.")}

    def left(self, draws):
        """Still to come in all. [money]"""
        return self.bills + self.sure_left * draws.get(OVERRUN, 1.0) + sum(self.left_by_line(draws).values())

    def with_draws(self, draws):
        """The project with draws in the place of its ranges."""
        file = self.project.file
        again = {path: draws["value.finished"] for path in _own_values(file) if "value.finished" in draws and self.project.option(path.split(".", 1)[1].removesuffix(".value")).value == file.value.finished}
        return self.project.model_copy(update={"file": _with_draws(file, draws | again, "")})


def unknown(project, totals, market=None):
    """All that is not known of a project.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its ladder. [money]
    market : Worth, optional
        The reading of the evidence, where `[chances] value_from` is the market. [money]

    Returns
    -------
    Unknown
        Without inputs where no figure is a range. [-]

    Notes
    -----
    What is still to come is drawn as the ledger forecasts it: a single figure widened by its evidence, likely and high times the overrun so far.
    Where the owner gives the overruns of earlier builds, it is drawn as written and multiplied by one of those.
    """
    file, chances = project.file, project.file.chances
    inputs = [*_in_tables(project), *_spent(totals)]
    shape, quantiles = partial(_quantile, chances.shape), {}
    quantiles |= {one.id: shape(one.id, one.estimate) for one in inputs}
    quantiles |= _of_market(inputs, market)
    past = file.half_way.past_overruns
    lines, sure_left = [], 0.0
    for settled, part in open_parts(project, totals.settled, scaled=not past):
        if part.is_sure:
            sure_left += float(part.likely)
        else:
            lines.append(Input(f"lines.{settled.line.id}", part, COST, (settled.line.id, settled.line.item)))
            quantiles[lines[-1].id] = shape(lines[-1].id, part)
    inputs += lines
    if past and (lines or sure_left):
        inputs.append(Input(OVERRUN, _ends([float(one) for one in past]), DELAY))
        quantiles[OVERRUN] = empirical([float(one) for one in past])
    comes = float(chances.counted_on)
    if comes < 1 and any(one.owed for one in totals.settled):
        inputs.append(Input(COUNTED, _ends([0, 1])))
        quantiles[COUNTED] = lambda u: (np.asarray(u) >= 1 - comes).astype(float)
    root, moved = _together(inputs, project)
    return Unknown(project, totals, tuple(inputs), {one.id: quantiles[one.id] for one in inputs}, root, moved, sure_left, float(sum(one.unpaid for one in totals.settled)))


def _in_tables(project):
    """The ranges of build.toml that costs count with; an option that cannot be had in either view is left out."""
    file, found = project.file, []
    hours = {"hobby": (), "wage": ("own_hours.spent", "own_hours.wage"), "shop": ("own_hours.spent", "own_hours.shop_rate")}[file.own_hours.convention]
    unused = {*UNUSED, *OWN_HOURS} - {*hours}
    tables = [("use", file.use, ()), ("value", file.value, ()), *((f"energy.{name}", one, (name,)) for name, one in file.energy.items()), ("half_way", file.half_way, ())]
    tables += [("this_car", file.this_car, ()), ("repairs", file.repairs, ()), ("own_hours", file.own_hours, ())]
    tables += [(f"options.{one.id}", one, (one.name,)) for one in project.options if one in offered(project, "whole story")[0]]
    for name, record, names in tables:
        for path, estimate, inner in _ranges(record, name, names) if record else ():
            if path not in unused and not _said_already(path, estimate, project):
                found.append(Input(path, estimate, _group(path, project), inner))
    return found


def _said_already(path, estimate, project):
    """A build's own value that is the finished value written once more."""
    return path in _own_values(project.file) and estimate == project.file.value.finished


def _own_values(file):
    return [f"options.{option.id}.value" for option in file.options if option.kind == "build"]


UNUSED = ("use.drive_hours_a_year", "use.business_share")
OWN_HOURS = ("own_hours.spent", "own_hours.wage", "own_hours.shop_rate")
BY_CHANCE = ("every", "used", "shape", "warranty", "warranty_pays")  # how long such a component lasts is spread by its shape already


def _group(path, project):
    if path in ("value.as_is", "value.finished") or path.startswith("half_way.without") and path.endswith(".finished"):
        return VALUE
    if path in _own_values(project.file):
        return VALUE
    return DELAY if path.endswith((".build_months", "half_way.months", "half_way.hours")) else ""


def _ranges(record, path, names):
    """(path, estimate, names) of every range in a record and the records in it; what is named by an id, a name or words is found by that."""
    for field in type(record).model_fields:
        value, here = getattr(record, field), f"{path}.{field}"
        if isinstance(value, Estimate) and not value.is_sure:
            if not (field in BY_CHANCE and getattr(record, "shape", None) is not None):
                yield here, value, names
        elif isinstance(value, Record):
            yield from _ranges(value, here, names)
        elif isinstance(value, tuple):
            for k, one in enumerate(value):
                if isinstance(one, Record):
                    yield from _ranges(one, f"{here}.{k}", (*names, *filter(None, [_called(one)])))


def _called(record):
    return next((getattr(record, name) for name in ("what", "name", "source") if hasattr(record, name)), "")


def _with_draws(record, draws, path):
    """A copy of a record in which what has draws is drawn; what has none is shared."""
    update = {}
    for field in type(record).model_fields:
        value, here = getattr(record, field), f"{path}.{field}" if path else field
        if not any(name.startswith(here) for name in draws):
            continue
        update[field] = _one_with_draws(value, draws, here)
    return record.model_copy(update=update) if update else record


def _one_with_draws(value, draws, here):
    if isinstance(value, Estimate):
        return drawn(value, draws[here]) if here in draws else value
    if isinstance(value, Record):
        return _with_draws(value, draws, here)
    if isinstance(value, dict):
        return {key: _one_with_draws(one, draws, f"{here}.{key}") for key, one in value.items()}
    if isinstance(value, tuple):
        return tuple(_one_with_draws(one, draws, f"{here}.{getattr(one, 'id', k) if here == 'options' else k}") for k, one in enumerate(value))
    return value


def _spent(totals):
    rung = next(rung for rung in totals.rungs if rung.id == "stands_in_at")
    return [Input(SPENT, Estimate(rung.low, rung.amount, rung.high))] if rung.low < rung.high else []


def _of_market(inputs, market):
    """Lognormal over what the evidence says of the car as it stands and finished."""
    if market is None or not market.is_known:
        return {}
    ids, found = {one.id for one in inputs}, {}
    for path, stage in (("value.as_is", market.stage), ("value.finished", "finished")):
        if path in ids and not (path == "value.as_is" and market.is_of_finished):
            price = market.of_state(stage, level=FOUR_IN_FIVE)
            found[path] = lognormal(price.low, price.high)
    return found


def _ends(figures):
    low, high = min(figures), max(figures)
    return Estimate(*(Decimal(str(value)) for value in (low, (low + high) / 2, high)))


def _quantile(shape, path, estimate):
    """Quantile function of a range; four in five takes its ends as a tenth and nine tenths, and leaves the likely figure out."""
    low, likely, high = estimate.floats
    name = path.split(".")[-1]
    if shape == "pert" or name == "years":  # rows of a table of values would overtake one another
        return pert(low, likely, high)
    if shape == "triangular":
        return triangular(low, likely, high)
    quantile = lognormal(low, high) if 0 < low and high <= WIDEST * low else normal(low, high)
    is_rate = name.endswith("rate")
    least = 0.0 if low >= 0 else -0.9 if is_rate else -np.inf  # an amount stays one, and so do a share and a rate
    most = 0.9 if name == "charging_loss" else 1.0 if is_rate or name.endswith("share") else np.inf
    return lambda u: np.clip(quantile(u), least, most)


def _together(inputs, project):
    """Root of the correlation of all inputs, and the repair it needed."""
    chances = project.file.chances
    groups = np.array([one.group for one in inputs])
    same = sure(1) if project.file.build.stage == "finished" else chances.values_together  # then as it stands is finished
    within = {COST: chances.prices_together, DELAY: chances.delay_and_cost, VALUE: same}
    wanted = np.eye(len(inputs))
    for group, share in within.items():
        wanted[np.ix_(groups == group, groups == group)] = float(share)
    wanted[np.ix_(groups == COST, groups == DELAY)] = wanted[np.ix_(groups == DELAY, groups == COST)] = float(chances.delay_and_cost)
    np.fill_diagonal(wanted, 1.0)
    if not len(inputs) or np.array_equal(wanted, np.eye(len(inputs))):
        return None, 0.0
    together = correlated(wanted)
    return together.root, together.moved
