"""Taking apart: the first night, the as-found gate, labels, cleaning, what is not yet back."""

from retrue.phases.strip.views import (
    CleaningLine,
    CleaningStands,
    EntryLine,
    FileLine,
    FirstNight,
    PlaceStands,
    ReadingLine,
    TakenLine,
    TickLine,
)

__all__ = [
    "CleaningLine",
    "CleaningStands",
    "EntryLine",
    "FileLine",
    "FirstNight",
    "PlaceStands",
    "ReadingLine",
    "TakenLine",
    "TickLine",
]
