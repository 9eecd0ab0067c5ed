"""What a price becomes: landed at the door, drifted since the quote."""


from buildecon.quantities.money import to_cents


def landed_cost(goods, freight, insurance, duty_rate, tax_rate, handling):
    """Cost of an import at the door: duty on goods with freight and insurance, then tax on all of that with the duty.

    Parameters
    ----------
    goods, freight, insurance : Decimal
        In home currency. [money]
    duty_rate, tax_rate : Decimal
        Fractions of their bases, for the goods, the origin and the date. [-]
    handling : Decimal
        The agent's fee, not taxed again here. [money]

    Returns
    -------
    duty, tax, total : Decimal
        Each to the cent. [money]

    Notes
    -----
    The order used in the EU and the UK. Elsewhere duty may be on the goods alone: put freight and insurance in as handling then.
    """
    base = goods + freight + insurance
    duty = to_cents(base * duty_rate)
    tax = to_cents((base + duty) * tax_rate)
    return duty, tax, base + duty + tax + handling


def price_drift(before, after):
    """Rise of a price as a share of what it was.

    Parameters
    ----------
    before, after : Decimal
        Price on two dates; `before` above 0. [money]

    Returns
    -------
    Decimal
        Below 0 where it fell. [-]
    """
    if not before > 0:
        raise ValueError(f"before must be above 0, got {before}.")
    return after / before - 1
