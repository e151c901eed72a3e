"""Readings of one channel made fit to be judged: bad ones out, how fast it changes, baselines."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.watch_limits import Channel

Floats = NDArray[np.float64]

BIN_S = 15.0  # readings that come faster than two in that long are put together
FRESH_S = 15.0
AHEAD_S = 120.0  # a logger's clock may run that far ahead
CONFIRM_S = 90.0  # a reading nobody expects counts after that long, if none has followed
RATE_S, LONG_RATE_S = 300.0, 600.0
SHORTEST_RATE_S, WHOLE_SHARE = 55.0, 0.8
FIRST_TIMES = 5.0  # the second reading may be that much further from the first
JUMP_SHARE = 0.1  # of a rated current
POINTS = 120  # a longer series is thinned for a fit
BASE_S, INRUSH_S = 300.0, 60.0


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """One channel's readings, cleaned.

    Attributes
    ----------
    seconds, values : ndarray, shape (n,)
        Rising in time; medians of short whiles where they came fast.
    sd : float
        Standard uncertainty of one of them.
    last_s : float
        When it was last read; minus infinity where never.
    every_s : float
        The usual time from reading to reading.
    dropped : tuple of (float, float)
        Single bad readings that were left out.
    doubtful : tuple of (float, float) or None
        The newest reading, where nobody would expect it and nothing has confirmed it yet.
    """

    seconds: Floats
    values: Floats
    sd: float
    last_s: float
    every_s: float
    dropped: tuple[tuple[float, float], ...] = ()
    doubtful: tuple[float, float] | None = None
    newest: float = math.nan  # as it was read last, believed or not
    same_s: float = math.inf  # since when it has been read exactly the same
    same_readings: int = 0

    def __len__(self) -> int:
        return len(self.seconds)

    @property
    def level(self) -> float:
        """The newest value that counts; NaN where there is none."""
        return float(self.values[-1]) if len(self.values) else math.nan

    def since(self, second: float) -> Series:
        """What was read from then on."""
        first = int(np.searchsorted(self.seconds, second - 1e-6))
        return replace(self, seconds=self.seconds[first:], values=self.values[first:])

    def thinned(self) -> Series:
        """At most some hundred values, each the mean of its neighbours."""
        every = -(-len(self) // POINTS)
        if every <= 1:
            return self
        edges = np.arange(0, len(self), every)
        count = np.diff(np.append(edges, len(self)))
        return Series(np.add.reduceat(self.seconds, edges) / count,
                      np.add.reduceat(self.values, edges) / count,
                      self.sd / math.sqrt(every), self.last_s, self.every_s)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rate:
    """How fast a channel changes."""

    per_min: float  # NaN where it cannot be told
    give_or_take: float
    readings: int
    over_s: float

    def whole(self, within_s: float) -> bool:
        """Whether it was read over nearly as long a time as was asked for."""
        return self.over_s >= WHOLE_SHARE * within_s


UNKNOWN_RATE = Rate(math.nan, math.inf, 0, 0.0)


def clean(
    seconds: ArrayLike,
    values: ArrayLike,
    now_s: float,
    of: Channel,
    *,
    rated: float | None = None,
    believe: bool = False,
) -> Series:
    """Make a channel's readings fit to be judged.

    Parameters
    ----------
    seconds, values : array_like, shape (n,)
        Any zero, any order.
    now_s : float
        Later readings do not count yet; up to two minutes a fast clock is forgiven.
    of : Channel
        What can be.
    rated : float, optional
        Of a current: a tenth of it is what nobody expects from one reading to the next.
    believe : bool
        The newest reading counts, whatever it is: another channel bears it out.

    Returns
    -------
    Series

    Notes
    -----
    A reading that the sensor cannot have taken from the machine is no reading. One that stands
    alone between two that agree is left out. The newest one that is far off where it was heading
    is asked for again, and counts when the next agrees, or when none has come for a minute and a
    half.

    References
    ----------
    Our own rules.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> found = clean([0, 60, 120, 180], [21, 21.5, 88, 22.5], 200, channel("nose"))
    >>> found.values.tolist(), found.dropped
    ([21.0, 21.5, 22.5], ((120.0, 88.0),))
    """
    at, seen = np.asarray(seconds, dtype=np.float64), np.asarray(values, dtype=np.float64)
    kept = np.isfinite(seen) & (seen >= of.low) & (seen <= of.high) & (at <= now_s + AHEAD_S)
    at, seen = at[kept], seen[kept]
    if len(at) > 1 and (np.diff(at) < 0).any():
        order = np.argsort(at, kind="stable")
        at, seen = at[order], seen[order]
    if len(at) == 0:
        return Series(at, seen, of.sd, -math.inf, math.inf)
    last_s, newest = float(at[-1]), float(seen[-1])
    other = np.flatnonzero(seen != newest)
    same = int(other[-1]) + 1 if len(other) else 0
    same_s, same_readings = float(at[same]), len(at) - same
    every_s = float(np.median(np.diff(at))) if len(at) > 1 else math.inf
    resolution = _resolution(seen)
    if every_s <= BIN_S / 2:
        at, seen = _binned(at, seen)
    jump = of.jump if rated is None else max(of.jump, rated * JUMP_SHARE)
    at, seen, dropped = _alone(at, seen, jump, of.jump_per_min)
    doubtful = None
    if not believe:
        at, seen, doubtful = _newest(at, seen, jump, of.jump_per_min, now_s)
    sd = max(of.sd if every_s > BIN_S / 2 else of.sd / 2, resolution / math.sqrt(12), _noise(seen))
    return Series(at, seen, sd, last_s, every_s, dropped, doubtful, newest, same_s, same_readings)


def rate(series: Series, now_s: float, within_s: float = RATE_S) -> Rate:
    """How fast a channel changes, of the last while.

    Parameters
    ----------
    series : Series
        Cleaned.
    now_s : float
        The while ends here.
    within_s : float
        How long it is; longer where fewer than three readings fall in it.

    Returns
    -------
    Rate
        A minute, with its give or take (k = 2).

    Notes
    -----
    The median of all slopes between two readings: a bad reading or two do not move it. Under a
    minute of readings nothing is told.

    References
    ----------
    Sen, Estimates of the regression coefficient based on Kendall's tau, JASA 63 (1968), 1379-1389.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> at = [0, 60, 120, 180, 240, 300]
    >>> found = rate(clean(at, [20, 20.5, 21, 21.5, 22, 22.5], 300, channel("nose")), 300)
    >>> round(found.per_min, 3), round(found.give_or_take, 3)
    (0.5, 0.069)
    """
    first = int(np.searchsorted(series.seconds, now_s - within_s - 1e-6))
    first = max(0, min(first, len(series) - 3))
    at, seen = series.seconds[first:] / 60.0, series.values[first:]
    if len(at) < 2 or at[-1] - at[0] < SHORTEST_RATE_S / 60.0:
        return UNKNOWN_RATE
    earlier, later = np.triu_indices(len(at), 1)
    apart = at[later] - at[earlier]
    slope = float(np.median((seen[later] - seen[earlier])[apart > 0] / apart[apart > 0]))
    off = at - at.mean()
    left = seen - slope * off
    scatter = 1.4826 * float(np.median(np.abs(left - np.median(left)))) if len(at) > 3 else 0.0
    sd = max(series.sd, scatter * math.sqrt(len(at) / max(len(at) - 2, 1)))
    return Rate(slope, 2 * sd / math.sqrt(float(off @ off)), len(at), float(at[-1] - at[0]) * 60)


def lowest_level(series: Series, begun_s: float) -> float:
    """The lowest level it has held for five minutes since a step began.

    Parameters
    ----------
    series : Series
        Cleaned.
    begun_s : float
        The first minute after it, with the inrush of a start, does not count.

    Returns
    -------
    float
        NaN where it has not been read twice.

    References
    ----------
    Our own rule: grease that is stiff at first shall not hide what comes later.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> found = clean([0, 60, 120, 180, 240, 300, 360], [9, 5, 4, 4, 4, 4, 8], 360, channel("amps"))
    >>> lowest_level(found, 0.0)
    4.0
    """
    near = series.since(begun_s + INRUSH_S)
    if len(near) < 2:
        return math.nan
    levels, first = [], 0
    while first < len(near):
        last = int(np.searchsorted(near.seconds, near.seconds[first] + BASE_S - 1e-6))
        last = max(last, first + 3)
        if last > len(near):
            break
        levels.append(float(np.median(near.values[first:last])))
        first = last
    return min(levels) if levels else float(np.median(near.values))


def first_level(series: Series, begun_s: float) -> float:
    """The level it held in the first five minutes of a step.

    Parameters
    ----------
    series : Series
        Cleaned.
    begun_s : float
        When the step began.

    Returns
    -------
    float
        NaN where it was not read.

    References
    ----------
    Our own rule.

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> first_level(clean([0, 60, 120, 900], [70, 71, 72, 90], 900, channel("sound_db")), 0.0)
    71.0
    """
    near = series.since(begun_s)
    if len(near) == 0:
        return math.nan
    last = int(np.searchsorted(near.seconds, near.seconds[0] + BASE_S))
    return float(np.median(near.values[: max(last, 2)]))


def _binned(at: Floats, seen: Floats) -> tuple[Floats, Floats]:
    """Medians of short whiles counted back from the newest reading, so that it has a full one."""
    place = np.floor((at[-1] - at) / BIN_S).astype(np.int64)
    order = np.lexsort((seen, -place))
    edges = np.flatnonzero(np.r_[True, np.diff(place) != 0])
    count = np.diff(np.r_[edges, len(at)])
    ordered = seen[order]
    middle = (ordered[edges + (count - 1) // 2] + ordered[edges + count // 2]) / 2
    return np.add.reduceat(at, edges) / count, middle


def _alone(
    at: Floats, seen: Floats, jump: float, per_min: float
) -> tuple[Floats, Floats, tuple[tuple[float, float], ...]]:
    """Leave out what stands alone between two readings that agree."""
    if len(at) < 3 or jump <= 0:
        return at, seen, ()
    before, after = seen[1:-1] - seen[:-2], seen[1:-1] - seen[2:]
    least = np.minimum(np.abs(before), np.abs(after))
    allowed = jump + per_min * np.diff(at)[:-1] / 60.0
    bad = (before * after > 0) & (least > allowed)
    bad &= np.abs(seen[2:] - seen[:-2]) < 0.5 * least
    where = np.flatnonzero(bad) + 1
    first = abs(float(seen[1] - seen[0]))
    if (
        first > jump + FIRST_TIMES * per_min * float(at[1] - at[0]) / 60
        and abs(seen[2] - seen[1]) < first / 2
    ):
        where = np.r_[0, where]  # the very first one, where the next two agree
    if not len(where):
        return at, seen, ()
    dropped = tuple(zip(at[where].tolist(), seen[where].tolist(), strict=True))
    return np.delete(at, where), np.delete(seen, where), dropped


def _newest(
    at: Floats, seen: Floats, jump: float, per_min: float, now_s: float
) -> tuple[Floats, Floats, tuple[float, float] | None]:
    if len(at) < 2 or jump <= 0 or now_s - at[-1] >= CONFIRM_S:
        return at, seen, None
    apart = float(at[-1] - at[-2]) / 60.0
    before = max(0, len(at) - 4)
    passed = float(at[-2] - at[before]) / 60.0
    heading = float(seen[-2] - seen[before]) / passed if passed > 0 and per_min > 0 else 0.0
    allowed = jump + (per_min if passed > 0 else FIRST_TIMES * per_min) * apart
    if abs(float(seen[-1] - seen[-2]) - heading * apart) <= allowed:
        return at, seen, None
    kept = len(at) - 1 if len(at) > 2 else 0  # of two that disagree neither is believed
    return at[:kept], seen[:kept], (float(at[-1]), float(seen[-1]))


def _resolution(seen: Floats) -> float:
    """The step in which it is read, from the decimals that occur."""
    for step in (1.0, 0.5, 0.1, 0.05, 0.01):
        steps = seen / step
        if float(np.abs(steps - np.rint(steps)).max()) < 1e-6:
            return step
    return 0.0


def _noise(seen: Floats) -> float:
    """Scatter of one reading from second differences, which a smooth curve hardly has."""
    if len(seen) < 8:
        return 0.0
    bend = np.abs(seen[:-2] - 2 * seen[1:-1] + seen[2:])
    return float(1.4826 * np.median(bend) / math.sqrt(6))
