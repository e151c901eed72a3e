"""From current records to a case: keys become names, nothing else changes. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from retrue.cases.case import Kept, LotCase
from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Finding,
    Lot,
    Machine,
    Need,
    Plate,
    Shop,
    Terms,
)
from retrue.records.fixing import Chosen
from retrue.records.moving import Planned
from retrue.records.shop import Record

Said = TypeVar("Said", Finding, Asked, CostLine)


def fold(
    *,
    shop: Shop,
    lot: Lot,
    terms: Record[Terms] | None,
    machines: Sequence[tuple[str, Record[Machine]]],
    needs: Iterable[Record[Need]] = (),
    alternatives: Iterable[Record[Alternative]] = (),
    plates: Iterable[Record[Plate]] = (),
    findings: Iterable[Record[Finding]] = (),
    asked: Iterable[Record[Asked]] = (),
    cost_lines: Iterable[Record[CostLine]] = (),
    planned: Iterable[Record[Planned]] = (),
    chosen: Iterable[Record[Chosen]] = (),
) -> LotCase:
    """Put the current records of one lot together.

    Parameters
    ----------
    shop, lot : Shop, Lot
        As they stand.
    terms : Record of Terms or None
        None: nothing was said of price or place yet.
    machines : sequence of (str, Record of Machine)
        The id of each machine's first record, by which others name it, and the newest record.
    needs, alternatives, plates, findings, asked, cost_lines, planned, chosen : iterable of Record
        Those nothing has replaced or withdrawn; their keys are ids.

    Returns
    -------
    LotCase
        With names where records have ids; what names a machine no longer there is left out.
        ``as_of`` is the day the terms were kept: the same records give the same case on any day.

    Examples
    --------
    >>> case = fold(shop=Shop(), lot=Lot(name="14"), terms=None, machines=())
    >>> case.terms.lot, case.machines, case.as_of
    ('14', (), None)
    """
    names = {key: record.fact.name for key, record in machines}
    return LotCase(
        shop=shop,
        lot=lot,
        terms=replace(terms.fact, lot=lot.name) if terms else Terms(lot=lot.name),
        machines=tuple(replace(record.fact, lot=lot.name) for _, record in machines),
        needs=tuple(record.fact for record in needs),
        alternatives=tuple(record.fact for record in alternatives),
        plates=tuple(
            replace(record.fact, machine=names[record.fact.machine])
            for record in plates
            if record.fact.machine in names
        ),
        findings=tuple(
            Kept(
                id=record.id,
                finding=_named(record.fact, lot.name, names),
                at=record.observed_at,
            )
            for record in findings
            if _here(record.fact, names)
        ),
        asked=tuple(_named(r.fact, lot.name, names) for r in asked if _here(r.fact, names)),
        cost_lines=tuple(
            _named(r.fact, lot.name, names) for r in cost_lines if _here(r.fact, names)
        ),
        planned=tuple(
            replace(r.fact, lot=lot.name, machine=names[r.fact.machine])
            for r in planned
            if r.fact.machine in names
        ),
        chosen=_newest(
            replace(r.fact, lot=lot.name, machine=names[r.fact.machine])
            for r in chosen
            if r.fact.machine in names
        ),
        as_of=f"{terms.noted_at:%Y-%m-%d}" if terms else None,
    )


def _newest(chosen: Iterable[Chosen]) -> tuple[Chosen, ...]:
    """Of each machine, sort and thing what was chosen last."""
    return tuple({(one.machine, one.sort, one.what): one for one in chosen}.values())


def _here(said: Finding | Asked | CostLine, names: Mapping[str, str]) -> bool:
    return said.machine is None or said.machine in names


def _named(said: Said, lot: str, names: Mapping[str, str]) -> Said:
    machine = None if said.machine is None else names[said.machine]
    return replace(said, lot=lot, machine=machine)
