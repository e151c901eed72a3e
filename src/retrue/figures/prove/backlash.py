"""Three places of an axis: where the slide stops from below and from above."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.backlash import BacklashDrawing
from retrue.cases.prove.said import amount
from retrue.figures.axes import BLUE, BLUE_TINT, BRASS, INK, LINE, Room, Sheet, caption
from retrue.figures.ink import Theme

ASIDE = 0.16  # how far the two sides stand from the middle of a place


def draw(drawing: BacklashDrawing, *, theme: Theme, room: Room) -> str:
    """Draw lost motion at three places.

    Parameters
    ----------
    drawing : BacklashDrawing
        Of a proof.
    theme : Theme
        Colours of page or paper.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``.
    """
    sheet = Sheet(room, high=300 if room == "phone" else 320)
    for place in range(len(drawing.places)):
        _place(sheet, drawing, place)
    axes = sheet.axes
    axes.axhline(0, color=LINE, linewidth=0.8, zorder=0)
    axes.set_xticks(range(len(drawing.places)), [caption(one) for one in drawing.places])
    axes.set_xlim(-0.5, len(drawing.places) - 0.4)
    axes.margins(y=0.16)
    axes.set_ylabel(caption(say("stops at, µm from half way")))
    axes.set_title(caption(_legend(drawing, room)), loc="left", wrap=True)
    return sheet.finish(theme, label=_label(drawing), sort="picture backlash")


def _place(sheet: Sheet, drawing: BacklashDrawing, place: int) -> None:
    """Readings of both sides as wedges that point the way of travel, and the span between."""
    axes, half = sheet.axes, drawing.reversals[place] / 2
    for side, mark, readings in (
        (-ASIDE, ">", drawing.forward[place]),
        (ASIDE, "<", drawing.backward[place]),
    ):
        level = -half if side < 0 else half
        axes.plot([place + side - 0.1, place + side + 0.1], [level, level], color=BLUE)
        axes.plot(
            [place + side] * len(readings), list(readings), mark, color=BLUE, markersize=6,
            markerfacecolor=BLUE_TINT, linestyle="none",
        )  # fmt: skip
    axes.annotate(
        "",
        xy=(place, half),
        xytext=(place, -half),
        arrowprops={"arrowstyle": "<->", "color": INK, "linewidth": 0.8, "shrinkA": 0,
                    "shrinkB": 0},
    )  # fmt: skip
    axes.annotate(
        caption(number(drawing.reversals[place], 1)),
        (place, half),
        xytext=(0, 7 if half >= 0 else -14),
        textcoords="offset points",
        ha="center",
        color=BLUE,
    )
    if drawing.left:
        rest = drawing.left[place] / 2
        for level in {rest, -rest}:
            axes.plot([place - 0.07, place + 0.07], [level, level], color=BRASS, linewidth=2.4)


def _legend(drawing: BacklashDrawing, room: Room) -> str:
    told = [say("left: come to from below, right: from above")]
    if drawing.left:
        told.append(say("short bars: what is left after the setting"))
    return ("\n" if room == "phone" else "; ").join(told)


def _label(drawing: BacklashDrawing) -> str:
    most = max(drawing.reversals, key=abs)
    value = amount(most, "µm")
    if drawing.doubt is not None:
        value = say("{value}, give or take {doubt}", value=value, doubt=number(drawing.doubt, 1))
    return say(
        "Axis {axis}: {value} lost at reversal where it is most; at {places}.",
        axis=drawing.axis,
        value=value,
        places=", ".join(
            f"{place} {number(one, 1)}"
            for place, one in zip(drawing.places, drawing.reversals, strict=True)
        ),
    )
