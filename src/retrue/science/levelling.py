"""Levelling: from tilts at stations to what each foot must rise, and what is then read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.least_squares import Fit, fit

Floats = NDArray[np.float64]
MODES = ("tilt_x", "tilt_y", "twist", "bow_x", "bow_y")
BENDING = ("bow_x", "bow_y")  # only six feet or more can bend a bed on purpose
FEET_TO_BEND = 6


@dataclass(frozen=True, slots=True, eq=False)
class Stations:
    """Where the level stood and along which axis; all of shape (n,)."""

    x_m: Floats
    y_m: Floats
    along_x: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """What the feet must do; ``n`` readings, ``k`` feet.

    Attributes
    ----------
    raise_um, standard_uncertainties : ndarray, shape (k,)
        Raise only: the foot that stands highest stays. Uncertainties in units of the readings'
        standard uncertainty, to be multiplied by it.
    after : ndarray, shape (n,)
        Tilts that are then read, µm/m.
    response : ndarray, shape (n, k)
        Change of each tilt for each foot's rise, µm/m per µm.
    modes : tuple of str
        What the feet can do and the readings can see.
    lost : tuple of str
        What these feet could do if the readings saw it.
    rank : int
        Independent moves that were determined.
    condition : float
        Largest over smallest singular value of what was determined.
    unseen : ndarray, shape (j, k)
        Moves of the feet that these readings do not determine; the first is the rise of all.
    """

    raise_um: Floats
    standard_uncertainties: Floats
    after: Floats
    response: Floats
    modes: tuple[str, ...]
    lost: tuple[str, ...]
    rank: int
    condition: float
    unseen: Floats


def reversal(first: ArrayLike, turned: ArrayLike) -> tuple[Floats, Floats]:
    """Tilt and the level's own zero from readings before and after turning it end for end.

    Parameters
    ----------
    first, turned : array_like, shape (n,), µm/m
        Same place, level one way and then end for end; the sign is that of the bubble.

    Returns
    -------
    tuple of ndarray, shape (n,)
        Tilt, positive where the + end is high; zero error, what it shows on a level surface.

    References
    ----------
    ISO 230-1:2012, level reversal (from memory): half the difference, half the sum.

    Examples
    --------
    >>> tilt, zero = reversal([68.0], [-56.0])
    >>> tilt.tolist(), zero.tolist()
    ([62.0], [6.0])
    """
    one, other = np.asarray(first, dtype=np.float64), np.asarray(turned, dtype=np.float64)
    return (one - other) / 2, (one + other) / 2


def gradients(stations: Stations, modes: tuple[str, ...] = MODES) -> Floats:
    """What each form of the bed shows on the level.

    Parameters
    ----------
    stations : Stations
        Where the level stood; shape (n,), metres.
    modes : tuple of str
        Of MODES.

    Returns
    -------
    ndarray, shape (n, modes)
        Tilt (µm/m) for one unit of the mode: µm/m for a tilt, µm/m per m for a twist or bow.

    Notes
    -----
    The height is z = b x + c y + d x y + e x² / 2 + f y² / 2; its slopes are taken along x and y.

    References
    ----------
    By definition; derived here.

    Examples
    --------
    >>> import numpy as np
    >>> at = Stations(np.array([0.2]), np.array([0.9]), np.array([True]))
    >>> gradients(at, ("tilt_x", "tilt_y", "twist")).tolist()
    [[1.0, 0.0, 0.9]]
    """
    x, y, along = stations.x_m, stations.y_m, stations.along_x
    one, none = np.ones_like(x), np.zeros_like(x)
    slopes = {
        "tilt_x": (one, none),
        "tilt_y": (none, one),
        "twist": (y, x),
        "bow_x": (x, none),
        "bow_y": (none, y),
    }
    return np.column_stack([np.where(along, *slopes[mode]) for mode in modes])


def heights(x_m: ArrayLike, y_m: ArrayLike, modes: tuple[str, ...] = MODES) -> Floats:
    """How high each form of the bed stands at given places.

    Parameters
    ----------
    x_m, y_m : array_like, shape (k,), metres
        Places, of the feet for instance.
    modes : tuple of str
        Of MODES.

    Returns
    -------
    ndarray, shape (k, modes)
        Micrometres for one unit of the mode.

    References
    ----------
    By definition; derived here.

    Examples
    --------
    >>> heights([2.0], [1.0], ("tilt_x", "tilt_y", "twist")).tolist()
    [[2.0, 1.0, 2.0]]
    """
    x, y = np.asarray(x_m, dtype=np.float64), np.asarray(y_m, dtype=np.float64)
    shape = {"tilt_x": x, "tilt_y": y, "twist": x * y, "bow_x": x * x / 2, "bow_y": y * y / 2}
    return np.column_stack([shape[mode] for mode in modes])


def seen(stations: Stations, modes: tuple[str, ...] = MODES[:3]) -> tuple[str, ...]:
    """The forms of the bed that these stations tell apart, the simple ones first.

    Parameters
    ----------
    stations : Stations
        Where the level stood; shape (n,).
    modes : tuple of str
        In the order in which they are wanted.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> import numpy as np
    >>> one_place = Stations(np.zeros(2), np.zeros(2), np.array([True, False]))
    >>> seen(one_place)
    ('tilt_x', 'tilt_y')
    """
    return _independent(modes, lambda some: gradients(stations, some))


def surface(
    stations: Stations,
    tilts: ArrayLike,
    modes: tuple[str, ...] = MODES[:3],
    *,
    reading_sd: float | None = None,
) -> Fit:
    """Fit the bed's form to the tilts.

    Parameters
    ----------
    stations : Stations
        Where the level stood; shape (n,).
    tilts : array_like, shape (n,), µm/m
        Positive where the + end is high.
    modes : tuple of str
        Of MODES.
    reading_sd : float or None
        Standard uncertainty of one tilt, µm/m; None takes it from the residuals.

    Returns
    -------
    Fit
        Parameters in the order of the modes: slopes at x = 0, y = 0.

    References
    ----------
    Derived here; least squares.

    Examples
    --------
    >>> import numpy as np
    >>> at = Stations(np.array([0.2, 1.8, 0.2, 1.8]), np.array([0.1, 0.1, 0.9, 0.9]),
    ...               np.array([True, True, True, True]))
    >>> surface(at, [62, 62, 78, 78], ("tilt_x", "twist")).parameters.round(6).tolist()
    [60.0, 20.0]
    """
    return fit(gradients(stations, modes), tilts, reading_sd=reading_sd)


def move_feet(stations: Stations, tilts: ArrayLike, x_m: ArrayLike, y_m: ArrayLike) -> Move:
    """What the feet of a bed must rise, its form worked out from where feet and level stand.

    Parameters
    ----------
    stations : Stations
        Where the level stood; shape (n,).
    tilts : array_like, shape (n,), µm/m
        Positive where the + end is high.
    x_m, y_m : array_like, shape (k,), metres
        Feet.

    Returns
    -------
    Move

    Raises
    ------
    ValueError
        Fewer than three feet, or all on one line.

    Notes
    -----
    Three feet carry a plane, four a plane and its twist, six and more a bow as well: a mode is
    used only where both feet and readings tell it from the others. The bed is taken to follow its
    feet as that form does; measure its response where it is stiffer.

    References
    ----------
    Derived here.

    Examples
    --------
    >>> import numpy as np
    >>> at = Stations(np.zeros(2), np.zeros(2), np.array([True, False]))
    >>> move_feet(at, [60.0, -30.0], [0, 2, 1], [0, 0, 1]).raise_um.round(6).tolist()
    [120.0, 0.0, 90.0]
    """
    x, y = np.asarray(x_m, dtype=np.float64), np.asarray(y_m, dtype=np.float64)
    ones = np.ones((len(x), 1))
    wanted = MODES if len(x) >= FEET_TO_BEND else MODES[:3]
    can = _independent(wanted, lambda some: np.hstack([ones, heights(x, y, some)]))
    if len(x) < 3 or not {"tilt_x", "tilt_y"} <= set(can):
        raise ValueError("three feet, not on one line")
    modes = _independent(can, lambda some: gradients(stations, some))
    values = np.asarray(tilts, dtype=np.float64)
    slopes = gradients(stations, modes)
    made = fit(slopes, values, reading_sd=1.0)
    at_feet = heights(x, y, modes)
    stands = at_feet @ made.parameters
    highest = int(np.argmax(stands))
    rise = stands[highest] - stands
    lever = at_feet[highest] - at_feet
    to_modes = np.linalg.pinv(np.hstack([ones, at_feet]))[1:]
    response = slopes @ to_modes
    return Move(
        raise_um=rise,
        standard_uncertainties=np.sqrt(
            np.maximum(np.einsum("im,mn,in->i", lever, made.covariance, lever), 0.0)
        ),
        after=values + response @ rise,
        response=response,
        modes=modes,
        lost=tuple(mode for mode in can if mode not in modes),
        rank=made.rank,
        condition=made.condition,
        unseen=unseen_moves(to_modes),
    )


def _independent(
    wanted: tuple[str, ...], columns: Callable[[tuple[str, ...]], Floats]
) -> tuple[str, ...]:
    kept: tuple[str, ...] = ()
    for mode in wanted:
        matrix = columns((*kept, mode))
        size = np.linalg.norm(matrix, axis=0)
        if (size > 0).all() and np.linalg.matrix_rank(matrix / size, tol=1e-8) == matrix.shape[1]:
            kept = (*kept, mode)
    return kept


def unseen_moves(rows: Floats) -> Floats:
    """Moves of the feet that some rows do not see, the rise of all feet first.

    Parameters
    ----------
    rows : ndarray, shape (r, k)
        What is determined of the k feet.

    Returns
    -------
    ndarray, shape (j, k)
        Orthogonal, of length one.

    References
    ----------
    By definition: null space of the rows.

    Examples
    --------
    >>> import numpy as np
    >>> unseen_moves(np.array([[1.0, -1.0]])).round(3).tolist()
    [[0.707, 0.707]]
    """
    count = rows.shape[1]
    together = np.full((1, count), 1 / np.sqrt(count))
    known = np.vstack([rows, together])
    right = np.linalg.svd(known)[2]
    left_over = right[np.linalg.matrix_rank(known) :]
    return np.vstack([together, left_over])
