"""A catalogue of a sale becomes lots that can be priced; every line and cell of it is accounted for.

What a line says is understood, guessed with the reason, or left out with the reason; what nobody
says stays open and is taken wide. Nothing is dropped.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.columns import Columns, read_columns
from retrue.cases.screen.listing import ListedLot, Listing, OtherLine
from retrue.cases.screen.lots import Of, currency_of, lot_of
from retrue.cases.screen.money_words import currency_in
from retrue.cases.screen.numbers import marks_of
from retrue.cases.screen.rows import How, Row, read_row
from retrue.cases.screen.terms import About, Sale
from retrue.cases.settle.bring_sheet import Sheet
from retrue.kinds.library import Kind


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
        It is no table and no TOML.
    Unusable
        No column says what a lot is; two columns say the same; a decimal mark means two things; a
        currency stands in it that nobody gave a rate for.

    References
    ----------
    RFC 4180 (CSV), ISO 4217 (currencies), TOML 1.0.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Shop
    >>> listing = read_catalogue(b"Los;Bezeichnung;Baujahr\n7;CNC-Drehmaschine;1999\n",
    ...     "sale.csv", load(), About(shop=Shop(), year=2026))
    >>> listing.lots[0].number, listing.lots[0].kinds, listing.lots[0].case.machines[0].age_years
    ('7', ('turning_centre',), 27.0)
    """
    sheet, columns = read_columns(content, name, about.own)
    marks = marks_of(sheet, columns.columns, about.decimal)
    how = How(columns=columns, marks=marks, year=about.year)
    rows = [read_row(line, how) for line in sheet.rows]
    of = Of(
        about=about, kinds=kinds, currency=_currency(columns, about), sale=_sale(columns, about)
    )
    _need_rates(rows, of, name)
    lots = tuple(_lots(rows, columns, of))
    return Listing(
        name=name,
        currencies=_currencies(lots),
        columns=columns.columns,
        lots=lots,
        others=tuple(_others(sheet)),
    )


def _currency(columns: Columns, about: About) -> str:
    """Of amounts that name none: as the owner says, else as a heading says, else the shop's."""
    if about.currency is not None:
        return about.currency
    for one in columns.columns:
        if one.role in ("asking", "start", "bid") and (found := currency_in(one.heading)):
            return found
    return about.shop.currency


def _sale(columns: Columns, about: About) -> Sale:
    if about.sale is not None:
        return about.sale
    roles = {one.role for one in columns.columns}
    return "fixed_price" if "asking" in roles and not roles & {"start", "bid"} else "ascending"


def _need_rates(rows: Iterable[Row], of: Of, name: str) -> None:
    """Refuse a currency that nobody gave a rate for, with the first line of each."""
    first: dict[str, int] = {}
    for row in rows:
        first.setdefault(currency_of(row, of), row.line.number)
    known = {of.about.shop.currency, *of.about.rates}
    problems = tuple(
        Problem(
            say("line {number}", number=number),
            say("{currency} has no rate", currency=code),
            say("Say what one {currency} is in {home}: --rate {currency}=...",
                currency=code, home=of.about.shop.currency),
        )
        for code, number in first.items()
        if code not in known
    )  # fmt: skip
    if problems:
        raise Unusable(
            say("{name}: {what}", name=name, what=problems[0].what),
            remedy=problems[0].remedy,
            problems=problems,
        )


def _lots(rows: Sequence[Row], columns: Columns, of: Of) -> Iterator[ListedLot]:
    counted: Counter[str] = Counter()
    for row in rows:
        number = _number(row, counted)
        yield lot_of(row, number, _title(row, columns), of)


def _number(row: Row, counted: Counter[str]) -> str:
    """Of a lot: as the catalogue calls it, else by its line; no two have the same."""
    line = row.line.number
    called = row.values.get("number", "")
    number = called or f"line {line}"
    counted[number] += 1
    if counted[number] > 1:
        number = f"{number} (line {line})"
        counted[number] += 1
        why = say("the number {number} stands twice", number=called)
        row.said = [
            replace(one, how="guessed", value=number, why=why) if one.field == "number" else one
            for one in row.said
        ]
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
            return " ".join(words)
    return next(cell for cell in row.line.cells if cell)


def _currencies(lots: Iterable[ListedLot]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.case.lot.currency for one in lots if one.case is not None))


def _others(sheet: Sheet) -> Iterator[OtherLine]:
    for line in sheet.above:
        text = " ".join(filter(None, line.cells))
        yield OtherLine(line=line.number, text=text, why=say("it stands above the heading"))
    for number in sheet.blank:
        yield OtherLine(line=number, text="", why=say("it is empty"))
