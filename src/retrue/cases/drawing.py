"""What a world holds beside its faults, each from its own named stream."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import four_sixteens, sixteen_bits
from retrue.choose.normal import inverse_normal
from retrue.kinds.library import Three
from retrue.plan.inverse import lookup, pert_table

Floats = NDArray[np.float64]
_DEVIATES = inverse_normal((np.arange(65536) + 0.5) / 65536).astype(np.float32)


@dataclass(frozen=True, slots=True)
class Drawer:
    """Draws quantities of one lot by name: the same seed and name give the same numbers."""

    seed: int
    lot: str
    worlds: int

    def bits(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Uniform 16-bit numbers, shape (worlds,)."""
        return sixteen_bits(self.seed, self.lot, machine, quantity, worlds=self.worlds)

    def four(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Four uniform 16-bit numbers a world, shape (worlds, 4)."""
        return four_sixteens(self.seed, self.lot, machine, quantity, worlds=self.worlds)

    def pert(self, machine: str, quantity: str, three: Three) -> Floats:
        """A judged range in every world, shape (worlds,), in its own unit."""
        if three.low == three.high:
            return np.full(self.worlds, three.likely)
        table = pert_table([three.low], [three.likely], [three.high])[0]
        return lookup(table, self.bits(machine, quantity)).astype(np.float64)

    def lognormal(self, machine: str, quantity: str, log_sd: float) -> Floats:
        """A factor with median one, shape (worlds,)."""
        return np.exp(log_sd * _DEVIATES.take(self.bits(machine, quantity)).astype(np.float64))

    def happens(self, machine: str, quantity: str, chance: float) -> NDArray[np.bool_]:
        """True in about that share of the worlds, shape (worlds,)."""
        return np.asarray(self.bits(machine, quantity) < np.uint32(round(chance * 65536)))
