"""What a world holds beside its faults, each from its own named stream."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import sixteen_bits, two_sixteens
from retrue.choose.normal import inverse_normal
from retrue.kinds.library import Three
from retrue.plan.inverse import Table, coarse, lookup, pert_table

Floats = NDArray[np.float64]
_DEVIATES = inverse_normal((np.arange(65536) + 0.5) / 65536).astype(np.float32)


@lru_cache(maxsize=4096)
def range_table(low: float, likely: float, high: float) -> Table:
    """The inverse table of one range, worked out once.

    Parameters
    ----------
    low, likely, high : float

    Returns
    -------
    ndarray, shape (1024,)

    Examples
    --------
    >>> round(float(range_table(2.0, 5.0, 14.0).mean()), 2)
    6.0
    """
    table: Table = pert_table([low], [likely], [high])[0]
    return table


@lru_cache(maxsize=4096)
def way_table(low: float, likely: float, high: float) -> Table:
    """The coarse table of one range, for the ways of putting a fault right.

    Parameters
    ----------
    low, likely, high : float

    Returns
    -------
    ndarray, shape (256,)

    Examples
    --------
    >>> round(float(way_table(2.0, 5.0, 14.0).mean()), 2)
    6.0
    """
    return coarse(range_table(low, likely, high))


@dataclass(frozen=True, slots=True)
class Drawer:
    """Draws quantities of one lot by name: the same seed and name give the same numbers."""

    seed: int
    lot: str
    worlds: int
    _blocks: dict[tuple[str, str, int], NDArray[np.uint16]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def first(self, worlds: int) -> Drawer:
        """The first of these worlds, with what was drawn for them."""
        blocks = {key: block[:worlds] for key, block in self._blocks.items()}
        return Drawer(self.seed, self.lot, worlds, blocks)

    def bits(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Uniform 16-bit numbers, shape (worlds,)."""
        key = (machine, quantity, 1)
        if key not in self._blocks:
            self._blocks[key] = sixteen_bits(
                self.seed, self.lot, machine, quantity, worlds=self.worlds
            )
        return self._blocks[key]

    def two(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Two uniform 16-bit numbers a world, shape (worlds, 2)."""
        key = (machine, quantity, 2)
        if key not in self._blocks:
            self._blocks[key] = two_sixteens(
                self.seed, self.lot, machine, quantity, worlds=self.worlds
            )
        return self._blocks[key]

    def pert(self, machine: str, quantity: str, three: Three, column: int = 0) -> Floats:
        """A judged range in every world, shape (worlds,), in its own unit.

        One named quantity holds two independent figures, a column each: money in the first,
        own hours in the second.
        """
        if three.low == three.high:
            return np.full(self.worlds, three.likely)
        table = range_table(three.low, three.likely, three.high)
        return lookup(table, self.two(machine, quantity)[:, column]).astype(np.float64)

    def lognormal(self, machine: str, quantity: str, log_sd: float) -> Floats:
        """A factor with median one, shape (worlds,)."""
        return np.exp(log_sd * _DEVIATES.take(self.bits(machine, quantity)).astype(np.float64))

    def happens(self, machine: str, quantity: str, chance: float) -> NDArray[np.bool_]:
        """True in about that share of the worlds, shape (worlds,)."""
        return np.asarray(self.bits(machine, quantity) < np.uint32(round(chance * 65536)))
