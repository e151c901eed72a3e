"""What hangs on a record: what falls with it, what holds it, what it hangs on itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import NotYet, Problem, Unknown
from retrue.base.say import say
from retrue.cases.diary_rules import (
    FALL_WITH_MACHINE,
    FALLS_BESIDE,
    FOLLOWS,
    HANGS,
    LEARNED,
    RULES,
    Hangs,
)
from retrue.cases.diary_words import kind_word
from retrue.records.facts import Finding, Machine, Withdrawn
from retrue.records.packing import KINDS
from retrue.records.seeking import PartMoved
from retrue.records.settling import Posting
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import Sensed

PLACES = {"lot": "lot", "machine": "machine"}


@dataclass(frozen=True, slots=True)
class Hanging:
    """What hangs on a record.

    Attributes
    ----------
    falls : tuple of Record
        What counts no more with it, each once; not itself.
    holds : tuple of Record
        What must go first.
    """

    falls: tuple[Record[Any], ...]
    holds: tuple[Record[Any], ...]


def hanging(shop: RecordShop, record: Record[Any]) -> Hanging:
    """All that hangs on a record, and on what hangs on it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        One that counts.

    Returns
    -------
    Hanging
    """
    falls: dict[str, Record[Any]] = {}
    holds: dict[str, Record[Any]] = {}
    open_ones = [record]
    while open_ones:
        one = open_ones.pop()
        for other, with_it in _on(shop, one):
            if other.id == record.id or other.id in falls:
                continue
            if with_it:
                falls[other.id] = other
                open_ones.append(other)
            else:
                holds[other.id] = other
    held = [one for id, one in holds.items() if id not in falls]
    return Hanging(tuple(falls.values()), tuple(sorted(held, key=lambda one: one.seq)))


def _on(shop: RecordShop, record: Record[Any]) -> Iterator[tuple[Record[Any], bool]]:
    """What names one record, and whether it falls with it."""
    line = shop.history(record.id)
    ids = {one.id for one in line}
    yield from ((one, True) for one in _beside(shop, record, line[0].id))
    for named in HANGS.get(record.kind, ()):
        for other in _naming(shop, record, named):
            if _value(other, named) in ids:
                yield other, named.falls
    if record.kind in PLACES:
        yield from _belonging(shop, record.kind, ids)
    if record.kind == "guess":
        yield from ((one, True) for one in _counting(shop, record.fact.finding))


def _beside(shop: RecordShop, record: Record[Any], first: str) -> Iterator[Record[Any]]:
    """What a deed of a phase kept beside a record, and takes back with it."""
    if RULES[record.kind].way != "room":
        return
    for end in FALLS_BESIDE:
        yield from _counting(shop, f"{first}{end}")
    if record.kind == Sensed.KIND:
        for one in shop.current(Finding, lot=record.fact.lot, machine=record.fact.machine):
            if shop.history(one.id)[0].id.startswith(f"{first}{LEARNED}"):
                yield one


def _counting(shop: RecordShop, id: str) -> Iterator[Record[Any]]:
    """The record of a line that counts; none where there is no such line."""
    newest = _newest(shop, id)
    if newest is not None and not isinstance(newest.fact, Withdrawn):
        yield newest


def _newest(shop: RecordShop, id: str) -> Record[Any] | None:
    try:
        return shop.history(id)[-1]
    except Unknown:
        return None


def _naming(shop: RecordShop, record: Record[Any], named: Hangs) -> list[Record[Any]]:
    kind = KINDS[named.kind]
    lot = getattr(record.fact, "lot", None)
    if lot and "lot" in kind.__dataclass_fields__ and named.kind != "posting":
        return list(shop.current(kind, lot=lot))
    return list(shop.current(kind))


def _value(other: Record[Any], named: Hangs) -> str:
    return str(getattr(other.fact, named.field) or "").removeprefix(named.before)


def _belonging(shop: RecordShop, field: str, ids: set[str]) -> Iterator[tuple[Record[Any], bool]]:
    for kind in KINDS.values():
        names = kind.__dataclass_fields__
        for id in sorted(ids) if field in names else ():
            for other in shop.current(kind, **{field: id}):
                yield other, kind.KIND in FALL_WITH_MACHINE
    if field == "machine":
        others: list[Record[Any]] = [*shop.current(PartMoved), *shop.current(Posting)]
        for other in others:
            fact: Any = other.fact
            if ids & {fact.from_machine, *getattr(fact, "shared_by", ())}:
                yield other, False


def refuse_held(held: tuple[Record[Any], ...]) -> None:
    """Refuse to take back what something else stands on.

    Parameters
    ----------
    held : tuple of Record
        What stands on it.

    Raises
    ------
    NotYet
        With what stands on it.
    """
    if held:
        counted: dict[str, int] = {}
        for one in held:
            counted[one.kind] = counted.get(one.kind, 0) + 1
        named = "; ".join(f"{kind_word(kind)}: {count}" for kind, count in counted.items())
        raise NotYet(
            say("something stands on this: {named}", named=named),
            remedy=say("Take that back first, or correct this instead."),
        )


def kept_with(shop: RecordShop, record: Record[Any]) -> Record[Any] | None:
    """What still counts and a record was kept beside, so that it goes with that.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        The newest of its line.

    Returns
    -------
    Record or None
    """
    first = shop.history(record.id)[0].id
    for end in FOLLOWS:
        if first.endswith(end):
            for newest in _counting(shop, first.removesuffix(end)):
                return newest
    return None


def refuse_follower(shop: RecordShop, record: Record[Any]) -> None:
    """Refuse to take back alone what was kept beside another record.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        The newest of its line.

    Raises
    ------
    NotYet
        Of that record.
    """
    newest = kept_with(shop, record)
    if newest is not None:
        raise NotYet(
            say("it was kept with {what}", what=kind_word(newest.kind)),
            remedy=say("Take that back: this goes with it."),
            problems=(Problem("record", say("goes with {id}", id=newest.id)),),
        )


def refuse_last(shop: RecordShop, record: Record[Any]) -> None:
    """Refuse to take the last machine out of a lot: there would be nothing to ask a price of.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        The newest of its line.

    Raises
    ------
    NotYet
        It is a machine, and the only one of its lot.
    """
    if record.kind == Machine.KIND and len(shop.current(Machine, lot=record.fact.lot)) == 1:
        raise NotYet(
            say("it is the only machine of its lot"),
            remedy=say("Take the lot back, or put another machine into it first."),
        )


def gone_before(shop: RecordShop, record: Record[Any]) -> Record[Withdrawn] | None:
    """What was taken back and a record belongs to, so that it cannot count without it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        What is to be brought back, as it was.

    Returns
    -------
    Record of Withdrawn or None
    """
    for id in _names(shop, record):
        newest = _newest(shop, id)
        if newest is not None and isinstance(newest.fact, Withdrawn):
            return newest
    return None


def refuse_gone(shop: RecordShop, record: Record[Any]) -> None:
    """Refuse to bring back what belongs to something that was taken back.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        What is to be brought back, as it was.

    Raises
    ------
    NotYet
        The lot, machine or record that it belongs to does not count.
    """
    gone = gone_before(shop, record)
    if gone is None:
        return
    rule = RULES[gone.fact.of_kind]
    raise NotYet(
        say("{what} it belongs to was taken back", what=kind_word(gone.fact.of_kind)),
        remedy=say("Bring that back first.") if rule.again else say(rule.why),
        problems=(Problem("record", say("goes with {id}", id=gone.id)),),
    )


def _names(shop: RecordShop, record: Record[Any]) -> Iterator[str]:
    """Ids of what a record cannot stand without."""
    for field in PLACES:
        if id := getattr(record.fact, field, None):
            yield id
    for every in HANGS.values():
        for named in every:
            mine = named.kind == record.kind and not named.before
            if mine and (id := getattr(record.fact, named.field)):
                yield id
    first = shop.history(record.id)[0].id
    yield from (first.removesuffix(end) for end in FOLLOWS if first.endswith(end))
    if LEARNED in first:
        yield first.rpartition(LEARNED)[0]
