"""The numbers of the picture of a circular test: measured, fitted, and each cause alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.prove.circle_tables import Run
from retrue.cases.prove.circle_words import Axes, name_of, size
from retrue.cases.prove.proof import Grid
from retrue.science.circle import Deviations, Path
from retrue.science.circle_causes import Cause, Separation, shares

Floats = NDArray[np.float64]
MOST_POINTS = 1440  # of one path in the picture: two for each half degree
FITTED_STEP_DEG = 0.5
SETUP = ("centre", "radius", "scale_mean")


@dataclass(frozen=True, slots=True)
class Trace:
    """A line around the circle: degrees and micrometres outwards."""

    way: str  # cw or ccw
    degrees: tuple[float, ...]
    off_um: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Alone:
    """One fitted cause alone."""

    name: str
    size: str
    reach_um: float
    traces: tuple[Trace, ...]


@dataclass(frozen=True, slots=True)
class CircleDrawing:
    """What the picture of a circular test is drawn from."""

    axes: tuple[str, str]
    radius_mm: float
    deviation_um: float
    measured: tuple[Trace, ...]
    fitted: tuple[Trace, ...]
    causes: tuple[Alone, ...]


def drawing_of(
    run: Run, separation: Separation, judged: Deviations, causes: Sequence[Cause], axes: Axes
) -> CircleDrawing:
    """The picture of one run.

    Parameters
    ----------
    run : Run
        The circle that is drawn.
    separation : Separation
        The fitted causes.
    judged : Deviations
        Of this run; lines are drawn about its least-squares circle.
    causes : sequence of Cause
        Drawn one by one, in this order.
    axes : Axes
        The plane.

    Returns
    -------
    CircleDrawing

    Examples
    --------
    >>> from retrue.science.circle import deviations
    >>> from retrue.science.circle_causes import separate
    >>> angle = np.radians(np.arange(0.25, 360, 0.5))
    >>> paths = (Path(angle, 4 * np.cos(2 * angle), 1, 150.0),)
    >>> fitted = separate(paths)
    >>> oval = [c for c in fitted.causes if c.id == "scale_mismatch"]
    >>> made = drawing_of(Run("", paths), fitted, deviations(paths), oval, Axes("X", "Y"))
    >>> made.causes[0].name, round(made.causes[0].reach_um, 3)
    ('scale of X over Y', 8.0)
    """
    grid = np.radians(np.arange(FITTED_STEP_DEG / 2, 360, FITTED_STEP_DEG))
    smooth = [_on(path, grid) for path in run.paths]
    ids = [c.id for c in separation.causes]
    fitted = zip(smooth, shares(smooth, separation, ids), strict=True)
    return CircleDrawing(
        axes=(axes.first, axes.second),
        radius_mm=run.paths[0].radius_mm,
        deviation_um=judged.both,
        measured=tuple(
            _trace(p, _centred(p, p.deviation_um, judged), MOST_POINTS) for p in run.paths
        ),
        fitted=tuple(_trace(p, _centred(p, share, judged), len(grid)) for p, share in fitted),
        causes=tuple(_alone(cause, smooth, separation, axes) for cause in causes),
    )


def _on(path: Path, grid: Floats) -> Path:
    """The same circle at even steps, where the path was measured."""
    turned = np.sort(path.angle_rad % (2 * np.pi))
    place = np.searchsorted(turned, grid)
    before, after = turned[place - 1], turned[place % len(turned)]
    gap = (after - before) % (2 * np.pi)
    kept = grid[gap < np.radians(30)] if len(turned) > 12 else grid
    return Path(
        kept, np.zeros_like(kept), path.direction, path.radius_mm, path.feed_mm_min, path.circle
    )


def _centred(path: Path, off: Floats, judged: Deviations) -> Floats:
    x, y = judged.centre_x, judged.centre_y
    return off - x * np.cos(path.angle_rad) - y * np.sin(path.angle_rad) - judged.mean_radial


def _trace(path: Path, off: Floats, most: int) -> Trace:
    """In order of the angle; of many points the outermost and innermost of each stretch."""
    degrees = np.degrees(path.angle_rad) % 360
    order = np.argsort(degrees, kind="stable")
    if len(order) > most:
        stretches = np.array_split(order, most // 2)
        picked = [
            sorted((s[np.argmax(off[s])], s[np.argmin(off[s])]), key=lambda i: float(degrees[i]))
            for s in stretches
        ]
        order = np.array(picked).ravel()
    way = "ccw" if path.direction > 0 else "cw"
    return Trace(way, tuple(degrees[order].round(3).tolist()), tuple(off[order].round(4).tolist()))


def _alone(cause: Cause, paths: Sequence[Path], separation: Separation, axes: Axes) -> Alone:
    made = shares(paths, separation, [cause.id])
    traces = tuple(_trace(p, share, len(share)) for p, share in zip(paths, made, strict=True))
    reach = float(np.ptp(np.concatenate(made)))
    return Alone(name_of(cause.id, axes), size(cause), reach, traces)


def picture_grid(drawing: CircleDrawing, step: int = 10) -> Grid:
    """The picture's numbers, thinned to what a person reads.

    Parameters
    ----------
    drawing : CircleDrawing
        The picture.
    step : int
        Degrees between the rows.

    Returns
    -------
    Grid
        Measured and fitted, both directions, about the least-squares circle.

    Examples
    --------
    >>> line = Trace("ccw", (0.0, 180.0), (1.0, -1.0))
    >>> picture = CircleDrawing(("X", "Y"), 100.0, 2.0, (line,), (line,), ())
    >>> picture_grid(picture, 90).rows[1]
    (90.0, 0.0, 0.0)
    """
    names = {"cw": say("clockwise"), "ccw": say("counter-clockwise")}
    columns, series = [say("angle, °")], []
    at = np.arange(0, 360, step, dtype=np.float64)
    for sort, traces in ((say("measured"), drawing.measured), (say("fitted"), drawing.fitted)):
        for trace in traces:
            columns.append(say("{sort} {way}, µm", sort=sort, way=names[trace.way]))
            series.append(np.interp(at, trace.degrees, trace.off_um, period=360.0))
    rows = tuple(
        (float(angle), *(round(float(line[place]), 3) for line in series))
        for place, angle in enumerate(at)
    )
    return Grid(title=say("Around the circle"), columns=tuple(columns), rows=rows, digits=1)
