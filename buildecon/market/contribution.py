"""What the work adds to the price of the car, which is not what it cost."""

from dataclasses import dataclass

from buildecon.project.worth import KINDS_OF_WORK


@dataclass(frozen=True)
class Added:
    """One kind of work: what it cost, the share of that a buyer pays for, and what it adds.

    Parameters
    ----------
    kind : str
        Of work. [-]
    systems : tuple of str
        Of lines.csv. [-]
    cost : float
        At what a reader would pay for it. [money]
    share : tuple of float
        Low, likely and high. [-]
    adds : tuple of float
        Low, likely and high. [money]
    stated : bool
        Whether the share is the owner's; else it is common practice without a source. [-]
    """

    kind: str
    systems: tuple
    cost: float
    share: tuple
    adds: tuple
    stated: bool


@dataclass(frozen=True)
class Built:
    """Value as the car without the work plus what the work adds.

    Parameters
    ----------
    base : tuple of float
        Low, likely and high of the car in the same condition without the work. [money]
    work : tuple of Added
        By kind. [money]
    papers : tuple of float
        Factor for papers. [-]
    open_faults : tuple of float
        Taken off, low to high of the value. [money]
    before_ceiling, value : tuple of float
        Base and work together, and the whole; low, likely and high. [money]
    capped : bool
        Whether the ceiling takes anything off the likely value. [-]
    unlisted : float
        Cost of the work in systems of no kind: it adds nothing here. [money]
    """

    base: tuple
    work: tuple
    papers: tuple
    open_faults: tuple
    before_ceiling: tuple
    value: tuple
    capped: bool
    unlisted: float

    @property
    def left_behind(self):
        """Likely cost of all the work less what the car gains by it, faults that are still open apart; below 0 where it gains more. [money]"""
        gained = self.value[1] + self.open_faults[1] - self.base[1] if self.value[1] else 0.0
        return sum(one.cost for one in self.work) + self.unlisted - gained


def kind_share(kind):
    """Share of its cost that a kind of work adds, by common practice.

    Parameters
    ----------
    kind : str
        A key of `KINDS_OF_WORK`. [-]

    Returns
    -------
    tuple of float
        Low, their middle, high. [-]
    """
    low, high = map(float, KINDS_OF_WORK[kind])
    return low, (low + high) / 2, high


def contribution(terms, costs):
    """Base car plus contributions, capped by the most that anybody pays for one, times the papers, less what is wrong.

    Parameters
    ----------
    terms : Contribution
        `[contribution]`. [-]
    costs : dict of str to float
        Cost of the work by system, at what a reader would pay. [money]

    Returns
    -------
    Built
        With every step. [money]

    Notes
    -----
    value = papers x min(base + sum of share x cost, ceiling) - open faults, at the lows, the likely values and the highs together, and never below 0.

    References
    ----------
    The principle of contribution of property appraisal: a component is worth what it adds to the whole, whatever it cost (common practice, no source).
    """
    work = []
    for one in terms.work:
        cost = sum(costs.get(system, 0.0) for system in one.systems)
        share = kind_share(one.kind) if one.adds is None else one.adds.floats
        work.append(Added(one.kind, one.systems, cost, share, tuple(part * cost for part in share), one.adds is not None))
    base, papers, faults = terms.base.floats, terms.papers.floats, terms.open_faults.floats[::-1]
    together = tuple(base[k] + sum(one.adds[k] for one in work) for k in range(3))
    most = terms.ceiling.floats if terms.ceiling is not None else together
    value = tuple(max(papers[k] * min(together[k], most[k]) - faults[k], 0.0) for k in range(3))
    listed = {system for one in terms.work for system in one.systems}
    unlisted = sum(cost for system, cost in costs.items() if system not in listed)
    return Built(base, tuple(work), papers, faults, together, value, together[1] > most[1], unlisted)
