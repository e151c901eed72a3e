"""Drift of a machine that warms up: how far, how fast, and how long until it is at rest."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import fit

Floats = NDArray[np.float64]
LONGEST = 1.5  # a time constant of more than that share of the record is not told
FEWEST = 5


@dataclass(frozen=True, slots=True, eq=False)
class Settling:
    """A first-order approach to rest: y = start + rise (1 - exp(-t / time_constant)).

    Attributes
    ----------
    start, rise, time_constant : float
        In the unit of the readings, the same, and in the unit of time.
    start_u, rise_u, time_constant_u : float
        Standard uncertainties.
    residual_sd : float
        Of one reading.
    residual_sum : float
        Sum of squares.
    freedom : int
        Readings less parameters.
    settled : bool
        Whether the record is long enough for its end to be told.
    """

    start: float
    rise: float
    time_constant: float
    start_u: float
    rise_u: float
    time_constant_u: float
    residual_sd: float
    residual_sum: float
    freedom: int
    settled: bool

    def at(self, times: ArrayLike) -> Floats:
        """The fitted curve at these times, shape as they are."""
        shape = 1 - np.exp(-np.asarray(times, dtype=np.float64) / self.time_constant)
        return np.asarray(self.start + self.rise * shape, dtype=np.float64)


def settling(times: ArrayLike, readings: ArrayLike, *, from_zero: bool = False) -> Settling:
    """Fit a first-order approach to rest.

    Parameters
    ----------
    times : array_like, shape (n,)
        Since the start, any unit; at least five different ones.
    readings : array_like, shape (n,)
        Any unit.
    from_zero : bool
        True: the curve starts at zero, there is no offset to fit.

    Returns
    -------
    Settling

    Raises
    ------
    ValueError
        Fewer than five different times, or nothing changes.

    Notes
    -----
    For every time constant the other parameters are linear; the time constant is searched on a
    logarithmic scale, then all are refined together, their uncertainties from the last step.

    References
    ----------
    NIST Statistical Reference Datasets, Misra1a, is the check value; the model is that of a body
    of one heat capacity, ISO 230-3:2020 leaves the choice to the user (from memory).

    Examples
    --------
    >>> times = np.arange(0.0, 61.0, 5.0)
    >>> one = settling(times, 2.0 + 20.0 * (1 - np.exp(-times / 15.0)))
    >>> round(one.start, 6), round(one.rise, 6), round(one.time_constant, 6), one.settled
    (2.0, 20.0, 15.0, True)
    """
    from scipy.optimize import minimize_scalar

    at, seen = np.asarray(times, dtype=np.float64), np.asarray(readings, dtype=np.float64)
    span = float(np.ptp(at)) if len(at) else 0.0
    if len(np.unique(at)) < FEWEST or np.ptp(seen) == 0:
        raise ValueError("five different times and a change are needed")

    def linear(logarithm: float) -> tuple[float, Floats]:
        columns = _columns(at, math.exp(logarithm), from_zero)
        found = fit(columns, seen)
        return float(found.residuals @ found.residuals), found.parameters

    near = np.linspace(math.log(span / 300), math.log(span * 30), 60)
    best = int(np.argmin([linear(one)[0] for one in near]))
    low, high = near[max(best - 1, 0)], near[min(best + 1, len(near) - 1)]
    refined = minimize_scalar(
        lambda one: linear(one)[0], bounds=(low, high), method="bounded", options={"xatol": 1e-9}
    )
    first = linear(float(refined.x))[1]
    constant = math.exp(float(refined.x))
    return _refined(at, seen, [constant, *first.tolist()], from_zero, span)


def _columns(at: Floats, constant: float, from_zero: bool) -> Floats:
    shape = 1 - np.exp(-at / constant)
    return shape[:, None] if from_zero else np.column_stack([shape, np.ones_like(at)])


def _refined(
    at: Floats, seen: Floats, first: list[float], from_zero: bool, span: float
) -> Settling:
    from scipy.optimize import least_squares

    scale = np.array([1 / first[0], *first[1:]])
    scale[scale == 0] = 1.0

    def off(shares: Floats) -> Floats:
        rate, rise, *start = shares * scale
        level = start[0] if start else 0.0
        return np.asarray(level + rise * (1 - np.exp(-at * rate)) - seen)

    found = least_squares(off, np.ones(len(scale)), method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14)
    slopes = np.asarray(found.jac, dtype=np.float64)
    rate, rise, *start = (found.x * scale).tolist()
    freedom = len(at) - len(scale)
    residual_sum = float(found.fun @ found.fun)
    variance = residual_sum / freedom if freedom > 0 else 0.0
    doubts = np.sqrt(np.diag(np.linalg.pinv(slopes.T @ slopes)) * variance) * np.abs(scale)
    constant = 1 / rate if rate > 0 else float("inf")
    return Settling(
        start=start[0] if start else 0.0,
        rise=rise,
        time_constant=constant,
        start_u=float(doubts[2]) if start else 0.0,
        rise_u=float(doubts[1]),
        time_constant_u=float(doubts[0]) * constant**2 if rate > 0 else float("inf"),
        residual_sd=math.sqrt(variance),
        residual_sum=residual_sum,
        freedom=freedom,
        settled=0 < constant <= LONGEST * span,
    )


def largest_range(times: ArrayLike, readings: ArrayLike, first: float | None = None) -> float:
    """Largest less smallest reading, of all or of the first while.

    Parameters
    ----------
    times, readings : array_like, shape (n,)
        Any units.
    first : float or None
        Only readings up to this long after the first one count.

    Returns
    -------
    float
        In the unit of the readings; 0 where there is none.

    References
    ----------
    ISO 230-3:2020, range within the first 60 minutes and within the whole test (from memory).

    Examples
    --------
    >>> largest_range([0, 30, 60, 90], [0.0, 4.0, 6.0, 9.0], first=60)
    6.0
    """
    at, seen = np.asarray(times, dtype=np.float64), np.asarray(readings, dtype=np.float64)
    if len(at) == 0:
        return 0.0
    kept = seen if first is None else seen[at - at.min() <= first]
    return float(np.ptp(kept))


def within_a_part(curve: Settling, begins: float, lasts: float) -> float:
    """How far it drifts while one workpiece is made.

    Parameters
    ----------
    curve : Settling
        Fitted.
    begins, lasts : float
        When the part is begun and how long it takes, in the curve's unit of time.

    Returns
    -------
    float
        Size, in the unit of the readings.

    References
    ----------
    By definition, from the fitted curve.

    Examples
    --------
    >>> times = np.arange(0.0, 61.0, 5.0)
    >>> one = settling(times, 20.0 * (1 - np.exp(-times / 15.0)))
    >>> round(within_a_part(one, 0.0, 15.0), 3), round(within_a_part(one, 60.0, 15.0), 3)
    (12.642, 0.232)
    """
    ends = curve.at([begins, begins + lasts])
    return float(abs(ends[1] - ends[0]))


def until_at_rest(curve: Settling, rest: float) -> float:
    """How long until no more than a rest of the drift is still to come.

    Parameters
    ----------
    curve : Settling
        Fitted.
    rest : float
        In the unit of the readings, over zero.

    Returns
    -------
    float
        In the curve's unit of time; 0 where it is at rest from the start.

    References
    ----------
    By definition, from the fitted curve.

    Examples
    --------
    >>> times = np.arange(0.0, 61.0, 5.0)
    >>> one = settling(times, 20.0 * (1 - np.exp(-times / 15.0)))
    >>> round(until_at_rest(one, 2.0), 2)
    34.54
    """
    if abs(curve.rise) <= rest:
        return 0.0
    return curve.time_constant * math.log(abs(curve.rise) / rest)
