"""What is true of every build, in the builder's words."""


def truths(told):
    """What is true of every build, to fill the time where a project has less to say.

    Parameters
    ----------
    told : Told
        The models of a project. [-]

    Returns
    -------
    dict of str to str
        Numbered. [-]
    """
    said = [
        "One build has many costs, and each is right for somebody. The parts, the bills, the car with them, my hours. The trick is to say which one you mean.",
        "Money that is spent is spent. It is in no decision about what comes next, however much it hurts.",
        "If you keep your own list, write down the small things too. It is never the engine that surprises you; it is the hundred little bags of bolts.",
        "I am not doing this to talk anybody out of building, least of all myself. I only want to know what the fun costs.",
        "A guess that says it is a guess is worth more than a number that does not.",
        "Prices move. If you watch this much later, look at the date before you use a number.",
        "If you find a mistake, tell me. I will put it right where everybody can see it.",
        "And none of this is advice on money or on tax. It is arithmetic on my own receipts, and yours will look different.",
        "A car that is driven wears. What will have to be replaced is a cost, even while it still works.",
        "Keeping a list is dull. It takes an evening now and then, and it is the only way to know.",
        "You can be happy with a car that loses money. You are just happier when you knew it before.",
        "An hour in the garage is worth something too. I only say that it is not money.",
        "Ask what a build has cost, and most people say the price of the big part. That is never the answer.",
        "Ask two builders for a number and you get three. Ask them what is in it, and you learn something.",
        "The car does not care what it cost. The bank does, and so does whoever shares the kitchen table with you.",
    ]
    asked = any(read.row.kind in ("asking", "dealer") and read.reading == "margin" for read in told.stand.market.counted)
    said += ["A price in an advert is not a sale. Somebody has to pay it first, so I count it for less."] if asked else []
    return {f"truth {k}": words for k, words in enumerate(said)}
