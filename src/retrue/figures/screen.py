"""The best lots of a catalogue: what each may bring against what is at risk in it."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import money, number
from retrue.base.say import say
from retrue.cases.screen.drawing import LotPoint, ScreenDrawing
from retrue.figures.axes import BLUE, BRASS, INK, SHEET, SOFT, Room, Sheet, caption
from retrue.figures.ink import Box, Theme
from retrue.figures.letters import width

HIGH: dict[Room, float] = {"phone": 320.0, "wide": 340.0, "paper": 250.0, "broad": 360.0}
TICKS: dict[Room, int] = {"phone": 3, "wide": 6, "paper": 5, "broad": 8}
ROOM = 1.14  # of the axes, so that no point stands on the edge
LEFT, FOOT = 74.0, 56.0  # about what amounts and words beside the axes take, drawing units
RATIOS = (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)  # gained for each one at risk
MOST_RAYS = 2
OFFSETS = ((7.0, -4.0), (-7.0, -4.0), (7.0, 8.0), (-7.0, 8.0), (7.0, -17.0), (-7.0, -17.0),
           (7.0, 20.0), (-7.0, 20.0))  # fmt: skip


def rows(drawing: ScreenDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers as a table.

    Parameters
    ----------
    drawing : ScreenDrawing

    Returns
    -------
    tuple of (str, str)
        Lot, and what it may bring for what is at risk; best first.

    Examples
    --------
    >>> point = LotPoint(number="12", at_risk=9000.0, gain=1800.0)
    >>> rows(ScreenDrawing(points=(point,), currency="EUR"))[0][0]
    'lot 12'
    """
    return tuple(
        (
            _name(one),
            say("{gain} for {risk} at risk", gain=money(one.gain, drawing.currency),
                risk=money(one.at_risk, drawing.currency)),
        )
        for one in drawing.points
    )  # fmt: skip


def _name(one: LotPoint) -> str:
    return say("lot {number}", number=one.number)


def draw(drawing: ScreenDrawing, *, theme: Theme, room: Room) -> str:
    """Draw each lot as a point: to the right more at risk, upwards more to gain.

    Parameters
    ----------
    drawing : ScreenDrawing
    theme : Theme
    room : "phone", "wide", "paper" or "broad"

    Returns
    -------
    str
        One ``<svg>``: points in brass (estimated) with the number of their lot; thin lines join
        what brings the same for each one at risk.
    """
    sheet = Sheet(room, high=HIGH[room])
    axes = sheet.axes
    wide = ROOM * max(one.at_risk for one in drawing.points)
    high = ROOM * max(one.gain for one in drawing.points)
    for ratio in _ratios(drawing):
        end = min(wide, high / ratio)
        axes.plot([0, end], [0, ratio * end], color=SOFT, linewidth=0.9, linestyle=(0, (4, 3)))
        up = ratio * wide > high
        words = say("{gain} for each 100", gain=number(100 * ratio))
        axes.annotate(caption(words), (end, ratio * end), xytext=(-4, -2 if up else 3),
                      ha="right", va="top" if up else "bottom", textcoords="offset points",
                      color=SOFT)  # fmt: skip
    at_risk, gain = ([one.at_risk for one in drawing.points], [one.gain for one in drawing.points])
    axes.plot(at_risk, gain, "o", color=BRASS, markersize=7)
    for one, (x, y) in zip(drawing.points, _beside(drawing, sheet, wide, high), strict=True):
        best = one is drawing.points[0]
        axes.annotate(caption(_name(one)), (one.at_risk, one.gain), xytext=(x, y),
                      ha="left" if x > 0 else "right", textcoords="offset points",
                      color=BLUE if best else INK, fontweight="bold" if best else "normal",
                      bbox={"facecolor": SHEET, "edgecolor": "none", "pad": 0.6})  # fmt: skip
    axes.set_xlim(0, wide)
    axes.set_ylim(0, high)
    axes.locator_params(axis="x", nbins=TICKS[room])
    axes.locator_params(axis="y", nbins=5)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(lambda value, _: money(value, drawing.currency))
    axes.set_xlabel(caption(say("at risk")))
    axes.set_ylabel(caption(say("expected gain")))
    told = "; ".join(f"{name}: {value}" for name, value in rows(drawing))
    label = f"{say('The best lots, gain against what is at risk')}: {told}"
    return sheet.finish(theme, label=label, sort=f"picture screen-{room}")


def _ratios(drawing: ScreenDrawing) -> tuple[float, ...]:
    """Round ratios between the poorest and the best of the points, the best ones."""
    ratios = [one.gain / one.at_risk for one in drawing.points]
    inside = [one for one in RATIOS if min(ratios) <= one <= max(ratios)]
    return tuple(inside[-MOST_RAYS:])


def _beside(
    drawing: ScreenDrawing, sheet: Sheet, wide: float, high: float
) -> Iterator[tuple[float, float]]:
    """Where each name stands beside its point: the first place that is free, the best lot first."""
    across = (sheet.wide - LEFT) / wide
    upward = (sheet.high - FOOT) / high
    dots = [(one.at_risk * across, one.gain * upward) for one in drawing.points]
    taken = [Box(x - 5, y - 5, x + 5, y + 5) for x, y in dots]
    for one, (x, y) in zip(drawing.points, dots, strict=True):
        places = [
            (offset, _box(x + offset[0], y + offset[1], _name(one), sheet.size, offset[0] > 0))
            for offset in OFFSETS
        ]
        inside = [
            (offset, box) for offset, box in places if box.left >= 0 and box.right <= wide * across
        ]
        free = [pair for pair in inside if not any(_meet(pair[1], other) for other in taken)]
        offset, box = (free or inside or places)[0]
        taken.append(box)
        yield offset


def _box(x: float, y: float, text: str, size: float, rightward: bool) -> Box:
    long = width(text, size)
    return Box(x if rightward else x - long, y - 3, x + long if rightward else x, y + size)


def _meet(one: Box, other: Box) -> bool:
    return (
        one.left < other.right
        and other.left < one.right
        and one.top < other.bottom
        and other.top < one.bottom
    )
