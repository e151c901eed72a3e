"""Strokes of a workshop drawing: dimensions with their arrows, a scale bar, a centre mark."""

from __future__ import annotations

import math
from collections.abc import Sequence

from retrue.base.formatter import THIN, number
from retrue.figures.ink import Theme, line, path, plain, words
from retrue.figures.letters import width

Point = tuple[float, float]


def outline(points: Sequence[Point], *, closed: bool = True) -> str:
    """The shape of a path through points.

    Parameters
    ----------
    points : sequence of (float, float)
        Drawing units.
    closed : bool
        Back to the first.

    Returns
    -------
    str
        For ``path``.

    Examples
    --------
    >>> outline([(0.0, 0.0), (10.0, 0.0), (10.0, 5.0)])
    'M0 0L10 0L10 5Z'
    """
    steps = "L".join(f"{plain(x)} {plain(y)}" for x, y in points)
    return f"M{steps}" + ("Z" if closed else "")


def arrow(start: Point, end: Point, colour: str, *, head: float = 7.0) -> list[str]:
    """A filled arrow head at the end of a way that comes from start.

    Parameters
    ----------
    start, end : (float, float)
        Drawing units.
    colour : str
    head : float
        Its length.

    Returns
    -------
    list of str
        Nothing where start and end are one.
    """
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    if length < 1e-9:
        return []
    x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    half = head / 3.2
    base = (end[0] - head * x, end[1] - head * y)
    corners = (
        end,
        (base[0] - half * y, base[1] + half * x),
        (base[0] + half * y, base[1] - half * x),
    )
    return [path(outline(corners), fill=colour)]


def shaft(start: Point, end: Point, colour: str, *, thick: float = 2.0) -> list[str]:
    """A force: a stroke with its head at the end."""
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    share = max(0.0, 1.0 - 7.0 / length) if length else 0.0
    neck = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
    return [
        line(*start, *neck, colour, thick=thick),
        *arrow(start, end, colour, head=10.0),
    ]


def dimension(
    start: Point, end: Point, text: str, theme: Theme, *, size: float, colour: str = ""
) -> tuple[list[str], list[tuple[float, float]]]:
    """A dimension: thin line, an arrow at both ends, its number on a patch in the middle.

    Parameters
    ----------
    start, end : (float, float)
        What it measures, drawing units.
    text : str
        The number with its unit.
    theme : Theme
    size : float
        Font size.
    colour : str
        Ink where empty.

    Returns
    -------
    (list of str, list of (float, float))
        Elements; and where the number stands (baseline, middle): nowhere where the line is too
        short for it.
    """
    ink = colour or theme.ink
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    head = min(7.0, length / 3)
    parts = [line(*start, *end, ink, thick=0.7)]
    parts += arrow(end, start, ink, head=head) + arrow(start, end, ink, head=head)
    upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
    room = length - 2 * head - 4
    if room < (1.2 * size if upright else width(text, size) + 2):
        return parts, []
    return parts, [((start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + 0.35 * size)]


def patched(x: float, y: float, text: str, theme: Theme, *, size: float, colour: str = "") -> str:
    """Words on a patch of the sheet, middle at x, baseline at y."""
    wide = width(text, size) + 4
    patch = path(
        outline([
            (x - wide / 2, y - 0.85 * size), (x + wide / 2, y - 0.85 * size),
            (x + wide / 2, y + 0.25 * size), (x - wide / 2, y + 0.25 * size),
        ]),
        fill=theme.sheet,
    )  # fmt: skip
    return patch + words(x, y, text, theme, size=size, anchor="middle", colour=colour)


def centre_mark(x: float, y: float, theme: Theme, *, radius: float = 8.0) -> list[str]:
    """The mark of a centre of gravity: a round quartered in ink and sheet."""
    r = plain(radius)
    left, right, top, low = (plain(v) for v in (x - radius, x + radius, y - radius, y + radius))
    mx, my = plain(x), plain(y)
    ring = f"M{left} {my}A{r} {r} 0 1 0 {right} {my}A{r} {r} 0 1 0 {left} {my}Z"
    quarters = (
        f"M{mx} {my}L{mx} {top}A{r} {r} 0 0 1 {right} {my}Z"
        f"M{mx} {my}L{mx} {low}A{r} {r} 0 0 1 {left} {my}Z"
    )
    return [
        path(ring, fill=theme.sheet, stroke=theme.ink, thick=1.2),
        path(quarters, fill=theme.ink),
    ]


def scale_bar(
    left: float, top: float, units_per_mm: float, room: float, theme: Theme, *, size: float
) -> list[str]:
    """A bar of whole metres, or of whole decimetres where there is no room for one.

    Parameters
    ----------
    left, top : float
        Its upper left corner, drawing units.
    units_per_mm : float
        Drawing units for one millimetre of the floor.
    room : float
        Drawing units it may take.
    theme : Theme
    size : float
        Font size.

    Returns
    -------
    list of str
    """
    step = next(
        (
            mm
            for mm in (5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2)
            if 4 * mm * units_per_mm <= room
        ),
        1,
    )
    parts = []
    for piece in range(4):
        x = left + piece * step * units_per_mm
        fill = theme.ink if piece % 2 == 0 else theme.sheet
        corners = [(x, top), (x + step * units_per_mm, top),
                   (x + step * units_per_mm, top + 5), (x, top + 5)]  # fmt: skip
        parts.append(path(outline(corners), fill=fill, stroke=theme.ink, thick=0.8))
    end = left + 4 * step * units_per_mm
    parts.append(words(left, top + 8 + size, "0", theme, size=size, sort="scale"))
    whole = 4 * step % 1000 == 0
    told = number(4 * step / 1000) + THIN + "m" if whole else number(4 * step) + THIN + "mm"
    parts.append(words(end, top + 8 + size, told, theme, size=size, anchor="middle", sort="scale"))
    return parts
