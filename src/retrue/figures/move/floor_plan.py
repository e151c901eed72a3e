"""The floor plan to scale: walls, machines in blue, what must stay free in brass."""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrue.base.formatter import THIN, number
from retrue.base.say import say
from retrue.cases.move.drawings import FloorDrawing, FloorGap, FloorPiece
from retrue.cases.move.plane import box
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Box, Theme, line, path, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.move.floor_names import name_all
from retrue.figures.move.strokes import arrow, dimension, outline, patched, scale_bar
from retrue.figures.move.view import Point, View
from retrue.figures.prove.labels import Labels

HIGHEST: dict[Room, float] = {"phone": 430.0, "wide": 560.0, "paper": 460.0}
LEFT, RIGHT, ABOVE, BELOW = 62.0, 16.0, 16.0, 74.0  # room for dimensions and the scale bar
SPACES = ("door_swing", "door_slide", "cabinet_swing", "cabinet_front", "operator", "service")
SCALES = (10, 20, 50, 100, 200, 500, 1000)  # ISO 5455:1979, reductions (from memory)
PAPER_UNIT_MM = 0.25  # a drawing unit on paper where the scale is true


@dataclass(frozen=True, slots=True)
class Scaled:
    """A plan to a true scale: how large it must be printed."""

    svg: str
    scale: int  # one to that many
    wide_mm: float
    high_mm: float


def draw(drawing: FloorDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a floor plan as large as there is room.

    Parameters
    ----------
    drawing : FloorDrawing
    theme : Theme
        Colours of the page or of paper.
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> hall = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    >>> "6\u202f000" in draw(FloorDrawing(outline=hall, pieces=()), theme=PAPER, room="wide")
    True
    """
    wide = WIDTHS[room]
    left, low, right, high = _bounds(drawing)
    scale = min(
        (wide - LEFT - RIGHT) / max(right - left, 1.0), HIGHEST[room] / max(high - low, 1.0)
    )
    size = 12.0 if room == "phone" else 13.0
    return _drawn(drawing, theme, scale, wide, size, f"figure floor-{room}")[0]


def to_scale(drawing: FloorDrawing, *, theme: Theme, wide_mm: float, high_mm: float) -> Scaled:
    """Draw a floor plan to the largest usual scale at which it fits.

    Parameters
    ----------
    drawing : FloorDrawing
    theme : Theme
        Of paper.
    wide_mm, high_mm : float
        Room on the paper.

    Returns
    -------
    Scaled
        Printed at ``wide_mm`` its scale is true.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> hall = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 6000.0), (0.0, 6000.0))
    >>> to_scale(FloorDrawing(outline=hall, pieces=()), theme=PAPER, wide_mm=380, high_mm=230).scale
    50
    """
    left, _, right, _ = _bounds(drawing)
    made = Scaled("", 0, 0.0, 0.0)
    for scale in SCALES:
        units = 1.0 / scale / PAPER_UNIT_MM
        wide = max((right - left) * units + LEFT + RIGHT, 320.0)
        drawn, tall = _drawn(drawing, theme, units, wide, 12.0, "figure floor-scaled")
        made = Scaled(drawn, scale, wide * PAPER_UNIT_MM, tall * PAPER_UNIT_MM)
        if made.wide_mm <= wide_mm and made.high_mm <= high_mm:
            break
    return made


def rows(drawing: FloorDrawing) -> tuple[tuple[str, str], ...]:
    """The plan's numbers as a table: what, and its millimetres.

    Parameters
    ----------
    drawing : FloorDrawing

    Returns
    -------
    tuple of (str, str)
        The hall, everything that stands or must stay free, the widths that were asked for.
    """
    told = [(say("hall"), _size(drawing.outline))]
    for piece in drawing.pieces:
        if piece.sort == "route":
            continue
        name = piece.name if not piece.machine else f"{piece.name}, {piece.machine}"
        size = _size(piece.outline)
        if piece.clash:
            size = say("{size}; no room", size=size)
        told.append((name, size))
    for gap in drawing.gaps:
        value = _mm(gap.width_mm)
        if gap.least_mm is not None:
            value = say("{value}, wanted {least}", value=value, least=_mm(gap.least_mm))
        told.append((gap.name, value))
    return tuple(told)


def _mm(value: float) -> str:
    return number(value) + THIN + "mm"


def _size(points: tuple[Point, ...]) -> str:
    left, low, right, high = box(points)
    if len(points) == 2:
        return _mm(math.hypot(right - left, high - low))
    return say(
        "{wide} x {deep} mm at {x}, {y}", wide=number(right - left), deep=number(high - low),
        x=number(left), y=number(low),
    )  # fmt: skip


def _drawn(
    drawing: FloorDrawing, theme: Theme, scale: float, wide: float, size: float, sort: str
) -> tuple[str, float]:
    """The drawing, and how high it came out."""
    left, low, right, high = _bounds(drawing)
    spare = wide - LEFT - RIGHT - (right - left) * scale
    view = View(LEFT + max(0.0, spare / 2), ABOVE, left, high, scale)
    floor_end = ABOVE + (high - low) * scale
    labels = Labels(wide, floor_end + BELOW, size, theme)
    labels.taken.append(Box(0, floor_end + 38, wide, floor_end + BELOW))  # of the scale bar
    parts = _walls(drawing, view, theme)
    for piece in drawing.pieces:
        parts += _piece(piece, view, theme)
        if piece.sort == "column":
            labels.taken.append(Box(*box(view.all(piece.outline))))
    parts += _hall_dimensions(view, box(drawing.outline), theme, labels)
    for gap in drawing.gaps:
        parts += _gap(gap, view, theme, labels)
    notes = name_all(drawing, view, labels)
    bar_room = min(260.0, wide - view.left - 50)
    parts += scale_bar(view.left, floor_end + 42, scale, bar_room, theme, size=size)
    lines = [row for note in notes for row in wrap(note, wide - 16, size)]
    top = floor_end + BELOW
    below = [
        words(8, top + size + 1.35 * size * index, row, theme, size=size)
        for index, row in enumerate(lines)
    ]
    tall = top + 1.35 * size * len(lines) + 8
    label = say("Floor plan of a hall of {size}", size=_size(drawing.outline))
    clash = [piece.name for piece in drawing.pieces if piece.clash]
    if clash:
        label = say("{label}; no room: {named}", label=label, named=", ".join(map(str, clash)))
    return svg(parts + labels.parts + below, size=(wide, tall), label=label, sort=sort), tall


def _bounds(drawing: FloorDrawing) -> tuple[float, float, float, float]:
    """The hall, and what sticks out through its walls, up to an eighth of its size."""
    left, low, right, high = box(drawing.outline)
    points = [p for one in drawing.pieces if one.sort != "route" for p in one.outline]
    out = box([*drawing.outline, *points])
    wide, deep = 0.125 * (right - left), 0.125 * (high - low)
    return (max(out[0], left - wide), max(out[1], low - deep), min(out[2], right + wide),
            min(out[3], high + deep))  # fmt: skip


def _walls(drawing: FloorDrawing, view: View, theme: Theme) -> list[str]:
    """Walls as a band outside the hall, its floor, and the openings of its doors."""
    shape = outline(view.all(drawing.outline))
    parts = [path(shape, stroke=theme.ink, thick=9), path(shape, fill=theme.sheet)]
    for piece in drawing.pieces:
        if piece.sort == "hall_door":
            start, end = view.all(piece.outline)
            parts.append(line(*start, *end, theme.sheet, thick=11))
            across = _across(start, end, 6.0)
            parts += [
                line(x - across[0], y - across[1], x + across[0], y + across[1], theme.ink)
                for x, y in (start, end)
            ]
    return parts


def _across(start: Point, end: Point, reach: float) -> Point:
    length = max(math.hypot(end[0] - start[0], end[1] - start[1]), 1e-9)
    return (-(end[1] - start[1]) / length * reach, (end[0] - start[0]) / length * reach)


def _piece(piece: FloorPiece, view: View, theme: Theme) -> list[str]:
    points = view.all(piece.outline)
    if piece.sort == "route":
        trace = path(outline(points, closed=False), stroke=theme.blue, thick=1.2, dash="7 4")
        return [trace, *arrow(points[-2], points[-1], theme.blue, head=9.0)]
    if piece.sort == "joint":
        return [line(*points[0], *points[1], theme.soft, thick=1.0, dash="14 4 2 4")]
    if piece.sort == "hall_door":
        return []
    shape = outline(points)
    if piece.sort in SPACES and piece.machine:
        return _space(piece, points, shape, theme)
    fill, stroke, thick, dash = {
        "machine": (theme.blue_tint, theme.blue, 2.0, ""),
        "column": (theme.ink, theme.ink, 0.8, ""),
        "service": ("none", theme.soft, 0.9, "8 4"),
    }.get(piece.sort, ("none", theme.ink, 1.0, ""))
    parts = [path(shape, fill=fill, stroke=stroke, thick=thick, dash=dash)]
    if piece.sort == "machine":
        parts.append(_front(points, theme))
    return parts + (_crossed(points, theme) if piece.clash and piece.sort != "column" else [])


def _front(points: list[Point], theme: Theme) -> str:
    """A second line along the front."""
    (ax, ay), (bx, by), (cx, cy), _ = points
    depth = max(math.hypot(cx - bx, cy - by), 1e-9)
    x, y = (cx - bx) / depth * 4.5, (cy - by) / depth * 4.5
    return line(ax + x, ay + y, bx + x, by + y, theme.blue, thick=1.0)


def _space(piece: FloorPiece, points: list[Point], shape: str, theme: Theme) -> list[str]:
    swing = piece.hinge is not None
    dash = "" if swing or piece.sort == "door_slide" else "5 3"
    thick = 1.8 if piece.clash else 1.0
    parts = [path(shape, fill=theme.brass_tint, stroke=theme.brass, thick=thick, dash=dash)]
    return parts + (_crossed(points, theme) if piece.clash else [])


def _crossed(points: list[Point], theme: Theme) -> list[str]:
    """No room: crossed through."""
    if len(points) == 4:
        ends = ((points[0], points[2]), (points[1], points[3]))
    else:
        left, top, right, low = box(points)
        ends = (((left, top), (right, low)), ((left, low), (right, top)))
    return [line(*start, *end, theme.ink, thick=1.4) for start, end in ends]


def _hall_dimensions(
    view: View, hall: tuple[float, float, float, float], theme: Theme, labels: Labels
) -> list[str]:
    left, low, right, high = hall
    parts = []
    below, beside = 24.0, 28.0
    a, b = view.at((left, low)), view.at((right, low))
    start, end = (a[0], a[1] + below), (b[0], b[1] + below)
    parts += [line(x, a[1] + 8, x, a[1] + below + 4, theme.ink, thick=0.6) for x in (a[0], b[0])]
    parts += _measured(start, end, number(right - left), theme, labels)
    c, d = view.at((left, high)), view.at((left, low))
    start, end = (c[0] - beside, c[1]), (d[0] - beside, d[1])
    parts += [line(c[0] - 8, y, c[0] - beside - 4, y, theme.ink, thick=0.6) for y in (c[1], d[1])]
    parts += _measured(start, end, number(high - low), theme, labels)
    return parts


def _gap(gap: FloorGap, view: View, theme: Theme, labels: Labels) -> list[str]:
    colour = theme.ink if gap.enough else theme.brass
    told = number(gap.width_mm)
    return _measured(view.at(gap.start), view.at(gap.end), told, theme, labels, colour)


def _measured(
    start: Point, end: Point, text: str, theme: Theme, labels: Labels, colour: str = ""
) -> list[str]:
    """A dimension with its number where there is room, else beside it."""
    parts, spots = dimension(start, end, text, theme, size=labels.size, colour=colour)
    half = width(text, labels.size) / 2
    upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + 0.35 * labels.size
    if upright and x - half < 2:
        x = half + 3
    free = Labels(labels.wide, labels.high, labels.size, theme, labels.taken)
    steps = (0.0, 0.25, -0.25, 0.4, -0.4)
    spots_on = [
        (x + share * (end[0] - start[0]), y + share * (end[1] - start[1])) for share in steps
    ]
    beside = [(x + half + 5, y), (x - half - 5, y)] if upright else [
        (x, y - 0.9 * labels.size), (x, y + 1.1 * labels.size)
    ]  # fmt: skip
    for spot in (*(spots_on if spots else ()), *beside):
        if free.put((text,), [(*spot, "middle")]):
            parts.append(patched(spot[0], spot[1], text, theme, size=labels.size))
            break
    return parts
