"""When a machine tips: its centre of gravity, the edge it turns on, the slope it stands at then."""

from __future__ import annotations

import math

from retrue.base.formatter import THIN, number
from retrue.base.say import say
from retrue.cases.move.drawings import TipDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import wrap
from retrue.figures.move.strokes import centre_mark, dimension, outline, patched

HIGH = 210.0


def rows(drawing: TipDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers.

    Parameters
    ----------
    drawing : TipDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> rows(TipDrawing(half_width_mm=600, height_mm=1100, tip_deg=28.6))[2][1]
    '28.6°'
    """
    mm = THIN + "mm"
    told = [
        (say("centre of gravity to the edge it turns on"), number(drawing.half_width_mm) + mm),
        (say("height of the centre of gravity"), number(drawing.height_mm) + mm),
        (say("tips by itself at"), number(drawing.tip_deg, 1) + "°"),
    ]
    if drawing.slope_deg is not None:
        told.append((say("slope that is to come"), number(drawing.slope_deg, 1) + "°"))
    return tuple(told)


def draw(drawing: TipDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a machine level, its centre of gravity over its feet, and the line to the tip edge.

    Parameters
    ----------
    drawing : TipDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``, to scale.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> "28.6°" in draw(TipDrawing(half_width_mm=600, height_mm=1100, tip_deg=28.6), theme=PAPER,
    ...     room="wide")
    True
    """
    wide, size = min(WIDTHS[room], 420.0), 12.0 if room == "phone" else 13.0
    base = drawing.width_mm or 2 * drawing.half_width_mm
    tall = drawing.machine_height_mm or 1.8 * drawing.height_mm
    scale = min((wide - 210) / max(base, 1.0), HIGH / max(tall, 1.0))
    floor = max(44.0 + tall * scale, 132.0)
    edge = wide / 2 + base * scale / 2
    x, y = edge - drawing.half_width_mm * scale, floor - drawing.height_mm * scale
    left, top = edge - base * scale, floor - tall * scale
    parts = [
        path(outline([(left, top), (edge, top), (edge, floor), (left, floor)]),
             fill=theme.blue_tint, stroke=theme.blue, thick=1.6),
        line(16, floor, wide - 16, floor, theme.ink, thick=1.6),
    ]  # fmt: skip
    parts += _lines(drawing, (x, y), (edge, floor), theme)
    parts += centre_mark(x, y, theme)
    parts += _angles(drawing, (edge, floor), theme, size)
    parts += _sizes(drawing, (x, y), (edge, floor), (left, wide), theme, size)
    notes = [say("Thick line: from the edge it turns on through its centre of gravity. To scale.")]
    lines = [row for note in notes for row in wrap(note, wide - 16, size)]
    end = floor + 58
    parts += [
        words(8, end + 1.35 * size * place, row, theme, size=size)
        for place, row in enumerate(lines)
    ]
    label = say("Tips by itself at {tip}°", tip=number(drawing.tip_deg, 1))
    return svg(parts, size=(wide, end + 1.35 * size * len(lines)), label=label,
               sort=f"figure tip-{room}")  # fmt: skip


def _lines(
    drawing: TipDrawing, centre: tuple[float, float], edge: tuple[float, float], theme: Theme
) -> list[str]:
    """The plumb line over the edge, and the line from the edge through the centre of gravity."""
    reach = 1.25 * math.hypot(edge[0] - centre[0], edge[1] - centre[1])
    lean = math.radians(drawing.tip_deg)
    tip = (edge[0] - reach * math.sin(lean), edge[1] - reach * math.cos(lean))
    parts = [
        line(*edge, edge[0], edge[1] - reach, theme.ink, thick=0.9, dash="10 3 2 3"),
        line(*edge, *tip, theme.brass, thick=2.0),
    ]
    if drawing.slope_deg:
        slope = math.radians(drawing.slope_deg)
        end = (edge[0] - reach * math.sin(slope), edge[1] - reach * math.cos(slope))
        parts.append(line(*edge, *end, theme.ink, thick=1.2, dash="4 3"))
    return parts


def _angles(drawing: TipDrawing, edge: tuple[float, float], theme: Theme, size: float) -> list[str]:
    parts = []
    told = [(drawing.tip_deg, 108.0, say("tips at {angle}°", angle=number(drawing.tip_deg, 1)),
             theme.brass)]  # fmt: skip
    if drawing.slope_deg:
        text = say("slope {angle}°", angle=number(drawing.slope_deg, 1))
        told.append((drawing.slope_deg, 74.0, text, theme.ink))
    for angle, reach, text, colour in told:
        lean = math.radians(angle)
        start = (edge[0] - reach * math.sin(lean), edge[1] - reach * math.cos(lean))
        arc = (
            f"M{plain(start[0])} {plain(start[1])}A{plain(reach)} {plain(reach)} 0 0 1 "
            f"{plain(edge[0])} {plain(edge[1] - reach)}"
        )
        parts.append(path(arc, stroke=colour, thick=1.2))
        parts.append(
            words(
                edge[0] + 6, edge[1] - reach + 5, text, theme, size=size, bold=True, colour=colour
            )
        )
    return parts


def _sizes(
    drawing: TipDrawing, centre: tuple[float, float], edge: tuple[float, float],
    ends: tuple[float, float], theme: Theme, size: float,
) -> list[str]:  # fmt: skip
    y, (x, top) = edge[1] + 20, centre
    parts = [line(at, edge[1], at, y + 4, theme.ink, thick=0.6) for at in (x, edge[0])]
    parts.append(line(x, top + 9, x, edge[1], theme.soft, thick=0.7, dash="3 3"))
    told = number(drawing.half_width_mm) + THIN + "mm"
    made, spots = dimension((x, y), (edge[0], y), told, theme, size=size)
    parts += made
    at = spots[0] if spots else ((x + edge[0]) / 2, y + 4 + size)
    parts.append(patched(at[0], at[1], told, theme, size=size))
    beside = ends[0] - 18
    parts += [
        line(beside - 4, top, x - 9, top, theme.soft, thick=0.7, dash="3 3"),
    ]
    told = number(drawing.height_mm) + THIN + "mm"
    made, _ = dimension((beside, top), (beside, edge[1]), told, theme, size=size)
    parts += made
    at = (max(beside, 40.0), (top + edge[1]) / 2 + 4)
    parts.append(patched(at[0], at[1], told, theme, size=size))
    return parts
