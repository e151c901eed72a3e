"""What was seen is kept first; then the price answers, before and after, and the step is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Unpack

from retrue.base.refusals import Problem, Refusal, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.known import finding_doubts
from retrue.cases.sheet import PriceSheet
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import LotView, case_of, view_lot
from retrue.phases.worth.pricing import (
    SEED,
    WORLDS,
    price_case,
    price_of,
    price_taught,
    taught_by,
)
from retrue.records.checking import problems_of
from retrue.records.facts import CostLine, Finding, Moved, Withdrawn
from retrue.records.hand import Hand, numbered, without_id
from retrue.records.shop import Record, RecordShop


@dataclass(frozen=True, slots=True)
class Judged:
    """What was kept, and what it did to the price.

    Attributes
    ----------
    kept : tuple of Record
        The findings; they are kept whatever the price says.
    before, after : PriceSheet or None
        None where no price could be told; ``why`` says so.
    why : str
    """

    kept: tuple[Record[Finding], ...]
    before: PriceSheet | None
    after: PriceSheet | None
    why: str = ""

    @property
    def amounts(self) -> tuple[float | None, float | None]:
        """The hammer price not to go above, before and after."""
        pair = (self.before, self.after)
        return (
            pair[0].walk_away.amount if pair[0] else None,
            pair[1].walk_away.amount if pair[1] else None,
        )


def judge_case(
    before: LotCase,
    after: LotCase,
    id: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Judged:
    """What a finding written into a file did to the price; it is written whatever this says.

    Parameters
    ----------
    before, after : LotCase
        The file without it and with it.
    id : str
        Of the finding.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price.

    Returns
    -------
    Judged
        No records: a file has none.
    """
    try:
        first = price_case(before, kinds, seed=seed, worlds=worlds)
        then = price_case(after, kinds, seed=seed, worlds=worlds)
    except Refusal as refusal:
        return Judged((), None, None, f"{refusal.reason} {refusal.remedy}")
    return Judged((), first, then)


def keep_finding(
    shop: RecordShop,
    finding: Finding,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep one finding, then say what it did to the price.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    finding : Finding
        ``lot`` and ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who writes.

    Returns
    -------
    Judged
        The finding as kept, price before and after.

    Raises
    ------
    Unknown
        No such lot or machine.
    Unusable
        The kind has no such check, past life or fault, or that is no answer to it.
    """
    return keep_findings(shop, finding.lot, [finding], kinds, seed=seed, worlds=worlds, **hand)


def keep_findings(
    shop: RecordShop,
    lot: str,
    findings: Sequence[Finding],
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    instead_of: Sequence[Record[Finding] | None] = (),
    taking_back: Sequence[Record[Finding]] = (),
    quietly: bool = False,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep several findings of one lot at once; the price answers once for all of them.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.
    lot : str
        Name or id.
    findings : sequence of Finding
        Their ``machine`` as name or id.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price.
    instead_of : sequence of (Record or None)
        For each finding, the one whose place it takes, if any; saying the same again adds nothing.
    taking_back : sequence of Record
        Findings that no longer stand.
    quietly : bool
        Keep only; no price is told and no step is kept, for very many at once.
    **hand : Hand
        Who writes; with an ``id`` they become id, id.2, id.3 ...

    Returns
    -------
    Judged
        All as kept, price before and after.
    """
    view = view_lot(shop, lot)
    ready = _named(view, findings, kinds)
    taught = kinds if quietly else taught_by(shop, kinds)
    before = case_of(shop, view.id, taught)
    old = list(instead_of) or [None] * len(ready)
    kept = tuple(
        _put(shop, finding, stood, numbered(hand, place))
        for place, (finding, stood) in enumerate(zip(ready, old, strict=True))
    )
    for record in taking_back:
        gone = Withdrawn(of_kind=record.kind, reason=say("answered anew"))
        shop.add(gone, replaces=record.id, **without_id(hand))
    if quietly:
        return Judged(kept, None, None)
    judged = _judged(shop, view, kept, before, taught, seed, worlds)
    if kept and judged.before and judged.after:
        _keep_step(shop, view, kept[0].id, judged, hand)
    return judged


def withdraw(
    shop: RecordShop,
    record: str,
    kinds: Mapping[str, Kind],
    *,
    reason: str = "",
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Judged:
    """Take a finding or a cost line back; it stays readable and counts no more.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    record : str
        Its id, or that of any record it replaced.
    kinds : mapping of str to Kind
        The library.
    reason : str
        Why, if there is one.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who writes.

    Returns
    -------
    Judged
        Nothing kept; the price before and after, to the cent what it was without it.
    """
    newest = shop.history(record)[-1]
    if not isinstance(newest.fact, Finding | CostLine):
        raise Unknown(
            say("{record} is no finding that still counts", record=record),
            remedy=say("Look it up again; perhaps it was taken back already."),
        )
    view = view_lot(shop, newest.fact.lot)
    taught = taught_by(shop, kinds)
    before = case_of(shop, view.id, taught)
    shop.add(Withdrawn(of_kind=newest.kind, reason=reason), replaces=newest.id, **hand)
    return _judged(shop, view, (), before, taught, seed, worlds)


def _judged(
    shop: RecordShop,
    view: LotView,
    kept: tuple[Record[Finding], ...],
    before: LotCase,
    taught: Mapping[str, Kind],
    seed: int,
    worlds: int,
) -> Judged:
    """Price what stood before and what stands now; a refusal loses nothing that was kept."""
    try:
        first = price_of(shop, before, taught, seed=seed, worlds=worlds)
        then = price_taught(shop, view.id, taught, seed=seed, worlds=worlds)
    except Refusal as refusal:
        return Judged(kept, None, None, f"{refusal.reason} {refusal.remedy}")
    return Judged(kept, first, then)


def _named(view: LotView, findings: Sequence[Finding], kinds: Mapping[str, Kind]) -> list[Finding]:
    """Name lot and machine by their ids, and look up what each finding answers."""
    ready: list[Finding] = []
    problems: list[Problem] = []
    for finding in findings:
        key = None if finding.machine is None else view.machine_id(finding.machine)
        named = replace(finding, lot=view.id, machine=key)
        problems += _wrong(named, view, kinds)
        ready.append(named)
    if problems:
        raise Unusable(
            say("this cannot be kept as a finding"),
            remedy=say("Mend what is named; nothing else was lost."),
            problems=tuple(problems),
        )
    return ready


def _wrong(finding: Finding, view: LotView, kinds: Mapping[str, Kind]) -> list[Problem]:
    mine = [
        kinds[record.fact.kind]
        for key, record in view.machines
        if finding.machine in (None, key) and record.fact.kind in kinds
    ]
    what = finding.check or finding.history or finding.fault or "finding"
    rows = [(one.field, one.what, one.remedy) for one in finding_doubts(finding, mine)]
    rows += [(one.where, one.what, one.remedy) for one in problems_of(finding)]
    return [Problem(f"{what}, {field}", told, remedy) for field, told, remedy in rows]


def _put(
    shop: RecordShop, finding: Finding, stood: Record[Finding] | None, hand: Hand
) -> Record[Finding]:
    if stood is not None and stood.fact == finding:
        return stood
    return shop.add(finding, replaces=stood.id if stood else None, **hand)


def _keep_step(shop: RecordShop, view: LotView, finding: str, judged: Judged, hand: Hand) -> None:
    """Keep what a finding did to the price, once."""
    if shop.current(Moved, finding=finding):
        return
    before, after = (_cents(amount) for amount in judged.amounts)
    step = Moved(lot=view.id, finding=finding, before=before, after=after)
    shop.add(step, **without_id(hand))


def _cents(amount: float | None) -> Decimal | None:
    return None if amount is None else Decimal(repr(amount)).quantize(Decimal("0.01"))
