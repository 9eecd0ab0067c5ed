"""What to find out next: what it would be worth to know everything, or any one thing, before choosing."""

from dataclasses import dataclass

import numpy as np

from buildecon.decision.smoothing import FEWEST, smooth
from buildecon.quantities.bounds import within

KNOTS = 6
KNOTS_OF_A_SHARE = 12  # a share of the variance wants the shape of the curve, a choice only where it changes sign
STANDARD_ERRORS = 2


@dataclass(frozen=True)
class Worth:
    """What finding out each input would be worth.

    Parameters
    ----------
    worth : ndarray, shape (d,)
        By the curve through all draws: close, but above 0 even for what does not matter when the options are close. [money]
    cross_validated : ndarray, shape (d,)
        What choosing by a curve through other draws would have brought; mostly below 0 for what does not matter. [money]
    error : ndarray, shape (d,)
        Standard error of that. [money]
    shown : ndarray, shape (d,)
        The worth, or 0 unless the cross-validated figure is above two of its standard errors. [money]
    """

    worth: np.ndarray
    cross_validated: np.ndarray
    error: np.ndarray
    shown: np.ndarray


def perfect_information(benefit):
    """What it would be worth to know everything before choosing.

    Parameters
    ----------
    benefit : array_like, shape (options, n)
        Of each option in each draw; costs go in below 0. [money]

    Returns
    -------
    float
        Mean of the best less the best mean; no quote or inspection is worth more. [money]

    Notes
    -----
    E[max over options] - max over options E.

    References
    ----------
    Raiffa and Schlaifer, *Applied Statistical Decision Theory*, 1961, chapter 4 (from memory).

    Examples
    --------
    >>> print(f"{perfect_information([[0, 0], [-300, 100]]):.0f}")
    50
    """
    ahead = _over_the_best(benefit)
    return float(np.maximum(ahead, 0).max(axis=0, initial=0).mean())


def worth_finding_out(inputs, benefit):
    """What it would be worth to know each input by itself before choosing.

    Parameters
    ----------
    inputs : array_like, shape (d, n)
        Draws of each; they may move together. [-]
    benefit : array_like, shape (options, n)
        Of each option in the same draws; costs go in below 0. [money]

    Returns
    -------
    Worth
        For each input. They do not add up to what knowing everything is worth. [money]

    Raises
    ------
    ValueError
        If something is not finite, the draws are not as many, or fewer than 128.

    Notes
    -----
    E[max over options of E[benefit | input]] - max over options E, the inner mean by a cubic spline with 6 knots through the one sample; never more than
    perfect information. The guard is the cross-validated figure, not the worth itself: the curve follows the noise of the draws it is drawn through and
    then chooses by it, so the worth of what does not matter is never below 0 and its own scatter would not give it away. A curve through other draws
    gains nothing by that noise. Its error is that of independent draws, too wide for even points, so rather too little is shown than too much: with 4,096
    even points and options that are close, what is worth a tenth of perfect information is mostly shown, what is worth a twentieth is not.

    References
    ----------
    Strong, Oakley and Brennan, "Estimating multiparameter partial expected value of perfect information from a probabilistic sensitivity analysis sample:
    a nonparametric regression approach", *Medical Decision Making* 34 (2014), abstract: one sample is enough.
    """
    inputs, ahead = _draws(inputs, benefit)
    d, n = inputs.shape
    if not len(ahead):
        return Worth(*np.zeros((4, d)))
    fitted, left_out, seen = smooth(inputs, ahead, KNOTS)
    worth = np.maximum(fitted, 0).max(axis=-2).sum(axis=(1, 2, 3)) / n
    chosen = left_out.argmax(axis=-2)[..., None, :]
    gained = np.where(left_out.max(axis=-2) > 0, np.take_along_axis(seen, chosen, axis=-2)[..., 0, :], 0)
    mean = gained.sum(axis=(1, 2, 3)) / n
    error = np.sqrt(np.maximum((gained**2).sum(axis=(1, 2, 3)) / n - mean**2, 0) / (n - 1))
    worth = np.minimum(worth, np.maximum(ahead, 0).max(axis=0).mean())
    return Worth(worth, mean, error, np.where(mean > STANDARD_ERRORS * error, worth, 0.0))


def first_order(inputs, figure):
    """Share of a figure's variance that goes with each input.

    Parameters
    ----------
    inputs : array_like, shape (d, n)
        Draws of each; they may move together. [-]
    figure : array_like, shape (n,)
        What came of them. [money]

    Returns
    -------
    ndarray, shape (d,)
        Variance of the figure's mean given the input, by that of the figure; 0 where nothing varies. Of what moves together, each has the whole. [-]

    Notes
    -----
    Var(E[figure | input]) / Var(figure), the mean by a cubic spline with 12 knots. Of independent draws, what does not matter comes out near 15 / n.
    """
    inputs, figure = _draws(inputs, figure, by_options=False)
    centred = figure - figure.mean()
    variance = np.mean(centred**2)
    if not variance > 0:
        return np.zeros(len(inputs))
    fitted, _, _ = smooth(inputs, centred[None], KNOTS_OF_A_SHARE)
    return (fitted**2).sum(axis=(1, 2, 3, 4)) / inputs.shape[1] / variance


def _over_the_best(benefit):
    """Each other option less the one that is best on average."""
    benefit = np.asarray(within("benefit", benefit))
    if benefit.ndim != 2 or not benefit.size:
        raise ValueError(f"benefit must be options by draws, got shape {benefit.shape}.")
    best = int(benefit.mean(axis=1).argmax())
    return np.delete(benefit, best, axis=0) - benefit[best]


def _draws(inputs, figures, by_options=True):
    inputs = np.asarray(within("inputs", inputs))
    figures = _over_the_best(figures) if by_options else np.asarray(within("figure", figures))
    if inputs.ndim != 2 or (figures.shape[-1:] != inputs.shape[1:]):
        raise ValueError(f"inputs must be as many draws as {'benefit' if by_options else 'figure'}, {figures.shape[-1]:,}, got shape {inputs.shape}.")
    if inputs.shape[1] < FEWEST:
        raise ValueError(f"inputs must be at least {FEWEST} draws, got {inputs.shape[1]}. Draw 1024 or 4096.")
    return inputs, figures
