"""Who stands behind the figures with parts given, cheaper, lent or paid for: in one line for a frame, in a sentence to be said."""

from buildecon.story.telling.aloud.name_words import name_words
from buildecon.story.telling.aloud.number_words import number_words
from buildecon.story.telling.blocks import clean
from buildecon.story.telling.drawn.type_widths import shortened
from buildecon.story.telling.parts_list import named_suppliers

GAVE = "given or discounted by"
SHOWN = {"on loan": "lent by", "swapped": "swapped with", "paid": "paid for by"}  # every other kind is given or discounted
SAID = {
    GAVE: "some parts were given to me, or made cheaper, by {}", "lent by": "some things were lent to me by {}", "swapped with": "some parts I swapped with {}",
    "paid for by": "some of this was paid for by {}",
}  # fmt: skip
UNNAMED = {GAVE: "some of the parts were given to me, or were cheaper for me than for you", "swapped with": "some of the parts I swapped for others"}
NAMED, ALOUD = 2, 3  # on a frame, and said; others are counted


def sponsors(told):
    """Who gave something, by what they did, as disclosed and as the parts list has it.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    tuple of (str, str)
        What was done and who did it, each once, in the owner's order; a name is empty where nobody wrote it or agreed to be named. [-]
    """
    deals = [(SHOWN.get(deal.kind, GAVE), clean(deal.supplier)) for deal in told.project.file.disclosures]
    known = {name for _, name in deals}
    lines = [one.line for one in told.totals.settled if one.line.funding != "own" and not any(one.line.id in deal.lines for deal in told.project.file.disclosures)]
    shown = {line.id: clean(line.supplier) if line.supplier in named_suppliers(told.project) else "" for line in lines}
    found = deals + [(SHOWN.get(line.funding, GAVE), shown[line.id]) for line in lines if shown[line.id] not in known]
    named = [pair for pair in dict.fromkeys(found) if pair[1]]
    return tuple(named) or tuple(dict.fromkeys(found))[:1]


def sponsors_line(told):
    """Who stands behind the figures, for a frame.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    str
        One line; empty where nobody does. [-]
    """
    found = sponsors(told)
    if not found:
        return ""
    if not found[0][1]:
        return f"With parts {found[0][0].rsplit(' ', 1)[0]}"
    kinds = _grouped(found[:NAMED], lambda name: shortened(name, 650, 60, True))
    more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
    between = ", " if more else " and "
    return f"With parts {'; '.join(f'{kind} {between.join(names)}' for kind, names in kinds.items())}{more}"


def sponsors_sentence(told):
    """The same in plain words, to be said before any figure.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    str
        Empty where nobody does. [-]
    """
    found = sponsors(told)
    if not found:
        return ""
    if not found[0][1]:
        return f"Before anything else: {UNNAMED[found[0][0]]}."
    kinds = _grouped(found[:ALOUD], lambda name: name_words(name, 5))
    said = [SAID[kind].format(listed(names)) for kind, names in kinds.items()]
    more = [f"{number_words(len(found) - ALOUD)} more gave something as well"] if len(found) > ALOUD else []
    promised = ", and I promised something for it" if any(deal.in_return.strip() for deal in told.project.file.disclosures) else ""
    return f"Before anything else: {'; '.join([*said, *more])}{promised}."


def listed(names):
    """Names one after the other.

    Parameters
    ----------
    names : sequence of str
        At least one. [-]

    Returns
    -------
    str
        As `a, b and c`. [-]
    """
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def _grouped(pairs, shown):
    groups = {}
    for kind, name in pairs:
        groups.setdefault(kind, []).append(shown(name))
    return groups
