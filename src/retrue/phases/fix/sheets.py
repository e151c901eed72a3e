"""A job card on paper found again by its code."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from retrue.base.codes import read_code
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.card_codes import card_code, printed_keys
from retrue.kinds.library import Kind
from retrue.records.facts import Lot, Machine
from retrue.records.shop import RecordShop


def card_by_code(shop: RecordShop, code: str, kinds: Mapping[str, Kind]) -> tuple[str, str, str]:
    """What a printed sheet is about: ids of its lot and machine, and its card or place.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    code : str
        As it was typed.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    lot, machine, key : str

    Raises
    ------
    Unusable
        It is no code: a sign is missing or wrong.
    Unknown
        No sheet of this shop has it.
    """
    bare = read_code(code)
    for lot, machine, names, kind in _named(shop, kinds):
        for key in printed_keys(kind):
            if any(card_code(*name, key) == bare for name in names):
                return lot, machine, key
    raise Unknown(
        say("no job card of this shop has the code {code}", code=bare),
        remedy=say("Open the machine's job cards: every card that is left stands there."),
    )


def _named(
    shop: RecordShop, kinds: Mapping[str, Kind]
) -> Iterator[tuple[str, str, list[tuple[str, str]], Kind]]:
    """Machines, the newest first, by each name that their lot and they ever had."""
    lots = {shop.history(one.id)[0].id: one.id for one in shop.current(Lot)}
    for record in reversed(shop.current(Machine)):
        fact = record.fact
        if fact.kind not in kinds or fact.lot not in lots:
            continue
        mine = {one.fact.name for one in shop.history(record.id)}
        named = {one.fact.name for one in shop.history(lots[fact.lot])}
        yield (
            fact.lot,
            shop.history(record.id)[0].id,
            [(lot, name) for lot in named for name in mine],
            kinds[fact.kind],
        )
