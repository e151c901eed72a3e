"""Drift with heat: how far, how fast, what is left, and what it does to one part."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import Fit, fit

Floats = NDArray[np.float64]
STEPS = 50
LEVELLED = 2.0  # time constants that must have been watched before the end can be told
KNOWN = 0.5  # relative standard uncertainty of a time constant that still tells something


@dataclass(frozen=True, slots=True)
class Settling:
    """A first-order rise: start + settled (1 - exp(-t / time_constant)).

    Attributes
    ----------
    start, settled : float
        Reading at time zero; what is added to it in the end; unit of the readings.
    time_constant : float
        In the unit of the times.
    start_uncertainty, settled_uncertainty, time_constant_uncertainty : float
        Standard, k = 1.
    residual_sd : float
        Scatter of one reading about the curve.
    freedom : int
        Readings less parameters.
    span : float
        From the first reading to the last.
    squares : float
        Residual sum of squares.
    """

    start: float
    settled: float
    time_constant: float
    start_uncertainty: float
    settled_uncertainty: float
    time_constant_uncertainty: float
    residual_sd: float
    freedom: int
    span: float
    squares: float

    @property
    def levelled(self) -> bool:
        """Whether the end was near enough for the curve to be trusted beyond the readings."""
        return (
            self.span >= LEVELLED * self.time_constant
            and self.time_constant_uncertainty < KNOWN * self.time_constant
        )

    def at(self, times: ArrayLike) -> Floats:
        """The curve; times counted from the first reading, shape (n,)."""
        return self.start + self.settled * -np.expm1(
            -np.asarray(times, dtype=np.float64) / self.time_constant
        )

    def over(self, start: float, length: float) -> float:
        """How far it moves within ``length`` after ``start``; signed."""
        ends = self.at([start, start + length])
        return float(ends[1] - ends[0])

    def until(self, limit: float, length: float | None = None) -> float:
        """When what is left, or what is moved within ``length``, falls below a limit."""
        whole = abs(self.settled)
        if length is not None:
            whole *= -math.expm1(-length / self.time_constant)
        return self.time_constant * math.log(whole / limit) if whole > limit else 0.0


def settle(times: ArrayLike, values: ArrayLike, *, with_start: bool = True) -> Settling | None:
    """Fit a first-order rise to readings.

    Parameters
    ----------
    times : array_like, shape (n,)
        From zero on, in any unit.
    values : array_like, shape (n,)
        Readings at these times.
    with_start : bool
        False: the reading at time zero is zero by definition.

    Returns
    -------
    Settling or None
        None where the readings show no rise that levels off: a straight line fits as well.

    Raises
    ------
    ValueError
        Fewer readings than parameters and one more, times that are all alike, or a gap.

    Notes
    -----
    For each time constant the other parameters follow by least squares, so one search over the
    time constant finds the lowest sum of squares; Gauss-Newton polishes it.

    References
    ----------
    ISO 230-3:2020 (scope; first-order rise from memory). NIST Statistical Reference Datasets,
    Misra1a, is its check value.

    Examples
    --------
    >>> made = settle([0, 10, 20, 40, 80], [3.0, 9.3212, 11.6466, 12.8168, 12.9966])
    >>> round(made.settled, 2), round(made.time_constant, 2), round(made.start, 2)
    (10.0, 10.0, 3.0)
    """
    minutes, readings = np.asarray(times, np.float64), np.asarray(values, np.float64)
    if minutes.shape != readings.shape or minutes.ndim != 1:
        raise ValueError("as many times as readings")
    if not (np.isfinite(minutes).all() and np.isfinite(readings).all()):
        raise ValueError("a reading is missing")
    if len(minutes) < 3 + with_start or np.ptp(minutes) == 0:
        raise ValueError("too few readings over time")
    slow = _searched(minutes, readings, with_start)
    if slow is None:
        return None
    return _polished(minutes, readings, slow, with_start)


def _searched(times: Floats, values: Floats, with_start: bool) -> float | None:
    """The best of many time constants; None where the slowest is the best."""
    span = float(times.max())
    trial = np.geomspace(span / 200, span * 20, 80)
    rise = -np.expm1(-times / trial[:, None])
    level = values
    if with_start:
        rise = rise - rise.mean(axis=1, keepdims=True)
        level = values - values.mean()
    size = np.einsum("ij,ij->i", rise, rise)
    taken = (rise @ level) ** 2 / np.where(size > 0, size, np.inf)
    best = int(np.argmax(taken))
    return None if best == len(trial) - 1 or taken[best] == 0 else float(trial[best])


def _polished(times: Floats, values: Floats, slow: float, with_start: bool) -> Settling | None:
    rise = -np.expm1(-times / slow)
    ones = np.ones((len(times), 1 if with_start else 0))
    found = np.append(fit(np.column_stack([ones, rise]), values).parameters, slow)
    here = _linear(times, values, found, with_start)
    squares = _squares(times, values, found, with_start)
    for _ in range(STEPS):
        step, share = here.parameters, 1.0
        while share > 1e-6:
            tried = found + share * step
            less = _squares(times, values, tried, with_start) if tried[-1] > 0 else math.inf
            if less <= squares:
                break
            share /= 2
        else:
            break
        found, gone, squares = tried, squares - less, less
        here = _linear(times, values, found, with_start)
        if gone <= 1e-15 * max(squares, 1e-300):
            break
    if not np.isfinite(found).all() or found[-1] > 50 * times.max():
        return None
    doubt = np.append(np.zeros(0 if with_start else 1), here.standard_uncertainties)
    told = np.append(np.zeros(0 if with_start else 1), found)
    return Settling(
        *(float(value) for value in told),
        *(float(value) for value in doubt),
        residual_sd=math.sqrt(squares / here.freedom) if here.freedom else 0.0,
        freedom=here.freedom,
        span=float(np.ptp(times)),
        squares=squares,
    )


def _squares(times: Floats, values: Floats, found: Floats, with_start: bool) -> float:
    left = values - (found[0] if with_start else 0.0) + found[-2] * np.expm1(-times / found[-1])
    return float(left @ left)


def _linear(times: Floats, values: Floats, found: Floats, with_start: bool) -> Fit:
    """The curve as a straight one about the parameters found: the next step and its doubt."""
    settled, slow = found[-2], found[-1]
    fall = np.exp(-times / slow)
    left = values - (found[0] if with_start else 0.0) - settled * (1 - fall)
    columns = [1 - fall, -settled * fall * times / slow**2]
    if with_start:
        columns.insert(0, np.ones(len(times)))
    return fit(np.column_stack(columns), left)


def range_within(times: ArrayLike, values: ArrayLike, length: float) -> float:
    """The range of the readings from the first one on.

    Parameters
    ----------
    times, values : array_like, shape (n,)
        In order of time.
    length : float
        Readings later than that after the first do not count.

    Returns
    -------
    float
        Largest less smallest reading.

    References
    ----------
    ISO 230-3:2020, thermal drift over a stated period (from memory).

    Examples
    --------
    >>> range_within([0, 30, 60, 90], [0.0, -4.0, 3.0, 9.0], 60)
    7.0
    """
    minutes, readings = np.asarray(times, np.float64), np.asarray(values, np.float64)
    return float(np.ptp(readings[minutes <= minutes[0] + length * (1 + 1e-9)]))


def per_kelvin(temperatures: ArrayLike, values: ArrayLike) -> tuple[float, float] | None:
    """How the readings follow the temperature.

    Parameters
    ----------
    temperatures, values : array_like, shape (n,)
        Of the same moments.

    Returns
    -------
    tuple of (float, float) or None
        Slope per kelvin and its standard uncertainty; None with fewer than three readings or a
        temperature that never changes.

    References
    ----------
    JCGM 100:2008 (GUM), H.3, straight-line calibration.

    Examples
    --------
    >>> per_kelvin([20, 21, 22], [0.0, 5.0, 10.0])[0].__round__(6)
    5.0
    """
    warm, readings = np.asarray(temperatures, np.float64), np.asarray(values, np.float64)
    if len(warm) < 3 or np.ptp(warm) == 0:
        return None
    line = fit(np.column_stack([np.ones(len(warm)), warm - warm.mean()]), readings)
    return float(line.parameters[1]), float(line.standard_uncertainties[1])
