"""Parts that age: how likely one fails within some years, and at which age renewing pays."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]

LAST = 300.0  # (age / life) ** shape that no part lives to: the chance of it is under 1e-130


@dataclass(frozen=True, slots=True)
class Renewing:
    """Renewing a part at an age, or when it fails before.

    Attributes
    ----------
    age : float or None
        In the unit of the life; None: by age alone it never pays.
    rate : float
        What it costs a unit of time then, in the long run.
    rate_failing : float
        What it costs where it is only renewed when it fails.
    """

    age: float | None
    rate: float
    rate_failing: float


def survives(age: ArrayLike, shape: ArrayLike, life: ArrayLike) -> Floats:
    """Chance that a part lives to an age.

    Parameters
    ----------
    age : array_like
        From zero up.
    shape, life : array_like
        Weibull: shape, and the characteristic life in the unit of the age, both over zero.

    Returns
    -------
    ndarray
        0 to 1, of the common shape.

    Raises
    ------
    Unusable
        A shape, life or age that is none.

    References
    ----------
    ``exp(-(age / life) ** shape)``: Weibull 1951, Journal of Applied Mechanics 18 (from memory).

    Examples
    --------
    >>> survives([0.0, 10.0], 2.0, 10.0).round(4).tolist()
    [1.0, 0.3679]
    """
    return np.asarray(np.exp(-_worn(age, shape, life)))


def chance_of_failing(
    age: ArrayLike, within: ArrayLike, shape: ArrayLike, life: ArrayLike
) -> Floats:
    """Chance that a part that works at an age fails within a time from then.

    Parameters
    ----------
    age, within : array_like
        From zero up.
    shape, life : array_like
        Weibull, as for :func:`survives`.

    Returns
    -------
    ndarray
        0 to 1, of the common shape.

    Raises
    ------
    Unusable
        A shape, life or age that is none.

    References
    ----------
    ``1 - exp(-((a + h) / life) ** shape + (a / life) ** shape)``: conditional Weibull; Barlow and
    Proschan 1965, Mathematical Theory of Reliability (from memory).

    Examples
    --------
    >>> chance_of_failing([0.0, 10.0], 5.0, 2.0, 12.0).round(4).tolist()
    [0.1594, 0.5802]
    >>> chance_of_failing([0.0, 10.0], 5.0, 1.0, 12.0).round(4).tolist()
    [0.3408, 0.3408]
    """
    later = np.asarray(age, dtype=np.float64) + np.asarray(within, dtype=np.float64)
    return np.asarray(-np.expm1(_worn(age, shape, life) - _worn(later, shape, life)))


def renewing(shape: float, life: float, planned: float, failing: float) -> Renewing:
    """The age at which renewing a part costs least in the long run.

    Parameters
    ----------
    shape, life : float
        Weibull.
    planned : float
        What renewing it in time costs, over zero.
    failing : float
        What renewing it after it failed costs.

    Returns
    -------
    Renewing
        No age where the shape is 1 or less (it does not wear out), where failing costs no more, and
        where hardly one would live to that age.

    Raises
    ------
    Unusable
        A shape, life or cost that is none.

    Notes
    -----
    The cost rate is ``(planned R(t) + failing (1 - R(t)))`` over the mean time to whichever comes
    first, ``life gamma(1 + 1 / shape) P(1 / shape, (t / life) ** shape)``, with P the regularised
    lower incomplete gamma function. Its least is where
    ``h(t) integral - (1 - R(t)) = planned / (failing - planned)``, h being the hazard.

    References
    ----------
    Barlow and Hunter 1960, Optimum preventive maintenance policies, Operations Research 8(1),
    90-100 (from memory).

    Examples
    --------
    >>> found = renewing(2.5, 1000.0, 1.0, 5.0)
    >>> round(found.age, 1), round(found.rate, 10), round(found.rate_failing, 10)
    (493.0, 0.0034620427, 0.0056353025)
    >>> renewing(1.0, 1000.0, 1.0, 5.0).age is None
    True
    """
    _costs(planned, failing)
    _worn(0.0, shape, life)
    mean = life * math.gamma(1.0 + 1.0 / shape)
    only_failing = failing / mean
    worn = _least(shape, planned / (failing - planned)) if failing > planned else None
    if worn is None:
        return Renewing(None, only_failing, only_failing)
    lived = math.exp(-worn)
    rate = (planned * lived + failing * (1.0 - lived)) / (mean * _share(shape, worn))
    return Renewing(life * worn ** (1.0 / shape), rate, only_failing)


def _least(shape: float, wanted: float) -> float | None:
    """How worn a part is at the best age; None: later than any lives to."""
    from scipy.optimize import brentq

    gamma = shape * math.gamma(1.0 + 1.0 / shape)

    def over(log_worn: float) -> float:
        worn = math.exp(log_worn)
        hazard = gamma * worn ** (1.0 - 1.0 / shape)
        return float(hazard * _share(shape, worn) + math.expm1(-worn) - wanted)

    low, high = math.log(1e-12), math.log(LAST)
    if shape <= 1.0 or over(high) < 0.0:
        return None
    if over(low) > 0.0:
        return math.exp(low)
    return math.exp(float(brentq(over, low, high, xtol=1e-12, rtol=1e-14)))


def _share(shape: float, worn: float) -> float:
    """Share of the mean life that has passed by then, of all parts renewed at that age."""
    from scipy.special import gammainc

    return float(gammainc(1.0 / shape, worn))


def _worn(age: ArrayLike, shape: ArrayLike, life: ArrayLike) -> Floats:
    """The hazard gathered by an age: ``(age / life) ** shape``."""
    a, b, n = (np.asarray(value, dtype=np.float64) for value in (age, shape, life))
    problems = [
        Problem(name, what)
        for name, what, good in (
            ("age", say("no age from zero up"), np.isfinite(a) & (a >= 0)),
            ("shape", say("no number over zero"), np.isfinite(b) & (b > 0)),
            ("life", say("no time over zero"), np.isfinite(n) & (n > 0)),
        )
        if not np.all(good)
    ]
    if problems:
        raise Unusable(
            say("how this part ages cannot be worked out"),
            remedy=say("Give a shape and a life over zero, and an age from zero up."),
            problems=tuple(problems),
        )
    return np.asarray((a / n) ** b)


def _costs(planned: float, failing: float) -> None:
    if not (0 < planned < math.inf and 0 <= failing < math.inf):
        raise Unusable(
            say("what renewing costs is no amount over zero"),
            remedy=say("Give what it costs in time, and what it costs when it has failed."),
        )
