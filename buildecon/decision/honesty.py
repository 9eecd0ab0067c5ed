"""Ways in which an answer can mislead that only the comparison, the market or the log can show, and all of them together."""

import re
from dataclasses import dataclass

from buildecon.decision.compare import Comparison
from buildecon.decision.honest_use import USE_CHECKS
from buildecon.ledger.honesty import traps
from buildecon.ledger.trap import Trap, in_money, with_reasons
from buildecon.market.evidence import ASKS

MOSTLY_ASKS = 2 / 3  # of the rows that count: common practice, no source
FINISHED = "finished"  # a state of `market.csv`; its own module would load the model
COPIED = 0.0025  # of a rung; a value that near to it was probably copied from it: common practice, no source
COST_RUNGS = ("stands_in_at", "with_own_hours", "at_street_price", "replacement_today")
NEW = re.compile(r"\bnew\b(?! to )", re.IGNORECASE)
ASKING = re.compile(r"\bask(?:s|ed|ing)\b|\badvert(?:s|ised)?\b|\blist(?:ed|ings?)\b|\bon offer\b|\bfor sale\b", re.IGNORECASE)
SALES = re.compile(r"\bsold\b|\bsales?\b(?<!for sale)|\bhammer\b|\bpaid\b", re.IGNORECASE)


@dataclass(frozen=True)
class Grounds:
    """What an answer is told from.

    Parameters
    ----------
    comparison : Comparison
        Of the whole story. [-]
    market : Worth or None
        The reading of market.csv; None where it has no row. [-]
    """

    comparison: Comparison
    market: object

    @property
    def project(self):
        """The files."""
        return self.comparison.project

    @property
    def build(self):
        """The option that is quoted."""
        return self.comparison.options[self.comparison.build]


def all_traps(comparison, market=None):
    """Everything about a project's figures that a reader should not be left to find out.

    Parameters
    ----------
    comparison : Comparison
        Every option, the whole story. [-]
    market : Worth, optional
        The reading of the market, where there is evidence. [-]

    Returns
    -------
    tuple of Trap
        Those of the ledger first; last what was overruled and is not there. [-]
    """
    project, told = comparison.project, Grounds(comparison, market)
    of_ledger = traps(project, comparison.totals)
    told_once = {trap.id for trap in of_ledger}
    found = (*of_ledger, *with_reasons(project, (trap for check in CHECKS for trap in check(told) if trap.id not in told_once)))
    there = {trap.id for trap in found}
    idle = [one.trap for one in project.file.overruled if one.trap not in there]
    return (*found, *(Trap("overruled_for_nothing", id, "Take it out of [[overruled]]; it would hide nothing and may surprise you later.") for id in idle))


def _cost_as_value(told):
    project, totals, market = told.project, told.comparison.totals, told.market
    value, to_come = float(project.file.value.finished.likely), float(totals.expected_to_finish)
    known = market.of_state(FINISHED) if market else None
    if not value or known and value <= known.high:  # the market bears it out
        return
    spent = {rung.label: float(rung.amount) + to_come for rung in totals.rungs if rung.id in COST_RUNGS}
    near = next((label for label, amount in spent.items() if abs(value - amount) <= COPIED * amount), None)
    listed = float(totals["at_list_price"])
    if listed > float(totals["at_street_price"]) and value >= listed + to_come:
        yield Trap("list_price_as_value", f"{in_money(project, value)} when finished, and everything at list price is {in_money(project, listed + to_come)}", "A list price is what a maker asks for new parts. Count what like cars were sold for.")
    elif near:
        yield Trap("cost_as_value", f"{in_money(project, value)} when finished, which is '{near}' to the hundred", "What went in is not what comes out. Count what like cars were sold for.")


def _best_case(told):
    market, value = told.market, told.project.file.value
    for figure, state, words in (((value.as_is, None if market.is_of_finished else market.stage, "as it stands"), (value.finished, FINISHED, "finished")) if market else ()):
        known = state and market.of_state(state)
        if known and float(figure.likely) > known.high:
            range_ = f"{in_money(told.project, known.low).split()[0]} to {in_money(told.project, known.high)}"
            yield Trap("best_case_value", f"{in_money(told.project, figure.likely)} {words}; the evidence says {range_}, {market.level:.0%} of the time", "Count the likely figure, and show the best case as one.")
            return


def _sells_free(told):
    """Selling that costs others something, and the build nothing."""
    usual = told.project.file.value.selling_cost_share
    share = {option.name: float((option.selling_cost_share or usual).likely) for option in told.comparison.options if option.kind != "hire"}
    paying = [(name, part) for name, part in share.items() if part > 0]
    if share[told.build.name] == 0 and paying:
        yield Trap("build_sells_free", f"{told.build.name} at 0, {paying[0][0]} at {paying[0][1]:.0%} of its price", "Let selling cost the same share on both sides, or say why not.")


def _asks(told):
    basis = told.project.file.value.basis
    rows = told.market.counted if told.market else []
    asks = [read for read in rows if read.row.kind in ASKS]
    if rows and len(asks) > MOSTLY_ASKS * len(rows):
        yield Trap("asks_as_value", f"{len(asks)} of {len(rows)} pieces of evidence are asking prices", "Nobody has paid them yet. Look for sales, and say so beside the value.")
    elif any(read.reading == "as price" for read in asks):
        yield Trap("asks_as_value", f"{len(asks)} asking prices are read as if they had been paid", "Read them by a margin, and say so beside the value.")
    elif not rows and ASKING.search(basis) and not SALES.search(basis):
        yield Trap("asks_as_value", f"value.basis: '{ASKING.search(basis)[0].lower()}', and nothing of a sale", "Nobody has paid them yet. Write them into market.csv, and look for sales.")


def _hours(told):
    """The build's hours at 0 beside an option that pays others for the same work."""
    comparison, hours = told.comparison, told.project.file.own_hours
    best = comparison.cheapest_rival(comparison.what_if.years_kept)
    if best is None or hours.convention != "hobby" or not told.project.hours_spent.likely:
        return
    other = comparison.options[best]
    if other.kind == "buy" and other.uses_base_car:
        views = comparison.totals.hours_views
        yield Trap("hours_at_nothing", f"0 in the build; {other.name} pays for the same work. At the shop rate they would be {in_money(told.project, views['shop'] - views['hobby'])}", "Show the saving with your hours at a rate as well.")


def _only_new(told):
    bought = [option for option in told.comparison.options if option.kind == "buy" and not option.uses_base_car]
    if bought and all(NEW.search(option.name) for option in bought):
        yield Trap("only_new", "; ".join(option.name for option in bought), "Add a used one: most who build would not buy new.")


def _alternatives(told):
    comparison = told.comparison
    others, able, month = comparison.rivals(), [k for k in comparison.rivals() if comparison.passes[k]], comparison.month(comparison.what_if.years_kept)
    dear = {k: float(comparison.per_month[k, month]) for k in others}

    def told_of(k):
        return f"{comparison.options[k].name}, {in_money(told.project, dear[k])} a month"

    if len(others) < 2:
        yield Trap("one_alternative", f"{len(others)} beside the build", "Add what you would have if there were no build: keep the old one, buy used, hire.")
    elif not able:
        yield Trap("nothing_passes", f"none of {len(others)} others meets all {len(told.project.file.must_haves)}", "Ask whether each limit would have been set without the build.")
    elif len(able) == 1 and dear[able[0]] == max(dear.values()):
        yield Trap("dearest_alternative", f"only {told_of(able[0])} meets every must-have, and it is the dearest of {len(others)}", "Say which limit puts the cheaper ones out, and what it costs.")
    build = float(comparison.per_month[comparison.build, month])
    for k in others:
        option, failed = comparison.options[k], [gate.must_have for gate in comparison.gates[k] if not gate.passes]
        if failed and all(option.facts[id] == "unknown" for id in failed) and dear[k] < build:
            yield Trap("ruled_out_unknown", f"{told_of(k)}: {', '.join(failed)}", "Look it up before you say that nothing cheaper would do.")


CHECKS = (_cost_as_value, _best_case, _sells_free, _asks, _hours, _only_new, _alternatives, *USE_CHECKS)
