"""One way through: where every machine stands on the path, and the one next step of each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.kept_case import kept_case
from retrue.cases.known import nearest
from retrue.cases.learned_kinds import kinds_taught
from retrue.cases.onward import Step, next_step, place_of
from retrue.cases.onward_facts import Along, Bid, CardAhead, Moving, Proving, Seeking
from retrue.cases.onward_kept import (
    apart_kept,
    bid_kept,
    days_kept,
    owing_kept,
    picture_of,
    power_ahead,
    settle_kept,
)
from retrue.cases.onward_path import PageLine, Tick, pages_of, ticks_of
from retrue.cases.onward_price import unjudged, with_price
from retrue.cases.onward_seek import seek_kept
from retrue.cases.sheet_json import case_key
from retrue.cases.spot import Spot, first_id
from retrue.kinds.library import Kind
from retrue.records.by_lot import ByLot
from retrue.records.facts import Asked, File, Lot, Machine
from retrue.records.fixing import Chosen, Out, Quoted, Stock
from retrue.records.seeking import Trouble
from retrue.records.shop import Record, RecordShop

SEED, WORLDS = 7, 20_000
SELLING = ("sell_as_found", "sell_running", "sell_proven", "part_out")
OURS: tuple[type[Any], ...] = (
    Chosen,
    Out,
)  # kept only of what was bought, beside what is kept on the floor


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """What the other phases answer of a machine; the door puts them together.

    Attributes
    ----------
    cards : callable
        First card of tonight of every machine of some lots that is worked for, by its id.
    plan : callable
        How far the move of one machine is.
    bench : callable
        Which test comes next at one machine.
    """

    cards: Callable[
        [RecordShop, Mapping[str, Kind], date, Collection[str]], Mapping[str, CardAhead]
    ]
    plan: Callable[[RecordShop, Spot, Mapping[str, Kind]], Moving]
    bench: Callable[[RecordShop, Spot, Mapping[str, Kind]], Proving]


@dataclass(frozen=True, slots=True, kw_only=True)
class Onward:
    """One machine with its path, its next step and all its pages."""

    along: Along
    step: Step | None

    @property
    def ticks(self) -> tuple[Tick, ...]:
        """The eight ticks on the rule."""
        return ticks_of(self.along, self.step)

    @property
    def pages(self) -> tuple[PageLine, ...]:
        """Every page of it with how it stands."""
        return pages_of(self.along)


@dataclass(frozen=True, slots=True)
class _Held:
    """The machines of a lot as they were read, and under which key its price is remembered."""

    kinds: Mapping[str, Kind]
    machines: tuple[Along, ...]
    price: tuple[Mapping[str, Kind], str] | None


HELD: ByLot[_Held] = ByLot()


def machines(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    asks: Asks,
    *,
    on: date,
    lot: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> tuple[Onward, ...]:
    """Every machine with its next step, the most pressing first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    asks : Asks
        What the other phases answer.
    on : date
        Today.
    lot : str, optional
        Id of its first record; None: all lots.
    seed, worlds : int
        Of the price that is looked up; none is reckoned here.

    Returns
    -------
    tuple of Onward
        By urgency, then by the plan, then in the order they were kept; of a lot of which nothing
        was kept since as it was read before.
    """
    lots = [one for one in _lots(shop) if lot in (None, one[0])]
    names = dict(lots)
    taught = kinds_taught(shop, kinds)

    def made(id: str) -> _Held:
        return _lot(shop, id, names[id], kinds, taught, asks, on, (seed, worlds))

    told = (on, id(kinds), id(taught) if taught is not kinds else 0, seed, worlds)
    cards = asks.cards(shop, kinds, on, names)
    held = HELD.of(shop, names, told, made)
    every = [_now(shop, one, along, cards) for one in held for along in one.machines]
    return tuple(_onward(one) for one in sorted(every, key=place_of))


def machine(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    asks: Asks,
    wanted: str,
    *,
    on: date,
    lot: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Onward:
    """One machine with its next step.

    Parameters
    ----------
    shop, kinds, asks, on, lot, seed, worlds
        As for :func:`machines`.
    wanted : str
        Name or id of the machine.

    Returns
    -------
    Onward

    Raises
    ------
    Unknown
        There is no such machine, or several of that name.
    """
    every = machines(shop, kinds, asks, on=on, lot=lot, seed=seed, worlds=worlds)
    found = [one for one in every if wanted in (one.along.machine, one.along.name)]
    if len(found) == 1:
        return found[0]
    if found:
        named = ", ".join(f"{one.along.lot_name}: {one.along.machine}" for one in found)
        raise Unknown(
            say("{count} machines are called {wanted}", count=len(found), wanted=wanted),
            remedy=say("Say which by its id: {named}.", named=named),
        )
    raise Unknown(
        say("there is no machine {wanted}", wanted=wanted),
        remedy=nearest(wanted, [one.along.name for one in every])
        or say("retrue lot list names them."),
    )


def _lots(shop: RecordShop) -> list[tuple[str, Record[Lot]]]:
    return [(first_id(shop, one), one) for one in reversed(shop.current(Lot))]


def _lot(
    shop: RecordShop,
    id: str,
    record: Record[Lot],
    kinds: Mapping[str, Kind],
    taught: Mapping[str, Kind],
    asks: Asks,
    on: date,
    draws: tuple[int, int],
) -> _Held:
    """The machines of one lot as they are kept, without cards and price."""
    files = shop.current(File, lot=id)
    ours = any(shop.current(kind, lot=id) for kind in OURS)
    spots = [
        Spot(id, record.fact.name, first_id(shop, one), one.fact.name, kinds.get(one.fact.kind))
        for one in shop.current(Machine, lot=id)
    ]
    days = [days_kept(shop, spot, on) for spot in spots]
    ours = ours or any(one.here for one in days)
    made = tuple(
        _along(shop, spot, moving, kinds, asks, on, (record.fact, files, ours))
        for spot, moving in zip(spots, days, strict=True)
    )
    asked = any(not one.bid.ours and not one.bid.outcome for one in made)
    return _Held(kinds, made, (taught, _price_key(shop, id, taught, on, draws)) if asked else None)


def _along(
    shop: RecordShop,
    spot: Spot,
    moving: Moving,
    kinds: Mapping[str, Kind],
    asks: Asks,
    on: date,
    of: tuple[Lot, Sequence[Record[File]], bool],
) -> Along:
    """One machine as it is kept; of what is not reached yet nothing dear is read."""
    lot, files, ours = of
    kind, bid = spot.kind, bid_kept(shop, spot, ours, on)
    asked = shop.current(Asked, lot=spot.lot)
    bid = replace(bid, pictures=len(files), unjudged=unjudged(shop, spot.lot, files),
                  asked=sum(one.fact.came is None for one in asked))  # fmt: skip
    made = Along(lot=spot.lot, lot_name=spot.lot_name, machine=spot.machine, name=spot.name,
                 kind="" if kind is None else kind.name, currency=lot.currency, bid=bid,
                 picture=picture_of(shop, spot, files), move=moving)  # fmt: skip
    if kind is None or not bid.ours:
        return made
    if not moving.here:
        return replace(made, move=_moving(asks.plan(shop, spot, kinds), moving),
                       owing=owing_kept(shop, spot, on))  # fmt: skip
    return _on_the_floor(shop, spot, kind, made, asks.bench(shop, spot, kinds), on)


def _moving(plan: Moving, days: Moving) -> Moving:
    return replace(days, done=plan.done, steps=plan.steps, lacking=plan.lacking,
                   unsaved=plan.unsaved, step=plan.step)  # fmt: skip


def _on_the_floor(
    shop: RecordShop, spot: Spot, kind: Kind, made: Along, proving: Proving, on: date
) -> Along:
    """A machine that is here."""
    aim, apart = _aim(shop, spot), apart_kept(shop, spot, kind)
    told = shop.current(Trouble, lot=spot.lot, machine=spot.machine)
    return replace(
        made,
        apart=apart,
        seek=seek_kept(kept_case(shop, spot.lot), spot, kind) if told else Seeking(),
        owing=owing_kept(shop, spot, on),
        power=power_ahead(shop, spot, kind, asked=apart.settled),
        prove=proving,
        settle=settle_kept(shop, spot, kind, on, selling=aim in SELLING),
        card=CardAhead(aim=aim),
    )


def _aim(shop: RecordShop, spot: Spot) -> str:
    chosen = shop.current(Chosen, lot=spot.lot, machine=spot.machine, sort="aim")
    return (chosen[-1].fact.way if chosen else "") or "keep"


def _price_key(
    shop: RecordShop, lot: str, kinds: Mapping[str, Kind], on: date, draws: tuple[int, int]
) -> str:
    """Under which the price of a lot as it stands is remembered."""
    case = kept_case(shop, lot)
    told: tuple[type[Any], ...] = (Quoted, Out)
    if any(shop.current(one, lot=lot) for one in told) or shop.current(Stock):
        case = agreed_of(shop, lot, case, kinds, on=on).case
    return "price " + case_key(case, kinds, *draws)


def _now(shop: RecordShop, held: _Held, along: Along, cards: Mapping[str, CardAhead]) -> Along:
    """A machine with the card of tonight and the price that is remembered."""
    if held.price is not None and not along.bid.ours:
        known = shop.recall(held.price[1])
        return replace(along, bid=along.bid if known is None else with_price(along, known))
    card = cards.get(along.machine)
    return along if card is None else replace(along, card=replace(card, aim=along.card.aim))


def _onward(along: Along) -> Onward:
    return Onward(along=along, step=next_step(along))


__all__ = ["Asks", "Bid", "Onward", "machine", "machines"]
