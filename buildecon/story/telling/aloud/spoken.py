"""The script: what the builder says aloud, put together from sentences to a length."""

from dataclasses import dataclass

from buildecon.story.telling.aloud.said import cost_sentences, ending_sentences, opening_sentences
from buildecon.story.telling.aloud.said_of_the_choice import choice_sentences
from buildecon.story.telling.aloud.truths import truths

WORDS_A_MINUTE = 150  # read calmly; common practice, no source
SHORT_OF, OVER = 0.935, 1.02  # of that, the least and the most
NEEDED = 10**9  # weight of what is never left out


@dataclass(frozen=True)
class Said:
    """A sentence or a few that belong together.

    Parameters
    ----------
    id : str
        What it is about. [-]
    words : str
        As it is read. [-]
    weight : int
        How much it would be missed; `NEEDED` for what is always said. [-]
    """

    id: str
    words: str
    weight: int


ALWAYS = ("opening", "sponsors", "total", "not_known", "close")
# The answers first, then what explains them; whatever stands earlier is never given up for all that follows.
RANKED = (
    "worth", "a_month", "rival", "from_today", "ways", "plan", "hours", "chance", "reader", "cheaper", "parts_alone", "movers", "longer", "cause", "systems", "waste", "recovered",
)  # fmt: skip
RESTS_ON = {"recovered": "worth", "rival": "a_month", "longer": "a_month", "from_today": "a_month", "chance": "rival", "cause": "plan", "movers": "not_known"}


def script(told, seconds):
    """What to read aloud.

    Parameters
    ----------
    told : Told
        The models of a project. [-]
    seconds : int
        How long it may take: 90 and 180 are what it is written for. [-]

    Returns
    -------
    str
        Plain text in paragraphs, without a digit or a sign; about 150 words a minute. [-]

    Raises
    ------
    ValueError
        Where there is no time for what must be said. [-]
    """
    parts = sentences(told)
    target = seconds * WORDS_A_MINUTE / 60 if seconds > 0 else 0
    least, most = round(SHORT_OF * target), round(OVER * target)
    need = sum(_length(part) for part in parts if part.weight == NEEDED)
    if not most >= need:
        raise ValueError(f"seconds must be at least {-(-need * 60 // int(OVER * WORDS_A_MINUTE)) + 1}, got {seconds:g}. What it has cost, who gave parts and what is not known take that long to say.")
    chosen = _fitting(parts, least, most)
    while lost := {id for id in chosen if RESTS_ON.get(id, id) not in chosen}:
        parts = tuple(part for part in parts if part.id not in lost)
        chosen = _fitting(parts, least, most)
    return "\n\n".join(" ".join(part.words for part in parts if part.id in chosen and group(part)) for group in PARAGRAPHS if any(part.id in chosen and group(part) for part in parts)) + "\n"


def sentences(told):
    """Everything that could be said of a project, in the order of telling.

    Parameters
    ----------
    told : Told
        Its models. [-]

    Returns
    -------
    tuple of Said
        What does not exist is left out. [-]
    """
    found = opening_sentences(told) | cost_sentences(told) | choice_sentences(told) | truths(told) | ending_sentences(told)
    return tuple(Said(id, words, _weight(id)) for id, words in found.items() if words)


def _weight(id):
    if id in ALWAYS:
        return NEEDED
    return 100 * 2 ** (len(RANKED) - RANKED.index(id)) if id in RANKED else 1


def _length(part):
    return len(part.words.split())


def _fitting(parts, least, most):
    """Ids of the parts that are missed least to leave out, their words together between the two: every sum of words looked at once."""
    best = {0: (0, ())}
    for part in parts:
        grown = {} if part.weight == NEEDED else dict(best)
        for words, (weight, ids) in best.items():
            more = words + _length(part), weight + part.weight
            if more[0] <= most and more[1] > grown.get(more[0], (-1,))[0]:
                grown[more[0]] = more[1], (*ids, part.id)
        best = grown
    # The longest there is, where a project has less to say than the time allows.
    able = {words: one for words, one in best.items() if words >= least} or {max(best): best[max(best)]}
    return set(max(able.values(), key=lambda one: one[0])[1])


_OPENING, _COST = {"opening", "sponsors"}, {"total", "parts_alone", "systems", "waste", "plan", "cause", "hours", "reader"}
_END = {"not_known", "movers", "close"}
PARAGRAPHS = (
    lambda part: part.id in _OPENING,
    lambda part: part.id in _COST,
    lambda part: part.id in {"worth", "recovered"},
    lambda part: part.id in {"a_month", "longer", "rival", "chance"},
    lambda part: part.id in {"from_today", "ways", "cheaper"},
    lambda part: part.id.startswith("truth"),
    lambda part: part.id in _END,
)
