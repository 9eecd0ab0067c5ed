"""Words in the owner's own texts that make money sound better than the ledger has it."""

import re
from collections.abc import Iterator

from pydantic import BaseModel

from buildecon.ledger.trap import Trap, in_money

PROSE = ("name", "summary", "quoted_because", "basis", "because", "note", "item", "what", "gave", "in_return", "wording", "what_is_lost")
ROW_PROSE = ("item", "what", "note")
ABOUT_THE_BUILD = ("build.name", "build.summary", "build.quoted_because", "value.basis", "lines.note", "story.md")
NOT = re.compile(r"\b(?:not|no|never|isn't|hardly|than)\s+(?:an?\s+)?(?:\w+\s+)?$", re.IGNORECASE)
INVESTMENT = re.compile(r"\binvest(?:ed|ing|ments?)?\b(?!\s+cast)|\bpays? for itself\b|\bmoney in the bank\b|\bappreciating\b|\b(?:can't|cannot) lose\b", re.IGNORECASE)
DEPRECIATION = re.compile(r"\bdepreciat(?:ion|es?|ed)\b", re.IGNORECASE)
CREDIT = re.compile(r"\bon credit\b|\bfinanced\b|\binstall?ments?\b|\bpay(?:ing)? later\b", re.IGNORECASE)
ANYONE = re.compile(r"\bany(?:one|body) (?:can|could)\b|\byou (?:can|could) (?:do|build|have) (?:it|this|one)\b|\bon a (?:shoestring|budget)\b|\bfor (?:only|just|under) \d", re.IGNORECASE)
SAVED_LABOUR = re.compile(r"\bsav(?:e|ed|es|ing|ings)\b[^.;]{0,60}\b(?:labou?r|shop|garage|mechanic)|\b(?:labou?r|shop|garage|mechanic)\b[^.;]{0,60}\bsav(?:ed|ing|ings)\b|\bsweat equity\b", re.IGNORECASE)
LARGE_HELP, SOME_HELP = 0.20, 0.02  # share of money or hours that others gave, told always, and told where the text says that anybody could: common practice, no source


def prose(project) -> Iterator:
    """Every text that the owner wrote in words of his own.

    Parameters
    ----------
    project : Project
        The files. [-]

    Returns
    -------
    iterator of (str, str)
        Where it stands, as `build.summary`, and the text. [-]
    """
    for table, record in project.file:
        yield from _texts(table, record)
    for table in ("lines", "events", "hours", "market"):
        for row in getattr(project, table):
            for name in ROW_PROSE:
                if text := getattr(row, name, ""):
                    yield f"{table}.{name}", text
    if project.story:
        yield "story.md", project.story


def _texts(place, thing):
    if isinstance(thing, BaseModel):
        for name, value in thing:
            if isinstance(value, str):
                if value and name in PROSE:
                    yield f"{place}.{name}", value
            else:
                yield from _texts(f"{place}.{name}", value)
    elif isinstance(thing, tuple):
        for one in thing:
            yield from _texts(place, one)


def said(project, pattern, places=None):
    """First place where a text says something, unless it denies it.

    Parameters
    ----------
    project : Project
        The files. [-]
    pattern : re.Pattern
        What is looked for. [-]
    places : collection of str, optional
        Where to look; everywhere by default. [-]

    Returns
    -------
    tuple of (str, str) or None
        Where, and the words themselves. [-]
    """
    for place, text in prose(project):
        if places is None or place in places:
            for found in pattern.finditer(text):
                if not NOT.search(text[: found.start()]):
                    return place, found[0]
    return None


def _loss(project, totals):
    found = said(project, INVESTMENT) or said(project, DEPRECIATION, ABOUT_THE_BUILD)
    if found:
        yield Trap("loss_as_investment", f"the word '{found[1].lower()}' in {found[0]}", "Call it what it is: money spent.")


def _credit(project, totals):
    borrowed = any(option.kind == "build" and option.loan for option in project.options)
    found = said(project, CREDIT)
    if project.file.loans or any(one.line.nature == "finance" for one in totals.settled):
        return
    if borrowed or found:
        told = f"'{found[1].lower()}' in {found[0]}, and " if found and not borrowed else ""
        yield Trap("hidden_interest", f"{told}no line of nature 'finance'", "Add the interest paid so far, or a [[loans]] table; the principal is on no rung.")


def _help(project, totals):
    """What was given and helpers' hours, beside a claim that anybody could do it for the same."""
    street, found = totals["at_street_price"], said(project, ANYONE, ABOUT_THE_BUILD)
    given = float(1 - totals["stands_in_at"] / street) if street > 0 else 0.0
    helpers = float(sum(row.hours.likely for row in project.hours if row.who == "helper"))
    all_hours = helpers + float(project.hours_spent.likely)
    helped = helpers / all_hours if all_hours else 0.0
    if max(given, helped) >= (SOME_HELP if found else LARGE_HELP):
        told = f"the text says '{found[1].lower()}'; " if found else ""
        cure = "Quote what it would cost a reader, and say who helped and for how long."
        yield Trap("not_for_anyone", f"{told}{given:.0%} of what a reader would pay was given, discounted or swapped, helpers gave {helpers:,.0f} of {all_hours:,.0f} hours", cure)


def _hours(project, totals):
    build, hours = project.file.build, project.file.own_hours
    if hours.convention != "hobby" or not project.hours_spent.likely:
        return
    at_shop = in_money(project, totals.hours_views["shop"] - totals.hours_views["hobby"])
    cure = "Count them at the same rate on both sides: at 0 in the saving too, or in the cost as well."
    if found := said(project, SAVED_LABOUR):
        yield Trap("hours_at_nothing", f"0 in the cost, '{found[1].lower()}' in {found[0]}; at the shop rate they would be {at_shop}", cure)
    elif build.quoted_rung == "with_own_hours":
        yield Trap("hours_at_nothing", f"the quoted total is 'with own hours' and counts them at 0; at the shop rate they would be {at_shop}", "Choose convention = 'wage' or 'shop', or quote another rung.")


CHECKS = (_help, _credit, _hours, _loss)
