"""The picture of a drift: what was read over the minutes, and the curve it follows to rest."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.drift import DriftDrawing
from retrue.figures.axes import BLUE, BRASS, INK, LINE, SOFT, Room, Sheet, caption
from retrue.figures.ink import Theme

MARKS = ("o", "s", "^", "D", "v")
MOST_NAMED = 5


def draw(drawing: DriftDrawing, *, theme: Theme, room: Room) -> str:
    """Draw one drift.

    Parameters
    ----------
    drawing : DriftDrawing
        Curves of all sensors.
    theme : Theme
        Of a page or of paper.
    room : "phone", "wide" or "paper"
        Where it stands.

    Returns
    -------
    str
        One ``<svg>``.
    """
    sheet = Sheet(room, high=260)
    axes = sheet.axes
    axes.axvline(60, color=LINE, linewidth=0.8)
    for index, (name, minutes, values, fitted) in enumerate(drawing.curves):
        if fitted:
            axes.plot(drawing.times, fitted, color=BRASS, linewidth=1.6)
        thin = max(1, len(values) // 300)
        axes.plot(
            minutes[::thin], values[::thin], MARKS[index % len(MARKS)], color=BLUE, markersize=4
        )
        if len(drawing.curves) > 1 and index < MOST_NAMED:
            axes.annotate(
                caption(name), (minutes[-1], values[-1]), xytext=(6, 0),
                textcoords="offset points", va="center", color=INK,
            )  # fmt: skip
    if drawing.rest_minutes and drawing.rest_minutes <= drawing.times[-1]:
        axes.axvline(drawing.rest_minutes, color=SOFT, linewidth=0.9, linestyle="--")
    axes.set_title(caption(_title(drawing)), loc="left")
    axes.set_xlabel(caption(say("minutes; dots read, line fitted")))
    axes.set_ylabel(caption("µm"))
    axes.margins(0.06, 0.15)
    label = say("Drift of {most} µm in the first hour.", most=number(drawing.largest, 1))
    return sheet.finish(theme, label=label, sort=f"picture drift-{room}")


def _title(drawing: DriftDrawing) -> str:
    if drawing.rest_minutes is None:
        return say("not at rest when the test ended")
    return say("as good as at rest after {n} min", n=number(drawing.rest_minutes))
