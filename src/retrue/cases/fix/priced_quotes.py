"""Quotes that hold, as own figures: the cheapest of a line in the place of the table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.case import LotCase
from retrue.cases.fix.quotes import Change, change_of, offers_of
from retrue.kinds.library import Kind
from retrue.records.facts import CostLine
from retrue.records.fixing import Quoted
from retrue.records.shop import Record


def with_quotes(
    case: LotCase, quotes: Iterable[Record[Quoted]], kinds: Mapping[str, Kind], *, on: date
) -> LotCase:
    """A case in which the cheapest quote that holds stands where the owner has no own figure.

    Parameters
    ----------
    case : LotCase
    quotes : iterable of Record of Quoted
        Their machine by name; None: any machine.
    kinds : mapping of kind id to Kind
        What is paid by the unit is put down for one.
    on : date
        Quotes that have run out by then do not count.

    Returns
    -------
    LotCase
        The same where nothing is quoted; what has no known rate is left out.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> told = Quoted(lot="a", machine="mill", line="F15:local", vendor="the winder",
    ...               quoted_on="2026-11-24", amount=Decimal(600), days=21)
    >>> at = datetime(2026, 11, 24, tzinfo=UTC)
    >>> kept = Record("q", "quoted", 1, 1, at, at, "me", "", None, told, "", "")
    >>> with_quotes(case, [kept], {}, on=at.date()).cost_lines[0].reason
    'quote of the winder on 2026-11-24'
    """
    own = {(line.machine, line.line) for line in case.cost_lines}
    by_line: dict[tuple[str, str], list[Record[Quoted]]] = {}
    for record in quotes:
        for machine in case.machines:
            key = (machine.name, record.fact.line)
            if record.fact.machine in (None, machine.name) and key not in own:
                by_line.setdefault(key, []).append(record)
    change = change_of(case)
    by_unit = {
        (machine.name, fault.id)
        for machine in case.machines
        if machine.kind in kinds
        for fault in kinds[machine.kind].faults.values()
        if fault.paid == "unit"
    }
    lines = (
        _line(key, kept, change, on, one=(key[0], key[1].partition(":")[0]) in by_unit)
        for key, kept in by_line.items()
    )
    more = tuple(line for line in lines if line is not None)
    return replace(case, cost_lines=(*case.cost_lines, *more)) if more else case


def _line(
    key: tuple[str, str], quotes: list[Record[Quoted]], change: Change, on: date, *, one: bool
) -> CostLine | None:
    """An own figure made of the first offer that holds; before tax."""
    first = offers_of(quotes, change, on=on)[0]
    if not first.valid or first.amount is None:
        return None
    quoted = first.record.fact
    amount = first.amount / quoted.units if one else first.amount
    if quoted.tax == "incl" and change.tax_rate is not None:
        amount /= 1.0 + change.tax_rate
    machine, line = key
    return CostLine(
        lot=quoted.lot,
        machine=machine,
        line=line,
        amount=Decimal(str(round(amount, 2))),
        days=quoted.days,
        reason=say(
            "quote of {vendor} on {day}",
            vendor=quoted.vendor,
            day=formatter.day(date.fromisoformat(quoted.quoted_on)),
        ),
    )
