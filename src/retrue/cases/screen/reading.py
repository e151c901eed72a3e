"""A catalogue becomes lots that can be priced; every line and cell of it is accounted for.

What a line says is understood, guessed with the reason, or left out with the reason; what nobody
says stays open and is taken wide. Nothing is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import chain

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.screen.amounts import currency_of
from retrue.cases.screen.cell_numbers import marks_of
from retrue.cases.screen.cell_ways import DayFirst
from retrue.cases.screen.columns import Columns, columns_of, sheet_of
from retrue.cases.screen.listing import ListedLot, Listing, OtherLine
from retrue.cases.screen.lots import lot_of
from retrue.cases.screen.merged import first_cells, taken_off
from retrue.cases.screen.money_words import currency_in
from retrue.cases.screen.other_lines import Over, other_line
from retrue.cases.screen.row import Row
from retrue.cases.screen.rows import How, read_row
from retrue.cases.screen.terms import About, Of, Sale
from retrue.cases.screen.toml_rows import is_toml, toml_sheet
from retrue.cases.settle.bring_days import day_order
from retrue.cases.settle.bring_sheet import Sheet
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
    sheet, columns, about, called, how = _table(content, name, about)
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
        name=called or name,
        currencies=currencies or (of.currency,),
        columns=columns.columns,
        lots=tuple(_lots(groups, columns, of)),
        others=tuple(sorted(chain(others, _beside(sheet)), key=lambda one: one.line)),
    )


def _refuse_too_many(sheet: Sheet) -> None:
    """A page must answer, and a sale of one evening has fewer."""
    if len(sheet.rows) > MOST_LINES:
        raise Unreadable(
            say("{name} has {count} lines, more than {most}", name=sheet.name,
                count=number(len(sheet.rows)), most=number(MOST_LINES)),
            remedy=say("Cut it in parts: a sale at a time."),
        )  # fmt: skip


def _table(content: bytes, name: str, about: About) -> tuple[Sheet, Columns, About, str, How]:
    """The table, what the file says of the sale, and how its cells are read."""
    called = ""
    content, merged = taken_off(content)
    if is_toml(content, name):
        sheet, about, called = toml_sheet(content, name, about)
        named, columns = columns_of(sheet, about.own, by_key=True)
    else:
        sheet = sheet_of(content, name, about.own)
        lines = tuple(first_cells(line, merged) for line in sheet.rows)
        named, columns = columns_of(replace(sheet, rows=lines), about.own)
    home = about.currency or about.shop.currency
    offset = _OFFSET.search(about.closes_at or "")
    how = How(
        columns=columns,
        marks=marks_of(named, columns.columns, about.decimal, home),
        year=about.year,
        dates=_dates(sheet, columns, about),
        offset=offset[1] if offset else "",
        merged=merged,
        dollar=_dollar(about),
    )
    return replace(sheet, heading=named.heading), columns, about, called, how


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
    if about.currency is not None:
        return about.currency
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
    for line in sheet.rows:
        other = other_line(line, sheet, how, over)
        if other is not None:
            others.append(other)
        else:
            rows.append(read_row(line, how, above=over.told, heading=over.text))
    return rows, others


def _groups(rows: Sequence[Row], how: How) -> list[list[Row]]:
    """Lines that are one lot: those whose number is one merged cell."""
    at = how.columns.at.get("number")
    groups: list[list[Row]] = []
    for row in rows:
        merged = how.covers(row.line.number, at) if at is not None else None
        inside = merged is not None and merged.first_line < row.line.number
        if (
            inside
            and merged is not None
            and groups
            and groups[-1][0].line.number >= merged.first_line
        ):
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
        title = " + ".join(dict.fromkeys(row.values["called"] for row in group))
        yield lot_of(group, number, title, of)


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
    return next(cell for cell in row.line.cells if cell)


def _beside(sheet: Sheet) -> Iterator[OtherLine]:
    for line in sheet.above:
        text = " ".join(dict.fromkeys(filter(None, line.cells)))
        yield OtherLine(line=line.number, text=text, why=say("it stands above the heading"))
    if sheet.heading.number:
        text = " ".join(filter(None, sheet.heading.cells))
        yield OtherLine(line=sheet.heading.number, text=text, why=say("it names the columns"))
    for at in sheet.blank:
        yield OtherLine(line=at, text="", why=say("it is empty"))
