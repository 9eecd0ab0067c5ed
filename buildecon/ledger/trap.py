"""One way in which figures could mislead, and how it looks once its owner has overruled it."""

from dataclasses import dataclass, replace

from buildecon.project.honesty import TRAPS


@dataclass(frozen=True)
class Trap:
    """One way the figures could mislead.

    Parameters
    ----------
    id : str
        The word it is overruled by, one of `TRAPS`. [-]
    figure : str
        What the files show. [-]
    cure : str
        What to do, or to say. [-]
    overruled : str
        The owner's reason to let it stand; empty where there is none. [-]
    """

    id: str
    figure: str
    cure: str
    overruled: str = ""

    @property
    def name(self):
        """In a few words."""
        return TRAPS[self.id]


def with_reasons(project, found):
    """Traps with the owner's reasons on those that were overruled.

    Parameters
    ----------
    project : Project
        With its `[[overruled]]`. [-]
    found : iterable of Trap
        As they were found. [-]

    Returns
    -------
    tuple of Trap
        All of them, in the same order. [-]
    """
    reasons = {one.trap: one.because for one in project.file.overruled}
    return tuple(replace(trap, overruled=reasons.get(trap.id, "")) for trap in found)


def in_money(project, amount):
    """An amount of a trap with its currency.

    Parameters
    ----------
    project : Project
        For its currency. [-]
    amount : Decimal
        Any. [money]

    Returns
    -------
    str
        As `2,010 USD`. [-]
    """
    return f"{amount:,.0f} {project.currency}"
