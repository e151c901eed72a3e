"""Chance for the lots of one sale: each lot has its own luck, shop and market have one for all."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import sixteen_bits, two_sixteens
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.landing import SPARE

SALE = "the sale"  # the name under which what all lots share is drawn
OF_ALL = frozenset({"price level", "pace", "appetite"})  # of region, owner, rivals
ALTERNATIVES = "alternatives"


@dataclass(frozen=True, slots=True)
class SaleDrawer(Drawer):
    """A drawer of one lot that shares with the other lots of a sale what is the same for all.

    The region's prices, the owner's pace, the market of a kind, the hours of work there are, what
    else would do that work, and how keen the others are: one draw for all lots. So several lots
    that are won together are late together, and no sum of them looks surer than it is.
    """

    kinds: frozenset[str] = field(default_factory=frozenset)

    def first(self, worlds: int) -> Drawer:
        """The first of these worlds, with what was drawn for them."""
        blocks = {key: block[:worlds] for key, block in self._blocks.items()}
        return SaleDrawer(self.seed, self.lot, worlds, blocks, kinds=self.kinds)

    def bits(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Uniform 16-bit numbers, shape (worlds,)."""
        key = (machine, quantity, 1)
        if key not in self._blocks:
            named = (self._of(machine, quantity), machine, quantity)
            self._blocks[key] = sixteen_bits(self.seed, *named, worlds=self.worlds)
        return self._blocks[key]

    def two(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Two uniform 16-bit numbers a world, shape (worlds, 2)."""
        key = (machine, quantity, 2)
        if key not in self._blocks:
            named = (self._of(machine, quantity), machine, quantity)
            self._blocks[key] = two_sixteens(self.seed, *named, worlds=self.worlds)
        return self._blocks[key]

    def _of(self, machine: str, quantity: str) -> str:
        shared = machine in self.kinds or machine == ALTERNATIVES
        return SALE if shared or (machine == SPARE and quantity in OF_ALL) else self.lot


def sale_drawer(case: LotCase, seed: int, worlds: int) -> SaleDrawer:
    """The drawer of one lot of a sale.

    Parameters
    ----------
    case : LotCase
    seed : int
        The same for all lots of the sale.
    worlds : int

    Returns
    -------
    SaleDrawer

    References
    ----------
    Common random numbers: Law 2015, Simulation Modeling and Analysis, section 11.2.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> def of(lot):
    ...     machines = (Machine(lot=lot, name="lathe", kind="turning_centre"),)
    ...     case = LotCase(shop=Shop(), lot=Lot(name=lot), terms=Terms(lot=lot), machines=machines)
    ...     return sale_drawer(case, 7, 1000)
    >>> bool((of("14").bits(SPARE, "pace") == of("15").bits(SPARE, "pace")).all())
    True
    >>> bool((of("14").bits("lathe", "resale") == of("15").bits("lathe", "resale")).all())
    False
    """
    named = {machine.name for machine in case.machines}
    kinds = frozenset(machine.kind for machine in case.machines) - named
    return SaleDrawer(seed, case.lot.name, worlds, kinds=kinds)
