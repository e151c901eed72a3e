"""What the deeds of taking apart give back: the frozen values of the cases, under one roof."""

from retrue.cases.strip.lines import (
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
