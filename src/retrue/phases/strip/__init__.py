"""Taking apart: the first night, the as-found gate, labels, cleaning, what is not yet back.

Every deed takes the shop first and the hand that writes (``by=``, ``device=``, ``observed_at=``,
``id=``) last. ``lot`` and ``machine`` are names or ids; what was undone is named by its code or by
the id of any of its records. Evidence goes first: a place is not cleaned before it is kept as
found, nothing comes apart before it is read. What is always allowed is never refused.
"""

from retrue.phases.strip.amending import correct, newest_of, withdraw
from retrue.phases.strip.apart import (
    label_by_code,
    put_back,
    remaining,
    take_off,
    taken,
    taken_line,
    write_step,
)
from retrue.phases.strip.cleaning import clean, clean_reading, cleaning
from retrue.phases.strip.log import StripLog, strip_log
from retrue.phases.strip.machine_files import (
    FILE_SORTS,
    keep_machine_file,
    machine_files,
    read_back,
)
from retrue.phases.strip.night import LISTS, allowed, evening, first_night, tick, untick
from retrue.phases.strip.places import STATES, keep_shot, place_stands, places, say_entry
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
    "FILE_SORTS",
    "LISTS",
    "STATES",
    "CleaningLine",
    "CleaningStands",
    "EntryLine",
    "FileLine",
    "FirstNight",
    "PlaceStands",
    "ReadingLine",
    "StripLog",
    "TakenLine",
    "TickLine",
    "allowed",
    "clean",
    "clean_reading",
    "cleaning",
    "correct",
    "evening",
    "first_night",
    "keep_machine_file",
    "keep_shot",
    "label_by_code",
    "machine_files",
    "newest_of",
    "place_stands",
    "places",
    "put_back",
    "read_back",
    "remaining",
    "say_entry",
    "strip_log",
    "take_off",
    "taken",
    "taken_line",
    "tick",
    "untick",
    "withdraw",
    "write_step",
]
