"""Reckon: any calculator from plain fields, at a machine with what is known, kept as filled in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Unpack

from retrue.cases.reckon.kept import MethodStands, drafted, method_stands
from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.spot import find
from retrue.kinds.library import Kind
from retrue.records.hand import Hand
from retrue.records.moving import Planned
from retrue.records.shop import Record, RecordShop


def reckon_file(id: str, typed: Mapping[str, Any], kinds: Mapping[str, Kind]) -> Reckoning:
    """One calculator without a shop; nothing is kept.

    Parameters
    ----------
    id : str
        lift, forklift ...
    typed : mapping
        Fields as typed; a file as its bytes.
    kinds : mapping of str to Kind
        The library, for the cautions.

    Returns
    -------
    Reckoning
    """
    return answered(method(id), typed, next(iter(kinds.values())).cautions)


def stands(
    shop: RecordShop, lot: str, machine: str, id: str, kinds: Mapping[str, Kind]
) -> MethodStands:
    """One calculator of a machine, filled with what is known.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    id : str
        Of the calculator.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    MethodStands
    """
    spot = find(shop, lot, machine, kinds)
    return method_stands(shop, spot, method(id), kinds)


def keep_plan(
    shop: RecordShop,
    lot: str,
    machine: str,
    calculator: str,
    typed: Mapping[str, str],
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Planned]:
    """Keep a calculator as it was filled in; it takes the place of an earlier one.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    calculator : str
        lift, forklift ...
    typed : mapping
        Text by field; a file by the SHA-256 it was kept under. What only repeats the plate, the
        shop or another calculator is not kept, so that a correction there reaches it.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Record of Planned

    Raises
    ------
    Unusable
        Fields that cannot be read, each named; nothing is kept.
    """
    spot, one = find(shop, lot, machine, kinds), method(calculator)
    fact, old = drafted(shop, spot, one, typed)
    if old is not None and old.fact == fact:
        return old
    return shop.add(fact, replaces=old.id if old else None, **hand)
