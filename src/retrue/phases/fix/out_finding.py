"""Something out, found by an id of its line, the first signs of one, its line or its words."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.kept import OutKept, outs_of
from retrue.cases.known import nearest
from retrue.cases.spot import first_id
from retrue.records.facts import Lot
from retrue.records.shop import RecordShop

SHORT = 4  # signs of an id that are enough, where no other begins alike


def find_out(shop: RecordShop, wanted: str) -> OutKept:
    """Something out by any id of its line, by the first signs of one, by its line or its words."""
    every = [one for home, _ in every_lot(shop) for one in outs_of(shop, home)]
    for one in every:
        if wanted == one.first.id:
            return one
    running = [one for one in every if one.ended is None] + [
        one for one in every if one.ended is not None
    ]
    found = [one for one in running if _goes_by(one, wanted)]
    if found and (len(found) == 1 or found[1].ended is not None):
        return found[0]
    return _by_history(shop, every, wanted, found)


def _goes_by(one: OutKept, wanted: str) -> bool:
    said = wanted.strip().casefold()
    short = len(said) >= SHORT and one.first.id.casefold().startswith(said)
    return short or said in (one.out.line.casefold(), one.out.what.casefold())


def _by_history(
    shop: RecordShop, every: list[OutKept], wanted: str, found: list[OutKept]
) -> OutKept:
    try:
        ids = {one.id for one in shop.history(wanted)}
    except Unknown:
        ids = set()
    for one in every:
        if one.first.id in ids:
            return one
    if found:
        named = "; ".join(f"{one.first.id}: {one.out.what}, {one.out.whom}" for one in found)
        remedy = say("Say which by its id: {named}.", named=named)
        raise Unknown(say("{wanted} means several things", wanted=wanted), remedy=remedy)
    names = [one.out.what for one in every if one.ended is None]
    raise Unknown(
        say("nothing of the name {wanted} is out", wanted=wanted),
        remedy=nearest(wanted, names) or say("Open the list again and choose from it."),
    )


def every_lot(shop: RecordShop) -> Iterator[tuple[str, str]]:
    """Id and name of every lot."""
    for record in shop.current(Lot):
        yield first_id(shop, record), record.fact.name
