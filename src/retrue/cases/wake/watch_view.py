"""What a watch tells page, paper and command, as one value, and as a flat object."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal

from retrue.base.say import say

SCHEMA = "wake.watch.1"
RELATIVE = "sound_db"
WatchCall = Literal["go", "hold", "step", "stop", "no_reading", "ended"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One number of a watch; its value is None where it cannot be told yet."""

    key: str  # nose_c_per_min
    name: str  # as a page says it
    value: float | None
    unit: str
    digits: int = 1
    give_or_take: float | None = None
    why: str = ""  # where there is no value


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A call that was kept."""

    call: str  # stop, no_reading, hold
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What a watch says at one moment.

    Attributes
    ----------
    call : str
        go, hold, step, stop, no_reading, ended. A stop that was kept stays a stop.
    words : str
        One or two, to be read at three metres.
    why, good, do, notes : tuple of str
        Why it calls so, the gravest first; what is well; what to do now; what to know of the
        readings themselves.
    numbers : tuple of Number
    settles_c, settles_give_or_take_k : float or None
        Where the part that must be watched will settle.
    settles_at, settles_from, settles_until : datetime or None
        When it will have levelled, and from when to when it may.
    next_reading_by : datetime or None
        None where it has ended or was stopped.
    run_minutes, step_minutes : float, float or None
    gaps : tuple of (datetime, datetime)
        When nothing was read for too long.
    rows : tuple of (datetime, str, float)
        All that was read, in time.
    main : str
        The temperature that settles: the one that must be read.
    curve : tuple of (float, float)
        The curve that it follows: minutes since the start, degrees C; empty where none fits.
    """

    call: WatchCall
    words: str
    why: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    settles_c: float | None = None
    settles_give_or_take_k: float | None = None
    settles_at: datetime | None = None
    settles_from: datetime | None = None
    settles_until: datetime | None = None
    settles_why: str = ""
    next_reading_by: datetime | None = None
    run_minutes: float = 0.0
    step_minutes: float | None = None
    gaps: tuple[tuple[datetime, datetime], ...] = ()
    rows: tuple[tuple[datetime, str, float], ...] = ()
    main: str = ""
    curve: tuple[tuple[float, float], ...] = ()


def relative_sound(made: Watched) -> Watched:
    """The same without a sound level: a recording without a known level tells only its change.

    Parameters
    ----------
    made : Watched

    Returns
    -------
    Watched

    Examples
    --------
    >>> made = Watched(call="go", words="Go on", numbers=(
    ...     Number(key="sound_db", name="the sound", value=71.0, unit="dB"),))
    >>> relative_sound(made).numbers[0].value is None
    True
    """
    why = say("recorded without a known level: only its change is told")
    numbers = tuple(
        replace(one, value=None, why=why) if one.key == RELATIVE else one for one in made.numbers
    )
    note = say("The sound is relative: it was recorded without a known level.")
    return replace(made, numbers=numbers, notes=(*made.notes, note))


def flat(made: Watched) -> dict[str, Any]:
    """A watch as one flat object for ``--json``.

    Parameters
    ----------
    made : Watched

    Returns
    -------
    dict
        ``schema``, ``call``, ``words``, the reasons, every number under its key, null with ``why``.

    Examples
    --------
    >>> flat(Watched(call="go", words="Go on"))["schema"]
    'wake.watch.1'
    """
    whys = {one.key: one.why for one in made.numbers if one.value is None}
    for key in ("settles_c", "settles_give_or_take_k", "settles_at"):
        if getattr(made, key) is None:
            whys[key] = made.settles_why
    told: dict[str, Any] = {
        "schema": SCHEMA,
        "call": made.call,
        "words": made.words,
        "reasons": list(made.why),
        "good": list(made.good),
        "do": list(made.do),
        "notes": list(made.notes),
        "run_minutes": made.run_minutes,
        "step_minutes": made.step_minutes,
        "next_reading_by": _iso(made.next_reading_by),
        "settles_c": made.settles_c,
        "settles_give_or_take_k": made.settles_give_or_take_k,
        "settles_at": _iso(made.settles_at),
        "settles_from": _iso(made.settles_from),
        "settles_until": _iso(made.settles_until),
        "gaps": [{"from": _iso(a), "to": _iso(b)} for a, b in made.gaps],
        "readings": len(made.rows),
        "units": {one.key: one.unit for one in made.numbers},
        "why": whys,
    }
    for one in made.numbers:
        told[one.key] = one.value
        if one.give_or_take is not None:
            told[f"{one.key}_give_or_take"] = one.give_or_take
    return told


def _iso(when: datetime | None) -> str | None:
    return None if when is None else when.isoformat(timespec="seconds")
