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
        Low, likely and high. [money]
    """

    base: tuple
    work: tuple
    papers: tuple
    open_faults: tuple
    before_ceiling: tuple
    value: tuple

    @property
    def capped(self):
        """Whether the ceiling takes anything off the likely value."""
        return self.value[1] < self.before_ceiling[1]

    @property
    def left_behind(self):
        """Likely cost of the work that no buyer pays for. [money]"""
        return sum(one.cost - one.adds[1] for one in self.work)


def ends(estimate):
    """Low, likely and high of an estimate.

    Parameters
    ----------
    estimate : Estimate
        Any. [-]

    Returns
    -------
    tuple of float
        Three. [-]
    """
    return float(estimate.low), float(estimate.likely), float(estimate.high)


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
    """Base car plus contributions, capped by the most that anybody pays for one.

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
    value = min(papers (base + sum of share x cost) - open faults, ceiling), at the lows, the likely values and the highs together, and never below 0.
    The ceiling holds the car; a high estimate is capped at the ceiling's high.

    References
    ----------
    The principle of contribution of property appraisal: a component is worth what it adds to the whole, whatever it cost (common practice, no source).
    """
    work = []
    for one in terms.work:
        cost = sum(costs.get(system, 0.0) for system in one.systems)
        share = kind_share(one.kind) if one.adds is None else ends(one.adds)
        work.append(Added(one.kind, one.systems, cost, share, tuple(part * cost for part in share), one.adds is not None))
    base, papers, faults = ends(terms.base), ends(terms.papers), ends(terms.open_faults)[::-1]
    before = tuple(max(papers[k] * (base[k] + sum(one.adds[k] for one in work)) - faults[k], 0.0) for k in range(3))
    most = ends(terms.ceiling) if terms.ceiling is not None else before
    return Built(base, tuple(work), papers, faults, before, tuple(min(value, top) for value, top in zip(before, most, strict=True)))
