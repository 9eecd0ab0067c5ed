"""Building in phases with a gate before each: what stopping is worth, when to look first, and up to what cost to go on; exact, by backward induction."""

from dataclasses import dataclass

import numpy as np

from buildecon.quantities.bounds import within

MOST_PHASES, MOST_OUTCOMES, MOST_COSTS = 8, 3, 5
STOP, GO, LOOK = "stop", "go on", "look first"


@dataclass(frozen=True)
class BadNewsAhead:
    """What opening a phase may show.

    Parameters
    ----------
    chance : float
        Of it. [-]
    adds : float
        To the cost of the phase. [money]
    look : float
        Cost of finding out beforehand; infinite where one cannot. [money]
    stop : float
        What stopping brings once it is known. [money]
    """

    chance: float
    adds: float
    look: float
    stop: float


@dataclass(frozen=True)
class Gate:
    """A phase and the gate before it.

    Parameters
    ----------
    what : str
        In words. [-]
    stop : float
        What stopping before it brings, selling cost taken off. [money]
    costs, chances : tuple of float
        What the phase may cost, seen at the gate, and how likely each is. [money, -]
    times, time_chances : tuple of float
        What it may do to the finished value, seen once it is done, and how likely each is. [-]
    news : BadNewsAhead or None
        Not seen at the gate. [-]
    later : float
        Worth today, at this gate, of money that comes when the phase is done. [-]
    """

    what: str
    stop: float
    costs: tuple
    chances: tuple = (1.0,)
    times: tuple = (1.0,)
    time_chances: tuple = (1.0,)
    news: BadNewsAhead | None = None
    later: float = 1.0


@dataclass(frozen=True)
class GateRule:
    """What to do at a gate.

    Parameters
    ----------
    what : str
        The phase behind it. [-]
    stop : float
        What stopping there brings. [money]
    limit : tuple of float
        Go on, or look first, if the phase costs less than this: in the worst and in the best turn of the phases before it. [money]
    reached, goes_on : float
        Chance of coming to the gate, and of going on there once one has. [-]
    looks : float
        Chance that looking first is the better, once one has come there. [-]
    expected : float
        Cost to be expected of the phase, bad news among it. [money]
    """

    what: str
    stop: float
    limit: tuple
    reached: float
    goes_on: float
    looks: float
    expected: float


@dataclass(frozen=True)
class Staged:
    """A build in phases.

    Parameters
    ----------
    value : float
        From today with the right to stop at every gate. [money]
    committed : float
        If every phase is done, whatever it costs. [money]
    stop_now : float
        If it is stopped today. [money]
    without_looking : float
        The value if one could not look beforehand. [money]
    finishes : float
        Chance that the last phase is done. [-]
    gates : tuple of GateRule
        In order. [-]
    """

    value: float
    committed: float
    stop_now: float
    without_looking: float
    finishes: float
    gates: tuple

    @property
    def worth_of_option(self):
        """What the right to stop or look later is worth over deciding now once and for all. [money]"""
        return self.value - max(self.committed, self.stop_now)

    @property
    def worth_of_looking(self):
        """What being able to look first is worth. [money]"""
        return self.value - self.without_looking


def staged(gates, done):
    """What a build in phases is worth from its first gate, and the rule at every gate.

    Parameters
    ----------
    gates : sequence of Gate
        In order. [money]
    done : float
        What it brings when every phase is done, selling cost taken off, before what the phases do to it. [money]

    Returns
    -------
    Staged
        Exact for the figures given. [money]

    Raises
    ------
    ValueError
        If there are more phases, costs or outcomes than can be looked through, or chances that do not add up to 1.

    Notes
    -----
    With W the value behind a phase, its cost c seen at the gate, and bad news of chance q that adds a and leaves s to stop for, the value at a gate is the
    largest of stopping, W - c - q a, and -look + (1 - q) max(stop, W - c) + q max(s, W - c - a); W is the mean over what the phase does
    to the finished value. At equal worth one stops.
    """
    gates = tuple(gates)
    _check(gates, within("done", done))
    states = [np.ones(1)]
    for gate in gates:
        states.append(np.outer(states[-1], gate.times).ravel())
    behind, blind, plans = done * states[-1], done * states[-1], []
    for gate, times in zip(reversed(gates), reversed(states[:-1]), strict=True):
        ahead, unseen = ((value.reshape(times.size, -1) @ gate.time_chances) * gate.later for value in (behind, blind))
        choice = _choices(gate, ahead)
        plans.append((gate, ahead, choice))
        behind, blind = choice[0], _choices(gate, unseen, can_look=False)[0]
    rules, finishes = _rules(plans[::-1])
    committed = done * float(np.prod([np.dot(gate.times, gate.time_chances) for gate in gates]))
    for gate in reversed(gates):
        committed = committed * gate.later - _expected(gate)
    return Staged(float(behind[0]), committed, gates[0].stop, float(blind[0]), finishes, rules)


def _check(gates, done):
    if not 1 <= len(gates) <= MOST_PHASES:
        raise ValueError(f"phases must be 1 to {MOST_PHASES}, got {len(gates)}. Put small ones together.")
    for gate in gates:
        for name, figures, chances, most in (("costs", gate.costs, gate.chances, MOST_COSTS), ("outcomes", gate.times, gate.time_chances, MOST_OUTCOMES)):
            if not 1 <= len(figures) <= most or len(figures) != len(chances):
                raise ValueError(f"{name} of {gate.what!r} must be 1 to {most}, each with its chance, got {len(figures)} with {len(chances)} chances.")
            within(f"{name} of {gate.what!r}", figures, 0)
            if not abs(sum(within(f"chances of {name} of {gate.what!r}", chances, 0, 1)) - 1) <= 1e-6:
                raise ValueError(f"chances of {name} of {gate.what!r} must add up to 1, got {sum(chances):g}.")


def _expected(gate):
    return float(np.dot(gate.costs, gate.chances)) + (gate.news.chance * gate.news.adds if gate.news else 0.0)


def _choices(gate, ahead, can_look=True):
    """Value at a gate by state before its cost is seen; chance of going on and of looking, and of being through, by state."""
    value, goes, looks, through = (np.zeros_like(ahead) for _ in range(4))
    for cost, chance in zip(gate.costs, gate.chances, strict=True):
        stop, news = np.full_like(ahead, gate.stop), gate.news
        go = ahead - cost - (news.chance * news.adds if news else 0.0)
        look, sound, bad = np.full_like(ahead, -np.inf), ahead - cost, ahead
        if news and can_look and np.isfinite(news.look):
            bad = ahead - cost - news.adds
            look = -news.look + (1 - news.chance) * np.maximum(stop, sound) + news.chance * np.maximum(news.stop, bad)
        best = np.maximum(stop, np.maximum(go, look))
        blind, looked = (best == go) & (go > stop), (best == look) & (look > stop) & (look > go)
        after = (1 - gate.news.chance) * (sound > stop) + gate.news.chance * (bad > news.stop) if news else 0.0
        value, goes, looks = value + chance * best, goes + chance * blind, looks + chance * looked
        through = through + chance * (blind + looked * after)
    return value, goes, looks, through


def _rules(plans):
    """The rule at each gate in order, and the chance that the last phase is done."""
    reached, rules = np.ones(1), []
    for gate, ahead, (_, goes, looks, through) in plans:
        there = float(reached.sum())
        at = reached / there if there > 0 else np.zeros_like(reached)
        seen = ahead[reached > 0] if there > 0 else ahead
        limits = [_limit(gate, float(one)) for one in (seen.min(), seen.max())]
        rules.append(GateRule(gate.what, gate.stop, tuple(limits), there, float(at @ (goes + looks)), float(at @ looks), _expected(gate)))
        reached = np.outer(reached * through, gate.time_chances).ravel()
    return tuple(rules), float(reached.sum())


def _limit(gate, ahead):
    """Largest cost of the phase at which going on, blind or after a look, is worth more than stopping."""
    news = gate.news
    if news is None:
        return ahead - gate.stop
    limit = ahead - news.chance * news.adds - gate.stop
    if news.chance < 1 and np.isfinite(news.look):
        limit = max(limit, ahead - (gate.stop + news.look - news.chance * news.stop) / (1 - news.chance))
    return limit
