"""Which lines of a table speak of the whole sale: above its headings, below its lots. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from retrue.cases.screen.cell_ways import Ways
from retrue.cases.screen.columns import LONGEST_NUMBER, Columns
from retrue.cases.screen.kinds_told import told_by
from retrue.cases.screen.merged import Merged, first_cells
from retrue.cases.screen.sale_days import REMOVAL
from retrue.cases.screen.sale_narrow import goes_on
from retrue.cases.screen.sale_spoken import NOTHING, shares_in, spoken_in
from retrue.cases.screen.sale_words import (
    FIGURE,
    LOOSE_PREMIUM,
    MARGIN,
    NAMES_CURRENCY,
    ONE_OF,
    OTHER,
    PREMIUM,
    PRICES_IN,
    TAX,
    without_accents,
)
from retrue.cases.settle.bring_sheet import Line, Sheet

MOST_CELLS = 4  # of such a line; a lot has more to say
_SHARE = re.compile(r"0[.,][0-9]{1,4}")
_PER_CENT = re.compile(r"[0-9]{1,2}(?:[.,][0-9]{1,3})?")
_BEGINS = (*ONE_OF, "remov", "collect", "pick", "hal", "abhol", "abbau", "transport", "montage",
           "enlev", "retrait", "ritir", "retirad", "recogid", "curren", "valuta", "munt", "devise",
           "monnaie", "wahrung", "moneda", "divisa", "ccy", " in ", " en ")  # fmt: skip
"""Where none of these stands, none of the words below does."""
_ANY = (PREMIUM, LOOSE_PREMIUM, TAX, REMOVAL, MARGIN, NAMES_CURRENCY, PRICES_IN)


@dataclass(frozen=True, slots=True)
class SaleLine:
    """A line that may speak of the whole sale.

    Attributes
    ----------
    number : int
        Of the file.
    text : str
        As it stands there.
    words : str
        The same, with a cell of a spreadsheet that holds 0.18 beside its name as 18 %.
    """

    number: int
    text: str
    words: str


def sale_lines(
    sheet: Sheet, columns: Columns, merged: Sequence[Merged], ways: Ways
) -> tuple[SaleLine, ...]:
    r"""Lines that speak of the whole sale.

    Parameters
    ----------
    sheet : Sheet
    columns : Columns
    merged : sequence of Merged
    ways : Ways
        Its year, and which of day and month goes first.

    Returns
    -------
    tuple of SaleLine
        A line with the number of a lot, or that names a machine, is a lot and none of them.

    Examples
    --------
    >>> from retrue.cases.screen.columns import columns_of, sheet_of
    >>> table = b"Opgeld 18 %\nLot;What\n1;CNC lathe, premium 20 %\nVAT 21 %;\n"
    >>> sheet, columns = columns_of(sheet_of(table, "a.csv", {}), {})
    >>> [one.number for one in sale_lines(sheet, columns, (), Ways(mark=None, year=2026))]
    [1, 4]
    """
    above = _whole([_line(one, merged) for one in sheet.above])
    below = (_line(one, merged) for one in sheet.rows if _may_be(one, columns, merged, ways))
    speaking = (one for one in (*above, *below) if spoken_in(one.words, ways) != NOTHING)
    named = (one for one in _headings(sheet) if shares_in(one.words) != NOTHING)
    return tuple(sorted((*speaking, *named), key=lambda one: one.number))


def _headings(sheet: Sheet) -> Iterator[SaleLine]:
    """A heading that names a share, as "Price without 18 % premium", names it for all below it."""
    for cell in sheet.heading.cells:
        if "%" in cell and any(map(str.isdigit, cell)):
            yield SaleLine(sheet.heading.number, cell, cell)


def _whole(lines: Sequence[SaleLine]) -> Iterator[SaleLine]:
    """Each line with the one below it, where that goes on about its share and names none."""
    for one, below in zip(lines, (*lines[1:], None), strict=False):
        more = "" if below is None or below.number != one.number + 1 else below.words
        low = without_accents(more).casefold()
        goes = (goes_on(low) or FIGURE.search(low)) and not _names(low)
        if goes and _names(without_accents(one.words).casefold()):
            yield replace(one, words=f"{one.words}, {more}")
        else:
            yield one


def _names(low: str) -> bool:
    return any(word.search(low) for word in (PREMIUM, LOOSE_PREMIUM, TAX, OTHER))


def _line(line: Line, merged: Sequence[Merged]) -> SaleLine:
    own = [cell for cell in first_cells(line, merged).cells if cell]
    text = " ".join(dict.fromkeys(own))
    return SaleLine(line.number, text, " ".join(_as_shares(own)))


def _as_shares(cells: Sequence[str]) -> Iterator[str]:
    """A spreadsheet writes 18 % as 0.18, and its name in the cell before."""
    for before, cell in zip(("", *cells), cells, strict=False):
        low = without_accents(before).casefold()
        if any(word.search(low) for word in (PREMIUM, LOOSE_PREMIUM, TAX)):
            if _SHARE.fullmatch(cell):
                cell = f"{100 * float(cell.replace(',', '.')):.6g} %"
            elif "%" in before and _PER_CENT.fullmatch(cell):
                cell = f"{cell} %"
        yield cell


def speaks(line: Line) -> bool:
    """Whether a line has few cells and words of the terms of a sale: no sample of its columns.

    Parameters
    ----------
    line : Line
        Without what only stands in it because a cell before it was merged.

    Returns
    -------
    bool

    Examples
    --------
    >>> speaks(Line(9, ("Premium", "18 %", "")))
    True
    >>> speaks(Line(9, ("7", "CNC lathe", "1999", "900", "")))
    False
    """
    cells = [cell for cell in line.cells if cell]
    if not 1 <= len(cells) <= MOST_CELLS:
        return False
    low = without_accents(" ".join(cells)).casefold()
    return any(one in low for one in _BEGINS) and any(word.search(low) for word in _ANY)


def _may_be(line: Line, columns: Columns, merged: Sequence[Merged], ways: Ways) -> bool:
    """Whether a line below the headings may be none of the lots."""
    own = first_cells(line, merged)
    if not speaks(own):
        return False
    told = told_by(" ".join(filter(None, own.cells)))
    number = own.cell(columns.at.get("number", -1))
    if len(number) > LONGEST_NUMBER or spoken_in(number, ways) != NOTHING:
        return not told.is_machine
    return not told.senses and not any(map(str.isdigit, number))
