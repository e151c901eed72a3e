"""The picture of a squareness: the two axes with their angle drawn out, or two traces parted."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.square_read import SquareDrawing
from retrue.figures.axes import BLUE, BRASS, LINE, Room, Sheet, caption
from retrue.figures.ink import Theme, line, plain, svg, words

LEAN_DEG = 9.0  # how far the drawn axis leans, whatever the angle: the magnification says the rest
SIZES = {"phone": (340.0, 300.0), "wide": (680.0, 320.0), "paper": (520.0, 300.0)}


def draw(drawing: SquareDrawing, *, theme: Theme, room: Room) -> str:
    """Draw one squareness.

    Parameters
    ----------
    drawing : SquareDrawing
        An angle, or traces along a straightedge.
    theme : Theme
        Of a page or of paper.
    room : "phone", "wide" or "paper"
        Where it stands.

    Returns
    -------
    str
        One ``<svg>``.
    """
    if drawing.traces:
        return _traces(drawing, theme, room)
    return _angle(drawing, theme, room)


def _angle(drawing: SquareDrawing, theme: Theme, room: Room) -> str:
    wide, high = SIZES[room]
    first, second = drawing.axes[0], drawing.axes[1]
    corner, arm = (wide * 0.42, high - 60), min(high - 110, wide * 0.42)
    lean = math.radians(LEAN_DEG) * ((drawing.um_per_m > 0) - (drawing.um_per_m < 0))
    tip = corner[0] - arm * math.sin(lean), corner[1] - arm * math.cos(lean)
    end = corner[0] + arm, corner[1]
    number_told = number(drawing.um_per_m, 1, signed=True)
    parts = [
        line(*corner, corner[0], corner[1] - arm, theme.line, thick=1.2, dash="5 4"),
        line(*corner, *end, theme.ink, thick=2),
        line(*corner, *tip, theme.blue, thick=2.4),
        words(end[0] + 8, end[1] + 5, f"+{first}", theme, size=14, bold=True),
        words(tip[0], tip[1] - 10, f"+{second}", theme, size=14, bold=True, anchor="middle"),
        words(12, 22, say("{angle} µm/m over 90°", angle=number_told), theme, size=14, bold=True),
        words(12, high - 14, _scale_words(drawing), theme, size=12, colour=theme.soft),
    ]
    if drawing.doubt is not None:
        told = say("give or take {doubt}", doubt=number(drawing.doubt, 1))
        parts.append(words(12, 42, told, theme, size=13, colour=theme.soft))
    label = say(
        "The angle from {a} to {b} is {angle} µm/m over 90 degrees.",
        a=first,
        b=second,
        angle=plain(drawing.um_per_m),
    )
    return svg(parts, size=(wide, high), label=label, sort=f"picture square-{room}")


def _scale_words(drawing: SquareDrawing) -> str:
    if abs(drawing.um_per_m) < 0.05:
        return say("drawn square: there is nothing to draw out")
    times = math.tan(math.radians(LEAN_DEG)) * 1e6 / abs(drawing.um_per_m)
    return say("lean drawn {times} times", times=number(float(f"{times:.1e}")))


def _traces(drawing: SquareDrawing, theme: Theme, room: Room) -> str:
    names = {"motion": (say("motion"), BLUE, "-"), "edge": (say("straightedge"), BRASS, "--")}
    sheet = Sheet(room, high=240)
    axes = sheet.axes
    axes.axhline(0, color=LINE, linewidth=0.8)
    for sort, xs, ys in drawing.traces:
        name, colour, dash = names[sort]
        axes.plot(xs, ys, dash, color=colour, marker="o", markersize=4, label=caption(name))
    axes.legend(frameon=False, loc="upper left", ncols=2, bbox_to_anchor=(0, 1.18))
    axes.set_xlabel(caption("mm"))
    axes.set_ylabel(caption("µm"))
    label = say("The motion bends by {most} µm.", most=number(drawing.largest, 1))
    return sheet.finish(theme, label=label, sort=f"picture square-{room}")
