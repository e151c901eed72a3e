"""Lines of a catalogue that are no lot: a heading said again, a sum, what stands over a group."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.headings import counter
from retrue.cases.screen.columns import LONGEST_NUMBER
from retrue.cases.screen.heading_two import EVERY
from retrue.cases.screen.kinds_told import NOTHING, Told, told_by
from retrue.cases.screen.listing import OtherLine
from retrue.cases.screen.rows import How
from retrue.cases.settle.bring_sheet import Line, Sheet
from retrue.cases.settle.bring_words import TOTALS, plain

MOSTLY = 0.75  # of the cells of another heading are names of columns
LEAST_NAMES = 3
MORE_TOTALS = ("totale", "somma", "total general", "suma", "subtotal", "subtotale", "gesamtsumme",
               "eindtotaal", "totaux", "end of", "einde", "fin", "ende", "fine")  # fmt: skip
"""Beside those of a bank file."""


@dataclass(slots=True)
class Over:
    """What the heading of a group says of the lines below it."""

    told: Told = NOTHING
    text: str = ""


def other_line(line: Line, sheet: Sheet, how: How, over: Over) -> OtherLine | None:
    r"""Say why a line is no lot.

    Parameters
    ----------
    line : Line
    sheet : Sheet
    how : How
    over : Over
        Is told what stands over the lines that follow.

    Returns
    -------
    OtherLine or None
        None: it is a lot.

    Raises
    ------
    Unusable
        It names columns in another order: what stands below it would be misread.

    Examples
    --------
    >>> from retrue.cases.screen.columns import columns_of, sheet_of
    >>> from retrue.cases.screen.cell_numbers import Marks
    >>> table = sheet_of(b"Lot;What\n1;VMC\nLathes\nTotal;1\n", "a.csv", {})
    >>> sheet, columns = columns_of(table, {})
    >>> how = How(columns=columns, marks=Marks({}, None), year=2026)
    >>> [line and line.why for line in (other_line(one, sheet, how, Over()) for one in sheet.rows)]
    [None, 'it stands over a group of lines', 'a sum, or the end']
    """
    filled = [(at, cell) for at, cell in enumerate(line.cells) if cell]
    text = " ".join(dict.fromkeys(cell for _, cell in filled))
    if all(plain(cell) == plain(sheet.heading.cell(at)) for at, cell in filled):
        return OtherLine(line=line.number, text=text, why=say("the heading again"))
    own = [at for at, _ in filled if not _covered(how, line, at)]
    if line.number in how.sale:
        return OtherLine(line=line.number, text=text, why=say("it speaks of the whole sale"))
    _refuse_other_heading(line, sheet, [cell for _, cell in filled])
    if _is_sum(line, [cell for _, cell in filled], how):
        return OtherLine(line=line.number, text=text, why=say("a sum, or the end"))
    if len(own) == 1 and _stands_over(own[0], line, how):
        over.told, over.text = told_by(text), text
        if not over.told.is_machine and any(map(str.isdigit, text)):
            over.told = NOTHING
        return OtherLine(line=line.number, text=text, why=say("it stands over a group of lines"))
    if len(own) == 1 and _is_remark(own[0], line, how):
        return OtherLine(line=line.number, text=text, why=say("a remark: it says nothing of a lot"))
    return None


def _is_remark(at: int, line: Line, how: How) -> bool:
    """Whether the only cell of a line stands where lots are numbered, and is no number."""
    cell = line.cell(at)
    long = len(cell) > LONGEST_NUMBER and len(cell.split()) > 1
    role = next((one.role for one in how.columns.columns if one.at == at), "")
    first = at == min((one.at for one in how.columns.columns), default=0)
    return first and role in ("number", "") and long and not told_by(cell).is_machine


def _covered(how: How, line: Line, at: int) -> bool:
    merged = how.covers(line.number, at)
    return merged is not None and merged.first_at < at


def _stands_over(at: int, line: Line, how: How) -> bool:
    """Whether a line with one cell is no lot: that cell is wide, or words in the first column."""
    merged = how.covers(line.number, at)
    wide = merged is not None and merged.last_at > merged.first_at
    first = min((one.at for one in how.columns.columns), default=0)
    named = how.columns.at.get("title") == first
    return wide or (at == first and not named and not any(map(str.isdigit, line.cell(at))))


def _is_sum(line: Line, cells: Sequence[str], how: How) -> bool:
    first = plain(cells[0])
    words = (*TOTALS, *MORE_TOTALS)
    number = how.columns.at.get("number")
    numbered = number is not None and any(map(str.isdigit, line.cell(number)))
    begins = any(first == word or first.startswith(f"{word} ") for word in words)
    return begins and not numbered and not told_by(cells[0]).is_machine


_named: Callable[[Sequence[str]], int] = counter(EVERY, frozenset())


def _refuse_other_heading(line: Line, sheet: Sheet, cells: Sequence[str]) -> None:
    count = _named(cells)
    if count < LEAST_NAMES or count < MOSTLY * len(cells):
        return
    what = say("other columns are named here than in line {number}", number=sheet.heading.number)
    remedy = say("Cut the catalogue there, and read the two one after the other.")
    raise Unusable(
        say("{name}, line {number}: {what}", name=sheet.name, number=line.number, what=what),
        remedy=remedy,
        problems=(Problem(say("line {number}", number=line.number), what, remedy),),
    )
