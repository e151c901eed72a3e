"""A plate in relief: its lines raised by what they leave the plane, magnified."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import floor, hypot, log10

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.flatness import Drawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Anchor, Theme, line, path, plain, svg, words
from retrue.figures.letters import wrap
from retrue.figures.prove.labels import Labels

SIDE, ABOVE, BELOW = 26.0, 50.0, 50.0
SKEW, DEPTH = 0.45, 0.5  # how far y leans to the right, how much it is foreshortened
RELIEF = {"phone": 64.0, "wide": 90.0, "paper": 76.0}  # height of the flatness, drawing units
DEEPEST = 150.0
LEAST = 1e-9
POSTS = 400  # of a cloud of points without lines, evenly chosen
APART = 6.0  # from mark to mark where a line keeps words away


@dataclass(frozen=True, slots=True)
class View:
    """From the plate to the drawing: seen from the south, from above."""

    left: float
    bottom: float
    x0: float
    y0: float
    units_mm: float
    units_um: float

    def at(self, x_mm: float, y_mm: float, height_um: float = 0.0) -> tuple[float, float]:
        """Where a point stands on the drawing."""
        x, y = x_mm - self.x0, y_mm - self.y0
        return (
            self.left + self.units_mm * (x + SKEW * y),
            self.bottom - self.units_mm * DEPTH * y - self.units_um * height_um,
        )


def draw(drawing: Drawing, *, theme: Theme, room: Room) -> str:
    """Draw a plate in relief.

    Parameters
    ----------
    drawing : Drawing
        Points, deviations and lines.
    theme : Theme
        Colours.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``.
    """
    wide, size = WIDTHS[room], 12.0 if room == "phone" else 13.0
    view, high = _view(drawing, wide, RELIEF[room])
    labels = Labels(wide, high, size, theme)
    parts = _plane(drawing, view, theme) + _relief(drawing, view, theme)
    _keep_lines_free(drawing, view, labels)
    parts += _ends(drawing, view, labels, theme)
    rows = [row for text in _notes(view) for row in wrap(text, wide - 16, size)]
    for index, row in enumerate(rows):
        parts.append(words(8, high + size + 1.35 * size * index, row, theme, size=size))
    high += 1.35 * size * len(rows) + 8
    label = say(
        "Relief of the plate over the minimum-zone plane: flat within {flatness} µm",
        flatness=number(drawing.flatness_um, 2),
    )
    return svg(parts + labels.parts, size=(wide, high), label=label, sort="figure relief")


def _view(drawing: Drawing, wide: float, relief: float) -> tuple[View, float]:
    """The view that fits the width, and the height that it needs without notes."""
    x0, y0 = min(drawing.x_mm), min(drawing.y_mm)
    long, deep = max(drawing.x_mm) - x0, max(drawing.y_mm) - y0
    across = max(long + SKEW * deep, LEAST)
    units = min((wide - 2 * SIDE) / across, DEEPEST / max(DEPTH * deep, LEAST))
    units_um = relief / max(drawing.flatness_um, LEAST)
    bottom = ABOVE + relief / 2 + units * DEPTH * deep
    left = (wide - units * across) / 2
    return View(left, bottom, x0, y0, units, units_um), bottom + relief / 2 + BELOW


def _plane(drawing: Drawing, view: View, theme: Theme) -> list[str]:
    """The middle of the minimum zone, as the outline of the plate."""
    (west, east), (south, north) = ((min(side), max(side)) for side in (drawing.x_mm, drawing.y_mm))
    corners = [
        view.at(x, y) for x, y in ((west, south), (east, south), (east, north), (west, north))
    ]
    outline = "M" + "L".join(f"{plain(x)} {plain(y)}" for x, y in corners) + "Z"
    return [path(outline, fill=theme.brass_tint, stroke=theme.brass, dash="5 3")]


def _relief(drawing: Drawing, view: View, theme: Theme) -> list[str]:
    points = list(zip(drawing.x_mm, drawing.y_mm, drawing.deviations_um, strict=True))
    parts = []
    if not drawing.chains:
        for x, y, height in points[:: len(points) // POSTS + 1]:
            parts.append(line(*view.at(x, y), *view.at(x, y, height), theme.blue, thick=1))
    for chain in drawing.chains:
        shape = "L".join("{} {}".format(*map(plain, view.at(*points[i]))) for i in chain)
        parts.append(path(f"M{shape}", stroke=theme.blue, thick=1.5))
    return parts


def _keep_lines_free(drawing: Drawing, view: View, labels: Labels) -> None:
    points = list(zip(drawing.x_mm, drawing.y_mm, drawing.deviations_um, strict=True))
    for chain in drawing.chains:
        for one, other in pairwise(chain):
            (x1, y1), (x2, y2) = view.at(*points[one]), view.at(*points[other])
            count = int(hypot(x2 - x1, y2 - y1) / APART) + 1
            for step in range(count + 1):
                share = step / count
                labels.keep_free(x1 + share * (x2 - x1), y1 + share * (y2 - y1), 1.5)


def _ends(drawing: Drawing, view: View, labels: Labels, theme: Theme) -> list[str]:
    """Highest and lowest point: post, dot and number."""
    heights = drawing.deviations_um
    parts = []
    for index in (heights.index(max(heights)), heights.index(min(heights))):
        x, y, height = drawing.x_mm[index], drawing.y_mm[index], heights[index]
        foot, head = view.at(x, y), view.at(x, y, height)
        parts.append(line(*foot, *head, theme.ink, thick=1))
        dot = f"M{plain(head[0] - 3)} {plain(head[1])}h6M{plain(head[0])} {plain(head[1] - 3)}v6"
        parts.append(path(dot, stroke=theme.ink, thick=2))
        text = f"{number(height, 2, signed=True)} µm"
        sides: tuple[tuple[float, Anchor], ...] = ((0, "middle"), (8, "end"), (-8, "start"))
        up, down = head[1] - 7, head[1] + labels.size + 7
        rows = [row for step in range(4) for row in _two(up, down, 10.0 * step, height)]
        spots = [(head[0] + dx, row, to) for row in rows for dx, to in sides]
        labels.put((text,), spots, bold=True)
    return parts


def _two(up: float, down: float, step: float, height: float) -> tuple[float, float]:
    """Baselines a step farther above and below a point, the side to which it lies first."""
    return (up - step, down + step) if height >= 0 else (down + step, up - step)


def _notes(view: View) -> list[str]:
    times = 1000 * view.units_um / view.units_mm  # µm against mm
    step = 10.0 ** (floor(log10(times)) - 1)
    return [
        say(
            "Seen from the south; heights drawn ×{times} over lengths.",
            times=number(round(times / step) * step),
        ),
        say("Dashed: the middle of the minimum zone."),
    ]
