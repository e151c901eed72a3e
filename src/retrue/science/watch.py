"""The run-in watch: readings and limits in, one call out. It never controls a machine.

It knows no clock and keeps nothing: the same readings, limits and moment give the same call.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from retrue.science.run_in import NOTHING, ready
from retrue.science.watch_limits import Bounds, Limits, channel
from retrue.science.watch_rules import SPINNING_UP_S, judged
from retrue.science.watch_sensor import Doubt, believed
from retrue.science.watch_series import Series, clean
from retrue.science.watch_state import Call, ChannelState, Reason
from retrue.science.watch_sudden import past

Samples = Mapping[str, tuple[ArrayLike, ArrayLike]]

ROOM_S = 3600.0  # a room read longer ago is no longer the room
ORDER: tuple[Call, ...] = ("stop", "no_reading", "hold", "step", "go")
TOGETHER_S = 60.0
NO_BOUNDS = Bounds()
ONCE_READ = ("nose", "amps")  # read once, they are read on
MASSES = ("nose", "housing", "motor_case")  # what cools slowly
UNSAID = ("peak_falls", "sensor_off")  # of a sensor that is not believed
AROUND = ("room", "cabinet")  # no reading of the machine itself


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WatchState:
    """What a watch calls, and why.

    Attributes
    ----------
    call : str
        ``go``; ``hold``: no next step; ``step``: the next may be taken; ``stop``; ``no_reading``,
        which is a stop.
    reasons : tuple of Reason
        The gravest first; good news last.
    channels : tuple of ChannelState
        Those that must be read first.
    run_minutes : float
        Since the step began.
    next_reading_by_s : float
        When the next reading must have come.
    gaps : tuple of (float, float)
        From when to when nothing was read.
    room_c : float
        NaN where nobody has read it.
    """

    call: Call
    reasons: tuple[Reason, ...]
    channels: tuple[ChannelState, ...]
    run_minutes: float
    next_reading_by_s: float
    gaps: tuple[tuple[float, float], ...]
    room_c: float

    def of(self, name: str) -> ChannelState | None:
        """One channel by its name."""
        return next((one for one in self.channels if one.name == name), None)


def judge(samples: Samples, limits: Limits, now_s: float) -> WatchState:
    """Judge a watch at one moment.

    Parameters
    ----------
    samples : mapping of str to (array_like, array_like)
        By channel: seconds and values, each shape (n,), any order, any zero common to all.
    limits : Limits
    now_s : float
        In the same seconds.

    Returns
    -------
    WatchState

    Raises
    ------
    Unknown
        A channel that the house does not know.

    Notes
    -----
    Stop is called for one reading over a limit; only one that jumps as nothing can jump is asked
    for again first, and counts if nobody reads again, or if another channel jumps up with it. The
    call is of this moment: whoever keeps the watch keeps a stop once it is called.

    References
    ----------
    Limits and rules are common practice, no source; insulation classes IEC 60034-1 (from memory).

    Examples
    --------
    >>> limits = Limits(channels={"nose": Bounds(abort_high=60.0, must=True)}, room_c=21.0)
    >>> readings = {"nose": ([0, 180, 360], [21.0, 22.0, 22.8])}
    >>> judge(readings, limits, 400).call, judge(readings, limits, 721).call
    ('go', 'no_reading')
    """
    now_s = float(now_s)
    names = [*limits.channels, *(name for name in samples if name not in limits.channels)]
    names.sort(key=lambda name: not limits.channels.get(name, NO_BOUNDS).must)
    cleaned = _cleaned(samples, limits, names, now_s)
    room_c = _room(cleaned.get("room"), limits, now_s)
    states: list[ChannelState] = []
    reasons: list[Reason] = []
    for name in names:
        state, why = judged(
            name, channel(name), cleaned[name], limits.channels.get(name, NO_BOUNDS),
            begun_s=limits.begun_s, now_s=now_s, room_c=room_c,
        )  # fmt: skip
        states.append(state)
        reasons.extend(why)
        reasons.extend(_sudden(state, samples, limits, now_s, why))
    groups = _must(limits, cleaned)
    read, doubts = _believed(groups, cleaned, limits, now_s, room_c)
    reasons = [one for one in reasons if one.channel not in doubts or one.code not in UNSAID]
    reasons.extend(_doubted(doubts, limits, now_s))
    last = {
        name: max([limits.begun_s, *(read[one].last_s for one in of)])
        for name, of in groups.items()
    }
    reasons.extend(_silent(last, groups, cleaned, doubts, limits, now_s))
    run_minutes = (now_s - limits.begun_s) / 60.0
    if not any(one.call != "go" for one in reasons):
        reasons.extend(_next(states, limits, run_minutes))
    reasons.sort(key=lambda one: ORDER.index(one.call))
    return WatchState(
        call=reasons[0].call if reasons else "go",
        reasons=tuple(reasons),
        channels=tuple(states),
        run_minutes=run_minutes,
        next_reading_by_s=min(last.values()) + limits.silence_s,
        gaps=_gaps([[read[one] for one in of] for of in groups.values()], limits, now_s),
        room_c=room_c,
    )


def first_stop(samples: Samples, limits: Limits, moments: Iterable[float]) -> WatchState | None:
    """Judge a watch at one moment after another, and give the first stop.

    Parameters
    ----------
    samples : mapping of str to (array_like, array_like)
        As for :func:`judge`.
    limits : Limits
    moments : iterable of float
        Seconds, rising; at each only what was read until then counts.

    Returns
    -------
    WatchState or None
        None where no stop was called, nor one for want of readings.

    References
    ----------
    By definition: so that a stop is not lost while nobody judged.

    Examples
    --------
    >>> limits = Limits(channels={"nose": Bounds(abort_high=60.0)}, room_c=21.0)
    >>> warm = {"nose": ([0, 60, 120, 180], [58.0, 59.0, 61.0, 59.0])}
    >>> judge(warm, limits, 180).call, first_stop(warm, limits, [60, 120, 180]).call
    ('go', 'stop')
    """
    read = {name: (np.asarray(s, float), np.asarray(v, float)) for name, (s, v) in samples.items()}
    for moment in moments:
        until = {name: (s[s <= moment], v[s <= moment]) for name, (s, v) in read.items()}
        state = judge(until, limits, moment)
        if state.call in ("stop", "no_reading"):
            return state
    return None


def _cleaned(samples: Samples, limits: Limits, names: list[str], now_s: float) -> dict[str, Series]:
    """Every channel cleaned; two that jump up together are believed at once."""

    def one(name: str, believe: bool = False) -> Series:
        seconds, values = samples.get(name, ((), ()))
        rated = limits.channels.get(name, NO_BOUNDS).rated
        return clean(seconds, values, now_s, channel(name), rated=rated, believe=believe)

    found = {name: one(name) for name in names}
    up = {
        name: series.doubtful[0]
        for name, series in found.items()
        if series.doubtful is not None and not series.doubtful[1] <= series.level
    }
    together = [
        n for n, at in up.items() if sum(abs(at - o) <= TOGETHER_S for o in up.values()) > 1
    ]
    return found | {name: one(name, believe=True) for name in together}


def _room(series: Series | None, limits: Limits, now_s: float) -> float:
    if series is not None and len(series) and now_s - series.last_s <= ROOM_S:
        return series.level
    return math.nan if limits.room_c is None else limits.room_c


def _must(limits: Limits, cleaned: Mapping[str, Series]) -> dict[str, tuple[str, ...]]:
    """What must be read: of each group one at least; its name is empty where any of it will do."""
    named = [name for name, bounds in limits.channels.items() if bounds.must]
    once = [
        name for name, series in cleaned.items()
        if name.partition(":")[0] in ONCE_READ and series.last_s >= limits.begun_s
    ]  # fmt: skip
    groups: dict[str, tuple[str, ...]] = {name: (name,) for name in (*named, *once)}
    if not named:
        own = [name for name in cleaned if name.partition(":")[0] not in AROUND]
        warm = [name for name in own if channel(name).sort == "temperature"]
        groups[""] = tuple(warm if limits.main else own)
    return groups


def _believed(
    groups: Mapping[str, tuple[str, ...]], cleaned: Mapping[str, Series], limits: Limits,
    now_s: float, room_c: float,
) -> tuple[dict[str, Series], dict[str, Doubt]]:  # fmt: skip
    """What must be read without what no running mass can read, and why the newest is doubted."""
    read: dict[str, Series] = {}
    doubts: dict[str, Doubt] = {}
    for name in {one for of in groups.values() for one in of}:
        series = cleaned[name]
        read[name] = series.since(limits.begun_s)
        if name.partition(":")[0] not in MASSES:
            continue
        own, doubt = believed(
            series, begun_s=limits.begun_s, room_c=room_c, silence_s=limits.silence_s
        )
        if doubt is not None:
            doubts[name] = doubt
        if doubt is not None and not doubt.holds_only:
            own = replace(own, last_s=min(doubt.since_s, series.last_s))
        read[name] = own
    return read, doubts


def _doubted(doubts: Mapping[str, Doubt], limits: Limits, now_s: float) -> list[Reason]:
    return [
        Reason(doubt.code, "hold", name, doubt.value)
        for name, doubt in doubts.items()
        if doubt.holds_only or now_s - doubt.since_s <= limits.silence_s
    ]


def _sudden(
    state: ChannelState, samples: Samples, limits: Limits, now_s: float, why: Iterable[Reason]
) -> list[Reason]:
    """Past an abort limit, as it was read: it waits for no median and no second opinion."""
    name = state.name
    bounds, of = limits.channels.get(name, NO_BOUNDS), channel(name)
    if name not in samples or any(one.call == "stop" for one in why):
        return []
    low = -math.inf if bounds.abort_low is None else bounds.abort_low
    high = math.inf if math.isnan(state.cap) else state.cap
    begun_s = limits.begun_s + (SPINNING_UP_S if of.sort == "current" else 0.0)
    value = past(*samples[name], now_s, of, begun_s=begun_s, low=low, high=high,
                 rated=bounds.rated)  # fmt: skip
    if value is None:
        return []
    if value < low:
        return [Reason("under_least", "stop", name, value, low)]
    return [Reason("over_cap", "stop", name, value, high)]


def _silent(
    last: Mapping[str, float], groups: Mapping[str, tuple[str, ...]], cleaned: Mapping[str, Series],
    doubts: Mapping[str, Doubt], limits: Limits, now_s: float,
) -> list[Reason]:  # fmt: skip
    found = []
    for name, when in last.items():
        never = all(cleaned[one].last_s < limits.begun_s for one in groups[name])
        passed, limit = (now_s - when) / 60, limits.silence_s / 60
        if now_s - when > limits.silence_s:
            code = "never_read" if never else "not_believed" if name in doubts else "silent"
            found.append(Reason(code, "no_reading", name, passed, limit))
        elif never and any(one.last_s >= limits.begun_s for one in cleaned.values()):
            found.append(Reason("not_read_yet", "hold", name, passed, limit))
    return found


def _next(states: list[ChannelState], limits: Limits, run_minutes: float) -> list[Reason]:
    """Whether the step may end: by time, by temperature, and nothing against it."""
    if limits.step_minutes is None:
        return []
    watched = [s for s in states if limits.channels.get(s.name, NO_BOUNDS).must and s.warms]
    still = [s for s in watched if (s.held or NOTHING).state != "levelled"]
    if (
        all(
            ready(limits.step_minutes, run_minutes, s.held or NOTHING, sounds_clean=True)
            for s in watched
        )
        and run_minutes >= limits.step_minutes
    ):
        return [Reason("next_step", "step", "", run_minutes, limits.step_minutes)]
    if run_minutes < limits.step_minutes:
        return []
    return [
        Reason("not_level" if (s.held or NOTHING).state == "changing" else "cannot_tell_level",
               "hold", s.name, (s.held or NOTHING).change_k, (s.held or NOTHING).give_or_take_k)
        for s in still
    ]  # fmt: skip


def _gaps(
    read: Iterable[Iterable[Series]], limits: Limits, now_s: float
) -> tuple[tuple[float, float], ...]:
    """When nothing was read for longer than it may be, in any group that must be read."""
    found = set()
    for of in read:
        seconds = np.sort(np.concatenate([[], *(one.seconds for one in of)]))
        times = np.concatenate([[limits.begun_s], seconds, [now_s]])
        long = np.flatnonzero(np.diff(times) > limits.silence_s)
        found |= {(float(times[i]), float(times[i + 1])) for i in long}
    return tuple(sorted(found))
