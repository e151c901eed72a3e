"""The picture of a positioning test: both directions with their bands, and what is left after."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.positioning import PositioningDrawing
from retrue.figures.axes import BLUE, BLUE_TINT, BRASS, INK, LINE, Room, Sheet, caption
from retrue.figures.ink import Theme

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

HEIGHTS = {"phone": 400.0, "wide": 400.0, "paper": 320.0}


def draw(drawing: PositioningDrawing, *, theme: Theme, room: Room) -> str:
    """Draw mean lines with bands of two spreads, forward full and backward dashed.

    Parameters
    ----------
    drawing : PositioningDrawing
        Per target, micrometres.
    theme : Theme
        Colours of the place.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``.
    """
    sheet = Sheet(room, high=HEIGHTS[room])
    axes = sheet.axes
    axes.axhline(0, color=INK, linewidth=0.8)
    axes.grid(axis="y", color=LINE)
    places = np.array(drawing.targets)
    _way(axes, places, drawing.forward, drawing.forward_spread, forward=True)
    _way(axes, places, drawing.backward, drawing.backward_spread, forward=False)
    if drawing.entered:
        for values, style, mark in (
            (drawing.after_forward, "-", "o"), (drawing.after_backward, "--", "s"),
        ):  # fmt: skip
            axes.plot(places, values, color=BRASS, linestyle=style, linewidth=1.2, marker=mark,
                      markersize=4, markerfacecolor="none")  # fmt: skip
    axes.set_xlabel(caption(say("target, {unit}", unit=drawing.unit)))
    axes.set_ylabel(caption(say("is less should be, µm")))
    axes.locator_params(axis="x", nbins=5 if room == "phone" else 9)
    sheet.figure.legend(
        handles=_named(drawing), loc="outside upper left", ncols=2, frameon=False,
        fontsize=sheet.size, handlelength=1.8, columnspacing=1.0, borderaxespad=0.2,
    )  # fmt: skip
    return sheet.finish(theme, label=_label(drawing), sort="picture positioning")


def _way(
    axes: Axes,
    places: np.ndarray,
    means: tuple[float, ...],
    spreads: tuple[float, ...],
    *,
    forward: bool,
) -> None:
    mean, spread = np.array(means), np.array(spreads)
    if np.isnan(mean).any():
        return
    style, mark = ("-", ">") if forward else ("--", "<")
    if not np.isnan(spread).any():
        axes.fill_between(
            places, mean - 2 * spread, mean + 2 * spread, color=BLUE_TINT, linewidth=0
        )
        for edge in (mean - 2 * spread, mean + 2 * spread):
            axes.plot(places, edge, color=BLUE, linewidth=0.5, linestyle=style)
    axes.plot(places, mean, color=BLUE, linestyle=style, marker=mark, markersize=5)


def _named(drawing: PositioningDrawing) -> list[Line2D | Patch]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    named: list[Line2D | Patch] = []
    if not np.isnan(drawing.forward[0]):
        named.append(Line2D([], [], color=BLUE, marker=">", markersize=5,
                            label=caption(say("forward"))))  # fmt: skip
    if not np.isnan(drawing.backward[0]):
        named.append(Line2D([], [], color=BLUE, linestyle="--", marker="<", markersize=5,
                            label=caption(say("backward"))))  # fmt: skip
    if not np.isnan([*drawing.forward_spread, *drawing.backward_spread]).all():
        named.append(Patch(facecolor=BLUE_TINT, edgecolor=BLUE, linewidth=0.5,
                           label=caption(say("two spreads"))))  # fmt: skip
    if drawing.entered:
        named.append(Line2D([], [], color=BRASS, marker="o", markersize=4, markerfacecolor="none",
                            label=caption(say("after entering"))))  # fmt: skip
    return named


def _label(drawing: PositioningDrawing) -> str:
    size = drawing.accuracy
    text = (
        say("Deviations at {count} targets; accuracy {value} µm",
            count=len(drawing.targets), value=number(size, 1 if size >= 1 else 3))
        if size is not None
        else say("Deviations at {count} targets; the means range over {value} µm",
                 count=len(drawing.targets), value=number(drawing.systematic, 1))
    )  # fmt: skip
    if not drawing.entered:
        return say("{text}.", text=text)
    return say(
        "{text}; after entering the table the means range over {after} µm.",
        text=text,
        after=number(drawing.systematic_after, 1),
    )
