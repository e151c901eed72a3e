"""What can be done tonight, on every machine that is worked for."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from retrue.base.refusals import Unusable
from retrue.base.say import reader
from retrue.cases.case import LotCase
from retrue.cases.fix.ahead import card_ahead
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.kept import FixKept, MachineKept, fix_kept, fix_of_case
from retrue.cases.fix.left_words import refused_lot
from retrue.cases.fix.lines import Cards, Refused, Tonight
from retrue.cases.fix.needed import needed
from retrue.cases.fix.plan_json import from_text, inputs_of
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.tonight import Here, tonight_of
from retrue.cases.onward_facts import CardAhead
from retrue.cases.spot import find_lot
from retrue.kinds.library import Kind
from retrue.phases.fix.here import machine_at, stood
from retrue.phases.fix.owned import worked_on
from retrue.records.by_lot import ByLot
from retrue.records.fixing import CardMarked, PlanKept
from retrue.records.shop import RecordShop

MOST_KEPT = 64  # lots of which the newest cards are remembered
_MADE: dict[tuple[Any, ...], tuple[tuple[Any, ...], Mapping[str, Kind], tuple[Cards, ...]]] = {}


def tonight(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    hours: float = 2.0,
    alone: bool = True,
    hoist: bool = False,
    lot: str | None = None,
    machine: str | None = None,
    lots: Collection[str] | None = None,
) -> Tonight:
    """What to do in so many hours, and why just that.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    hours : float
    alone, hoist : bool
        Whether nobody else is in the house; whether the hoist is here.
    lot, machine : str, optional
        Name or id; else all machines worked for, of all lots not lost or walked away from.
    lots : collection of str, optional
        Ids; of all those, only these.

    Returns
    -------
    Tonight
        No worlds are drawn for it. Nothing under power is offered to somebody alone, and nothing
        that is left to a licensed electrician to anybody.

    Raises
    ------
    Unknown
        No such lot or machine.
    """
    marks = shop.current(CardMarked)
    last = marks[-1].fact.machine if marks else ""
    plan = _kept(shop)
    refused: list[Refused] = []
    ids = worked_on(shop) if lot is None else (find_lot(shop, lot)[0],)
    mine = [one for one in ids if lots is None or one in lots]
    if lot is None and machine is None:
        return _of_many(held_lots(shop, kinds, on, mine), (hours, alone, hoist, last))
    missed = refused if lot is None else None
    here = tuple(_here(shop, kinds, on, (mine, machine), plan, missed))
    told = tonight_of(here, hours=hours, alone=alone, hoist=hoist, worked_on=last)
    return replace(told, refused=tuple(refused))


def _of_many(held: Sequence[LotTonight], asked: tuple[float, bool, bool, str]) -> Tonight:
    """The same of many lots; asked again while they stand as they stood, it is what was told."""
    key = (tuple(id(one) for one in held), asked)
    known = _TOLD.get(key)
    if known is not None:
        return known[1]
    hours, alone, hoist, last = asked
    here = tuple(each for one in held for each in one.here)
    told = tonight_of(here, hours=hours, alone=alone, hoist=hoist, worked_on=last)
    told = replace(told, refused=tuple(each for one in held for each in one.refused))
    while len(_TOLD) >= MOST_TOLD:
        _TOLD.pop(next(iter(_TOLD)), None)
    _TOLD[key] = (held, told)
    return told


def tonight_file(
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    hours: float = 2.0,
    alone: bool = True,
    hoist: bool = False,
    machine: str | None = None,
) -> Tonight:
    """The same of a lot from a file, without a shop.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of str to Kind
    on : date
    hours : float
    alone, hoist : bool
    machine : str, optional
        Its name.

    Returns
    -------
    Tonight
    """
    kept = fix_of_case(case, kinds)
    here = tuple(_of_lot(kept, kinds, on, machine, None))
    return tonight_of(here, hours=hours, alone=alone, hoist=hoist)


@dataclass(frozen=True, slots=True)
class LotTonight:
    """The machines of a lot with their cards, what cannot be told, the first card of each."""

    kinds: Mapping[str, Kind]
    here: tuple[Here, ...]
    refused: tuple[Refused, ...]
    first: Mapping[str, CardAhead]


HELD: ByLot[LotTonight] = ByLot()
MOST_TOLD = 8  # evenings that are remembered, each with the lots it was made of
_TOLD: dict[tuple[tuple[int, ...], tuple[float, bool, bool, str]],
            tuple[Sequence[LotTonight], Tonight]] = {}  # fmt: skip


def held_lots(
    shop: RecordShop, kinds: Mapping[str, Kind], on: date, lots: Sequence[str]
) -> list[LotTonight]:
    """Many lots with their cards; one of which nothing was kept since, as it was read.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    lots : sequence of str
        Ids of their first records.

    Returns
    -------
    list of LotTonight
        In the order of the lots.
    """
    plan = _kept(shop)

    def made(lot: str) -> LotTonight:
        missed: list[Refused] = []
        here = tuple(_here(shop, kinds, on, ((lot,), None), plan, missed))
        first = {one.machine.key: card_ahead(one) for one in here}
        return LotTonight(kinds, here, tuple(missed), first)

    return HELD.of(shop, lots, (on, id(kinds), *shop.marks((PlanKept,))), made)


def _here(
    shop: RecordShop,
    kinds: Mapping[str, Kind],
    on: date,
    where: tuple[Sequence[str], str | None],
    plan: PlanView | None,
    refused: list[Refused] | None,
) -> Iterator[Here]:
    """The machines worked for, with their cards; a lot that contradicts itself is set aside."""
    lots, machine = where
    for one in lots:
        only = None if machine is None else machine_at(shop, one, machine, kinds)[0].machine
        kept = fix_kept(shop, one, kinds, on=on)
        try:
            yield from _of_lot(kept, kinds, on, only, plan)
        except Unusable as wrong:
            if refused is None:
                raise
            refused.append(refused_lot(kept.lot_name, wrong))


def _of_lot(
    kept: FixKept, kinds: Mapping[str, Kind], on: date, only: str | None, plan: PlanView | None
) -> Iterator[Here]:
    mine = [m for m in kept.machines if m.worked_for and only in (None, m.key, m.name)]
    if not mine:
        return
    for each, cards in zip(mine, _cards(kept, mine, kinds, on), strict=True):
        rows = [row for row in plan.rows if row.card.machine == each.key] if plan else []
        yield Here(
            kept=kept,
            machine=each,
            cards=cards,
            order={row.card.key: at for at, row in enumerate(plan.rows if plan else ())
                   if row.card.machine == each.key},
            slack_days={row.card.key: row.slack_days for row in rows},
        )  # fmt: skip


def _cards(
    kept: FixKept, mine: Sequence[MachineKept], kinds: Mapping[str, Kind], on: date
) -> tuple[Cards, ...]:
    """Cards of some machines of a lot; made anew only where what they are made of has changed."""
    own = [[getattr(each, one.name) for one in fields(each) if one.name != "kind"] for each in mine]
    told = hashlib.sha256(repr(own).encode()).digest()
    place = (kept.lot, reader(), *(each.key for each in mine))
    key = (on, id(kinds), inputs_of([kept], kinds), told)
    before = _MADE.pop(place, None)
    if before is None or before[0] != key:
        belief, stage = stood(kept, kinds)
        made = tuple(cards_of(kept, needed(kept, each, belief, stage), on) for each in mine)
        before = (key, kinds, made)
    while len(_MADE) >= MOST_KEPT:
        _MADE.pop(next(iter(_MADE)), None)
    _MADE[place] = before
    return before[2]


def _kept(shop: RecordShop) -> PlanView | None:
    """The plan that was kept last, as it was kept."""
    records = shop.current(PlanKept)
    return from_text(records[-1].fact.plan) if records else None
