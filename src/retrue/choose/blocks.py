"""Sums over worlds, block by block, so that no bit depends on how many threads there are."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from retrue.base.refusals import Unusable

Floats = NDArray[np.float64]
Reals = NDArray[np.float32] | NDArray[np.float64]

SIZE = 100  # worlds in a block
FEWEST = 40  # blocks wanted, where there are worlds enough, to know the error of a mean


def block_size(worlds: int) -> int:
    """How many worlds go into one block.

    Parameters
    ----------
    worlds : int
        How many there are.

    Returns
    -------
    int
        A hundred, or less where that would leave under forty blocks.

    References
    ----------
    Batch means: Law 2015, Simulation Modeling and Analysis, section 9.5.

    Examples
    --------
    >>> block_size(20_000), block_size(400)
    (100, 10)
    """
    return max(1, min(SIZE, worlds // FEWEST))


def block_sums(left: Reals, right: Reals) -> Floats:
    """Products of two tables summed over the worlds of each block.

    Parameters
    ----------
    left : ndarray, shape (rows, worlds)
        Any unit.
    right : ndarray, shape (columns, worlds)
        Any unit.

    Returns
    -------
    numpy.ndarray, shape (blocks, rows, columns), float64
        The last block takes the worlds left over. Summed over its first axis it is
        ``left @ right.T``.

    References
    ----------
    None: a matrix product.

    Examples
    --------
    >>> import numpy as np
    >>> block_sums(np.ones((1, 3)), np.array([[1.0, 2.0, 4.0]])).ravel().tolist()
    [1.0, 2.0, 4.0]
    """
    worlds = left.shape[1]
    size = block_size(worlds)
    blocks = worlds // size
    even = blocks * size
    first = left[:, :even].reshape(len(left), blocks, size).transpose(1, 0, 2)
    second = right[:, :even].reshape(len(right), blocks, size).transpose(1, 2, 0)
    sums: Floats = np.matmul(first, second).astype(np.float64)
    if even < worlds:
        sums[-1] += left[:, even:] @ right[:, even:].T
    return sums


def relative_weights(weights: ArrayLike | None, worlds: int) -> Floats:
    """Weights of worlds with mean 1.

    Parameters
    ----------
    weights : array_like of float, shape (worlds,), or None
        Not negative, not all zero; None for equal ones.
    worlds : int
        How many worlds there are.

    Returns
    -------
    numpy.ndarray, shape (worlds,)
        No unit, mean 1.

    Raises
    ------
    Unusable
        Another shape, a weight below zero, or nothing above zero.

    References
    ----------
    None: bookkeeping.

    Examples
    --------
    >>> relative_weights([1, 3], 2).tolist()
    [0.5, 1.5]
    """
    if weights is None:
        return np.ones(worlds)
    given = np.asarray(weights, dtype=np.float64)
    if given.shape != (worlds,) or not (given >= 0).all() or not 0 < given.sum() < math.inf:
        raise Unusable(
            "the weights are not one number a world, none below zero and one above",
            remedy="Give one weight for each world.",
        )
    return np.asarray(given * (worlds / given.sum()))
