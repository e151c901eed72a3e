"""A lot of a catalogue taken into my lots, once: whoever asks again is led to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Unpack

from retrue.base.refusals import Overtaken, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.screen.listing import ListedLot
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_ids import same_id, standing
from retrue.phases.worth.screening import (
    catalogue_id,
    find_catalogue,
    listing_in_english,
    lot_of,
)
from retrue.records.facts import Lot, Outcome, Withdrawn
from retrue.records.hand import Hand
from retrue.records.screening import Bidder, RowTaken
from retrue.records.shop import RecordShop, ToAdd


def taken_of(shop: RecordShop, catalogue: str) -> Mapping[str, str]:
    """Which lots of a catalogue were taken into my lots.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.

    Returns
    -------
    mapping of str to str
        Id of the lot, by its number in the catalogue.
    """
    home = catalogue_id(shop, catalogue)
    return {one.fact.number: one.fact.lot for one in shop.current(RowTaken, catalogue=home)}


def take_lot(
    shop: RecordShop,
    catalogue: str,
    number: str,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> str:
    """Make a lot of my own of one line of a catalogue: its terms, machines, what is said of them.

    Parameters
    ----------
    shop : RecordShop
    catalogue, number : str
    kinds : mapping of str to Kind
    **hand : Hand

    Returns
    -------
    str
        Id of the lot; the second time, and for the second person, of the same one.

    Raises
    ------
    Unknown
        No such catalogue or lot.
    Unusable
        The line is no machine.
    """
    home = catalogue_id(shop, catalogue)
    id, kept = standing(shop, Lot, home, number)
    if kept is not None:
        return _led_to(shop, home, number, id, hand)
    listed = lot_of(listing_in_english(shop, home, kinds), number)
    if listed.case is None:
        raise Unusable(
            say("lot {number} is no machine that this house knows", number=number),
            remedy=say("Make a lot of it by hand, with the nearest type of machine."),
        )
    case = _named(shop, home, listed, listed.case)
    try:
        shop.add_all(
            list(_facts(shop, home, listed.number, case, id)), by=hand["by"],
            device=hand.get("device", ""), observed_at=hand.get("observed_at"),
        )  # fmt: skip
    except Overtaken:  # somebody took it in the moment between
        if standing(shop, Lot, home, number)[1] is None:
            raise
    return id


def _named(shop: RecordShop, home: str, listed: ListedLot, case: LotCase) -> LotCase:
    """The case with a name that is free, and rates of the day they were typed."""
    fact = find_catalogue(shop, home).fact
    name = plain = f"{fact.name} {listed.number}"
    taken, turn = {one.fact.name for one in shop.current(Lot)}, 1
    while name in taken:
        turn += 1
        name = f"{plain} ({turn})"
    rate_on = case.lot.rate_on or (fact.rate_on if case.lot.rate is not None else None)
    return replace(case, lot=replace(case.lot, name=name, rate_on=rate_on))


def _facts(shop: RecordShop, home: str, number: str, case: LotCase, id: str) -> Iterator[ToAdd]:
    """All that is kept of it, under ids that everybody makes alike."""
    yield ToAdd(fact=case.lot, id=id)
    yield ToAdd(fact=replace(case.terms, lot=id), id=same_id(id, "terms"))
    keys = {one.name: same_id(id, "machine", at) for at, one in enumerate(case.machines)}
    for machine in case.machines:
        yield ToAdd(fact=replace(machine, lot=id), id=keys[machine.name])
    yield from _said(case, id, keys)
    yield ToAdd(fact=RowTaken(catalogue=home, number=number, lot=id), id=_row(id))
    bidder = standing(shop, Bidder, home, number)[1]
    if bidder is not None and bidder.fact.result:
        came = Outcome(lot=id, result=bidder.fact.result, amount=bidder.fact.amount)
        yield ToAdd(fact=came, id=same_id(id, "outcome"))


def _said(case: LotCase, id: str, keys: Mapping[str, str]) -> Iterator[ToAdd]:
    """Stamped values, what was found, own figures: with ids for names."""
    for at, plate in enumerate(case.plates):
        yield ToAdd(fact=replace(plate, machine=keys[plate.machine]), id=same_id(id, "plate", at))
    for at, kept in enumerate(case.findings):
        machine = keys[kept.finding.machine] if kept.finding.machine is not None else None
        found = replace(kept.finding, lot=id, machine=machine)
        yield ToAdd(fact=found, id=same_id(id, "finding", at))
    for at, line in enumerate(case.cost_lines):
        machine = keys[line.machine] if line.machine is not None else None
        yield ToAdd(fact=replace(line, lot=id, machine=machine), id=same_id(id, "cost", at))


def _row(lot: str) -> str:
    return same_id(RowTaken.KIND, lot)


def _led_to(shop: RecordShop, home: str, number: str, id: str, hand: Hand) -> str:
    """The lot that was taken; one that was brought back is told of in the catalogue again."""
    newest = shop.history(_row(id))[-1]
    if isinstance(newest.fact, Withdrawn):
        fact = RowTaken(catalogue=home, number=number, lot=id)
        shop.add(fact, by=hand["by"], device=hand.get("device", ""), replaces=newest.id)
    return id
