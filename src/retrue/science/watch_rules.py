"""What one channel of a run-in watch says: stop, hold, or nothing against it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from retrue.science.run_in import held
from retrue.science.warm_up import FEWEST, WarmUp, fit
from retrue.science.watch_limits import (
    FALL_SHARE,
    LOUDER_HOLD_DB,
    LOUDER_STOP_DB,
    ROUGHER_HOLD,
    ROUGHER_STOP,
    Bounds,
    Channel,
)
from retrue.science.watch_series import (
    LONG_RATE_S,
    Rate,
    Series,
    first_level,
    lowest_level,
    rate,
)
from retrue.science.watch_state import ChannelState, Reason

MARGIN_K = 5.0  # below a ceiling: a winding's hottest spot is warmer than what is read
SOON_MINUTES, AHEAD_MINUTES = 8.0, 45.0
RECENT_S, WARMED_S = 1800.0, 300.0
FASTER_READINGS = 6
SELDOM_S, RISE_K, LEAST_GROWTH, MOST_GROWTH = 45.0, 1.0, 1.3, 3.0
SURE = 1.5  # times the usual doubt before something is called for good
SPINNING_UP_S = 30.0
OVERFILL_S, FALLEN_K = 1800.0, 1.0
COOLS_K_PER_MIN = -1.0  # no running part cools as fast: the sensor is off
LISTEN_S = 60.0
START_S = 120.0
FEW_FIT_S = 120.0


def judged(
    name: str,
    of: Channel,
    series: Series,
    bounds: Bounds,
    *,
    begun_s: float,
    now_s: float,
    room_c: float,
) -> tuple[ChannelState, tuple[Reason, ...]]:
    """Where one channel stands, and what stands against going on.

    Parameters
    ----------
    name : str
    of : Channel
    series : Series
        Cleaned.
    bounds : Bounds
    begun_s, now_s : float
        When the step began, and now.
    room_c : float
        NaN where nobody has read it.

    Returns
    -------
    ChannelState, tuple of Reason

    References
    ----------
    Common practice, no source, but for the class of insulation: IEC 60034-1 (from memory).

    Examples
    --------
    >>> from retrue.science.watch_limits import channel
    >>> from retrue.science.watch_series import clean
    >>> nose = channel("nose")
    >>> state, why = judged("nose", nose, clean([0, 60], [59.0, 61.0], 60, nose),
    ...     Bounds(abort_high=60.0), begun_s=0, now_s=60, room_c=21.0)
    >>> why[0].code, state.rise_kelvin
    ('over_cap', 40.0)
    """
    near = series.since(begun_s)
    if len(near) == 0:
        state = ChannelState(name=name, unit=of.unit, level=series.level, read_s=series.last_s,
                             newest=series.newest, doubtful=series.doubtful)  # fmt: skip
        return state, tuple(_again(state))
    if of.sort == "temperature":
        return _temperature(name, of, series, near, bounds, begun_s, now_s, room_c)
    state = _plain(name, of, near, bounds, begun_s, now_s)
    reasons = (*_band(state, bounds), *_own(state, of, bounds, begun_s, now_s))
    if of.sort == "current" and now_s - begun_s < SPINNING_UP_S:
        reasons = ()
    return state, (*reasons, *_again(state))


def _plain(
    name: str, of: Channel, near: Series, bounds: Bounds, begun_s: float, now_s: float
) -> ChannelState:
    level = near.level
    if of.sort in ("sound", "vibration"):
        last = near.since(float(near.seconds[-1]) - LISTEN_S).values
        level = float(sorted(last.tolist())[len(last) // 2])
    base = first_level(near, begun_s) if bounds.baseline is None else bounds.baseline
    points = rated_percent = math.nan
    if of.sort == "current":
        lowest = lowest_level(near, begun_s)
        base = lowest if bounds.baseline is None or lowest < bounds.baseline else bounds.baseline
        rated = 100.0 if of.unit == "%" else bounds.rated
        if rated:
            points, rated_percent = 100 * (level - base) / rated, 100 * level / rated
    return ChannelState(
        name=name, unit=of.unit, level=level, read_s=near.last_s, rate=rate(near, now_s),
        baseline=base, drift=level - base, points=points, rated_percent=rated_percent,
        cap=math.nan if bounds.abort_high is None else bounds.abort_high,
        newest=near.newest, dropped=near.dropped, doubtful=near.doubtful,
    )  # fmt: skip


def _band(state: ChannelState, bounds: Bounds) -> Iterator[Reason]:
    """Against its band; outside of what stops it, that alone is said."""
    level, name = state.level, state.name
    if bounds.abort_high is not None and level > bounds.abort_high:
        yield Reason("over_cap", "stop", name, level, bounds.abort_high)
    elif bounds.expected_high is not None and level > bounds.expected_high:
        yield Reason("over_expected", "hold", name, level, bounds.expected_high)
    if bounds.abort_low is not None and level < bounds.abort_low:
        yield Reason("under_least", "stop", name, level, bounds.abort_low)
    elif bounds.expected_low is not None and level < bounds.expected_low:
        yield Reason("under_expected", "hold", name, level, bounds.expected_low)


def _own(
    state: ChannelState, of: Channel, bounds: Bounds, begun_s: float, now_s: float
) -> Iterator[Reason]:
    """Against its own baseline."""
    if of.sort == "current":
        yield from _steps(state, "current_up", "current_rises", state.points, bounds.up_points / 2,
                          bounds.up_points)  # fmt: skip
    elif of.sort == "sound":
        yield from _steps(state, "louder", "somewhat_louder", state.drift, LOUDER_HOLD_DB,
                          LOUDER_STOP_DB)  # fmt: skip
    elif of.sort == "vibration" and state.baseline > 0:
        yield from _steps(state, "rougher", "somewhat_rougher", state.level / state.baseline,
                          ROUGHER_HOLD, ROUGHER_STOP)  # fmt: skip
    elif of.sort == "pressure" and state.baseline > 0:
        yield from _steps(state, "pressure_falls", "pressure_sags", -state.drift / state.baseline,
                          FALL_SHARE / 2, FALL_SHARE)  # fmt: skip


def _steps(
    state: ChannelState, stop: str, hold: str, value: float, from_hold: float, from_stop: float
) -> Iterator[Reason]:
    if value > from_stop:
        yield Reason(stop, "stop", state.name, value, from_stop)
    elif value > from_hold:
        yield Reason(hold, "hold", state.name, value, from_hold)


def _again(state: ChannelState) -> Iterator[Reason]:
    if state.doubtful is not None:
        yield Reason("read_again", "hold", state.name, state.doubtful[1], state.level)


def _temperature(
    name: str, of: Channel, series: Series, near: Series, bounds: Bounds, begun_s: float,
    now_s: float, room_c: float,
) -> tuple[ChannelState, tuple[Reason, ...]]:  # fmt: skip
    caps = [c for c in (bounds.abort_high, bounds.ceiling_c) if c is not None]
    start = _start_level(near)
    under = start if bounds.over_start else room_c
    if bounds.abort_rise_kelvin is not None and not math.isnan(under):
        caps.append(under + bounds.abort_rise_kelvin)
    cap = min(caps, default=math.nan)
    now = rate(series, now_s)
    warm = _fitted(near, begun_s)
    best, earliest = _minutes_to(near, warm, now, cap, begun_s, now_s)
    minutes = near.seconds / 60.0
    base = float(near.values[0]) if bounds.baseline is None else bounds.baseline
    peak = float(near.values.max())
    state = ChannelState(
        name=name, unit=of.unit, level=near.level, read_s=series.last_s, rate=now,
        rise_kelvin=near.level - room_c, baseline=base, drift=near.level - base, warm=warm,
        held=held(minutes, near.values, reading_sd=near.sd), cap=cap, cap_minutes=best,
        cap_earliest_minutes=earliest, peak=peak, fallen=peak - near.level,
        newest=series.newest, step_rise=near.level - start, dropped=series.dropped,
        doubtful=series.doubtful,
    )  # fmt: skip
    reasons = (
        *_band(state, bounds),
        *_rising(state, bounds, rate(series, now_s, LONG_RATE_S)),
        *_ceiling(state, bounds, near, begun_s, now_s),
        *_grease(state, bounds, near, now_s, under),
        *_again(state),
    )
    return state, reasons


def _start_level(near: Series) -> float:
    """Its level when the step began: the lowest of the first two minutes."""
    last = int(np.searchsorted(near.seconds, near.seconds[0] + START_S, "right"))
    return float(near.values[:last].min())


def _fitted(near: Series, begun_s: float) -> WarmUp | None:
    few = near.thinned()
    if len(few) < FEWEST or few.seconds[-1] - few.seconds[0] < FEW_FIT_S:
        return None
    return fit((few.seconds - begun_s) / 60.0, few.values, reading_sd=few.sd)


def _minutes_to(
    near: Series, warm: WarmUp | None, now: Rate, cap: float, begun_s: float, now_s: float
) -> tuple[float, float]:
    """Minutes from now to a cap: on the fitted curve where it tells, else on a straight line."""
    left = cap - near.level
    if math.isnan(cap):
        return math.inf, math.inf
    if left <= 0:
        return 0.0, 0.0
    fast = now.per_min + now.give_or_take
    earliest = left / fast if fast > 0 and math.isfinite(fast) else math.inf
    if warm is not None and warm.told:
        if warm.settles_high_c <= cap:
            return math.inf, math.inf
        if warm.settles_c <= cap or not warm.bending_per_min > 0:
            return math.inf, earliest
        share = (warm.settles_c - cap) * warm.bending_per_min / warm.slope_k_per_min
        at = warm.start_minute - math.log(share) / warm.bending_per_min
        best = max(0.0, at - (now_s - begun_s) / 60.0)
        return best, min(best, earliest)
    return (left / now.per_min if now.per_min > 0 else math.inf), earliest


def _rising(state: ChannelState, bounds: Bounds, longer: Rate) -> Iterator[Reason]:
    name, now, own = state.name, state.rate, "step_" if bounds.over_start else ""
    rise = state.step_rise if bounds.over_start else state.rise_kelvin
    most, expected = bounds.abort_rise_kelvin, bounds.expected_rise_kelvin
    if most is not None and math.isnan(rise):
        yield Reason("no_room", "hold", name)
    elif most is not None and rise > most:
        yield Reason(f"over_{own}rise", "stop", name, rise, most)
    elif expected is not None and rise > expected:
        yield Reason(f"over_expected_{own}rise", "hold", name, rise, expected)
    stop, hold = bounds.rate_stop, bounds.rate_hold
    longest = longer.per_min if longer.whole(LONG_RATE_S) else math.nan
    if stop is not None and (now.per_min - now.give_or_take > stop or longest > stop):
        yield Reason("too_fast", "stop", name, np.fmax(now.per_min, longest), stop)
    elif stop is not None and now.per_min > stop:
        yield Reason("perhaps_too_fast", "hold", name, now.per_min, stop)
    elif hold is not None and now.per_min > hold:
        yield Reason("fast", "hold", name, now.per_min, hold)
    if now.per_min + now.give_or_take < COOLS_K_PER_MIN and now.readings >= FEWEST:
        yield Reason("sensor_off", "hold", name, now.per_min)
    warm = state.warm
    if warm is not None and warm.told and warm.settles_low_c > state.cap >= state.level:
        yield Reason("heads_over", "hold", name, warm.settles_c, state.cap)


def _ceiling(
    state: ChannelState, bounds: Bounds, near: Series, begun_s: float, now_s: float
) -> Iterator[Reason]:
    """A temperature that must never be reached: predicted is enough."""
    if bounds.ceiling_c is None:
        return
    limit, name = bounds.ceiling_c - MARGIN_K, state.name
    now = state.rate
    if state.level >= limit:
        yield Reason("class_reached", "stop", name, state.level, bounds.ceiling_c)
        return
    minutes = (limit - state.level) / now.per_min if now.per_min > now.give_or_take else math.inf
    if minutes < max(SOON_MINUTES, 3 * near.every_s / 60.0 + 2):
        yield Reason("class_soon", "stop", name, minutes, bounds.ceiling_c)
    if _runs_away(near, bounds.ceiling_c):
        yield Reason("heats_faster", "stop", name, now.per_min, minutes)
        return
    recent = near.since(max(begun_s + WARMED_S, now_s - RECENT_S)).thinned()
    if len(recent) < FASTER_READINGS or recent.seconds[-1] - recent.seconds[0] < WARMED_S:
        return
    found = fit((recent.seconds - begun_s) / 60.0, recent.values, reading_sd=recent.sd,
                doubt_times=SURE)  # fmt: skip
    if found.shape == "faster" and now.per_min > 0:
        serious = minutes < AHEAD_MINUTES
        yield Reason("heats_faster", "stop" if serious else "hold", name, now.per_min, minutes)
    elif found.told and found.settles_low_c > limit:
        yield Reason("class_settles", "stop", name, found.settles_c, bounds.ceiling_c)


def _runs_away(near: Series, ceiling_c: float) -> bool:
    """Whether rises grow from one to the next so that two readings on it is over."""
    if len(near) < 4 or near.every_s < SELDOM_S:
        return False
    apart, rises = np.diff(near.seconds[-4:]), np.diff(near.values[-4:])
    if apart.min() <= 0 or rises[1:].min() < max(RISE_K, 4 * near.sd):
        return False
    earlier, before, now = (rises / apart).tolist()
    grows = min(now / before, MOST_GROWTH)
    ahead = near.level + now * float(apart[-1]) * (grows + grows * grows)
    return bool(earlier < before and grows > LEAST_GROWTH and ahead >= ceiling_c)


def _grease(
    state: ChannelState, bounds: Bounds, near: Series, now_s: float, under_c: float
) -> Iterator[Reason]:
    """A grease peak that falls is good; one that does not fall is too much grease."""
    expected = bounds.expected_rise_kelvin
    at_peak = float(near.seconds[int(near.values.argmax())])
    if state.fallen > max(FALLEN_K, 3 * near.sd) and now_s - at_peak < OVERFILL_S * 2:
        yield Reason("peak_falls", "go", state.name, state.fallen, state.peak)
        return
    if expected is None or math.isnan(under_c) or near.level - under_c <= expected:
        return
    under = near.seconds[near.values <= under_c + expected]
    since = float(under[-1]) if len(under) else float(near.seconds[0])
    if now_s - since >= OVERFILL_S:
        yield Reason("overfill", "hold", state.name, (now_s - since) / 60.0, state.rise_kelvin)
