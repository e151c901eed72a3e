"""What is undone gets a code, and is not forgotten until it is back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import count as counting
from typing import Literal, Unpack, cast

from retrue.base.codes import code_of, read_code
from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.cases.kept_case import line_of
from retrue.cases.spot import Spot, first_id
from retrue.cases.spot import find as find_spot
from retrue.cases.strip.gates import place_stands, refuse_taking_apart
from retrue.cases.strip.kept import pictures_of, said_of, taken_of
from retrue.cases.strip.lines import TakenLine
from retrue.cases.strip.order import not_back
from retrue.kinds.library import Kind
from retrue.phases.strip.here import (
    known_place,
    machine_at,
    refuse_fields,
    same_or_kept,
    sent_as,
)
from retrue.records.facts import Withdrawn
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Signed
from retrue.records.shop import Record, RecordShop
from retrue.records.stripping import PutBack, Taken, TakenSort

State = Literal["whole", "stuck", "broken"]


def take_off(
    shop: RecordShop,
    lot: str,
    machine: str,
    place: str,
    sort: str,
    kinds: Mapping[str, Kind],
    *,
    what: str = "",
    from_end: str = "",
    to_end: str = "",
    count: int | None = None,
    torque_nm: float | None = None,
    shim_mm: float | None = None,
    state: str = "whole",
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[Taken]:
    """Keep that something was undone, and give it the code for its label.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, place : str
        Name or id; id of the place.
    sort : str
        wire, hose, connector, bag or part.
    kinds : mapping of str to Kind
        The library.
    what, from_end, to_end : str
        What it is, and where its ends belong.
    count : int or None
        Pieces in a bag.
    torque_nm, shim_mm : float or None
        As it was undone; thickness of the shims with it.
    state : str
        whole, stuck or broken.
    text : str
        How it came off.
    **hand : Hand
        Whose hand; sent twice under one id, it is one thing with one code.

    Returns
    -------
    Record of Taken
        A stop point of power that was signed before it is open again: it is signed anew.

    Raises
    ------
    NotYet
        A reading or mark that is lost by it is still open; each is named.
    Unusable
        A field cannot be; each is named.
    """
    spot, kind = machine_at(shop, lot, machine, kinds)
    known_place(kind, place)
    sent = sent_as(shop, Taken, hand)
    fact = Taken(
        lot=spot.lot, machine=spot.machine, place=place, sort=cast(TakenSort, sort),
        code=sent.fact.code if sent else _new_code(shop, spot, hand, sort, place, what),
        what=what.strip(), from_end=from_end.strip(), to_end=to_end.strip(), count=count,
        torque_nm=torque_nm, shim_mm=shim_mm, state=cast(State, state), text=text.strip(),
    )  # fmt: skip
    refuse_fields(fact)
    if sent is None:
        refuse_taking_apart(place_stands(kind, place, said_of(shop, spot), pictures_of(shop, spot)))
    record = shop.add(fact, **hand)
    _shut_power(shop, record, hand)
    return record


def _shut_power(shop: RecordShop, off: Record[Taken], hand: Hand) -> None:
    """What was signed for power before this came off is signed for another machine."""
    for one in shop.current(Signed, lot=off.fact.lot, machine=off.fact.machine):
        if one.fact.stage != "apart" and one.seq < off.seq:
            gone = Withdrawn(of_kind=one.kind, reason=say("something was undone after it"))
            shop.add(gone, replaces=one.id, **without_id(hand))


def put_back(
    shop: RecordShop,
    lot: str,
    machine: str,
    taken: str,
    *,
    torque_nm: float | None = None,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[PutBack]:
    """Keep that something stands where it belongs again.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    taken : str
        Any id of its line, or its code as typed.
    torque_nm : float or None
        As it was done up.
    text : str
        A word on it: a new gasket, left off for good because.
    **hand : Hand
        Whose hand put it back.

    Returns
    -------
    Record of PutBack
        Said again, it takes the place of what was said before; what is left empty stays.

    Raises
    ------
    Unknown
        Nothing of this machine has that code or id.
    """
    spot = find_spot(shop, lot, machine, {})
    first = first_id(shop, label_of(shop, spot, taken))
    kept = shop.current(PutBack, lot=spot.lot, machine=spot.machine, taken=first)
    old = kept[-1] if kept else None
    fact = PutBack(
        lot=spot.lot,
        machine=spot.machine,
        taken=first,
        torque_nm=old.fact.torque_nm if old and torque_nm is None else torque_nm,
        text=text.strip() or (old.fact.text if old else ""),
    )
    return same_or_kept(shop, fact, old, hand)


def taken(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    sorts: tuple[str, ...] = (),
) -> tuple[TakenLine, ...]:
    """What was undone, in the order of taking apart.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    sorts : tuple of str
        Only these; empty for all.

    Returns
    -------
    tuple of TakenLine
    """
    every = taken_of(shop, find_spot(shop, lot, machine, kinds))
    return tuple(line for line in every if not sorts or line.sort in sorts)


def remaining(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[TakenLine, ...]:
    """What is not yet back, the last undone first; empty before first power."""
    return not_back(taken(shop, lot, machine, kinds))


def taken_line(
    shop: RecordShop, lot: str, machine: str, taken: str, kinds: Mapping[str, Kind]
) -> TakenLine:
    """One thing that was undone, by its code as typed or by any id of its line."""
    spot = find_spot(shop, lot, machine, kinds)
    label = label_of(shop, spot, taken)
    return next(line for line in taken_of(shop, spot) if line.record == label.id)


def label_by_code(shop: RecordShop, code: str) -> tuple[str, str, str]:
    """Where a label belongs: ids of its lot, its machine and its own first record.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    code : str
        As it was typed.

    Returns
    -------
    lot, machine, taken : str

    Raises
    ------
    Unusable
        It is no code: a sign is missing or wrong.
    Unknown
        No label of this shop has it.
    """
    bare = read_code(code)
    found = shop.current(Taken, code=bare)
    if not found:
        raise _no_label(code)
    one = found[-1]
    return one.fact.lot, one.fact.machine, line_of(shop, one).first.id


def write_step(
    shop: RecordShop, lot: str, machine: str, taken: str, step: int, **hand: Unpack[Hand]
) -> Record[Taken]:
    """Say at which step something was undone, where that is not the order of keeping."""
    spot = find_spot(shop, lot, machine, {})
    old = label_of(shop, spot, taken)
    return same_or_kept(shop, replace(old.fact, step=step), old, hand)


def label_of(shop: RecordShop, spot: Spot, taken: str) -> Record[Taken]:
    """What stands of one thing that was undone, by its code as typed or by any id of its line."""
    try:
        code = read_code(taken)
    except Unusable:
        code = ""
    ids = {one.id for one in shop.history(taken)} if _is_kept(shop, taken) else set()
    for one in shop.current(Taken, lot=spot.lot, machine=spot.machine):
        if one.id in ids or one.fact.code == code:
            return one
    raise _no_label(taken)


def _is_kept(shop: RecordShop, id: str) -> bool:
    try:
        shop.get(Taken, id)
    except Unknown:
        return False
    return True


def _no_label(code: str) -> Unknown:
    return Unknown(
        say("no label of this machine has the code {code}", code=code),
        remedy=say("Type the eight signs again, or look for it in the list of what was undone."),
    )


def _new_code(shop: RecordShop, spot: Spot, hand: Hand, sort: str, place: str, what: str) -> str:
    """A code that no label of the shop has or ever had: a tag may still hang somewhere."""
    have = {one.fact.code for one in shop.current(Taken)} | set(_gone_codes(shop))
    seed = (hand["id"],) if "id" in hand else (sort, place, what, str(len(have)))
    tries = (code_of(spot.machine, *seed, *("+" * more)) for more in counting())
    return next(code for code in tries if code not in have)


def _gone_codes(shop: RecordShop) -> Iterator[str]:
    """Codes of labels that were taken back."""
    for gone in shop.current(Withdrawn, of_kind=Taken.KIND):
        yield from (one.fact.code for one in shop.history(gone.id) if isinstance(one.fact, Taken))
