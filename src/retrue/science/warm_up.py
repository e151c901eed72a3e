"""Warm-up of a running part: where its temperature will settle and when, or that nobody can tell.

A body of one heat capacity with steady losses goes to rest as ``1 - exp(-t / tau)``. The fit lets
its rate of bending be of either sign: bent to rest it will settle, straight it cannot be told yet,
bent upwards it heats faster and faster.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.give_or_take import expanded

Floats = NDArray[np.float64]
Shape = Literal["settles", "straight", "faster", "flat"]

FEWEST = 3
SPAN_LEAST, SPAN_MOST = -9.0, 70.0  # bending times the length of the record
SCALE = 0.2 * np.sinh(np.linspace(math.asinh(SPAN_LEAST / 0.2), math.asinh(SPAN_MOST / 0.2), 70))
LEVEL_CHANGE_K, LEVEL_WITHIN_MINUTES = 0.5, 5.0  # levelled: that little in that long
STRAIGHT = 1e-12  # a bending a minute below it is none
FLAT = 1.5  # a change of fewer standard deviations than that is none
MOST_WIDENED = 3.0


@dataclass(frozen=True, slots=True)
class ThreePoints:
    """What three readings at equal distances say."""

    settles: float  # in the unit of the readings
    tau_minutes: float


def three_points(first: float, second: float, third: float, apart_minutes: float) -> ThreePoints:
    """Where a warm-up settles, from three readings at equal distances of time.

    Parameters
    ----------
    first, second, third : float
        Rise over the room in kelvin, or degrees Celsius: what settles is in the same scale.
    apart_minutes : float
        Between one reading and the next, over zero.

    Returns
    -------
    ThreePoints

    Raises
    ------
    Unusable
        The readings do not bend to rest: they are straight, bend upwards, or swing.

    Notes
    -----
    ``settles = (a c - b b) / (a + c - 2 b)`` and ``tau = apart / ln((b - a) / (c - b))``. It
    carries no doubt: a tenth of a kelvin more or less may move it by kelvins.

    References
    ----------
    First-order lag (by definition); Aitken's extrapolation of a geometric approach (from memory).

    Examples
    --------
    >>> found = three_points(5.6694, 9.7317, 12.6424, 10)
    >>> round(found.settles, 2), round(found.tau_minutes, 2)
    (20.0, 30.0)
    """
    before, after = second - first, third - second
    if not apart_minutes > 0 or before * after <= 0 or abs(after) >= abs(before):
        raise Unusable(
            say("three readings that do not bend to rest do not say where it will settle"),
            remedy=say("Read on at the same distances of time; stop at the limits in any case."),
        )
    settles = (first * third - second * second) / (first + third - 2 * second)
    return ThreePoints(settles, apart_minutes / math.log(before / after))


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUp:
    """A fitted warm-up; what cannot be told has an infinite give or take.

    Attributes
    ----------
    shape : str
        ``settles``; ``straight``: cannot be told yet; ``faster``: it heats faster and faster;
        ``flat``: nothing changes.
    settles_c, settles_low_c, settles_high_c : float
        Where it settles, and from where to where it may; NaN where it does not bend to rest.
    settles_give_or_take_k : float
        The larger of both sides, about 95 of 100.
    tau_minutes, tau_give_or_take_minutes : float
        Its time constant.
    start_c : float
        Fitted, at the first reading.
    start_minute : float
        When that was, in the time of the readings.
    slope_k_per_min : float
        Fitted, at the first reading.
    bending_per_min : float
        One over the time constant; below zero where it heats faster and faster.
    level_minute, level_low_minute, level_high_minute : float
        When it will have changed by less than 0.5 K in 5 minutes, in the time of the readings.
    residual_sd : float
        Of one reading, kelvin.
    freedom : int
        Readings less three.
    """

    shape: Shape
    settles_c: float
    settles_low_c: float
    settles_high_c: float
    settles_give_or_take_k: float
    tau_minutes: float
    tau_give_or_take_minutes: float
    start_c: float
    start_minute: float
    slope_k_per_min: float
    bending_per_min: float
    level_minute: float
    level_low_minute: float
    level_high_minute: float
    residual_sd: float
    freedom: int

    @property
    def told(self) -> bool:
        """Whether it can be told where it will settle, and with what doubt."""
        return math.isfinite(self.settles_give_or_take_k)

    def at(self, minute: ArrayLike) -> Floats:
        """The fitted temperature at these minutes, shape as they are."""
        since = np.asarray(minute, dtype=np.float64) - self.start_minute
        way = _way(since, np.array(self.bending_per_min))
        return np.asarray(self.start_c + self.slope_k_per_min * way, dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class _Readings:
    at: Floats  # minutes since the first reading, shape (n,)
    seen: Floats
    span: float

    def lines(self, bending: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """For bendings of shape (k,): start, slope, sum of squares, variance shares of both."""
        way = _way(self.at[:, None], bending)
        middle = way.mean(axis=0)
        off = way - middle
        spread = np.maximum((off * off).sum(axis=0), 1e-300)
        slope = (off * (self.seen - self.seen.mean())[:, None]).sum(axis=0) / spread
        start = self.seen.mean() - slope * middle
        left = self.seen[:, None] - start - slope * way
        return start, slope, (left * left).sum(axis=0), 1 / spread, middle

    def squares(self, bending: float) -> float:
        """Sum of squares of one bending; the search asks for it often."""
        way = (
            self.at if abs(bending) < STRAIGHT else np.expm1(np.minimum(-bending * self.at, 700.0))
        )
        off, seen = way - way.sum() / len(way), self.seen - self.seen.sum() / len(way)
        left = seen - (off @ seen) / max(float(off @ off), 1e-300) * off
        return float(left @ left)


def fit(
    minutes: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reading_sd: float = 0.0,
    doubt_times: float = 1.0,
) -> WarmUp:
    """Fit a warm-up to any readings, and say what they do not tell.

    Parameters
    ----------
    minutes : array_like, shape (n,)
        Any zero, any order; three different ones at least.
    temperature_c : array_like, shape (n,)
        Degrees Celsius, or a rise in kelvin.
    reading_sd : float
        Standard uncertainty of one reading where it is known, kelvin; the scatter counts where it
        is larger.
    doubt_times : float
        Widens every interval: 1 is about 95 of 100, 1.5 about 997 of 1,000.

    Returns
    -------
    WarmUp

    Raises
    ------
    Unusable
        Fewer than three different times, or values that are not finite.

    Notes
    -----
    For every bending start and slope are linear and solved at once. The intervals are those of
    the profile of the sum of squares: all values that fit hardly worse than the best. Readings
    that lie long on one side of the curve show that the model is not quite right; the interval is
    then widened by their correlation from one to the next. Three readings whose doubt nobody
    states give a curve, and no give or take.

    References
    ----------
    Bates and Watts, Nonlinear Regression Analysis and Its Applications, profile intervals (from
    memory); JCGM 100:2008, annex G for few readings.

    Examples
    --------
    >>> at = np.arange(0.0, 46.0, 5.0)
    >>> one = fit(at, 21 + 20 * (1 - np.exp(-at / 30)), reading_sd=0.05)
    >>> round(one.settles_c, 3), round(one.tau_minutes, 3), one.settles_give_or_take_k < 0.5
    (41.0, 30.0, True)
    >>> fit([0, 3, 6], [21.0, 22.0, 22.9], reading_sd=0.1).told
    False
    """
    readings = _readings(minutes, temperature_c)
    first = float(np.min(np.asarray(minutes, dtype=np.float64)))
    freedom = len(readings.at) - FEWEST
    best = _best(readings)
    one = np.array([best])
    start, slope, squares, _, _ = (float(column[0]) for column in readings.lines(one))
    residual_sd = math.sqrt(squares / freedom) if freedom > 0 else 0.0
    allowed = _allowed(readings, best, residual_sd, freedom, reading_sd) * doubt_times**2
    if _is_flat(readings, max(residual_sd, reading_sd)):
        return _flat(readings, first, max(residual_sd, reading_sd), freedom)
    grid = _between(readings, best, squares + allowed)
    shape = _shape(grid)
    known = shape == "settles" and allowed > 0
    ends = _ends(readings, grid, squares + allowed) if known else None
    settles = start + slope / best if shape == "settles" else math.nan
    tau = 1 / best if shape == "settles" else math.inf
    low, high, level_low, level_high = ends or (math.nan, math.nan, math.inf, math.inf)
    level = float(_levels(one, np.array([slope]))[0]) if shape == "settles" else math.inf
    return WarmUp(
        shape=shape,
        settles_c=settles,
        settles_low_c=low,
        settles_high_c=high,
        settles_give_or_take_k=_sides(low, settles, high) if ends else math.inf,
        tau_minutes=tau,
        tau_give_or_take_minutes=_sides(1 / grid[-1], tau, 1 / grid[0]) if ends else math.inf,
        start_c=start,
        start_minute=first,
        slope_k_per_min=slope,
        bending_per_min=best,
        level_minute=first + level,
        level_low_minute=first + min(level_low, level),
        level_high_minute=first + max(level_high, level),
        residual_sd=residual_sd,
        freedom=freedom,
    )


def _readings(minutes: ArrayLike, temperature_c: ArrayLike) -> _Readings:
    at = np.asarray(minutes, dtype=np.float64)
    seen = np.asarray(temperature_c, dtype=np.float64)
    if at.ndim != 1 or at.shape != seen.shape or not np.isfinite([at, seen]).all():
        raise Unusable(
            say("a time or a temperature of the warm-up is missing"),
            remedy=say("Give one temperature for every time."),
        )
    if len(np.unique(at)) < FEWEST:
        raise Unusable(
            say("fewer than three readings at different times say nothing of a warm-up"),
            remedy=say("Read on, one a minute or one in three minutes."),
        )
    order = np.argsort(at, kind="stable")
    at, seen = at[order] - at[order][0], seen[order]
    return _Readings(at, seen, float(at[-1]))


def _way(since: Floats, bending: Floats) -> Floats:
    """``(1 - exp(-b t)) / b``, which is ``t`` where nothing bends; any shapes that go together."""
    small = np.abs(bending) < STRAIGHT
    safe = np.where(small, 1.0, bending)
    power = np.minimum(-safe * since, 700.0)
    return np.asarray(np.where(small, since, -np.expm1(power) / safe), dtype=np.float64)


def _best(readings: _Readings) -> float:
    """The bending of least squares, searched on a scale that is fine about zero."""
    from scipy.optimize import minimize_scalar

    scale = SCALE / readings.span
    place = int(np.argmin(readings.lines(scale)[2]))
    near = scale[max(place - 1, 0)], scale[min(place + 1, len(scale) - 1)]
    found = minimize_scalar(
        readings.squares, bounds=near, method="bounded", options={"xatol": 1e-10 / readings.span}
    )
    return float(found.x)


def _allowed(
    readings: _Readings, best: float, residual_sd: float, freedom: int, reading_sd: float
) -> float:
    """By how much the sum of squares may grow for about 95 of 100."""
    known = (2.0 * reading_sd) ** 2
    if freedom <= 0:
        return known
    start, slope = (float(column[0]) for column in readings.lines(np.array([best]))[:2])
    left = readings.seen - start - slope * _way(readings.at, np.array(best))
    power = float(left @ left)
    after = float(left[1:] @ left[:-1]) / power if power > 0 else 0.0
    widened = min((1 + max(after, 0.0)) / max(1 - after, 1e-3), MOST_WIDENED**2)
    return max(known, expanded(residual_sd, freedom) ** 2 * (widened if freedom > 2 else 1.0))


def _sides(low: float, best: float, high: float) -> float:
    return float(max(best - low, high - best))


def _is_flat(readings: _Readings, sd: float) -> bool:
    half = max(1, len(readings.seen) // 3)
    change = float(readings.seen[-half:].mean() - readings.seen[:half].mean())
    return abs(change) <= FLAT * sd * math.sqrt(2 / half) and float(np.ptp(readings.seen)) <= 6 * sd


def _flat(readings: _Readings, first: float, sd: float, freedom: int) -> WarmUp:
    mean = float(readings.seen.mean())
    doubt = 2 * sd * math.sqrt(2 / len(readings.seen)) + LEVEL_CHANGE_K / 2
    return WarmUp(
        shape="flat", settles_c=mean, settles_low_c=mean - doubt, settles_high_c=mean + doubt,
        settles_give_or_take_k=doubt, tau_minutes=math.inf, tau_give_or_take_minutes=math.inf,
        start_c=mean, start_minute=first, slope_k_per_min=0.0, bending_per_min=0.0,
        level_minute=first, level_low_minute=first, level_high_minute=first,
        residual_sd=sd, freedom=freedom,
    )  # fmt: skip


def _between(readings: _Readings, best: float, limit: float) -> Floats:
    """Bendings that fit hardly worse than the best, the ends exactly, shape (k,)."""
    from scipy.optimize import brentq

    def over(bending: float) -> float:
        return readings.squares(bending) - limit

    low, high = SPAN_LEAST / readings.span, SPAN_MOST / readings.span
    if over(low) > 0 and over(best) < 0:
        low = float(brentq(over, low, best, xtol=1e-9 / readings.span, rtol=1e-9))
    elif over(best) >= 0:
        low = best
    if over(high) > 0 and over(best) < 0:
        high = float(brentq(over, best, high, xtol=1e-9 / readings.span, rtol=1e-9))
    elif over(best) >= 0:
        high = best
    below, above = np.linspace(low, best, 24), np.linspace(best, high, 24)
    if low > 0:  # where it settles depends on one over the bending
        below = 1 / np.linspace(1 / low, 1 / best, 24)
    return np.unique(np.concatenate([below, [best], above]))


def _shape(grid: Floats) -> Shape:
    if grid[0] > 0:
        return "settles"
    return "faster" if grid[-1] < 0 else "straight"


def _ends(readings: _Readings, grid: Floats, limit: float) -> tuple[float, float, float, float]:
    """From where to where it may settle, and from when to when it may level."""
    start, slope, squares, share, middle = readings.lines(grid)
    settles = start + slope / grid
    lever = (1 / grid - middle) ** 2 * share + 1 / len(readings.at)
    room = np.sqrt(np.maximum(limit - squares, 0.0) * lever)
    levels = _levels(grid, slope)
    return (
        float((settles - room).min()),
        float((settles + room).max()),
        float(levels.min()),
        float(levels.max()),
    )


def _levels(bending: Floats, slope: Floats) -> Floats:
    """Minutes from the first reading until it changes by less than 0.5 K in 5 minutes."""
    rise = np.abs(slope) / bending
    still = rise * np.expm1(np.minimum(bending * LEVEL_WITHIN_MINUTES, 700.0)) / LEVEL_CHANGE_K
    at = np.log(np.maximum(still, 1.0)) / bending
    return np.where(still > 1, np.maximum(at, LEVEL_WITHIN_MINUTES), 0.0)
