"""What a motor, a drive or a cable that was changed opens again: dead tests, and what it wakes."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.cases.find.standing import touched
from retrue.cases.wake.progress import Change
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.records.seeking import Act, PartMoved, Signed
from retrue.records.shop import Record, RecordShop

DEAD = "P0"
FIRST = 5  # from the bus on a stage wakes what was changed
ELECTRIC = frozenset(("spindle motor", "axis motor", "spindle drive", "axis drive", "wiring"))
CHANGES = ("repair", "replace", "send_out")
WAYS = ("repair", "replace", "second_hand", "send_out")


def replaced_of(
    stage: Stage,
    kind: Kind,
    acts: Iterable[tuple[int, Act]],
    moved: Iterable[tuple[int, PartMoved]],
) -> tuple[tuple[int, Change], ...]:
    """When a motor, a drive or a cable was changed so that a stage is signed anew.

    Parameters
    ----------
    stage : Stage
    kind : Kind
    acts : iterable of (int, Act)
        What was done, with its place in the order of records.
    moved : iterable of (int, PartMoved)
        Likewise parts that came, left or went back.

    Returns
    -------
    tuple of (int, str)
        off. The dead stage opens with every one, from the bus on each stage that touches its
        subsystem, and the last one.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> act = Act(lot="l", machine="m", sort="replace", fault="F15", way="replace")
    >>> [s.stage for s in mill.stages.values() if replaced_of(s, mill, [(7, act)], ())]
    ['P0', 'P5', 'P8', 'P10']
    """
    told: list[tuple[int, Act | PartMoved]] = [*acts, *moved]
    return tuple((seq, "off") for seq, one in told if _opens(stage, kind, changed(one, kind)))


def changed(event: Act | PartMoved, kind: Kind) -> frozenset[str]:
    """Subsystems of motors, drives and cables that an act or a part that moved has changed.

    Parameters
    ----------
    event : Act or PartMoved
    kind : Kind

    Returns
    -------
    frozenset of str
        Empty for cleaning, adjusting, and for what no dead test of motor and drive speaks of.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> changed(Act(lot="l", machine="m", sort="repair", fault="F33", way="repair"), mill)
    frozenset()
    """
    if isinstance(event, PartMoved):
        part = kind.swappable.get(event.part)
        faults = frozenset(part.goes_along) if part else frozenset[str]()
    elif event.sort in CHANGES or event.way in WAYS:
        faults = frozenset(touched(event, kind))
    else:
        return frozenset()
    tested = _tested_dead(kind)
    found = {kind.faults[one].subsystem for one in faults if one in tested}
    return frozenset(found) & ELECTRIC


def signatures_fallen(
    shop: RecordShop, record: Record[Act] | Record[PartMoved], lot: str, machine: str, kind: Kind
) -> tuple[Record[Signed], ...]:
    """Stop points of power that fall with what was done: they were signed for another machine.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    record : Record of Act or PartMoved
    lot, machine : str
        Ids.
    kind : Kind

    Returns
    -------
    tuple of Record
        None where no motor, drive or cable was changed.
    """
    if not changed(record.fact, kind):
        return ()
    return tuple(
        one
        for one in shop.current(Signed, lot=lot, machine=machine)
        if one.fact.stage != "apart" and one.seq < record.seq
    )


def _opens(stage: Stage, kind: Kind, subsystems: frozenset[str]) -> bool:
    if not subsystems:
        return False
    last = tuple(kind.stages.values())[-1]
    wakes = int(stage.stage[1:]) >= FIRST and subsystems.intersection(stage.touches)
    return bool(wakes) or stage.stage == DEAD or stage is last


def _tested_dead(kind: Kind) -> frozenset[str]:
    """Faults that a dead test of motor, cable or drive speaks of."""
    looks = {
        cover.check
        for fault, cover in kind.stop_cover.items()
        if kind.faults[fault].subsystem in ELECTRIC and cover.done_at == "apart"
    }
    return frozenset(
        fault for look in looks for fault in kind.checks[look].links if fault in kind.faults
    )
