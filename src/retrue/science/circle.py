"""Circular paths judged as ISO 230-4 judges them: deviations, hysteresis, upper bounds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from retrue.science.circle_zone import minimum_zone

Floats = NDArray[np.float64]
Centre = Literal["least-squares", "as-set"]
STEP_DEG = 0.1  # paths are compared at these angles
FULL_DEG = 340.0  # an arc this long counts as a full circle


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """One circle run once, in one direction.

    Attributes
    ----------
    angle_rad, deviation_um : ndarray, shape (n,)
        Angle from the first axis of the plane towards the second, and how far the path lies
        outside the nominal circle there.
    direction : int
        +1 counter-clockwise, -1 clockwise.
    radius_mm : float
        Nominal.
    feed_mm_min : float or None
        Along the path; None where nobody said.
    circle : int
        Runs of one circle, set up once, have one number, counted from 0.
    """

    angle_rad: Floats
    deviation_um: Floats
    direction: int
    radius_mm: float
    feed_mm_min: float | None = None
    circle: int = 0


@dataclass(frozen=True, slots=True)
class Deviations:
    """What ISO 230-4 reads from the paths of one circle, micrometres.

    G is the minimum zone, ``..._least_squares`` the range about the least-squares circle. A
    direction that was not run is None.
    """

    both: float
    cw: float | None
    ccw: float | None
    both_least_squares: float
    cw_least_squares: float | None
    ccw_least_squares: float | None
    hysteresis: float | None
    mean_radial: float
    radial_max: float
    radial_min: float
    cw_radial: tuple[float, float] | None  # largest and smallest, about the same centre
    ccw_radial: tuple[float, float] | None
    centre_x: float
    centre_y: float


def arc_deg(angle_rad: Floats) -> float:
    """How much of the circle the points cover.

    Parameters
    ----------
    angle_rad : ndarray, shape (n,)
        Radians, in any order.

    Returns
    -------
    float
        360 degrees less the largest gap; a gap of at most twice the usual step is none.

    Notes
    -----
    Our own rule.

    Examples
    --------
    >>> arc_deg(np.radians(np.arange(0, 360, 5))), round(arc_deg(np.radians(np.arange(0, 91))), 6)
    (360.0, 90.0)
    """
    if len(angle_rad) < 2:
        return 0.0
    turned = np.sort(np.degrees(angle_rad) % 360.0)
    gaps = np.append(np.diff(turned), turned[0] + 360.0 - turned[-1])
    largest = float(gaps.max())
    usual = float(np.median(gaps[gaps > 1e-6])) if (gaps > 1e-6).any() else 360.0
    return 360.0 if largest <= max(2.0 * usual, 1.0) and largest < 100.0 else 360.0 - largest


def least_squares_circle(angle_rad: Floats, deviation_um: Floats) -> tuple[float, float, float]:
    """Centre and radius of the least-squares circle.

    Parameters
    ----------
    angle_rad, deviation_um : ndarray, shape (n,)
        A path, or two one after the other.

    Returns
    -------
    tuple of float
        Centre x and y, and radius over the nominal one, micrometres.

    Notes
    -----
    On a part of a circle the second harmonics are fitted along: an oval left out would pass for
    a centre.

    References
    ----------
    NIST/SEMATECH e-Handbook, section 2.3 of measurement process characterization (roundness).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 45))
    >>> fitted = least_squares_circle(angle, np.array([0, 3, -1, 2, 4, -2, 1, 0.0]))
    >>> [round(one, 4) for one in fitted]
    [-0.4697, 0.7374, 0.875]
    """
    cosine, sine = np.cos(angle_rad), np.sin(angle_rad)
    columns = [cosine, sine, np.ones_like(cosine)]
    if arc_deg(angle_rad) < FULL_DEG:
        columns += [cosine**2 - sine**2, 2 * sine * cosine]
    rows = np.stack(columns)
    solved = np.linalg.lstsq(rows @ rows.T, rows @ deviation_um, rcond=None)[0]
    return float(solved[0]), float(solved[1]), float(solved[2])


def hysteresis(one: Path, other: Path) -> float:
    """The largest radial difference of two paths at the same angle.

    Parameters
    ----------
    one, other : Path
        The same circle, run clockwise and counter-clockwise.

    Returns
    -------
    float
        Micrometres; both paths interpolated to 0.1 degree, where both were measured.

    References
    ----------
    ISO 230-4, circular hysteresis H (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 1.0))
    >>> hysteresis(Path(angle, 2 + 0 * angle, 1, 100), Path(angle, 0 * angle, -1, 100))
    2.0
    """
    both = np.concatenate([one.deviation_um, other.deviation_um])
    return float(apart_rows(one, other)(both[None])[0])


def _covered(angle_rad: Floats, grid: Floats) -> NDArray[np.bool_]:
    """Where a path was measured: everywhere but inside its largest gap."""
    if arc_deg(angle_rad) >= 360.0:
        return np.ones(len(grid), dtype=bool)
    turned = np.sort(np.degrees(angle_rad) % 360.0)
    gaps = np.append(np.diff(turned), turned[0] + 360.0 - turned[-1])
    widest = int(np.argmax(gaps))
    start = turned[(widest + 1) % len(turned)]
    return np.asarray((grid - start) % 360.0 <= 360.0 - gaps[widest] + 1e-9)


def deviations(paths: Sequence[Path], *, centre: Centre = "least-squares") -> Deviations:
    """All deviations of one circle.

    Parameters
    ----------
    paths : sequence of Path
        Of one circle; runs of one direction are taken together.
    centre : "least-squares" or "as-set"
        Where the nominal circle lies for the radial deviation F.

    Returns
    -------
    Deviations
        Micrometres.

    Raises
    ------
    ValueError
        No path, or too few points for a circle.

    References
    ----------
    ISO 230-4:1996, clause 3: G, G(b), H, D, F (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 45))
    >>> made = deviations([Path(angle, np.array([0, 3, -1, 2, 4, -2, 1, 0.0]), 1, 100.0)])
    >>> round(made.both, 4), round(made.both_least_squares, 4), made.hysteresis is None
    (5.0, 5.341, True)
    """
    if not paths:
        raise ValueError("no path")
    sides = {way: _joined([p for p in paths if p.direction == way]) for way in (-1, 1)}
    cw, ccw = sides[-1], sides[1]
    run = [side for side in (cw, ccw) if side is not None]
    whole = _joined(run)
    assert whole is not None
    x, y, radius = least_squares_circle(whole.angle_rad, whole.deviation_um)
    at = (x, y) if centre == "least-squares" else (0.0, 0.0)
    highest, lowest = _extremes(whole, at)
    return Deviations(
        both=_zone(whole),
        cw=None if cw is None else _zone(cw),
        ccw=None if ccw is None else _zone(ccw),
        both_least_squares=_range(whole),
        cw_least_squares=None if cw is None else _range(cw),
        ccw_least_squares=None if ccw is None else _range(ccw),
        hysteresis=None if cw is None or ccw is None else hysteresis(cw, ccw),
        mean_radial=radius,
        radial_max=highest,
        radial_min=lowest,
        cw_radial=None if cw is None else _extremes(cw, at),
        ccw_radial=None if ccw is None else _extremes(ccw, at),
        centre_x=x,
        centre_y=y,
    )


def bidirectional(paths: Sequence[Path]) -> float:
    """The width of the narrowest ring that holds all paths.

    Parameters
    ----------
    paths : sequence of Path
        Of one circle, in one or both directions.

    Returns
    -------
    float
        Micrometres.

    References
    ----------
    ISO 230-4, bi-directional circular deviation G(b) (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 5.0))
    >>> oval = [Path(angle, 2 * np.cos(2 * angle), way, 100.0) for way in (-1, 1)]
    >>> round(bidirectional(oval), 9)
    4.0
    """
    whole = _joined(paths)
    if whole is None:
        raise ValueError("no path")
    return _zone(whole)


def _joined(paths: Sequence[Path]) -> Path | None:
    if len(paths) < 2:
        return paths[0] if paths else None
    return replace(
        paths[0],
        angle_rad=np.concatenate([p.angle_rad for p in paths]),
        deviation_um=np.concatenate([p.deviation_um for p in paths]),
    )


def _extremes(path: Path, centre: tuple[float, float]) -> tuple[float, float]:
    """The radial deviation F at its largest and smallest, about a centre."""
    x, y = centre
    radial = path.deviation_um - x * np.cos(path.angle_rad) - y * np.sin(path.angle_rad)
    return float(radial.max()), float(radial.min())


def _zone(path: Path) -> float:
    return minimum_zone(path.angle_rad, path.deviation_um).width_um


def _range(path: Path) -> float:
    x, y, _ = least_squares_circle(path.angle_rad, path.deviation_um)
    left = path.deviation_um - x * np.cos(path.angle_rad) - y * np.sin(path.angle_rad)
    return float(np.ptp(left))


def apart_rows(one: Path, other: Path) -> Callable[[Floats], Floats]:
    """The hysteresis of many repeated measurements of the same two paths.

    Parameters
    ----------
    one, other : Path
        Where both were measured.

    Returns
    -------
    callable
        From deviations of shape (m, n), first those of ``one``, then those of ``other``, to m
        hystereses, micrometres.

    References
    ----------
    ISO 230-4, circular hysteresis H (from memory).

    Examples
    --------
    >>> angle = np.radians(np.arange(0, 360, 1.0))
    >>> path = Path(angle, 0 * angle, 1, 100.0)
    >>> apart_rows(path, path)(np.concatenate([2 + 0 * angle, 0 * angle])[None]).tolist()
    [2.0]
    """
    grid = np.arange(0, 360, STEP_DEG)
    at = grid[_covered(one.angle_rad, grid) & _covered(other.angle_rad, grid)]
    count = len(one.angle_rad)
    # Between two points the difference is straight: its largest stands at an end of a stretch.
    first = np.stack([_between(path, at)[0] for path in (one, other)])
    turns = np.append(True, (np.diff(first, axis=1) != 0).any(axis=0))
    at = at[(turns | np.roll(turns, -1))[: len(at)]]
    sides = [_between(path, at) for path in (one, other)]

    def apart(deviations_um: Floats) -> Floats:
        parts = (deviations_um[:, :count], deviations_um[:, count:])
        low, high = (
            part[:, before] * (1 - share) + part[:, after] * share
            for part, (before, after, share) in zip(parts, sides, strict=True)
        )
        return np.asarray(np.abs(low - high).max(axis=1, initial=0.0))

    return apart


def _between(path: Path, degrees: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats]:
    """For each angle the point before it, the one after it, and how far it is on its way."""
    turned = np.degrees(path.angle_rad) % 360.0
    order = np.argsort(turned, kind="stable")
    place = np.searchsorted(turned[order], degrees, side="right")
    before, after = order[place - 1], order[place % len(order)]
    gap = (turned[after] - turned[before]) % 360.0
    way = (degrees - turned[before]) % 360.0
    return before, after, np.where(gap > 0, way / np.where(gap > 0, gap, 1.0), 0.0)
