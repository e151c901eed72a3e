"""A whole case taken into the shop, for instance from a file: names become keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from retrue.cases.case import LotCase
from retrue.phases.worth.lots import LotView, keep_shop, my_shop, new_lot
from retrue.records.facts import Asked, CostLine, Finding, Shop
from retrue.records.hand import Hand, without_id
from retrue.records.shop import RecordShop


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
        The lot with its keys. Findings come in their order and get ids of their own.

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
    said: list[Finding | Asked | CostLine] = [kept.finding for kept in case.findings]
    said += [*case.asked, *case.cost_lines]
    for fact in said:
        machine = keys[fact.machine] if fact.machine is not None else None
        shop.add(replace(fact, lot=lot, machine=machine), **hand)
