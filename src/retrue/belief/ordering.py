"""In which order to sum variables out, so that no table grows wide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from retrue.belief.frame import bits

WIDE = 1 << 17  # cells from which a second, slower order is worth trying
EASY = 6  # neighbours up to which a variable goes by size in either order


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

    Parameters
    ----------
    masks : sequence of int
        The variables of each table, as bit masks.

    Returns
    -------
    Order

    Notes
    -----
    The one with the fewest neighbours goes first, the highest number on a tie. Where that grows
    wide, the one that ties the fewest new pairs is tried too, and the smaller sum is taken.

    References
    ----------
    Kjaerulff, Triangulation of graphs, Aalborg R-90-09, 1990 (least size, least fill; from memory).

    Examples
    --------
    >>> order([0b011, 0b110]).variables
    (2, 1, 0)
    """
    return _order(tuple(masks))


@lru_cache(maxsize=1 << 10)  # one evidence is summed for chances, for worlds, for what may follow
def _order(masks: tuple[int, ...]) -> Order:
    first = _by_size(_graph(masks), most=len(masks) + 64)
    if first.cells <= WIDE:
        return first
    graph = _graph(masks)
    easy, hard = _by_size(graph, most=EASY), _by_fill(graph)
    second = Order(easy.variables + hard.variables, easy.neighbours + hard.neighbours)
    return min(first, second, key=lambda turn: turn.cells)


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


def _by_size(near: dict[int, int], most: int) -> Order:
    """Fewest neighbours first, while they are no more than ``most``; the rest stays in ``near``."""
    size = {bit: mask.bit_count() for bit, mask in near.items()}
    variables, neighbours = [], []
    while size:
        first = min(size, key=size.__getitem__)
        if size[first] > most:
            break
        around = _take_out(near, first)
        del size[first]
        variables.append(first)
        neighbours.append(around)
        for other in bits(around):
            size[other] = near[other].bit_count()
    return Order(tuple(variables), tuple(neighbours))


def _by_fill(near: dict[int, int]) -> Order:
    """Fewest new ties first."""

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
            if around >> other & 1 or (near[other] & around).bit_count() > 1:
                costs[other] = cost(other)
    return Order(tuple(variables), tuple(neighbours))
