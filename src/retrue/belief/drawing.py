"""Drawing from the tables of a sum: its own buckets, read backwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, sum_product
from retrue.belief.frame import Factor, bits
from retrue.belief.network import Impossible
from retrue.belief.ordering import Order

Singles = NDArray[np.float32]
Index = NDArray[np.intp]
Whole = NDArray[np.int32]
States = NDArray[np.bool_]
Chance = tuple[int, int, Singles]  # a variable, those after it in the order, P(it = 1 | them)

SMALL = 1e-250


def index_of(variables: Sequence[int], whole: Whole) -> Index:
    """Cell that each world's states point to, first variable slowest.

    Parameters
    ----------
    variables : sequence of int
    whole : ndarray of int32, shape (variables, worlds)
        States as whole numbers.

    Returns
    -------
    ndarray of int, shape (worlds,)

    Examples
    --------
    >>> index_of([1, 0], np.array([[0, 1], [1, 1]], dtype=np.int32)).tolist()
    [2, 3]
    """
    if not variables:
        return np.zeros(whole.shape[1], dtype=np.intp)
    index = whole[variables[0]].copy()
    for variable in variables[1:]:
        np.add(index, index, out=index)
        np.add(index, whole[variable], out=index)
    return np.asarray(index, dtype=np.intp)


def chances(tables: Sequence[Factor], turn: Order) -> list[Chance]:
    """Read each variable's chance, given those after it in the order, off the sum's own buckets.

    Parameters
    ----------
    tables : sequence of Factor
        None of them signed.
    turn : Order

    Returns
    -------
    list of (int, int, ndarray of float32)
        In the order of elimination; single precision, so that wide tables do not pile up.

    Raises
    ------
    Impossible
        The sum is zero.

    References
    ----------
    Koller and Friedman, Probabilistic Graphical Models, 2009, section 12.1 (forward sampling;
    from memory).
    """
    for scaled in (False, True):
        kept: list[Chance] = []
        summed = sum_product(tables, turn, scaled=scaled, finish=partial(_keep, kept))
        if summed.total > (0.0 if scaled else SMALL):
            return kept
    raise Impossible("the evidence contradicts itself")


def _keep(kept: list[Chance], bucket: Bucket) -> None:
    """Keep a bucket's chances, and let its wide table go."""
    present = bucket.halves[:, 1]
    both = bucket.halves[:, 0] + present
    chance = np.divide(present, both, out=np.zeros(both.shape), where=both > 0.0)
    around = bucket.mask ^ 1 << bucket.variable
    kept.append((bucket.variable, around, chance.astype(np.float32).reshape(-1)))
    bucket.table, bucket.given, bucket.messages = np.empty(0), None, []


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Worlds being drawn.

    Attributes
    ----------
    states : ndarray of bool, shape (variables, worlds)
    whole : ndarray of int32, shape (variables, worlds)
        The same as whole numbers, for those variables that others hang on.
    uniforms : ndarray of float32, shape (variables, worlds)
    """

    states: States
    whole: Whole
    uniforms: Singles

    def keep(self, variable: int, states: States) -> None:
        """Keep the states of one variable."""
        self.states[variable] = self.whole[variable] = states

    def draw(self, kept: list[Chance]) -> None:
        """Draw one variable after another, last of the order first."""
        for variable, around, chance in reversed(kept):
            limit = chance.take(index_of(bits(around), self.whole)) if around else chance
            self.keep(variable, self.uniforms[variable] < limit)
