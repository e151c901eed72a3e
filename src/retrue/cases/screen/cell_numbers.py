"""Numbers as the cells of a catalogue write them, each column with its own decimal mark."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.heading_words import COUNTED
from retrue.cases.screen.listing import ListedColumn
from retrue.cases.settle.bring_amounts import DecimalMark, amount_of, mark_told
from retrue.cases.settle.bring_sheet import Sheet

_BLANKS = " \u00a0\u2009\u202f'\u2019"
NUMBER = re.compile(
    rf"(?<![0-9])(?:[0-9]{{1,3}}(?:[{_BLANKS}][0-9]{{3}})+(?![0-9])(?:[.,][0-9]+)?"
    r"|[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)(?:[.,][-\u2013]{1,2})?"
)
"""One number, with the dash of a price in whole units."""

NO_DECIMALS = frozenset({"year", "count", "age", "estimate"})


@dataclass(frozen=True, slots=True)
class Marks:
    """Which mark stands before the decimals.

    Attributes
    ----------
    by_column : mapping of int to str
        Place of a column to comma or point, for cells that do not tell it themselves.
    elsewhere : str or None
        For numbers in words; None: nothing tells.
    guessed : frozenset of int
        Columns that say nothing themselves and are read as the others.
    """

    by_column: Mapping[int, DecimalMark]
    elsewhere: DecimalMark | None
    guessed: frozenset[int] = frozenset()

    def of(self, at: int) -> DecimalMark | None:
        """The mark of a column, else that of the others."""
        return self.by_column.get(at, self.elsewhere)


def number_of(token: str, mark: DecimalMark | None) -> Decimal:
    """One number.

    Parameters
    ----------
    token : str
        As :data:`NUMBER` finds it.
    mark : str or None
        comma, point: where the number itself does not tell.

    Returns
    -------
    Decimal

    Raises
    ------
    ValueError
        It is none, or its mark may be that of thousands or that of decimals.

    References
    ----------
    ISO 80000-1:2009, 7.3.2: the decimal sign is a comma or a point on the line; digits are grouped
    by a small space (from memory).

    Examples
    --------
    >>> number_of("12.500,-", None), number_of("12 500", None), number_of("4.500", "comma")
    (Decimal('12500'), Decimal('12500'), Decimal('4500'))
    """
    told = mark_told(token)
    if told == "either" and mark is None:
        raise ValueError(say("{cell} means two things", cell=f"“{token}”"))
    own: DecimalMark = mark or "point"
    if told is not None and told != "either":
        own = told
    return amount_of(token, own).value


def marks_of(sheet: Sheet, columns: Sequence[ListedColumn], wanted: DecimalMark | None) -> Marks:
    """Which mark stands before the decimals, column by column.

    Parameters
    ----------
    sheet : Sheet
    columns : sequence of ListedColumn
    wanted : str or None
        comma, point: as the owner said.

    Returns
    -------
    Marks

    Raises
    ------
    Unusable
        In a column every mark stands before exactly three digits, so that 1.250 may be 1250 or
        1.25, and no other column tells either; or a column has both and such a cell.
    """
    counted = [one for one in columns if one.role in COUNTED - NO_DECIMALS]
    if wanted is not None:
        return Marks({one.at: wanted for one in counted}, wanted)
    told = {one.at: list(_told(sheet, one.at)) for one in counted}
    sure = {at: {mark for _, _, mark in cells} - {"either"} for at, cells in told.items()}
    every = {mark for marks in sure.values() for mark in marks}
    elsewhere = _only(every)
    by_column: dict[int, DecimalMark] = {}
    guessed: set[int] = set()
    for one in counted:
        open_cells = [cell for cell in told[one.at] if cell[2] == "either"]
        mark = _only(sure[one.at]) or (elsewhere if not sure[one.at] else None)
        if mark is not None:
            by_column[one.at] = mark
        elif open_cells:
            raise _two_things(sheet, one, open_cells[0])
        if open_cells and not sure[one.at]:
            guessed.add(one.at)
    return Marks(by_column, elsewhere, frozenset(guessed))


def _told(sheet: Sheet, at: int) -> Iterator[tuple[int, str, str]]:
    for row in sheet.rows:
        for found in NUMBER.finditer(row.cell(at)):
            told = mark_told(found[0])
            if told is not None:
                yield row.number, row.cell(at), told


def _only(marks: Iterable[str]) -> DecimalMark | None:
    found = set(marks)
    if found == {"comma"}:
        return "comma"
    return "point" if found == {"point"} else None


def _two_things(sheet: Sheet, column: ListedColumn, cell: tuple[int, str, str]) -> Unusable:
    number, text, _ = cell
    what = say(
        "{cell} under {heading} means two things", cell=f"“{text}”", heading=f"“{column.heading}”"
    )
    remedy = say("Say which mark is decimal: comma or point (--decimal).")
    return Unusable(
        say("{name}, line {number}: {what}", name=sheet.name, number=number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=number), what, remedy),),
    )
