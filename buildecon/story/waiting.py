"""What is said while something takes long: one line on a terminal, a turning wheel on a page."""

import sys
from contextlib import contextmanager, nullcontext
from threading import Timer

PATIENCE = 1.0  # seconds that nobody needs to be told of
# Of what a page works out anew at every touch: from how many on it takes about a second, and what is said then.
CHANCES, JOBS = (60, "Working out the chances ..."), (120, "Looking for the best set of jobs ...")


@contextmanager
def told(words):
    """One line on the error channel while the work takes more than a second; none where that is no terminal.

    Parameters
    ----------
    words : str
        What is being worked out; empty for nothing. [-]

    Returns
    -------
    context manager
        For the work. [-]
    """
    if not words or not sys.stderr.isatty():
        yield
        return
    line = Timer(PATIENCE, print, (words,), {"file": sys.stderr, "flush": True})
    line.daemon = True
    line.start()
    try:
        yield
    finally:
        line.cancel()


def turning(spinner, long, count):
    """A wheel on a page while a long list is worked out; none for a short one, which would only flicker.

    Parameters
    ----------
    spinner : callable
        The page's own, from a title to a context manager. [-]
    long : tuple of (int, str)
        `CHANCES` or `JOBS`. [-]
    count : int
        How many there are: figures that are not known, or jobs. [-]

    Returns
    -------
    context manager
        For the work. [-]
    """
    most, words = long
    return spinner(title=words) if count > most else nullcontext()
