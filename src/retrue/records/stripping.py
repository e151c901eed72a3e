"""The facts of taking apart: as found, ticked, cleaned, taken off, put back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

TakenSort = Literal["wire", "hose", "connector", "bag", "part"]
Muck = Literal["conductive", "abrasive", "oil", "dried_coolant", "rust", "swarf", "droppings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFound:
    """One line of the as-found list: done, later, or not possible; photographs are kept files."""

    KIND: ClassVar[str] = "as_found"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    entry: str  # id of the kind's as-found list, A17
    state: Literal["done", "later", "not_possible"] = "done"
    why: str = ""  # not possible because
    reading: float | None = None
    unit: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """One tick of a list: leaving for the night, leaving in the evening, always allowed acts."""

    KIND: ClassVar[str] = "ticked"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    list: Literal["first_night", "evening", "allowed", "dies_first"]
    item: str  # id of that list
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleaned:
    """One place cleaned of one sort of muck, with what it took and what came off."""

    KIND: ClassVar[str] = "cleaned"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    place: str
    muck: Muck
    hours: float | None = None
    waste_kg: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanReading:
    """A reading that cleaning is accepted by: before, after, and again after running."""

    KIND: ClassVar[str] = "clean_reading"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    place: str
    when: Literal["before", "after", "after_running"]
    sort: Literal["insulation", "winding", "tape", "wipe", "sludge", "other"]
    point: str = ""  # where exactly: the same words before and after
    reading: float | None = None
    unit: str = ""
    seen: Literal["", "clean", "grey", "dirty"] = ""  # of a wipe
    air_c: float | None = None
    humidity_percent: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """Something undone: a wire, hose, connector, a bag of small parts, or a part by itself."""

    KIND: ClassVar[str] = "taken"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    place: str
    sort: TakenSort
    code: str  # printed on its label; eight signs
    what: str = ""
    from_end: str = ""
    to_end: str = ""
    count: int | None = None
    torque_nm: float | None = None
    shim_mm: float | None = None
    state: Literal["whole", "stuck", "broken"] = "whole"
    step: int | None = None  # order of taking apart; empty: the order of keeping
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """Something that was undone stands where it belongs again."""

    KIND: ClassVar[str] = "put_back"
    SCHEMA: ClassVar[int] = 1
    lot: str
    machine: str
    taken: str  # id of the first record of what was undone
    torque_nm: float | None = None
    text: str = ""
