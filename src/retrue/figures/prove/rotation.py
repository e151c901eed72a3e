"""A spindle's wander round the turn, magnified: what repeats, what does not, and the ball."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.rotation import RotationDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import width, wrap

RADIUS = {"phone": 94.0, "wide": 150.0, "paper": 125.0}
SWING = 0.34  # of the radius: the largest deviation as drawn
MARGIN = 12.0
LINE_HIGH = 1.3  # of the letters
FEW = 72  # places: each is marked
MANY = 720  # places: of more, each stretch keeps the one farthest from the circle
DASH = "5 3"
Entry = tuple[str, str, str]  # words, colour, dash; no dash and the tint of a band: a block


def draw(drawing: RotationDrawing, *, theme: Theme, room: Room) -> str:
    """Draw a spindle's rotation.

    Parameters
    ----------
    drawing : RotationDrawing
        Degrees and micrometres.
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
    reach = radius * (1 + SWING) + 8
    at = (wide / 2, MARGIN + 1.5 * size + reach)
    largest = max(abs(v) for trace in _traces(drawing) for v in trace) or 1.0
    ring = ring_um(largest)
    scale = radius * SWING / max(largest, ring)
    parts = _ground(theme, at, radius, reach, size, scale * ring)
    parts += _lines(drawing, theme, at, radius, scale)
    parts += _number(drawing, theme, at, size)
    top = at[1] + reach + 2.6 * size
    legend, top = _legend(drawing, ring, theme, (wide, top), size)
    label = say(
        "The spindle wanders {value} µm the same way every turn, magnified",
        value=number(drawing.synchronous, 2),
    )
    return svg(parts + legend, size=(wide, top + 2), label=label, sort="figure rotation")


def ring_um(largest: float) -> float:
    """How far rings stand apart: 1, 2 or 5 times a power of ten, not above the largest value."""
    power = 10.0 ** math.floor(math.log10(largest))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= largest * (1 + 1e-9))


def _traces(drawing: RotationDrawing) -> tuple[tuple[float, ...], ...]:
    return (drawing.spindle, drawing.part, drawing.low, drawing.high)


def _ground(
    theme: Theme, at: tuple[float, float], radius: float, reach: float, size: float, ring: float
) -> list[str]:
    """Cross, circle, rings, and where the spindle stands."""
    x, y = at
    parts = [
        line(x - reach, y, x + reach, y, theme.line),
        line(x, y - reach, x, y + reach, theme.line),
        words(x + reach + 3, y + 0.35 * size, "0°", theme, size=size),
        words(x, y - reach - 4, "90°", theme, size=size, anchor="middle"),
        words(x - reach - 3, y + 0.35 * size, "180°", theme, size=size, anchor="end"),
        words(x, y + reach + size, "270°", theme, size=size, anchor="middle"),
        path(_round(at, radius), stroke=theme.soft, thick=0.8),
    ]
    parts += [path(_round(at, radius + off), stroke=theme.line, thick=0.6) for off in (-ring, ring)]
    return parts


def _lines(
    drawing: RotationDrawing, theme: Theme, at: tuple[float, float], radius: float, scale: float
) -> list[str]:
    def shape(values: Sequence[float], *, back: bool = False) -> str:
        return _closed(drawing.angles, values, at, radius, scale, back=back)

    parts = []
    if drawing.low:
        band = shape(drawing.high) + shape(drawing.low, back=True)
        parts.append(path(band, fill=theme.blue_tint, stroke=theme.blue, thick=0.5))
    if drawing.part:
        parts.append(path(shape(drawing.part), stroke=theme.brass, thick=1.4, dash=DASH))
    parts.append(path(shape(drawing.spindle), stroke=theme.blue, thick=1.6))
    if len(drawing.angles) <= FEW:
        for angle, value in zip(drawing.angles, drawing.spindle, strict=True):
            spot = _spot(angle, radius + scale * value, at)
            parts.append(path(_round(spot, 2.2), fill=theme.blue))
    return parts


def _number(
    drawing: RotationDrawing, theme: Theme, at: tuple[float, float], size: float
) -> list[str]:
    """The main number in the middle."""
    x, y = at
    value = say("{value} µm", value=number(drawing.synchronous, 2))
    under = say("spindle alone") if drawing.part else say("repeats")
    room = max(width(under, size), width(value, size + 2)) + 12
    box = (
        f"M{plain(x - room / 2)} {plain(y - 1.6 * size)}h{plain(room)}v{plain(3.1 * size)}"
        f"h{plain(-room)}Z"
    )
    return [
        path(box, fill=theme.sheet),
        words(x, y - 0.2 * size, value, theme, size=size + 2, anchor="middle", bold=True),
        words(x, y + 1.1 * size, under, theme, size=size, anchor="middle", colour=theme.soft),
    ]


def _legend(
    drawing: RotationDrawing, ring: float, theme: Theme, at: tuple[float, float], size: float
) -> tuple[list[str], float]:
    """What the lines mean, and the magnification in words."""
    wide, top = at
    parts: list[str] = []
    for name, colour, dash in _entries(drawing, theme):
        middle = top - 0.35 * size
        thick = 9.0 if colour == theme.blue_tint else 1.6
        parts.append(line(MARGIN, middle, MARGIN + 26, middle, colour, thick=thick, dash=dash))
        for row, text in enumerate(wrap(name, wide - 2 * MARGIN - 34, size)):
            parts.append(words(MARGIN + 34, top + row * LINE_HIGH * size, text, theme, size=size))
        top += LINE_HIGH * size * len(wrap(name, wide - 2 * MARGIN - 34, size))
    told = say(
        "About the least-squares circle, magnified: rings {ring} µm apart; the circle itself has "
        "no size.",
        ring=number(ring, max(0, -math.floor(math.log10(ring)))),
    )
    top += 0.3 * size
    for text in wrap(told, wide - 2 * MARGIN, size):
        parts.append(words(MARGIN, top, text, theme, size=size, colour=theme.soft))
        top += LINE_HIGH * size
    return parts, top


def _entries(drawing: RotationDrawing, theme: Theme) -> list[Entry]:
    if drawing.part:
        return [
            (say("spindle, ball taken off"), theme.blue, ""),
            (say("the ball's own form"), theme.brass, DASH),
        ]
    if not drawing.low:
        return [(say("spindle and ball together, one turn"), theme.blue, "")]
    return [
        (say("mean of the turns: what repeats"), theme.blue, ""),
        (
            say(
                "lowest to highest turn: {value} µm at the widest place",
                value=number(drawing.asynchronous or 0.0, 2),
            ),
            theme.blue_tint,
            "",
        ),
    ]


def _spot(angle: float, away: float, at: tuple[float, float]) -> tuple[float, float]:
    turned = math.radians(angle)
    return at[0] + away * math.cos(turned), at[1] - away * math.sin(turned)


def _closed(
    angles: Sequence[float],
    values: Sequence[float],
    at: tuple[float, float],
    radius: float,
    scale: float,
    *,
    back: bool,
) -> str:
    """A line all round; ``back`` runs the other way, so that it cuts a hole."""
    places = list(zip(angles, values, strict=True))
    if len(places) > MANY:
        ends = [len(places) * n // MANY for n in range(MANY + 1)]
        places = [max(places[a:b], key=lambda one: abs(one[1])) for a, b in pairwise(ends)]
    spots = [_spot(angle, radius + scale * value, at) for angle, value in places]
    if back:
        spots.reverse()
    return "M" + "L".join(f"{plain(x)} {plain(y)}" for x, y in spots) + "Z"


def _round(at: tuple[float, float], radius: float) -> str:
    r = plain(radius)
    return (
        f"M{plain(at[0] - radius)} {plain(at[1])}a{r} {r} 0 1 0 {plain(2 * radius)} 0"
        f"a{r} {r} 0 1 0 {plain(-2 * radius)} 0Z"
    )
