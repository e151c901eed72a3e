"""What the watches of a stage say of it: which ran long enough, levelled, or still run."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.kinds.waking import RunInStep
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import StageBegun, WatchBegun, WatchCalled, WatchEnded, WatchReadings

PAPER = "paper"
LEVELLED = "levelled"


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchNote:
    """One watch of a stage, in as much as the stage hangs on it.

    Attributes
    ----------
    id, stage, begun : str
        Its own id, its stage, the start that it belongs to.
    step : int or None
    paper : bool
    stopped : bool
        It called stop, or that nothing was read.
    ended : str
        levelled, stopped, left; empty: it runs.
    ran_minutes : float
        From its start to the last that was read; of a start that is over, 0.
    """

    id: str
    stage: str
    begun: str
    step: int | None = None
    paper: bool = False
    stopped: bool = False
    ended: str = ""
    ran_minutes: float = 0.0


def notes_of(shop: RecordShop, spot: Spot, going_on: Collection[str]) -> tuple[WatchNote, ...]:
    """The watches of the stages of a machine, oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    going_on : collection of str
        Ids of the starts whose rows are read: those that go on.

    Returns
    -------
    tuple of WatchNote
    """
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    begun = [one for one in shop.current(WatchBegun, **here) if one.fact.begun]
    if not begun:
        return ()
    called = {one.fact.watch for one in shop.current(WatchCalled, **here)}
    ended = {one.fact.watch: one.fact.how for one in shop.current(WatchEnded, **here)}
    found = []
    for one in begun:
        id = shop.history(one.id)[0].id if one.replaces else one.id
        mine = shop.current(WatchReadings, watch=id) if one.fact.begun in going_on else ()
        found.append(WatchNote(
            id=id, stage=one.fact.stage or "", begun=one.fact.begun or "", step=one.fact.step,
            paper=one.fact.alarm == PAPER, stopped=id in called, ended=ended.get(id, ""),
            ran_minutes=_ran(one, mine),
        ))  # fmt: skip
    return tuple(found)


def running(notes: Iterable[WatchNote], stage: str) -> tuple[WatchNote, ...]:
    """Watches of a stage that nobody has ended, and that have not stopped it.

    Parameters
    ----------
    notes : iterable of WatchNote
    stage : str
        Its id.

    Returns
    -------
    tuple of WatchNote

    Examples
    --------
    >>> running([WatchNote(id="w", stage="P8-V", begun="b", ended="left")], "P8-V")
    ()
    """
    return tuple(one for one in notes if one.stage == stage and not one.ended and not one.stopped)


def unwatched(
    begun: Record[StageBegun], step: RunInStep | None, notes: Iterable[WatchNote]
) -> Iterator[Problem]:
    """Why a stage that needs a watch is not signed yet for want of one.

    Parameters
    ----------
    begun : Record of StageBegun
        That goes on.
    step : RunInStep or None
        Of its run-in.
    notes : iterable of WatchNote
        Of its machine.

    Yields
    ------
    Problem
        A watch that still runs; none that levelled after at least the minutes of the step. On
        paper the minutes are typed instead, as a reading of the step.
    """
    every = tuple(notes)
    runs = running(every, begun.fact.stage)
    if runs:
        yield Problem("watch", say("its watch still runs"),
                      say("End it by name: levelled, once it says the next step."))  # fmt: skip
        return
    mine = [one for one in every if one.begun == begun.id]
    if begun.fact.laptop is False or any(one.paper for one in mine):
        return  # the minutes are a band of the step, and whoever signs answers for them
    least = step.minutes if step is not None else 0.0
    levelled = [one for one in mine if one.ended == LEVELLED and not one.stopped]
    if not levelled:
        told = say("no watch of it has levelled: {ends}", ends=", ".join(
            say(one.ended or "stopped") for one in mine) or say("none was kept"))  # fmt: skip
        yield Problem("watch", told, say("Begin a watch of it, read, and end it levelled."))
    elif max(one.ran_minutes for one in levelled) < least:
        told = say("its watch ran {ran} of {least} min", least=short(least),
                   ran=f"{max(one.ran_minutes for one in levelled):.0f}")  # fmt: skip
        yield Problem("watch", told, say("Hold the step and read on."))


def watch_start(record: Record[WatchBegun]) -> datetime:
    """When a watch began: when it was said to, never later than it was noted.

    Parameters
    ----------
    record : Record of WatchBegun

    Returns
    -------
    datetime
    """
    return min(record.observed_at, record.noted_at)


def _ran(record: Record[WatchBegun], batches: Iterable[Record[WatchReadings]]) -> float:
    at = [datetime.fromisoformat(row[0]) for one in batches for row in one.fact.rows]
    if not at:
        return 0.0
    return (max(at) - watch_start(record)).total_seconds() / 60.0
