"""Everything the book is made of, read from the shop once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache
from typing import Any
from weakref import WeakKeyDictionary

from retrue.cases.fix.outs import OutKept, outs_of
from retrue.cases.happening import Line
from retrue.records.facts import Frozen, Lot, Machine, Outcome, Shop, Terms
from retrue.records.fixing import CardMarked, Gear, Out, OutEnded, Quoted, Rung
from retrue.records.settling import BooksClosed, DayRate, Posting
from retrue.records.shop import Record, RecordShop

Marks = tuple[tuple[int, int], ...]

_LINES: WeakKeyDictionary[RecordShop, dict[int, Line]] = WeakKeyDictionary()


AROUND: tuple[type[Any], ...] = (Shop, Lot, Machine, DayRate, Frozen)
READ: tuple[type[Any], ...] = (
    *AROUND, Posting, BooksClosed, Outcome, Terms, Out, Rung, OutEnded, Quoted, Gear, CardMarked,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LotHere:
    """A lot by its id: its name, and how its money changes into the shop's."""

    id: str
    name: str
    currency: str = "EUR"
    rate: Decimal | None = None  # shop currency for one unit of the lot's
    rate_on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineHere:
    """A machine by its key: the id of its first record."""

    key: str
    name: str
    lot: str
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BookKept:
    """What the book is made of.

    Attributes
    ----------
    shop : Shop
    lots : mapping of id to LotHere
    machines : mapping of key to MachineHere
    postings : tuple of Line
        First and newest record of each line that counts, oldest first.
    rates : tuple of Record of DayRate
        Oldest first.
    closed_until : str
        ISO date; empty: nothing is closed.
    outcomes : tuple of Line
        The one of each lot that counts.
    terms : mapping of lot to Terms
    outs : tuple of OutKept
    quotes : mapping of record id to Quoted
        They say whether an order's amount holds its tax.
    gear : tuple of Record of Gear
        The newest of each name.
    worth : mapping of machine key to float
        What each was expected to be worth alone when the number was frozen, in the lot's money.
    worked : mapping of ISO date to tuple of machine keys
        Machines whose cards were marked on a day; read where days are hired.
    around, whole : tuple of (int, int)
        How many records and the number of the newest, of each kind: what a line needs beside
        itself, and all of the book. The same marks of the same shop, the same book: records are
        only added, and what is taken back lowers the count.
    """

    shop: Shop
    lots: Mapping[str, LotHere] = field(default_factory=dict)
    machines: Mapping[str, MachineHere] = field(default_factory=dict)
    postings: tuple[Line, ...] = ()
    rates: tuple[Record[DayRate], ...] = ()
    closed_until: str = ""
    outcomes: tuple[Line, ...] = ()
    terms: Mapping[str, Terms] = field(default_factory=dict)
    outs: tuple[OutKept, ...] = ()
    quotes: Mapping[str, Quoted] = field(default_factory=dict)
    gear: tuple[Record[Gear], ...] = ()
    worth: Mapping[str, float] = field(default_factory=dict)
    worked: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    around: Marks = ()
    whole: Marks = ()

    @property
    def currency(self) -> str:
        """The shop's own."""
        return self.shop.currency


def book_kept(shop: RecordShop) -> BookKept:
    """Read everything once.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    BookKept
    """
    marks = shop.marks(READ)  # before the rest: what comes between is read again next time
    read: dict[type[Any], list[Record[Any]]] = {kind: shop.current(kind) for kind in READ}
    every = {kind: lines_of(shop, read[kind]) for kind in (Lot, Machine, Posting, Outcome)}
    lots = {one.first.id: _lot(one.first.id, one.newest.fact) for one in every[Lot]}
    machines = {one.first.id: _machine(one.first.id, one.newest.fact) for one in every[Machine]}
    gear = tuple({one.fact.name: one for one in read[Gear]}.values())
    mine = read[Shop]
    return BookKept(
        shop=mine[-1].fact if mine else Shop(),
        lots=lots,
        machines=machines,
        postings=tuple(sorted(every[Posting], key=lambda line: line.first.seq)),
        rates=tuple(read[DayRate]),
        closed_until=_until(read[BooksClosed]),
        outcomes=tuple({one.newest.fact.lot: one for one in every[Outcome]}.values()),
        terms={one.fact.lot: one.fact for one in read[Terms]},
        outs=tuple(
            out for lot in sorted({one.fact.lot for one in read[Out]}) for out in outs_of(shop, lot)
        ),
        quotes={one.id: one.fact for one in read[Quoted]},
        gear=gear,
        worth=_worth(shop, read[Frozen], every[Outcome], every[Machine]),
        worked=_worked(read[CardMarked]) if any(one.fact.day_costs for one in gear) else {},
        around=marks[: len(AROUND)],
        whole=marks,
    )


def closed_until(shop: RecordShop) -> str:
    """The day up to which the book is closed; empty: it is open.

    Parameters
    ----------
    shop : RecordShop
        It is only read.

    Returns
    -------
    str
        ISO date.
    """
    return _until(shop.current(BooksClosed))


def lines_of(shop: RecordShop, records: Iterable[Record[Any]]) -> list[Line]:
    """Records that count, each with the first of its line.

    Parameters
    ----------
    shop : RecordShop
        It is only read; what a record took the place of never changes, and is asked for once.
    records : iterable of Record

    Returns
    -------
    list of Line
    """
    known = _LINES.setdefault(shop, {})
    lines = []
    for one in records:
        line = known.get(one.seq)
        if line is None or line.newest is not one:
            first = one if one.replaces is None else shop.history(one.id)[0]
            known[one.seq] = line = Line(first, one)
        lines.append(line)
    return lines


def _until(closings: Iterable[Record[BooksClosed]]) -> str:
    return max((one.fact.until_on for one in closings), default="")


def _lot(id: str, fact: Lot) -> LotHere:
    return LotHere(
        id=id, name=fact.name, currency=fact.currency, rate=fact.rate, rate_on=fact.rate_on or ""
    )


def _machine(key: str, fact: Machine) -> MachineHere:
    return MachineHere(key=key, name=fact.name, lot=fact.lot, mass_kg=fact.mass_kg)


def _worked(marks: Iterable[Record[CardMarked]]) -> dict[str, tuple[str, ...]]:
    days: dict[str, dict[str, None]] = {}
    for one in marks:
        days.setdefault(one.fact.marked_on, {})[one.fact.machine] = None
    return {day: tuple(keys) for day, keys in days.items()}


def _worth(
    shop: RecordShop,
    frozen: Iterable[Record[Frozen]],
    outcomes: Iterable[Line],
    machines: Iterable[Line],
) -> dict[str, float]:
    """What each machine was worth by the number that stood when its lot was won."""
    stood_at: dict[str, int] = {}
    won = {one.newest.fact.lot: one.first.seq for one in outcomes}
    told = {}
    for one in frozen:
        lot = one.fact.lot
        stood = stood_when_won(shop, one, won.get(lot))
        told[lot], stood_at[lot] = worth_by_name(stood.fact.sheet), stood.seq
    worth = {}
    for machine in machines:
        lot = machine.newest.fact.lot
        if lot in told and (name := _called(shop, machine, stood_at[lot])) in told[lot]:
            worth[machine.first.id] = told[lot][name]
    return worth


def _called(shop: RecordShop, machine: Line, seq: int) -> str:
    """What a machine was called when a record of that number was kept."""
    if machine.first is machine.newest:
        return str(machine.newest.fact.name)
    every = shop.history(machine.newest.id)
    before = [one for one in every if one.seq < seq] or every[:1]
    return str(before[-1].fact.name)


def stood_when_won(shop: RecordShop, frozen: Record[Frozen], won: int | None) -> Record[Frozen]:
    """The number that stood when its lot was won: a later one is hindsight.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    frozen : Record of Frozen
        The newest of the lot.
    won : int or None
        Number of the first record of its outcome; None: there is none.

    Returns
    -------
    Record of Frozen
        The newest where none is older than the outcome.
    """
    if won is None or frozen.seq <= won:
        return frozen
    before = [old for old in shop.history(frozen.id) if old.seq < won]
    return before[-1] if before else frozen


@lru_cache(maxsize=256)
def worth_by_name(sheet: str) -> Mapping[str, float]:
    """What each machine of a frozen sheet was worth alone.

    Parameters
    ----------
    sheet : str
        Canonical JSON of a price sheet.

    Returns
    -------
    mapping of name to float
        In the lot's currency; a machine without a price of its own is left out.

    Examples
    --------
    >>> dict(worth_by_name('{"machines": [{"name": "mill", "walk_away": 6000.0}]}'))
    {'mill': 6000.0}
    """
    machines = json.loads(sheet).get("machines", ())
    return {
        one["name"]: float(one["walk_away"]) for one in machines if one.get("walk_away") is not None
    }
