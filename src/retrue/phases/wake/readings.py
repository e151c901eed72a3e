"""A reading is kept against its band, and is a finding as well; outside its limits it ends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Unpack

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.cases.wake.hours import refuse_piece
from retrue.cases.wake.kept import known_of, progress_kept, readings_kept
from retrue.cases.wake.points import FINDING_END
from retrue.cases.wake.reading import (
    abort_words,
    band_for,
    in_unit_of,
    point_of,
    refuse_impossible,
    worst_finding,
)
from retrue.cases.wake.run_in_bands import ATTENDED
from retrue.cases.wake.written import read_written
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.phases.wake.here import (
    beside,
    machine_at,
    refuse_fields,
    refuse_other_deed,
    sent_as,
    stage_of,
)
from retrue.records.facts import Finding, Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import StageBegun, StageEnded, StageReading


def read(
    shop: RecordShop,
    lot: str,
    machine: str,
    stage: str,
    name: str,
    reading: float,
    kinds: Mapping[str, Kind],
    *,
    unit: str = "",
    point: str = "",
    instrument: str = "",
    taken_by: str = "",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[StageReading]:
    """Keep one reading of a stage that is going on.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, stage : str
        Name or id; P3 or P3-V.
    name : str
        Of its bands: line_volts; nose_rise is that of the step; other, for what has no band.
    reading : float
    kinds : mapping of str to Kind
        The library.
    unit : str
        In which it was read; empty: that of the band.
    point : str
        Where: L1 to L2, coolant pump.
    instrument, taken_by, text : str
    **hand : Hand
        Who notes it.

    Returns
    -------
    Record of StageReading
        In the unit of its band. What it measures is kept as a finding beside it. Outside the
        abort limits the stage is aborted with it.

    Raises
    ------
    NotYet
        The stage is not going on.
    Unknown
        It has no such band.
    Unusable
        The unit is of another sort, or no such point; hours that nobody attended, whose end is
        not said, that begin before their stage, or that are typed twice.
    Overtaken
        This id was kept before, for another reading.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    of = stage_of(kind, stage)
    sent = sent_as(shop, StageReading, hand, lot=spot.lot, machine=spot.machine, stage=of.id)
    begun = shop.get(StageBegun, sent.fact.begun) if sent else _going_on(shop, spot, kind, of)
    band = band_for(read_written(begun.fact.bands).bands, name, point, begun.fact.step)
    fact = StageReading(
        lot=spot.lot, machine=spot.machine, stage=of.id, begun=begun.id,
        name=band.name if band else name, point=point_of(band, point),
        reading=in_unit_of(band, reading, unit) if band else reading,
        unit=band.unit if band else unit, instrument=instrument.strip(),
        taken_by=taken_by.strip(), text=text.strip(),
    )  # fmt: skip
    if sent is None:
        refuse_impossible(fact)
        refuse_fields(fact)
        _refuse_piece(shop, spot, kind, fact, begun, hand)
    else:
        refuse_other_deed(sent, name=fact.name, point=fact.point, reading=fact.reading)
    record = shop.add(fact, **hand) if sent is None else sent
    _follow(shop, spot, kind, of, record, hand)
    return record


def _refuse_piece(
    shop: RecordShop, spot: Spot, kind: Kind, fact: StageReading, begun: Record[StageBegun],
    hand: Hand,
) -> None:  # fmt: skip
    """Attended hours have their end, lie after the start of their stage, and are typed once."""
    if fact.name != ATTENDED:
        return
    readings = readings_kept(shop, spot)
    begins = progress_kept(shop, spot, kind)[fact.stage].begins
    before = [one for id in begins for one in readings.get(id, ()) if one.fact.name == ATTENDED]
    refuse_piece(fact.reading, hand.get("observed_at"), begun, before)


def _going_on(shop: RecordShop, spot: Spot, kind: Kind, stage: Stage) -> Record[StageBegun]:
    begun = progress_kept(shop, spot, kind)[stage.id].begun
    if begun is None:
        raise NotYet(
            say("{stage} is not going on, so nothing of it is read", stage=stage.stage),
            remedy=say("Begin it first: what it should read is written down before."),
        )
    return begun


def _follow(
    shop: RecordShop, spot: Spot, kind: Kind, stage: Stage, record: Record[StageReading], hand: Hand
) -> None:
    """What follows from a reading: a finding, and the end of its stage."""
    fact = record.fact
    progress = progress_kept(shop, spot, kind)
    if not _kept(shop, Finding, f"{record.id}{FINDING_END}"):
        _keep_worst(shop, spot, kind, stage, record, hand)
    begun = progress[stage.id].begun
    if begun is None or begun.id != fact.begun:
        return
    bands = read_written(begun.fact.bands).bands
    why = abort_words(band_for(bands, fact.name, fact.point, begun.fact.step), fact)
    if why:
        end = StageEnded(
            lot=spot.lot, machine=spot.machine, stage=stage.id, begun=begun.id, how="aborted",
            name=fact.taken_by or record.by, why=why,
        )  # fmt: skip
        shop.add(end, **beside(record, "end", hand))


def _keep_worst(
    shop: RecordShop, spot: Spot, kind: Kind, stage: Stage, record: Record[StageReading], hand: Hand
) -> None:
    """Of several points the worst is the finding: a good motor does not speak for a bad one."""
    readings = readings_kept(shop, spot)
    progress = progress_kept(shop, spot, kind)
    known = known_of(shop, spot, progress, readings)
    mine = [one for one in readings[record.fact.begun] if one.fact.name == record.fact.name]
    facts = [one.fact for one in mine]
    worst = worst_finding(kind, stage, record.fact.name, facts, known, spot.machine)
    ids = {f"{one.id}{FINDING_END}" for one in mine}
    before = [one for one in shop.current(Finding, machine=spot.machine) if one.id in ids]
    if worst is None or any(one.fact == worst for one in before):
        return
    for one in before:
        gone = Withdrawn(of_kind=one.kind, reason=say("read at several points: the worst counts"))
        shop.add(gone, replaces=one.id, **without_id(hand))
    shop.add(worst, **beside(record, FINDING_END[1:], hand))


def _kept(shop: RecordShop, sort: type[Finding], id: str) -> bool:
    return sent_as(shop, sort, {"by": "", "id": id}) is not None
