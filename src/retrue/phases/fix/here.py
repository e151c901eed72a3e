"""A lot with what is kept and believed of it, a card by its key: shared by the deeds of cards."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.belief import Belief, belief_of, deciding_stage
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import FixKept, fix_kept
from retrue.cases.fix.lines import Card, Cards
from retrue.cases.fix.needed import Needed, needed
from retrue.cases.known import kind_doubt, nearest
from retrue.cases.prepare import Stage
from retrue.cases.spot import Spot, find
from retrue.kinds.library import Kind
from retrue.records.by_lot import ByLot
from retrue.records.facts import Lot, Machine, Outcome
from retrue.records.shop import Record, RecordShop

_Held = tuple[Mapping[str, Kind], tuple[FixKept, Needed, Cards]]
HELD: ByLot[_Held] = ByLot(most=8)


def machine_at(
    shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]
) -> tuple[Spot, Kind]:
    """A machine with its kind; Unknown where the library does not have it."""
    spot = find(shop, lot, machine, kinds)
    if spot.kind is None:
        record: Record[Machine] = shop.history(spot.machine)[-1]
        doubt = kind_doubt("kind", record.fact.kind, kinds)
        raise Unknown(doubt.what, remedy=doubt.remedy)
    return spot, spot.kind


def lots_worked(shop: RecordShop) -> tuple[str, ...]:
    """Ids of all lots that were not lost or walked away from, in the order they were kept."""
    gone = {one.fact.lot for one in shop.current(Outcome) if one.fact.result in ("lost", "walked")}
    ids = (shop.history(one.id)[0].id if one.replaces else one.id for one in shop.current(Lot))
    return tuple(id for id in ids if id not in gone)


def stood(kept: FixKept, kinds: Mapping[str, Kind]) -> tuple[Belief, Stage]:
    """What is believed of a lot, and the stage on which orders of ways are decided."""
    belief = belief_of(kept, kinds)
    return belief, deciding_stage(kept, belief)


def cards_at(
    shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind], level: str | None, on: date | None
) -> tuple[FixKept, Needed, Cards]:
    """The cards of one machine, with what they were made from."""
    day = on or shop.today()

    def made(lot: str) -> _Held:
        kept = fix_kept(shop, lot, kinds, on=day)
        belief, stage = stood(kept, kinds)
        need = needed(kept, kept.machine(spot.machine), belief, stage, level)
        return kinds, (kept, need, cards_of(kept, need, on))

    (held,) = HELD.of(shop, (spot.lot,), (day, on, level, id(kinds)), made, spot.machine)
    return held[1]


def card_of(cards: Cards, key: str, other: Card | None = None) -> Card:
    """A card by its key, else the other one; Unknown, with the nearest, where there is none."""
    found = next((one for one in cards.cards if one.key == key), other)
    if found is None:
        raise Unknown(
            say("{machine} has no card {key}", machine=cards.machine_name, key=key or '""'),
            remedy=nearest(key, [one.key for one in cards.cards])
            or say("Open the list of cards again and choose from it."),
        )
    return found
