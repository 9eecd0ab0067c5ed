"""What the frame of value says and shows."""

from buildecon.story.telling.drawn.pictures import Valued, worth_picture
from buildecon.story.telling.drawn.scenes import Scene
from buildecon.story.words import amount
from buildecon.story.worth_words import gap_text, often_text, price_text, spread_text

MOST_CARS = 40  # dots of evidence


def worth_scene(told):
    """Value, its range and evidence, and how far upside down.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    Scene or None
        None for a build only planned, or where nothing says what it is worth. [-]
    """
    stand, currency, one = told.stand, told.currency, told.stand.stands_in
    low, likely, high = stand.price
    known = stand.by_market
    if (not known and likely <= 0) or told.project.file.build.stage == "planned":
        return None
    price = price_text(likely, currency) if known else amount(likely, currency)
    side = "upside down" if one.likely < 0 else "to the good"
    gap = f"{gap_text(one.likely, known)} {currency}"
    title = f"It would sell for about {price}: I am {gap} {side}" if round(one.likely) else f"It would sell for about {price}, just what it stands me in at"
    cars = _cars(stand.market) if known else ()
    sold = sum(sold for _, sold in cars)
    span = f"{often_text(stand.market.level).capitalize()}: {spread_text(low, high)} {currency}"
    if not (known and stand.market.counted):
        span = _own_figure(stand)
    dots = f"Each dot a car like it: {sold} sold (filled), {len(cars) - sold} not (rings)" if cars else ""
    words = (f"stands me in at {amount(one.outlay, currency)}", f"worth about {price}", f"{gap} {side}" if round(one.likely) else "", span, dots)
    valued = Valued(max(one.outlay, 0.0), max(low, 0.0), max(likely, 0.0), max(high, 0.0), cars, words)
    note = "As it stands today, before the cost of selling." if told.project.file.build.stage != "finished" else "Before the cost of selling."
    return Scene("worth", title, note, tuple(filter(None, words)), lambda space: worth_picture(space, valued))


def _own_figure(stand):
    """What is said of a price that no market is behind, or one of finished cars only."""
    currency, finished = stand.project.currency, stand.market.value
    if stand.by_market or not (finished and stand.market.counted):
        spread = f", {spread_text(stand.price[0], stand.price[2])} {currency}" if stand.by_market else ""
        return f"My own guess{spread}: the market has not been asked yet"
    return f"My own figure. Finished it would bring about {price_text(finished.likely, currency)}, {often_text(stand.market.level)} {spread_text(finished.low, finished.high)}."


def _cars(market):
    """What each car of the evidence says of this one, the first ones of a long list; a bound counts at its end."""
    said = []
    for read, (low, high) in zip(market.counted, market.as_this_car, strict=True):
        ends = [end for end in (low, high) if 0 < end < float("inf")]
        if ends:
            said.append((sum(ends) / len(ends), read.row.kind in ("sold", "sold untold")))
    return tuple(said[:MOST_CARS])
