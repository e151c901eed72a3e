"""A machine on its slings: the angle of a leg, what it pulls, where the centre of gravity hangs."""

from __future__ import annotations

import math

from retrue.base.formatter import THIN, number
from retrue.base.say import say
from retrue.cases.move.drawings import LiftDrawing
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, line, path, plain, svg, words
from retrue.figures.letters import width, wrap
from retrue.figures.move.strokes import centre_mark, dimension, outline, patched, shaft

ABOVE, HANGS, MACHINE = 46.0, 150.0, 116.0  # heights: over the hook, of the slings, of the load


def rows(drawing: LiftDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's numbers.

    Parameters
    ----------
    drawing : LiftDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> rows(LiftDrawing(mass_kg=4000, legs=2, angle_deg=45, leg_kg=2828.4))[2][1]
    '2\u202f828\u202fkg'
    """
    kg = THIN + "kg"
    told = [
        (say("what hangs on the hook"), number(drawing.mass_kg) + kg),
        (say("angle of a leg from the horizontal"), number(drawing.angle_deg, 1) + "°"),
        (say("pull in one leg"), number(drawing.leg_kg) + kg),
        (say("legs"), number(drawing.legs)),
    ]
    mm = THIN + "mm"
    for name, value, unit in (
        (say("rating of one leg"), drawing.rated_kg, kg),
        (say("length of a leg"), drawing.leg_mm, mm),
        (say("between the lift points"), drawing.span_mm, mm),
        (say("centre of gravity from the left lift point"), drawing.centre_mm, mm),
        (say("centre of gravity under the lift points"), drawing.height_mm, mm),
    ):
        if value is not None:
            told.append((name, number(value) + unit))
    return tuple(told)


def draw(drawing: LiftDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the load on its slings, seen from the side.

    Parameters
    ----------
    drawing : LiftDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``; angles are true, lengths are not.

    Examples
    --------
    >>> from retrue.figures.ink import PAPER
    >>> "60°" in draw(LiftDrawing(mass_kg=4000, legs=2, angle_deg=60, leg_kg=2309), theme=PAPER,
    ...     room="phone")
    True
    """
    wide, size = min(WIDTHS[room], 480.0), 12.0 if room == "phone" else 13.0
    middle = wide / 2
    rise = HANGS
    half = rise / math.tan(math.radians(drawing.angle_deg)) if drawing.legs > 1 else 0.0
    most = wide / 2 - 58
    if half > most:
        half, rise = most, most * math.tan(math.radians(drawing.angle_deg))
    hook, points = (middle, ABOVE), [(middle - half, ABOVE + rise), (middle + half, ABOVE + rise)]
    if drawing.legs == 1:
        points = points[:1]
    parts = _load(drawing, middle, max(half, 70.0), ABOVE + rise, theme, size)
    parts += _slings(hook, points, theme)
    parts += _told(drawing, hook, points, theme, size)
    low = ABOVE + rise + MACHINE
    parts += _span(drawing, points, low + 22, theme, size)
    notes = _notes(drawing)
    lines = [row for note in notes for row in wrap(note, wide - 16, size)]
    top = low + (40 if drawing.span_mm else 14)
    parts += [
        words(8, top + size + 1.35 * size * place, row, theme, size=size)
        for place, row in enumerate(lines)
    ]
    label = say("Lift: {legs} legs at {angle}°, {leg} kg in each that carries",
                legs=drawing.legs, angle=number(drawing.angle_deg, 1),
                leg=number(drawing.leg_kg))  # fmt: skip
    high = top + 1.35 * size * len(lines) + 8
    return svg(parts, size=(wide, high), label=label, sort=f"figure lift-{room}")


def _load(
    drawing: LiftDrawing, middle: float, half: float, top: float, theme: Theme, size: float
) -> list[str]:
    """The machine as a plain body, its centre of gravity, its weight."""
    left, right, low = middle - half - 12, middle + half + 12, top + MACHINE
    parts = [path(outline([(left, top), (right, top), (right, low), (left, low)]),
                  fill=theme.blue_tint, stroke=theme.blue, thick=1.6)]  # fmt: skip
    x = middle
    if drawing.centre_mm is not None and drawing.span_mm and drawing.legs > 1:
        x = middle - half + 2 * half * min(1.0, max(0.0, drawing.centre_mm / drawing.span_mm))
    y = top + 34
    parts += centre_mark(x, y, theme)
    parts += shaft((x, y + 10), (x, low - 22), theme.ink)
    told = number(drawing.mass_kg) + THIN + "kg"
    parts.append(words(x, low - 7, told, theme, size=size + 1, anchor="middle", bold=True))
    if abs(x - middle) > 1:
        parts.append(line(middle, ABOVE, middle, y, theme.soft, thick=0.8, dash="3 3"))
    return parts


def _slings(
    hook: tuple[float, float], points: list[tuple[float, float]], theme: Theme
) -> list[str]:
    x, y = hook
    ring = (
        f"M{plain(x)} {plain(y - 26)}L{plain(x)} {plain(y - 15)}"
        f"A8 8 0 1 1 {plain(x - 7)} {plain(y - 3)}"
    )
    parts = [path(ring, stroke=theme.ink, thick=3)]
    for point in points:
        parts.append(line(*hook, *point, theme.ink, thick=2.4))
        parts.append(path(_round(*point, 4), fill=theme.sheet, stroke=theme.ink, thick=1.4))
    return parts


def _round(x: float, y: float, radius: float) -> str:
    r, left, right = plain(radius), plain(x - radius), plain(x + radius)
    return f"M{left} {plain(y)}A{r} {r} 0 1 0 {right} {plain(y)}A{r} {r} 0 1 0 {left} {plain(y)}Z"


def _told(
    drawing: LiftDrawing, hook: tuple[float, float], points: list[tuple[float, float]],
    theme: Theme, size: float,
) -> list[str]:  # fmt: skip
    """What a leg pulls, in brass beside it, and its angle at the lift point."""
    told = number(drawing.leg_kg) + THIN + "kg"
    x = (hook[0] + points[-1][0]) / 2
    y = (hook[1] + points[-1][1]) / 2
    right = x + width(told, size + 2) + 14
    at = x + 12 if right < hook[0] * 2 - 4 else x - width(told, size + 2) - 12
    parts = [words(at, y, told, theme, size=size + 2, bold=True, colour=theme.brass)]
    if drawing.legs == 1:
        return parts
    left = points[0]
    angle, reach = math.radians(drawing.angle_deg), 34.0
    end = (left[0] + reach * math.cos(angle), left[1] - reach * math.sin(angle))
    arc = (
        f"M{plain(left[0] + reach)} {plain(left[1])}A{plain(reach)} {plain(reach)} 0 0 0 "
        f"{plain(end[0])} {plain(end[1])}"
    )
    parts.append(path(arc, stroke=theme.ink, thick=0.9))
    mark = (
        left[0] + 1.35 * reach * math.cos(angle / 2),
        left[1] - 1.3 * reach * math.sin(angle / 2),
    )
    shown = number(drawing.angle_deg, 0 if drawing.angle_deg == round(drawing.angle_deg) else 1)
    parts.append(words(mark[0], mark[1] + 4, f"{shown}°", theme, size=size))
    return parts


def _span(
    drawing: LiftDrawing, points: list[tuple[float, float]], y: float, theme: Theme, size: float
) -> list[str]:
    if not drawing.span_mm or len(points) < 2:
        return []
    (left, top), (right, _) = points
    parts = [line(x, top + 6, x, y + 4, theme.ink, thick=0.6) for x in (left, right)]
    told = number(drawing.span_mm) + THIN + "mm"
    made, spots = dimension((left, y), (right, y), told, theme, size=size)
    parts += made
    at = spots[0] if spots else (right + 8 + width(told, size) / 2, y + 4)
    parts.append(patched(at[0], at[1], told, theme, size=size))
    return parts


def _notes(drawing: LiftDrawing) -> list[str]:
    notes = [
        say("Beside the leg: what each leg that carries pulls. Angles are true, lengths are not.")
    ]
    if drawing.legs > 2:
        notes.append(say("{legs} legs: a stiff load hangs on two of them.", legs=drawing.legs))
    if drawing.rated_kg is not None:
        notes.append(say("A leg is rated {rated} kg.", rated=number(drawing.rated_kg)))
    if drawing.centre_mm is None:
        notes.append(say("Hook drawn over the centre of gravity."))
    return notes
