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
    _blocks: dict[tuple[str, str], NDArray[np.uint16]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def bits(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Uniform 16-bit numbers, shape (worlds,)."""
        return sixteen_bits(self.seed, self.lot, machine, quantity, worlds=self.worlds)

    def two(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Two uniform 16-bit numbers a world, shape (worlds, 2)."""
        return two_sixteens(self.seed, self.lot, machine, quantity, worlds=self.worlds)

    def pert(self, machine: str, quantity: str, three: Three, column: int = 0) -> Floats:
        """A judged range in every world, shape (worlds,), in its own unit.

        One named quantity holds two independent figures, a column each: money in the first,
        own hours in the second.
        """
        if three.low == three.high:
            return np.full(self.worlds, three.likely)
        table = range_table(three.low, three.likely, three.high)
        return lookup(table, self._block(machine, quantity)[:, column]).astype(np.float64)

    def _block(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        key = (machine, quantity)
        if key not in self._blocks:
            self._blocks[key] = self.two(machine, quantity)
        return self._blocks[key]

    def lognormal(self, machine: str, quantity: str, log_sd: float) -> Floats:
        """A factor with median one, shape (worlds,)."""
        return np.exp(log_sd * _DEVIATES.take(self.bits(machine, quantity)).astype(np.float64))

    def happens(self, machine: str, quantity: str, chance: float) -> NDArray[np.bool_]:
        """True in about that share of the worlds, shape (worlds,)."""
        return np.asarray(self.bits(machine, quantity) < np.uint32(round(chance * 65536)))
