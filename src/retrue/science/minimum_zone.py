"""Minimum zones: the narrowest band between two parallel lines or planes that holds all points."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
ROUNDS = 200
NEAREST = {2: 30, 3: 20}  # points that may come to bear, by unknowns of line or plane
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Zone:
    """A minimum zone over ``n`` points.

    Attributes
    ----------
    width : float
        Largest less smallest deviation, in the unit of the heights.
    parameters : ndarray, shape (k,)
        Of the middle line (offset, slope) or plane (offset, slope along x, slope along y).
    deviations : ndarray, shape (n,)
        Height less middle; between minus and plus half the width.
    """

    width: float
    parameters: Floats
    deviations: Floats


def line_design(positions: ArrayLike) -> Floats:
    """The columns of a straight line.

    Parameters
    ----------
    positions : array_like, shape (n,)
        Along the line.

    Returns
    -------
    ndarray, shape (n, 2)

    References
    ----------
    By definition.

    Examples
    --------
    >>> line_design([0, 2]).tolist()
    [[1.0, 0.0], [1.0, 2.0]]
    """
    x = np.asarray(positions, dtype=np.float64)
    return np.column_stack([np.ones_like(x), x])


def plane_design(x: ArrayLike, y: ArrayLike) -> Floats:
    """The columns of a plane.

    Parameters
    ----------
    x, y : array_like, shape (n,)
        Places.

    Returns
    -------
    ndarray, shape (n, 3)

    References
    ----------
    By definition.

    Examples
    --------
    >>> plane_design([0, 2], [1, 3]).tolist()
    [[1.0, 0.0, 1.0], [1.0, 2.0, 3.0]]
    """
    along = np.asarray(x, dtype=np.float64)
    return np.column_stack([np.ones_like(along), along, np.asarray(y, dtype=np.float64)])


def line_zone(positions: ArrayLike, heights: ArrayLike) -> Zone:
    """The minimum zone of a line, by the edges of the points' convex hull.

    Parameters
    ----------
    positions, heights : array_like, shape (n,)
        Two points at least, not all at one position.

    Returns
    -------
    Zone

    Raises
    ------
    ValueError
        Too few points, or all at one position.

    Notes
    -----
    The width over a slope is convex and bends only where the line lies along a hull edge, so the
    best slope is that of an edge.

    References
    ----------
    ISO 1101:2017, minimum zone (from memory); ISO 230-1:2012, straightness (from memory). Hull
    after Andrew (1979), Information Processing Letters 9 (from memory).

    Examples
    --------
    >>> made = line_zone([0, 1, 2], [0.0, 1.0, 0.0])
    >>> made.width, made.parameters.tolist()
    (1.0, [0.5, 0.0])
    """
    x = np.asarray(positions, dtype=np.float64)
    h = np.asarray(heights, dtype=np.float64)
    if x.ndim != 1 or x.shape != h.shape or len(x) < 2 or np.ptp(x) == 0:
        raise ValueError("a line needs two points at two positions")
    order = np.lexsort((h, x))
    upper, lower = _chain(x[order], h[order], 1.0), _chain(x[order], h[order], -1.0)
    points = np.array(upper + lower)
    best = (np.inf, 0.0)
    for chain in (upper, lower):
        for (x1, h1), (x2, h2) in pairwise(chain):
            slope = (h2 - h1) / (x2 - x1)
            width = float(np.ptp(points[:, 1] - slope * points[:, 0]))
            best = min(best, (width, slope))
    slope = best[1]
    rest = h - slope * x
    offset = float((rest.max() + rest.min()) / 2)
    return Zone(float(np.ptp(rest)), np.array([offset, slope]), rest - offset)


def _chain(x: Floats, h: Floats, side: float) -> list[tuple[float, float]]:
    """The upper (+1) or lower (-1) half of a hull; points sorted along x, one to a position."""
    made: list[tuple[float, float]] = []
    for point in zip(x.tolist(), h.tolist(), strict=True):
        if made and made[-1][0] == point[0]:
            if side * (point[1] - made[-1][1]) <= 0:
                continue
            made.pop()
        while len(made) >= 2 and side * _turn(made[-2], made[-1], point) >= 0:
            made.pop()
        made.append(point)
    return made


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])


def zone(design: ArrayLike, heights: ArrayLike) -> Zone:
    """The minimum zone of a line or plane, by linear programming over the points that bear.

    Parameters
    ----------
    design : array_like, shape (n, k)
        Of ``line_design`` or ``plane_design``.
    heights : array_like, shape (n,)
        Any unit.

    Returns
    -------
    Zone

    Raises
    ------
    ValueError
        The points do not determine the line or plane.

    Notes
    -----
    Minimises t with |h - design p| <= t/2. The program is solved over a few points; those that
    lie farthest out join until none does, which makes the answer exact for all.

    References
    ----------
    ISO 1101:2017, flatness zone (from memory); linear programme: any textbook.

    Examples
    --------
    >>> corners = plane_design([0, 1, 0, 1], [0, 0, 1, 1])
    >>> round(zone(corners, [0.0, 0, 0, 2]).width, 9)
    1.0
    """
    columns, h = np.asarray(design, dtype=np.float64), np.asarray(heights, dtype=np.float64)
    middle, size = columns.mean(axis=0), np.ptp(columns, axis=0)
    middle[0], size[0] = 0.0, 1.0
    if (size == 0).any() or np.linalg.matrix_rank(columns) < columns.shape[1]:
        raise ValueError("the points do not determine it")
    scaled = (columns - middle) / size
    start = np.linalg.lstsq(scaled, h, rcond=None)[0]
    left = h - scaled @ start
    height = float(np.ptp(left)) or 1.0
    parameters = _exchange(scaled, left / height) * height + start
    deviations = h - scaled @ parameters
    told = parameters / size
    told[0] = parameters[0] - float((parameters / size * middle)[1:].sum())
    return Zone(float(np.ptp(deviations)), told, deviations)


def _exchange(columns: Floats, heights: Floats) -> Floats:
    """Middle plane of heights of about one; points join where they stand out most."""
    order = np.argsort(heights)
    few = 2 * columns.shape[1]
    chosen = set(order[:few].tolist()) | set(order[-few:].tolist())
    parameters = np.zeros(columns.shape[1])
    for _ in range(ROUNDS):
        some = sorted(chosen)
        parameters, half = _programme(columns[some], heights[some])
        left = heights - columns @ parameters
        out = np.argsort(-np.abs(left))[:few]
        new = {int(i) for i in out if abs(left[i]) > half + _CLOSE} - chosen
        if not new:
            break
        chosen |= new
    return parameters


def _programme(columns: Floats, heights: Floats) -> tuple[Floats, float]:
    from scipy.optimize import linprog

    count = columns.shape[1]
    ones = np.ones((len(heights), 1))
    above = np.hstack([-columns, -ones])
    below = np.hstack([columns, -ones])
    solved = linprog(
        np.r_[np.zeros(count), 1.0],
        A_ub=np.vstack([above, below]),
        b_ub=np.r_[-heights, heights],
        bounds=[(None, None)] * count + [(0, None)],
        method="highs",
    )
    found = np.asarray(solved.x, dtype=np.float64)
    return found[:count], float(found[count])


@dataclass(frozen=True, slots=True, eq=False)
class Bearing:
    """Points that may come to bear, shape (p,), and weights of their heights, shape (m, p)."""

    points: NDArray[np.intp]
    weights: Floats


def bearing(design: ArrayLike, heights: ArrayLike) -> Bearing:
    """Weights by which the width of many similar sets of heights follows at once.

    Parameters
    ----------
    design : array_like, shape (n, k)
        Of ``line_design`` or ``plane_design``; k is 2 or 3.
    heights : array_like, shape (n,)
        The set that the others are like.

    Returns
    -------
    Bearing
        ``widths(bearing, sets)`` takes it.

    Notes
    -----
    By duality the width is the largest |w h| over the sets of k + 1 points with weights w that
    sum to nothing against each column and to two in size. All sets are taken among the points
    nearest to the zone's edges, or among all where they are few: then the widths are exact, else
    never too large.

    References
    ----------
    Cheney, Introduction to Approximation Theory (1966), chapter 2 (from memory).

    Examples
    --------
    >>> weights = bearing(line_design([0, 1, 2]), [0.0, 1.0, 0.0])
    >>> widths(weights, np.array([[0.0, 3.0, 0.0]])).round(9).tolist()
    [3.0]
    """
    columns = np.asarray(design, dtype=np.float64)
    h = np.asarray(heights, dtype=np.float64)
    unknowns = columns.shape[1]
    outer = np.argsort(-np.abs(zone(columns, h).deviations), kind="stable")
    near = np.sort(outer[: NEAREST[unknowns]])
    sets = np.array(list(combinations(range(len(near)), unknowns + 1)))
    middle, size = columns.mean(axis=0), np.ptp(columns, axis=0)
    middle[0], size[0] = 0.0, 1.0
    left, singular, _ = np.linalg.svd(((columns[near] - middle) / size)[sets])
    full = singular[:, -1] > _CLOSE
    weights = left[full][:, :, unknowns]
    weights *= 2 / np.abs(weights).sum(axis=1, keepdims=True)
    made = np.zeros((int(full.sum()), len(near)))
    np.put_along_axis(made, sets[full], weights, axis=1)
    return Bearing(near, made)


def widths(bear: Bearing, sets: Floats) -> Floats:
    """Widths of many sets of heights.

    Parameters
    ----------
    bear : Bearing
        Of ``bearing``.
    sets : ndarray, shape (s, n)
        Heights, a set a row.

    Returns
    -------
    ndarray, shape (s,)

    References
    ----------
    By definition, see ``bearing``.

    Examples
    --------
    >>> bear = bearing(line_design([0, 1, 2]), [0.0, 1.0, 0.0])
    >>> widths(bear, np.array([[0.0, 2.0, 0.0], [1.0, 1.0, 1.0]])).round(9).tolist()
    [2.0, 0.0]
    """
    return np.asarray(np.abs(sets[:, bear.points] @ bear.weights.T).max(axis=1), dtype=np.float64)
