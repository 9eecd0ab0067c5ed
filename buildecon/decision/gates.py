"""Must-haves: what puts an option out, whatever its price, and what each one costs."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Gate:
    """How one option stands against one must-have.

    Parameters
    ----------
    must_have : str
        Its id. [-]
    passes, near : bool
        Whether it is met, and whether by a hair on either side. [-]
    reason : str
        In words with the figures. [-]
    """

    must_have: str
    passes: bool
    near: bool
    reason: str


def gate(must, fact):
    """Hold one fact against one must-have.

    Parameters
    ----------
    must : MustHave
        A number with a comparison, a yes, or a year. [-]
    fact : bool, int, Decimal or str
        What the option has; `unknown` fails until somebody looks it up. [-]

    Returns
    -------
    Gate
        With the reason in words. [-]
    """
    if fact == "unknown":
        return Gate(must.id, False, False, f"{must.name}: not known, so it does not pass")
    if must.yes:
        return Gate(must.id, fact is True, False, f"{must.name}: {'yes' if fact else 'no'}")
    if must.until_year:
        passes = fact == "always" or fact >= must.until_year
        reason = f"{must.name}: {'always' if fact == 'always' else f'to {fact}'}, needs {must.until_year}"
        return Gate(must.id, passes, fact == must.until_year - 1, reason)
    limit = must.at_least or must.at_most
    margin = float(fact) - float(limit) if must.at_least else float(limit) - float(fact)
    near = abs(margin) < float(must.near_share) * abs(float(limit))
    unit = f" {must.unit}" if must.unit else ""
    word = "at least" if must.at_least else "at most"
    reason = f"{must.name}: {figure(fact)}{unit}, needs {word} {figure(limit.likely)}"
    if near and margin:
        reason += f" ({'passes' if margin >= 0 else 'fails'} by {figure(round(abs(margin), 6))}{unit})"
    return Gate(must.id, margin >= 0, near, reason)


def figure(number):
    """A fact as written, with thousands separated.

    Parameters
    ----------
    number : int, float or Decimal
        Of a must-have. [-]

    Returns
    -------
    str
        As `1,150` or `3.9`. [-]
    """
    return f"{number:,}".removesuffix(".0")


def gates_of(option, must_haves):
    """How one option stands against every must-have.

    Parameters
    ----------
    option : Option
        With its facts. [-]
    must_haves : sequence of MustHave
        In the owner's order. [-]

    Returns
    -------
    tuple of Gate
        One a must-have. [-]
    """
    return tuple(gate(must, option.facts[must.id]) for must in must_haves)


def cost_of_each_gate(per_month, gates):
    """What each must-have costs: the cheapest that passes all, less the cheapest that passes all but that one.

    Parameters
    ----------
    per_month : array_like, shape (options,)
        Cost of each option at the years kept. [money/month]
    gates : sequence of tuple of Gate, length options
        How each stands. [-]

    Returns
    -------
    dict of str to tuple of (float, int or None)
        By must-have that somebody fails: its cost, NaN where nothing passes all, and the option that it alone shuts out, None where there is none. [money/month]
    """
    per_month = np.asarray(per_month, dtype=float)
    failed = [{one.must_have for one in each if not one.passes} for each in gates]
    best = min((cost for cost, out in zip(per_month, failed, strict=True) if not out), default=np.nan)
    costs = {}
    for must in dict.fromkeys(one.must_have for each in gates for one in each if not one.passes):
        let_in = [k for k, out in enumerate(failed) if out == {must}]
        cheapest = min(let_in, key=lambda k: per_month[k], default=None)
        costs[must] = (0.0 if cheapest is None else float(np.maximum(best - per_month[cheapest], 0.0)), cheapest)
    return costs
