"""A whole case taken into the shop, for instance from a file: names become keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar, Unpack

from retrue.cases.case import LotCase
from retrue.phases.worth.lots import LotView, keep_shop, my_shop, new_lot
from retrue.records.facts import Asked, CostLine, Finding, Shop
from retrue.records.hand import Hand, without_id
from retrue.records.seeking import Act, Hunch, PartMoved, Trial, Trouble
from retrue.records.shop import RecordShop

Said = TypeVar("Said", Finding, Asked, CostLine)


def keep_case(shop: RecordShop, case: LotCase, **hand: Unpack[Hand]) -> LotView:
    """Keep everything a case says; its lot's name must be free.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; what it says of itself stands before what the case says of it.
    case : LotCase
        For instance of a file.
    **hand : Hand
        Who brings it.

    Returns
    -------
    LotView
        The lot with its keys. Findings, and what happened between them, come in their order and
        get ids of their own.

    Raises
    ------
    Unusable
        The name is taken, or two machines share one.
    """
    view = new_lot(shop, case.lot, case.terms, case.machines, case.needs, case.alternatives, **hand)
    rest = without_id(hand)
    if my_shop(shop) is None and case.shop != Shop(currency=case.shop.currency):
        keep_shop(shop, case.shop, **rest)
    keys = {record.fact.name: key for key, record in view.machines}
    _keep_said(shop, case, view.id, keys, rest)
    return view


def _keep_said(
    shop: RecordShop, case: LotCase, lot: str, keys: Mapping[str, str], hand: Hand
) -> None:
    for plate in case.plates:
        shop.add(replace(plate, machine=keys[plate.machine]), **hand)
    troubles: dict[str, str] = {}
    for place, kept in enumerate(case.findings):
        _keep_happened(shop, case, place, lot, keys, troubles, hand)
        shop.add(_at(kept.finding, lot, keys), **hand)
    _keep_happened(shop, case, len(case.findings), lot, keys, troubles, hand)
    for asked in case.asked:
        shop.add(_at(asked, lot, keys), **hand)
    for line in case.cost_lines:
        shop.add(_at(line, lot, keys), **hand)
    for plan in case.planned:
        shop.add(replace(plan, lot=lot, machine=keys[plan.machine]), **hand)


def _keep_happened(
    shop: RecordShop,
    case: LotCase,
    place: int,
    lot: str,
    keys: Mapping[str, str],
    troubles: dict[str, str],
    hand: Hand,
) -> None:
    """Keep what happened after so many findings; a trouble is named by the id it gets here."""
    for one in case.happened:
        if one.place != place:
            continue
        event = replace(one.event, lot=lot, machine=keys[one.event.machine])
        if isinstance(event, PartMoved):
            event = replace(event, from_machine=keys.get(event.from_machine, event.from_machine))
        elif isinstance(event, Hunch | Trial | Act) and event.trouble:
            event = replace(event, trouble=troubles[event.trouble])
        kept = shop.add(event, **hand)
        if isinstance(event, Trouble):
            troubles[one.id] = kept.id


def _at(fact: Said, lot: str, keys: Mapping[str, str]) -> Said:
    """A fact with keys in place of names."""
    machine = keys[fact.machine] if fact.machine is not None else None
    return replace(fact, lot=lot, machine=machine)
