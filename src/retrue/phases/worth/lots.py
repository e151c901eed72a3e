"""A lot as it stands: made, corrected, found again, folded into the case that is priced."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar, Unpack

from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.kept_case import kept_case
from retrue.cases.known import nearest
from retrue.cases.move.needed import needed
from retrue.kinds.library import Kind
from retrue.records.facts import (
    Alternative,
    Fact,
    Lot,
    Machine,
    Need,
    Shop,
    Terms,
)
from retrue.records.fixing import Out, Quoted, Stock
from retrue.records.hand import Hand, without_id
from retrue.records.settling import Posting
from retrue.records.shop import Record, RecordShop

F = TypeVar("F", bound=Fact)


@dataclass(frozen=True, slots=True)
class LotView:
    """A lot with its keys: the id of its first record, and those of its machines by name."""

    id: str
    record: Record[Lot]
    terms: Record[Terms] | None
    machines: tuple[tuple[str, Record[Machine]], ...]  # (id of its first record, newest record)

    @property
    def name(self) -> str:
        """The lot's name."""
        return self.record.fact.name

    def machine_id(self, machine: str) -> str:
        """The id of a machine given by id or by name; Unknown if the lot has none such."""
        for key, record in self.machines:
            if machine in (key, record.id, record.fact.name):
                return key
        names = ", ".join(record.fact.name for _, record in self.machines) or "none"
        raise Unknown(
            say("lot {lot} has no machine {machine}", lot=self.name, machine=machine),
            remedy=say("Its machines: {names}.", names=names),
        )


def my_shop(shop: RecordShop) -> Record[Shop] | None:
    """The newest record of my shop, or None while nothing was said of it."""
    kept = shop.current(Shop)
    return kept[-1] if kept else None


def keep_shop(shop: RecordShop, fact: Shop, **hand: Unpack[Hand]) -> Record[Shop]:
    """Keep what my shop is; replaces what stood before.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    fact : Shop
    **hand : Hand
        Who writes.

    Returns
    -------
    Record of Shop

    Raises
    ------
    NotYet
        Another currency, and lines stand in the book: what they cost was counted in the old one.
    """
    now = my_shop(shop)
    home = now.fact.currency if now else Shop().currency
    if fact.currency != home and shop.current(Posting):
        raise NotYet(
            say("the book is kept in {currency}, and lines stand in it", currency=home),
            remedy=say("Keep that currency, or begin another shop for the new one."),
            problems=(Problem("currency", say("is not that of the book")),),
        )
    return shop.add(fact, replaces=now.id if now else None, **hand)


def new_lot(
    shop: RecordShop,
    lot: Lot,
    terms: Terms,
    machines: Sequence[Machine],
    needs: Sequence[Need] = (),
    alternatives: Sequence[Alternative] = (),
    **hand: Unpack[Hand],
) -> LotView:
    """Keep a new lot with its terms and machines; a price can be told at once.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : Lot
        Its name must be free.
    terms : Terms
        Its ``lot`` is set here.
    machines : sequence of Machine
        Their ``lot`` is set here; names must differ.
    needs, alternatives : sequence
        Of the shop; kept only where none of that name stands yet.
    **hand : Hand
        Who writes; ``id`` becomes the lot's id, and sent twice it is kept once.

    Returns
    -------
    LotView
        The lot with its keys.

    Raises
    ------
    Unusable
        The name is taken, or two machines share one.
    """
    named = shop.current(Lot, name=lot.name)
    if named and named[-1].id == hand.get("id"):
        return view_lot(shop, named[-1].id)  # the same form, sent twice
    _free(shop, lot, machines)
    first = shop.add(lot, **hand)
    rest = without_id(hand)
    shop.add(replace(terms, lot=first.id), **rest)
    for machine in machines:
        shop.add(replace(machine, lot=first.id), **rest)
    _add_missing(shop, Need, needs, rest)
    _add_missing(shop, Alternative, alternatives, rest)
    return view_lot(shop, first.id)


def add_machine(
    shop: RecordShop, lot: str, machine: Machine, **hand: Unpack[Hand]
) -> Record[Machine]:
    """Put one more machine into a lot; its name must be free there."""
    view = view_lot(shop, lot)
    if machine.name in {record.fact.name for _, record in view.machines}:
        raise Unusable(
            say("lot {lot} already has a machine {name}", lot=view.name, name=machine.name),
            remedy=say("Give it another name."),
        )
    return shop.add(replace(machine, lot=view.id), **hand)


def correct(shop: RecordShop, kind: type[F], id: str, **fields: Any) -> Record[F]:
    """Correct a fact: a new record with some fields changed takes the place of the old one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    kind : type
        Terms, Machine, Need, Alternative, Shop, Lot.
    id : str
        Any record of its line; the newest is replaced.
    **fields
        Changed fields; ``by``, ``device``, ``observed_at`` belong to the hand.

    Returns
    -------
    Record
        The new record; the old one stays readable.
    """
    hand = {key: fields.pop(key) for key in ("by", "device", "observed_at") if key in fields}
    newest = shop.history(id)[-1]
    return shop.add(replace(newest.fact, **fields), replaces=newest.id, **hand)


def lots(shop: RecordShop) -> list[Record[Lot]]:
    """All lots, oldest first."""
    return shop.current(Lot)


def find_lot(shop: RecordShop, lot: str) -> Record[Lot]:
    """The newest record of a lot given by name or by the id of any of its records."""
    named = shop.current(Lot, name=lot)
    if named:
        return named[-1]
    try:
        newest: Record[Any] = shop.history(shop.get(Lot, lot).id)[-1]
    except Unknown:
        newest = _no_such_lot(shop, lot)
    return newest if isinstance(newest.fact, Lot) else _no_such_lot(shop, lot)


def view_lot(shop: RecordShop, lot: str) -> LotView:
    """A lot with its terms, its machines, and the keys that other records name them by."""
    record = find_lot(shop, lot)
    key = first_id(shop, record)
    terms = shop.current(Terms, lot=key)
    machines = tuple((first_id(shop, m), m) for m in shop.current(Machine, lot=key))
    return LotView(key, record, terms[-1] if terms else None, machines)


def machine_of(shop: RecordShop, lot: str, machine: str) -> Record[Machine]:
    """The newest record of a machine of a lot, given by name or id."""
    view = view_lot(shop, lot)
    key = view.machine_id(machine)
    return next(record for at, record in view.machines if at == key)


def case_of(shop: RecordShop, lot: str, kinds: Mapping[str, Kind] | None = None) -> LotCase:
    """Everything the price reads, as it stands now.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind or None
        By them quotes, orders and what is here stand as own figures, today by the shop's clock;
        None: only what the owner typed.

    Returns
    -------
    LotCase
        Names in place of keys; findings and what happened in fault-finding oldest first; ``as_of``
        is the day the terms were kept.
    """
    home = first_id(shop, find_lot(shop, lot))
    case = kept_case(shop, home)
    if kinds is None or not any(_told(shop, home)):
        return case
    # Only what is out or quoted needs the tables of what to do; nothing else shall wait for them.
    from retrue.cases.fix.agreed_kept import agreed_of

    return agreed_of(shop, home, case, kinds, on=shop.today()).case


def _told(shop: RecordShop, home: str) -> Iterator[bool]:
    yield bool(shop.current(Quoted, lot=home))
    yield bool(shop.current(Out, lot=home))
    yield bool(shop.current(Stock))


def _no_such_lot(shop: RecordShop, lot: str) -> Record[Any]:
    names = [record.fact.name for record in lots(shop)]
    hint = nearest(lot, names) or say("retrue lot list names them.")
    raise Unknown(say("there is no lot {lot}", lot=lot), remedy=hint)


def first_id(shop: RecordShop, record: Record[Any]) -> str:
    """The id of the first record of a line: what other records name it by, however corrected."""
    return shop.history(record.id)[0].id if record.replaces else record.id


def _free(shop: RecordShop, lot: Lot, machines: Sequence[Machine]) -> None:
    if shop.current(Lot, name=lot.name):
        raise Unusable(
            say("a lot named {name} is kept already", name=lot.name),
            remedy=say("Give it another name."),
        )
    names = [machine.name for machine in machines]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise Unusable(
            say("two machines are named {names}", names=", ".join(map(str, twice))),
            remedy=say("Give each machine a name of its own."),
        )


def _add_missing(
    shop: RecordShop, kind: type[Need] | type[Alternative], facts: Sequence[Any], hand: Hand
) -> None:
    names = {record.fact.name for record in shop.current(kind)}
    for fact in facts:
        if fact.name not in names:
            shop.add(fact, **hand)


def move_needs(shop: RecordShop, lot: str) -> Mapping[str, tuple[str, ...]]:
    """What each machine's move and supply need beyond the usual, in words; it is in the price.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.

    Returns
    -------
    mapping of str to tuple of str
        By machine.
    """
    case = case_of(shop, lot)
    return {one.name: tuple(need.text for need in needed(case, one)) for one in case.machines}
