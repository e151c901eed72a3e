"""Names on a floor plan: each in its place; where one has no room, a number, told below."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.move.drawings import FloorDrawing, FloorPiece
from retrue.cases.move.plane import box
from retrue.figures.ink import Anchor
from retrue.figures.letters import width, wrap
from retrue.figures.move.view import Point, View
from retrue.figures.prove.labels import Labels


def name_all(drawing: FloorDrawing, view: View, labels: Labels) -> list[str]:
    """Put every name in its place.

    Parameters
    ----------
    drawing : FloorDrawing
    view : View
    labels : Labels
        What is written so far; the names are added to it.

    Returns
    -------
    list of str
        What is told below: the numbers and what they stand for, how to read the plan.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> mill = ((0.0, 0.0), (2000.0, 0.0), (2000.0, 1500.0), (0.0, 1500.0))
    >>> plan = FloorDrawing(outline=mill, pieces=(
    ...     FloorPiece(sort="machine", name="mill", outline=mill),))
    >>> len(name_all(plan, View(0.0, 0.0, 0.0, 1500.0, 0.1), Labels(200, 150, 13, PAPER)))
    1
    """
    keyed: list[str] = []
    bare: list[str] = []
    order = {"machine": 0, "hall_door": 1, "other": 1, "column": 3}
    named = [piece for piece in drawing.pieces if piece.sort != "route"]
    for piece in sorted(named, key=lambda one: order.get(one.sort, 2)):
        full = say("{name}: no room", name=piece.name) if piece.clash else piece.name
        if _put_name(piece, full, view, labels):
            continue
        told = f"{full}, {piece.machine}" if piece.machine else full
        key = str(len(keyed) + 1)
        if _put_name(piece, key, view, labels) or _put_beside(piece, key, view, labels):
            keyed.append(f"{key} {told}")
        elif piece.clash or piece.sort != "column":
            bare.append(told)
    notes = ["; ".join(map(str, [*keyed, *bare])) + "."] if keyed or bare else []
    notes.append(
        say(
            "Lengths in mm. A double line: the front of a machine. Broken line, swing: must stay "
            "free."
        )
    )
    if any(piece.clash for piece in named):
        notes.append(say("Crossed through: no room."))
    return notes


def _put_name(piece: FloorPiece, text: str, view: View, labels: Labels) -> bool:
    points = view.all(piece.outline)
    if len(points) == 2 or piece.sort == "column":
        return labels.put((text,), _outside(piece, points, labels.size))
    left, top, right, low = box(points)
    size, x = labels.size, (left + right) / 2
    lines = wrap(text, max(right - left - 6, size), size)
    tall = 1.25 * size * len(lines)
    wide = max(width(row, size) for row in lines)
    if wide > right - left - 3 or tall > low - top - 2 or _cut(text, lines):
        return False
    first = (top + low) / 2 - tall / 2 + size
    rows = [first + step * size for step in (0, 1, -1, 2, -2, 3, -3)]
    kept = [row for row in rows if top + size <= row and row + tall - size <= low + 2]
    sides: tuple[tuple[float, Anchor], ...] = (
        (x, "middle"), (left + 6, "start"), (right - 6, "end")
    )  # fmt: skip
    blue = labels.theme.blue if piece.sort == "machine" else ""
    spots = [(at, row, anchor) for at, anchor in sides for row in kept]
    return labels.put(lines, spots, bold=piece.sort == "machine", colour=blue)


def _outside(
    piece: FloorPiece, points: list[Point], size: float
) -> list[tuple[float, float, Anchor]]:
    """Where the name of a line or of a small thing may stand."""
    left, top, right, low = box(points)
    x, y = (left + right) / 2, (top + low) / 2
    spots: list[tuple[float, float, Anchor]] = [
        (right + 5, y + 4, "start"), (left - 5, y + 4, "end"), (x, top - 5, "middle"),
        (x, low + size + 3, "middle"), (right + 5, top + size, "start"),
        (right + 5, low - 4, "start"),
    ]  # fmt: skip
    if piece.sort == "hall_door":
        return [(x, low + size + 5, "middle"), (x, top - 9, "middle"), *spots[:2]]
    if piece.sort == "joint":
        return [*spots[4:], (right + 5, low - 0.25 * (low - top), "start"), *spots[:4]]
    return spots


def _put_beside(piece: FloorPiece, key: str, view: View, labels: Labels) -> bool:
    """A number at the edge of a space too small for it."""
    left, top, right, low = box(view.all(piece.outline))
    x, y, size = (left + right) / 2, (top + low) / 2, labels.size
    spots: list[tuple[float, float, Anchor]] = [
        (x, y + 4, "middle"), (right + 3, y + 4, "start"), (left - 3, y + 4, "end"),
        (x, low + size, "middle"), (x, top - 3, "middle"),
    ]  # fmt: skip
    return labels.put((key,), spots)


def _cut(text: str, lines: tuple[str, ...]) -> bool:
    """Whether a word had to be broken."""
    return " ".join(lines).split() != text.split()
