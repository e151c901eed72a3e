"""A catalogue becomes lots that can be priced; every line and cell of it is accounted for.

What a line says is understood, guessed with the reason, or left out with the reason; what nobody
says stays open and is taken wide. Nothing is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import chain

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.screen.amounts import currency_of
from retrue.cases.screen.cell_numbers import marks_of
from retrue.cases.screen.cell_ways import DayFirst, Ways
from retrue.cases.screen.columns import Columns, columns_of, sheet_of
from retrue.cases.screen.heading_two import headed
from retrue.cases.screen.listing import ListedLot, Listing, OtherLine, SaidOfSale
from retrue.cases.screen.lots import lot_of
from retrue.cases.screen.merged import first_cells, other_sheets, taken_off
from retrue.cases.screen.money_words import currency_in
from retrue.cases.screen.other_lines import Over, other_line
from retrue.cases.screen.row import Row
from retrue.cases.screen.rows import How, Tables, read_row
from retrue.cases.screen.sale_lines import sale_lines, speaks
from retrue.cases.screen.sale_said import of_the_sale
from retrue.cases.screen.terms import About, Of, Sale
from retrue.cases.screen.toml_rows import is_toml, toml_table
from retrue.cases.settle.bring_days import day_order
from retrue.cases.settle.bring_sheet import Line, Sheet
from retrue.kinds.library import Kind

PRICES = ("asking", "start", "bid")
MOST_LINES = 5_000  # of one catalogue: some four seconds to read
FAR = date(2999, 12, 31)  # days of a sale lie ahead
_HOURS = re.compile(
    r"[\sT,]+[0-9]{1,2}(?:[:.h][0-9]{2}(?::[0-9]{2})?)?\s*(?:h|u|uur|uhr)?\.?$", re.I
)
_OFFSET = re.compile(r"(Z|[+-][0-9]{2}:?[0-9]{2})$")


def read_catalogue(content: bytes, name: str, kinds: Mapping[str, Kind], about: About) -> Listing:
    r"""Read a catalogue.

    Parameters
    ----------
    content : bytes
        A table (CSV with commas, semicolons or tabs; a spreadsheet as the store makes it one) or
        TOML.
    name : str
        Of the file: of the listing, and for refusals.
    kinds : mapping of str to Kind
        The library.
    about : About
        What is said of the sale as a whole, and of the shop.

    Returns
    -------
    Listing
        In the order of the file; every line is a lot or another line, and of every lot each cell.

    Raises
    ------
    Unreadable
        It is no table and no TOML, or has more than `MOST_LINES` lines.
    Unusable
        No column says what a lot is; two columns say the same; a decimal mark or a day means two
        things; other columns are named in the middle; a currency has no rate.

    References
    ----------
    RFC 4180 (CSV), ISO 4217 (currencies), TOML 1.0.0.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Shop
    >>> listing = read_catalogue(b"Los;Bezeichnung;Baujahr\n7;CNC-Drehmaschine;1999\n",
    ...     "sale.csv", load(), About(shop=Shop(), year=2026))
    >>> listing.lots[0].number, listing.lots[0].kinds, listing.lots[0].case.machines[0].age_years
    ('7', ('turning_centre',), 27.0)
    """
    table = _table(content, name, about)
    sheet, columns, about, how = table.sheet, table.columns, table.about, table.how
    _refuse_too_many(sheet)
    currency = _currency(columns, about)
    of = Of(
        about=about,
        kinds=kinds,
        currency=currency or about.shop.currency,
        guessed=not currency,
        sale=_sale(columns, about),
    )
    rows, others = _rows(sheet, how)
    groups = _groups(rows, how)
    _need_rates(groups, of, name)
    currencies = tuple(dict.fromkeys(filter(None, (_named(group, of) for group in groups))))
    return Listing(
        name=table.called or name,
        currencies=currencies or (of.currency,),
        columns=columns.columns,
        lots=tuple(_lots(groups, columns, of)),
        others=tuple(sorted(chain(others, _beside(table)), key=lambda one: one.line)),
        sale=table.said,
    )


def _refuse_too_many(sheet: Sheet) -> None:
    """A page must answer, and a sale of one evening has fewer."""
    if len(sheet.rows) > MOST_LINES:
        raise Unreadable(
            say("{name} has {count} lines, more than {most}", name=sheet.name,
                count=number(len(sheet.rows)), most=number(MOST_LINES)),
            remedy=say("Cut it in parts: a sale at a time."),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    """A file as a table: its columns, what it says of the sale, and how its cells are read."""

    sheet: Sheet
    columns: Columns
    about: About
    how: How
    lines: tuple[Line, ...]  # that name the columns
    called: str = ""
    said: tuple[SaidOfSale, ...] = ()
    spoken: frozenset[int] = frozenset()  # lines that speak of the whole sale
    sheets: tuple[str, ...] = ()  # of the same spreadsheet, and not in it


def _table(content: bytes, name: str, about: About) -> _Table:
    sheets = other_sheets(content)
    content, merged = taken_off(content)
    if is_toml(content, name):
        made = toml_table(content, name, about)
        named, columns = columns_of(made.sheet, made.about.own, by_key=True)
        how = _how(made.sheet, named, columns, made.about)
        return _Table(
            sheet=replace(made.sheet, heading=named.heading), columns=columns, about=made.about,
            how=replace(how, tables=made.tables), lines=(), called=made.called, said=made.said,
        )  # fmt: skip
    two = headed(sheet_of(content, name, about.own), merged)
    sheet = two.sheet
    lines = tuple(first_cells(line, merged) for line in sheet.rows)
    sample = tuple(line for line in lines if not speaks(line)) or lines
    named, columns = columns_of(replace(sheet, rows=sample), about.own, names=two.names)
    ways = Ways(mark=about.decimal, year=about.year, dates=_dates(sheet, columns, about))
    spoken = sale_lines(sheet, columns, merged, ways)
    about, said = of_the_sale(spoken, about, ways, heading=_of_headings(columns),
                              closes="closes_at" in columns.at)  # fmt: skip
    numbers = frozenset(one.number for one in spoken)
    rows = tuple(line for line in lines if line.number not in numbers)
    how = _how(sheet, replace(named, rows=rows), columns, about)
    return _Table(
        sheet=replace(sheet, heading=named.heading), columns=columns, about=about,
        how=replace(how, merged=merged, sale=numbers), lines=two.lines, said=said, spoken=numbers,
        sheets=sheets,
    )  # fmt: skip


def _how(sheet: Sheet, named: Sheet, columns: Columns, about: About) -> How:
    home = about.currency or about.shop.currency
    offset = _OFFSET.search(about.closes_at or "")
    return How(
        columns=columns,
        marks=marks_of(named, columns.columns, about.decimal, home),
        year=about.year,
        dates=_dates(sheet, columns, about),
        offset=offset[1] if offset else "",
        dollar=_dollar(about),
    )


DOLLARS = frozenset({"USD", "CAD", "AUD", "NZD", "SGD", "HKD"})
"""Currencies whose sign is a bare $ (ISO 4217 codes; from memory)."""


def _dollar(about: About) -> str:
    """What a bare dollar sign stands for: the only dollar there is a rate for, else nothing."""
    known = {about.shop.currency, about.currency or "", *about.rates} & DOLLARS
    return next(iter(known)) if len(known) == 1 else ""


def _dates(sheet: Sheet, columns: Columns, about: About) -> DayFirst:
    """Which of day and month goes first; open where the days tell two things, or nothing."""
    cells = [
        (row.number, _HOURS.sub("", cell))
        for one in columns.columns
        if one.role in ("removal_by", "closes_at")
        for row in sheet.rows
        if (cell := row.cell(one.at))
    ]
    try:
        return day_order(cells, sheet.name, on=FAR, wanted=about.dates).first
    except Unusable:
        return "open"


def _currency(columns: Columns, about: About) -> str:
    """Of amounts that name none: as the owner or a heading says; empty: nobody does."""
    return about.currency or _of_headings(columns)


def _of_headings(columns: Columns) -> str:
    """The only currency that headings of prices name."""
    named = {currency_in(one.heading) for one in columns.columns if one.role in PRICES} - {""}
    return next(iter(named)) if len(named) == 1 else ""


def _sale(columns: Columns, about: About) -> Sale:
    """Of lots that say nothing: bids where a column of bids stands, a fixed price at one asked."""
    if about.sale is not None:
        return about.sale
    roles = {one.role for one in columns.columns}
    return "fixed_price" if "asking" in roles and not roles & {"start", "bid"} else "ascending"


def _rows(sheet: Sheet, how: How) -> tuple[list[Row], list[OtherLine]]:
    """Lines that are lots, and those that are none."""
    rows: list[Row] = []
    others: list[OtherLine] = []
    over = Over()
    if how.tables is not None:
        return _of_tables(sheet, how, how.tables), others
    for line in sheet.rows:
        other = other_line(line, sheet, how, over)
        if other is not None:
            others.append(other)
        else:
            rows.append(read_row(line, how, above=over.told, heading=over.text))
    return rows, others


def _of_tables(sheet: Sheet, how: How, tables: Tables) -> list[Row]:
    """Every table is a lot, or belongs to one; of one with machines of its own only those count."""
    rows: list[Row] = []
    machine = False  # among the tables of a lot, which stand behind it
    for place, line in reversed(tuple(enumerate(sheet.rows))):
        row = read_row(line, how, head=place in tables.heads and machine)
        row.joins = place in tables.joined
        machine = row.joins and (machine or row.told.is_machine)
        rows.append(row)
    return rows[::-1]


def _groups(rows: Sequence[Row], how: How) -> list[list[Row]]:
    """Lines that are one lot: their number is one merged cell, or they are machines of it."""
    at = how.columns.at.get("number")
    groups: list[list[Row]] = []
    for row in rows:
        merged = how.covers(row.line.number, at) if at is not None else None
        first = row.line.number if merged is None else merged.first_line
        inside = first < row.line.number and groups and groups[-1][0].line.number >= first
        if groups and (inside or row.joins):
            groups[-1].append(row)
        else:
            groups.append([row])
    return groups


def _named(group: Sequence[Row], of: Of) -> str:
    """The currency of a lot that names an amount."""
    return currency_of(group, of) if any(row.money for row in group) else ""


def _need_rates(groups: Iterable[Sequence[Row]], of: Of, name: str) -> None:
    """Refuse a currency that nobody gave a rate for, with the first line of each."""
    first: dict[str, int] = {}
    for group in groups:
        if any(row.told.is_machine for row in group):
            first.setdefault(_named(group, of) or of.currency, group[0].line.number)
    home = of.about.shop.currency
    problems = tuple(
        Problem(
            say("line {number}", number=number),
            say("{currency} has no rate", currency=code),
            say("Say what one {currency} is in {home}: --rate {currency}=, with the number.",
                currency=code, home=home),
        )
        for code, number in first.items()
        if code != home and code not in of.about.rates
    )  # fmt: skip
    if problems:
        raise Unusable(
            say("{name}: {what}", name=name, what=problems[0].what),
            remedy=problems[0].remedy,
            problems=problems,
        )


def _lots(groups: Iterable[list[Row]], columns: Columns, of: Of) -> Iterator[ListedLot]:
    taken: set[str] = set()
    for group in groups:
        for row in group:
            row.values["called"] = _title(row, columns)
        number = _number(group, taken)
        if not any(row.values.get("currency") for row in group) and _named(group, of):
            _say_currency(group, of)
        title = _called(group)
        yield lot_of(group, number, title, of)


def _called(group: Sequence[Row]) -> str:
    """A lot in the catalogue's words; of several machines its own title, then what each is."""
    first, *others = group
    names = list(dict.fromkeys(row.values["called"] for row in (others if others and first.is_head
                                                               else group)))  # fmt: skip
    title = first.values.get("title", "") if first.is_head else ""
    return f"{title}: {' + '.join(names)}" if title else " + ".join(names)


def _say_currency(group: Sequence[Row], of: Of) -> None:
    """An amount that names no currency is in that of the sale: a guess where nobody said it."""
    bare = all(not money.currency for row in group for money in row.money.values())
    if bare and of.guessed:
        why = say("no amount of this lot names a currency")
        group[0].tell("currency", of.currency, "", "", why)


def _number(group: Sequence[Row], taken: set[str]) -> str:
    """Of a lot: as the catalogue calls it, else by its line; no two have the same."""
    row = group[0]
    line = row.line.number
    called = str(row.values.get("number", ""))
    number = called or f"line {line}"
    if number in taken:
        number = f"{number} (line {line})"
        why = say("the number {number} stands twice", number=called)
        row.said = [
            replace(one, how="guessed", value=number, why=why) if one.field == "number" else one
            for one in row.said
        ]
    while number in taken:
        number += " *"
    taken.add(number)
    return number


def _title(row: Row, columns: Columns) -> str:
    """The line in the catalogue's words."""
    for roles in (("title",), ("kind", "maker", "model"), ("text",)):
        words = [
            cell
            for role in roles
            for one in columns.columns
            if one.role == role and (cell := row.line.cell(one.at))
        ]
        if words:
            return " ".join(dict.fromkeys(words))
    cells = (cell for cell in row.line.cells if cell)
    return next(cells, say("line {number}", number=row.line.number))


def _beside(table: _Table) -> Iterator[OtherLine]:
    sheet = table.sheet
    for line in sheet.above:
        text = " ".join(dict.fromkeys(filter(None, line.cells)))
        of_sale = line.number in table.spoken
        why = say("it speaks of the whole sale") if of_sale else say("it stands above the heading")
        yield OtherLine(line=line.number, text=text, why=why)
    for line in table.lines:
        two = len(table.lines) > 1
        text = " ".join(
            dict.fromkeys(filter(None, line.cells)) if two else filter(None, line.cells)
        )
        why = say("it names the columns, with the line beside it") if two else say(
            "it names the columns")  # fmt: skip
        yield OtherLine(line=line.number, text=text, why=why)
    for at in sheet.blank:
        yield OtherLine(line=at, text="", why=say("it is empty"))
    last = max((*sheet.blank, *(line.number for line in (*sheet.rows, sheet.heading))))
    for place, named in enumerate(table.sheets, 1):
        why = say("another sheet of the spreadsheet, not read: read it as a file of its own")
        yield OtherLine(line=last + place, text=named, why=why)
