"""The facts of moving: what was planned, which data were rescued, how it arrived, how it rests."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

DataSort = Literal[
    "parameters", "programs", "pitch_tables", "ladder", "macros", "drive_settings", "screens",
    "drawings", "manual", "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One calculator of the move as filled in; the newest of a machine and method counts."""

    KIND: ClassVar[str] = "planned"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    method: str  # lift, forklift, skates, ramp, door, tie, supply, conductor, air, layup, floor
    values: tuple[tuple[str, str], ...] = ()  # as typed, by the method's fields


@dataclass(frozen=True, slots=True, kw_only=True)
class DataCopy:
    """One sort of data saved before the plug is pulled, or why it could not be."""

    KIND: ClassVar[str] = "data_copy"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    sort: DataSort
    how: str = ""  # serial line, memory card, photographed screens
    file: str | None = None  # id of the kept file
    sha256: str = ""  # of that file
    read_back: bool | None = None  # read again from the copy, and the same
    second_place: str = ""  # where the other copy lies
    none: str = ""  # not possible because


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveStep:
    """One thing done on the way: asked, bracketed, drained, unplugged, loaded, unloaded."""

    KIND: ClassVar[str] = "move_step"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    step: str  # of the move's own list
    name: str = ""  # who did it or who said so
    rigger: str = ""  # who lifts and brings it in by their own numbers, instead of ours
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """The machine came: by whom, on which paper, and what is broken."""

    KIND: ClassVar[str] = "arrived"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    carrier: str = ""
    waybill: str = ""
    delivered_on: str  # ISO date
    damage: Literal["none", "visible", "hidden", "not_looked"] = "not_looked"
    found_on: str | None = None  # ISO date
    text: str = ""  # what is broken, in plain words
    law: Literal["CMR", "local"] = "CMR"
    local_days: int | None = None  # days that the local law or the contract gives
    written_on: str | None = None  # ISO date on which the carrier was told of the damage


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidUp:
    """From when to when a machine rests, where, and how often somebody goes round."""

    KIND: ClassVar[str] = "laid_up"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    since_on: str  # ISO date
    until_on: str | None = None  # ISO date; None: still
    where: str = ""
    every_days: int = 30
    cell_changed_on: str | None = None  # ISO date
    cell_years: float | None = None  # that the cell lasts, reckoned


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round at a machine that rests: what was done and read."""

    KIND: ClassVar[str] = "round"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    done: tuple[str, ...] = ()  # of the rounds' own list
    air_c: float | None = None
    humidity_percent: float | None = None
    machine_c: float | None = None  # of bare iron
    cell_volts: float | None = None
    text: str = ""
