"""The swept circle from above: readings and lean, drawn far too large and saying how far."""

from __future__ import annotations

import math

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.said import amount
from retrue.cases.prove.sweep import SweepDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import wrap

ROUND = 82.0  # radius of the circle on the drawing
LARGEST = 26.0  # how far the largest reading stands off it
PLAN = 150.0  # half of the plan's side


def draw(drawing: SweepDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a sweep.

    Parameters
    ----------
    drawing : SweepDrawing
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
    wide = WIDTHS[room]
    beside = room != "phone"
    size = 13.0 if beside else 12.0
    x, y = (PLAN + 20 if beside else wide / 2), PLAN
    times = _magnification(drawing)
    parts = _axes(x, y, theme, size)
    parts += _fitted(drawing, x, y, times, theme)
    parts += _lean(drawing, x, y, theme)
    parts += _read(drawing, x, y, times, theme, size)
    left, top = (2 * PLAN + 50, 60.0) if beside else (12.0, 2 * PLAN + 16)
    told = _words(drawing, times)
    for text, colour in zip(told, (theme.ink, theme.blue, theme.brass, theme.soft), strict=True):
        for piece in wrap(text, wide - left - 12, size):
            parts.append(words(left, top, piece, theme, size=size, colour=colour))
            top += size * 1.4
        top += 3
    high = max(2 * PLAN, top) if beside else top
    return svg(parts, size=(wide, high), label=told[0], sort="picture sweep")


def _magnification(drawing: SweepDrawing) -> float:
    """One, two or five times a power of ten, so that the largest deviation has its room."""
    lean = drawing.radius / 1000 * math.hypot(drawing.tilt, drawing.nod)
    most = max([abs(one) for one in drawing.readings] + [lean, 1e-3])
    times = LARGEST / (most / 1000) / (ROUND / drawing.radius)
    power = 10.0 ** math.floor(math.log10(times))
    return max(step * power for step in (1, 2, 5) if step * power <= times)


def _off(drawing: SweepDrawing, height_um: float, times: float) -> float:
    return ROUND + height_um / 1000 * times * ROUND / drawing.radius


def _axes(x: float, y: float, theme: Theme, size: float) -> list[str]:
    far = PLAN - 12
    parts = [_circle(x, y, ROUND, theme.soft)]
    for way, name in (((1, 0), say("+X")), ((0, -1), say("+Y, back"))):
        parts.append(line(x, y, x + way[0] * far, y + way[1] * far, theme.line))
        if way[0]:
            parts.append(words(x + far, y - 5, name, theme, size=size, anchor="end"))
        else:
            parts.append(words(x + 5, y - far + size / 2, name, theme, size=size))
    parts.append(line(x - far, y, x, y, theme.line))
    parts.append(line(x, y, x, y + far, theme.line))
    return parts


def _circle(x: float, y: float, radius: float, stroke: str, fill: str = "none") -> str:
    return (
        f'<circle cx="{plain(x)}" cy="{plain(y)}" r="{plain(radius)}" fill="{fill}" '
        f'stroke="{stroke}" stroke-width="1"/>'
    )


def _fitted(drawing: SweepDrawing, x: float, y: float, times: float, theme: Theme) -> list[str]:
    points = []
    for turn in range(0, 361, 5):
        angle = math.radians(turn)
        lean = drawing.tilt * math.cos(angle) + drawing.nod * math.sin(angle)
        off = _off(drawing, lean * drawing.radius / 1000, times)
        points.append(f"{plain(x + off * math.cos(angle))} {plain(y - off * math.sin(angle))}")
    shape = "M" + "L".join(points) + "Z"
    return [path(shape, stroke=theme.brass, thick=1.6, dash="6 3")]


def _lean(drawing: SweepDrawing, x: float, y: float, theme: Theme) -> list[str]:
    """An arrow from the axis to where the top of the spindle leans."""
    angle = math.atan2(drawing.nod, drawing.tilt)
    tip = (x + 40 * math.cos(angle), y - 40 * math.sin(angle))
    parts = [line(x, y, *tip, theme.brass, thick=2)]
    for side in (-0.4, 0.4):
        back = angle + math.pi + side
        parts.append(
            line(*tip, tip[0] + 9 * math.cos(back), tip[1] - 9 * math.sin(back), theme.brass,
                 thick=2)
        )  # fmt: skip
    return [*parts, _circle(x, y, 3, theme.brass, theme.brass)]


def _read(
    drawing: SweepDrawing, x: float, y: float, times: float, theme: Theme, size: float
) -> list[str]:
    parts = []
    for place, (turn, reading) in enumerate(zip(drawing.angles, drawing.readings, strict=True)):
        angle = math.radians(turn)
        off = _off(drawing, reading, times)
        spot = (x + off * math.cos(angle), y - off * math.sin(angle))
        parts.append(_circle(*spot, 4, theme.blue, theme.blue))
        if len(drawing.angles) > 9 or turn % 360 in [one % 360 for one in drawing.angles[:place]]:
            continue
        out = max(off, ROUND) + 22
        text = number(reading, 1, signed=True)
        aside = 14 if abs(math.cos(angle)) < 0.2 else 0
        parts.append(
            words(
                x + out * math.cos(angle) - aside,
                y - out * math.sin(angle) + (19 if abs(math.sin(angle)) < 0.2 else 5),
                text,
                theme,
                size=size,
                anchor="end" if aside else "middle",
                colour=theme.blue,
            )
        )
    return parts


def _words(drawing: SweepDrawing, times: float) -> tuple[str, str, str, str]:
    largest = amount(drawing.largest, "µm")
    if drawing.uncertainty is not None:
        largest = say(
            "{value}, give or take {doubt}",
            value=largest,
            doubt=number(drawing.uncertainty, 1),
        )
    return (
        say("{largest} on a 300 mm circle, seen from above.", largest=largest),
        say("Dots: readings in µm, from their mean; outward is a table that stands higher."),
        say(
            "Broken line: the lean alone. The arrow: where the top of the spindle leans, tilt "
            "{tilt}, nod {nod}.",
            tilt=amount(drawing.tilt, "µm/m", 1, signed=True),
            nod=amount(drawing.nod, "µm/m", 1, signed=True),
        ),
        say(
            "Radius {radius}; heights drawn {times} times too large.",
            radius=amount(drawing.radius, "mm", 0),
            times=number(times),
        ),
    )
