"""The picture of an end float: both ways, run after run, and the distance between their means."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.end_float import EndFloatDrawing
from retrue.figures.axes import BLUE, BRASS, INK, Room, Sheet, caption
from retrue.figures.ink import Theme


def draw(drawing: EndFloatDrawing, *, theme: Theme, room: Room) -> str:
    """Draw one end float.

    Parameters
    ----------
    drawing : EndFloatDrawing
        Readings of both ways.
    theme : Theme
        Of a page or of paper.
    room : "phone", "wide" or "paper"
        Where it stands.

    Returns
    -------
    str
        One ``<svg>``.
    """
    sheet = Sheet(room, high=220)
    axes = sheet.axes
    runs = max(len(drawing.pushed), len(drawing.pulled))
    edge = runs + 0.6
    for values, mark, name in (
        (drawing.pushed, "^", say("pushed")),
        (drawing.pulled, "v", say("pulled")),
    ):
        mean = sum(values) / len(values)
        axes.plot(range(1, len(values) + 1), values, mark, color=BLUE, markersize=6)
        axes.plot([0.6, edge], [mean, mean], color=BRASS, linewidth=1.4)
        axes.text(edge + 0.75, mean, caption(name), va="center", color=INK)
    means = [sum(values) / len(values) for values in (drawing.pushed, drawing.pulled)]
    axes.annotate(
        "",
        xy=(edge + 0.35, means[0]),
        xytext=(edge + 0.35, means[1]),
        arrowprops={"arrowstyle": "<->", "color": INK, "linewidth": 1.0},
    )
    size = number(drawing.float_um, 1)
    axes.set_title(caption(say("{size} µm between the means", size=size)), loc="left")
    axes.set_xlim(0.4, edge + (3.0 if room == "phone" else 1.8))
    axes.set_xticks(range(1, runs + 1))
    axes.margins(y=0.2)
    axes.set_xlabel(caption(say("run")))
    axes.set_ylabel(caption("µm"))
    label = say("End float {size} µm.", size=size)
    return sheet.finish(theme, label=label, sort=f"picture float-{room}")
