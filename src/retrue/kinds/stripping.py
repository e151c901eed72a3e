"""What a kind says of taking apart: the as-found list, the ticks, the sorts of muck."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.kinds.judged import Three

AsFoundSort = Literal["shot", "wipe", "reading", "mark", "allowed"]
TickList = Literal["first_night", "evening", "dies_first"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFoundEntry:
    """One line of the as-found list: what is kept of one place before it changes."""

    id: str  # A17
    place: str  # id of a place; empty for what is always allowed
    what: AsFoundSort
    text: str
    needed: Literal["needed", "later", "allowed"]
    before: Literal["", "clean", "apart"] = ""  # what it must come before; a needed one keeps shut
    not_possible: tuple[str, ...] = ()  # ready answers to "not possible because"
    note: str = ""
    mark: str = ""
    measure: str = ""  # what a number of this line measures: it is a finding as well


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One tick of a list: what makes it fit to be left, or what dies first."""

    id: str  # T01
    list: TickList
    text: str
    cautions: tuple[str, ...] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Quantity:
    """How much of one thing a cleaning takes or leaves: a judged range with its unit."""

    what: str
    low: float
    likely: float
    high: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Muck:
    """One sort of muck: how it is taken off, what is never done, what it takes and leaves."""

    id: str  # conductive, abrasive, oil, dried_coolant, rust, swarf, droppings
    name: str
    how: str
    never: str
    quantities: tuple[Quantity, ...]
    waste: tuple[str, ...]  # classes: each its own bin
    hours: Three
    cautions: tuple[str, ...]
    accept: str  # what shows that it is clean
    mark: str
