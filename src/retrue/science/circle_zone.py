"""The two closest concentric circles around a measured path: its minimum zone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
SHARE = 1e-10  # of the zone: a point that sticks out by less does not
ROUNDS = 200  # exchanges before a linear programme takes over


@dataclass(frozen=True, slots=True)
class Zone:
    """Two concentric circles that hold all points: centre, mean radius and width, micrometres.

    ``radius_um`` is the middle of the two circles over the nominal radius.
    """

    centre_x_um: float
    centre_y_um: float
    radius_um: float
    width_um: float


def minimum_zone(angle_rad: ArrayLike, deviation_um: ArrayLike) -> Zone:
    """The narrowest ring about a free centre that holds a measured path.

    Parameters
    ----------
    angle_rad : array_like, shape (n,)
        Angles of the points, radians, at least three different ones.
    deviation_um : array_like, shape (n,)
        Radial deviations, small beside the radius.

    Returns
    -------
    Zone
        Exact for deviations that are small beside the radius.

    Raises
    ------
    ValueError
        The shapes differ, or there are fewer than three different angles.

    Notes
    -----
    A best approximation in the largest error by 1, cos, sin has four points that touch it. Four
    are held; the point that sticks out most is exchanged for the one whose multiplier falls to
    zero first (the dual simplex method), so the width only grows and ends at the smallest.

    References
    ----------
    ISO 230-4, circular deviation G (from memory); Watson, Approximation Theory and Numerical
    Methods, chapter 2 (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 45))
    >>> zone = minimum_zone(angle, [0, 3, -1, 2, 4, -2, 1, 0])
    >>> round(zone.width_um, 6), round(zone.centre_x_um, 6), round(zone.centre_y_um, 6)
    (5.0, -1.0, 1.0)
    """
    angle = np.asarray(angle_rad, dtype=np.float64)
    deviation = np.asarray(deviation_um, dtype=np.float64)
    if angle.ndim != 1 or angle.shape != deviation.shape:
        raise ValueError("one deviation for each angle")
    rows = np.stack([np.ones(len(angle)), np.cos(angle), np.sin(angle)])
    return _zone(rows, deviation)


def _zone(rows: Floats, deviation: Floats) -> Zone:
    """The zone; ``rows`` has shape (3, n): 1, cosine, sine."""
    held = _start(rows)
    if len(held) < 4:
        return _told([*np.linalg.solve(rows[:, held].T, deviation[held]), 0.0])
    null = np.linalg.svd(rows[:, held])[2][-1]
    sign = np.where(null >= 0, 1.0, -1.0)
    if sign @ (np.abs(null) * deviation[held]) < 0:
        sign = -sign
    for _ in range(ROUNDS):
        basis = np.vstack([rows[:, held] * sign, np.ones(4)])  # columns: sides that touch
        try:
            answer = np.linalg.solve(basis.T, sign * deviation[held])
            share = np.linalg.solve(basis, np.array([0.0, 0.0, 0.0, 1.0]))
        except np.linalg.LinAlgError:
            break
        error = deviation - answer[:3] @ rows
        worst = int(np.argmax(np.abs(error)))
        out = abs(float(error[worst]))
        if out <= answer[3] + SHARE * max(out, 1e-9):
            return _told(answer)
        side = 1.0 if error[worst] > 0 else -1.0
        entering = np.linalg.solve(basis, np.append(side * rows[:, worst], 1.0))
        able = entering > 1e-12
        ratio = np.where(able, share / np.where(able, entering, 1.0), np.inf)
        leaves = int(np.argmin(ratio))
        held[leaves], sign[leaves] = worst, side
    return _programme(rows, deviation)


def zone_widths(angle_rad: ArrayLike, deviations_um: ArrayLike) -> Floats:
    """The widths of many minimum zones over the same angles.

    Parameters
    ----------
    angle_rad : array_like, shape (n,)
        Angles of the points, radians, at least four different ones.
    deviations_um : array_like, shape (m, n)
        One measured circle a row.

    Returns
    -------
    ndarray, shape (m,)
        Micrometres; the same as `minimum_zone` gives for each row.

    Raises
    ------
    ValueError
        The shapes do not fit, or there are fewer than three different angles.

    Notes
    -----
    The exchange of `minimum_zone`, all rows side by side.

    References
    ----------
    ISO 230-4, circular deviation G (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 45))
    >>> zone_widths(angle, [[0, 3, -1, 2, 4, -2, 1, 0], [1, 0, 1, 0, 1, 0, 1, 0]]).round(6).tolist()
    [5.0, 1.0]
    """
    angle = np.asarray(angle_rad, dtype=np.float64)
    deviations = np.atleast_2d(np.asarray(deviations_um, dtype=np.float64))
    if angle.ndim != 1 or deviations.shape[1:] != angle.shape:
        raise ValueError("one deviation for each angle")
    rows = np.stack([np.ones(len(angle)), np.cos(angle), np.sin(angle)])
    widths = np.full(len(deviations), np.nan)
    first = _start(rows)
    if len(first) < 4:
        return np.zeros(len(deviations))
    null = np.linalg.svd(rows[:, first])[2][-1]
    side = np.where(null >= 0, 1.0, -1.0)
    flip = np.where(deviations[:, first] @ (np.abs(null) * side) < 0, -1.0, 1.0)
    held = np.tile(first, (len(deviations), 1))
    sign = flip[:, None] * side
    open_rows = np.arange(len(deviations))
    for _ in range(ROUNDS):
        if len(open_rows) == 0:
            break
        still = _exchange(rows, deviations, open_rows, held, sign, widths)
        open_rows = open_rows[still]
    for row in np.flatnonzero(np.isnan(widths)):
        widths[row] = _programme(rows, deviations[row]).width_um
    return widths


def _exchange(
    rows: Floats,
    deviations: Floats,
    which: NDArray[np.intp],
    held: NDArray[np.intp],
    sign: Floats,
    widths: Floats,
) -> NDArray[np.bool_]:
    """One exchange in each of the rows ``which``; tells which of them have not ended."""
    at, way = held[which], sign[which]
    basis = np.concatenate([rows.T[at] * way[:, :, None], np.ones((*at.shape, 1))], axis=2)
    whole = np.abs(np.linalg.det(basis)) > 1e-13
    basis[~whole] = np.eye(4)
    read = np.take_along_axis(deviations[which], at, axis=1)
    answer = np.linalg.solve(basis, (way * read)[:, :, None])[:, :, 0]
    error = deviations[which] - answer[:, :3] @ rows
    worst = np.argmax(np.abs(error), axis=1)
    out = error[np.arange(len(which)), worst]
    ended = np.abs(out) <= answer[:, 3] + SHARE * np.maximum(np.abs(out), 1e-9)
    widths[which[ended & whole]] = 2 * np.abs(answer[ended & whole, 3])
    side = np.where(out > 0, 1.0, -1.0)
    new = np.column_stack([rows.T[worst] * side[:, None], np.ones(len(which))])
    turned = np.swapaxes(basis, 1, 2)
    last = np.broadcast_to(np.array([[0.0], [0.0], [0.0], [1.0]]), (len(which), 4, 1))
    share = np.linalg.solve(turned, last)[:, :, 0]
    entering = np.linalg.solve(turned, new[:, :, None])[:, :, 0]
    able = entering > 1e-12
    ratio = np.where(able, share / np.where(able, entering, 1.0), np.inf)
    leaves = np.argmin(ratio, axis=1)
    going = ~ended & whole
    held[which[going], leaves[going]] = worst[going]
    sign[which[going], leaves[going]] = side[going]
    return np.asarray(going)


def _start(rows: Floats) -> NDArray[np.intp]:
    """Four points with different angles, as far around as there are; three where there are no more.

    With only three angles any ring has no width.
    """
    angle = np.arctan2(rows[2], rows[1])
    order = np.argsort(angle) if len(angle) <= 4096 else np.argsort(angle[:: len(angle) // 4096])
    order = order if len(angle) <= 4096 else order * (len(angle) // 4096)
    kept = order[np.append(True, np.diff(angle[order]) > 1e-9)]
    if len(kept) < 3:
        raise ValueError("fewer than three different angles")
    if len(kept) == 3 and len(angle) > 3:
        other = np.setdiff1d(np.arange(len(angle)), kept)[:1]
        return np.concatenate([kept, other]).astype(np.intp)
    if len(kept) == 3:
        return np.asarray(kept, dtype=np.intp)
    return np.asarray(kept[np.linspace(0, len(kept), 5)[:4].astype(int)], dtype=np.intp)


def _programme(rows: Floats, deviation: Floats) -> Zone:
    """The same by a linear programme over the points that can matter, more of them each time."""
    from scipy.optimize import linprog

    middle = np.linalg.lstsq(rows.T, deviation, rcond=None)[0]
    error = deviation - middle @ rows
    active = np.unique(np.concatenate([np.argsort(error)[:40], np.argsort(error)[-40:]]))
    while True:
        some = rows[:, active].T
        ones = np.ones((len(active), 1))
        sides = np.vstack([np.hstack([some, -ones]), np.hstack([-some, -ones])])
        bounds = np.concatenate([deviation[active], -deviation[active]])
        free = [(None, None)] * 3 + [(0, None)]
        found = linprog([0, 0, 0, 1], A_ub=sides, b_ub=bounds, bounds=free, method="highs").x
        solved = np.asarray(found, dtype=np.float64)
        error = deviation - solved[:3] @ rows
        fresh = np.setdiff1d([np.argmax(error), np.argmin(error)], active)
        if len(fresh) == 0 or np.abs(error).max() <= solved[3] + 1e-9:
            return _told(solved)
        active = np.append(active, fresh)


def _told(answer: Iterable[float]) -> Zone:
    radius, x, y, half = (float(part) for part in answer)
    return Zone(centre_x_um=x, centre_y_um=y, radius_um=radius, width_um=2 * abs(half))
