"""Numbers as the cells of a catalogue write them, each column with its own decimal mark."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from retrue.base.currencies import MINOR, USUAL
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.screen.heading_words import COUNTED, MONEY
from retrue.cases.screen.listing import ListedColumn
from retrue.cases.settle.bring_amounts import DecimalMark, amount_of, mark_told
from retrue.cases.settle.bring_sheet import Sheet

_BLANKS = " \u00a0\u2009\u202f'\u2019"
NUMBER = re.compile(
    rf"(?<![0-9])(?:[0-9]{{1,3}}(?:[{_BLANKS}][0-9]{{3}})+(?![0-9])(?:[.,][0-9]+)?"
    r"|[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)(?:[.,][-\u2013]{1,2})?"
)
"""One number, with the dash of a price in whole units."""

INSIDE = (
    rf"(?<![0-9.,])(?:[0-9]{{1,3}}(?:[{_BLANKS}][0-9]{{3}}){{1,4}}(?:[.,][0-9]{{1,6}})?"
    r"|[0-9]{1,9}(?:[.,][0-9]{1,9}){0,4})(?![0-9])"
)
"""One number among words: of a length that is bounded, so that a long text is read in time."""

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
        Columns that do not tell all of it themselves.
    whole : frozenset of int
        Columns in which a mark before exactly three digits can only part thousands.
    """

    by_column: Mapping[int, DecimalMark]
    elsewhere: DecimalMark | None
    guessed: frozenset[int] = frozenset()
    whole: frozenset[int] = frozenset()

    def of(self, at: int) -> DecimalMark | None:
        """The mark of a column, else that of the others."""
        return self.by_column.get(at, self.elsewhere)


_BELOW = re.compile(
    r"^\W*?[-\u2212\u2013]\W{0,3}(?:[A-Z]{3}\W{0,2})?[0-9.,]|^\s*\([^)0-9]{0,5}[0-9][0-9.,]*\)$"
)
_POWER = re.compile(r"(?<![A-Za-z0-9])[0-9][0-9.,]*[eE][+-]?[0-9]+(?![A-Za-z0-9])")


def is_below_zero(text: str) -> bool:
    """Whether a number stands behind a minus sign, or in brackets as books have it.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> is_below_zero("-500"), is_below_zero("€ -12.500,00"), is_below_zero("12.500,-")
    (True, True, False)
    """
    return _BELOW.search(text) is not None


def is_power_of_ten(text: str) -> bool:
    """Whether a number is written with a power of ten.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> is_power_of_ten("1e308"), is_power_of_ten("1.5E+04"), is_power_of_ten("12 500")
    (True, True, False)
    """
    return _POWER.search(text) is not None


def is_open(text: str) -> bool:
    """Whether a mark before exactly three digits stands in a text, which may mean two things.

    Parameters
    ----------
    text : str

    Returns
    -------
    bool

    Examples
    --------
    >>> is_open("€ 12.500"), is_open("€ 12.500,-")
    (True, False)
    """
    return any(mark_told(found[0]) == "either" for found in NUMBER.finditer(text))


def thousands(token: str) -> DecimalMark:
    """The decimal mark of a number whose only mark parts thousands.

    Parameters
    ----------
    token : str

    Returns
    -------
    str

    Examples
    --------
    >>> thousands("12.500"), thousands("12,500")
    ('comma', 'point')
    """
    return "comma" if "." in token else "point"


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


def marks_of(
    sheet: Sheet, columns: Sequence[ListedColumn], wanted: DecimalMark | None, home: str
) -> Marks:
    """Which mark stands before the decimals, column by column.

    Parameters
    ----------
    sheet : Sheet
    columns : sequence of ListedColumn
    wanted : str or None
        comma, point: as the owner said.
    home : str
        Currency of amounts that name none.

    Returns
    -------
    Marks

    Raises
    ------
    Unusable
        1.250 may be 1250 or 1.25: the cells of the column tell two things, or nothing does.

    References
    ----------
    ISO 4217:2015: an amount has two decimals, in some currencies none or three (from memory). So
    one mark before exactly three digits of a price parts thousands, where there are no three.
    """
    counted = [one for one in columns if one.role in COUNTED - NO_DECIMALS]
    if wanted is not None:
        return Marks({one.at: wanted for one in counted}, wanted)
    told = {one.at: _Marked(sheet, one, home) for one in counted}
    elsewhere = _only(mark for one in told.values() for mark in one.sure)
    elsewhere = elsewhere or _only(mark for one in told.values() for mark in one.parted)
    by_column: dict[int, DecimalMark] = {}
    for at, one in told.items():
        mark = _only(one.sure | one.parted) if one.sure | one.parted else elsewhere
        if mark is not None:
            by_column[at] = mark
        elif one.open and not one.parted:
            raise _two_things(sheet, one.column, one.open[0])
    guessed = frozenset(
        at for at, one in told.items() if one.open and (not one.sure or one.parted - one.sure)
    )
    whole = frozenset(at for at, one in told.items() if one.parted)
    return Marks(by_column, elsewhere, guessed, whole)


class _Marked:
    """What the numbers of one column tell of the decimal mark."""

    def __init__(self, sheet: Sheet, column: ListedColumn, home: str) -> None:
        self.column = column
        self.sure: set[DecimalMark] = set()
        self.open: list[tuple[int, str]] = []
        self.parted: set[DecimalMark] = set()  # by cells that can only part thousands
        for row in sheet.rows:
            cell = row.cell(column.at)
            for found in NUMBER.finditer(cell):
                self._take(row.number, cell, found[0], home)

    def _take(self, number: int, cell: str, token: str, home: str) -> None:
        told = mark_told(token)
        if told == "either":
            self.open.append((number, cell))
            words = f"{home} {self.column.heading} {cell}".upper()
            if self.column.role in MONEY and not any(code in words for code in FINE):
                self.parted.add(thousands(token))
        elif told is not None:
            self.sure.add(told)


FINE = tuple(code for code, decimals in MINOR.items() if decimals > USUAL)
"""Currencies of which an amount has more than two decimals."""


def _only(marks: Iterable[str]) -> DecimalMark | None:
    found = set(marks)
    if found == {"comma"}:
        return "comma"
    return "point" if found == {"point"} else None


def _two_things(sheet: Sheet, column: ListedColumn, cell: tuple[int, str]) -> Unusable:
    number, text = cell
    what = say(
        "{cell} under {heading} means two things", cell=f"“{text}”", heading=f"“{column.heading}”"
    )
    remedy = say("Say which mark is decimal: comma or point (--decimal).")
    return Unusable(
        say("{name}, line {number}: {what}", name=sheet.name, number=number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=number), what, remedy),),
    )
