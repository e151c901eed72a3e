"""Prove: the deeds of measuring. Doors call these and nothing below them.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids; a set of readings is named by its id.
Numbers are kept as typed before they are judged; a correction is a new record.
"""

from collections.abc import Mapping
from typing import Any

from retrue.cases.prove.acceptance import Acceptance, AcceptanceRow
from retrue.cases.prove.deed import Cell, Deed, deed, options_of
from retrue.phases.prove.acceptance import acceptance
from retrue.phases.prove.ahead import ahead
from retrue.phases.prove.bench import bench
from retrue.phases.prove.comparing import compare
from retrue.phases.prove.instruments import instruments, keep_instrument
from retrue.phases.prove.judging import (
    entered,
    judge,
    prove_file,
    results,
    table_of_set,
    work_out,
)
from retrue.phases.prove.limits import keep_limit, limits
from retrue.phases.prove.readings import keep_reading, keep_readings
from retrue.phases.prove.sensed_lines import quiet, sensed
from retrue.phases.prove.sensed_proof import SensedProof, sensed_proof
from retrue.phases.prove.sensing import KeptSense, keep_sensed
from retrue.phases.prove.sensing import take_back as take_back_sensed
from retrue.phases.prove.sets import begin, fingerprint, keep_table, open_set, set_by_code
from retrue.phases.prove.views import (
    BenchView,
    InstrumentLine,
    Judgement,
    Kept,
    LimitLine,
    SetView,
    TestLine,
)

__all__ = [
    "Acceptance",
    "AcceptanceRow",
    "BenchView",
    "InstrumentLine",
    "Judgement",
    "Kept",
    "KeptSense",
    "LimitLine",
    "SensedProof",
    "SetView",
    "TestLine",
    "acceptance",
    "ahead",
    "begin",
    "bench",
    "blank",
    "compare",
    "entered",
    "fingerprint",
    "instruments",
    "judge",
    "keep_instrument",
    "keep_limit",
    "keep_reading",
    "keep_readings",
    "keep_sensed",
    "keep_table",
    "limits",
    "open_set",
    "prove_file",
    "quiet",
    "results",
    "sensed",
    "sensed_proof",
    "set_by_code",
    "table_of_set",
    "take_back_sensed",
    "work_out",
]


def blank(test: str, typed: Mapping[str, Any]) -> tuple[Deed, dict[str, Any], tuple[Cell, ...]]:
    """An empty form or sheet: the test, its options as values, the numbers to be read in order."""
    one = deed(test)
    options = options_of(one, typed)
    return one, options, one.cells(options)
