"""What outcomes say of judged ranges: by what factor figures came out, group by group."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]

SAMPLE = 4.0  # outcomes that a judged range is worth (judgement)


def group_shifts(
    ratios: ArrayLike,
    groups: Sequence[tuple[str, ...]],
    weights: ArrayLike | None = None,
    sample: float = SAMPLE,
) -> Mapping[str, float]:
    """By how much the logarithm of figures was off, shared out over nested groups.

    Parameters
    ----------
    ratios : array_like, shape (outcomes,)
        Natural logarithm of what it was over what had been said.
    groups : sequence of tuple of str, length outcomes
        Of each outcome, the widest group first, as many for each: ("money", "outside work",
        "F15:local").
    weights : array_like, shape (outcomes,), optional
        What each outcome counts; one if left out.
    sample : float
        How many outcomes the ranges are worth when nothing but one group is known.

    Returns
    -------
    mapping of str to float
        What each group adds; a figure's shift is the sum over its groups, zero for one that
        nobody has an outcome of.

    Raises
    ------
    Unusable
        Unequal lengths, groups of unequal depth, or a ratio that is no number.

    Notes
    -----
    Each group's share is drawn to zero by ``sample`` times the depth of the groups, so that a
    lone line with n outcomes moves by n / (n + sample) of their mean, its sisters of the same
    group by less, the others by least. No outcome counts twice: all shares are solved for at
    once.

    References
    ----------
    Robinson 1991, That BLUP is a good thing: the estimation of random effects, Statistical
    Science 6(1), equation 1.1 (the mixed model equations).

    Examples
    --------
    >>> found = group_shifts([0.4, 0.4], [("money", "E", "E11")] * 2)
    >>> round(sum(found.values()), 6), round(0.4 * 2 / (2 + 4), 6)
    (0.133333, 0.133333)
    """
    told = np.asarray(ratios, dtype=np.float64)
    counts = np.ones(len(told)) if weights is None else np.asarray(weights, dtype=np.float64)
    if len({len(told), len(groups), len(counts)}) > 1 or len({len(one) for one in groups}) > 1:
        raise Unusable(
            say("ratios, groups and weights do not go together"),
            remedy=say("Give each ratio its groups, as many for each, and one weight."),
        )
    if not (np.isfinite(told).all() and np.isfinite(counts).all() and (counts >= 0).all()):
        raise Unusable(
            say("a ratio or a weight is not a number"), remedy=say("Leave that outcome out.")
        )
    if not len(told):
        return {}
    names = sorted({name for one in groups for name in one})
    column = {name: place for place, name in enumerate(names)}
    belongs = np.zeros((len(told), len(names)))
    for row, one in enumerate(groups):
        belongs[row, [column[name] for name in one]] = 1.0
    drawn = sample * len(groups[0]) * np.eye(len(names))
    solved = np.linalg.solve(
        belongs.T @ (counts[:, None] * belongs) + drawn, belongs.T @ (counts * told)
    )
    return dict(zip(names, map(float, solved), strict=True))


def spread_after(
    log_sd: float, misses: ArrayLike, weights: ArrayLike | None = None, sample: float = SAMPLE
) -> float:
    """The spread of a judged range after some outcomes.

    Parameters
    ----------
    log_sd : float
        Standard deviation of the logarithm, as judged.
    misses : array_like, shape (outcomes,)
        Logarithm of what it was, less where its middle is now.
    weights : array_like, shape (outcomes,), optional
        What each outcome counts.
    sample : float
        How many outcomes the judged spread is worth.

    Returns
    -------
    float

    References
    ----------
    Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.6 (normal with known mean and
    unknown variance: scaled inverse chi-square), its scale.

    Examples
    --------
    >>> round(spread_after(0.3, [0.6, -0.6]), 4)
    0.4243
    >>> spread_after(0.3, [])
    0.3
    """
    off = np.asarray(misses, dtype=np.float64)
    counts = np.ones(len(off)) if weights is None else np.asarray(weights, dtype=np.float64)
    whole = sample + float(counts.sum())
    return math.sqrt((sample * log_sd**2 + float(counts @ off**2)) / whole)
