"""Which machine of which lot: found by name or by id, with its kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.kinds.library import Kind
from retrue.records.facts import Lot, Machine
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class Spot:
    """A machine and its lot, by the ids that other records name them by.

    Examples
    --------
    >>> Spot(lot="1f", lot_name="school", machine="2e", name="mill", kind=None).name
    'mill'
    """

    lot: str
    lot_name: str
    machine: str
    name: str
    kind: Kind | None


def find(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> Spot:
    """A machine of a lot.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot, machine : str
        Name, or the id of any record of its line.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Spot

    Raises
    ------
    Unknown
        No such lot, or no such machine in it.
    """
    home, here = _named(shop, shop.current(Lot), lot, say("lot"))
    mine = shop.current(Machine, lot=home)
    key, record = _named(shop, mine, machine, say("machine"))
    return Spot(home, here.fact.name, key, record.fact.name, kinds.get(record.fact.kind))


def find_lot(shop: RecordShop, lot: str) -> tuple[str, str]:
    """A lot by its name or any id of its line.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot : str

    Returns
    -------
    tuple of (str, str)
        Id of its first record, and its name.

    Raises
    ------
    Unknown
        No such lot.
    """
    home, here = _named(shop, shop.current(Lot), lot, say("lot"))
    return home, here.fact.name


def first_id(shop: RecordShop, record: Record[Any]) -> str:
    """The id of the first record of a line: what other records name it by.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record
        Any of its line.

    Returns
    -------
    str
    """
    return shop.history(record.id)[0].id if record.replaces else record.id


def _named(
    shop: RecordShop, records: list[Record[Any]], wanted: str, what: str
) -> tuple[str, Record[Any]]:
    for record in reversed(records):
        key = first_id(shop, record)
        if wanted in (record.fact.name, record.id, key):
            return key, record
    for record in records:
        line = shop.history(record.id)
        if wanted in {one.id for one in line}:
            return line[0].id, record
    raise Unknown(
        say("there is no {what} {wanted}", what=what, wanted=wanted),
        remedy=nearest(wanted, [record.fact.name for record in records])
        or say("Open the list again and choose from it."),
    )
