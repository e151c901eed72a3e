"""A search for what is wrong, as numbers: hypotheses, what can be tested, what can be treated."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Treatment:
    """One way of treating one item, tried in its turn.

    Attributes
    ----------
    key : str
        ``F15:local``.
    cost : float
        Money, own hours at their rate and waiting; without openings, without trying again.
    cures : float
        Chance that it cures the item, if the item is active.
    opens : int
        Bit mask of the places that must be open for it.
    """

    key: str
    cost: float
    cures: float
    opens: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Test:
    """One look or reading.

    Attributes
    ----------
    key : str
        ``C31``.
    cost : float
        Without openings.
    chance : ndarray, shape (outcomes, hypotheses)
        P(outcome | hypothesis); every column sums to one.
    opens : int
        Bit mask of the places that must be open for it.
    """

    key: str
    cost: float
    chance: Floats
    opens: int = 0


@dataclass(frozen=True, slots=True)
class Goal:
    """Items that are cleared together: met when trying again shows that none is active.

    Attributes
    ----------
    items : tuple of int
        Rows of ``Search.active``.
    again : float
        What one try costs; it is paid after every treatment of one of the items.
    help : float
        What it costs to call somebody who clears the goal for certain; infinite if nobody does.
    help_each : tuple of float
        What he asks beside, for each item that is active then; nothing if empty.
    tried : bool
        It was tried and is not met: every hypothesis has an active item. If not, one try is
        still to be paid before anything is known.
    """

    items: tuple[int, ...]
    again: float = 0.0
    help: float = math.inf
    tried: bool = True
    help_each: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Search:
    """A search: hypotheses with their weights, goals, treatments in chains, tests.

    Attributes
    ----------
    weight : ndarray, shape (hypotheses,)
        Sums to one.
    active : ndarray of bool, shape (items, hypotheses)
        What keeps its goal from being met.
    goals : tuple of Goal
        Every item belongs to one.
    chains : tuple of tuple of Treatment
        For each item its treatments in the order they are tried; an item whose chain is empty is
        cleared by help alone.
    tests : tuple of Test
    opening : ndarray, shape (places,)
        What it costs to open and close each place, paid once while it is open.
    open_now : int
        Bit mask of the places that are open.
    """

    weight: Floats
    active: Bools
    goals: tuple[Goal, ...]
    chains: tuple[tuple[Treatment, ...], ...]
    tests: tuple[Test, ...]
    opening: Floats
    open_now: int = 0


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that could be done next.

    Attributes
    ----------
    sort : {"test", "treat", "help"}
    key : str
        Of the test or treatment; ``help:0`` for goal 0.
    item : int
        What is treated; the goal for help; -1 for a test.
    cost : float
        Of this act alone: with opening, with trying again after a treatment.
    value : float
        Expected cost from now to the end, if this is done first and the best found after it.
    tie : bool
        It cannot be told from the best.
    """

    sort: Literal["test", "treat", "help"]
    key: str
    item: int
    cost: float
    value: float
    tie: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What the search says.

    Attributes
    ----------
    moves : tuple of Move
        By value, least first; the first treatment of every chain, every test, help.
    plain : float
        Expected cost of the plain plan: by chance over cost, without tests.
    order : tuple of str
        Keys of that plan's treatments.
    guess : float
        Expected cost of always treating the most likely item first, without tests.
    bound : float
        Nobody can do better, even knowing everything: expected cost with perfect information.
    """

    moves: tuple[Move, ...]
    plain: float
    order: tuple[str, ...]
    guess: float
    bound: float
