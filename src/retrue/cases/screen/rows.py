"""One line of a catalogue: each of its cells understood, guessed, or left out with the reason."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from retrue.base.say import say
from retrue.cases.screen.cell_numbers import Marks, is_open
from retrue.cases.screen.cell_ways import DayFirst, Heard, Ways
from retrue.cases.screen.cells import READERS, heard_in
from retrue.cases.screen.columns import Columns
from retrue.cases.screen.heading_short import unit_beside
from retrue.cases.screen.heading_words import MONEY, NOT_READ, ROLE_WORDS
from retrue.cases.screen.kinds_told import NOTHING, Told
from retrue.cases.screen.listing import ListedColumn
from retrue.cases.screen.merged import Merged
from retrue.cases.screen.money_words import EACH, money_of, says_nothing
from retrue.cases.screen.row import Row
from retrue.cases.screen.row_kind import find_kind, say_kind
from retrue.cases.screen.sale_spoken import shares_in
from retrue.cases.screen.words_told import facts_in
from retrue.cases.settle.bring_sheet import Line
from retrue.cases.settle.bring_tax import tax_in_heading
from retrue.cases.settle.bring_words import plain

GONE = ("vervallen", "kavel vervallen", "lot vervallen", "entfallt", "entfallen", "los entfallt",
        "annule", "annulee", "lot annule", "annullato", "annullata", "anulado", "anulada",
        "cancelled", "canceled", "lot withdrawn", "lot cancelled", "lot sold",
        "sold", "sold out", "already sold", "reeds verkocht", "al verkocht", "is verkocht",
        "bereits verkauft", "ist verkauft", "deja vendu", "gia venduto", "ya vendido",
        "withdrawn", "reserved", "not available", "verkocht", "ingetrokken", "gereserveerd",
        "niet beschikbaar", "vendu", "vendue", "retire", "retiree", "verkauft", "zuruckgezogen",
        "reserviert", "nicht verfugbar", "venduto", "venduta", "ritirato", "ritirata", "riservato",
        "vendido", "vendida", "retirado", "retirada", "reservado")  # fmt: skip
"""Words of a column of states that say that a lot is no longer for sale."""

WORDS = ("title", "text", "kind", "model")


@dataclass(frozen=True, slots=True)
class Tables:
    """How the tables of a file in TOML belong together, by their place among the rows.

    Attributes
    ----------
    heads : frozenset of int
        Lots whose machines are tables of their own, behind them.
    joined : frozenset of int
        Machines that belong to the lot of the row before.
    """

    heads: frozenset[int]
    joined: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How the lines of one catalogue are read.

    Attributes
    ----------
    columns : Columns
    marks : Marks
    year : int
    dates : str
        As :class:`retrue.cases.screen.cells.Ways` has it.
    offset : str
        From UTC, of moments that name none: +01:00; empty: nobody says.
    merged : tuple of Merged
    dollar : str
        What a bare dollar sign stands for; empty: nobody can tell.
    sale : frozenset of int
        Numbers of the lines below the headings that speak of the whole sale.
    tables : Tables or None
        Of a file in TOML, in which every table is a lot or a machine of one.
    """

    columns: Columns
    marks: Marks
    year: int
    dates: DayFirst = ""
    offset: str = ""
    merged: tuple[Merged, ...] = ()
    dollar: str = ""
    sale: frozenset[int] = frozenset()
    tables: Tables | None = None

    def ways(self, at: int) -> Ways:
        """How the cells of one column are read."""
        heading = next((one.heading for one in self.columns.columns if one.at == at), "")
        return Ways(
            mark=self.marks.of(at), year=self.year, dates=self.dates, offset=self.offset,
            unit=unit_beside(heading), dollar=self.dollar,
        )  # fmt: skip

    def covers(self, line: int, at: int) -> Merged | None:
        """The merged cells that a cell is one of."""
        return next((one for one in self.merged if one.holds(line, at)), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One cell that has something in it."""

    at: int
    text: str
    column: ListedColumn
    shared: str  # why its value is that of another line; empty: it is its own

    @property
    def heading(self) -> str:
        return self.column.heading


def read_row(
    line: Line, how: How, *, above: Told = NOTHING, heading: str = "", head: bool = False
) -> Row:
    r"""Read one line.

    Parameters
    ----------
    line : Line
    how : How
    above : Told
        What the heading of a group of lines says they are.
    heading : str
        That heading.
    head : bool
        Whether it is a lot whose machines stand behind it, each by itself.

    Returns
    -------
    Row

    Examples
    --------
    >>> from retrue.cases.screen.columns import columns_of, sheet_of
    >>> table = sheet_of(b"Lot;What;Year;Hall\n1;CNC lathe;ca. 1998;B\n", "a.csv", {})
    >>> sheet, columns = columns_of(table, {})
    >>> row = read_row(sheet.rows[0], How(columns=columns, marks=Marks({}, None), year=2026))
    >>> [(one.how, one.field, one.value) for one in row.said]
    ... # doctest: +NORMALIZE_WHITESPACE
    [('understood', 'number', '1'), ('understood', 'kind', 'turning_centre'),
     ('guessed', 'age_years', '28'), ('ignored', '', '')]
    """
    row = Row(line=line, is_head=head)
    by_at = {one.at: one for one in how.columns.columns}
    if not head:
        find_kind(row, how.columns, above, heading)
    for at, text in enumerate(line.cells):
        if not text:
            continue
        column = by_at.get(at, ListedColumn(at=at, heading="", role=""))
        merged = how.covers(line.number, at)
        if merged is not None and merged.first_at < at:
            row.leave(text, column.heading, say("merged with the cell before it"))
            continue
        shared = ""
        if merged is not None and merged.first_line < line.number:
            shared = say("merged with the cell of line {number}", number=merged.first_line)
            row.shared.add(column.role)
        _read(row, _Cell(at=at, text=text, column=column, shared=shared), how)
    if row.told.why and not row.by and row.told.senses:
        row.tell("kind", ", ".join(one.kind for one in row.told.senses), heading, "", row.told.why)
    return row


def _read(row: Row, cell: _Cell, how: How) -> None:
    role = cell.column.role
    told = len(row.said)
    if role != "status" and says_gone(cell.text, names=role in NAMING):
        row.gone = row.gone or cell.text
        row.tell("status", cell.text, cell.text, cell.heading)
        if role not in (*WORDS, "number"):
            return
    if cell.at in how.columns.beside:
        other = how.columns.beside[cell.at]
        row.leave(cell.text, cell.heading, say("{heading} is read for that", heading=f"“{other}”"))
    elif not role:
        _unnamed(row, cell)
    elif role == "number":
        row.take(Heard(field="number", value=cell.text, why=cell.shared), cell.text, cell.heading)
    elif row.is_head and role not in OF_THE_LOT:
        row.leave(cell.text, cell.heading, say("its machines stand below it, each by itself"))
    elif says_nothing(cell.text):
        row.leave(cell.text, cell.heading, say("it says that nobody knows"))
    elif role in WORDS:
        _words(row, cell, how, gone=len(row.said) > told)
    elif role in NOT_READ:
        why = say("{role}: it moves no price", role=say(ROLE_WORDS[role]))
        row.leave(cell.text, cell.heading, why)
    elif role == "status":
        _status(row, cell)
    elif other := _higher(row, cell, how):
        why = say("the higher of two counts: {heading}", heading=f"“{other}”")
        row.leave(cell.text, cell.heading, why)
    else:
        _value(row, cell, how)


def _unnamed(row: Row, cell: _Cell) -> None:
    """A cell of a column that nobody knows: only a premium or a tax of the lot is heard in it."""
    before = len(row.said)
    _terms(row, cell)
    if len(row.said) == before:
        why = say("no column of that name is known") if cell.heading else say("it has no heading")
        row.leave(cell.text, cell.heading, why)


def _higher(row: Row, cell: _Cell, how: How) -> str:
    """The heading of the higher of two prices, where this is the lower one; empty: it is none."""
    at = how.columns.lower.get(cell.at)
    if at is None or says_nothing(row.line.cell(at)):
        return ""
    return next(one.heading for one in how.columns.columns if one.at == at)


def _words(row: Row, cell: _Cell, how: How, *, gone: bool) -> None:
    """What a thing is called: which it is, and facts that are named with it."""
    role, before = cell.column.role, len(row.said)
    if row.is_head:
        row.values["title"] = cell.text
        row.tell("title", cell.text, cell.text, cell.heading)
        return
    say_kind(row, role, cell.text, cell.heading, how.columns)
    if role in ("title", "text"):
        for one in facts_in(cell.text, Ways(mark=how.marks.elsewhere, year=how.year)):
            if isinstance(one, str):
                row.leave(cell.text, cell.heading, one)
            else:
                row.take(_with(one, cell.shared), cell.text, cell.heading)
        _terms(row, cell)
    if len(row.said) > before or gone:
        return
    if role == "title":
        row.tell("title", cell.text, cell.text, cell.heading)
    elif role == "model":
        why = say("{role}: it moves no price", role=say(ROLE_WORDS[role]))
        row.leave(cell.text, cell.heading, why)
    else:
        row.leave(cell.text, cell.heading, say("no word or number of it is known"))


def _terms(row: Row, cell: _Cell) -> None:
    """A premium or a tax that a lot names itself is its own."""
    spoken = shares_in(cell.text)
    for one in spoken.heard:
        if one.field in OWN_TERMS:
            row.take(_with(one, cell.shared), cell.text, cell.heading)
    for asked in spoken.asked:
        row.leave(cell.text, cell.heading, asked.why)


OWN_TERMS = frozenset({"premium", "tax_rate", "tax_scheme"})
OF_THE_LOT = frozenset(
    {*MONEY, "number", "title", "currency", "premium", "tax", "distance_km", "closes_at"}
    | {"removal_by", "seller", "status"} | NOT_READ - {"model"}
)  # fmt: skip
"""Roles that a lot may say of all its machines together."""


def _value(row: Row, cell: _Cell, how: How) -> None:
    role = cell.column.role
    try:
        if role in MONEY:
            _money(row, cell, how)
        elif role in READERS:
            open_mark = cell.at in how.marks.guessed and is_open(cell.text)
            guess = say("its decimal mark is that of the other columns") if open_mark else ""
            for one in heard_in(role, cell.text, how.ways(cell.at)):
                row.take(_with(one, cell.shared, guess), cell.text, cell.heading)
    except ValueError as wrong:
        row.leave(cell.text, cell.heading, str(wrong))


def _money(row: Row, cell: _Cell, how: How) -> None:
    role = cell.column.role
    marks, at = how.marks, cell.at
    money = money_of(cell.text, marks.of(at), whole=at in marks.whole)
    open_mark = at in marks.guessed and is_open(cell.text)
    guess = say("a price has no three decimals: thousands are parted") if open_mark else ""
    each = money.each or _says_each(cell.heading)
    tax_in = money.tax_in if money.tax_in is not None else tax_in_heading([cell.heading])
    lower = next((row.line.cell(one) for one, high in how.columns.lower.items() if high == at), "")
    two = say("the higher of two") if lower and lower != cell.text else ""
    heard = _with(Heard(field=role, value=money.value, why=money.why), guess, two, cell.shared)
    if row.take(heard, cell.text, cell.heading):
        row.money[role] = replace(money, each=each, tax_in=tax_in)


@lru_cache(maxsize=64)
def _says_each(heading: str) -> bool:
    """Whether the amounts below a heading are of one of several."""
    bare = f" {plain(heading)} "
    return any(f" {word} " in bare for word in EACH_HEADING)


EACH_HEADING = (*EACH, "unit", "unitaire", "unitario", "eenheidsprijs", "stukprijs", "einzelpreis")


def _with(one: Heard, *reasons: str) -> Heard:
    return replace(one, why="; ".join(filter(None, (one.why, *reasons))))


def _status(row: Row, cell: _Cell) -> None:
    bare = f" {plain(cell.text)} "
    word = next((word for word in GONE if f" {word} " in bare), "")
    if word and not _NOT.intersection(bare.replace(f" {word} ", " ").split()):
        row.gone = cell.text
        row.tell("status", cell.text, cell.text, cell.heading)
    else:
        row.leave(cell.text, cell.heading, say("it does not say that it is sold"))


NAMING = ("title", "kind")
_PIECES = re.compile(r"[^\w\s]+|\s[x-]\s|\n")


@lru_cache(maxsize=4096)
def says_gone(text: str, *, names: bool) -> bool:
    """Whether a cell says that a lot is gone: a piece of it between marks says that alone.

    Parameters
    ----------
    text : str
    names : bool
        Whether it names the lot: then its first or last word does too, in capitals of its own.

    Returns
    -------
    bool

    Examples
    --------
    >>> says_gone("CNC lathe (SOLD)", names=True), says_gone("sold as seen", names=False)
    (True, False)
    >>> says_gone("VERKOCHT CNC draaibank", names=True)
    True
    """
    if any(plain(piece) in GONE for piece in _PIECES.split(text)):
        return True
    words = text.split()
    ends = {words[0], words[-1]} if names and len(words) > 1 and not text.isupper() else set()
    return any(word.isupper() and plain(word) in GONE for word in ends)


_NOT = frozenset({"not", "niet", "non", "pas", "nicht", "no", "unsold", "onverkocht", "unverkauft",
                  "invendu", "invenduto"})  # fmt: skip
