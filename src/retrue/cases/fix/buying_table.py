"""The purchase list as a table: the same columns each time, so that it can be read again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from retrue.cases.fix.buying_lines import Buying, BuyRow, StockRow
from retrue.cases.fix.table_kept import Held, LotKept, TableKept, newest_of
from retrue.records.facts import CostLine
from retrue.records.fixing import Out, Quoted

COLUMNS: Mapping[str, str] = {
    "sort": "part, quote, out or stock; left out, what is filled in tells it",
    "lot": "its name; may be left out where there is one",
    "machine": "its name; empty: any of the lot",
    "line": "F15:local, J05, or own words",
    "what": "in words; of stock its name",
    "state": "told: to_buy, asked, ordered, sent_out, no_vendor",
    "chance": "told: that it is needed, 0 to 1",
    "money_low": "told: with good luck",
    "money_likely": "told: most likely",
    "money_high": "told: with bad luck",
    "expected": "told: times the chance",
    "order_by_on": "told: last day to order",
    "needed_on": "told: first day a card waits for it",
    "lead_days": "told: days until it is here",
    "own_amount": "your own figure, in the shop's currency, for one",
    "own_days": "days of your own figure",
    "own_hours": "hours of your own figure",
    "reason": "of your own figure: it needs one",
    "vendor": "who asks it, or who has it",
    "quoted_on": "day of the quote: 2026-11-24 or 24/11/2026",
    "amount": "for each, in its currency; of an order, of all",
    "currency": "three letters; left out, the shop's",
    "units": "how many; left out, one",
    "tax": "incl, excl, or empty",
    "rate": "shop currency for one of its currency",
    "rate_on": "day the rate is of",
    "quote_days": "days until it is here",
    "valid_until_on": "the quote holds until",
    "ordered_on": "filled in: it is ordered",
    "promised_on": "the day promised; left out, the order and the days",
    "deposit": "paid, to come back",
    "serial": "of what was sent out",
    "have": "of stock: how much there is",
    "unit": "of stock: l, cans",
    "least": "of stock: below it, buy",
    "text": "a sentence",
    "record": "what is kept; leave it as it is",
}
"""Columns and what stands in them; told ones are not read."""

CENTS = 2


def table_rows(view: Buying, kept: TableKept) -> list[list[Any]]:
    """Heading and rows of a purchase list.

    Parameters
    ----------
    view : Buying
    kept : TableKept
        What is kept of its lots.

    Returns
    -------
    list of list
        Numbers, text or None; the order of the list: each part, its quotes, what is out for it,
        then the shelf.

    Examples
    --------
    >>> view = Buying(on="2026-11-26", currency="EUR", rows=(), weeks=(), stock=(), total=0.0)
    >>> len(table_rows(view, TableKept())[0]) == len(COLUMNS)
    True
    """
    told: list[dict[str, Any]] = []
    for row in view.rows:
        lot = kept.lot(row.lot)
        told.append(_part(row, lot))
        told += [_quote(row, one.record.fact, one.record.id) for one in row.part.offers]
        told += _outs(row, lot)
    told += [_stock(row, kept) for row in view.stock]
    return [list(COLUMNS), *([one.get(name) for name in COLUMNS] for one in told)]


def cell(value: Decimal | float | None) -> Any:
    """An amount as it is written: a number, or text where three decimals could be misread.

    Parameters
    ----------
    value : Decimal, float or None

    Returns
    -------
    float, int, str or None

    Examples
    --------
    >>> cell(Decimal("600.50")), cell(Decimal("1.125")), cell(None)
    (600.5, '1.1250', None)
    """
    if value is None:
        return None
    exact = Decimal(str(value))
    if exact == exact.to_integral_value():
        return int(exact)
    places = -int(exact.normalize().as_tuple().exponent)
    return float(exact) if places <= CENTS else f"{exact:.{max(4, places)}f}"


def _named(row: BuyRow) -> dict[str, Any]:
    return {"lot": row.lot_name, "machine": row.machine_name, "line": row.part.line,
            "what": row.part.what}  # fmt: skip


def _part(row: BuyRow, lot: LotKept | None) -> dict[str, Any]:
    part = row.part
    money = {f"money_{name}": round(getattr(part.money, name), CENTS)
             for name in ("low", "likely", "high")}  # fmt: skip
    told = _named(row) | money
    own = newest_of(lot.facts(CostLine, row.machine or None, part.line)) if lot else None
    return told | _own(own) | {
        "sort": "part", "state": part.state, "chance": round(row.chance, 3),
        "expected": round(row.amount, CENTS), "order_by_on": row.order_by_on,
        "needed_on": row.needed_on, "lead_days": part.days,
    }  # fmt: skip


def _own(own: Held | None) -> dict[str, Any]:
    if own is None:
        return {}
    fact: CostLine = own.newest.fact
    return {"own_amount": cell(fact.amount), "own_days": fact.days, "own_hours": fact.hours,
            "reason": fact.reason, "record": own.newest.id}  # fmt: skip


def _quote(row: BuyRow, fact: Quoted, record: str) -> dict[str, Any]:
    return _named(row) | {
        "sort": "quote", "machine": row.machine_name if fact.machine else None,
        "vendor": fact.vendor, "quoted_on": fact.quoted_on, "amount": cell(fact.amount),
        "currency": fact.currency, "units": fact.units, "tax": fact.tax or None,
        "rate": None if fact.rate is None else str(fact.rate), "rate_on": fact.rate_on,
        "quote_days": fact.days, "valid_until_on": fact.valid_until_on, "text": fact.text or None,
        "record": record,
    }  # fmt: skip


def _outs(row: BuyRow, lot: LotKept | None) -> Iterator[dict[str, Any]]:
    every: Sequence[Held] = lot.facts(Out, row.machine or None, row.part.line) if lot else ()
    for one in every:
        fact: Out = one.newest.fact
        if not one.over:
            yield _named(row) | {
                "sort": "out", "state": fact.sort, "what": fact.what, "vendor": fact.whom,
                "amount": cell(fact.amount), "currency": fact.currency,
                "ordered_on": fact.since_on, "promised_on": fact.promised_on,
                "deposit": cell(fact.deposit), "serial": fact.serial or None,
                "text": fact.text or None, "record": one.newest.id,
            }  # fmt: skip


def _stock(row: StockRow, kept: TableKept) -> dict[str, Any]:
    held = [one for one in kept.stock if one.newest.fact.name == row.name]
    told = {"sort": "stock", "what": row.name, "have": row.amount, "unit": row.unit or None,
            "least": row.least}  # fmt: skip
    if held:
        told |= {"text": held[-1].newest.fact.text or None, "record": held[-1].newest.id}
    return told


def without_told(fact: Quoted) -> Quoted:
    """A quote as a table can tell it: how it was heard does not stand there.

    Parameters
    ----------
    fact : Quoted

    Returns
    -------
    Quoted

    Examples
    --------
    >>> heard = Quoted(lot="l", line="belt", vendor="dealer", quoted_on="2026-11-24",
    ...     amount=Decimal(80), by_telephone=True)
    >>> without_told(heard).by_telephone
    False
    """
    return replace(fact, by_telephone=False)
