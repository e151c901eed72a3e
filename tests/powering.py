"""A machine is walked up the ladder of first power: by its deeds, or by bare records."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from retrue.cases.spot import find
from retrue.cases.wake.closed import clearing_looks
from retrue.cases.wake.kept import power_kept
from retrue.cases.wake.lines import BandLine
from retrue.cases.wake.stands import stage_stands
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.phases import wake
from retrue.records.facts import Finding, Plate
from retrue.records.seeking import Act
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import StageBegun, StageEnded

AN, BEA = "An Peeters", "Bea Maes"
LICENCE = "B-1234"
STAMPED = {
    "N04": "400 V", "N06": "50 Hz", "N13": "110 V", "N14": "24 V", "N16": "30 A",
    "N21": "8000 1/min", "N36": "20 bar", "N37": "40 bar", "N39": "6 bar",
    "N42": "4500", "N46": "coolant pump 3.2 A; conveyor 0.8 A",
}  # fmt: skip
PLACES = ("spindle motor", "X motor", "Z motor", "Y motor")
PIECES = (2.0, 8.0, 12.0, 12.0)


def signed_up_to(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], last: str
) -> None:
    """Bare records: every stage up to the last one begun and signed; no gate is asked."""
    spot = find(shop, lot, machine, kinds)
    assert spot.kind is not None
    top = int(last[1:])
    for stage in spot.kind.stages.values():
        if int(stage.stage[1:]) > top:
            return
        here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine, "stage": stage.id}
        begun = shop.add(StageBegun(**here, by_name=AN, at_switch=BEA), by="me")
        shop.add(StageEnded(**here, begun=begun.id, how="signed", name=AN), by="me")


def stamp(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], **more: str) -> None:
    """The plate is typed."""
    spot = find(shop, lot, machine, kinds)
    assert spot.kind is not None
    for entry, value in {**STAMPED, **more}.items():
        if entry in spot.kind.plate and value:
            shop.add(Plate(machine=spot.machine, entry=entry, value=value), by="me")


def close(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], stage: Stage,
    *, but: tuple[str, ...] = (), again: tuple[str, ...] = (),
) -> None:  # fmt: skip
    """Everything a stage wants closed: jobs are done, then every look is made and passes."""
    spot = find(shop, lot, machine, kinds)
    kind = spot.kind
    assert kind is not None
    here: dict[str, Any] = {"lot": spot.lot, "machine": spot.machine}
    done = {one.fact.job for one in shop.current(Act, **here)}
    for job in stage.jobs:
        if job not in done and job not in but:
            shop.add(Act(**here, sort="measure", job=job), by=AN)
    looks = [*stage.checks, *(clearing_looks(kind, fault)[0] for fault in stage.faults)]
    have = {one.fact.check for one in shop.current(Finding, **here) if one.fact.answer}
    for look in dict.fromkeys(looks):
        if look in again or (look not in have and look not in but):
            shop.add(
                Finding(**here, check=look, answer="not_seen", grade=3, channel="apart"), by=AN
            )


def within(band: BandLine) -> float:
    """A reading inside the expected band."""
    low, high = band.expected_low, band.expected_high
    if low is not None and high is not None:
        return (low + high) / 2
    return low * 1.5 if low is not None else 0.2 * (high or 0.0)


def begun(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], stage: str, **more: Any
) -> Record[StageBegun]:
    """A stage begun with everything said that it asks for; its watch is kept on paper."""
    spot = find(shop, lot, machine, kinds)
    assert spot.kind is not None
    of = next(one for one in spot.kind.stages.values() if stage in (one.id, one.stage))
    said: dict[str, Any] = {
        "by_name": AN, "at_switch": BEA, "licence": LICENCE if of.licensed else "",
        "cautions": of.cautions, "laptop": False if of.watch else None,
        "choice": "jaws_off" if of.choices else "", "by": "me",
    }  # fmt: skip
    if of.pieces_hours:  # it runs for as long as somebody attends, and a little longer
        noted = shop.current(StageEnded, machine=spot.machine)[-1].noted_at
        said["observed_at"] = noted - timedelta(hours=sum(PIECES) + 1)
    return wake.begin(shop, lot, machine, stage, kinds, **{**said, **more})


def read_all(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], stage: str,
    but: tuple[str, ...] = (),
) -> None:  # fmt: skip
    """Every band of a stage that is going on is read, inside what was expected."""
    spot = find(shop, lot, machine, kinds)
    assert spot.kind is not None
    stands = stage_stands(power_kept(shop, spot, spot.kind), spot.kind.stages[stage])
    step = stands.step.step if stands.step else None
    for band in stands.bands:
        if band.step not in (None, step) or band.name in but:
            continue
        if band.name == "attended_hours":
            assert stands.begun is not None
            until = stands.begun.observed_at
            for hours in PIECES:
                until += timedelta(hours=hours)
                wake.read(shop, lot, machine, stage, band.name, hours, kinds, taken_by=BEA,
                          by="me", observed_at=until)  # fmt: skip
            continue
        for point in band.points or PLACES[: band.least] or ("",):
            wake.read(shop, lot, machine, stage, band.name, within(band), kinds, point=point,
                      instrument="meter 7", taken_by=AN, by="me")  # fmt: skip


def climb(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind], last: str,
    *, first: str = "P0",
) -> None:  # fmt: skip
    """By its deeds: every stage from the first to the last one closed, begun, read and signed."""
    spot = find(shop, lot, machine, kinds)
    assert spot.kind is not None
    for stage in spot.kind.stages.values():
        if not int(first[1:]) <= int(stage.stage[1:]) <= int(last[1:]):
            continue
        close(shop, lot, machine, kinds, stage)
        steps = 9 if stage.stage == "P8" and spot.kind.run_in else 1
        for _ in range(steps):
            begun(shop, lot, machine, kinds, stage.id)
            read_all(shop, lot, machine, kinds, stage.id)
            wake.sign(shop, lot, machine, stage.id, AN, kinds, by="me")
