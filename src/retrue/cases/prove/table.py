"""Readings as a table: read from a file as written, every bad cell named, nothing guessed."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say

Floats = NDArray[np.float64]
MOST_NAMED = 20  # problems listed before the rest is only counted
INCH_NAMES = {"in": "mm", "inch": "mm", "thou": "um", "mil": "um", "microinch": "um"}


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Named columns of text cells.

    Attributes
    ----------
    name : str
        File or form it came from, for refusals.
    columns : mapping of str to sequence of str
        All of one length; cells as written, without blanks around them.
    rows : sequence of int
        Number of each row in the file, counted from 1 with the heading.
    """

    name: str
    columns: Mapping[str, Sequence[str]]
    rows: Sequence[int]

    def __len__(self) -> int:
        """Rows without the heading."""
        return len(self.rows)

    def has(self, *names: str) -> bool:
        """Whether all these columns are there."""
        return all(name in self.columns for name in names)

    def text(self, name: str) -> Sequence[str]:
        """A column as written."""
        self.need(name)
        return self.columns[name]

    def need(self, *names: str) -> None:
        """Refuse if a column is missing; the refusal says which stand there."""
        missing = [name for name in names if name not in self.columns]
        if not missing:
            return
        problems = tuple(
            Problem(self.name, say("column {column} is missing", column=name), _near(name, self))
            for name in missing
        )
        raise Unusable(
            say("{name} lacks a column", name=self.name),
            remedy=say(
                "Its first line names the columns: {named}.", named=", ".join(map(str, names))
            ),
            problems=problems,
        )

    def numbers(self, name: str) -> Floats:
        """A column as numbers, shape (rows,); every cell that is none is named in one refusal."""
        cells = self.text(name)
        try:
            values = np.array(cells, dtype=np.float64)
        except ValueError:
            return self._one_by_one(name, cells)
        if np.isfinite(values).all():
            return values
        return self._one_by_one(name, cells)

    def words(self, name: str, allowed: Mapping[str, str]) -> list[str]:
        """A column of fixed words, in small letters; ``allowed`` maps what is written to itself."""
        cells = [cell.casefold() for cell in self.text(name)]
        wrong = [i for i, cell in enumerate(cells) if cell not in allowed]
        if wrong:
            what = say("write {words}", words=", ".join(dict.fromkeys(allowed.values())))
            self.refuse({self.where(i, name): _quoted(cells[i]) for i in wrong}, what)
        return [allowed[cell] for cell in cells]

    def where(self, index: int, column: str) -> str:
        """The place of a cell, as a person finds it."""
        return say("row {row}, column {column}", row=self.rows[index], column=column)

    def refuse(self, problems: Mapping[str, str], remedy: str) -> NoReturn:
        """Refuse cells: where they stand and what is wrong; the first ones are listed."""
        listed = list(problems.items())[:MOST_NAMED]
        made = [Problem(where, what, remedy) for where, what in listed]
        left = len(problems) - len(listed)
        if left:
            made.append(Problem(self.name, say("and {count} more like them", count=left)))
        raise Unusable(
            say("some readings of {name} cannot be used", name=self.name),
            remedy=say("Correct the cells that are named; all the others are kept as they are."),
            problems=tuple(made),
        )

    def _one_by_one(self, name: str, cells: Sequence[str]) -> Floats:
        values = np.empty(len(cells))
        wrong: dict[str, str] = {}
        for index, cell in enumerate(cells):
            try:
                values[index] = _real(cell)
            except ValueError as why:
                wrong[self.where(index, name)] = str(why)
        if wrong:
            remedy = say("Write a number in {unit}, or leave the row out.", unit=unit_of(name))
            self.refuse(wrong, remedy)
        return values


def _real(cell: str) -> float:
    """One number as a person writes it; a ValueError says what is wrong with it."""
    bare = cell.replace("\u2212", "-").replace("\u202f", "").replace("\u00a0", "").replace("'", "")
    if not bare:
        raise ValueError(say("the cell is empty"))
    if bare.count(",") == 1 and "." not in bare:
        bare = bare.replace(",", ".")
    try:
        value = float(bare)
    except ValueError:
        raise ValueError(_why_no_number(cell)) from None
    if not np.isfinite(value):
        raise ValueError(say("{cell} is not a number", cell=_quoted(cell)))
    return value


def _why_no_number(cell: str) -> str:
    tail = cell.lstrip("+-0123456789.,'\u202f ").strip().casefold().rstrip(".")
    if tail in INCH_NAMES or tail == '"':
        return say("{cell} is in inches: convert it first", cell=_quoted(cell))
    return say("{cell} is not a number", cell=_quoted(cell))


def _quoted(cell: str) -> str:
    return f"“{cell}”" if cell else say("an empty cell")


def unit_of(column: str) -> str:
    """The unit that the name of a column ends in, as it is printed.

    Parameters
    ----------
    column : str
        ``target_mm``, ``tilt_um_per_m``.

    Returns
    -------
    str
        ``mm``, ``µm/m``; "its unit" where the name has none.

    Examples
    --------
    >>> unit_of("deviation_um"), unit_of("tilt_um_per_m"), unit_of("run")
    ('µm', 'µm/m', 'its unit')
    """
    endings = {
        "_um_per_m": "µm/m", "_um": "µm", "_mm": "mm", "_deg": "degrees", "_c": "°C",
        "_s": "seconds", "_mm_min": "mm/min", "_newton": "N",
    }  # fmt: skip
    for ending in sorted(endings, key=len, reverse=True):
        if column.endswith(ending):
            return endings[ending]
    return say("its unit")


INCHES_SPAN_MM = 60.0  # a travel shorter than that may be one in inches


def asked_inches(positions_mm: Floats) -> tuple[str, ...]:
    """Ask whether lengths in a millimetre column were inches, where they are short for a machine.

    Parameters
    ----------
    positions_mm : ndarray, shape (n,)
        As read.

    Returns
    -------
    tuple of str
        One question, or nothing.

    Examples
    --------
    >>> bool(asked_inches(np.array([0.0, 20.0]))), asked_inches(np.array([0.0, 500.0]))
    (True, ())
    """
    span = float(np.ptp(positions_mm)) if len(positions_mm) else 0.0
    if not 0 < span <= INCHES_SPAN_MM:
        return ()
    return (
        say(
            "The positions reach over {span} only. Were they inches? Then convert them: "
            "an inch is 25.4 mm.",
            span=f"{span:g}\u202fmm",
        ),
    )


def _near(name: str, table: Table) -> str:
    stem = name.rsplit("_", 1)[0]
    for other in table.columns:
        if other != name and other.startswith(stem + "_"):
            return say(
                "There is {other}: convert it to {unit} and name it {name}.",
                other=other,
                unit=unit_of(name),
                name=name,
            )
    return say("There are: {named}.", named=", ".join(table.columns) or "-")


def read_table(content: bytes, name: str) -> Table:
    """Read a table of readings.

    Parameters
    ----------
    content : bytes
        UTF-8 (a byte-order mark is allowed) or Windows-1252; comma, semicolon or tab between the
        cells. Where it is a semicolon or a tab, a comma is a decimal mark. Lines that are empty or
        begin with # are left out, yet counted.
    name : str
        For refusals.

    Returns
    -------
    Table
        Headings in small letters, blanks inside them as low lines.

    Raises
    ------
    Unreadable
        No text, or no heading with rows below it.
    Unusable
        A row has more or fewer cells than there are headings, a heading stands twice, or a
        quotation mark is not closed.

    Examples
    --------
    >>> table = read_table(b"target_mm;deviation_um\\n0;1,5\\n100;-2\\n", "readings.csv")
    >>> table.numbers("deviation_um").tolist()
    [1.5, -2.0]
    """
    text = _decoded(content, name)
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip(" \t,;") and not line.lstrip().startswith("#")
    ]
    if len(numbered) < 2:
        raise Unreadable(
            say("{name} has no readings", name=name),
            remedy=say("Its first line names the columns, each line below it is one reading."),
        )
    mark = max(";\t,", key=numbered[0][1].count)
    try:
        lines = (line for _, line in numbered)
        rows = list(csv.reader(lines, delimiter=mark, skipinitialspace=True))
    except csv.Error:
        rows = []
    if len(rows) != len(numbered):
        _open_quotes(numbered, name)
    return table_of(rows, [number for number, _ in numbered], name)


def table_of(rows: Sequence[Sequence[str]], numbers: Sequence[int], name: str) -> Table:
    """A table from rows of cells, the heading first.

    Parameters
    ----------
    rows : sequence of sequence of str
        Cells as written.
    numbers : sequence of int
        Each row's number in its file.
    name : str
        For refusals.

    Returns
    -------
    Table

    Raises
    ------
    Unusable
        A row has more or fewer cells than there are headings, or a heading stands twice.

    Examples
    --------
    >>> len(table_of([["a_um"], ["1"], ["2"]], [1, 2, 3], "form"))
    2
    """
    headings = ["_".join(cell.strip().casefold().split()) for cell in rows[0]]
    while headings and not headings[-1]:
        headings.pop()
    twice = sorted({h for h in headings if headings.count(h) > 1})
    if twice:
        raise Unusable(
            say("{name} names a column twice", name=name),
            remedy=say("Give each column one name."),
            problems=tuple(Problem(name, say("{column} stands twice", column=h)) for h in twice),
        )
    table = Table(name, dict.fromkeys(headings, ()), list(numbers[1:]))
    wide = len(headings)
    wrong = {
        say("row {row}", row=numbers[i]): say("{count} cells", count=len(row))
        for i, row in enumerate(rows[1:], 1)
        if len(row) < wide or (len(row) > wide and any(cell.strip() for cell in row[wide:]))
    }
    if wrong:
        table.refuse(wrong, say("Write one cell for each of the {count} columns.", count=wide))
    cells = list(zip(*(row[:wide] for row in rows[1:]), strict=True))
    stripped = {h: [cell.strip() for cell in cells[i]] for i, h in enumerate(headings)}
    return Table(name, stripped, list(numbers[1:]))


def _open_quotes(numbered: Sequence[tuple[int, str]], name: str) -> NoReturn:
    """A quotation mark that is not closed swallows the rows below it."""
    odd = [number for number, line in numbered if line.count('"') % 2] or [numbered[0][0]]
    raise Unusable(
        say("a quotation mark in {name} is not closed", name=name),
        remedy=say("Take it out, or close it before the line ends."),
        problems=tuple(
            Problem(say("row {row}", row=number), say("a quotation mark stands alone"))
            for number in odd[:MOST_NAMED]
        ),
    )


def _decoded(content: bytes, name: str) -> str:
    if b"\x00" in content[:4096]:
        raise Unreadable(
            say("{name} is not a text file", name=name),
            remedy=say("Save it as CSV: one line a reading, commas between the cells."),
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")
