"""Flatness of a plate from the eight lines of a union-jack, or from any grid of heights."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import fit
from retrue.science.minimum_zone import plane_design, zone

Floats = NDArray[np.float64]
# Where each line starts and ends, in shares of length (x, to the east) and width (y, to the north).
LINES: Mapping[str, tuple[tuple[float, float], tuple[float, float]]] = {
    "A": ((0, 0), (1, 1)),
    "B": ((0, 1), (1, 0)),
    "C": ((0, 0), (0, 1)),
    "D": ((0, 1), (1, 1)),
    "E": ((1, 1), (1, 0)),
    "F": ((1, 0), (0, 0)),
    "G": ((0.5, 0), (0.5, 1)),
    "H": ((0, 0.5), (1, 0.5)),
}
_DIGITS = 9  # to which shares of a side are rounded to tell stations apart


@dataclass(frozen=True, slots=True, eq=False)
class Jack:
    """Heights of a union-jack in the plane of its diagonals.

    Attributes
    ----------
    lines : mapping of str to ndarray, shape (steps + 1,)
        Heights along each line, micrometres.
    closure_g, closure_h : float
        Height of each centre line in the centre, which should be that of the diagonals: 0.
    shares : ndarray, shape (n, 2)
        Each station once, in shares of length and width.
    heights : ndarray, shape (n,)
        Their heights; the centre is that of the diagonals.
    """

    lines: Mapping[str, Floats]
    closure_g: float
    closure_h: float
    shares: Floats
    heights: Floats

    @property
    def flatness(self) -> float:
        """Largest less smallest height in the plane of the diagonals."""
        return float(np.ptp(self.heights))


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Heights of all stations from all readings at once.

    ``scatter`` is the standard uncertainty of one step that the misclosures tell, micrometres,
    with ``freedom`` degrees of freedom; ``covariance`` is that of the heights for one step of
    uncertainty one.
    """

    shares: Floats
    heights: Floats
    scatter: float
    freedom: int
    rank: int
    covariance: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """Flatness over two reference planes, and the deviations from the minimum-zone one."""

    least_squares: float
    minimum_zone: float
    deviations: Floats


def shares_of(line: str, steps: int) -> Floats:
    """The stations of a line.

    Parameters
    ----------
    line : str
        A to H.
    steps : int
        Between its ends.

    Returns
    -------
    ndarray, shape (steps + 1, 2)
        In shares of length and width.

    References
    ----------
    Moody, How to calibrate surface plates in the plant, The Tool Engineer, October 1955 (lines from
    memory).

    Examples
    --------
    >>> shares_of("B", 2).tolist()
    [[0.0, 1.0], [0.5, 0.5], [1.0, 0.0]]
    """
    start, end = (np.array(point, dtype=np.float64) for point in LINES[line])
    return start + (end - start) * np.linspace(0, 1, steps + 1)[:, None]


def moody(steps: Mapping[str, ArrayLike]) -> Jack:
    """Heights of a union-jack line by line, after Moody.

    Parameters
    ----------
    steps : mapping of str to array_like, shape (steps,)
        For each of the lines A to H the rise of each step, micrometres; all of even number. Each
        line may have an unknown tilt of its own.

    Returns
    -------
    Jack

    Raises
    ------
    ValueError
        A line is missing or has an odd number of steps.

    Notes
    -----
    Diagonals: end to end line taken off, then the height in the middle. Perimeter: own end line
    off, that of the corners on. Centre lines: alike, between the middles of the perimeter.

    References
    ----------
    Moody, How to calibrate surface plates in the plant, The Tool Engineer, October 1955 (procedure
    from memory).

    Examples
    --------
    >>> bowl = [-1.0, 1.0]
    >>> jack = moody({line: bowl for line in "ABCDEFGH"})
    >>> jack.lines["A"].tolist(), jack.closure_g, jack.flatness
    ([1.0, 0.0, 1.0], -1.0, 1.0)
    """
    heights = {}
    for line in LINES:
        if (
            line not in steps
            or len(np.asarray(steps[line])) % 2
            or not len(np.asarray(steps[line]))
        ):
            raise ValueError(f"line {line} needs an even number of steps")
        bare = _between(np.concatenate([[0.0], np.cumsum(steps[line])]), 0.0, 0.0)
        heights[line] = bare - bare[len(bare) // 2] if line in "AB" else bare
    south_west, north_east = heights["A"][0], heights["A"][-1]
    north_west, south_east = heights["B"][0], heights["B"][-1]
    corners = {
        "C": (south_west, north_west),
        "D": (north_west, north_east),
        "E": (north_east, south_east),
        "F": (south_east, south_west),
    }
    for line, (start, end) in corners.items():
        heights[line] = _between(heights[line], start, end)
    middle = {line: float(heights[line][len(heights[line]) // 2]) for line in corners}
    heights["G"] = _between(heights["G"], middle["F"], middle["D"])
    heights["H"] = _between(heights["H"], middle["C"], middle["E"])
    shares, flat = _once(heights)
    return Jack(
        lines=heights,
        closure_g=float(heights["G"][len(heights["G"]) // 2]),
        closure_h=float(heights["H"][len(heights["H"]) // 2]),
        shares=shares,
        heights=flat,
    )


def _between(heights: Floats, start: float, end: float) -> Floats:
    """Heights of a line tilted so that its ends come to lie at given heights."""
    share = np.linspace(0, 1, len(heights))
    own = heights[0] + (heights[-1] - heights[0]) * share
    return np.asarray(heights - own + start + (end - start) * share, dtype=np.float64)


def _once(heights: Mapping[str, Floats]) -> tuple[Floats, Floats]:
    """Each station once: where lines meet, the first of them in the order A to H counts."""
    found: dict[tuple[float, float], float] = {}
    for line in LINES:
        places = shares_of(line, len(heights[line]) - 1).round(_DIGITS) + 0.0
        for place, height in zip(places.tolist(), heights[line].tolist(), strict=True):
            found.setdefault((place[0], place[1]), height)
    return np.array(list(found)), np.array(list(found.values()))


def network(steps: Mapping[str, ArrayLike]) -> Network:
    """Heights of all stations by least squares, the tilt of each line unknown.

    Parameters
    ----------
    steps : mapping of str to array_like, shape (steps,)
        For any of the lines A to H the rise of each step, micrometres.

    Returns
    -------
    Network

    Raises
    ------
    ValueError
        No line.

    Notes
    -----
    Three freedoms stay open: a plane. Heights are given with the least-squares plane at zero.

    References
    ----------
    Haitjema, Metrology 6 (2026) 27, least squares over all eight lines (open access; abstract).

    Examples
    --------
    >>> bowl = [-1.0, 1.0]
    >>> made = network({line: bowl for line in "ABCDEFGH"})
    >>> made.rank, made.freedom, len(made.heights)
    (14, 2, 9)
    """
    index: dict[tuple[float, float], int] = {}
    rows: list[tuple[int, int, int]] = []
    readings: list[float] = []
    for number, (line, rises) in enumerate(steps.items()):
        values = np.asarray(rises, dtype=np.float64)
        places = shares_of(line, len(values)).round(_DIGITS) + 0.0
        at = [index.setdefault((x, y), len(index)) for x, y in places.tolist()]
        rows += [(start, end, number) for start, end in pairwise(at)]
        readings += values.tolist()
    if not rows:
        raise ValueError("at least one line")
    count = len(index)
    design = np.zeros((len(rows), count + len(steps)))
    for row, (start, end, number) in enumerate(rows):
        design[row, start], design[row, end], design[row, count + number] = -1.0, 1.0, 1.0
    made = fit(design, readings, reading_sd=1.0)
    shares = np.array(list(index))
    off = _off_plane(shares)
    return Network(
        shares=shares,
        heights=off @ made.parameters[:count],
        scatter=made.residual_sd,
        freedom=made.freedom,
        rank=made.rank,
        covariance=off @ made.covariance[:count, :count] @ off.T,
    )


def _off_plane(places: Floats) -> Floats:
    """The matrix that takes the least-squares plane off heights at these places."""
    design = plane_design(places[:, 0], places[:, 1])
    return np.asarray(np.eye(len(places)) - design @ np.linalg.pinv(design), dtype=np.float64)


def flat(x: ArrayLike, y: ArrayLike, heights: ArrayLike) -> Flat:
    """Flatness of points over a least-squares and over a minimum-zone plane.

    Parameters
    ----------
    x, y, heights : array_like, shape (n,)
        Places in any unit, heights in micrometres.

    Returns
    -------
    Flat

    Raises
    ------
    ValueError
        Fewer than three points, or all on one line.

    References
    ----------
    ISO 1101:2017, minimum zone; ISO 12781-1:2011, reference planes (both from memory).

    Examples
    --------
    >>> made = flat([0, 2, 0, 2, 1], [0, 0, 2, 2, 1], [0, 0, 0, 0, 4])
    >>> round(made.least_squares, 6), round(made.minimum_zone, 6)
    (4.0, 4.0)
    """
    along, across = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    h = np.asarray(heights, dtype=np.float64)
    design = plane_design(along, across)
    narrow = zone(design, h)
    middle = plane_design(along - along.mean(), across - across.mean())
    return Flat(float(np.ptp(fit(middle, h).residuals)), narrow.width, narrow.deviations)
