"""The fact of keeping: the shop was backed up, when, where to, and how far it went."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True, kw_only=True)
class BackedUp:
    """The shop was written to one file, and the file was read back and found whole."""

    KIND: ClassVar[str] = "backed_up"
    SCHEMA: ClassVar[int] = 1
    place: str  # where it went: a path, or the device it was handed to
    records: int  # how many are in it
    last_sha256: str  # of the last record in it; noted on paper it shows whether some were cut off
    files: int  # kept files in it
    size_bytes: int
    whole: bool = True  # False: something of the shop itself was missing or damaged
    text: str = ""


Keeping = BackedUp
"""Every fact of this room."""
