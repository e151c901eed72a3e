"""A line's deviations from straight, magnified, with the zone that holds them."""

from __future__ import annotations

from math import floor, log10

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.straightness import Drawing
from retrue.figures.axes import BLUE, BRASS, BRASS_TINT, INK, Room, Sheet, caption
from retrue.figures.ink import Theme

HIGH = {"phone": 250.0, "wide": 300.0, "paper": 260.0}
LETTERS = "B612"  # annotations are made outside the sheet's own settings
MARKED = 60  # points up to which each is marked


def draw(drawing: Drawing, *, theme: Theme, room: Room) -> str:
    """Draw the deviations along the line.

    Parameters
    ----------
    drawing : Drawing
        Positions and deviations.
    theme : Theme
        Colours.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``.
    """
    sheet = Sheet(room, high=HIGH[room])
    axes = sheet.axes
    x, y = drawing.positions_mm, drawing.deviations_um
    high, low = max(y), min(y)
    room_above = 0.45 * max(high - low, 0.1)
    axes.set_ylim(low - 0.15 * max(high - low, 0.1), high + room_above)
    axes.margins(x=0.03)
    if drawing.window_mm is not None:
        start, end = drawing.window_mm
        axes.axvspan(start, end, color=BRASS_TINT, linewidth=0)
        axes.annotate(
            caption(say("worst stretch")), ((start + end) / 2, axes.get_ylim()[1]),
            xytext=(0, -2), textcoords="offset points",
            ha=_side((start + end) / 2, x[0], x[-1]), va="top", color=INK,
            fontsize=sheet.size, fontfamily=LETTERS,
        )  # fmt: skip
    for edge in (high, low):
        axes.axhline(edge, color=BRASS, linewidth=1.2, linestyle=(0, (5, 3)))
    axes.axhline(0, color=INK, linewidth=0.6)
    axes.plot(x, y, color=BLUE, marker="o" if len(x) <= MARKED else "", markersize=4)
    told = say("zone {error} µm wide", error=number(drawing.error_um, 2))
    axes.annotate(
        caption(told), ((x[0] + x[-1]) / 2, high), xytext=(0, 5), textcoords="offset points",
        ha="center", va="bottom", color=BRASS, fontsize=sheet.size, fontfamily=LETTERS,
    )  # fmt: skip
    axes.set_ylabel(caption(say("µm from straight")))
    axes.set_xlabel(caption(say("mm along the line")))
    times = _magnification(sheet)
    axes.set_xlabel(caption(say("mm along the line; heights drawn ×{times}", times=times)))
    label = say(
        "Deviations from the {line} line over {length} mm: {error} µm",
        line=drawing.reference,
        length=number(x[-1] - x[0]),
        error=number(drawing.error_um, 2),
    )
    return sheet.finish(theme, label=label, sort="figure straightness")


def _side(place: float, start: float, end: float) -> str:
    """To which side words at a place of the line grow, so that they stay inside."""
    share = (place - start) / (end - start)
    return "left" if share < 0.25 else "right" if share > 0.75 else "center"


def _magnification(sheet: Sheet) -> str:
    """How many times heights are drawn larger than lengths, in two figures."""
    sheet.figure.draw_without_rendering()
    to = sheet.axes.transData.transform
    (left, low), (right, high) = to((0, 0)), to((1, 1))
    times = 1000 * (high - low) / (right - left)  # µm against mm
    step = 10.0 ** (floor(log10(times)) - 1)
    return number(round(times / step) * step)
