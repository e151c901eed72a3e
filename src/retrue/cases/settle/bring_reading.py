"""How the cells of a table are to be read: found from all of them, and said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.settle.bring_amounts import DecimalMark, amount_of, decimal_mark
from retrue.cases.settle.bring_columns import NOT_NEEDED, ROLE_WORDS, Columns
from retrue.cases.settle.bring_days import DayOrder, Order, day_order
from retrue.cases.settle.bring_moves import Reading, Unsigned
from retrue.cases.settle.bring_sheet import Sheet
from retrue.cases.settle.bring_tax import tax_in_heading, tax_share

AMOUNTS = ("amount", "out", "in", "quantity", "unit_price", "total")
MARK_WORDS = {",": "a comma", ";": "a semicolon", "\t": "a tab"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What the owner said of how a file is read; None: by the file."""

    decimal: DecimalMark | None = None
    dates: DayOrder | None = None
    unsigned: Unsigned | None = None
    account: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """How a table is read, and in sentences what was understood, guessed and left out."""

    how: Reading
    understood: tuple[str, ...]
    guessed: tuple[str, ...]
    ignored: tuple[str, ...]


def reading_of(sheet: Sheet, columns: Columns, ways: Ways, *, home: str, on: date) -> Read:
    """How the cells of a table are to be read.

    Parameters
    ----------
    sheet : Sheet
    columns : Columns
    ways : Ways
    home : str
        The shop's currency, for rows that say none.
    on : date
        Today.

    Returns
    -------
    Read

    Raises
    ------
    Unusable
        Two lines disagree on the decimal mark or on the order of days; or no amount has a sign,
        and nothing says whether money went out or came in.
    """
    at = columns.at
    amounts = [pair for role in AMOUNTS for pair in cells_of(sheet, at.get(role))]
    mark = decimal_mark(sorted(amounts), sheet.name, ways.decimal)
    days = [pair for role in ("date", "value_date") for pair in cells_of(sheet, at.get(role))]
    order = day_order(sorted(days), sheet.name, on=on, wanted=ways.dates)
    tax_in = tax_in_heading(_headings(columns, ("total", "unit_price", "tax")))
    how = Reading(
        kind=columns.kind,
        at=at,
        decimal=mark,
        dates=order.first,
        unsigned=_unsigned(sheet, columns, mark, ways.unsigned),
        home=home,
        account=ways.account,
        on=on.isoformat() if columns.kind == "parts" else "",
        tax_in=tax_in is not False,
        taxes=_is_rate(sheet, columns, mark),
    )
    return Read(
        how=how,
        understood=tuple(_understood(sheet, how)),
        guessed=tuple(_guessed(sheet, columns, how, order, ways, tax_in)),
        ignored=tuple(_ignored(sheet, columns, how)),
    )


def cells_of(sheet: Sheet, at: int | None) -> list[tuple[int, str]]:
    """The cells of a column that have something in them, each with its line.

    Parameters
    ----------
    sheet : Sheet
    at : int or None
        Place of the column; None: there is none.

    Returns
    -------
    list of (int, str)

    Examples
    --------
    >>> from retrue.cases.settle.bring_sheet import Line
    >>> rows = (Line(2, ("5", "")), Line(3, ("6", "x")))
    >>> cells_of(Sheet("bank.csv", ",", "utf-8", Line(1, ("a", "b")), rows), 1)
    [(3, 'x')]
    """
    if at is None:
        return []
    return [(row.number, cell) for row in sheet.rows if (cell := row.cell(at))]


def _headings(columns: Columns, roles: Sequence[str]) -> list[str]:
    return [one.heading for role in roles for one in columns.columns if one.role == role]


def _unsigned(sheet: Sheet, columns: Columns, mark: DecimalMark, wanted: Unsigned | None) -> int:
    """What an amount without a sign is; asked where no amount of a bank file has one."""
    at = columns.at
    if columns.kind == "parts":
        return -1
    if wanted is not None:
        return -1 if wanted == "out" else 1
    cells = cells_of(sheet, at.get("amount"))
    if (
        not cells
        or cells_of(sheet, at.get("sign"))
        or any(_has_sign(one, mark) for _, one in cells)
    ):
        return 1
    number, cell = cells[0]
    what = say("no amount has a sign")
    remedy = say("Say what amounts without a sign are: out or in (--unsigned).")
    raise Unusable(
        say("{name}: {what}", name=sheet.name, what=what),
        remedy=remedy,
        problems=(
            Problem(say("line {number}", number=number),
                    say("{cell} may be paid or received", cell=f"“{cell}”"), remedy),
        ),
    )  # fmt: skip


def _has_sign(cell: str, mark: DecimalMark) -> bool:
    try:
        return amount_of(cell, mark).sign != 0
    except ValueError:
        return False


def _is_rate(sheet: Sheet, columns: Columns, mark: DecimalMark) -> bool:
    cells = cells_of(sheet, columns.at.get("tax"))
    return bool(cells) and all(tax_share(cell, mark) is not None for _, cell in cells)


def _understood(sheet: Sheet, how: Reading) -> Iterator[str]:
    kind = say("a bank file") if how.kind == "bank" else say("a list of parts")
    yield say(
        "{name} is {kind}: {rows} lines below the heading in line {heading}, {mark} between the "
        "cells, {coding}.",
        name=sheet.name, kind=kind, rows=len(sheet.rows), heading=sheet.heading.number,
        mark=say(MARK_WORDS[sheet.mark]), coding=sheet.coding,
    )  # fmt: skip
    mark = say("a decimal comma") if how.decimal == "comma" else say("a decimal point")
    yield say("Amounts have {mark}.", mark=mark)
    if how.dates:
        first = say("The day goes before the month.")
        yield first if how.dates == "day" else say("The month goes before the day.")
    if how.kind == "bank":
        yield say("A bank file tells no tax: a row counts as paid, tax and all, until you say how "
                  "much of it is tax.")  # fmt: skip


def _guessed(
    sheet: Sheet, columns: Columns, how: Reading, order: Order, ways: Ways, tax_in: bool | None
) -> Iterator[str]:
    if columns.guessed:
        kind = say("a bank file") if how.kind == "bank" else say("a list of parts")
        yield say("It is {kind}, by its columns.", kind=kind)
    if order.why:
        yield say("Which of day and month goes first: {why}.", why=order.why)
    if "currency" not in columns.at:
        yield say("Amounts that name no currency are in {currency}.", currency=how.home)
    unsigned = how.kind == "bank" and "amount" in how.at and ways.unsigned is None
    if unsigned and not cells_of(sheet, how.at.get("sign")):
        yield say("Amounts without a sign came in.")
    if how.kind == "parts":
        if "date" not in how.at:
            yield say("The list has no days: its lines are of {day}.", day=how.on)
        if how.taxes and tax_in is None:
            yield say("Its amounts hold the tax.")


def _ignored(sheet: Sheet, columns: Columns, how: Reading) -> Iterator[str]:
    for one in columns.columns:
        if not one.role:
            yield say("{heading} is not read.", heading=f"“{one.heading}”")
        elif one.role in NOT_NEEDED:
            yield say("{heading} is known as {role} and not needed.",
                      heading=f"“{one.heading}”", role=say(ROLE_WORDS[one.role]))  # fmt: skip
        elif one.role == "tax" and not how.taxes:
            yield say("{heading} holds amounts, not rates, and is not read.",
                      heading=f"“{one.heading}”")  # fmt: skip
    for line in sheet.above:
        text = " ".join(filter(None, line.cells))[:60]
        yield say("Line {number} stands above the heading: {text}",
                  number=line.number, text=f"“{text}”")  # fmt: skip
    if sheet.blank:
        yield say("Blank lines: {count}.", count=len(sheet.blank))
