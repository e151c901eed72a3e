"""The circle, magnified: what was measured, what the causes explain, and each cause alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.circle_drawing import Alone, CircleDrawing, Trace
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import width, wrap

STEP = 0.8  # drawing units between two points of a line; closer ones cannot be seen
LINE_HIGH = 1.3  # of the letters
DASH = {"ccw": "", "cw": "4 2"}
DOTS = "1.5 3"
COLUMNS = {"phone": 2, "wide": 4, "paper": 3}
RADIUS = {"phone": 104.0, "wide": 150.0, "paper": 130.0}
SMALL = 40.0  # radius of the small circles
SWING = 0.30  # of the radius: the largest deviation as drawn
MARGIN = 12.0
SPARE = 1.5  # a gap wider than this many usual steps is left open


def draw(drawing: CircleDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a circular test.

    Parameters
    ----------
    drawing : CircleDrawing
        Lines in degrees and micrometres.
    theme : Theme
        Page or paper.
    room : "phone", "wide" or "paper"
        Width; a phone gets its own drawing.

    Returns
    -------
    str
        One ``<svg>``.
    """
    size = 12.0 if room == "phone" else 13.0
    wide, radius = WIDTHS[room], RADIUS[room]
    middle, top = wide / 2, MARGIN + size + radius * (1 + SWING) + 8
    parts, scale = _main(drawing, theme, (middle, top), radius, size)
    below = top + radius * (1 + SWING) + size + 14
    told = _told(drawing, radius, scale)
    legend, below = _legend(drawing, told, theme, wide, below, size)
    small, below = _small(drawing.causes, theme, wide, below, size, COLUMNS[room])
    label = say(
        "Circle in {first}{second}, {deviation} µm out of round, deviations magnified",
        first=drawing.axes[0],
        second=drawing.axes[1],
        deviation=number(drawing.deviation_um, 1),
    )
    return svg(
        parts + legend + small, size=(wide, below + MARGIN), label=label, sort="figure circle"
    )


def _main(
    drawing: CircleDrawing, theme: Theme, at: tuple[float, float], radius: float, size: float
) -> tuple[list[str], float]:
    """The large circle; its scale is drawing units for each micrometre."""
    largest = max((abs(v) for t in drawing.measured for v in t.off_um), default=0.0) or 1.0
    ring = _round_step(largest)
    scale = radius * SWING / max(largest, ring)
    x, y = at
    reach = radius * (1 + SWING) + 6
    parts = [
        line(x - reach, y, x + reach, y, theme.line),
        line(x, y - reach, x, y + reach, theme.line),
        words(x + reach + 3, y + size * 0.35, f"+{drawing.axes[0]}", theme, size=size),
        words(x, y - reach - 4, f"+{drawing.axes[1]}", theme, size=size, anchor="middle"),
        _circle(x, y, radius, theme.soft, 0.8),
    ]
    for off in (-ring, ring):
        parts.append(_circle(x, y, radius + scale * off, theme.line, 0.6))
    for trace in drawing.measured:
        parts.append(_line(trace, at, radius, scale, theme.blue, 1.2, DASH[trace.way]))
    for trace in drawing.fitted:
        parts.append(_line(trace, at, radius, scale, theme.brass, 1.4, DOTS))
    parts.append(_dimension(drawing, theme, at, size))
    return parts, scale


def _dimension(drawing: CircleDrawing, theme: Theme, at: tuple[float, float], size: float) -> str:
    """The main number in the middle of the circle."""
    x, y = at
    value = say("{value} µm", value=number(drawing.deviation_um, 1))
    told = say("out of round")
    room = width(told, size) + 12
    box = (
        f"M{plain(x - room / 2)} {plain(y - 1.6 * size)}h{plain(room)}v{plain(3.1 * size)}"
        f"h{plain(-room)}Z"
    )
    return (
        path(box, fill=theme.sheet)
        + words(x, y - 0.2 * size, value, theme, size=size + 2, anchor="middle", bold=True)
        + words(x, y + 1.1 * size, told, theme, size=size, anchor="middle", colour=theme.soft)
    )


def _round_step(largest: float) -> float:
    """1, 2 or 5 times a power of ten, not above the largest deviation."""
    power = 10.0 ** math.floor(math.log10(largest))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= largest * (1 + 1e-9))


def _told(drawing: CircleDrawing, radius: float, scale: float) -> str:
    """How much larger than the circle the deviations are drawn, and what a ring means."""
    times = scale * 1000 / (radius / drawing.radius_mm)
    power = 10 ** math.floor(math.log10(times))
    largest = max((abs(v) for t in drawing.measured for v in t.off_um), default=0.0) or 1.0
    ring = _round_step(largest)
    return say(
        "Radius {radius} mm; deviations drawn about {times} times larger than the circle; rings "
        "{ring} µm apart.",
        radius=number(drawing.radius_mm),
        times=number(round(times / power * 10) * power / 10),
        ring=number(ring, 0 if ring >= 1 else 2),
    )


def _legend(
    drawing: CircleDrawing, told: str, theme: Theme, wide: float, top: float, size: float
) -> tuple[list[str], float]:
    """What the lines mean, and the magnification in words."""
    names = {
        "ccw": say("measured, counter-clockwise"),
        "cw": say("measured, clockwise"),
    }
    entries = [(names[t.way], theme.blue, DASH[t.way]) for t in reversed(drawing.measured)]
    entries.append((say("all causes together, fitted"), theme.brass, DOTS))
    parts: list[str] = []
    for name, colour, dash in entries:
        high = top - 0.35 * size
        parts.append(line(MARGIN, high, MARGIN + 26, high, colour, thick=1.4, dash=dash))
        parts.append(words(MARGIN + 34, top, name, theme, size=size))
        top += LINE_HIGH * size
    top += 0.3 * size
    for text in wrap(told, wide - 2 * MARGIN, size):
        parts.append(words(MARGIN, top, text, theme, size=size, colour=theme.soft))
        top += LINE_HIGH * size
    return parts, top


def _small(
    causes: Sequence[Alone], theme: Theme, wide: float, top: float, size: float, columns: int
) -> tuple[list[str], float]:
    """Each cause alone, all at one magnification."""
    if not causes:
        return [], top
    top += size
    heading = say("Each cause alone, all magnified alike:")
    parts = [words(MARGIN, top, heading, theme, size=size, bold=True)]
    top += 0.6 * size
    largest = max(abs(v) for cause in causes for t in cause.traces for v in t.off_um) or 1.0
    scale = SMALL * 0.45 / largest
    room = (wide - 2 * MARGIN) / columns
    for start in range(0, len(causes), columns):
        row = causes[start : start + columns]
        deepest = top
        for place, cause in enumerate(row):
            x, y = MARGIN + (place + 0.5) * room, top + SMALL * 1.5
            parts.append(_circle(x, y, SMALL, theme.line, 0.8))
            for trace in cause.traces:
                lines = _line(trace, (x, y), SMALL, scale, theme.brass, 1.0, DASH[trace.way])
                parts.append(lines)
            under = y + SMALL * 1.5 + size
            for text in wrap(cause.name, room - 8, size):
                parts.append(words(x, under, text, theme, size=size, anchor="middle"))
                under += LINE_HIGH * size
            parts.append(words(x, under, cause.size, theme, size=size, anchor="middle", bold=True))
            deepest = max(deepest, under)
        top = deepest + 4
    return parts, top


def _circle(x: float, y: float, radius: float, stroke: str, thick: float) -> str:
    r = plain(radius)
    shape = (
        f"M{plain(x - radius)} {plain(y)}a{r} {r} 0 1 0 {plain(2 * radius)} 0"
        f"a{r} {r} 0 1 0 {plain(-2 * radius)} 0Z"
    )
    return path(shape, stroke=stroke, thick=thick)


def _line(
    trace: Trace,
    at: tuple[float, float],
    radius: float,
    scale: float,
    stroke: str,
    thick: float,
    dash: str = "",
) -> str:
    """A line around the circle, open where nothing was measured."""
    kept = thinned(trace, int(2 * math.pi * radius / STEP))
    if not kept:
        return ""
    degrees = [angle for angle, _ in kept]
    steps = sorted(b - a for a, b in pairwise(degrees))
    usual = steps[len(steps) // 2] if steps else 360.0
    open_from = max(SPARE * 2 * usual, 6.0)
    shape, before = [], -math.inf
    for angle, off in kept:
        turned, away = math.radians(angle), radius + scale * off
        x, y = at[0] + away * math.cos(turned), at[1] - away * math.sin(turned)
        shape.append(f"{'L' if angle - before <= open_from else 'M'}{plain(x)} {plain(y)}")
        before = angle
    if degrees[0] + 360 - degrees[-1] <= open_from and "M" not in "".join(shape[1:]):
        shape.append("Z")
    return path("".join(shape), stroke=stroke, thick=thick, dash=dash)


def thinned(trace: Trace, most: int) -> list[tuple[float, float]]:
    """At most so many points of a line: of each stretch its outermost and its innermost."""
    points = list(zip(trace.degrees, trace.off_um, strict=True))
    if len(points) <= most:
        return points
    stretches = max(most // 2, 1)
    made: list[tuple[float, float]] = []
    for place in range(stretches):
        some = points[len(points) * place // stretches : len(points) * (place + 1) // stretches]
        ends = {min(some, key=lambda p: p[1]), max(some, key=lambda p: p[1])}
        made += sorted(ends)
    return made
