"""The picture of an alignment: readings along a length with their line, or an offset to scale."""

from __future__ import annotations

import math

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.alignment_bar import AlignmentDrawing
from retrue.figures.axes import BLUE, BRASS, INK, LINE, Room, Sheet, caption
from retrue.figures.ink import Theme


def draw(drawing: AlignmentDrawing, *, theme: Theme, room: Room) -> str:
    """Draw one alignment.

    Parameters
    ----------
    drawing : AlignmentDrawing
        Series along a length, or an offset.
    theme : Theme
        Of a page or of paper.
    room : "phone", "wide" or "paper"
        Where it stands.

    Returns
    -------
    str
        One ``<svg>``.
    """
    label = say("Out of line by {most} µm.", most=number(drawing.largest, 1))
    if drawing.series:
        sheet = _along(drawing, room)
    else:
        sheet = _offset(drawing, room)
    return sheet.finish(theme, label=label, sort=f"picture alignment-{room}")


def _along(drawing: AlignmentDrawing, room: Room) -> Sheet:
    names = {
        "height": say("on top of the bar"),
        "side": say("at its side"),
        "diameter": say("diameter less nominal"),
    }
    sheet = Sheet(room, high=60 + 150 * len(drawing.series), rows=len(drawing.series))
    for axes, (plane, xs, ys, start, slope) in zip(sheet.panels, drawing.series, strict=True):
        ends = np.array([min(xs), max(xs)])
        axes.axhline(0, color=LINE, linewidth=0.8)
        axes.plot(ends, start + slope * ends / 1000, color=BRASS, linewidth=1.8)
        axes.plot(xs, ys, "o", color=BLUE, markersize=5)
        axes.set_title(caption(names[plane]), loc="left")
        axes.set_ylabel(caption("µm"))
        axes.margins(0.08, 0.18)
    sheet.panels[-1].set_xlabel(caption(say("mm from the spindle; dots read, line fitted")))
    return sheet


def _offset(drawing: AlignmentDrawing, room: Room) -> Sheet:
    sheet = Sheet(room, high=300)
    axes = sheet.axes
    reach = 1.35 * max(drawing.largest + (drawing.doubt or 0.0), 2.0)
    turn = np.linspace(0, 2 * math.pi, 181)
    axes.axhline(0, color=LINE, linewidth=0.8)
    axes.axvline(0, color=LINE, linewidth=0.8)
    axes.plot([0], [0], "+", color=INK, markersize=16)
    axes.annotate(
        "",
        xy=(drawing.side, drawing.height),
        xytext=(0, 0),
        arrowprops={"arrowstyle": "-|>", "color": BLUE, "linewidth": 1.6},
    )
    if drawing.doubt:
        ring = drawing.side + drawing.doubt * np.cos(turn)
        axes.plot(ring, drawing.height + drawing.doubt * np.sin(turn), color=BRASS, linewidth=1.2)
    axes.set_xlim(-reach, reach)
    axes.set_ylim(-reach, reach)
    axes.set_aspect("equal")
    axes.set_xlabel(caption(say("µm, towards you to the right")))
    axes.set_ylabel(caption(say("µm, up")))
    axes.set_title(caption(say("from the spindle’s axis; ring: give or take")), loc="left")
    return sheet
