"""Who gave what and for what: a sentence for each, a mark for each line, and the gifts that nobody has disclosed yet."""

from dataclasses import dataclass
from decimal import Decimal

from buildecon.story.words import amount

GIVEN_KINDS = ("given", "discounted")  # without a disclosure of these nothing is published
DID = {"given": "gave", "discounted": "gave", "swapped": "swapped", "on loan": "lent", "paid": "paid for this", "": "gave"}
MARKS = {"given": "given by", "discounted": "sold cheaper by", "swapped": "swapped with", "on loan": "lent by", "paid": "paid for by"}
NOT_NAMED = {"given": "given", "discounted": "sold cheaper", "swapped": "swapped"}


@dataclass(frozen=True)
class Given:
    """What is disclosed.

    Parameters
    ----------
    sentences : tuple of str
        Who gave what, and for what; empty where nobody did. [-]
    marks : dict of str to str
        What stands beside a line, by its id. [-]
    """

    sentences: tuple
    marks: dict


def disclosure_sentences(project, totals, money=True):
    """Who gave what since when and for what, with what was paid and what a reader would pay.

    Parameters
    ----------
    project : Project
        With its `[[disclosures]]`. [-]
    totals : Ladder
        Of the project. [money]
    money : bool, optional
        Whether what was paid and what a reader would pay is told. [-]

    Returns
    -------
    list of str
        One a sponsor, in the owner's own wording where there is one, then one for all of them; empty where nobody gave anything. [-]
    """
    said, counted = [], {}
    for sponsor in dict.fromkeys(one.supplier for one in project.file.disclosures):
        deals = [one for one in project.file.disclosures if one.supplier == sponsor]
        lines = {one.line.id: one for deal in deals for one in _lines_of(deal, totals)}
        counted |= lines
        said.append(" ".join([*(_sentence(deal, _lines_of(deal, totals)) for deal in deals), *(_money(lines.values(), project.currency) if money else ())]))
    if money and len(said) > 1 and counted:
        paid, street = _paid_and_street(counted.values())
        said.append(f"In all: {amount(paid, project.currency)} paid for what a reader gets for {amount(street, project.currency)}, {amount(street - paid, project.currency)} less.")
    return said


def sponsored_marks(project):
    """What stands beside a line that somebody gave, sold cheaper, swapped, lent or paid for.

    Parameters
    ----------
    project : Project
        With its lines and `[[disclosures]]`. [-]

    Returns
    -------
    dict of str to str
        By id of the line; who is not disclosed is not named. [-]
    """
    marks = {line.id: NOT_NAMED[line.funding] for line in project.lines if line.funding != "own"}
    for deal in project.file.disclosures:
        for line in project.lines:
            if _is_of(deal, line):
                marks[line.id] = f"{MARKS[deal.kind or (line.funding if line.funding != 'own' else 'given')]} {deal.supplier}"
    return marks


def undisclosed(project, totals):
    """Lines that were given or sold cheaper and of which no disclosure tells.

    Parameters
    ----------
    project : Project
        With its `[[disclosures]]`. [-]
    totals : Ladder
        Of the project. [money]

    Returns
    -------
    tuple of Line
        In the order of lines.csv; a disclosure without a word of what was given tells of nothing. [-]
    """
    telling = [deal for deal in project.file.disclosures if deal.wording.strip() or deal.gave.strip()]
    return tuple(one.line for one in totals.settled if one.line.funding in GIVEN_KINDS and not any(_is_of(deal, one.line) for deal in telling))


def _is_of(deal, line):
    """Whether a line is part of a deal: named by it, or not the owner's own and of that supplier where it names none."""
    return line.id in deal.lines if deal.lines else bool(line.supplier) and line.supplier == deal.supplier and line.funding != "own"


def _lines_of(deal, totals):
    return [one for one in totals.settled if _is_of(deal, one.line)]


def _sentence(deal, lines):
    if deal.wording.strip():
        return deal.wording.strip()
    kinds = {one.line.funding for one in lines} - {"own"}
    kind = deal.kind or (kinds.pop() if len(kinds) == 1 else "")
    since = f" (since {deal.since:%d %B %Y})" if deal.since else ""
    promised = deal.in_return.strip().rstrip(".") or "nothing"
    return f"{deal.supplier}{since} {DID[kind]}: {deal.gave.strip().rstrip('.')}. In return: {promised}."


def _money(lines, currency):
    """Paid and street price; nothing where a deal is of no line."""
    lines = [one for one in lines if one.line.street_price]
    if lines:
        paid, street = _paid_and_street(lines)
        yield f"Paid: {amount(paid, currency)}; a reader would pay {amount(street, currency)}."


def _paid_and_street(lines):
    """At each line's own, without what others laid on it."""
    priced = [one for one in lines if one.line.street_price]
    return sum((one.cost - one.laid for one in priced), Decimal(0)), sum((one.line.street_price.likely for one in priced), Decimal(0))
