"""The way from the door of the hall to a machine's place: the widest there is."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.cases.move.drawings import Point
from retrue.cases.move.plane import Outline, box, edges

FINEST_MM = 50.0
MOST_CELLS = 400  # along the longer side
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Route:
    """The widest way: its narrowest width, how coarse that is, and where it leads."""

    width_mm: float  # 0: there is none
    grid_mm: float
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class _Grid:
    left: float
    low: float
    cell: float
    shape: tuple[int, int]

    def centres(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        rows, columns = self.shape
        x = self.left + (np.arange(columns) + 0.5) * self.cell
        y = self.low + (np.arange(rows) + 0.5) * self.cell
        xs, ys = np.meshgrid(x, y)
        return xs, ys

    def cell_of(self, point: Point) -> tuple[int, int]:
        column = int((point[0] - self.left) / self.cell)
        row = int((point[1] - self.low) / self.cell)
        return min(max(row, 0), self.shape[0] - 1), min(max(column, 0), self.shape[1] - 1)

    def point(self, cell: tuple[int, int]) -> Point:
        return (
            self.left + (cell[1] + 0.5) * self.cell,
            self.low + (cell[0] + 0.5) * self.cell,
        )


def widest(
    hall: Outline, door: tuple[Point, Point], outward: Point, solids: Sequence[Outline],
    place: Outline,
) -> Route:  # fmt: skip
    """The widest way for something round from a door to a place.

    Parameters
    ----------
    hall : sequence of (float, float)
        Inside of the walls, mm.
    door : (Point, Point)
        Both ends of its opening, in a wall.
    outward : (float, float)
        Direction out of the hall, of length one.
    solids : sequence of outlines
        Convex; what is in the way.
    place : outline
        Convex; where it is to stand.

    Returns
    -------
    Route
        ``width_mm`` is never too large by more than half a cell, nor too small by more than two.

    Notes
    -----
    Distance to the nearest wall or thing on a grid; the largest width at which door and place
    still hang together is found by halving.

    Examples
    --------
    >>> hall = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 5000.0), (0.0, 5000.0))
    >>> place = ((4000.0, 3000.0), (5500.0, 3000.0), (5500.0, 4500.0), (4000.0, 4500.0))
    >>> widest(hall, ((500.0, 0.0), (3000.0, 0.0)), (0.0, -1.0), [], place).width_mm
    2450.0
    """
    wide = float(np.hypot(door[1][0] - door[0][0], door[1][1] - door[0][1]))
    porch = _porch(door, outward, 2.0 * wide)
    grid = _grid((*hall, *porch))
    free = _inside(grid, hall)
    for solid in solids:
        free &= ~_inside(grid, solid)
    free |= _inside(grid, porch)
    from scipy import ndimage  # late: the first page needs no route

    room = np.asarray(ndimage.distance_transform_edt(np.pad(free, 1)))[1:-1, 1:-1]
    start = grid.cell_of(_middle(porch))
    goal = _inside(grid, place) & free
    best = _bottleneck(room, start, goal)
    if best <= 0:
        return Route(0.0, grid.cell, ())
    cells = _path(room >= best, start, goal)
    points = tuple(grid.point(cell) for cell in cells)
    return Route(min(wide, (2.0 * best - 1.0) * grid.cell), grid.cell, points)


def _porch(door: tuple[Point, Point], outward: Point, deep: float) -> Outline:
    """The ground before the door, as wide as its opening, and a little of the hall behind it."""
    back = FINEST_MM
    (ax, ay), (bx, by) = door
    x, y = outward
    return (
        (ax - back * x, ay - back * y), (bx - back * x, by - back * y),
        (bx + deep * x, by + deep * y), (ax + deep * x, ay + deep * y),
    )  # fmt: skip


def _grid(points: Sequence[Point]) -> _Grid:
    left, low, right, high = box(points)
    cell = max(FINEST_MM, max(right - left, high - low) / MOST_CELLS)
    rows, columns = (int(np.ceil(size / cell)) for size in (high - low, right - left))
    return _Grid(left, low, cell, (max(rows, 1), max(columns, 1)))


def _inside(grid: _Grid, outline: Outline) -> Mask:
    """Cells whose middle lies in a polygon."""
    xs, ys = grid.centres()
    odd = np.zeros(grid.shape, dtype=np.bool_)
    for (ax, ay), (bx, by) in edges(outline):
        if ay == by:
            continue
        crosses = (ay > ys) != (by > ys)
        odd ^= crosses & (xs < ax + (ys - ay) * (bx - ax) / (by - ay))
    return odd


def _middle(outline: Outline) -> Point:
    return (
        sum(x for x, _ in outline) / len(outline),
        sum(y for _, y in outline) / len(outline),
    )


def _bottleneck(room: NDArray[np.float64], start: tuple[int, int], goal: Mask) -> float:
    """The largest room at which start and goal still hang together; 0 where they never do."""
    steps = np.unique(room[room > 0])
    low, high = -1, len(steps) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if _joined(room >= steps[middle], start, goal):
            low = middle
        else:
            high = middle - 1
    return float(steps[low]) if low >= 0 else 0.0


def _joined(free: Mask, start: tuple[int, int], goal: Mask) -> bool:
    if not free[start]:
        return False
    from scipy import ndimage  # late: the first page needs no route

    parts, _ = ndimage.label(free)
    return bool((parts[goal & free] == parts[start]).any())


def _path(free: Mask, start: tuple[int, int], goal: Mask) -> list[tuple[int, int]]:
    """Cells of a shortest way, every few of them."""
    before: dict[tuple[int, int], tuple[int, int]] = {start: start}
    waiting = deque([start])
    while waiting:
        cell = waiting.popleft()
        if goal[cell]:
            return _back(before, start, cell)
        for step in ((0, 1), (1, 0), (0, -1), (-1, 0)):
            near = (cell[0] + step[0], cell[1] + step[1])
            fits = 0 <= near[0] < free.shape[0] and 0 <= near[1] < free.shape[1]
            if fits and free[near] and near not in before:
                before[near] = cell
                waiting.append(near)
    return []


def _back(
    before: dict[tuple[int, int], tuple[int, int]], start: tuple[int, int], end: tuple[int, int]
) -> list[tuple[int, int]]:
    cells = [end]
    while cells[-1] != start:
        cells.append(before[cells[-1]])
    cells.reverse()
    return [
        cell for place, cell in enumerate(cells) if place in (0, len(cells) - 1) or place % 6 == 0
    ]
