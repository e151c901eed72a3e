"""Circular paths from a table: by angle and deviation, or by two coordinates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.table import Table
from retrue.science.circle import Path

Floats = NDArray[np.float64]
WAYS = {"cw": "cw", "ccw": "ccw", "clockwise": "cw", "counter-clockwise": "ccw"}
SIGN = {"cw": -1, "ccw": 1}
USUAL_RADIUS_MM = 150.0
LEAST_POINTS = 8
INCH = 25.4  # mm
FAR_SHARE = 0.01  # of the radius: what lies further off is another circle, or another unit


@dataclass(frozen=True, slots=True)
class Run:
    """One circle at one radius and one feed: its paths stand in ``paths`` from first to last."""

    name: str
    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Readings:
    """All paths of a table, and what had to be assumed to read them."""

    runs: tuple[Run, ...]
    assumed: tuple[str, ...]

    @property
    def paths(self) -> tuple[Path, ...]:
        """All paths of all runs."""
        return tuple(path for run in self.runs for path in run.paths)


def readings_of(table: Table, options: Options) -> Readings:
    """Paths from a file or a filled form.

    Parameters
    ----------
    table : Table
        ``direction``, then ``angle_deg`` and ``deviation_um``, or ``x_mm`` and ``y_mm`` in the
        axes of the plane; if wanted ``circle``, ``radius_mm``, ``feed_mm_min``, ``x0_mm``,
        ``y0_mm``.
    options : mapping
        ``radius_mm`` and ``feed_mm_min`` for rows that do not say them.

    Returns
    -------
    Readings

    Raises
    ------
    Unusable
        A column is missing, a cell is wrong, there are too few points, or the points do not lie
        on a circle of that radius.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = "".join(f"ccw,{angle},1.5\\n" for angle in range(0, 360, 30))
    >>> table = read_table(("direction,angle_deg,deviation_um\\n" + rows).encode(), "bar.csv")
    >>> made = readings_of(table, {"radius_mm": 100.0, "feed_mm_min": None})
    >>> made.paths[0].direction, made.paths[0].radius_mm
    (1, 100.0)
    """
    by_angle = not table.has("x_mm")
    if by_angle:
        table.need("direction", "angle_deg", "deviation_um")
    way = np.array([SIGN[word] for word in table.words("direction", WAYS)])
    assumed: list[str] = []
    radius = _column(table, "radius_mm", options)
    if radius is None:
        if not by_angle:
            raise _no_radius()
        radius = np.full(len(table), USUAL_RADIUS_MM)
        assumed.append(
            say("Nobody said the radius: {radius} mm is taken.", radius=number(USUAL_RADIUS_MM))
        )
    _above_zero(table, "radius_mm", radius)
    feed = _column(table, "feed_mm_min", options)
    if feed is not None:
        _above_zero(table, "feed_mm_min", feed)
    if by_angle:
        angle, off = np.radians(table.numbers("angle_deg")), table.numbers("deviation_um")
    else:
        angle, off = _from_places(table, radius, assumed)
    kinds: list[Floats] = [radius, np.zeros(len(table)) if feed is None else feed]
    circle = np.zeros(len(table))
    if table.has("circle"):
        circle = np.unique(np.array(table.text("circle")), return_inverse=True)[1].astype(float)
    keys = np.column_stack([circle, *kinds])
    return Readings(_runs(keys, way, angle, off), tuple(assumed))


def _column(table: Table, name: str, options: Options) -> Floats | None:
    if table.has(name):
        return table.numbers(name)
    given = options.get(name)
    return None if given is None else np.full(len(table), float(given))


def _no_radius() -> Unusable:
    return Unusable(
        say("the radius of the circle is missing"),
        remedy=say("Give the nominal radius in millimetres."),
        problems=(Problem("radius_mm", say("is empty")),),
    )


def _above_zero(table: Table, name: str, values: Floats) -> None:
    if (values > 0).all():
        return
    if not table.has(name):
        raise Unusable(
            say("{name} is not above zero", name=name),
            remedy=say("Give the value that the circle was run with."),
            problems=(Problem(name, say("is not above zero")),),
        )
    wrong = {
        table.where(int(i), name): say("is not above zero") for i in np.flatnonzero(values <= 0)
    }
    table.refuse(wrong, say("Give the value that the circle was run with."))


def _from_places(table: Table, radius: Floats, assumed: list[str]) -> tuple[Floats, Floats]:
    """Angle and deviation about the nominal centre; it is found where it is not given."""
    x, y = table.numbers("x_mm"), table.numbers("y_mm")
    if table.has("x0_mm", "y0_mm"):
        x, y = x - table.numbers("x0_mm"), y - table.numbers("y0_mm")
    rows = np.column_stack([2 * x, 2 * y, np.ones_like(x)])
    middle = np.linalg.lstsq(rows, x**2 + y**2, rcond=None)[0]
    if np.hypot(middle[0], middle[1]) > FAR_SHARE * radius.max():
        near = np.round(middle[:2], 3)
        x, y = x - near[0], y - near[1]
        assumed.append(
            say(
                "The centre is taken where the points lie around it: {x}, {y} mm.",
                x=number(near[0], 3),
                y=number(near[1], 3),
            )
        )
    away = np.hypot(x, y)
    if (np.abs(np.median(away / radius) - 1) > FAR_SHARE).any():
        raise Unusable(
            say(
                "the points lie on a circle of radius {found} mm, not {given}",
                found=number(float(np.median(away)), 3),
                given=number(float(radius[0]), 3),
            ),
            remedy=_radius_remedy(float(np.median(away)), float(radius[0])),
            problems=(Problem("x_mm, y_mm", say("these points and radius_mm do not fit")),),
        )
    return np.arctan2(y, x), (away - radius) * 1000


def _radius_remedy(found: float, given: float) -> str:
    """An inch in either of both is asked about, never converted in silence."""
    if abs(found * INCH / given - 1) <= FAR_SHARE:
        return say("The points look like inches: multiply x_mm and y_mm by 25.4.")
    if abs(given * INCH / found - 1) <= FAR_SHARE:
        return say("The radius looks like inches: multiply it by 25.4.")
    return say("Give the radius in millimetres that the circle was run with.")


def _runs(keys: Floats, way: NDArray[np.int_], angle: Floats, off: Floats) -> tuple[Run, ...]:
    known, place = keys[:1], np.zeros(len(keys), dtype=np.intp)
    if (keys != keys[0]).any():
        known, place = np.unique(keys, axis=0, return_inverse=True)
    runs: list[Run] = []
    for index, (circle, radius, feed) in enumerate(known):
        paths = []
        for direction in (-1, 1):
            mine = (place == index) & (way == direction)
            if mine.any():
                said = float(feed) if feed > 0 else None
                paths.append(
                    Path(angle[mine], off[mine], direction, float(radius), said, int(circle))
                )
        runs.append(Run(_name(len(known), circle, radius, feed), tuple(paths)))
    for run in runs:
        _enough(run)
    return tuple(runs)


def _name(count: int, circle: float, radius: float, feed: float) -> str:
    if count == 1:
        return say("the circle")
    at = say("radius {radius} mm", radius=number(radius, 1 if radius % 1 else 0))
    if feed > 0:
        at = say("{at}, {feed} mm/min", at=at, feed=number(feed))
    return say("circle {number}, {at}", number=int(circle) + 1, at=at)


def _enough(run: Run) -> None:
    few = [p for p in run.paths if len(p.angle_rad) < LEAST_POINTS]
    if few:
        raise Unusable(
            say(
                "{run} has only {count} readings one way", run=run.name, count=len(few[0].angle_rad)
            ),
            remedy=say("Read at least {least} places around the circle.", least=LEAST_POINTS),
            problems=(Problem("angle_deg", say("too few readings")),),
        )
