"""A watch as it stands: from its plan and the rows that were read to what a person is told.

It is pure: the same plan, rows and moment say the same. Whoever keeps the watch keeps a stop once
it is called and hands it back in ``called``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from retrue.base.formatter import minute, number
from retrue.base.say import say
from retrue.cases.wake.logger_columns import like_fahrenheit
from retrue.cases.wake.watch_numbers import numbers_of
from retrue.cases.wake.watch_plan import WatchPlan
from retrue.cases.wake.watch_view import Called, WatchCall, Watched
from retrue.cases.wake.watch_words import WORDS, part, sentence, what_to_do
from retrue.science.warm_up import WarmUp
from retrue.science.watch import Samples, WatchState, first_stop, judge
from retrue.science.watch_limits import channel
from retrue.science.watch_state import Reason

Row = tuple[str, str, float]  # ISO time with offset, channel, value

LATE_MINUTES = 2.0  # a reading kept that long after it was taken came over a lost line
CAUGHT_UP_S = 30.0
CURVE_POINTS = 120
NAMED_GAPS, NAMED_BAD = 5, 3


def watched(
    plan: WatchPlan,
    begun: datetime,
    rows: Iterable[Row],
    now: datetime,
    *,
    called: Sequence[Called] = (),
    ended: str | None = None,
    aborts: int = 0,
    late_minutes: float = 0.0,
) -> Watched:
    """What a watch says at one moment.

    Parameters
    ----------
    plan : WatchPlan
    begun, now : datetime
        With their offsets.
    rows : iterable of (str, str, float)
        ISO time with offset, channel, value; any order.
    called : sequence of Called
        What was called before and kept.
    ended : str or None
        levelled, stopped, left; None while it runs.
    aborts : int
        Earlier aborts of this stage: after one more it is stripped.
    late_minutes : float
        The longest time from taking a reading to keeping it.

    Returns
    -------
    Watched

    Notes
    -----
    A silence that was too long stays a stop until readings taken within it are kept.

    Examples
    --------
    >>> from datetime import UTC
    >>> from retrue.cases.wake.bands import Known
    >>> from retrue.cases.wake.watch_plan import watch_plan
    >>> from retrue.cases.wake.written import Written
    >>> began = datetime(2026, 11, 26, 20, tzinfo=UTC)
    >>> plan = watch_plan(Written(), Known(), room_c=21.0)
    >>> read = [("2026-11-26T20:01:00+00:00", "nose", 61.5)]
    >>> told = watched(plan, began, read, began + timedelta(minutes=2))
    >>> told.words, told.why
    ('Stop', ('The nose reads 61.5 °C; the limit is 60 °C.',))
    """
    taken = taken_rows(rows)
    state = judge(samples_of(taken, begun), plan.limits(), (now - begun).total_seconds())
    reasons = _with_gaps(state, plan)
    call = _call(reasons, called, ended)
    against = [one for one in reasons if one.call != "go"]
    unread = part(next((s.name for s in state.channels if _must(plan, s.name)), "nose"))
    running = call in ("go", "hold", "step")
    made = Watched(
        call=call,
        words=say(WORDS[call]),
        why=(*_kept_words(called, call), *(sentence(one) for one in against)),
        good=tuple(sentence(one) for one in reasons if one.call == "go"),
        do=what_to_do(call, again_at_step=plan.again_at_step, aborts=aborts, unread=unread),
        notes=(*_notes(plan, state, begun, late_minutes), *_asked(taken, plan.room_c)),
        numbers=tuple(one for s in state.channels for one in numbers_of(s)),
        next_reading_by=(
            _later(begun, state.next_reading_by_s) if running and not plan.paper else None
        ),
        run_minutes=state.run_minutes,
        step_minutes=plan.step_minutes,
        gaps=tuple((_later(begun, a), _later(begun, b)) for a, b in state.gaps),
        rows=taken,
    )
    return _settling(made, state, plan, begun)


def called_since(
    plan: WatchPlan, begun: datetime, rows: Iterable[Row], after: datetime, now: datetime
) -> Called | None:
    """The first stop between two moments, for the time in which nobody judged.

    Parameters
    ----------
    plan : WatchPlan
    begun, after, now : datetime
        Judged up to ``after``; looked at from there up to now.
    rows : iterable of (str, str, float)

    Returns
    -------
    Called or None
        None where nothing called for a stop.

    Examples
    --------
    >>> from datetime import UTC
    >>> from retrue.cases.wake.bands import Known
    >>> from retrue.cases.wake.watch_plan import watch_plan
    >>> from retrue.cases.wake.written import Written
    >>> began = datetime(2026, 11, 26, 20, tzinfo=UTC)
    >>> read = [(f"2026-11-26T20:0{m}:00+00:00", "nose", c) for m, c in enumerate((59, 61, 59))]
    >>> plan = watch_plan(Written(), Known(), room_c=21.0)
    >>> called_since(plan, began, read, began, began + timedelta(minutes=3)).at.minute
    1
    """
    taken = taken_rows(rows)
    moments = _moments(taken, begun, after, now, plan.silent_for)
    state = first_stop(samples_of(taken, begun), plan.limits(), moments)
    if state is None:
        return None
    grave = [one for one in state.reasons if one.call == state.call]
    at = _later(begun, 60.0 * state.run_minutes)
    return Called(call=state.call, at=at, why=" ".join(sentence(one) for one in grave))


def taken_rows(rows: Iterable[Row]) -> tuple[tuple[datetime, str, float], ...]:
    """Rows with their moments, in time.

    Parameters
    ----------
    rows : iterable of (str, str, float)
        ISO time with offset, channel, value.

    Returns
    -------
    tuple of (datetime, str, float)

    Examples
    --------
    >>> taken_rows([("2026-11-26T20:01:00+00:00", "nose", 21.5)])[0][0].minute
    1
    """
    made = [(datetime.fromisoformat(at), name, float(value)) for at, name, value in rows]
    made.sort(key=lambda row: row[0])
    return tuple(made)


def samples_of(rows: Iterable[tuple[datetime, str, float]], begun: datetime) -> Samples:
    """Rows as the science takes them, seconds counted from the start of the watch.

    Parameters
    ----------
    rows : iterable of (datetime, str, float)
    begun : datetime

    Returns
    -------
    mapping of str to (ndarray, ndarray)
        By channel: seconds and values, each shape (n,).

    Examples
    --------
    >>> from datetime import UTC
    >>> began = datetime(2026, 11, 26, 20, tzinfo=UTC)
    >>> samples_of([(began + timedelta(minutes=1), "nose", 21.5)], began)["nose"][0].tolist()
    [60.0]
    """
    found: dict[str, tuple[list[float], list[float]]] = {}
    for at, name, value in rows:
        seconds, values = found.setdefault(name, ([], []))
        seconds.append((at - begun).total_seconds())
        values.append(value)
    return {name: (np.array(s), np.array(v)) for name, (s, v) in found.items()}


def _must(plan: WatchPlan, name: str) -> bool:
    return name in plan.channels and plan.channels[name].must


def _later(begun: datetime, seconds: float) -> datetime:
    return begun + timedelta(seconds=round(seconds))


def _with_gaps(state: WatchState, plan: WatchPlan) -> list[Reason]:
    """The reasons, and a silence of the past that was too long."""
    reasons = list(state.reasons)
    if state.gaps and not any(one.call == "no_reading" for one in reasons):
        longest = max(b - a for a, b in state.gaps) / 60.0
        gap = Reason("gap", "no_reading", "", longest, plan.silent_for)
        stops = [one for one in reasons if one.call == "stop"]
        reasons = [*stops, gap, *(one for one in reasons if one.call != "stop")]
    return reasons


def _call(reasons: Sequence[Reason], called: Sequence[Called], ended: str | None) -> WatchCall:
    if ended is not None:
        return "ended"
    if any(one.call == "stop" for one in called):
        return "stop"
    return reasons[0].call if reasons else "go"


def _kept_words(called: Sequence[Called], call: str) -> tuple[str, ...]:
    if call != "stop":
        return ()
    return tuple(
        say("Stopped at {at}: {why}", at=minute(one.at), why=one.why)
        for one in called
        if one.call == "stop"
    )


def _moments(
    taken: Sequence[tuple[datetime, str, float]],
    begun: datetime,
    after: datetime,
    now: datetime,
    silence_minutes: float,
) -> list[float]:
    """Every reading after the one judged last, thinned; the end of each silence; now."""
    last, end = (after - begun).total_seconds(), (now - begun).total_seconds()
    at = [last, *((row[0] - begun).total_seconds() for row in taken)]
    kept = [last]
    for moment in sorted(one for one in at if last < one <= end):
        if moment - kept[-1] > 60 * silence_minutes:
            kept.append(kept[-1] + 60 * silence_minutes + 1)
        if moment - kept[-1] >= CAUGHT_UP_S:
            kept.append(moment)
    return [one for one in (*kept[1:], end) if one <= end]


def _notes(
    plan: WatchPlan, state: WatchState, begun: datetime, late_minutes: float
) -> Iterable[str]:
    yield from plan.assumed
    if plan.paper:
        yield say("Watched on paper: the kitchen timer calls for the next reading. Silence is not "
                  "judged here.")  # fmt: skip
    if plan.last_time:
        yield say("Last time, at this step: {levels}.", levels=_last_time(plan))
    for entry in plan.lacks:
        yield say(
            "{entry}: not typed from the plate, so what hangs on it is not judged", entry=entry
        )
    for one in state.channels:
        for at, value in one.dropped[-NAMED_BAD:]:
            yield say("{part} read {value} at {at}, alone and against its neighbours: left out",
                      part=part(one.name), value=number(value, 1),
                      at=minute(_later(begun, at)))  # fmt: skip
    for a, b in state.gaps[-NAMED_GAPS:]:
        yield say("Nothing was read from {a} to {b}.", a=minute(_later(begun, a)),
                  b=minute(_later(begun, b)))  # fmt: skip
    if late_minutes > LATE_MINUTES:
        yield say("Some readings came {minutes} minutes late, over a line that was lost; all are "
                  "kept.", minutes=number(late_minutes, 0))  # fmt: skip


def _last_time(plan: WatchPlan) -> str:
    """The levels at which it settled when it was last run in and was well."""
    told = []
    for name, level in plan.last_time.items():
        if name == "nose_rise":
            told.append(say("the nose {rise} K over its start", rise=number(level, 1)))
        else:
            told.append(f"{part(name)} {number(level, 1)} {channel(name).unit}")
    return ", ".join(map(str, told))


def _asked(taken: Sequence[tuple[datetime, str, float]], room_c: float | None) -> Iterable[str]:
    """Whether a temperature that was typed was °F: asked, never converted by guess."""
    first: dict[str, float] = {}
    for _, name, value in taken:
        first.setdefault(name, value)
    for name, value in first.items():
        if channel(name).sort == "temperature" and like_fahrenheit(name, value, room_c):
            yield say("{part} begins at {value}: was that °F, {celsius} °C? It is taken as °C; if "
                      "it was °F, take it back and type it anew.", part=part(name),
                      value=number(value, 1), celsius=number((value - 32) / 1.8, 1))  # fmt: skip


def _settling(made: Watched, state: WatchState, plan: WatchPlan, begun: datetime) -> Watched:
    warm = [s for s in state.channels if s.warms and s.warm is not None and s.name != "room"]
    main = next((s for s in warm if _must(plan, s.name)), warm[0] if warm else None)
    if main is None or main.warm is None:
        return replace(made, settles_why=say("too few readings yet"))
    found = main.warm
    made = replace(made, main=main.name, curve=_curve(found, state.run_minutes))
    if found.shape == "faster":
        return replace(made, settles_why=say("it warms faster and faster"))
    if not found.told:
        return replace(made, settles_why=say("it does not bend to rest yet: read on"))
    return replace(
        made,
        settles_c=found.settles_c,
        settles_give_or_take_k=found.settles_give_or_take_k,
        settles_at=_later(begun, 60 * found.level_minute),
        settles_from=_later(begun, 60 * found.level_low_minute),
        settles_until=_later(begun, 60 * found.level_high_minute),
    )


def _curve(found: WarmUp, run_minutes: float) -> tuple[tuple[float, float], ...]:
    """The fitted curve a little past now, or to where it levels."""
    first, now = found.start_minute, max(run_minutes, found.start_minute + 1.0)
    until = min(max(found.level_minute, now), 2.0 * now - first) if found.told else now
    minutes = np.linspace(first, until, CURVE_POINTS)
    return tuple(zip(minutes.tolist(), found.at(minutes).tolist(), strict=True))
