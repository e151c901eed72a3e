"""A log of temperature and humidity read for damp: how long, how often and when iron is at risk."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.damp import MAGNUS_A, MAGNUS_B_C, MARGIN_KELVIN

Floats = NDArray[np.float64]

DRY_PERCENT = 45.0  # over this iron may rust without sweating (common practice, no source)
CASTING_HOURS = 6.0  # how slowly a heavy casting follows the air (assumed)
GAP_TIMES = 3.0  # a step this many times the usual one is a gap
HOURS_A_DAY = 24.0


@dataclass(frozen=True, slots=True)
class Gap:
    """A time in which nothing was logged."""

    from_hours: float
    to_hours: float


@dataclass(frozen=True, slots=True)
class Risk:
    """What a log says of damp; times stand for the readings, gaps are not counted."""

    hours_logged: float
    hours_near: float  # under the margin
    hours_sweating: float  # under 0 kelvin
    near_a_day_hours: float
    sweating_a_day_hours: float
    damp_share: float  # of the time over the dry limit
    worst_kelvin: float
    worst_hours: float  # when, from the log's own zero
    mean_percent: float
    gaps: tuple[Gap, ...]
    surface_assumed: bool
    margin: Floats  # shape (n,), kelvin


def dew_points_c(air_c: ArrayLike, humidity_percent: ArrayLike) -> Floats:
    """The dew point of every reading.

    Parameters
    ----------
    air_c, humidity_percent : array_like, shape (n,)
        Degrees Celsius, and per cent over 0 up to 100.

    Returns
    -------
    ndarray, shape (n,)
        Degrees Celsius.

    Raises
    ------
    Unusable
        A humidity or a temperature that cannot be.

    References
    ----------
    WMO-No. 8, Guide to Instruments, annex 4.B (Magnus form; from memory).

    Examples
    --------
    >>> dew_points_c([20, 25], [50, 80]).round(3).tolist()
    [9.255, 21.307]
    """
    air, humidity = _column(air_c), _column(humidity_percent)
    if air.shape != humidity.shape:
        raise Unusable(
            say("the columns of the log are not of one length"),
            remedy=say("Export it again, one line a reading."),
        )
    if not ((humidity > 0) & (humidity <= 100)).all():
        raise Unusable(
            say("a relative humidity lies over 0 and up to 100 %"),
            remedy=say("Take the faulty lines out of the log, or have the sensor checked."),
        )
    if not ((air > -60) & (air < 80)).all():
        raise Unusable(
            say("a temperature of the log cannot be air's"),
            remedy=say("Take the faulty lines out of the log, or have the sensor checked."),
        )
    term = np.log(humidity / 100.0) + MAGNUS_A * air / (MAGNUS_B_C + air)
    return np.asarray(MAGNUS_B_C * term / (MAGNUS_A - term), dtype=np.float64)


def casting_c(
    hours: ArrayLike, air_c: ArrayLike, *, follows_hours: float = CASTING_HOURS
) -> Floats:
    """The temperature of a heavy casting that follows the air slowly.

    Parameters
    ----------
    hours, air_c : array_like, shape (n,)
        Times that rise, and the air at each of them.
    follows_hours : float
        Time constant: after it a casting has gone 63 per cent of a step. Assumed, not measured.

    Returns
    -------
    ndarray, shape (n,)
        Degrees Celsius; it begins as warm as the air.

    Raises
    ------
    Unusable
        Times that do not rise, or no time constant.

    Notes
    -----
    ``dT/dt = (air - T) / tau``, solved exactly for air that changes in straight lines from reading
    to reading.

    References
    ----------
    First-order lag (by definition); six hours are common practice, no source.

    Examples
    --------
    >>> casting_c([0, 1, 2], [0, 10, 10], follows_hours=1).round(3).tolist()
    [0.0, 3.679, 7.675]
    """
    at, air = _times(hours), _column(air_c)
    if at.shape != air.shape or not follows_hours > 0:
        raise Unusable(
            say("how the casting follows the air cannot be told"),
            remedy=say("Give one temperature for every time, and how many hours it follows by."),
        )
    step = np.diff(at) / follows_hours
    kept = np.exp(-step)
    # Mean of what the new air adds, weighted by how lately it came.
    added = air[1:] - air[:-1] * kept - np.diff(air) * (1.0 - kept) / step
    surface = np.empty_like(air)
    surface[0] = air[0]
    for place, (keeps, adds) in enumerate(zip(kept.tolist(), added.tolist(), strict=True)):
        surface[place + 1] = surface[place] * keeps + adds
    return surface


def read_log(
    hours: ArrayLike,
    air_c: ArrayLike,
    humidity_percent: ArrayLike,
    *,
    surface_c: ArrayLike | None = None,
    follows_hours: float = CASTING_HOURS,
    margin_kelvin: float = MARGIN_KELVIN,
    dry_percent: float = DRY_PERCENT,
) -> Risk:
    """What a log of temperature and humidity says of the iron in that room.

    Parameters
    ----------
    hours, air_c, humidity_percent : array_like, shape (n,)
        Time from any zero, rising; degrees Celsius; per cent.
    surface_c : array_like, shape (n,), optional
        Of bare iron. Left out, a casting that follows the air slowly is assumed.
    follows_hours : float
        Its time constant, where it is assumed.
    margin_kelvin : float
        Under this distance from the dew point iron is at risk.
    dry_percent : float
        Up to this humidity it keeps without rust.

    Returns
    -------
    Risk

    Raises
    ------
    Unusable
        Fewer than three readings, columns of unlike length, times that do not rise, values that
        cannot be.

    Notes
    -----
    A reading stands for half the way to its neighbours; a step of more than three times the usual
    one is a gap, and its time counts for nothing.

    References
    ----------
    The margin of 3 kelvin and 45 per cent are common practice, no source (from memory).

    Examples
    --------
    >>> found = read_log([0, 1, 2, 3], [10, 10, 18, 18], [70, 70, 80, 80], surface_c=[10] * 4)
    >>> found.hours_sweating, round(found.worst_kelvin, 2), found.worst_hours
    (1.5, -4.5, 2.0)
    """
    at, air = _times(hours), _column(air_c)
    humidity = _column(humidity_percent)
    dew = dew_points_c(air, humidity)
    if dew.shape != at.shape:
        raise Unusable(
            say("the columns of the log are not of one length"),
            remedy=say("Export it again, one line a reading."),
        )
    assumed = surface_c is None
    if surface_c is None:
        surface = casting_c(at, air, follows_hours=follows_hours)
    else:
        surface = _column(surface_c)
    if surface.shape != at.shape:
        raise Unusable(
            say("the columns of the log are not of one length"),
            remedy=say("Export it again, one line a reading."),
        )
    stands, gaps = _stands_for(at)
    margin = surface - dew
    logged = float(stands.sum())
    near, sweating = (float(stands[margin < limit].sum()) for limit in (margin_kelvin, 0.0))
    worst = int(np.argmin(margin))
    return Risk(
        hours_logged=logged,
        hours_near=near,
        hours_sweating=sweating,
        near_a_day_hours=HOURS_A_DAY * near / logged,
        sweating_a_day_hours=HOURS_A_DAY * sweating / logged,
        damp_share=float(stands[humidity > dry_percent].sum()) / logged,
        worst_kelvin=float(margin[worst]),
        worst_hours=float(at[worst]),
        mean_percent=float(stands @ humidity) / logged,
        gaps=gaps,
        surface_assumed=assumed,
        margin=margin,
    )


def by_day(hours: ArrayLike, margin: ArrayLike, limit_kelvin: float = MARGIN_KELVIN) -> Floats:
    """Hours at risk on each day of a log.

    Parameters
    ----------
    hours, margin : array_like, shape (n,)
        Times from midnight of the first day, rising; kelvin over the dew point.
    limit_kelvin : float
        Under which a reading counts.

    Returns
    -------
    ndarray, shape (days, 2)
        For each day hours at risk and hours logged.

    Raises
    ------
    Unusable
        Fewer than three readings, unlike columns, times that do not rise.

    References
    ----------
    Each reading's time counts for the day it was read on (by definition).

    Examples
    --------
    >>> by_day([22, 23, 24, 25], [1, 5, 1, 1]).tolist()
    [[0.5, 1.5], [1.5, 1.5]]
    """
    at, over = _times(hours), _column(margin)
    if at.shape != over.shape:
        raise Unusable(
            say("the columns of the log are not of one length"),
            remedy=say("Export it again, one line a reading."),
        )
    stands, _ = _stands_for(at)
    day = np.floor((at - HOURS_A_DAY * np.floor(at[0] / HOURS_A_DAY)) / HOURS_A_DAY).astype(int)
    risky = np.bincount(day, weights=np.where(over < limit_kelvin, stands, 0.0))
    return np.column_stack([risky, np.bincount(day, weights=stands)])


def _stands_for(at: Floats) -> tuple[Floats, tuple[Gap, ...]]:
    """The hours each reading stands for, and the gaps."""
    step = np.diff(at)
    gap = step > GAP_TIMES * float(np.median(step))
    counted = np.where(gap, 0.0, step) / 2.0
    stands = np.zeros_like(at)
    stands[:-1] += counted
    stands[1:] += counted
    found = tuple(
        Gap(float(before), float(after))
        for before, after in zip(at[:-1][gap], at[1:][gap], strict=True)
    )
    return stands, found


def _times(hours: ArrayLike) -> Floats:
    at = _column(hours)
    if len(at) < 3 or not (np.diff(at) > 0).all():
        raise Unusable(
            say("the times of the log do not rise, or there are fewer than three"),
            remedy=say("Sort it by time and take out lines that stand twice."),
        )
    return at


def _column(values: ArrayLike) -> Floats:
    column = np.asarray(values, dtype=np.float64)
    if column.ndim != 1 or not np.isfinite(column).all():
        raise Unusable(
            say("a value of the log is missing"),
            remedy=say("Take lines without a value out of the log."),
        )
    return column
