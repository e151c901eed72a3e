"""The run-in watch: readings and limits in, one call out. It never controls a machine.

It knows no clock and keeps nothing: the same readings, limits and moment give the same call.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from retrue.science.run_in import NOTHING, ready
from retrue.science.watch_limits import Bounds, Limits, channel
from retrue.science.watch_rules import Call, ChannelState, Reason, judged
from retrue.science.watch_series import Series, clean

Samples = Mapping[str, tuple[ArrayLike, ArrayLike]]

ROOM_S = 3600.0  # a room read longer ago is no longer the room
ORDER: tuple[Call, ...] = ("stop", "no_reading", "hold", "step", "go")
TOGETHER_S = 60.0
NO_BOUNDS = Bounds()


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
    must = _must(limits, names)
    last = {name: max(cleaned[name].last_s, limits.begun_s) for name in must}
    if not any(bounds.must for bounds in limits.channels.values()):
        last = {"": max(last.values(), default=limits.begun_s)}
    reasons.extend(_silent(last, cleaned, limits, now_s))
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
        gaps=_gaps([cleaned[name] for name in must], limits, now_s),
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


def _must(limits: Limits, names: list[str]) -> list[str]:
    """The channels that must be read; where none is named, any."""
    named = [name for name, bounds in limits.channels.items() if bounds.must]
    return named or names


def _silent(
    last: Mapping[str, float], cleaned: Mapping[str, Series], limits: Limits, now_s: float
) -> list[Reason]:
    found = []
    for name, when in last.items():
        if now_s - when > limits.silence_s:
            never = name in cleaned and not math.isfinite(cleaned[name].last_s)
            code = "never_read" if never else "silent"
            found.append(
                Reason(code, "no_reading", name, (now_s - when) / 60, limits.silence_s / 60)
            )
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


def _gaps(must: list[Series], limits: Limits, now_s: float) -> tuple[tuple[float, float], ...]:
    """When nothing was read for longer than it may be, in any channel that must be read."""
    read = [series.since(limits.begun_s).seconds for series in must]
    if not any(bounds.must for bounds in limits.channels.values()):
        read = [np.sort(np.concatenate([[], *read]))]  # none is named: a reading of any will do
    found = set()
    for seconds in read:
        times = np.concatenate([[limits.begun_s], seconds, [now_s]])
        long = np.flatnonzero(np.diff(times) > limits.silence_s)
        found |= {(float(times[i]), float(times[i + 1])) for i in long}
    return tuple(sorted(found))
