"""First power, stage by stage, with somebody at the main switch, and the run-in watch.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids, a stage is P3 or P3-V. Nothing here
switches anything on: people begin a stage, its readings are held against what was written before
the start, and a reading outside the abort limits ends it.
"""

from retrue.phases.wake.amending import newest_of, take_back
from retrue.phases.wake.beginning import begin, not_fitted
from retrue.phases.wake.following import call, end_watch, follow
from retrue.phases.wake.hearing import hear
from retrue.phases.wake.here import stage_of
from retrue.phases.wake.ladder import ladder, plan, stage
from retrue.phases.wake.readings import read
from retrue.phases.wake.signing import abort, found, leave, sign
from retrue.phases.wake.views import (
    BandLine,
    ClosedLine,
    Expected,
    Ladder,
    ReadingLine,
    StageStands,
    WatchStands,
)
from retrue.phases.wake.watching import (
    add_readings,
    begin_watch,
    calls,
    watch_stands,
    watches,
)

__all__ = [
    "BandLine",
    "ClosedLine",
    "Expected",
    "Ladder",
    "ReadingLine",
    "StageStands",
    "WatchStands",
    "abort",
    "add_readings",
    "begin",
    "begin_watch",
    "call",
    "calls",
    "end_watch",
    "follow",
    "found",
    "hear",
    "ladder",
    "leave",
    "newest_of",
    "not_fitted",
    "plan",
    "read",
    "sign",
    "stage",
    "stage_of",
    "take_back",
    "watch_stands",
    "watches",
]
