"""The facts of first power: stages begun, read, ended; watches; sound, vibration, light."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

SenseSort = Literal["sound", "vibration", "light"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageBegun:
    """A stage of first power begun: by whom, who stands at the switch, what is expected."""

    KIND: ClassVar[str] = "stage_begun"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: str  # of the kind's ladder, P3-V
    by_name: str  # who does it
    at_switch: str = ""  # who stands at the main switch; empty where nothing is energised
    licence: str = ""  # of the electrician or drive specialist
    cautions: tuple[str, ...] = ()  # ids of the cautions that were ticked
    heard: bool = False  # the alarm was heard at the machine
    laptop: bool | None = None  # it stands beside the machine; False: paper and a kitchen timer
    bands: str = ""  # canonical JSON of the expected bands as they stood before the start
    step: int | None = None  # of the run-in table
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageReading:
    """One reading of a stage."""

    KIND: ClassVar[str] = "stage_reading"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: str
    begun: str  # id of the stage begun
    name: str  # of the stage's bands: line_volts
    point: str = ""  # where exactly: coolant pump, L1 to L2
    reading: float
    unit: str = ""
    instrument: str = ""
    taken_by: str = ""  # who read it
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageEnded:
    """A stage that ended: signed at its stop point, aborted, or left for another day."""

    KIND: ClassVar[str] = "stage_ended"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: str
    begun: str  # id of the stage begun
    how: Literal["signed", "aborted", "left"]
    name: str  # who signs or called it off
    licence: str = ""
    why: str = ""  # of an abort
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseFound:
    """Why a stage was aborted, found before any second try."""

    KIND: ClassVar[str] = "cause_found"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: str
    ended: str  # id of the abort
    name: str
    cause: str
    nose_c: float | None = None  # cooled down to
    room_c: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchBegun:
    """A run-in watch begun: what it holds against what, and where its alarm sounds."""

    KIND: ClassVar[str] = "watch_begun"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    stage: str | None = None
    begun: str | None = None  # id of the stage begun
    step: int | None = None
    what: str = ""
    plan: str = ""  # canonical JSON of its limits, written before the start
    alarm: Literal["laptop", "paper"] = "laptop"
    heard: bool = False
    logger: str = ""  # name of the logger whose file is followed
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchReadings:
    """Readings of a watch: when, which channel, how much."""

    KIND: ClassVar[str] = "watch_readings"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    watch: str  # id of the watch begun
    source: Literal["typed", "logger", "sound"] = "typed"
    rows: tuple[tuple[str, str, float], ...] = ()  # ISO time with offset, channel, value
    first_row: int | None = None  # of the logger's file
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchCalled:
    """A watch called: stop, no reading, hold."""

    KIND: ClassVar[str] = "watch_called"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    watch: str
    call: Literal["stop", "no_reading", "hold"]
    at: str  # ISO time with offset
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchEnded:
    """A watch that ended: it levelled, it was stopped, it was left."""

    KIND: ClassVar[str] = "watch_ended"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    watch: str
    how: Literal["levelled", "stopped", "left"]
    name: str
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensed:
    """Sound, vibration or light measured at one point, before or after something was done."""

    KIND: ClassVar[str] = "sensed"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sort: SenseSort
    when: Literal["before", "after", ""] = ""
    point: str = ""  # the same words before and after
    state: str = ""  # idle, cutting, covers off
    speed_rpm: float | None = None
    file: str | None = None  # SHA-256 of the recording or table
    file_name: str = ""
    options: tuple[tuple[str, str], ...] = ()  # as typed: bearing, calibration level
    readings: tuple[tuple[str, float], ...] = ()  # typed values by key: level_a_db
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SensedResult:
    """What was worked out from what was sensed."""

    KIND: ClassVar[str] = "sensed_result"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sensed: str  # id of what was sensed
    sort: SenseSort
    answer: str  # canonical JSON of everything it said
    version: str = ""


Waking = (
    StageBegun
    | StageReading
    | StageEnded
    | CauseFound
    | WatchBegun
    | WatchReadings
    | WatchCalled
    | WatchEnded
    | Sensed
    | SensedResult
)
"""Every fact of this room."""
