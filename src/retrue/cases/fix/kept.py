"""Everything one lot keeps of what to do, read once for every list and page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from retrue.cases.case import LotCase
from retrue.cases.find.standing import Standing, standing
from retrue.cases.kept_case import kept_case, line_of
from retrue.cases.spot import Spot, find_lot, first_id
from retrue.cases.strip.kept import cleaned_of, said_of, taken_of
from retrue.cases.strip.lines import TakenLine
from retrue.cases.wake.kept import progress_kept
from retrue.cases.wake.progress import Progress
from retrue.kinds.library import Kind
from retrue.records.facts import Machine
from retrue.records.fixing import (
    CardMarked,
    Chosen,
    Gear,
    Out,
    OutEnded,
    Quoted,
    Rung,
    Stock,
    Worker,
)
from retrue.records.fixing_rules import WORKED_FOR
from retrue.records.shop import Record, RecordShop

KEEP, RIGHT = "keep", "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutKept:
    """Something that is or was out: its first record, its newest words, what was rung since.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-20",
    ...           promised_on="2026-12-01")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "me", "", None, out, "", ""), out=out)
    >>> kept.open, kept.promised_on
    (True, '2026-12-01')
    """

    first: Record[Out]
    out: Out
    rung: tuple[Record[Rung], ...] = ()  # oldest first
    ended: Record[OutEnded] | None = None

    @property
    def promised_on(self) -> str | None:
        """The newest promise."""
        said = [one.fact.promised_on for one in self.rung if one.fact.promised_on]
        return said[-1] if said else self.out.promised_on

    @property
    def open(self) -> bool:
        """Whether it is out still; what was sent out is, until it is back and judged."""
        if self.ended is None:
            return True
        fact = self.ended.fact
        return fact.how == "back" and not fact.judged and self.out.sort == "sent_out"

    @property
    def here(self) -> bool:
        """Whether it came, and is good as far as anybody said."""
        if self.ended is None or self.open:
            return False
        return self.ended.fact.how == "back" and self.ended.fact.judged != "bad"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MachineKept:
    """One machine: what it is worked for, what was chosen, marked, taken apart, signed.

    Attributes
    ----------
    key : str
        Id of its first record; of a machine in a file its name.
    aim, level : str
        keep, sell_running ...; right.
    ways : mapping of fault to way
        As the owner chose.
    marks : tuple of Record
        Of its cards, oldest first.
    taken : tuple of TakenLine
    cleaned : mapping of place to sorts of muck
    as_found : frozenset of str
        Lines of the as-found list that are done or not possible.
    stages : mapping of str to Progress
        Of first power, in order.
    """

    key: str
    machine: Machine
    kind: Kind
    state: Standing
    aim: str = KEEP
    level: str = RIGHT
    ways: Mapping[str, str] = field(default_factory=dict)
    renewals: frozenset[str] = frozenset()
    upgrades: frozenset[str] = frozenset()
    marks: tuple[Record[CardMarked], ...] = ()
    taken: tuple[TakenLine, ...] = ()
    cleaned: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    as_found: frozenset[str] = frozenset()
    stages: Mapping[str, Progress] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """What people call it."""
        return self.machine.name

    @property
    def worked_for(self) -> bool:
        """Whether own hours go into it."""
        return self.aim in WORKED_FOR


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FixKept:
    """Everything of one lot.

    Attributes
    ----------
    lot : str
        Id of its first record; of a lot in a file its name.
    outs : tuple of OutKept
    quotes : tuple of Record
    workers, gear, stock : tuple of Record
        Of the whole shop; the newest of a name.
    """

    lot: str
    lot_name: str
    case: LotCase
    machines: tuple[MachineKept, ...]
    outs: tuple[OutKept, ...] = ()
    quotes: tuple[Record[Quoted], ...] = ()
    workers: tuple[Record[Worker], ...] = ()
    gear: tuple[Record[Gear], ...] = ()
    stock: tuple[Record[Stock], ...] = ()

    def machine(self, key: str) -> MachineKept:
        """A machine by its key or its name."""
        return next(one for one in self.machines if key in (one.key, one.name))


def fix_kept(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> FixKept:
    """Read everything once.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Name of the lot, or the id of any record of its line.
    kinds : mapping of kind id to Kind
        Machines of other kinds are left out.

    Returns
    -------
    FixKept

    Raises
    ------
    Unknown
        No such lot.
    """
    home, name = find_lot(shop, lot)
    case = kept_case(shop, home)
    marks = shop.current(CardMarked, lot=home)
    machines = []
    for record in shop.current(Machine, lot=home):
        kind = kinds.get(record.fact.kind)
        if kind is not None:
            spot = Spot(home, name, first_id(shop, record), record.fact.name, kind)
            machines.append(_machine(shop, spot, kind, case, marks))
    return FixKept(
        lot=home,
        lot_name=name,
        case=case,
        machines=tuple(machines),
        outs=outs_of(shop, home),
        quotes=tuple(shop.current(Quoted, lot=home)),
        workers=newest_named(shop.current(Worker)),
        gear=newest_named(shop.current(Gear)),
        stock=newest_named(shop.current(Stock)),
    )


def fix_of_case(case: LotCase, kinds: Mapping[str, Kind]) -> FixKept:
    """The same of a lot from a file: nothing was marked, taken apart or sent out.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of kind id to Kind

    Returns
    -------
    FixKept

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> [(one.key, one.aim, one.level) for one in fix_of_case(case, load()).machines]
    [('A', 'keep', 'right')]
    """
    machines = tuple(
        MachineKept(
            key=one.name,
            machine=one,
            kind=kinds[one.kind],
            state=standing(case, one.name, kinds[one.kind]),
            **_chosen(case, one.name),
        )
        for one in case.machines
        if one.kind in kinds
    )
    name = case.lot.name
    return FixKept(lot=name, lot_name=name, case=case, machines=machines)


def outs_of(shop: RecordShop, lot: str) -> tuple[OutKept, ...]:
    """What is or was out of a lot, oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Id of its first record.

    Returns
    -------
    tuple of OutKept
    """
    rung: dict[str, list[Record[Rung]]] = {}
    for one in shop.current(Rung, lot=lot):
        rung.setdefault(one.fact.out, []).append(one)
    ended = {one.fact.out: one for one in shop.current(OutEnded, lot=lot)}
    lines = sorted(
        (line_of(shop, one) for one in shop.current(Out, lot=lot)), key=lambda line: line.first.seq
    )
    return tuple(
        OutKept(
            first=line.first,
            out=line.newest.fact,
            rung=tuple(rung.get(line.first.id, ())),
            ended=ended.get(line.first.id),
        )
        for line in lines
    )


def newest_named(records: Iterable[Record[Any]]) -> tuple[Record[Any], ...]:
    """The newest record of each name, in the order in which the names first came.

    Parameters
    ----------
    records : iterable of Record
        Of facts with a name, oldest first.

    Returns
    -------
    tuple of Record

    Examples
    --------
    >>> newest_named(())
    ()
    """
    return tuple({one.fact.name: one for one in records}.values())


def _machine(
    shop: RecordShop, spot: Spot, kind: Kind, case: LotCase, marks: Sequence[Record[CardMarked]]
) -> MachineKept:
    return MachineKept(
        key=spot.machine,
        machine=next(one for one in case.machines if one.name == spot.name),
        kind=kind,
        state=standing(case, spot.name, kind),
        marks=tuple(one for one in marks if one.fact.machine == spot.machine),
        taken=taken_of(shop, spot),
        cleaned=cleaned_of(shop, spot),
        as_found=frozenset(
            id for id, said in said_of(shop, spot).items() if said.fact.state != "later"
        ),
        stages=progress_kept(shop, spot, kind),
        **_chosen(case, spot.name),
    )


def _chosen(case: LotCase, machine: str) -> dict[str, Any]:
    """What the owner chose for one machine: the newest of each thing."""
    mine = [one for one in case.chosen if one.machine in (machine, None)]
    aim = next((one for one in reversed(mine) if one.sort == "aim"), None)
    return {
        "aim": aim.way if aim and aim.way else KEEP,
        "level": aim.level if aim and aim.level else RIGHT,
        "ways": {one.what: one.way for one in mine if one.sort == "way" and one.way},
        "renewals": _yes(mine, "renew"),
        "upgrades": _yes(mine, "upgrade"),
    }


def _yes(mine: Sequence[Chosen], sort: str) -> frozenset[str]:
    said = {one.what: one.yes for one in mine if one.sort == sort}
    return frozenset(what for what, yes in said.items() if yes)
