"""Sentences as the builder says them, of the cost, its worth, and of what is not known."""

from buildecon.ledger.variance import waterfall
from buildecon.project.records import RUNG_IDS
from buildecon.story.input_words import input_words
from buildecon.story.telling.aloud.name_words import name_words
from buildecon.story.telling.aloud.number_words import CURRENCIES, date_words, money_words, number_words, round_words, span_words
from buildecon.story.telling.sponsors import sponsors_sentence
from buildecon.story.telling.told import is_unspent
from buildecon.story.worth_words import OFTEN

BECAUSE = {
    "dearer than planned": "things that simply cost more than I had thought", "price list rose": "prices that went up before I bought", "currency": "the exchange rate",
    "quantity": "needing more of something than I had counted", "omitted from plan": "things I had left out of the plan altogether", "scope added": "ideas I added on the way",
    "hidden damage": "damage nobody could see beforehand", "rework": "work that had to be done twice", "defective part": "parts that were faulty", "wrong part": "parts that were wrong",
    "bought twice": "things bought twice", "lost core": "deposits on old parts that never came back", "delay": "time, which costs money too", "tax or fee": "taxes and fees",
}  # fmt: skip
RUNGS = {
    "parts_on_car": "the parts on the car, and nothing else", "with_outside_work": "the parts and the shops, and nothing else", "with_consumables": "parts, shops, fluids, freight and tax",
    "with_waste": "all that went into the car, mistakes included", "with_tools": "all that went into the car, with mistakes and tools",
    "project_cash": "all that was paid, before money that came back, and without the car itself", "project_cash_net": "all that was paid, less what came back, and without the car itself",
    "with_own_hours": "everything in it, the car and my own hours as well", "at_street_price": "what you would pay for all of it, because nobody gives you parts",
    "at_list_price": "what all of it costs at the prices in the list", "replacement_today": "what it would cost to do it all again today",
}  # fmt: skip
NATURE = {"owned": "what the car was worth when I began", "bought": "what I paid for the car itself"}


def opening_sentences(told):
    """What is said first: what this is, and who gave parts.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    dict of str to str
        By what it is about; empty words for what does not exist. [-]
    """
    name, day = name_words(told.project.file.build.name, 10), date_words(told.as_of)
    return {
        "opening": f"This is {name}, and this is what it really costs, in round figures, on {day}.",
        "sponsors": sponsors_sentence(told),
    }


def cost_sentences(told):
    """What it has cost, why, and what it is worth.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    dict of str to str
        By what it is about; empty words for what does not exist. [-]
    """
    return {
        "total": _total(told), "parts_alone": _parts_alone(told), "systems": _systems(told), "waste": _waste(told), "plan": _plan(told), "cause": _cause(told),
        "hours": _hours(told), "reader": _reader(told), "worth": _worth(told), "recovered": _recovered(told),
    }  # fmt: skip


def _money(told, value, figures=2):
    return money_words(float(value), told.currency, figures)


def _total(told):
    build, quoted, totals = told.project.file.build, told.quoted, told.totals
    if is_unspent(told):
        planned = waterfall(totals.settled).planned
        return f"Nothing is spent yet. The plan says {_money(told, planned)}." if planned else "Nothing is spent yet, and no plan is written."
    stage = "" if build.stage == "finished" else " so far"
    if quoted.id != "stands_in_at":
        other = f" {_myself(quoted.id)} {_money(told, totals['stands_in_at'])}." if round(totals["stands_in_at"]) != round(quoted.amount) else ""
        return f"The number I quote is {_money(told, quoted.amount)}{stage}. That is {RUNGS[quoted.id]}.{other}"
    car = f", with {NATURE[build.base_car]}" if totals["stands_in_at"] > totals["project_cash_net"] else ""
    return f"It stands me in at {_money(told, quoted.amount)}{stage}. That is everything in it: all that was paid, less what came back{car}."


def _myself(rung):
    """What leads over from the rung quoted to what the car stands in at."""
    if rung == "with_own_hours":
        return "Without the hours it stands me in at"
    return "With everything in it, the car as well, it stands me in at" if RUNG_IDS.index(rung) < RUNG_IDS.index("stands_in_at") else "What I have in it myself, the car as well, is"


def _parts_alone(told):
    parts, quoted = told.totals["parts_on_car"], told.quoted.amount
    return f"The parts alone were {_money(told, parts)}. If that is the number somebody tells you, ask what is missing." if 0 < parts < 0.9 * float(quoted) else ""


def _systems(told):
    groups = [group for group in told.totals.systems if group.actual > 0]
    if len(groups) < 3:
        return ""
    most = max(groups, key=lambda group: group.actual)
    return f"The largest share, {_money(told, most.actual)}, went into one thing: {name_words(most.name, 6)}."


def _waste(told):
    waste = told.totals["with_waste"] - told.totals["with_consumables"]
    there = "of it" if RUNG_IDS.index(told.quoted.id) >= RUNG_IDS.index("with_waste") else "more, not in that number,"
    return f"{first_up(_money(told, waste))} {there} was waste: work done again, things bought twice, money lost on returns. Everybody has that line. Few people show it." if waste > 0 else ""


def _plan(told):
    fall = told.fall
    over = fall.actual - fall.planned
    if not (fall.planned and fall.actual):
        return ""
    ended = "So far it has come to" if told.project.file.build.stage != "finished" else "It came to"
    how = f"{_money(told, over)} {'over' if over > 0 else 'under'}" if over else "on the plan exactly"
    plan = "For what is begun, my plan said" if told.project.file.build.stage == "in progress" else "My plan said"
    return f"{plan} {_money(told, fall.planned, 3)}. {ended} {_money(told, fall.actual, 3)}, before money that came back: {how}."


def _cause(told):
    fall = told.fall
    dear = [step for step in fall.steps if step.amount > 0 and step.cause in BECAUSE]
    if not dear:
        return ""
    lead = "What added most was" if fall.actual <= fall.planned else "The largest reason was" if dear[0] is fall.steps[0] else "The largest reason I wrote down was"
    return f"{lead} {BECAUSE[dear[0].cause]}: {_money(told, dear[0].amount)}."


def _hours(told):
    hours, convention = float(told.project.hours_spent.likely), told.project.file.own_hours.convention
    if not hours:
        return ""
    noun = "hour" if hours == 1 else "hours"
    if told.quoted.id == "with_own_hours":
        counted = "are in that at nothing, because this is my hobby" if convention == "hobby" else "are counted in that"
        return f"{first_up(round_words(hours))} {noun} of my own {counted}."
    how = "I do not put a price on them; this is my hobby." if convention == "hobby" else "Paid for, they would make it a good deal dearer."
    return f"Then there {'is' if hours == 1 else 'are'} {round_words(hours)} {noun} of my own. They are not in that number. {how}"


def _reader(told):
    extra = told.totals["at_street_price"] - told.totals["stands_in_at"]
    return f"You would pay {_money(told, extra)} more than I did, because nobody gives you parts." if extra > 0 else ""


def _worth(told):
    stand, one = told.stand, told.stand.stands_in
    if told.project.file.build.stage == "planned":
        return ""
    low, likely, high = stand.price
    if not likely > 0:
        return ""
    said = f"Sold as it stands today, it would bring {_money(told, likely)}"
    said += f"; {_often(stand.market.level)}, {span_words(low, high, told.currency)}." if stand.by_market and stand.market.counted else f". That is my own guess; {_behind(told)}"
    if not round(one.likely):
        return f"{said} That is just what it stands me in at."
    side = "upside down. That money is not coming back" if one.likely < 0 else "to the good, before the cost of selling it"
    return f"{said} So I am {_money(told, one.likely)} {side}."


def _behind(told):
    """What the market says where it does not speak of today."""
    market = told.stand.market
    if market.value is None or not market.counted:
        return "there is no market behind it yet."
    value = market.value
    return f"the market knows such cars finished only, and finished it would bring {_money(told, value.likely)}; {_often(market.level)}, {span_words(value.low, value.high, told.currency)}."


def _often(level):
    return OFTEN.get(round(level, 3), f"{number_words(round(100 * level))} times out of a hundred")


def _recovered(told):
    share = told.stand.stands_in.recovered
    if share is None or not 0.01 <= share < 1 or told.project.file.build.stage == "planned":
        return ""
    return f"Put another way: of every hundred {CURRENCIES.get(told.currency, ('', ' '.join(told.currency)))[1]} I put in, a buyer would give me back {round_words(100 * share)}."


def ending_sentences(told):
    """What is not known, and the last word.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    dict of str to str
        By what it is about. [-]
    """
    return {
        "not_known": "What do I not know? What a buyer would really pay, what breaks next, and how long I will keep it.", "movers": _movers(told), "close": "That is what I know today.",
    }  # fmt: skip


def _movers(told):
    """The one or two figures that the answer hangs on most."""
    doubts = told.verdict.forward.doubts
    if doubts is None:
        return ""
    order = sorted(range(len(doubts.shares)), key=lambda k: -doubts.shares[k])[:2]
    names = [_input(doubts.inputs[k]) for k in order if doubts.shares[k] > 0.01]
    return f"What the comparison hangs on most: {' and '.join(names)}." if names else ""


def _input(one):
    words = input_words(one).replace(" you", " I").replace("your ", "my ")
    return name_words(words.replace(", ", " for ", 1) if one.id.startswith("options") else words, 14)


def first_up(text):
    """A text that begins a sentence.

    Parameters
    ----------
    text : str
        Any. [-]

    Returns
    -------
    str
        With a capital first. [-]
    """
    return text[:1].upper() + text[1:]
