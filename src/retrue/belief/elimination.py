"""Summing a product of small tables, one variable after another, and back again.

Each variable's bucket is the product of the tables that hold it; its sum is handed to the bucket
of whichever of its neighbours goes next. Tables may be signed, so nothing is ever divided by one:
the way back multiplies what the others said.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, bits

Floats = NDArray[np.float64]

WIDE = 1 << 18  # cells from which a second, slower order is worth trying


@dataclass(frozen=True, slots=True)
class Order:
    """An elimination order.

    Attributes
    ----------
    variables : tuple of int
    neighbours : tuple of int
        Bit mask of what remains tied to each when its turn comes.
    """

    variables: tuple[int, ...]
    neighbours: tuple[int, ...]

    @property
    def cells(self) -> int:
        """Cells of all buckets together."""
        return sum(2 << n.bit_count() for n in self.neighbours)

    @property
    def widest(self) -> int:
        """Cells of the largest bucket."""
        return max((2 << n.bit_count() for n in self.neighbours), default=1)


def order(masks: Sequence[int]) -> Order:
    """Order variables so that buckets stay small.

    The one with the fewest neighbours goes first, the highest number on a tie; where that grows
    wide, the one that ties the fewest new pairs is tried too, and the smaller sum is taken.

    References
    ----------
    Kjaerulff, Triangulation of graphs, Aalborg R-90-09, 1990 (least size, least fill; from memory).

    Examples
    --------
    >>> order([0b011, 0b110]).variables
    (2, 1, 0)
    """
    first = _by_size(_graph(masks))
    if first.cells <= WIDE:
        return first
    return min(first, _by_fill(_graph(masks)), key=lambda turn: turn.cells)


def _graph(masks: Sequence[int]) -> dict[int, int]:
    """Neighbours of each variable, highest first."""
    near: dict[int, int] = {}
    for mask in masks:
        for bit in bits(mask):
            near[bit] = near.get(bit, 0) | mask
    return {bit: near[bit] & ~(1 << bit) for bit in sorted(near, reverse=True)}


def _take_out(near: dict[int, int], first: int) -> int:
    """Remove a variable, tie its neighbours to one another, and say who they were."""
    around = near.pop(first)
    gone = ~(1 << first)
    for other in bits(around):
        near[other] = (near[other] | around) & gone & ~(1 << other)
    return around


def _by_size(near: dict[int, int]) -> Order:
    size = {bit: mask.bit_count() for bit, mask in near.items()}
    variables, neighbours = [], []
    while size:
        first = min(size, key=size.__getitem__)
        around = _take_out(near, first)
        del size[first]
        variables.append(first)
        neighbours.append(around)
        for other in bits(around):
            size[other] = near[other].bit_count()
    return Order(tuple(variables), tuple(neighbours))


def _by_fill(near: dict[int, int]) -> Order:
    def cost(bit: int) -> tuple[int, int]:
        around = near[bit]
        missing = [(around & ~near[o]).bit_count() - 1 for o in bits(around)]
        return sum(missing), around.bit_count()

    costs = {bit: cost(bit) for bit in near}
    variables, neighbours = [], []
    while near:
        first = min(costs, key=costs.__getitem__)
        around = _take_out(near, first)
        del costs[first]
        variables.append(first)
        neighbours.append(around)
        touched = around
        for other in bits(around):
            touched |= near[other]
        for other in bits(touched):
            costs[other] = cost(other)
    return Order(tuple(variables), tuple(neighbours))


@dataclass(slots=True, eq=False)
class Bucket:
    """One variable's turn.

    Attributes
    ----------
    variable : int
    axes : tuple of int
        The variable and its neighbours, highest first.
    place : int
        Which axis is the variable's own.
    given : ndarray
        Product of the tables that came with the problem.
    messages : list of (int, ndarray)
        From which earlier bucket, and its sum, shaped to broadcast.
    table : ndarray, shape (2,) * len(axes)
    scale : float
        What its message was divided by.
    """

    variable: int
    axes: tuple[int, ...]
    place: int
    given: Floats
    messages: list[tuple[int, Floats]] = field(default_factory=list)
    table: Floats = field(default_factory=lambda: np.ones(()))
    scale: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Summed:
    """The buckets after the way in, and the total."""

    buckets: list[Bucket]
    total: float
    log_scale: float


def shaped(mask: int, axes: Sequence[int]) -> tuple[int, ...]:
    """Shape in which a table over ``mask`` broadcasts along ``axes``."""
    return tuple([2 if mask >> b & 1 else 1 for b in axes])


def sum_product(factors: Sequence[Factor], turn: Order, *, scaled: bool) -> Summed:
    """Eliminate every variable in turn.

    Parameters
    ----------
    factors : sequence of Factor
    turn : Order
        Covers every variable of the factors.
    scaled : bool
        Bring each message to a largest entry of one, for sums that would underflow.
    """
    position = {v: i for i, v in enumerate(turn.variables)}
    waiting: list[list[Factor]] = [[] for _ in turn.variables]
    for factor in factors:
        waiting[min(position[b] for b in bits(factor.mask))].append(factor)
    arriving: list[list[tuple[int, int, Floats]]] = [[] for _ in turn.variables]
    buckets: list[Bucket] = []
    total, log_scale = 1.0, 0.0
    for i, (variable, around) in enumerate(zip(turn.variables, turn.neighbours, strict=True)):
        bucket = _fill(variable, around, waiting[i], arriving[i])
        buckets.append(bucket)
        message = bucket.table.sum(axis=bucket.place)
        if scaled and (largest := float(np.abs(message).max())) > 0.0:
            message, bucket.scale = message / largest, largest
            log_scale += float(np.log(largest))
        if around:
            arriving[min(position[b] for b in bits(around))].append((i, around, message))
        else:
            total *= float(message)
    return Summed(buckets, total, log_scale)


def _fill(
    variable: int, around: int, given: list[Factor], arriving: list[tuple[int, int, Floats]]
) -> Bucket:
    axes = bits(around | 1 << variable)
    given.sort(key=lambda f: f.table.size)
    start = np.ones((1,) * len(axes))
    for factor in given:
        start = start * factor.table.reshape(shaped(factor.mask, axes))
    bucket = Bucket(variable, axes, axes.index(variable), start)
    for source, mask, message in sorted(arriving, key=lambda m: m[2].size):
        bucket.messages.append((source, message.reshape(shaped(mask, axes))))
    table = start
    for _, message in bucket.messages:
        table = table * message
    bucket.table = np.broadcast_to(table, (2,) * len(axes))
    return bucket


def sum_back(summed: Summed, visit: Callable[[Bucket, Floats], None]) -> None:
    """Go back from the last bucket to the first.

    Parameters
    ----------
    summed : Summed
    visit : callable
        Given each bucket and what lies outside it, shape (2,) * len(axes) less the variable's own
        axis kept as length one; their product is the joint weight of the bucket's variables,
        as a share of the total.
    """
    outside: dict[int, Floats] = {}
    for i in range(len(summed.buckets) - 1, -1, -1):
        bucket = summed.buckets[i]
        around = outside.pop(i, None)
        if around is None:
            own = float(bucket.table.sum(axis=bucket.place))
            around = np.full((1,) * len(bucket.axes), 1.0 / own)
        visit(bucket, around)
        if not bucket.messages:
            continue
        ahead = [bucket.given]
        for _, message in bucket.messages[:-1]:
            ahead.append(ahead[-1] * message)
        behind = around
        for (source, message), before in zip(bucket.messages[::-1], ahead[::-1], strict=True):
            outside[source] = _outside(behind * before, message, summed.buckets[source])
            behind = behind * message


def _outside(rest: Floats, message: Floats, source: Bucket) -> Floats:
    """What the others say to the bucket a message came from."""
    gone = tuple(i for i, n in enumerate(message.shape) if n == 1 and rest.shape[i] == 2)
    answer = rest.sum(axis=gone, keepdims=True) if gone else rest
    answer = np.broadcast_to(answer, message.shape)
    shape = [2] * len(source.axes)
    shape[source.place] = 1
    return np.ascontiguousarray(answer).reshape(shape) / source.scale
