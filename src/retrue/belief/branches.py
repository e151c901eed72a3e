"""Drawing from the tables of a sum; too wide ones are parted by one variable's state at a time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, sum_product
from retrue.belief.frame import Factor, bits
from retrue.belief.network import Impossible
from retrue.belief.ordering import Order, order

Singles = NDArray[np.float32]
Index = NDArray[np.intp]
Whole = NDArray[np.int32]
States = NDArray[np.bool_]
Chance = tuple[int, int, Singles]  # a variable, those after it in the order, P(it = 1 | them)

LEAF_CELLS = 1 << 23
SMALL = 1e-250


@dataclass(frozen=True, slots=True, eq=False)
class Signs:
    """A sum through signed auxiliaries, which stand between the roots and the faults.

    Attributes
    ----------
    tables : list of Factor
    roots, shift : int
        How many roots there are, and how many auxiliaries.
    """

    tables: list[Factor]
    roots: int
    shift: int

    def number(self, variable: int) -> int:
        """The number in this sum of a variable of the network."""
        return variable if variable < self.roots else variable + self.shift


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


def given(tables: Sequence[Factor], bit: int, state: int) -> list[Factor]:
    """The tables with one variable's state known.

    Parameters
    ----------
    tables : sequence of Factor
    bit : int
        The variable's number.
    state : int
        0 or 1.

    Returns
    -------
    list of Factor
        Those that depend on nothing more are one number over no variable.

    Examples
    --------
    >>> [t.table.tolist() for t in given([Factor(0b11, np.array([[1.0, 2], [3, 4]]))], 1, 1)]
    [[3.0, 4.0]]
    """
    left: list[Factor] = []
    for factor in tables:
        if factor.mask >> bit & 1:
            halves = factor.table.reshape(1 << (factor.mask >> bit + 1).bit_count(), 2, -1)
            left.append(Factor(factor.mask ^ 1 << bit, halves[:, state].reshape(-1)))
        else:
            left.append(factor)
    return left


def log_total(tables: Sequence[Factor]) -> float:
    """Natural logarithm of the sum of the product of all tables.

    Parameters
    ----------
    tables : sequence of Factor

    Returns
    -------
    float
        Minus infinity for a sum of nothing, or of less than nothing by rounding.

    Examples
    --------
    >>> round(log_total([Factor(0b1, np.array([0.25, 0.75])), Factor(0, np.array([1.0]))]), 12)
    0.0
    """
    open_ones = [f for f in tables if f.mask]
    level = math.prod(f.table.item() for f in tables if not f.mask)
    summed = sum_product(open_ones, order([f.mask for f in open_ones]), scaled=True)
    total = summed.total * level
    return math.log(total) + summed.log_scale if total > 0.0 else -math.inf


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Worlds being drawn.

    Attributes
    ----------
    states : ndarray of bool, shape (variables, worlds)
    whole : ndarray of int32, shape (variables, worlds)
        The same as whole numbers, for those variables that others hang on.
    uniforms : ndarray of float32, shape (variables, worlds)
    leaf_cells : int
        Cells a sum may have before its worlds are parted.
    """

    states: States
    whole: Whole
    uniforms: Singles
    leaf_cells: int

    def draw(self, plain: Sequence[Factor], signs: Signs) -> None:
        """Draw every variable of the sum in every world.

        Parameters
        ----------
        plain : sequence of Factor
            Whole tables, their variables numbered as in the network.
        signs : Signs
            The same sum through signed auxiliaries.
        """
        self._branch(plain, signs, None)

    def _branch(self, plain: Sequence[Factor], signs: Signs, columns: Index | None) -> None:
        """Draw the worlds of some columns: at once, or parted by the busiest variable."""
        plain = [f for f in plain if f.mask]
        turn = order([f.mask for f in plain])
        if turn.cells <= self.leaf_cells:
            self._leaf(chances(plain, turn), columns)
            return
        pivot = _busiest(turn)
        if columns is None:
            columns = np.arange(self.states.shape[1])
        sides = [given(signs.tables, signs.number(pivot), state) for state in (0, 1)]
        absent, present = (log_total(side) for side in sides)
        if absent == present == -math.inf:
            raise Impossible("the evidence contradicts itself")
        chance = np.float32(math.exp(present - np.logaddexp(absent, present)))
        ones = self.uniforms[pivot, columns] < chance
        for state, side in enumerate(sides):
            some = columns[ones == bool(state)]
            if len(some):
                self.states[pivot, some], self.whole[pivot, some] = bool(state), state
                less = Signs(side, signs.roots, signs.shift)
                self._branch(given(plain, pivot, state), less, some)

    def _leaf(self, kept: list[Chance], columns: Index | None) -> None:
        """Draw one variable after another, last of the order first."""
        whole = self.whole if columns is None else self.whole[:, columns]
        for variable, around, chance in reversed(kept):
            limit = chance.take(index_of(bits(around), whole)) if around else chance
            if columns is None:
                np.less(self.uniforms[variable], limit, out=self.states[variable])
                whole[variable] = self.states[variable]
            else:
                drawn = self.uniforms[variable, columns] < limit
                self.states[variable, columns] = whole[variable] = drawn
        if columns is not None:
            self.whole[:, columns] = whole


def _busiest(turn: Order) -> int:
    """The variable that most cells of the sum hang on; the lowest on a tie."""
    weight: dict[int, int] = {}
    for variable, around in zip(turn.variables, turn.neighbours, strict=True):
        cells = 2 << around.bit_count()
        for bit in bits(around | 1 << variable):
            weight[bit] = weight.get(bit, 0) + cells
    return max(sorted(weight), key=weight.__getitem__)
