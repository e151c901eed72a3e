"""Chance for a catalogue: equal lots have equal luck, so that only what is said of them differs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer

Blocks = dict[tuple[str, str, int], NDArray[np.uint16]]

ANY_LOT = "any lot"  # the name under which each lot of a catalogue is drawn


@dataclass(frozen=True, slots=True)
class LikeDrawer(Drawer):
    """A drawer in which the streams of a machine are named by its kind and its place in the lot.

    Attributes
    ----------
    places : mapping of str to str
        A machine's name to that of its streams.
    """

    places: Mapping[str, str] = field(default_factory=dict)

    def first(self, worlds: int) -> Drawer:
        """The first of these worlds, with what was drawn for them."""
        blocks = {key: block[:worlds] for key, block in self._blocks.items()}
        return LikeDrawer(self.seed, self.lot, worlds, blocks, places=self.places)

    def bits(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Uniform 16-bit numbers, shape (worlds,)."""
        return Drawer.bits(self, self.places.get(machine, machine), quantity)

    def two(self, machine: str, quantity: str) -> NDArray[np.uint16]:
        """Two uniform 16-bit numbers a world, shape (worlds, 2)."""
        return Drawer.two(self, self.places.get(machine, machine), quantity)


def like_drawer(case: LotCase, seed: int, worlds: int, blocks: Blocks | None = None) -> LikeDrawer:
    """The drawer of one lot of a catalogue that is to be held against the others of it.

    Neither the lot's number nor what its machines are called names a stream: two lots of which the
    same is said are drawn alike, and two of which nearly the same is said differ by that alone.

    Parameters
    ----------
    case : LotCase
    seed : int
        The same for all lots of a catalogue.
    worlds : int
    blocks : dict or None
        What was drawn for other lots, by the same seed and as many worlds: it is not drawn again.

    Returns
    -------
    LikeDrawer

    References
    ----------
    Common random numbers: Law 2015, Simulation Modeling and Analysis, section 11.2.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> def of(lot, name):
    ...     machines = (Machine(lot=lot, name=name, kind="turning_centre"),)
    ...     case = LotCase(shop=Shop(), lot=Lot(name=lot), terms=Terms(lot=lot), machines=machines)
    ...     return like_drawer(case, 7, 1000)
    >>> one, other = of("14", "lathe"), of("15", "turning machine")
    >>> bool((one.bits("lathe", "resale") == other.bits("turning machine", "resale")).all())
    True
    """
    kinds = {machine.kind for machine in case.machines}
    counts: dict[str, int] = {}
    places = {}
    for machine in case.machines:
        counts[machine.kind] = counts.get(machine.kind, 0) + 1
        if machine.name not in kinds:  # what is drawn for a kind goes by its name
            places[machine.name] = place_name(machine.kind, counts[machine.kind])
    held = {} if blocks is None else blocks
    return LikeDrawer(seed, ANY_LOT, worlds, held, places=places)


def place_name(kind: str, place: int) -> str:
    """What the streams of a machine are named by.

    Parameters
    ----------
    kind : str
    place : int
        Among the machines of its kind in the lot, counted from 1.

    Returns
    -------
    str

    Examples
    --------
    >>> place_name("turning_centre", 2)
    'turning_centre 2'
    """
    return f"{kind} {place}"
