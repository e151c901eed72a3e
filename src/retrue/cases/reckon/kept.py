"""A calculator as it stands at one machine: what is known of its fields, and what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import Refusal, Unreadable, Unusable
from retrue.cases.move.feeding import fed
from retrue.cases.reckon.method import Method, answered, method, values_of
from retrue.cases.reckon.prefill import Filled, prefilled
from retrue.cases.reckon.prefill_match import PART
from retrue.cases.reckon.reckoning import Reckoning
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.records.facts import Machine, Plate, Shop
from retrue.records.moving import Planned
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class MethodStands:
    """One calculator as it stands at one machine.

    Attributes
    ----------
    known : mapping of str to Filled
        Fields that are known, and where each comes from.
    touched : bool
        Somebody has filled it in; else all there is came from plate, machine and shop.
    """

    method: Method
    reckoning: Reckoning
    known: Mapping[str, Filled]
    touched: bool


def method_stands(
    shop: RecordShop, spot: Spot, one: Method, kinds: Mapping[str, Kind]
) -> MethodStands:
    """One calculator of a machine, filled with what is known.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    spot : Spot
        The machine.
    one : Method
        The calculator.
    kinds : mapping of str to Kind
        The library, for the cautions.

    Returns
    -------
    MethodStands
        A plate in words, or a kept file that is no table of this sort, is left out.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> mill = Machine(lot="1", name="mill", kind="vertical_machining_centre", mass_kg=4200.0)
    >>> class NewShop:
    ...     def current(self, *_, **__): return []
    ...     def history(self, _): return [SimpleNamespace(fact=mill)]
    >>> spot = Spot(lot="1", lot_name="school", machine="2", name="mill", kind=None)
    >>> words = {"any": SimpleNamespace(cautions={})}
    >>> stands = method_stands(NewShop(), spot, method("lift"), words)
    >>> stands.known["mass_kg"].value, stands.touched
    ('4200 kg', False)
    """
    plans = [r.fact for r in shop.current(Planned, lot=spot.lot, machine=spot.machine)]
    known = _known(shop, spot, one, plans)
    cautions = (spot.kind or next(iter(kinds.values()))).cautions
    typed = _with_files(shop, one, {id: filled.value for id, filled in known.items()})
    touched = any(plan.method == one.id for plan in plans)
    try:
        reckoning = answered(one, typed, cautions)
    except (Unusable, Unreadable) as wrong:
        readable = _readable(typed, wrong)
        reckoning = answered(one, readable, cautions)
    return MethodStands(one, reckoning, known, touched)


def drafted(
    shop: RecordShop, spot: Spot, one: Method, typed: Mapping[str, str]
) -> tuple[Planned, Record[Planned] | None]:
    """A calculator as it was filled in, ready to be kept.

    Parameters
    ----------
    shop : RecordShop
        Where it will be kept.
    spot : Spot
        The machine.
    one : Method
        The calculator.
    typed : mapping
        Text by field; a file by the SHA-256 it was kept under.

    Returns
    -------
    Planned, Record of Planned or None
        What only repeats the plate, the shop or another calculator is left out, so that a
        correction there reaches it; and the record whose place it takes.

    Raises
    ------
    Unusable
        Fields that cannot be read, each named.
    """
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    one.reckon(values_of(one, _with_files(shop, one, given)))  # refuses what cannot be read
    told = _told_elsewhere(shop, spot, one, given.get(PART))
    own = tuple((name, text) for name, text in given.items() if told.get(name) != text)
    old = [
        record
        for record in shop.current(Planned, lot=spot.lot, machine=spot.machine)
        if record.fact.method == one.id
    ]
    fact = Planned(lot=spot.lot, machine=spot.machine, method=one.id, values=own)
    return fact, old[-1] if old else None


def _known(shop: RecordShop, spot: Spot, one: Method, plans: list[Planned]) -> dict[str, Filled]:
    """Fields that are known: from these calculators, the plate, the machine's page, the shop."""
    mine = shop.current(Shop)
    record: Record[Machine] = shop.history(spot.machine)[-1]
    plates = [plate.fact for plate in shop.current(Plate, machine=spot.machine)]
    told = (record.fact, plates, mine[-1].fact if mine else Shop(), plans)
    fed_by = fed(prefilled(method("supply"), *told)) if one.id == "conductor" else {}
    return fed_by | prefilled(one, *told)


def _told_elsewhere(shop: RecordShop, spot: Spot, one: Method, part: str | None) -> dict[str, str]:
    """Fields as they would stand if only the part had been typed for this calculator."""
    plans = [r.fact for r in shop.current(Planned, lot=spot.lot, machine=spot.machine)]
    others = [plan for plan in plans if plan.method != one.id]
    if part:
        bare = Planned(lot=spot.lot, machine=spot.machine, method=one.id, values=((PART, part),))
        others.append(bare)
    known = _known(shop, spot, one, others)
    return {id: filled.value for id, filled in known.items() if id != PART}


def _readable(typed: Mapping[str, Any], wrong: Refusal) -> dict[str, Any]:
    """What can be read of it: a plate may hold words, a kept file may be no table of this sort."""
    bad = {problem.where for problem in wrong.problems}
    if not bad & typed.keys():
        return {id: value for id, value in typed.items() if not isinstance(value, bytes)}
    return {id: value for id, value in typed.items() if id not in bad}


def _with_files(shop: RecordShop, one: Method, said: Mapping[str, str]) -> dict[str, Any]:
    """Fields with the bytes of a kept file in place of its hash."""
    typed: dict[str, Any] = dict(said)
    for field in one.fields:
        if field.sort == "file" and field.id in typed:
            typed[field.id] = shop.file(typed[field.id])
    return typed
