"""What is kept of a lot and of the shop, read back: findings, questions out, terms, needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar, Unpack

from retrue.base.refusals import Refusal
from retrue.cases.said import answer_words, looked_at
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import LotView, view_lot
from retrue.phases.worth.pricing import SEED, WORLDS, price
from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Finding,
    Moved,
    Need,
    Outcome,
    Terms,
)
from retrue.records.hand import Hand, numbered
from retrue.records.shop import Record, RecordShop

Named = TypeVar("Named", Need, Alternative)


@dataclass(frozen=True, slots=True)
class Said:
    """A finding as its owner knows it, and what it did to the price when it was kept."""

    id: str
    record: Record[Finding]
    machine: str | None  # by name; None: said of the whole lot
    text: str  # what was looked at
    answer: str
    before: float | None
    after: float | None
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line above whatever is being judged: the price, and what the last finding did to it."""

    now: float | None
    before: float | None
    text: str
    why: str
    currency: str


def findings(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> list[Said]:
    """All findings of a lot, oldest first; those taken back that once moved the price as well."""
    view = view_lot(shop, lot)
    moved = {record.fact.finding: record.fact for record in shop.current(Moved, lot=view.id)}
    current = shop.current(Finding, lot=view.id)
    known = {record.id for record in current}
    gone = [_ended(shop, id) for id in moved if id not in known]
    records = [(record, False) for record in current]
    records += [(record, True) for record in gone if record is not None]
    records.sort(key=lambda pair: pair[0].seq)
    return [_said(view, record, moved.get(record.id), kinds, out) for record, out in records]


def price_line(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> PriceLine:
    """The price in one line, with the last step; a refusal is told, never raised."""
    view = view_lot(shop, lot)
    currency = view.record.fact.currency
    try:
        sheet = price(shop, view.id, kinds, seed=seed, worlds=worlds)
    except Refusal as refusal:
        return PriceLine(None, None, "", f"{refusal.reason} {refusal.remedy}", currency)
    walk = sheet.walk_away
    last = sheet.moved[-1] if sheet.moved else None
    if last is None:
        return PriceLine(walk.amount, None, "", walk.why, currency)
    return PriceLine(walk.amount, last.before, last.text, walk.why, currency)


def history_of(shop: RecordShop, record: str) -> list[Record[Any]]:
    """A record with all it replaced and all that replaced it, oldest first."""
    return shop.history(record)


def asked_of_seller(
    shop: RecordShop,
    lot: str,
    whats: Sequence[tuple[str, ...]],
    *,
    came: bool | None = None,
    informant: str | None = None,
    **hand: Unpack[Hand],
) -> list[Record[Asked]]:
    """Keep what was asked of the seller, and later whether it came.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot : str
        Name or id.
    whats : sequence of (machine, what)
        Machine by name or id, "None" or "" for the whole lot; a picture, question or look.
    came : bool or None
        None: just asked; False: asked for and not sent, which counts once.
    informant : str or None
        Of whom; None: the lot's seller.
    **hand : Hand
        Who asks.

    Returns
    -------
    list of Record
        One for each; asked twice is once.
    """
    view = view_lot(shop, lot)
    who = informant or view.record.fact.seller
    kept = []
    for place, (machine, what) in enumerate(whats):
        key = view.machine_id(machine) if machine not in ("", "None") else None
        fact = Asked(lot=view.id, machine=key, what=what, informant=who, came=came)
        old = shop.current(Asked, lot=view.id, machine=key, what=what)
        if old and (came is None or old[-1].fact == fact):
            kept.append(old[-1])
            continue
        replaced = old[-1].id if old else None
        kept.append(shop.add(fact, replaces=replaced, **numbered(hand, place)))
    return kept


def open_questions(shop: RecordShop, lot: str) -> list[Record[Asked]]:
    """What was asked of the seller and has neither come nor been given up."""
    key = view_lot(shop, lot).id
    return [record for record in shop.current(Asked, lot=key) if record.fact.came is None]


def cost_lines(shop: RecordShop, lot: str) -> list[Record[CostLine]]:
    """The owner's own figures for this lot."""
    return shop.current(CostLine, lot=view_lot(shop, lot).id)


def came_of(shop: RecordShop, lot: str) -> Record[Outcome] | None:
    """What came of it, or None."""
    kept = shop.current(Outcome, lot=view_lot(shop, lot).id)
    return kept[-1] if kept else None


def keep_terms(shop: RecordShop, lot: str, terms: Terms, **hand: Unpack[Hand]) -> Record[Terms]:
    """Keep what the sale costs beside the hammer; takes the place of what stood before."""
    view = view_lot(shop, lot)
    fact = replace(terms, lot=view.id)
    if view.terms is not None and view.terms.fact == fact:
        return view.terms
    return shop.add(fact, replaces=view.terms.id if view.terms else None, **hand)


def needs(shop: RecordShop) -> list[Record[Need]]:
    """What the machines must do."""
    return shop.current(Need)


def alternatives(shop: RecordShop) -> list[Record[Alternative]]:
    """What else would do."""
    return shop.current(Alternative)


def keep_need(shop: RecordShop, need: Need, **hand: Unpack[Hand]) -> Record[Need]:
    """Keep one job; another of the same name gives way."""
    return _keep_named(shop, needs(shop), need, hand)


def keep_alternative(
    shop: RecordShop, alternative: Alternative, **hand: Unpack[Hand]
) -> Record[Alternative]:
    """Keep one other way; another of the same name gives way."""
    return _keep_named(shop, alternatives(shop), alternative, hand)


def _keep_named(
    shop: RecordShop, kept: Sequence[Record[Named]], fact: Named, hand: Hand
) -> Record[Named]:
    old = next((record for record in kept if record.fact.name == fact.name), None)
    if old is not None and old.fact == fact:
        return old
    return shop.add(fact, replaces=old.id if old else None, **hand)


def _ended(shop: RecordShop, id: str) -> Record[Finding] | None:
    """A finding that was taken back; None where another one took its place."""
    line = shop.history(id)
    return shop.get(Finding, id) if line[-1].kind == "withdrawn" else None


def _said(
    view: LotView,
    record: Record[Finding],
    moved: Moved | None,
    kinds: Mapping[str, Kind],
    withdrawn: bool,
) -> Said:
    names = {key: machine.fact.name for key, machine in view.machines}
    of = {machine.fact.name: kinds.get(machine.fact.kind) for _, machine in view.machines}
    finding = record.fact
    name = names.get(finding.machine or "")
    named = replace(finding, machine=name)
    return Said(
        id=record.id,
        record=record,
        machine=name,
        text=looked_at(named, of),
        answer=answer_words(named, of),
        before=_amount(moved.before if moved else None),
        after=_amount(moved.after if moved else None),
        withdrawn=withdrawn,
    )


def _amount(value: Any) -> float | None:
    return None if value is None else float(value)
