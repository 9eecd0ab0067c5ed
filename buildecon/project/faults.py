"""Everything that is wrong with a project folder, said at once, each fault with its place and its cure."""

from dataclasses import dataclass
from difflib import get_close_matches

NEAR = 0.65  # share of letters in common; below it a name is a guess, and the list of names helps more: common practice, no source
MOST_NAMES = 30  # shown in one message; a project may have thousands of ids


NO_FOLDER = "must be a project folder with build.toml and lines.csv in it."
NO_TEXT = "Copy one from a demo folder and change it."
NO_FILE = f"must be there, and is missing. {NO_TEXT}"


@dataclass(frozen=True, order=True)
class Fault:
    """One thing to put right.

    Parameters
    ----------
    file : str
        Name of the file in the project folder. [-]
    line : int
        Line of that file, 0 where it has none. [-]
    column : str
        Column or key as the owner wrote it, may be empty. [-]
    message : str
        The rule, the value that breaks it, and what to do. [-]
    """

    file: str
    line: int
    column: str
    message: str

    def __str__(self):
        place = f"{self.file} line {self.line}" if self.line else self.file
        return f"{place}, {self.column}: {self.message}" if self.column else f"{place}: {self.message}"


class ProjectFaults(Exception):
    """Raised with every fault found in a project folder.

    Parameters
    ----------
    faults : iterable of Fault
        At least one. [-]
    """

    def __init__(self, faults):
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))


class Wrong(ValueError):
    """A rule that a value breaks; the reader adds the value and its place.

    Parameters
    ----------
    rule : str
        What the value must be, put positively. [-]
    cure : str, optional
        What to do about it. [-]
    """

    def __init__(self, rule, cure=""):
        self.rule, self.cure = rule, cure
        super().__init__(rule)


def wrong(rule, got, cure=""):
    """Message of a fault: the rule, the value, the cure.

    Parameters
    ----------
    rule : str
        What the value must be. [-]
    got : object
        What it is. [-]
    cure : str, optional
        What to do. [-]

    Returns
    -------
    str
        One or two sentences. [-]
    """
    return f"must be {rule}, got {_shown(got)[:80]}." + (f" {cure}" if cure else "")


def _shown(value):
    """A value about as the owner wrote it."""
    if isinstance(value, str):
        return repr(value)
    if isinstance(value, bool):
        return str(value).lower()
    return "{ " + ", ".join(f"{name} = {_shown(part)}" for name, part in value.items()) + " }" if isinstance(value, dict) else f"{value}"


def nearest(name, known):
    """The known name that was probably meant.

    Parameters
    ----------
    name : str
        What the owner wrote; capitals do not matter. [-]
    known : iterable of str
        What could have been meant. [-]

    Returns
    -------
    str
        Empty where none is near. [-]
    """
    for plain in (str.lower, _in_order):
        small = {plain(one): one for one in known if one}
        if found := get_close_matches(plain(name), list(small), n=1, cutoff=NEAR):
            return small[found[0]]
    return ""


def _in_order(name):
    """Its words in order of the alphabet: 'refused offer' is 'offer refused'."""
    return " ".join(sorted(name.lower().replace("_", " ").split()))


def unknown_name(name, known):
    """Message for a name that is not known, with the nearest one that is.

    Parameters
    ----------
    name : str
        What the owner wrote. [-]
    known : iterable of str
        What could have been meant. [-]

    Returns
    -------
    str
        One sentence. [-]
    """
    if near := nearest(name, known):
        return f"is not a known name. Did you mean {near!r}?"
    names = sorted(known)
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return f"is not a known name. Known names: {', '.join(names[:MOST_NAMES]) or 'none'}{more}."
