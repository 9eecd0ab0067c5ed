"""Exact money: currency codes, cents, and splitting a price without losing one."""

from decimal import ROUND_HALF_UP, Decimal
from math import floor

CENT = Decimal("0.01")

# ISO 4217 alphabetic codes in use, from memory; precious metals, funds and test codes left out.
CURRENCIES = frozenset(
    """AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF
    CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG
    HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA
    MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD
    RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX
    USD UYU UZS VED VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW ZWG""".split()
)


def to_cents(amount):
    """Amount rounded to whole cents, halves away from zero.

    Parameters
    ----------
    amount : Decimal
        Any amount. [money]

    Returns
    -------
    Decimal
        With two decimals. [money]
    """
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def converted(amount, rate):
    """Foreign amount in home currency at the rate of its own date.

    Parameters
    ----------
    amount : Decimal
        In the foreign currency. [money]
    rate : Decimal
        Home currency for one unit of the foreign one. [-]

    Returns
    -------
    Decimal
        To the cent. [money]
    """
    return to_cents(amount * rate)


def split(total, weights):
    """One price over several parts by weight, keeping the total to the cent.

    Every part is rounded down to the cent; the cents left over go to the parts that lost most, the earlier one first.

    Parameters
    ----------
    total : Decimal
        What was paid for all; below 0 for money back. [money]
    weights : sequence of Decimal
        List prices, weights or ones; not all zero. [-]

    Returns
    -------
    list of Decimal
        One amount a weight; their sum is `total`. [money]

    Raises
    ------
    ValueError
        If a weight is negative, or all are zero.

    Examples
    --------
    >>> [str(part) for part in split(Decimal("100.00"), [Decimal(1)] * 3)]
    ['33.34', '33.33', '33.33']
    """
    whole = sum(weights)
    if not weights or not whole > 0 or min(weights) < 0:
        raise ValueError(f"weights must be at least 0 with one above 0, got {[str(w) for w in weights]}.")
    cents = int(to_cents(total) / CENT)
    shares = [cents * weight / whole for weight in weights]
    parts = [floor(share) for share in shares]
    by_loss = sorted(range(len(parts)), key=lambda k: parts[k] - shares[k])
    for k in by_loss[: cents - sum(parts)]:
        parts[k] += 1
    return [part * CENT for part in parts]
