"""What was typed by mistake is taken back: it stays readable and counts no more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Unpack

from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.wake.ladder import STOP_POINTS
from retrue.cases.wake.points import FINDING_END
from retrue.records.facts import Finding, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Signed
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import (
    CauseFound,
    StageBegun,
    StageEnded,
    StageReading,
    WatchBegun,
    WatchCalled,
    WatchEnded,
    WatchReadings,
)

ABORT_END = ".end"  # of the id of an abort that a reading or a stop of a watch made
WOKEN = (
    StageBegun, StageReading, StageEnded, CauseFound, WatchBegun, WatchReadings, WatchCalled,
    WatchEnded,
)  # fmt: skip


def take_back(
    shop: RecordShop,
    record: str,
    *,
    reason: str = "",
    **hand: Unpack[Hand],
) -> Record[Withdrawn]:
    """Take back what was said or read by mistake.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Any record of first power or of a watch.
    reason : str
        Why, if there is one.
    **hand : Hand
        Who takes it back.

    Returns
    -------
    Record of Withdrawn
        With a start its readings and ends go; with a reading its finding, and the abort it made;
        with a signature the stop point of power that stood on it.

    Raises
    ------
    Unknown
        No such record, or it was taken back already.
    NotYet
        An abort that a reading made, which goes only with that reading; a stop that a watch called,
        or a start that was called off: only its cause is said.
    Unusable
        It was called off, or is a reading that called a stage off, and no reason is given.
    """
    newest = newest_of(shop, record)
    _refuse_alone(shop, newest, reason.strip())
    gone = shop.add(
        Withdrawn(of_kind=newest.kind, reason=reason.strip()), replaces=newest.id, **hand
    )
    for other in list(_with_it(shop, newest)):
        withdrawn = Withdrawn(of_kind=other.kind, reason=reason.strip())
        shop.add(withdrawn, replaces=other.id, **without_id(hand))
    _power_falls(shop, newest.fact, hand)
    return gone


def _refuse_alone(shop: RecordShop, record: Record[Any], reason: str) -> None:
    """What stopped a machine is not made undone by a button."""
    fact = record.fact
    _refuse_signed(shop, fact)
    aborts = _ends(shop, fact, "aborted")
    made = f"{record.id}{ABORT_END}"
    if isinstance(fact, WatchCalled) or (isinstance(fact, WatchBegun) and _calls(shop, record)):
        raise _stays(say("a stop that a watch called stays"))
    if isinstance(fact, StageBegun) and any(one.fact.begun == record.id for one in aborts):
        raise _stays(say("this start was called off, and that stays"))
    if isinstance(fact, StageEnded) and fact.how == "aborted" and record.id.endswith(ABORT_END):
        if _calls(shop, record):
            raise _stays(say("a stop that a watch called stays"))
        raise NotYet(
            say("a reading called it off"),
            remedy=say("Take that reading back, with why it was mistyped; the abort goes with it."),
            problems=(Problem("record", say("goes with {id}", id=record.id[: -len(ABORT_END)])),),
        )
    called_off = isinstance(fact, StageEnded) and fact.how == "aborted"
    if not reason and (called_off or any(one.id == made for one in aborts)):
        raise Unusable(
            say("it called the stage off"),
            remedy=say("Say why it is taken back: mistyped, 75 for 25."),
            problems=(Problem("reason", say("is empty")),),
        )


def _refuse_signed(shop: RecordShop, fact: Any) -> None:
    """A watch on which a signature stands, and what it read, stay as long as that does."""
    if isinstance(fact, WatchBegun):
        begun = fact.begun
    elif isinstance(fact, WatchEnded | WatchReadings):
        begun = shop.get(WatchBegun, fact.watch).fact.begun
    else:
        return
    if any(one.fact.begun == begun for one in _ends(shop, fact, "signed")):
        raise NotYet(
            say("a signature stands on this watch"),
            remedy=say("Take the signature back first, then this."),
        )


def _ends(shop: RecordShop, fact: Any, how: str) -> list[Record[StageEnded]]:
    return shop.current(StageEnded, lot=fact.lot, machine=fact.machine, how=how)


def _calls(shop: RecordShop, record: Record[Any]) -> bool:
    """Whether a watch called: this watch, or the one whose call made this abort."""
    called = shop.current(WatchCalled, lot=record.fact.lot, machine=record.fact.machine)
    return any(one.fact.watch == record.id or f"{one.id}{ABORT_END}" == record.id for one in called)


def _stays(what: str) -> NotYet:
    return NotYet(what, remedy=say("Find the cause and say it; then it may be tried again."))


def newest_of(shop: RecordShop, record: str) -> Record[Any]:
    """The record of a line that counts; Unknown where it was taken back or is of another deed."""
    newest = shop.history(record)[-1]
    if not isinstance(newest.fact, WOKEN):
        raise Unknown(
            say("{record} is nothing of first power that still counts", record=record),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    return newest


def _with_it(shop: RecordShop, gone: Record[Any]) -> Iterator[Record[Any]]:
    """What falls with a record."""
    fact = gone.fact
    here = {"lot": fact.lot, "machine": fact.machine}
    if isinstance(fact, StageReading):
        ends: tuple[tuple[type[Any], str], ...] = ((Finding, FINDING_END), (StageEnded, ABORT_END))
        for sort, ending in ends:
            for one in shop.current(sort, **here):
                if one.id == f"{gone.id}{ending}":
                    yield one
                    yield from _with_it(shop, one)
    elif isinstance(fact, StageBegun):
        for reading in shop.current(StageReading, begun=gone.id, **here):
            yield reading
            yield from _with_it(shop, reading)
        yield from (
            one
            for one in shop.current(StageEnded, begun=gone.id, **here)
            if not one.id.endswith(ABORT_END)
        )
    elif isinstance(fact, StageEnded):
        yield from shop.current(CauseFound, ended=gone.id, **here)
    elif isinstance(fact, WatchBegun):
        for kind in (WatchReadings, WatchCalled, WatchEnded):
            yield from shop.current(kind, watch=gone.id, **here)


def _power_falls(shop: RecordShop, fact: Any, hand: Hand) -> None:
    """A stop point of power falls with any signature that it stood on."""
    if not isinstance(fact, StageEnded | StageBegun):
        return
    number = int(fact.stage.partition("-")[0][1:])
    for one in shop.current(Signed, lot=fact.lot, machine=fact.machine):
        last = STOP_POINTS.get(one.fact.stage)
        if last is not None and number <= int(last[1:]):
            gone = Withdrawn(of_kind=one.kind, reason=say("a stage before it is open again"))
            shop.add(gone, replaces=one.id, **without_id(hand))
