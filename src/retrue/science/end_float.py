"""End float: how far a screw or a spindle moves along its axis between a push and a pull."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True, slots=True)
class EndFloat:
    """What pushes and pulls say.

    Attributes
    ----------
    float_um : float
        Mean pushed less mean pulled; negative where both were taken for each other.
    unit_uncertainty : float
        Its standard uncertainty for one micrometre of one reading.
    scatter_um : float
        Standard deviation of one reading, from both ways together.
    freedom : int
        Its degrees of freedom.
    """

    float_um: float
    unit_uncertainty: float
    scatter_um: float
    freedom: int


def end_float(pushed_um: ArrayLike, pulled_um: ArrayLike) -> EndFloat:
    """Work out the end float from repeated readings both ways.

    Parameters
    ----------
    pushed_um, pulled_um : array_like, shapes (n,) and (m,)
        Readings while pushed towards the indicator and while pulled away; plunger in is positive.

    Returns
    -------
    EndFloat

    Raises
    ------
    ValueError
        One way was not read.

    References
    ----------
    The difference of two means, JCGM 100:2008, 4.2 (type A); the test itself is common practice,
    a ball in the centre of the screw's end, no source.

    Examples
    --------
    >>> one = end_float([4.0, 5.0, 6.0], [0.0, 1.0, 2.0])
    >>> one.float_um, one.scatter_um, one.freedom
    (4.0, 1.0, 4)
    """
    pushed = np.asarray(pushed_um, dtype=np.float64)
    pulled = np.asarray(pulled_um, dtype=np.float64)
    if len(pushed) == 0 or len(pulled) == 0:
        raise ValueError("both ways are needed")
    squares = ((pushed - pushed.mean()) ** 2).sum() + ((pulled - pulled.mean()) ** 2).sum()
    freedom = len(pushed) + len(pulled) - 2
    return EndFloat(
        float_um=float(pushed.mean() - pulled.mean()),
        unit_uncertainty=float(np.sqrt(1 / len(pushed) + 1 / len(pulled))),
        scatter_um=float(np.sqrt(squares / freedom)) if freedom else 0.0,
        freedom=freedom,
    )
