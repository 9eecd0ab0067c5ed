"""Numbers between two ends; what is outside them, or is no number, is refused."""

import numpy as np


def within(name, values, low=None, high=None):
    """Numbers as floats, each of them finite and between two ends.

    Parameters
    ----------
    name : str
        What they are called in the message. [-]
    values : array_like, shape (...)
        To look at. [-]
    low, high : float, optional
        The ends, both allowed; none where left out. [-]

    Returns
    -------
    ndarray or float, shape (...)
        The same numbers. [-]

    Raises
    ------
    ValueError
        With the first that is outside.

    Examples
    --------
    >>> print(within("years", [0, 2.5], low=0))
    [0.  2.5]
    """
    found = np.asarray(values, dtype=float)
    good = np.isfinite(found)
    good &= True if low is None else found >= low
    good &= True if high is None else found <= high
    if not np.all(good):
        rule = " and ".join(f"at {word} {end:,}" for word, end in (("least", low), ("most", high)) if end is not None)
        raise ValueError(f"{name} must be {rule or 'finite'}, got {found[~good].flat[0]:,}.")
    return found[()]
