"""A case: everything one calculation reads, whether it came from a file or from the shop."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Finding,
    Lot,
    Machine,
    Need,
    Plate,
    Shop,
    Terms,
)
from retrue.records.fixing import Chosen
from retrue.records.moving import Planned
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble

Event = Trouble | Hunch | Trial | Act | PartMoved | Signed


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A finding with the id it is kept under, and when it was seen; None: nobody said."""

    id: str
    finding: Finding
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """Something of fault-finding that happened, and when, counted in findings.

    Attributes
    ----------
    id : str
        It is kept under.
    event : Event
        Its ``machine`` by name; ``trouble`` is the id of the Happened that tells the trouble.
    place : int
        How many of the case's findings had been kept before it: finding i came after it exactly
        if i >= place.
    on : str
        The day, ISO; empty where nobody said.
    at : datetime or None
        The moment; None where nobody said.
    """

    id: str
    event: Event
    place: int
    on: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCase:
    """One lot as it stands: pure values, no clock, no path.

    Findings are given oldest first; they are sorted by id wherever order could matter.
    """

    shop: Shop
    lot: Lot
    terms: Terms
    machines: tuple[Machine, ...]
    needs: tuple[Need, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    plates: tuple[Plate, ...] = ()
    findings: tuple[Kept, ...] = ()
    asked: tuple[Asked, ...] = ()
    cost_lines: tuple[CostLine, ...] = ()
    happened: tuple[Happened, ...] = ()  # oldest first
    planned: tuple[Planned, ...] = ()  # calculators of the move, as filled in
    chosen: tuple[Chosen, ...] = ()  # by the owner; the newest of a machine, sort and thing
    as_of: str | None = None  # ISO date; never read from a clock
