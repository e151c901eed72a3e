"""The facts of measuring: instruments, sets of readings, single readings, results, own limits."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What is measured with: owned, to borrow, or to hire."""

    KIND: ClassVar[str] = "instrument"
    SCHEMA: ClassVar[int] = 1
    name: str
    sort: str  # level, indicator, test_bar, square, straightedge, step_gauge, ball_bar, ...
    way: Literal["owned", "borrow", "hire"] = "owned"
    hire_a_day: Decimal | None = None
    unit: str = ""  # of resolution and uncertainty: µm, µm/m, °C
    resolution: float | None = None
    uncertainty: float | None = None  # expanded, k = 2, of one reading
    certificate: str = ""
    certified_on: str | None = None  # ISO date
    due_on: str | None = None  # ISO date
    picture: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSet:
    """One test begun at one machine: what is asked, with what, in what state."""

    KIND: ClassVar[str] = "reading_set"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    test: str  # level, sweep, taper, ...
    place: str = ""  # axis or place, in the owner's words: "X", "left end of the bed"
    options: tuple[tuple[str, str], ...] = ()  # as typed
    instrument: str | None = None
    air_c: float | None = None
    machine_c: float | None = None
    state: str = ""  # cold, after the move, feet turned
    file: str | None = None  # a whole table kept by its hash (SHA-256)
    file_name: str = ""
    code: str = ""  # of the blank sheet it was typed from
    before: str | None = None  # the set it is compared with


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One number of a reading set, as typed."""

    KIND: ClassVar[str] = "reading"
    SCHEMA: ClassVar[int] = 1
    set: str
    cell: str
    text: str  # as typed, with its sign
    sure: bool = False  # it was asked about, and it is right


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What a reading set said when it was judged."""

    KIND: ClassVar[str] = "result"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    set: str
    test: str
    readings: str  # hash of the readings it was worked out from
    answer: str  # canonical JSON of everything it said
    ruling: str = ""  # proved_good, not_proved, proved_bad; empty: not judged
    provisional: str = ""
    version: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLimit:
    """A limit as the owner wants it: typed, or confirmed from his copy of the standard."""

    KIND: ClassVar[str] = "own_limit"
    SCHEMA: ClassVar[int] = 1
    limit: str  # id of the table of limits
    value: float
    standard: str = ""
    edition: str = ""
    confirmed: bool = False  # read in his own copy
    reason: str = ""
