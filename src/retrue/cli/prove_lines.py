"""A result for the terminal: cautions, the answer, what to do, a short table, fine print."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.prove.proof import Cell, Grid, Proof
from retrue.cases.prove.said import quantity_words, then_read_words, verdict_words

ROWS = 12
COLUMN = 14  # letters of a heading before it is broken


def proof_lines(proof: Proof) -> Iterator[str]:
    """The whole result.

    Parameters
    ----------
    proof : Proof
        As worked out.

    Yields
    ------
    str
        One line each.
    """
    for caution in proof.cautions:
        yield say("Caution: {caution}", caution=caution)
    for warning in proof.warnings:
        yield say("Mind: {warning}", warning=warning)
    yield proof.headline
    yield from _verdict(proof)
    yield from _next(proof)
    yield ""
    yield from _quantities(proof)
    for title, lines in (
        (say("What the readings mean:"), (*proof.finds, *proof.blames)),
        (say("What these readings cannot tell:"), proof.cannot_tell),
    ):
        if lines:
            yield title
            yield from (f"  {line}" for line in lines)
    for grid in proof.tables[:1]:
        yield ""
        yield from grid_lines(grid)
    yield ""
    yield from _fine(proof)


def _verdict(proof: Proof) -> Iterator[str]:
    if proof.provisional:
        yield say(
            "{why}: nothing is judged, blamed or turned on these readings.", why=proof.provisional
        )
    if proof.verdict is not None:
        key = proof.verdict.key
        digits = next((q.digits for q in proof.quantities if q.key == key), 1)
        yield from verdict_words(proof.verdict, digits)


def _next(proof: Proof) -> Iterator[str]:
    """What to do, and what the gauge then shows."""
    for number, one in enumerate(proof.remedy, 1):
        yield say("Next: {number}. {text}", number=number, text=one.text)
    if proof.then_read:
        yield say("You should then read:")
        yield from (f"  {then_read_words(one)}" for one in proof.then_read)


def _quantities(proof: Proof) -> Iterator[str]:
    wide = max((len(one.name) for one in proof.quantities), default=0)
    for one in proof.quantities:
        yield f"  {str(one.name).ljust(wide)}  {quantity_words(one)}"


def grid_lines(grid: Grid, most: int = ROWS) -> Iterator[str]:
    """A table in columns; a long one is cut and counted.

    Parameters
    ----------
    grid : Grid
        Of a result.
    most : int
        Rows shown.

    Yields
    ------
    str
        One line each.
    """
    shown = [[_cell(cell, grid.digits) for cell in row] for row in grid.rows[:most]]
    heads = [textwrap.wrap(name, COLUMN) or [""] for name in grid.columns]
    high = max(map(len, heads))
    above = [[""] * (high - len(lines)) + lines for lines in heads]
    table = [*map(list, zip(*above, strict=True)), *shown]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    yield f"{grid.title}:"
    for row in table:
        first, *rest = (
            str(cell).ljust(wide) if place == 0 else str(cell).rjust(wide)
            for place, (cell, wide) in enumerate(zip(row, widths, strict=True))
        )
        yield "  " + "  ".join((first, *rest)).rstrip()
    if len(grid.rows) > most:
        yield "  " + say("and {count} more rows", count=len(grid.rows) - most)


def _cell(cell: Cell, digits: int) -> str:
    if cell is None:
        return "-"
    if isinstance(cell, str):
        return cell
    return formatter.number(cell, 0 if isinstance(cell, int) else digits)


def _fine(proof: Proof) -> Iterator[str]:
    if proof.method:
        yield say("Method: {method}.", method=proof.method.rstrip("."))
    source = " ".join(str(part) for part in (proof.standard, proof.edition) if part)
    if source and source not in proof.method:
        yield say("Standard: {source}.", source=source)
    if any(one.uncertainty is not None for one in proof.quantities):
        yield say("Give or take: expanded uncertainty, k = 2.")
    if proof.assumed:
        yield say("Nobody said, so this was taken:")
        yield from (f"  {line}" for line in proof.assumed)
    yield say("Estimate for planning.")
