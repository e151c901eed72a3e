"""Everything kept of one lot, put together as the case that price and fault-finding read."""

from __future__ import annotations

from functools import partial
from typing import Any

from retrue.cases.case import LotCase
from retrue.cases.fold import fold
from retrue.cases.happening import EVENTS, Line, with_happenings
from retrue.cases.spot import first_id
from retrue.records.by_lot import ByLot
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
from retrue.records.shop import Record, RecordShop

READ: tuple[type[Any], ...] = (
    Shop, Need, Alternative, Lot, Terms, Machine, Plate, Finding, Asked, CostLine, Planned, Chosen,
    *EVENTS,
)  # fmt: skip
HELD: ByLot[LotCase] = ByLot(READ)


def kept_case(shop: RecordShop, lot: str) -> LotCase:
    """Everything kept of one lot, as it stands now; read once, until one of its records changes.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    lot : str
        Id of the lot's first record.

    Returns
    -------
    LotCase
        Names in place of keys; findings and what happened oldest first; ``as_of`` is the day the
        terms were kept.
    """
    (case,) = HELD.of(shop, (lot,), (), partial(_read, shop))
    return case


def _read(shop: RecordShop, lot: str) -> LotCase:
    newest: Record[Lot] = shop.history(lot)[-1]
    terms = shop.current(Terms, lot=lot)
    mine = shop.current(Shop)
    machines = [(first_id(shop, one), one) for one in shop.current(Machine, lot=lot)]
    findings = shop.current(Finding, lot=lot)
    case = fold(
        shop=mine[-1].fact if mine else Shop(),
        lot=newest.fact,
        terms=terms[-1] if terms else None,
        machines=machines,
        needs=shop.current(Need),
        alternatives=shop.current(Alternative),
        plates=[plate for key, _ in machines for plate in shop.current(Plate, machine=key)],
        findings=findings,
        asked=shop.current(Asked, lot=lot),
        cost_lines=shop.current(CostLine, lot=lot),
        planned=shop.current(Planned, lot=lot),
        chosen=shop.current(Chosen, lot=lot),
    )
    events = [line_of(shop, one) for kind in EVENTS for one in shop.current(kind, lot=lot)]
    if not events:
        return case
    names = {key: one.fact.name for key, one in machines}
    return with_happenings(case, events, [line_of(shop, one) for one in findings], names)


def line_of(shop: RecordShop, record: Record[Any]) -> Line:
    """A record that counts, with the first one of its line.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    record : Record

    Returns
    -------
    Line

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.facts import Note
    >>> at = datetime(2026, 11, 25, tzinfo=UTC)
    >>> note = Record("a", "note", 1, 1, at, at, "me", "", None, Note(text="oil"), "", "")
    >>> line_of(None, note).first is note  # it replaces nothing: the shop is not asked
    True
    """
    return Line(shop.history(record.id)[0] if record.replaces else record, record)
