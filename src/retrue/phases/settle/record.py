"""The condition record: what is open, made, given away; guards and what goes with a machine."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Unpack

from retrue.base.refusals import NotYet, Unknown, Unreadable
from retrue.base.say import reader, say, speaking
from retrue.cases.settle.condition import condition, shares_of, still_open
from retrue.cases.settle.condition_file import (
    canonical,
    content_of,
    sha256_of,
)
from retrue.cases.settle.condition_open import as_problems, drawn
from retrue.cases.settle.record_lines import ConditionRecord, OpenItem
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.settle.guarding import kept_at
from retrue.records.hand import Hand
from retrue.records.settling import ForSale, RecordGiven, SoldAs
from retrue.records.shop import Record, RecordShop

MOST_PICTURES = 12  # that go with a record as copies; the others are listed by their checksum
Small = Callable[[bytes], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordStands:
    """How a condition record stands: the record, what is open, what was given before.

    Attributes
    ----------
    blocked : bool
        Something is open, and it is not sold as parts.
    tree : tuple of str
        What is open, drawn.
    given : tuple of Record
        Records given away of this machine, oldest first.
    as_given : mapping or None
        Its content today in the language of the last one given; None: none was given.
    """

    spot: Spot
    record: ConditionRecord
    open: tuple[OpenItem, ...]
    blocked: bool
    tree: tuple[str, ...]
    given: tuple[Record[RecordGiven], ...]
    as_given: Mapping[str, Any] | None = None


def record_stands(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    sold_as: SoldAs,
    by: str = "",
    version: str = "",
) -> RecordStands:
    """How the condition record of a machine stands, open or not.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    on : date
        The day it is made.
    sold_as : str
        as_found, running, proven or parts.
    by, version : str

    Returns
    -------
    RecordStands
    """
    kept = kept_at(shop, lot, machine, kinds)
    shares = shares_of(kept, kinds)
    made = condition(kept, on=on, sold_as=sold_as, by=by, version=version, shares=shares)
    left = still_open(kept, sold_as)
    before = given(shop, kept.spot.lot, kept.spot.machine)
    return RecordStands(
        spot=kept.spot,
        record=made,
        open=left,
        blocked=bool(left) and sold_as != "parts",
        tree=drawn(left),
        given=before,
        as_given=_as_given(shop, made, before, kinds, by=by, version=version),
    )


def _as_given(
    shop: RecordShop,
    made: ConditionRecord,
    before: tuple[Record[RecordGiven], ...],
    kinds: Mapping[str, Kind],
    *,
    by: str,
    version: str,
) -> dict[str, Any] | None:
    """The content of today's record in the language of the last one that was given."""
    if not before:
        return None
    last = before[-1].fact
    if last.language == reader():
        return content_of(made)
    with speaking(last.language):
        kept = kept_at(shop, last.lot, last.machine, kinds)
        told = condition(kept, on=date.fromisoformat(made.made_on), sold_as=made.sold_as, by=by,
                         version=version, shares=shares_of(kept, kinds))  # fmt: skip
        return content_of(told)


def record(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    sold_as: SoldAs,
    by: str = "",
    version: str = "",
) -> ConditionRecord:
    """The condition record of a machine.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    on : date
        The day it is made.
    sold_as : str
        as_found, running, proven or parts.
    by, version : str

    Returns
    -------
    ConditionRecord

    Raises
    ------
    NotYet
        A stop item is not cleared, or a guard or interlock is defeated, missing or not tested;
        every one is named. Sold as parts it is made all the same, and says so.
    """
    stands = record_stands(shop, lot, machine, kinds, on=on, sold_as=sold_as, by=by,
                           version=version)  # fmt: skip
    refuse_open(stands)
    return stands.record


def refuse_open(stands: RecordStands) -> None:
    """NotYet, with everything that is open, where the record stays closed."""
    if stands.blocked:
        raise NotYet(
            say("the condition record of {machine} stays closed: {count} things are open",
                machine=stands.spot.name, count=len(stands.open)),
            remedy=say("Clear each, or sell the machine as parts: the record then says so."),
            problems=as_problems(stands.open),
        )  # fmt: skip


def give(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    sold_as: SoldAs,
    small: Small | None = None,
    whom: str = "",
    version: str = "",
    **hand: Unpack[Hand],
) -> Record[RecordGiven]:
    """Make the record and keep it as it is given away; what it said never changes.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    on : date
        The day it is made.
    sold_as : str
    small : callable or None
        Makes the copy of a photograph that is given away: small, without metadata; None: no
        copies go with it.
    whom : str
        To whom; empty: for anybody who asks.
    version : str
    **hand
        Who writes.

    Returns
    -------
    Record of RecordGiven
        The same again where nothing has changed since the last one to the same person, also where
        that was in another language.

    Raises
    ------
    NotYet
        As for :func:`record`.
    """
    stands = record_stands(shop, lot, machine, kinds, on=on, sold_as=sold_as, by=hand["by"],
                           version=version)  # fmt: skip
    refuse_open(stands)
    made, copies = with_copies(shop, stands.record, small) if small else (stands.record, {})
    for copy in copies.values():
        shop.keep_file(copy)
    content = content_of(made)
    fact = RecordGiven(
        lot=stands.spot.lot, machine=stands.spot.machine, sold_as=sold_as, whom=whom,
        made_on=on.isoformat(), content=canonical(content), content_sha256=sha256_of(content),
        version=version, language=reader(),
    )  # fmt: skip
    same = [one for one in stands.given if one.fact == _spoken_as(one.fact, fact, made, stands)]
    return same[-1] if same and "id" not in hand else shop.add(fact, **hand)


def _spoken_as(
    given: RecordGiven, fact: RecordGiven, made: ConditionRecord, stands: RecordStands
) -> RecordGiven:
    """The record that is to be given, in the language of the last one, where that is this one."""
    if fact.language == given.language or given != stands.given[-1].fact:
        return fact
    content = deepcopy(dict(stands.as_given or {}))
    for told, picture in zip(content["pictures"], made.pictures, strict=True):
        told["copy_sha256"] = picture.copy_sha256
    return replace(fact, content=canonical(content), content_sha256=sha256_of(content),
                   language=given.language)  # fmt: skip


def with_copies(
    shop: RecordShop, made: ConditionRecord, small: Small
) -> tuple[ConditionRecord, dict[str, bytes]]:
    """The record with its copies in hand; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    made : ConditionRecord
    small : callable

    Returns
    -------
    tuple of (ConditionRecord, dict of str to bytes)
        The copies by their SHA-256.
    """
    every = [_copy(shop, one.sha256, small) for one in made.pictures[:MOST_PICTURES]]
    sums = [hashlib.sha256(one).hexdigest() if one else "" for one in every]
    pictures = [
        replace(one, copy_sha256=sum_) for one, sum_ in zip(made.pictures, sums, strict=False)
    ]
    rest = made.pictures[len(pictures) :]
    copies = {sum_: one for sum_, one in zip(sums, every, strict=True) if one}
    return replace(made, pictures=(*pictures, *rest)), copies


def _copy(shop: RecordShop, sha256: str, small: Small) -> bytes:
    """A copy; nothing where the picture cannot be unpacked: it is then listed by its checksum."""
    try:
        return small(shop.file(sha256))
    except (Unknown, Unreadable):
        return b""


def sold_as_of(shop: RecordShop, lot: str, machine: str) -> SoldAs:
    """As what a machine is offered, by the newest listing; as found where none says.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Ids.

    Returns
    -------
    str
    """
    listed = shop.current(ForSale, lot=lot, machine=machine)
    return listed[-1].fact.sold_as if listed else "as_found"


def given(shop: RecordShop, lot: str, machine: str) -> tuple[Record[RecordGiven], ...]:
    """Records given away of a machine.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Ids.

    Returns
    -------
    tuple of Record of RecordGiven
        Oldest first.
    """
    return tuple(shop.current(RecordGiven, lot=lot, machine=machine))


def one_given(shop: RecordShop, id: str) -> tuple[Record[RecordGiven], dict[str, bytes]]:
    """A record that was given away, with its copies of photographs, as it was.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    id : str
        Of the record.

    Returns
    -------
    tuple of (Record of RecordGiven, dict of str to bytes)
        The copies by their SHA-256.

    Raises
    ------
    Unknown
        There is none of that id.
    """
    kept = shop.get(RecordGiven, id)
    pictures = json.loads(kept.fact.content).get("pictures", [])
    sums = [one["copy_sha256"] for one in pictures if one.get("copy_sha256")]
    return kept, {sum_: shop.file(sum_) for sum_ in sums}
