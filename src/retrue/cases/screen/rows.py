"""One line of a catalogue: each of its cells understood, guessed, or left out with the reason."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from retrue.base.say import say
from retrue.cases.screen.cells import Heard, Ways, heard_in
from retrue.cases.screen.columns import Columns
from retrue.cases.screen.heading_words import MONEY, NOT_READ, ROLE_WORDS
from retrue.cases.screen.kinds_told import NOTHING, Told, told_by
from retrue.cases.screen.listing import ListedColumn, Said
from retrue.cases.screen.money_words import Money, money_of, says_nothing
from retrue.cases.screen.numbers import Marks
from retrue.cases.screen.words_told import facts_in
from retrue.cases.settle.bring_sheet import Line

GONE = ("sold", "withdrawn", "reserved", "not available", "verkocht", "ingetrokken", "gereserveerd",
        "niet beschikbaar", "vendu", "retire", "reserve", "verkauft", "zuruckgezogen", "reserviert",
        "nicht verfugbar", "venduto", "ritirato", "riservato", "vendido", "retirado",
        "reservado")  # fmt: skip
"""Words of a column of states that say that a lot is no longer for sale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How the lines of one catalogue are read.

    Attributes
    ----------
    columns : Columns
    marks : Marks
    year : int
    dates : str
    """

    columns: Columns
    marks: Marks
    year: int
    dates: str = ""

    def ways(self, at: int) -> Ways:
        """How the cells of one column are read."""
        return Ways(mark=self.marks.of(at), year=self.year, dates=self.dates)


@dataclass(slots=True, kw_only=True)
class Row:
    """What one line says.

    Attributes
    ----------
    line : Line
    said : list of Said
    values : dict of str to object
        Field to what was taken first.
    money : dict of str to Money
        By role.
    told : Told
        What it is.
    gone : str
        The word that says that it is no longer for sale.
    """

    line: Line
    said: list[Said] = field(default_factory=list)
    values: dict[str, Any] = field(default_factory=dict)
    money: dict[str, Money] = field(default_factory=dict)
    told: Told = NOTHING
    gone: str = ""

    def take(self, one: Heard, text: str, heading: str) -> None:
        """Keep what was heard, unless another cell said otherwise before."""
        before = self.values.get(one.field)
        if before is not None and before != one.value:
            why = say("it says {value}; {other} is taken", value=shown(one.value),
                      other=shown(before))  # fmt: skip
            self.leave(text, heading, why)
            return
        self.values[one.field] = one.value
        self.said.append(
            Said(how="guessed" if one.why else "understood", field=one.field,
                 value=shown(one.value), text=text, heading=heading, why=one.why)
        )  # fmt: skip

    def leave(self, text: str, heading: str, why: str) -> None:
        """Say why a cell is not read."""
        self.said.append(
            Said(how="ignored", field="", value="", text=text, heading=heading, why=why)
        )


def shown(value: object) -> str:
    """A value in plain figures, for a reader of any language.

    Parameters
    ----------
    value : object

    Returns
    -------
    str

    Examples
    --------
    >>> shown(26.0), shown((760.0, 420.0)), shown("EUR")
    ('26', '760 x 420', 'EUR')
    """
    if isinstance(value, tuple):
        return " x ".join(shown(one) for one in value)
    if isinstance(value, float):
        return f"{value:.10g}"
    return str(value)


def read_row(line: Line, how: How, *, kind_above: Told = NOTHING, above: str = "") -> Row:
    """Read one line.

    Parameters
    ----------
    line : Line
    how : How
    kind_above : Told
        What the heading of a group of lines says they are.
    above : str
        That heading.

    Returns
    -------
    Row
    """
    row = Row(line=line)
    by_at = {one.at: one for one in how.columns.columns}
    _kind(row, how, kind_above, above)
    for at, cell in enumerate(line.cells):
        if cell:
            _cell(row, at, cell, by_at.get(at), how)
    return row


def _cell(row: Row, at: int, cell: str, column: ListedColumn | None, how: How) -> None:
    heading = column.heading if column is not None else ""
    role = column.role if column is not None else ""
    if column is None:
        row.leave(cell, "", say("its column has no heading"))
    elif at in how.columns.beside:
        other = how.columns.beside[at]
        row.leave(cell, heading, say("{heading} is read for that", heading=f"“{other}”"))
    elif not role:
        row.leave(cell, heading, say("no column of that name is known"))
    elif says_nothing(cell) and role not in ("number", "title", "model"):
        row.leave(cell, heading, say("it says that nobody knows"))
    elif role in NOT_READ:
        row.leave(cell, heading, say("{role}: moves no price", role=say(ROLE_WORDS[role])))
    elif role in ("title", "text", "kind"):
        _words(row, role, cell, heading, how)
    else:
        _value(row, role, cell, heading, at, how)


def _words(row: Row, role: str, cell: str, heading: str, how: How) -> None:
    """A cell of words: what it is stands already; facts in it are taken."""
    before = len(row.said)
    if row.values.get("kind_at") == role:
        _say_kind(row, cell, heading)
    if role != "kind":
        for one in facts_in(cell, Ways(mark=how.marks.elsewhere, year=how.year)):
            row.take(one, cell, heading)
    if len(row.said) == before:
        if role == "title":
            row.said.append(Said(how="understood", field="title", value=cell, text=cell,
                                 heading=heading))  # fmt: skip
        else:
            row.leave(cell, heading, say("no number or type of machine stands in it"))


def _value(row: Row, role: str, cell: str, heading: str, at: int, how: How) -> None:
    if role == "number":
        row.take(Heard(field="number", value=cell), cell, heading)
        return
    if role == "status":
        _status(row, cell, heading)
        return
    if role == "closes_at":
        row.take(Heard(field="closes_at", value=cell), cell, heading)
        return
    try:
        if role in MONEY:
            money = money_of(cell, how.marks.of(at))
            row.money[role] = money
            row.take(Heard(field=role, value=money.value, why=money.why), cell, heading)
            return
        for one in heard_in(role, cell, how.ways(at)):
            guess = say("its decimal mark is that of the other columns")
            why = one.why or (guess if at in how.marks.guessed else "")
            row.take(Heard(field=one.field, value=one.value, why=why), cell, heading)
    except ValueError as wrong:
        row.leave(cell, heading, str(wrong))


def _status(row: Row, cell: str, heading: str) -> None:
    from retrue.cases.settle.bring_words import plain

    bare = f" {plain(cell)} "
    word = next((one for one in GONE if f" {one} " in bare), "")
    if word:
        row.gone = cell
        row.said.append(Said(how="understood", field="status", value=cell, text=cell,
                             heading=heading))  # fmt: skip
    else:
        row.leave(cell, heading, say("it does not say that it is sold"))


def _cells(row: Line, columns: Columns, role: str) -> list[tuple[str, str]]:
    return [
        (cell, one.heading)
        for one in columns.columns
        if one.role == role and (cell := row.cell(one.at))
    ]


def _kind(row: Row, how: How, kind_above: Told, above: str) -> None:
    """What the line is: by its title or its type, else by its other words."""
    whole = " ".join(cell for cell in row.line.cells)
    if any(not says_nothing(cell) for cell, _ in _cells(row.line, how.columns, "control")):
        whole += " cnc"
    found = list(_told(row, how, whole))
    best = next((one for one in found if one[1].senses[0].sure == "known"), None)
    best = best or next(iter(found), None)
    if best is None and kind_above.senses:
        row.told = Told(kind_above.senses[:1], kind_above.words,
                        say("by the heading above it: {text}", text=f"“{above}”"))  # fmt: skip
        return
    if best is not None:
        role, row.told = best
        row.values["kind_at"] = role


def _told(row: Row, how: How, whole: str) -> Iterator[tuple[str, Told]]:
    for roles in (("title", "kind"), ("text", "model")):
        some = False
        for role in roles:
            for cell, _ in _cells(row.line, how.columns, role):
                told = told_by(cell, beside=whole)
                if told.senses:
                    some = True
                    yield role, told
        if some:
            return


def _say_kind(row: Row, cell: str, heading: str) -> None:
    row.values["kind_at"] = None
    told = row.told
    named = ", ".join(one.kind or str(one.what) for one in told.senses)
    doubt = told.why
    row.said.append(
        Said(how="guessed" if doubt else "understood", field="kind", value=named, text=cell,
             heading=heading, why=doubt)
    )  # fmt: skip


def columns_by_role(columns: Columns) -> Mapping[str, ListedColumn]:
    """The first column of each role."""
    found: dict[str, ListedColumn] = {}
    for one in columns.columns:
        if one.role:
            found.setdefault(one.role, one)
    return found
