"""What was kept, the newest first; of one machine, one device, one person, one sort of thing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.diary_lines import OF
from retrue.cases.diary_pages import Spot, page_of
from retrue.cases.diary_record import About, headline, picture_of
from retrue.cases.diary_words import SORTS, kind_word, kinds_of_sort
from retrue.kinds.library import Kind
from retrue.records.facts import Fact, Lot, Machine, Shop, Withdrawn
from retrue.records.joining import DeviceJoined
from retrue.records.packing import KINDS
from retrue.records.shop import Record, RecordShop

MOST = 60  # records on a page
LOOKED_THROUGH = 6000  # that are looked through for one device or person
LAPTOP = "laptop"  # as records name the machine the shop stands on
LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)
WITH_THEIR_TEST = frozenset(
    {"reading", "moved", "catalogue_content", "screening", "share", "part_screened"}
)
"""What is not listed by itself: it stands on the page of its test, its look, its catalogue."""

Dated = tuple[datetime, Record[Any]]


@dataclass(frozen=True, slots=True)
class Kept:
    """One record as a list shows it.

    Attributes
    ----------
    record : Record
    when : datetime
        When it was first observed.
    what, line, where : str
        Its kind, its headline, its lot and machine, in words.
    page : str
        The address of the page that shows it.
    picture : str
        Id of its photograph; empty: none.
    device : str
        On which device, by the name its person gave it; empty: nobody knows.
    """

    record: Record[Any]
    when: datetime
    what: str
    line: str
    where: str
    page: str
    picture: str
    device: str = ""

    @property
    def is_back(self) -> bool:
        """Whether it says that something was taken back."""
        return isinstance(self.record.fact, Withdrawn)


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the diary.

    Attributes
    ----------
    rows : tuple of Kept
        The newest first.
    more : bool
        Whether there are older ones.
    looked_through : int or None
        How many were looked through, where that ended the search; None: all there are.
    """

    rows: tuple[Kept, ...]
    more: bool
    looked_through: int | None = None


def first_id(shop: RecordShop, record: Record[Any]) -> str:
    """The id of the first record of a line.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        Any of the line.

    Returns
    -------
    str
    """
    return record.id if record.replaces is None else shop.history(record.id)[0].id


def about_of(shop: RecordShop, kinds: Mapping[str, Kind]) -> About:
    """Names of the lots and machines that count, by the ids that records know them by.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    About
    """
    lots = {first_id(shop, one): one.fact for one in shop.current(Lot)}
    machines = {first_id(shop, one): one.fact for one in shop.current(Machine)}
    mine = shop.current(Shop)
    return About(
        lots={id: fact.name for id, fact in lots.items()},
        machines={id: fact.name for id, fact in machines.items()},
        kinds={id: kinds.get(fact.kind) for id, fact in machines.items()},
        currencies={id: fact.currency for id, fact in lots.items()},
        currency=mine[-1].fact.currency if mine else "EUR",
        homes={id: fact.lot for id, fact in machines.items()},
        devices=device_names(shop),
    )


def device_names(shop: RecordShop) -> dict[str, str]:
    """What every device is called, those that were turned away as well.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.

    Returns
    -------
    dict of str to str
        By the id that records know it by: the laptop first, then in the order they joined.
        Devices of one name are told apart by the end of their id.
    """
    here = shop.current(DeviceJoined)
    gone = shop.current(Withdrawn, of_kind=DeviceJoined.KIND)
    facts: list[DeviceJoined] = [one.fact for one in here]
    facts += [fact for one in gone if isinstance(fact := said_by(shop, one), DeviceJoined)]
    names = {fact.device: fact.name for fact in facts}
    alike = {name for name, count in Counter(names.values()).items() if count > 1}
    named = {id: f"{name} ({id[-4:]})" if name in alike else name for id, name in names.items()}
    return {LAPTOP: say("this laptop"), **named}


def kept_of(
    shop: RecordShop, record: Record[Any], about: About, when: datetime | None = None
) -> Kept:
    """One record as a list shows it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
    about : About
        Names of lots, machines, types.
    when : datetime, optional
        When it was first observed; else as it says itself.

    Returns
    -------
    Kept
        Of a withdrawal what it took back, and why.
    """
    fact: Fact = said_by(shop, record)
    back = isinstance(record.fact, Withdrawn)
    line = headline(fact, about, hangs_on(shop, fact))
    if isinstance(record.fact, Withdrawn) and record.fact.reason:
        line = say("{what}; because: {why}", what=line, why=record.fact.reason)
    home = about.homes.get(getattr(fact, "machine", None) or "", "")
    spot = Spot(record.id, first_id(shop, record), fact, home)
    what = kind_word(fact.KIND)
    return Kept(
        record=record,
        when=when or record.observed_at,
        what=say("taken back: {what}", what=what) if back else what,
        line=line,
        where=about.where(fact),
        page=spot.kept if back else page_of(spot),
        picture="" if back else picture_of(record),
        device=about.device(record.device),
    )


def hangs_on(shop: RecordShop, fact: Fact) -> Fact | None:
    """What a fact hangs on, where its line begins with that.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    fact : Fact
        Of any kind.

    Returns
    -------
    Fact or None
        As it was last said; None where there is none.
    """
    id = getattr(fact, OF.get(fact.KIND, ""), None)
    if not id:
        return None
    try:
        return said_by(shop, shop.history(id)[-1])
    except Unknown:
        return None


def said_by(shop: RecordShop, record: Record[Any]) -> Fact:
    """What a record says; of a withdrawal what it took back.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        Of any kind.

    Returns
    -------
    Fact
    """
    fact: Fact = record.fact
    if isinstance(fact, Withdrawn) and record.replaces:
        line = shop.history(record.id)
        before: list[Fact] = [one.fact for one in line if one.seq < record.seq]
        return next(one for one in reversed(before) if not isinstance(one, Withdrawn))
    return fact


def kept(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    page: int = 1,
    sort: str = "",
    machine: str = "",
    device: str = "",
    by: str = "",
    hidden: Collection[str] = (),
    most: int = MOST,
) -> Page:
    """What was kept, the newest first: what counts, and what was taken back and why.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    page : int
        1: the newest; 2: those before them.
    sort : str
        One of `retrue.cases.diary_words.SORTS`; empty: all.
    machine : str
        Its id; empty: all.
    device, by : str
        On which device, by whom; empty: all.
    hidden : collection of str
        Kinds that are not shown to who asks.
    most : int
        So many on a page.

    Returns
    -------
    Page

    Raises
    ------
    Unusable
        There is no such sort of thing, or no such page.
    """
    shown = _kinds(sort, frozenset(hidden))
    if page < 1 or page * most > LOOKED_THROUGH:
        raise Unusable(
            say("there is no such page of the diary"),
            remedy=say("Name a machine, a device or a sort of thing, or look for a word."),
        )
    wanted = page * most + 1
    if machine:
        found = [one for one in _of_machine(shop, shown, machine) if _is(one[1], device, by)]
        rows, through = found[:wanted], None
    else:
        rows, through = _newest(shop, shown, device, by, wanted)
    about = about_of(shop, kinds)
    mine = rows[(page - 1) * most : page * most]
    told = tuple(kept_of(shop, one, about, when) for when, one in mine)
    return Page(told, len(rows) >= wanted, through)


def _kinds(sort: str, hidden: frozenset[str]) -> list[type[Fact]]:
    if sort and sort not in SORTS:
        raise Unusable(
            say("there is no sort of thing called {sort}", sort=sort[:40]),
            remedy=say("Choose one of: {named}.", named=", ".join(SORTS)),
        )
    wanted = kinds_of_sort(sort) if sort else frozenset(KINDS) - WITH_THEIR_TEST
    return [KINDS[kind] for kind in sorted(wanted - hidden)]


def _newest(
    shop: RecordShop, shown: list[type[Fact]], device: str, by: str, wanted: int
) -> tuple[list[Dated], int | None]:
    """As many as wanted; of one device or person the newest are looked through, ever more."""
    most = wanted
    while True:
        seen = shop.seen_since(LONG_AGO, shown, most=most) if shown else []
        mine = [row for row in reversed(seen) if _is(row[1], device, by)]
        if len(seen) < most or len(mine) >= wanted:
            return mine, None
        if most >= LOOKED_THROUGH:
            return mine, most
        most = min(most * 4, LOOKED_THROUGH)


def _of_machine(shop: RecordShop, shown: list[type[Fact]], machine: str) -> list[Dated]:
    every: list[Record[Any]] = []
    for kind in shown:
        if "machine" in kind.__dataclass_fields__:
            every += shop.current(kind, machine=machine)
        elif kind is Withdrawn:
            every += _back_of_machine(shop, machine)
    dated = [(shop.history(one.id)[0].observed_at if one.replaces else one.observed_at, one)
             for one in every]  # fmt: skip
    return sorted(dated, key=lambda row: (row[0], row[1].seq), reverse=True)


def _back_of_machine(shop: RecordShop, machine: str) -> Iterator[Record[Any]]:
    for one in shop.current(Withdrawn)[-MOST * 5 :]:
        if getattr(said_by(shop, one), "machine", None) == machine:
            yield one


def _is(one: Record[Any], device: str, by: str) -> bool:
    return (not device or one.device == device) and (not by or one.by == by)
