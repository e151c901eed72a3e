"""Outlines on a floor: convex pieces cut by lines, how far one is from another."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from retrue.cases.move.drawings import Point

TOUCH_MM = 1e-6  # what only touches is not in the way
Outline = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """A place to measure from: an origin, and the direction called along; across is to its left."""

    origin: Point
    along_deg: float

    def at(self, along: float, across: float) -> Point:
        """A point of this frame, on the floor."""
        cos, sin = _turned(self.along_deg)
        return (
            self.origin[0] + along * cos - across * sin,
            self.origin[1] + along * sin + across * cos,
        )

    def of(self, point: Point) -> Point:
        """A point of the floor, in this frame."""
        cos, sin = _turned(self.along_deg)
        x, y = point[0] - self.origin[0], point[1] - self.origin[1]
        return (x * cos + y * sin, y * cos - x * sin)


def _turned(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine, exact for quarter turns."""
    quarters = angle_deg / 90.0
    if quarters.is_integer():
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    turn = math.radians(angle_deg)
    return math.cos(turn), math.sin(turn)


def rectangle(frame: Frame, along: float, across: float, wide: float, deep: float) -> Outline:
    """A rectangle of a frame, on the floor.

    Parameters
    ----------
    frame : Frame
    along, across : float
        Its corner nearest the origin, mm.
    wide, deep : float
        Along and across, mm.

    Returns
    -------
    tuple of (float, float)
        Four corners.

    Examples
    --------
    >>> rectangle(Frame((1000.0, 0.0), 90.0), 0.0, 0.0, 300.0, 100.0)
    ((1000.0, 0.0), (1000.0, 300.0), (900.0, 300.0), (900.0, 0.0))
    """
    corners = ((along, across), (along + wide, across), (along + wide, across + deep),
               (along, across + deep))  # fmt: skip
    return tuple(frame.at(*corner) for corner in corners)


def sector(hinge: Point, from_deg: float, by_deg: float, radius: float) -> Outline:
    """What a leaf sweeps, as a polygon with a corner every three degrees or nearer.

    Parameters
    ----------
    hinge : (float, float)
    from_deg, by_deg : float
        Direction of the closed leaf and how far it opens, counter-clockwise above zero.
    radius : float
        Length of the leaf, mm.

    Returns
    -------
    tuple of (float, float)
        The hinge first; for the drawing (clearances are reckoned from the angle itself).

    Examples
    --------
    >>> [round(x) for x, _ in sector((0.0, 0.0), 0.0, 90.0, 500.0)][:2]
    [0, 500]
    """
    steps = max(2, math.ceil(abs(by_deg) / 3.0))
    turns = (math.radians(from_deg + by_deg * step / steps) for step in range(steps + 1))
    arc = tuple(
        (hinge[0] + radius * math.cos(turn), hinge[1] + radius * math.sin(turn)) for turn in turns
    )
    return (hinge, *arc)


def cut(outline: Sequence[Point], start: Point, angle_deg: float) -> Outline:
    """What of a convex outline lies to the left of a line; what only touches it does not.

    Parameters
    ----------
    outline : sequence of (float, float)
        Two points are a line, more a convex polygon.
    start : (float, float)
        A point of the line.
    angle_deg : float
        Its direction.

    Returns
    -------
    tuple of (float, float)
        Empty where nothing of it lies there.

    References
    ----------
    Sutherland, I. E. and Hodgman, G. W., Reentrant polygon clipping, Communications of the ACM 17
    (1974), 32-42 (from memory).

    Examples
    --------
    >>> [round(y, 3) for _, y in cut(((0.0, -100.0), (0.0, 100.0)), (-10.0, 0.0), 0.0)]
    [0.0, 100.0]
    """
    frame = Frame(start, angle_deg)
    sides = [frame.of(point)[1] - TOUCH_MM for point in outline]
    kept: list[Point] = []
    pairs = list(zip(outline, sides, strict=True))
    for index, (point, side) in enumerate(pairs):
        before, before_side = pairs[index - 1]
        if (side > 0) != (before_side > 0) and side != before_side:
            share = before_side / (before_side - side)
            kept.append((
                before[0] + share * (point[0] - before[0]),
                before[1] + share * (point[1] - before[1]),
            ))  # fmt: skip
        if side > 0:
            kept.append(point)
    return tuple(dict.fromkeys(kept))


def from_point(outline: Sequence[Point], point: Point) -> float:
    """Shortest way from a point to the edge of an outline.

    Parameters
    ----------
    outline : sequence of (float, float)
        One point, a line, or a polygon.
    point : (float, float)

    Returns
    -------
    float
        Millimetres.

    Examples
    --------
    >>> from_point(((0.0, 100.0), (200.0, 100.0)), (50.0, 0.0))
    100.0
    """
    return min(_to_segment(point, a, b) for a, b in edges(outline))


def edges(outline: Sequence[Point]) -> Iterable[tuple[Point, Point]]:
    """The sides of an outline, closed.

    Parameters
    ----------
    outline : sequence of (float, float)

    Returns
    -------
    iterable of pairs of points
    """
    return ((outline[index - 1], outline[index]) for index in range(len(outline)))


def _to_segment(point: Point, a: Point, b: Point) -> float:
    x, y = b[0] - a[0], b[1] - a[1]
    length = x * x + y * y
    share = 0.0
    if length > 0:
        share = min(1.0, max(0.0, ((point[0] - a[0]) * x + (point[1] - a[1]) * y) / length))
    return math.hypot(point[0] - a[0] - share * x, point[1] - a[1] - share * y)


def overlap(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two convex outlines share more than an edge.

    Parameters
    ----------
    one, other : sequence of (float, float)
        Two points are a line, more a convex polygon.

    Returns
    -------
    bool

    References
    ----------
    Separating axis theorem for convex sets.

    Examples
    --------
    >>> square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    >>> overlap(square, [(x + 10, y) for x, y in square]), overlap(square, [(5.0, -1.0), (5.0, 9)])
    (False, True)
    """
    for a, b in (*edges(one), *edges(other)):
        normal = (b[1] - a[1], a[0] - b[0])
        length = math.hypot(*normal)
        if length == 0:
            continue
        first = [(x * normal[0] + y * normal[1]) / length for x, y in one]
        second = [(x * normal[0] + y * normal[1]) / length for x, y in other]
        if max(first) <= min(second) + TOUCH_MM or max(second) <= min(first) + TOUCH_MM:
            return False
    return True


def inside(outline: Sequence[Point], point: Point) -> bool:
    """Whether a point lies in a polygon or on its edge.

    Parameters
    ----------
    outline : sequence of (float, float)
        Any simple polygon.
    point : (float, float)

    Returns
    -------
    bool

    Examples
    --------
    >>> room = ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0))
    >>> inside(room, (100.0, 20.0)), inside(room, (101.0, 20.0))
    (True, False)
    """
    if from_point(outline, point) <= TOUCH_MM:
        return True
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in edges(outline):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            odd = not odd
    return odd


def box(outline: Sequence[Point]) -> tuple[float, float, float, float]:
    """The least upright rectangle round an outline: left, low, right, high.

    Parameters
    ----------
    outline : sequence of (float, float)

    Returns
    -------
    tuple of float
    """
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), min(ys), max(xs), max(ys)
