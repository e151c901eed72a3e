"""One thing measured, worked out anew with its picture, its tables and what it means."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from retrue.base.refusals import Refusal, Unknown
from retrue.base.say import say
from retrue.cases.prove.proof import Proof
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sensed import SensedLine, sense
from retrue.cases.prove.sensed_file import KNOWN, file_proof, lux_table, recording_of
from retrue.cases.prove.sensed_pairs import baselines, same_place
from retrue.cases.prove.table import Table
from retrue.phases.prove.instruments import Gauge
from retrue.phases.prove.sensed_lines import sensed, tool_of
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import Sensed

Hear = Callable[[bytes, str], Recording | Table]  # a file as it came -> a recording, or a table
FILE = "file:"  # before the hash of an option that is a file of its own
CALIBRATED = "calibrated"  # option of sound: read with a meter that is checked


@dataclass(frozen=True, slots=True)
class SensedProof:
    """One thing measured; ``proof`` is None for numbers that were typed, or where it is refused."""

    line: SensedLine
    proof: Proof | None
    refused: Refusal | None = None


def sensed_proof(shop: RecordShop, record_id: str, hear: Hear) -> SensedProof:
    """What a measured thing says, worked out anew; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record_id : str
        Any record of its line.
    hear : callable
        Reads a file: a recording or a table.

    Returns
    -------
    SensedProof

    Raises
    ------
    Unknown
        No such record, or it was taken back.
    """
    line = shop.history(record_id)
    said = line[-1].fact
    if not isinstance(said, Sensed):
        raise Unknown(
            say("{record} is nothing measured that still counts", record=record_id),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    mine = sensed(shop, said.lot, said.machine)
    found = next(one for one in mine if one.id == line[0].id)
    stands = [one for one in baselines(mine) if same_place(one.first) == same_place(found)]
    first = stands[0].first if stands and stands[0].first.id != found.id else None
    own = first.value if first else None
    try:
        return SensedProof(found, proof_of(shop, line[-1], hear, baseline_mm_s=own))
    except Refusal as no:
        return SensedProof(found, None, no)


def proof_of(
    shop: RecordShop,
    record: Record[Sensed],
    hear: Hear | None,
    *,
    baseline_mm_s: float | None = None,
) -> Proof | None:
    """What a file says, or readings of light; None for other numbers that were typed."""
    said, one = record.fact, sense(record.fact.sort)
    options = dict(said.options)
    if said.file is None:
        return file_proof(one, lux_table(said.readings), options) if one.sort == "light" else None
    assert hear is not None, "a file needs somebody who reads it"
    read = hear(shop.file(said.file), said.file_name)
    known = None
    if KNOWN in options:
        content, name = shop.file(options[KNOWN].removeprefix(FILE)), say("the known level")
        known = recording_of(hear(content, name), name)
    sure = is_sure(said, tool_of(shop, one, record))
    return file_proof(
        one, read, options, known=known, checked=sure, speed_rpm=said.speed_rpm,
        baseline_mm_s=baseline_mm_s,
    )  # fmt: skip


def is_sure(said: Sensed, tool: Gauge) -> bool:
    """Whether the meter of a level is checked: so said, or its certificate stands."""
    return tool.checked or dict(said.options).get(CALIBRATED) == "yes"
