"""Everything one lot keeps of what to do, read once for every list and page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from retrue.cases.case import LotCase
from retrue.cases.find.standing import Standing, standing
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.fix.outs import OutKept as OutKept  # read from here as well
from retrue.cases.fix.outs import outs_of as outs_of
from retrue.cases.kept_case import kept_case
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
    Quoted,
    Stock,
    Worker,
)
from retrue.records.fixing_rules import WORKED_FOR
from retrue.records.shop import Record, RecordShop

KEEP, RIGHT = "keep", "right"


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
    case : LotCase
        Its own figures are what is quoted, agreed and paid by now.
    plain : LotCase or None
        With the owner's own figures alone; None: there is nothing else.
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
    plain: LotCase | None = None

    def machine(self, key: str) -> MachineKept:
        """A machine by its key or its name."""
        return next(one for one in self.machines if key in (one.key, one.name))


def fix_kept(shop: RecordShop, lot: str, kinds: Mapping[str, Kind], *, on: date) -> FixKept:
    """Read everything once.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Name of the lot, or the id of any record of its line.
    kinds : mapping of kind id to Kind
        Machines of other kinds are left out.
    on : date
        Today, by which quotes hold and days are counted.

    Returns
    -------
    FixKept

    Raises
    ------
    Unknown
        No such lot.
    """
    home, name = find_lot(shop, lot)
    plain = kept_case(shop, home)
    marks = shop.current(CardMarked, lot=home)
    told = agreed_of(shop, home, plain, kinds, on=on, marks=marks)
    machines = []
    for record in shop.current(Machine, lot=home):
        kind = kinds.get(record.fact.kind)
        if kind is not None:
            spot = Spot(home, name, first_id(shop, record), record.fact.name, kind)
            machines.append(_machine(shop, spot, kind, told.case, marks))
    return FixKept(
        lot=home,
        lot_name=name,
        case=told.case,
        plain=plain,
        machines=tuple(machines),
        outs=told.outs,
        quotes=told.quotes,
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
