"""A purchase table read again: what is new, what changed, what was not understood, row by row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.buying_table import COLUMNS, without_told
from retrue.cases.fix.preview import Action, Preview, PreviewRow, ToKeep, Told, words_of
from retrue.cases.fix.quotes import own_figure, rate_of
from retrue.cases.fix.table_cells import Row, later
from retrue.cases.fix.table_kept import Held, LotKept, TableKept, newest_of
from retrue.cases.prove.table import read_table
from retrue.records.checking import problems_of
from retrue.records.facts import CostLine
from retrue.records.fixing import Out, Quoted, Stock

SORTS = ("part", "quote", "out", "stock")
ASKED = ("vendor", "amount")
RENAMED = {"whom": "vendor", "since_on": "ordered_on", "what": "what", "name": "what",
           "days": "quote_days"}  # fmt: skip
QUOTE_COLUMNS = {
    name: name
    for name in (
        "text",
        "tax",
        "units",
        "rate",
        "rate_on",
        "currency",
        "valid_until_on",
        "unit",
        "least",
        "serial",
        "deposit",
    )
}
QUOTE_COLUMNS["days"] = "quote_days"
OWN_COLUMNS = {"days": "own_days", "hours": "own_hours"}


def read_buying(content: bytes, name: str, kept: TableKept, *, on: date) -> Preview:
    """Read a purchase table.

    Parameters
    ----------
    content : bytes
        CSV, one row a part, quote, order or thing on the shelf; the columns of ``COLUMNS``, none
        of which must be there. An empty cell says nothing; told columns are not read.
    name : str
        For refusals.
    kept : TableKept
        What it is compared with.
    on : date
        Today.

    Returns
    -------
    Preview

    Raises
    ------
    Unreadable, Unusable
        It is no table at all.

    Examples
    --------
    >>> told = read_buying(b"sort,what,have,unit\\nstock,way oil,20,l\\n", "list.csv", TableKept(),
    ...     on=date(2026, 11, 26))
    >>> told.rows[0].action, told.rows[0].keeps[0].fact.amount
    ('new', 20.0)
    """
    table = read_table(content, name)
    read = [Row(table, at, on) for at in range(len(table))]
    looked = [_row(row, kept) for row in read]
    rows = [
        _otherwise(one, row, clash) if clash else one
        for one, row, clash in zip(looked, read, _clashes(read), strict=True)
    ]
    strange = tuple(column for column in table.columns if column not in COLUMNS)
    return Preview(name=name, rows=tuple(_once(rows)), strange=strange)


def _row(row: Row, kept: TableKept) -> PreviewRow:
    sort = _sort(row)
    facts = list(_facts(row, sort, kept)) if sort else []
    if not row.problems:
        for one in facts:
            _check(row, one.fact)
    if row.problems:
        return _refused(row, sort)
    if not facts:
        return PreviewRow(number=row.number, sort=sort, action="nothing", words=say("as it stands"))
    action: Action = "changed" if all(one.replaces for one in facts) else "new"
    words = "; ".join(words_of(one) for one in facts)
    return PreviewRow(number=row.number, sort=sort, action=action, words=words, keeps=tuple(facts))


def _refused(row: Row, sort: str) -> PreviewRow:
    return PreviewRow(number=row.number, sort=sort, action="refused", words=say("not understood"),
                      problems=tuple(row.problems))  # fmt: skip


def _clashes(rows: Sequence[Row]) -> Iterator[int]:
    """For each row, the one above it that says otherwise of the same; 0: none does."""
    seen: dict[Any, tuple[int, Any]] = {}
    for row in rows:
        clash = 0
        for key, fact in () if row.problems else row.told:
            number, other = seen.setdefault(key, (row.number, fact))
            clash = clash or (0 if _same(fact, other) else number)
        yield clash


def _otherwise(one: PreviewRow, row: Row, clash: int) -> PreviewRow:
    what = say("says otherwise than row {number} of the same", number=clash)
    row.wrong("what", what, say("Leave one of the two out: none is chosen."))
    return _refused(row, one.sort)


def _sort(row: Row) -> str:
    said = row.word("sort", SORTS)
    if said or row.text("sort"):
        return said
    filled = (("stock", ("have",)), ("quote", ASKED), ("part", ("own_amount",)))
    found = next((sort for sort, columns in filled if row.filled(*columns)), "")
    if not found:
        row.wrong("sort", say("is empty"), say("Write {named}.", named=", ".join(SORTS)))
    return found


def _facts(row: Row, sort: str, kept: TableKept) -> Iterator[ToKeep]:
    if sort == "stock":
        yield from _stock(row, kept)
        return
    lot = row.lot(kept.lots)
    if lot is None:
        return
    machine = row.machine(lot)
    line = row.line(lot, machine)
    if row.problems:
        return
    at = (lot, machine, line)
    if sort == "out":
        yield from _out(row, at, kept, None)
    else:
        if sort == "part" and row.filled("own_amount"):
            yield from _own(row, at, kept)
        if sort == "quote" or row.filled(*ASKED):
            yield from _quote(row, at, kept, known=sort == "quote")


At = tuple[LotKept, str | None, str]


def _own(row: Row, at: At, kept: TableKept) -> Iterator[ToKeep]:
    lot, machine, line = at
    if line not in lot.priced:
        remedy = say("Keep a quote for it instead, or name a line of the tables.")
        row.wrong("own_amount", say("{line} has no price in the tables", line=line), remedy)
        return
    row.need("reason")
    amount = row.money("own_amount")
    days, hours = row.days("own_days"), row.figure("own_hours")
    if amount is None or row.problems:
        return
    fact = CostLine(lot=lot.id, machine=machine, line=line, amount=amount, hours=hours, days=days,
                    reason=row.text("reason"))  # fmt: skip
    old = newest_of(lot.facts(CostLine, machine, line))
    named = _named(row, kept, CostLine) if not row.filled(*ASKED) else None
    yield from _against(row, fact, old, named)


def _quote(row: Row, at: At, kept: TableKept, known: bool) -> Iterator[ToKeep]:
    lot, machine, line = at
    row.need("vendor", "quoted_on", "amount")
    row.past("quoted_on", "rate_on")
    amount, days = row.money("amount"), row.days("quote_days")
    tax = row.word("tax", ("incl", "excl"))
    fields: dict[str, Any] = {
        "quoted_on": row.day("quoted_on") or row.on.isoformat(),
        "currency": row.currency("currency", lot.change.currency), "units": row.whole("units", 1),
        "rate": row.rate("rate"), "rate_on": row.day("rate_on"), "days": days,
        "valid_until_on": row.day("valid_until_on"), "text": row.text("text") if known else "",
    }  # fmt: skip
    if amount is None or row.problems:
        return
    fact = Quoted(lot=lot.id, machine=machine, line=line, vendor=row.text("vendor"), amount=amount,
                  tax="incl" if tax == "incl" else "excl" if tax else "", **fields)  # fmt: skip
    alike = _alike(lot, fact)
    if alike is not None and not fact.text:
        fact = replace(fact, text=alike.newest.fact.text)
    found = list(_against(row, fact, alike, _named(row, kept, Quoted) if known else None))
    for one in found:
        fact = one.fact if isinstance(one.fact, Quoted) else fact
    if found and rate_of(fact.currency, lot.change, fact.rate, fact.rate_on) is None:
        what = say("no rate is known for {currency}", currency=fact.currency)
        row.wrong("rate", what, say("Fill in rate and rate_on, the day it is of."))
        return
    yield from found
    if row.filled("ordered_on") and not row.problems:
        yield from _taken(row, at, kept, fact)


def _alike(lot: LotKept, fact: Quoted) -> Held | None:
    """A quote that is kept and says the same."""
    mine = lot.facts(Quoted, fact.machine, fact.line)
    bare = replace(fact, text="")
    return newest_of(one for one in mine if replace(without_told(one.newest.fact), text="") == bare)


def _taken(row: Row, at: At, kept: TableKept, quoted: Quoted) -> Iterator[ToKeep]:
    """A quote with a day in ordered_on: the order, and the price of its line."""
    lot, machine, line = at
    orders = list(_out(row, at, kept, quoted))
    if not orders or orders[0].replaces is not None:
        yield from orders
        return
    yield replace(orders[0], takes=True)
    amount = own_figure(quoted, lot.change, by_unit=line in lot.by_unit)
    if line in lot.priced and amount is not None:
        reason = say("quote of {whom} on {day}", whom=quoted.vendor, day=quoted.quoted_on)
        price = CostLine(lot=lot.id, machine=machine, line=line, amount=amount, days=quoted.days,
                         reason=reason)  # fmt: skip
        yield from _against(row, price, newest_of(lot.facts(CostLine, machine, line)), None)


def _out(row: Row, at: At, kept: TableKept, quoted: Quoted | None) -> Iterator[ToKeep]:
    lot, machine, line = at
    row.need("vendor", "ordered_on")
    row.past("ordered_on")
    since, promised = row.day("ordered_on"), row.day("promised_on")
    amount, deposit = row.money("amount"), row.money("deposit")
    currency = row.currency("currency", lot.change.currency)
    if row.problems or since is None:
        return
    if quoted is not None:
        amount = quoted.amount * quoted.units
        promised = promised or later(since, quoted.days)
    named = _named(row, kept, Out) if quoted is None else None
    old = named or _order_of(lot, machine, line, row.text("vendor"), since)
    told: dict[str, Any] = {
        "whom": row.text("vendor"), "since_on": since, "promised_on": promised, "amount": amount,
        "currency": currency, "deposit": deposit, "serial": row.text("serial"),
    }  # fmt: skip
    if old is not None:
        fact: Out = replace(old.newest.fact, **_said(row, told, quoted))
    else:
        what = row.text("what") or line
        fact = Out(lot=lot.id, machine=machine, sort="ordered", line=line, what=what, **told)
    yield from _against(row, fact, old, named)


def _said(row: Row, told: dict[str, Any], quoted: Quoted | None) -> dict[str, Any]:
    """Of something out already: only what the row says; an empty cell says nothing."""
    said = {name: value for name, value in told.items() if value not in (None, "")}
    if not row.filled("currency"):
        said.pop("currency")
    if quoted is not None and not row.filled("promised_on"):
        said.pop("promised_on", None)
    return said


def _order_of(lot: LotKept, machine: str | None, line: str, whom: str, since: str) -> Held | None:
    return newest_of(
        one
        for one in lot.facts(Out, machine, line)
        if (one.newest.fact.whom, one.newest.fact.since_on) == (whom, since)
    )


def _stock(row: Row, kept: TableKept) -> Iterator[ToKeep]:
    row.need("what", "have")
    amount, least = row.figure("have"), row.figure("least")
    if amount is None or row.problems:
        return
    name = row.text("what")
    fact = Stock(name=name, amount=amount, unit=row.text("unit"), least=least,
                 text=row.text("text"))  # fmt: skip
    old = newest_of(one for one in kept.stock if one.newest.fact.name.casefold() == name.casefold())
    if old is not None:
        fact = replace(fact, name=old.newest.fact.name)
    yield from _against(row, fact, old, _named(row, kept, Stock))


def _named(row: Row, kept: TableKept, kind: type[Any]) -> Held | None:
    """What the cell record names; one that counts no more, or is another sort's, is told."""
    record = row.text("record")
    if not record:
        return None
    found = kept.held(record)
    if found is None:
        what = say("{record} counts no more", record=f"“{record[:40]}”")
        row.wrong("record", what, say("It was taken back; empty the cell to keep the row anew."))
    elif not isinstance(found.newest.fact, kind):
        what = say("{record} is of another row", record=f"“{record[:40]}”")
        row.wrong("record", what, say("Empty the cell to keep the row anew."))
        return None
    return found


def _against(row: Row, fact: Told, alike: Held | None, named: Held | None) -> Iterator[ToKeep]:
    """A fact against what is kept: nothing, new, in its place, or changed here and there."""
    old = named if named is not None and type(named.newest.fact) is type(fact) else alike
    if row.problems:
        return
    if old is None:
        row.told.append((_of_what(fact, None), fact))
        yield ToKeep(fact=fact)
        return
    fact = _filled(row, fact, old.newest.fact)
    if _same(fact, old.newest.fact):
        row.told.append((_of_what(fact, old), fact))
        return
    version = next((one for one in old.versions if one.id == row.text("record")), old.newest)
    if named is not None and version.id != old.newest.id:
        if _same(fact, version.fact):
            return  # the row is as it was written; what changed since stands
        row.wrong(
            "record",
            say("was changed there by {by} and here as well", by=old.newest.by),
            say("Write the list again, and change it there."),
        )
        return
    row.told.append((_of_what(fact, old), fact))
    yield ToKeep(fact=_kept_on(fact, old.newest.fact), replaces=old.newest.id)


def _of_what(fact: Told, old: Held | None) -> Any:
    """What a fact is of: two rows may not say two things of it."""
    if isinstance(fact, Stock):
        return fact.name.casefold()
    if isinstance(fact, CostLine):
        return fact.lot, fact.machine, fact.line
    if old is not None:
        return old.first
    return (
        (fact.lot, fact.machine, fact.line, fact.whom, fact.since_on)
        if isinstance(fact, Out)
        else fact
    )


def _filled(row: Row, fact: Told, old: Told) -> Told:
    """With what stands in columns that the table does not have."""
    columns = OWN_COLUMNS if isinstance(fact, CostLine) else QUOTE_COLUMNS
    gone = {
        name: getattr(old, name)
        for name, column in columns.items()
        if hasattr(fact, name) and hasattr(old, name) and not row.table.has(column)
    }
    made: Told = replace(fact, **gone)
    return made


def _same(one: Told, other: Told) -> bool:
    if isinstance(one, Quoted) and isinstance(other, Quoted):
        return without_told(one) == without_told(other)
    return one == other


def _kept_on(fact: Told, old: Told) -> Told:
    """What a table does not tell stays as it was."""
    if isinstance(fact, Quoted) and isinstance(old, Quoted):
        return replace(fact, by_telephone=old.by_telephone)
    return fact


def _once(rows: Sequence[PreviewRow]) -> Iterator[PreviewRow]:
    """Rows that say what a row above says already do nothing."""
    seen: list[ToKeep] = []
    for row in rows:
        fresh = tuple(one for one in row.keeps if one not in seen)
        seen += fresh
        if row.keeps and not fresh:
            words = say("stands above already")
            yield replace(row, action="nothing", words=words, keeps=())
        else:
            yield replace(row, keeps=fresh)


def _check(row: Row, fact: Told) -> None:
    for one in problems_of(fact):
        column = RENAMED.get(one.where, one.where)
        row.wrong(column if column in COLUMNS else "sort", one.what, one.remedy)
