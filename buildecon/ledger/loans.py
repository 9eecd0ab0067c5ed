"""The interest of money borrowed for the build, by month; what is paid off is no cost."""

from calendar import monthrange
from datetime import date
from decimal import Decimal

from buildecon.quantities.money import to_cents


def interest_id(loan):
    """Id of the line that holds the interest of a loan.

    Parameters
    ----------
    loan : ProjectLoan
        With its name. [-]

    Returns
    -------
    str
        No line of the owner's may have it. [-]
    """
    return f"loan {loan.name}"


def is_interest(line):
    """Whether a line was worked out from a loan.

    Parameters
    ----------
    line : Line
        Any. [-]

    Returns
    -------
    bool
        Such a line stands in no file. [-]
    """
    return line.nature == "finance" and line.system == "Finance" and line.id.startswith("loan ") and not line.row


def interest_by_month(loan, as_of):
    """Interest paid up to a day.

    Parameters
    ----------
    loan : ProjectLoan
        Repaid in level payments, one a month, at a twelfth of its rate. [money]
    as_of : date
        The last day that counts. [-]

    Returns
    -------
    dict of str to Decimal
        By month, as `2026-03`; running sums are rounded, so that the whole is right to the cent. [money]

    References
    ----------
    Level payment ``P = B i / (1 - (1 + i)**-n)``, as in numpy-financial's `pmt`; interest of a month is ``i`` times what is still owed.
    """
    rate, owed = loan.rate.likely / 12, loan.amount.likely
    payment = owed * rate / (1 - (1 + rate) ** -loan.months) if rate else owed / loan.months
    months, exact, shown = {}, Decimal(0), Decimal(0)
    for k in range(loan.months):
        year, month = divmod(loan.first_payment.year * 12 + loan.first_payment.month - 1 + k, 12)
        if date(year, month + 1, min(loan.first_payment.day, monthrange(year, month + 1)[1])) > as_of:
            break
        exact += owed * rate
        owed -= payment - owed * rate
        months[f"{year:04}-{month + 1:02}"] = to_cents(exact) - shown
        shown = to_cents(exact)
    return months
