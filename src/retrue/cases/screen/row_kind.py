"""What a line of a catalogue is: by its title and its type, else by its other words. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.screen.columns import Columns
from retrue.cases.screen.kind_beside import BY_HAND
from retrue.cases.screen.kinds_told import NOTHING, Told, told_by
from retrue.cases.screen.money_words import says_nothing
from retrue.cases.screen.row import Row
from retrue.cases.settle.bring_sheet import Line
from retrue.cases.settle.bring_words import plain

NAMED = (("title", "kind"), ("text", "model"))
"""Roles whose words name a thing; the later ones only where the earlier ones say nothing."""


def find_kind(row: Row, columns: Columns, above: Told, heading: str) -> None:
    r"""Settle what a line is.

    Parameters
    ----------
    row : Row
        Is told.
    columns : Columns
    above : Told
        What the heading of its group says.
    heading : str
        That heading.

    Examples
    --------
    >>> from retrue.cases.screen.columns import columns_of, sheet_of
    >>> sheet, columns = columns_of(sheet_of(b"Lot;What\n1;CNC lathe\n", "a.csv", {}), {})
    >>> row = Row(line=sheet.rows[0])
    >>> find_kind(row, columns, NOTHING, "")
    >>> row.told.senses[0].kind, row.by
    ('turning_centre', 'title')
    """
    found = list(_told(row.line, columns))
    sure = [one for one in found if one[1].senses[0].sure == "known"]
    if found:
        row.by, row.told = (sure or found)[0]
    elif above.senses:
        why = say("by the heading above it: {text}", text=f"“{heading}”")
        row.told = Told(above.senses[:1], above.words, why)


def say_kind(row: Row, role: str, text: str, heading: str, columns: Columns) -> bool:
    """Say what the words of a cell are taken for, where they name a thing.

    Parameters
    ----------
    row : Row
    role : str
        Of the column of the cell.
    text, heading : str
    columns : Columns

    Returns
    -------
    bool
        Whether they do.
    """
    if row.by == role and not any(one.field == "kind" for one in row.said):
        row.tell("kind", _named(row.told), text, heading, row.told.why)
        return True
    told = _of_cell(text, row.line, columns) if role in ("title", "kind") else NOTHING
    if not told.senses:
        return False
    if {one.kind for one in told.senses} == {one.kind for one in row.told.senses}:
        row.tell("kind", _named(row.told), text, heading)
    else:
        row.leave(
            text, heading, say("it says {value}; {other} is taken", value=_named(told),
                               other=_named(row.told))
        )  # fmt: skip
    return True


def _named(told: Told) -> str:
    return ", ".join(one.kind or f"{one.what}" for one in told.senses)


def _told(line: Line, columns: Columns) -> Iterator[tuple[str, Told]]:
    for roles in NAMED:
        some = False
        for role in roles:
            for cell in cells_of(line, columns, role):
                told = _of_cell(cell, line, columns)
                if told.senses:
                    some = True
                    yield role, told
        if some:
            return


def _of_cell(cell: str, line: Line, columns: Columns) -> Told:
    beside = " ".join(other for other in line.cells if other != cell and not says_nothing(other))
    return told_by(cell, beside=beside, controlled=_controlled(line, columns))


def _controlled(line: Line, columns: Columns) -> bool:
    """Whether a column of controls names one."""
    cells = [plain(cell) for cell in cells_of(line, columns, "control") if not says_nothing(cell)]
    by_hand = any(word in f" {cell} " for cell in cells for word in map(" {} ".format, BY_HAND))
    return bool(cells) and not by_hand


def cells_of(line: Line, columns: Columns, role: str) -> list[str]:
    """Cells of a line that are read as something, in the order of the columns.

    Parameters
    ----------
    line : Line
    columns : Columns
    role : str

    Returns
    -------
    list of str
    """
    return [cell for one in columns.columns if one.role == role and (cell := line.cell(one.at))]
