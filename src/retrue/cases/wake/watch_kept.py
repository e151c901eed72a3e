"""What a shop keeps of one watch, and how the watch stands by it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from retrue.base.refusals import NotYet, Problem, Unknown
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.cases.wake.lines import BandLine
from retrue.cases.wake.run_in_bands import STEP_MINUTES, STEP_RISE
from retrue.cases.wake.watch_notes import watch_start
from retrue.cases.wake.watch_plan import WatchPlan, read_plan
from retrue.cases.wake.watch_view import Called, Number, WatchCall, Watched, relative_sound
from retrue.cases.wake.watching import Row, called_since, samples_of, taken_rows, watched
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import WatchBegun, WatchCalled, WatchEnded, WatchReadings
from retrue.science.run_in import held
from retrue.science.watch_rules import START_S

NOSE, ROOM = "nose", "room"
LOGGER, RECORDED = "logger", "sound"
START = timedelta(seconds=START_S)
# Which reading of a stage a channel of a watch is, where the watch has levelled.
LAST_OF: Mapping[str, str] = {
    "nose": "nose",
    "spindle_amps": "amps",
    "hydraulic_bar": "pressure_bar",
    "motor_case": "motor_case",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WatchKept:
    """One watch with everything that was kept of it.

    Attributes
    ----------
    watch : Record of WatchBegun
    plan : WatchPlan
        As it was written before the start.
    rows : tuple of (str, str, float)
        In the order in which they were kept; the same reading sent twice once.
    batches : tuple of Record
        The records they came in, oldest first.
    called : tuple of Record
    ended : Record or None
    """

    watch: Record[WatchBegun]
    plan: WatchPlan
    rows: tuple[Row, ...]
    batches: tuple[Record[WatchReadings], ...]
    called: tuple[Record[WatchCalled], ...]
    ended: Record[WatchEnded] | None

    @property
    def begun(self) -> datetime:
        """When it began."""
        return watch_start(self.watch)

    @property
    def recorded(self) -> bool:
        """Its sound comes from a recording, whose level nobody knows."""
        return any(one.fact.source == RECORDED for one in self.batches)

    @property
    def stopped(self) -> bool:
        """A stop was called and kept."""
        return any(one.fact.call == "stop" for one in self.called)


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchStands:
    """A watch as it stands, with its record.

    Attributes
    ----------
    watch : Record of WatchBegun
    call, words : str
        go, hold, step, stop, no_reading, ended; one or two words, readable at three metres.
    why, good, do, notes : tuple of str
        Why it calls so; what is well; what to do now; what to know of the readings themselves.
    numbers : tuple of (str, float or None, str, float or None)
        Name, value, unit, give or take.
    told : tuple of Number
        The same with their keys and digits.
    rows : tuple of (datetime, str, float)
        In time.
    settles_c, settles_give_or_take_k : float or None
    settles_at : datetime or None
    next_reading_by : datetime or None
    run_minutes, step_minutes : float, float or None
    gaps : tuple of (datetime, datetime)
    plan : WatchPlan
    watched : Watched
        Everything, as the case gives it.
    """

    watch: Record[WatchBegun]
    call: WatchCall
    words: str
    why: tuple[str, ...]
    good: tuple[str, ...]
    do: tuple[str, ...]
    notes: tuple[str, ...]
    numbers: tuple[tuple[str, float | None, str, float | None], ...]
    told: tuple[Number, ...]
    rows: tuple[tuple[datetime, str, float], ...]
    settles_c: float | None
    settles_give_or_take_k: float | None
    settles_at: datetime | None
    settles_why: str
    next_reading_by: datetime | None
    run_minutes: float
    step_minutes: float | None
    gaps: tuple[tuple[datetime, datetime], ...]
    plan: WatchPlan
    watched: Watched


def watch_kept(shop: RecordShop, watch: str) -> WatchKept:
    """Everything kept of one watch.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    watch : str
        Any id of its line.

    Returns
    -------
    WatchKept

    Raises
    ------
    Unknown
        No such watch, or it was taken back.
    """
    line: list[Record[Any]] = shop.history(watch)
    if not isinstance(line[-1].fact, WatchBegun):
        raise Unknown(
            say("there is no such watch, or it was taken back"),
            remedy=say("Open it from the page of first power."),
        )
    first = line[0].id
    batches = tuple(shop.current(WatchReadings, watch=first))
    rows = dict.fromkeys(row for one in batches for row in one.fact.rows)
    ended = shop.current(WatchEnded, watch=first)
    return WatchKept(
        watch=line[-1],
        plan=read_plan(line[-1].fact.plan),
        rows=tuple(rows),
        batches=batches,
        called=tuple(shop.current(WatchCalled, watch=first)),
        ended=ended[-1] if ended else None,
    )


def room_before(shop: RecordShop, spot: Spot, stage: str) -> float | None:
    """The room at the start of the newest watch of a stage that knows it.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    stage : str
        Its id.

    Returns
    -------
    float or None
        Degrees C: as typed before the start, else as first read; None where nobody has.
    """
    for one in reversed(shop.current(WatchBegun, lot=spot.lot, machine=spot.machine, stage=stage)):
        kept = watch_kept(shop, one.id)
        read = [value for _, name, value in taken_rows(kept.rows) if name == ROOM]
        if kept.plan.room_c is not None or read:
            return kept.plan.room_c if kept.plan.room_c is not None else read[0]
    return None


def stands_of(kept: WatchKept, now: datetime, *, aborts: int = 0) -> WatchStands:
    """A watch as it stands at one moment.

    Parameters
    ----------
    kept : WatchKept
    now : datetime
        With its offset; of a watch that has ended, the moment it ended counts.
    aborts : int
        Earlier aborts of its stage.

    Returns
    -------
    WatchStands
    """
    moment = kept.ended.noted_at if kept.ended else now
    made = watched(
        kept.plan, kept.begun, kept.rows, moment, called=calls_of(kept), aborts=aborts,
        ended=kept.ended.fact.how if kept.ended else None, late_minutes=_late(kept.batches),
    )  # fmt: skip
    if kept.recorded:
        made = relative_sound(made)
    mine = {spec.name for spec in fields(WatchStands)} - {"numbers"}
    same = {spec.name: getattr(made, spec.name) for spec in fields(made) if spec.name in mine}
    numbers = tuple((one.name, one.value, one.unit, one.give_or_take) for one in made.numbers)
    return WatchStands(
        watch=kept.watch, plan=kept.plan, watched=made, told=made.numbers, numbers=numbers, **same
    )


def calls_of(kept: WatchKept) -> tuple[Called, ...]:
    """The calls that were kept of a watch, oldest first.

    Parameters
    ----------
    kept : WatchKept

    Returns
    -------
    tuple of Called
    """
    return tuple(
        Called(call=one.fact.call, at=datetime.fromisoformat(one.fact.at), why=one.fact.why)
        for one in kept.called
    )


def new_call(kept: WatchKept, judged: datetime | None, now: datetime) -> Called | None:
    """What has to be kept now: the first stop since it was judged last.

    Parameters
    ----------
    kept : WatchKept
    judged : datetime or None
        Judged up to there, with all rows kept until then; None: from the start.
    now : datetime

    Returns
    -------
    Called or None
        None where it has ended, a stop is kept already, or nothing calls for one. A silence is
        called once, until something is read again.
    """
    if kept.ended is not None or kept.stopped:
        return None
    found = called_since(kept.plan, kept.begun, kept.rows, judged or kept.begun, now)
    if found is None or found.call == "stop":
        return found
    silent = [one for one in calls_of(kept) if one.call == found.call]
    newest = max((at for at, _, _ in taken_rows(kept.rows)), default=kept.begun)
    return None if silent and silent[-1].at >= newest else found


def levelled_readings(kept: WatchKept, bands: Iterable[BandLine]) -> dict[str, float]:
    """What a watch that has levelled says of the bands of its stage: nothing is typed twice.

    Parameters
    ----------
    kept : WatchKept
    bands : iterable of BandLine
        Of the stage that it belongs to, as they were written.

    Returns
    -------
    dict of str to float
        By the name of the band; only what was read.

    Examples
    --------
    >>> from datetime import UTC
    >>> from types import SimpleNamespace
    >>> began = datetime(2026, 11, 26, 20, tzinfo=UTC)
    >>> read = tuple((f"2026-11-26T20:0{at}:00+00:00", "nose", 21.0 + at) for at in (1, 5))
    >>> kept = SimpleNamespace(begun=began, rows=read, plan=WatchPlan(room_c=21.0, step=1))
    >>> levelled_readings(kept, [BandLine(name="nose_rise_step1", words="", unit="K", step=1)])
    {'nose_rise_step1': 4.0}
    """
    rows = taken_rows(kept.rows)
    last = {name: value for _, name, value in rows}
    found: dict[str, float] = {
        band: last[channel] for band, channel in LAST_OF.items() if channel in last
    }
    nose = [(at, value) for at, name, value in rows if name == NOSE]
    if nose:
        base = last.get(ROOM, kept.plan.room_c)
        rise = nose[-1][1] - (base if base is not None else nose[0][1])
        start = min(value for at, value in nose if at - nose[0][0] <= START)
        found |= {"nose_rise": rise, f"{STEP_RISE}{kept.plan.step}": nose[-1][1] - start}
        found |= _changes(kept, rows)
        ran = (rows[-1][0] - kept.begun).total_seconds() / 60.0
        found[f"{STEP_MINUTES}{kept.plan.step}"] = round(ran, 2)
    wanted = {one.name for one in bands if one.step in (None, kept.plan.step)}
    return {name: value for name, value in found.items() if name in wanted}


def _changes(kept: WatchKept, rows: tuple[tuple[datetime, str, float], ...]) -> dict[str, float]:
    """How fast the nose climbs at the end, and how much it changed in the last five minutes."""
    seconds, values = samples_of(rows, kept.begun)[NOSE]
    minutes, first = np.unique(np.asarray(seconds) / 60.0, return_index=True)
    change = abs(held(minutes, np.asarray(values)[first]).change_k)
    return {} if math.isnan(change) else {"change_5min": change, "nose_rate": change / 5.0}


def refuse_levelled(kept: WatchKept) -> None:
    """Refuse to call a watch levelled that was stopped, or does not say so itself.

    Parameters
    ----------
    kept : WatchKept

    Raises
    ------
    NotYet
        With its reasons.
    """
    if not kept.rows:
        raise _not_level((say("nothing was read"),))
    at = max(one for one, _, _ in taken_rows(kept.rows))
    made = watched(kept.plan, kept.begun, kept.rows, at, called=calls_of(kept))
    wanted = ("step",) if kept.plan.step_minutes is not None else ("go", "step")
    if kept.stopped or made.call not in wanted:
        short = say("the least time of its step is not over")
        raise _not_level(made.why or (short,))


def _not_level(why: Iterable[str]) -> NotYet:
    return NotYet(
        say("it has not levelled"),
        remedy=say("Hold the step and read on; or say that it was stopped, or left."),
        problems=tuple(Problem("how", one) for one in why),
    )


def _late(batches: Iterable[Record[WatchReadings]]) -> float:
    """The longest time from taking a typed reading to keeping it, in minutes."""
    late = (
        (one.noted_at - datetime.fromisoformat(one.fact.rows[-1][0])).total_seconds() / 60.0
        for one in batches
        if one.fact.source != LOGGER and one.fact.rows
    )
    return max(late, default=0.0)
