"""Linear least squares with all a measurement needs beside the answer: doubt, rank, condition."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
SMALL = 1e-11  # a singular value below this share of the largest counts as zero


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A fitted linear model; ``k`` parameters, ``n`` readings.

    Attributes
    ----------
    parameters, standard_uncertainties : ndarray, shape (k,)
        A parameter that the readings do not determine has an infinite uncertainty.
    covariance : ndarray, shape (k, k)
        Of the determined part.
    residuals : ndarray, shape (n,)
        Reading minus model.
    residual_sd : float
        Root of the sum of squares over the degrees of freedom; 0 where there are none.
    freedom, rank : int
        Readings less determined parameters; how many are determined.
    condition : float
        Largest over smallest singular value of the columns scaled to length one.
    null_space : ndarray, shape (k - rank, k)
        Directions of parameters that leave every reading as it is.
    """

    parameters: Floats
    standard_uncertainties: Floats
    covariance: Floats
    residuals: Floats
    residual_sd: float
    freedom: int
    rank: int
    condition: float
    null_space: Floats


def fit(design: ArrayLike, readings: ArrayLike, *, reading_sd: float | None = None) -> Fit:
    """Fit readings = design @ parameters.

    Parameters
    ----------
    design : array_like, shape (n, k)
        One row a reading; columns may differ in size, they are scaled here.
    readings : array_like, shape (n,)
        In any unit.
    reading_sd : float or None
        Standard uncertainty of one reading where it is known; None takes it from the residuals.

    Returns
    -------
    Fit
        The answer of least length where not everything is determined.

    Raises
    ------
    ValueError
        The shapes do not fit together, or there is no column.

    Notes
    -----
    Solved by singular values of the scaled columns. A known ``reading_sd`` and the residuals are
    not mixed: the larger of the two would hide a good instrument, the smaller a poor fit.

    References
    ----------
    NIST Statistical Reference Datasets, linear regression (Norris, Pontius, NoInt1, Longley) are
    its check values; Golub and Van Loan, Matrix Computations, section 5.5 (from memory).

    Examples
    --------
    >>> line = fit([[1, 0], [1, 1], [1, 2]], [1.0, 3.0, 5.0])
    >>> line.parameters.round(9).tolist(), line.rank
    ([1.0, 2.0], 2)
    """
    columns = np.asarray(design, dtype=np.float64)
    values = np.asarray(readings, dtype=np.float64)
    if columns.ndim != 2 or columns.shape[1] == 0 or values.shape != columns.shape[:1]:
        raise ValueError("design is n by k, readings are n")
    scale = np.linalg.norm(columns, axis=0)
    scale[scale == 0] = 1.0
    left, singular, right = np.linalg.svd(columns / scale, full_matrices=False)
    used = singular > SMALL * max(singular[0], 1e-300)
    rank = int(used.sum())
    inverse = (right[used].T / singular[used]) / scale[:, None]
    parameters = inverse @ (left[:, used].T @ values)
    residuals = values - columns @ parameters
    freedom = len(values) - rank
    residual_sd = float(np.sqrt(residuals @ residuals / freedom)) if freedom > 0 else 0.0
    covariance = inverse @ inverse.T * (residual_sd if reading_sd is None else reading_sd) ** 2
    null = _null_space(right, rank, columns.shape[1]) / scale
    return Fit(
        parameters=parameters,
        standard_uncertainties=_uncertainties(covariance, null),
        covariance=covariance,
        residuals=residuals,
        residual_sd=residual_sd,
        freedom=freedom,
        rank=rank,
        condition=float(singular[0] / singular[-1]) if singular[-1] > 0 else float("inf"),
        null_space=null,
    )


def _null_space(right: Floats, rank: int, count: int) -> Floats:
    """What the rows of ``right`` that count leave over, also where there are few readings."""
    kept = right[:rank]
    basis = np.linalg.svd(np.eye(count) - kept.T @ kept)[2]
    return np.asarray(basis[: count - rank], dtype=np.float64)


def _uncertainties(covariance: Floats, null: Floats) -> Floats:
    sizes = np.sqrt(np.diag(covariance))
    if len(null):
        lost = np.abs(null) > 1e-6 * np.abs(null).max(axis=1, keepdims=True)
        sizes[lost.any(axis=0)] = np.inf
    return np.asarray(sizes, dtype=np.float64)
