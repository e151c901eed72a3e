"""Lost motion at reversal: how much further back a slide stops when it is driven from above.

A reading grows as the slide moves in the plus direction. Coming from below (forward) a slide with
lost motion stops short, coming from above (backward) it stops past; backward less forward is the
lost motion, positive where there is play.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class LostMotion:
    """Lost motion at several places of one axis.

    Attributes
    ----------
    reversals : ndarray, shape (places,), micrometres
        Positive for play, negative where the control makes up more than there is.
    unit_uncertainties : ndarray, shape (places,)
        Standard uncertainty of each where one reading has one of 1.
    scatter : float
        Standard deviation of one reading about its mean, pooled, micrometres.
    freedom : int
        Its degrees of freedom.
    spread : float
        Largest range of readings at one place from one side, micrometres.
    """

    reversals: Floats
    unit_uncertainties: Floats
    scatter: float
    freedom: int
    spread: float


def lost_motion(forward: Sequence[ArrayLike], backward: Sequence[ArrayLike]) -> LostMotion:
    """Work out the lost motion at each place.

    Parameters
    ----------
    forward, backward : sequence of array_like, each of shape (runs,), micrometres
        Readings at each place, come to from below and from above.

    Returns
    -------
    LostMotion

    Raises
    ------
    ValueError
        Not as many places forward as backward, or one of them is empty.

    References
    ----------
    ISO 230-2:2014, 3.10, reversal error at a position (from memory), with the sign turned: there
    it is forward less backward.

    Examples
    --------
    >>> found = lost_motion([[0, 1], [0, 0]], [[6, 7], [10, 10]])
    >>> found.reversals.tolist(), found.spread
    ([6.0, 10.0], 1.0)
    """
    groups = [np.asarray(one, dtype=np.float64) for one in (*forward, *backward)]
    if len(forward) != len(backward) or not groups or min(map(len, groups)) == 0:
        raise ValueError("each place is read from both sides")
    places = len(forward)
    means = np.array([one.mean() for one in groups])
    counts = np.array([len(one) for one in groups], dtype=np.float64)
    freedom = int(counts.sum()) - len(groups)
    squares = sum(float(((one - one.mean()) ** 2).sum()) for one in groups)
    return LostMotion(
        reversals=means[places:] - means[:places],
        unit_uncertainties=np.sqrt(1 / counts[:places] + 1 / counts[places:]),
        scatter=float(np.sqrt(squares / freedom)) if freedom else 0.0,
        freedom=freedom,
        spread=max(float(np.ptp(one)) for one in groups),
    )


def uniform(reversals: ArrayLike) -> float:
    """What all places have in common, which is what one number in a control can take.

    Parameters
    ----------
    reversals : array_like, shape (places,), micrometres
        Lost motion at each.

    Returns
    -------
    float
        The smallest of them where all have one sign, with that sign; else nothing.

    References
    ----------
    Our own rule: making up more than the smallest pushes the slide past elsewhere.

    Examples
    --------
    >>> uniform([8.0, 12.0, 7.0]), uniform([-3.0, -2.0]), uniform([4.0, -1.0])
    (7.0, -2.0, 0.0)
    """
    values = np.asarray(reversals, dtype=np.float64)
    if (values > 0).all():
        return float(values.min())
    return float(values.max()) if (values < 0).all() else 0.0


def centre_wear(low: float, middle: float, high: float) -> float:
    """How much more is lost in the middle of travel than at its ends.

    Parameters
    ----------
    low, middle, high : float
        Lost motion, or anything else, at the three places, micrometres.

    Returns
    -------
    float
        Middle less the mean of the ends.

    References
    ----------
    By definition; a screw wears where it works most (common practice, no source).

    Examples
    --------
    >>> centre_wear(8.0, 13.0, 6.0)
    6.0
    """
    return middle - (low + high) / 2


def centre_wear_unit(low: float, middle: float, high: float) -> float:
    """Standard uncertainty of the wear in the centre from those of the three places.

    Parameters
    ----------
    low, middle, high : float
        Standard uncertainties, all in one unit.

    Returns
    -------
    float
        In that unit.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2.

    Examples
    --------
    >>> round(centre_wear_unit(4.0, 1.0, 4.0), 6)
    3.0
    """
    return float(np.sqrt(middle**2 + (low**2 + high**2) / 4))


def left_after(reversals: ArrayLike, made_up_um: float) -> Floats:
    """What is lost at each place once the control makes up some of it.

    Parameters
    ----------
    reversals : array_like, shape (places,), micrometres
        As found.
    made_up_um : float
        Added to the setting of the control.

    Returns
    -------
    ndarray, shape (places,), micrometres
        Negative where too much is made up.

    References
    ----------
    By definition.

    Examples
    --------
    >>> left_after([8.0, 12.0], 8.0).tolist()
    [0.0, 4.0]
    """
    return np.asarray(reversals, dtype=np.float64) - made_up_um
