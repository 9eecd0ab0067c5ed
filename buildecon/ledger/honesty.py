"""Ways in which a total can mislead that the ledger itself can see, each with its figure and its cure."""

from buildecon.ledger import flattered_totals, flattering_words, slips
from buildecon.ledger.trap import with_reasons

CHECKS = (*slips.FIRST, *flattered_totals.CHECKS, *slips.CHECKS, *flattering_words.CHECKS)


def traps(project, totals):
    """Everything about a ledger that a reader should not be left to find out.

    Parameters
    ----------
    project : Project
        The files. [-]
    totals : Ladder
        Its totals. [money]

    Returns
    -------
    tuple of Trap
        In the order in which readers ask; what the owner has overruled has its reason. [-]
    """
    return with_reasons(project, (trap for check in CHECKS for trap in check(project, totals)))
