"""Levelling a bed whose response to each of its feet was measured."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.science.levelling import Move, unseen_moves

Floats = NDArray[np.float64]
_SMALL = 1e-9
_DAMPING = 1e-6  # share of the largest singular value; keeps bounded moves short


def move_by_response(
    response: ArrayLike,
    tilts: ArrayLike,
    *,
    reading_sd: float = 0.0,
    response_sd: float = 0.0,
    most_um: float = np.inf,
) -> Move:
    """What the feet must rise, the bed's response to each of them having been measured.

    Parameters
    ----------
    response : array_like, shape (n, k), µm/m per µm
        Change of each tilt when one foot rises by one micrometre.
    tilts : array_like, shape (n,), µm/m
        As read now.
    reading_sd : float
        Standard uncertainty of one tilt, µm/m.
    response_sd : float
        Standard uncertainty of one entry of the response.
    most_um : float
        No foot rises more than that.

    Returns
    -------
    Move
        Without names of modes; ``unseen`` are the moves below the noise.

    Raises
    ------
    ValueError
        The shapes do not fit together.

    Notes
    -----
    Least norm over the singular directions that stand above the noise: a matrix of pure noise of
    n by k entries has a largest singular value near sd (√n + √k). The rise of all feet together is
    never observable; it is used to make every move a rise. With a bound the moves are found by
    bounded, lightly damped least squares.

    References
    ----------
    Golub and Van Loan, Matrix Computations, section 5.5; Davidson and Szarek (2001) for the size of
    noise (both from memory).

    Examples
    --------
    >>> made = move_by_response([[-0.5, 0.5], [-0.5, 0.5]], [40.0, 40.0])
    >>> made.raise_um.round(6).tolist(), made.after.round(6).tolist(), made.rank
    ([80.0, 0.0], [0.0, 0.0], 1)
    """
    matrix = np.asarray(response, dtype=np.float64)
    values = np.asarray(tilts, dtype=np.float64)
    if matrix.ndim != 2 or values.shape != matrix.shape[:1]:
        raise ValueError("response is n by k, tilts are n")
    count = matrix.shape[1]
    floating = matrix - matrix.mean(axis=1, keepdims=True)  # the rise of all is not observable
    left, singular, right = np.linalg.svd(floating, full_matrices=False)
    floor = max(_SMALL * singular[0], response_sd * (np.sqrt(len(values)) + np.sqrt(count)))
    used = singular > floor
    kept = left[:, used] * singular[used] @ right[used]
    inverse = (right[used].T / singular[used]) @ left[:, used].T
    rise = -inverse @ values
    rise -= rise.min() if len(rise) else 0.0
    if rise.max() > most_um:
        rise = _bounded(kept, values, most_um, float(singular[0]))
    lever = inverse - inverse[int(np.argmin(rise))]
    determined = singular[used]
    return Move(
        raise_um=rise,
        standard_uncertainties=np.sqrt((lever**2).sum(axis=1)),
        after=values + floating @ rise,
        response=floating,
        modes=(),
        lost=(),
        rank=int(used.sum()),
        condition=float(determined[0] / determined[-1]) if used.any() else float("inf"),
        unseen=unseen_moves(right[used]),
    )


def _bounded(kept: Floats, tilts: Floats, most: float, largest: float) -> Floats:
    from scipy.optimize import lsq_linear

    count = kept.shape[1]
    damped = np.vstack([kept, _DAMPING * largest * np.eye(count)])
    wanted = np.concatenate([-tilts, np.zeros(count)])
    return np.asarray(lsq_linear(damped, wanted, bounds=(0.0, most)).x, dtype=np.float64)
