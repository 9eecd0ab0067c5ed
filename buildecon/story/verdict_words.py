"""The verdict in plain sentences: what to do, and the page that says why."""

from buildecon.decision.verdict import SAME
from buildecon.story.doubt_words import chance_sentence, chance_words, change_words, few_ranges, finding_out_sentences, more_text
from buildecon.story.words import amount, called, joy_by, years_text

# What to do by stage: for the build, for another, and for the joy of it.
ACTS = {
    "planned": ("Build it", "Have {} instead", "build it"), "in progress": ("Finish it and keep it", "Sell it and have {}", "keep it"),
    "finished": ("Keep it", "Sell it and have {}", "keep it"),
}  # fmt: skip


def verdict_sentence(found):
    """The verdict in one sentence.

    Parameters
    ----------
    found : Verdict
        Of a project. [-]

    Returns
    -------
    str
        What to do and why, money and joy apart. [-]
    """
    failed = "; ".join(gate.reason for gate in found.build_fails)
    if found.forward.call == "alone":
        return _alone(found, failed)
    return _call(found) + (f" But the build itself fails a must-have: {failed}." if failed else "")


def _call(found):
    side, currency = found.forward, found.project.currency
    do, instead, joy = ACTS[found.project.file.build.stage]
    rival, kept = called(side.rival.name), f"kept {years_text(side.years)}"
    if side.call == "too close to call":
        even = "" if side.chance is None else f", and the chance that the build is the cheaper is {chance_words(side.chance[0])}"
        return f"Too close to call: {kept}, the build and {rival} are {amount(abs(side.more), currency)} a month apart{even}. Let the joy decide."
    same = abs(side.more) < SAME
    costs = "as much a month" if same else f"{amount(abs(side.more), currency)} a month {'less' if side.more < 0 else 'more'}"
    if side.call == "build":
        return f"{do}: from here it costs {costs} {'as' if same else 'than'} {rival}, {kept}{_that_it_stays_so(side)}."
    return f"{instead.format(rival)} if money decides: the build costs {costs}, {kept}{_that_it_stays_so(side)}; {joy} if the joy is worth that."


def _that_it_stays_so(side):
    """The chance of a call; where the likely figures say another thing, they are told to be only that."""
    if side.chance is None:
        return ""
    chance = chance_words(max(side.chance[0], 1 - side.chance[0]))
    if abs(side.more) >= SAME and (side.call == "build") == (side.more < 0):
        return f", and the chance that it stays so is {chance}"
    return f", by the likely figures; but the chance that it is the {'cheaper' if side.call == 'build' else 'dearer'} over their ranges is {chance}"


def _alone(found, failed):
    """The verdict where there is nothing to choose between."""
    if found.forward.comparison.rivals():
        nothing_else = "nothing else meets every must-have"
    else:
        nothing_else = "nothing else can be had from today" if found.whole.comparison.rivals() else "no other option is written to set it against; add one under [[options]]"
    if failed:
        return f"No verdict: the build fails a must-have ({failed}), and {nothing_else}."
    return f"{ACTS[found.project.file.build.stage][0]}: {nothing_else}."


def verdict_lines(found):
    """The verdict on one page.

    Parameters
    ----------
    found : Verdict
        Of a project. [-]

    Returns
    -------
    list of tuple of str
        What is asked, and the answer. [-]
    """
    currency, whole, today = found.project.currency, found.whole, found.today
    few = [("How sure that is", text) for text in few_ranges(found.forward)] if found.forward.doubts is not None else []
    return [
        ("Money, from today", _money(today, currency)),
        ("Money, the whole story", _money(whole, currency)),
        ("Chance, from today", chance_sentence(today)),
        ("Chance, the whole story", chance_sentence(whole)),
        *few,
        ("Joy", _joy(whole, currency)),
        ("What failed", ". ".join(_failed(found)) + "." if _failed(found) else "Nothing: every option meets every must-have."),
        ("Find out next", finding_out_sentences(found.forward)[0]),
        ("Look again", look_again(found)),
    ]


def _money(side, currency):
    if side.rival is None:
        return "Nothing else meets every must-have."
    return f"The build costs {more_text(side.more, currency)} a month than {called(side.rival.name)}, kept {years_text(side.years)}."


def _joy(side, currency):
    if side.rival is None:
        return "No price of joy: nothing else meets every must-have."
    if side.more <= 0:
        return "The joy is free: over the whole story the build is the cheap choice."
    spread = joy_by(side.comparison, side.more, side.years)
    each = "" if spread["per_drive_day"] is None else f", {amount(spread['per_drive_day'], currency, 2)} a drive day"
    return f"The joy costs {amount(side.more, currency)} a month over the whole story{each}. Whether it is worth that is yours to say; it is in no sum above."


def _failed(found):
    comparison = found.whole.comparison
    return [f"{option.name}: {gate.reason}" for option, gates in zip(comparison.options, comparison.gates, strict=True) for gate in gates if not gate.passes]


def look_again(found):
    """When the answer should be looked at again.

    Parameters
    ----------
    found : Verdict
        Of a project. [-]

    Returns
    -------
    str
        The nearest changes that turn it, and a day. [-]
    """
    day = found.project.file.build.as_of
    later = f"{day:%d %B} {day.year + 1}"
    if found.forward.rival is None:
        return f"By {later}, when these prices are a year old, or when another option can be had."
    near = [turning for turning in found.forward.changes if abs(turning.share_of_range) < 0.5][:2]
    told = " or ".join(change_words(turning, found.project) for turning in near)
    return (f"When this turns the answer: {told}; else" if told else "No single number inside the ranges searched turns it; look again") + f" by {later}, when these prices are a year old."
