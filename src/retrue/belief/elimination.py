"""Summing a product of small tables, one variable after another, and back again.

Each variable's bucket is the product of the tables that hold it; its sum is handed to the bucket
of whichever of its neighbours goes next. Tables may be signed, so nothing is ever divided by one:
the way back multiplies what the others said.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, bits
from retrue.belief.ordering import Order

Floats = NDArray[np.float64]


@dataclass(slots=True, eq=False)
class Bucket:
    """One variable's turn.

    Attributes
    ----------
    variable : int
    mask : int
        The variable and its neighbours.
    given : ndarray or None
        Product of the tables that came with the problem, shaped to broadcast.
    messages : list of (int, int, ndarray)
        From which earlier bucket, over which mask, and its sum, shaped to broadcast.
    table : ndarray, shape (2,) * variables in the mask
        The product of all of them.
    scale : float
        What its message was divided by.
    """

    variable: int
    mask: int
    given: Floats | None
    messages: list[tuple[int, int, Floats]]
    table: Floats
    scale: float = 1.0

    @property
    def halves(self) -> Floats:
        """The table, shape (higher variables, 2, lower variables)."""
        return self.table.reshape(1 << (self.mask >> self.variable + 1).bit_count(), 2, -1)


@dataclass(frozen=True, slots=True, eq=False)
class Summed:
    """The buckets after the way in, and the total.

    Attributes
    ----------
    buckets : list of Bucket
        In the order of elimination.
    total, log_scale : float
        The sum is ``total * exp(log_scale)``.
    """

    buckets: list[Bucket]
    total: float
    log_scale: float


@lru_cache(maxsize=1 << 16)
def _shape(mask: int, union: int) -> tuple[int, ...]:
    """Shape in which a table over ``mask`` broadcasts in one over ``union``."""
    return tuple([2 if mask >> b & 1 else 1 for b in bits(union)])


def sum_out(table: Floats, mask: int, gone: int) -> Floats:
    """Sum a table over some of its variables.

    Parameters
    ----------
    table : ndarray
        Over ``mask``, highest variable first, any shape.
    mask, gone : int
        Bit masks; ``gone`` lies within ``mask``.

    Returns
    -------
    ndarray
        Over what is left, in some shape of that size.

    Examples
    --------
    >>> sum_out(np.array([1.0, 2.0, 3.0, 4.0]), 0b11, 0b10).tolist()
    [[4.0, 6.0]]
    """
    for bit in bits(gone):
        halves = table.reshape(1 << (mask >> bit + 1).bit_count(), 2, -1)
        table = halves[:, 0] + halves[:, 1]
        mask ^= 1 << bit
    return table


def sum_product(
    factors: Sequence[Factor],
    turn: Order,
    *,
    scaled: bool,
    finish: Callable[[Bucket], None] | None = None,
) -> Summed:
    """Eliminate every variable in turn.

    Parameters
    ----------
    factors : sequence of Factor
    turn : Order
        Covers every variable of the factors.
    scaled : bool
        Bring each message to a largest entry of one, for sums that would underflow.
    finish : callable, optional
        Given each bucket once its message is made; may put something smaller in its table.

    Returns
    -------
    Summed

    References
    ----------
    Dechter, Artificial Intelligence 113 (1999) 41-85 (bucket elimination).

    Examples
    --------
    >>> from retrue.belief.ordering import order
    >>> tables = [Factor(0b01, np.array([0.5, 0.5])), Factor(0b11, np.array([[1.0, 2], [3, 4]]))]
    >>> sum_product(tables, order([0b01, 0b11]), scaled=False).total
    5.0
    """
    position = {v: i for i, v in enumerate(turn.variables)}
    waiting: list[list[Factor]] = [[] for _ in turn.variables]
    for factor in factors:
        waiting[min([position[b] for b in bits(factor.mask)])].append(factor)
    arriving: list[list[tuple[int, int, Floats]]] = [[] for _ in turn.variables]
    buckets: list[Bucket] = []
    total, log_scale = 1.0, 0.0
    for i, (variable, around) in enumerate(zip(turn.variables, turn.neighbours, strict=True)):
        bucket = _fill(variable, around | 1 << variable, waiting[i], arriving[i])
        buckets.append(bucket)
        halves = bucket.halves
        message = halves[:, 0] + halves[:, 1]
        if scaled and (largest := float(np.abs(message).max())) > 0.0:
            message, bucket.scale = message / largest, largest
            log_scale += float(np.log(largest))
        if finish:
            finish(bucket)
        if around:
            arriving[min([position[b] for b in bits(around)])].append((i, around, message))
        else:
            total *= message.item()
    return Summed(buckets, total, log_scale)


def _size(factor: Factor) -> int:
    return factor.table.size


def _fill(
    variable: int, mask: int, given: list[Factor], arriving: list[tuple[int, int, Floats]]
) -> Bucket:
    """Multiply what a variable's bucket holds, small tables first."""
    table: Floats | None = None
    for factor in sorted(given, key=_size):
        part = factor.table.reshape(_shape(factor.mask, mask))
        table = part if table is None else table * part
    start = table
    messages = [(i, m, t.reshape(_shape(m, mask))) for i, m, t in arriving]
    if len(messages) > 1:
        messages.sort(key=lambda message: message[2].size)
    for _, _, message in messages:
        table = message if table is None else table * message
    assert table is not None
    return Bucket(variable, mask, start, messages, table)


def sum_back(summed: Summed, visit: Callable[[Bucket, Floats], None]) -> None:
    """Go back from the last bucket to the first.

    Parameters
    ----------
    summed : Summed
    visit : callable
        Given each bucket and what lies outside it, shape (higher variables, 1, lower variables);
        its product with the bucket's ``halves`` is the joint weight of the bucket's variables,
        as a share of the total.

    Returns
    -------
    None
        What is found is the visitor's to keep.
    """
    outside: dict[int, Floats] = {}
    for i in range(len(summed.buckets) - 1, -1, -1):
        bucket = summed.buckets[i]
        around = outside.pop(i, None)
        if around is None:
            around = np.array([1.0 / bucket.table.sum()])
        higher = (bucket.mask >> bucket.variable + 1).bit_count()
        visit(bucket, around.reshape(1 << higher, 1, -1))
        if bucket.messages:
            _send(bucket, around, summed.buckets, outside)


def _send(
    bucket: Bucket, around: Floats, buckets: Sequence[Bucket], outside: dict[int, Floats]
) -> None:
    """Tell each earlier bucket what all the others say to its message."""
    own = 1 << bucket.variable
    behind = around.reshape(_shape(bucket.mask ^ own, bucket.mask))
    ahead = [bucket.given]
    for _, _, message in bucket.messages[:-1]:
        last = ahead[-1]
        ahead.append(message if last is None else last * message)
    for place in range(len(bucket.messages) - 1, -1, -1):
        source, mask, message = bucket.messages[place]
        before = ahead[place]
        if before is not None:
            rest = sum_out(behind * before, bucket.mask, bucket.mask & ~mask)
        elif place < len(bucket.messages) - 1:
            rest = sum_out(behind, bucket.mask, bucket.mask & ~mask)
        else:  # the bucket holds this message alone: both states of its variable weigh alike
            rest = np.repeat(
                around.reshape(1 << (mask >> bucket.variable + 1).bit_count(), 1, -1), 2, 1
            )
        scale = buckets[source].scale
        outside[source] = rest if scale == 1.0 else rest / scale
        if place:
            behind = behind * message
