"""Headings in two lines: a group above its columns, "Price" over "low" and "high". Pure.

The two are joined, column by column, where neither says it alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from retrue.cases.headings import BEGINS, is_name, match
from retrue.cases.screen.heading_short import OTHERS, STANDS_FOR, UNITS, WITH_UNITS, full_heading
from retrue.cases.screen.heading_words import MONEY, ROLES
from retrue.cases.screen.kinds_told import told_by
from retrue.cases.screen.merged import Merged
from retrue.cases.settle.bring_sheet import Line, Sheet
from retrue.cases.settle.bring_words import plain

LONGEST = 30  # characters of a heading that stands in two lines
MOSTLY = 0.75  # of the cells of the lower line are names, or words beside a name
HALF = 0.5  # where two of them are names
LOW = ("low", "lower", "from", "min", "minimum", "laag", "laagste", "vanaf", "van", "von", "ab",
       "niedrig", "untere", "bas", "basse", "de", "da", "minimo", "minima", "desde",
       "bajo")  # fmt: skip
HIGH = ("high", "upper", "to", "up to", "max", "maximum", "hoog", "hoogste", "tot", "bis", "hoch",
        "obere", "haut", "haute", "a", "jusqu a", "massimo", "maximo", "hasta", "alto")  # fmt: skip
"""The lower and the higher of two, as lists have them: common practice, no source."""

IN_FULL = frozenset(word for words in ROLES.values() for word in words)
EVERY = IN_FULL | STANDS_FOR.keys() | WITH_UNITS
"""All names of all columns, in full and cut short."""

_BESIDE = frozenset({*LOW, *HIGH, *UNITS, *OTHERS, "mm", "kg", "new", "nieuw", "neu", "neuf"})
_OF_MONEY = frozenset({*MONEY, "estimate"})
_ROLE_OF = {word: role for role, words in reversed(tuple(ROLES.items())) for word in words}


@dataclass(frozen=True, slots=True)
class Headed:
    """A table whose headings may stand in two lines.

    Attributes
    ----------
    sheet : Sheet
        Its heading is the joined one; no line of the two is among the others.
    names : tuple of str
        By what each column is known, where that is not its heading as it is shown; else empty.
    lines : tuple of Line
        That name the columns, as they stand in the file.
    """

    sheet: Sheet
    names: tuple[str, ...]
    lines: tuple[Line, ...]


def headed(sheet: Sheet, merged: Sequence[Merged] = ()) -> Headed:
    r"""Join the headings of a table, where they stand in two lines.

    Parameters
    ----------
    sheet : Sheet
        Its heading is the line that names most columns.
    merged : sequence of Merged

    Returns
    -------
    Headed
        The same table, where they stand in one.

    Examples
    --------
    >>> top = Line(1, ("Lot", "Machine", "", "Price", ""))
    >>> low = Line(2, ("", "type", "year", "low", "high"))
    >>> table = Sheet(name="a.csv", mark=";", coding="utf-8", heading=low, above=(top,),
    ...               rows=(Line(3, ("1", "CNC lathe", "1999", "900", "1200")),))
    >>> headed(table).sheet.heading.cells
    ('Lot', 'Machine type', 'year', 'Price low', 'Price high')
    """
    lower = sheet.rows[0] if sheet.rows else None
    if lower is not None and _beneath(sheet.heading, lower, merged):
        joined = replace(sheet, rows=sheet.rows[1:])
        return _join(joined, sheet.heading, lower, merged)
    upper = sheet.above[-1] if sheet.above else None
    if upper is not None and _groups(upper, sheet.heading, merged):
        joined = replace(sheet, above=sheet.above[:-1])
        made = _join(joined, upper, sheet.heading, merged)
        if any(map(_helps, made.names, (*sheet.heading.cells, *[""] * len(made.names)))):
            return made
    return Headed(sheet, (), (sheet.heading,))


def pair_of(lines: Sequence[Line]) -> int | None:
    """Where two lines begin that name columns together, and neither alone.

    Parameters
    ----------
    lines : sequence of Line
        The first of a file.

    Returns
    -------
    int or None
        Place of the first of the two.

    Examples
    --------
    >>> pair_of([Line(1, ("sale", "")), Line(2, ("start", "spindle")), Line(3, ("price", "speed"))])
    1
    """
    for at, (upper, lower) in enumerate(pairwise(lines)):
        if lower.number != upper.number + 1 or _digits(upper) or _digits(lower):
            continue
        names = [plain(f"{one} {two}") for one, two in zip(upper.cells, lower.cells, strict=False)]
        if sum(one in IN_FULL for one in names) > 1:
            return at
    return None


def _digits(line: Line) -> bool:
    return any(any(map(str.isdigit, cell)) for cell in line.cells)


def _short(line: Line) -> list[str]:
    """Its cells, where each may be a heading; else none."""
    cells = [cell for cell in line.cells if cell]
    fits = all(len(cell) <= LONGEST for cell in cells) and not _digits(line)
    return cells if fits else []


def _known(cell: str) -> bool:
    return is_name(full_heading(cell, IN_FULL), EVERY)


def _beneath(upper: Line, lower: Line, merged: Sequence[Merged]) -> bool:
    """Whether a line beneath the headings is a second line of them, and no lot."""
    cells = _short(lower)
    if lower.number != upper.number + 1 or len(cells) < 2 or _is_again(upper, lower, merged):
        return False
    names = sum(map(_known, cells))
    fits = sum(_known(cell) or plain(cell) in _BESIDE or not plain(cell) for cell in cells)
    machine = any(told_by(cell).is_machine for cell in cells)
    return not machine and fits >= max(2, (HALF if names > 1 else MOSTLY) * len(cells))


def _helps(name: str, below: str) -> bool:
    """Whether the joined name of a column is one, and that of the lower line alone is none."""
    alone = full_heading(below, IN_FULL)
    return is_name(name, EVERY) and (
        not is_name(alone, EVERY) or (name != alone and name in IN_FULL)
    )


def _is_again(upper: Line, lower: Line, merged: Sequence[Merged]) -> bool:
    """Whether the lower line says the upper one once more."""
    down = {at for one in merged for at in range(one.first_at, one.last_at + 1)
            if one.first_line <= upper.number < one.last_line}  # fmt: skip
    own = [at for at, cell in enumerate(lower.cells) if cell and at not in down]
    return all(plain(lower.cell(at)) == plain(upper.cell(at)) for at in own)


def _groups(upper: Line, lower: Line, merged: Sequence[Merged]) -> bool:
    """Whether a line above the headings names groups of them, and is no title."""
    cells = _short(upper)
    if upper.number != lower.number - 1 or not cells:
        return False
    first = next(at for at, cell in enumerate(upper.cells) if cell)
    return len(set(cells)) > 1 or (first > 0 and _span(upper.number, first, merged) > 0)


def _span(line: int, at: int, merged: Sequence[Merged]) -> int:
    """Columns that a cell covers beside its own; one that is not merged may cover those behind."""
    told = next((one for one in merged if one.holds(line, at)), None)
    return 1 if told is None else told.last_at - told.first_at


def _join(sheet: Sheet, upper: Line, lower: Line, merged: Sequence[Merged]) -> Headed:
    width = max(len(upper.cells), len(lower.cells))
    shown, names = [], []
    over = ""
    for at in range(width):
        own, below = upper.cell(at), lower.cell(at)
        over = own or (over if below else "")
        far = not own  # it stands over a column before
        one, other = _of_column(over, below, far=far)
        shown.append(one)
        names.append(other)
    heading = Line(lower.number, tuple(shown))
    return Headed(replace(sheet, heading=heading), tuple(names), (upper, lower))


def _of_column(over: str, below: str, *, far: bool) -> tuple[str, str]:
    """A heading as it is shown, and the name by which its column is known."""
    if not over or not below or plain(over) == plain(below):
        one = below or over
        return one, full_heading(one, IN_FULL) or one
    both = f"{over} {below}"
    bare = full_heading(both, IN_FULL)
    alone = full_heading(below, IN_FULL)
    if bare in IN_FULL:
        return both, bare
    if _known(below) and not _is_of(over, alone):
        return (below if far and not _both_money(over, alone) else both), alone
    if far and plain(below) not in _BESIDE:
        return below, alone or below
    return both, bare


def _is_of(over: str, alone: str) -> bool:
    """Whether "price" beneath a word says of which price: the estimate, the first bid."""
    upper = _ROLE_OF.get(full_heading(over, IN_FULL), "")
    return _ROLE_OF.get(alone, "") == "asking" and upper in _OF_MONEY


def _both_money(over: str, alone: str) -> bool:
    """Whether a group of prices stands over a price: its currency and its tax hold there."""
    bare = plain(over)
    return _ROLE_OF.get(alone, "") in _OF_MONEY and any(
        match(bare, ROLES[role]) >= BEGINS for role in _OF_MONEY
    )


def lower_of(names: Sequence[str]) -> dict[int, int]:
    """Columns that hold the lower of two, and which holds the higher.

    Parameters
    ----------
    names : sequence of str
        By what each column is known.

    Returns
    -------
    dict of int to int
        Place to place.

    Examples
    --------
    >>> lower_of(["lot", "price low", "price high"])
    {1: 2}
    """
    found: dict[int, int] = {}
    for at, name in enumerate(names):
        for word in LOW:
            if not name.endswith(f" {word}"):
                continue
            bare = name.removesuffix(word)
            pairs = {bare + high for high in HIGH}
            other = next((there for there, one in enumerate(names) if one in pairs), None)
            if other is not None:
                found[at] = other
    return found
