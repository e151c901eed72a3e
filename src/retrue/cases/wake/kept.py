"""What a shop keeps of first power of one machine, read once for every page and rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from retrue.cases.case import Kept, LotCase
from retrue.cases.find.standing import OWN, Standing, standing
from retrue.cases.kept_case import kept_case, line_of
from retrue.cases.spot import Spot
from retrue.cases.strip.kept import taken_of
from retrue.cases.strip.lines import TakenLine
from retrue.cases.wake.bands import Known, steps_of
from retrue.cases.wake.progress import Progress, changes_of, progress_of
from retrue.cases.wake.replaced import replaced_of
from retrue.cases.wake.watch_notes import WatchNote, notes_of
from retrue.kinds.library import Kind
from retrue.records.facts import Finding, Machine, Plate
from retrue.records.seeking import Act, PartMoved
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import Taken
from retrue.records.waking import CauseFound, StageBegun, StageEnded, StageReading

EVENTS: tuple[type[Any], ...] = (StageBegun, StageEnded, CauseFound)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PowerKept:
    """Everything first power asks of one machine.

    Attributes
    ----------
    spot : Spot
    kind : Kind
    machine : Record of Machine
    case : LotCase
        Of its lot.
    state : Standing
        How it stands in fault-finding.
    progress : mapping of str to Progress
        By stage, in order.
    readings : mapping of str to tuple of Record
        By the id of their start, oldest first.
    findings : mapping of str to Record
        Findings of the lot by id.
    looked : tuple of Kept
        Those that somebody saw or measured himself at this machine.
    acts : tuple of Record
        Of this machine, oldest first.
    taken : tuple of TakenLine
    known : Known
        For the bands.
    watches : tuple of WatchNote
        Of its stages, oldest first.
    """

    spot: Spot
    kind: Kind
    machine: Record[Machine]
    case: LotCase
    state: Standing
    progress: Mapping[str, Progress]
    readings: Mapping[str, tuple[Record[StageReading], ...]] = field(default_factory=dict)
    findings: Mapping[str, Record[Finding]] = field(default_factory=dict)
    looked: tuple[Kept, ...] = ()
    acts: tuple[Record[Act], ...] = ()
    taken: tuple[TakenLine, ...] = ()
    known: Known = field(default_factory=Known)
    watches: tuple[WatchNote, ...] = ()


def power_kept(shop: RecordShop, spot: Spot, kind: Kind) -> PowerKept:
    """Read everything once.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind
        Of that machine.

    Returns
    -------
    PowerKept
    """
    case = kept_case(shop, spot.lot)
    machine: Record[Machine] = shop.history(spot.machine)[-1]
    progress = progress_kept(shop, spot, kind)
    readings = readings_kept(shop, spot)
    state = standing(case, spot.name, kind)
    known = known_of(shop, spot, progress, readings)
    known = replace(known, not_fitted=known.not_fitted - state.found - state.present)
    going_on = {one.begun.id for one in progress.values() if one.begun is not None}
    findings = {one.id: one for one in shop.current(Finding, lot=spot.lot)}
    return PowerKept(
        spot=spot,
        kind=kind,
        machine=machine,
        case=case,
        state=state,
        progress=progress,
        readings=readings,
        findings=findings,
        looked=tuple(
            one
            for one in case.findings
            if one.finding.grade >= OWN
            and one.finding.machine in (spot.name, None)
            and one.id in findings
        ),
        acts=tuple(shop.current(Act, lot=spot.lot, machine=spot.machine)),
        taken=taken_of(shop, spot),
        known=known,
        watches=notes_of(shop, spot, going_on),
    )


def known_of(
    shop: RecordShop,
    spot: Spot,
    progress: Mapping[str, Progress],
    readings: Mapping[str, tuple[Record[StageReading], ...]],
) -> Known:
    """What is known of a machine for the bands of its stages.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    progress : mapping of str to Progress
    readings : mapping of str to tuple of Record
        As :func:`readings_kept` gives them.

    Returns
    -------
    Known
    """
    machine: Record[Machine] = shop.history(spot.machine)[-1]
    plate = {one.fact.entry: one.fact.value for one in shop.current(Plate, machine=spot.machine)}
    return Known(
        plate=plate,
        read=_read(progress, readings),
        not_fitted=frozenset(one for one in machine.fact.not_fitted if may_be_missing(one, spot)),
        speed_rpm=machine.fact.speed_rpm,
    )


def may_be_missing(fault: str, spot: Spot) -> bool:
    """Whether a fault is of a part that a machine of this kind may not have.

    Parameters
    ----------
    fault : str
    spot : Spot

    Returns
    -------
    bool
        What every such machine has is never "not fitted".

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = Spot(lot="1", lot_name="a", machine="2", name="m",
    ...             kind=load()["vertical_machining_centre"])
    >>> may_be_missing("F53", mill), may_be_missing("F86", mill)
    (True, False)
    """
    faults = spot.kind.faults if spot.kind else {}
    return fault in faults and faults[fault].optional


def progress_kept(shop: RecordShop, spot: Spot, kind: Kind) -> dict[str, Progress]:
    """How far each stage is, by its id and in order; without chances, findings or bands.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
    kind : Kind

    Returns
    -------
    dict of str to Progress
    """
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    taken = [
        (line_of(shop, one).first.seq, one.fact) for one in shop.current(Taken, **here)
    ]  # a label that is corrected came off when it first did
    acts = [(line_of(shop, one).first.seq, one.fact) for one in shop.current(Act, **here)]
    moved = [
        (line_of(shop, one).first.seq, one.fact)
        for one in shop.current(PartMoved)
        if spot.machine in (one.fact.machine, one.fact.from_machine)
    ]
    events: dict[str, list[Record[Any]]] = {}
    for sort in EVENTS:
        for one in shop.current(sort, **here):
            events.setdefault(one.fact.stage, []).append(one)
    return {
        stage.id: progress_of(
            stage,
            steps_of(kind, stage),
            events.get(stage.id, ()),
            (*changes_of(stage, taken, acts), *replaced_of(stage, kind, acts, moved)),
        )
        for stage in kind.stages.values()
    }


def readings_kept(shop: RecordShop, spot: Spot) -> dict[str, tuple[Record[StageReading], ...]]:
    """Readings of the stages of a machine, by the id of their start, oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot

    Returns
    -------
    dict of str to tuple of Record

    Examples
    --------
    >>> class Empty:
    ...     def current(self, kind, **where):
    ...         return []
    >>> readings_kept(Empty(), Spot(lot="1", lot_name="a", machine="2", name="m", kind=None))
    {}
    """
    kept: dict[str, tuple[Record[StageReading], ...]] = {}
    for one in shop.current(StageReading, lot=spot.lot, machine=spot.machine):
        kept[one.fact.begun] = (*kept.get(one.fact.begun, ()), one)
    return kept


def _read(
    progress: Mapping[str, Progress], readings: Mapping[str, tuple[Record[StageReading], ...]]
) -> dict[str, float]:
    """Readings of stages that are signed, by name; of several points their mean."""
    found: dict[str, float] = {}
    for one in progress.values():
        newest: dict[str, dict[str, float]] = {}
        for record in readings.get(one.proof.id, ()) if one.signed and one.proof else ():
            newest.setdefault(record.fact.name, {})[record.fact.point] = record.fact.reading
        found |= {name: sum(at.values()) / len(at) for name, at in newest.items()}
    return found
