"""What the deeds of first power give back: the frozen values of the cases, under one roof."""

from retrue.cases.wake.lines import (
    BandLine,
    ClosedLine,
    Expected,
    Ladder,
    ReadingLine,
    StageStands,
)
from retrue.cases.wake.watch_kept import WatchStands

__all__ = [
    "BandLine",
    "ClosedLine",
    "Expected",
    "Ladder",
    "ReadingLine",
    "StageStands",
    "WatchStands",
]
