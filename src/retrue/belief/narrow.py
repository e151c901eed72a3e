"""Past its limit, the sum leaves out the findings that move the answer least, and says which."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor
from retrue.belief.gather import Gathered
from retrue.belief.network import Seen
from retrue.belief.ordering import Order, order

Floats = NDArray[np.float64]
CANDIDATES = 6
LITTLE = 0.1  # halvings: what saves less is taken as saving this much
Tables = Callable[[Gathered], list[Factor]]


def narrowed(
    state: Gathered, tables: Tables, most_cells: int, *, signed: bool
) -> tuple[Gathered, list[Factor], Order]:
    """Leave out coupling findings until the sum fits.

    Parameters
    ----------
    state : Gathered
    tables : callable
        Makes the factors of the sum from a state.
    most_cells : int
        Cells all buckets together may have.
    signed : bool
        Whether each coupling finding has an auxiliary, numbered below the faults.

    Returns
    -------
    tuple of Gathered, list of Factor, Order
        The state with what is left; its ``coupling`` says what is still in.

    Notes
    -----
    Of the findings in the widest bucket that would move their own faults' chances least, each
    taken as if it were the only one, the one goes that moves least for what it saves (our own
    rule). Single-term findings cost no width and stay.
    """
    while True:
        factors = tables(state)
        turn = order([f.mask for f in factors])
        if turn.cells <= most_cells or not state.coupling:
            return state, factors, turn
        crowd = _widest(turn)
        shift = len(state.coupling) if signed else 0
        inside = [s for s in state.coupling if any(crowd >> f + shift & 1 for f in s.faults)]
        moves = {s.key: move(state, s) for s in inside or state.coupling}
        faint = sorted(moves, key=lambda key: (moves[key], key))[:CANDIDATES]
        state = min(
            (_without(state, key) for key in faint),
            key=lambda less: _price(moves, state, less, tables, turn.cells),
        )


def _without(state: Gathered, key: str) -> Gathered:
    return replace(state, coupling=tuple(s for s in state.coupling if s.key != key))


def _price(
    moves: dict[str, float], state: Gathered, less: Gathered, tables: Tables, cells: int
) -> tuple[float, str]:
    """What leaving a finding out costs in movement, for each halving of the sum that it saves."""
    (key,) = left_out(state, less)
    halvings = math.log2(cells / order([f.mask for f in tables(less)]).cells)
    return moves[key] / max(halvings, LITTLE), key


def left_out(before: Gathered, after: Gathered) -> tuple[str, ...]:
    """Keys of the coupling findings that went.

    Parameters
    ----------
    before, after : Gathered

    Returns
    -------
    tuple of str
    """
    kept = {s.key for s in after.coupling}
    return tuple(s.key for s in before.coupling if s.key not in kept)


def _widest(turn: Order) -> int:
    sizes = [around.bit_count() for around in turn.neighbours]
    place = sizes.index(max(sizes))
    return turn.neighbours[place] | 1 << turn.variables[place]


def move(state: Gathered, seen: Seen) -> float:
    """How far one finding alone would move its faults: sum of the changes of their chances.

    Parameters
    ----------
    state : Gathered
        What is known of each fault by itself.
    seen : Seen
        A coupling finding.

    Returns
    -------
    float
        0 for a finding that says nothing; infinite for one that alone is impossible.

    Examples
    --------
    >>> from retrue.belief.gather import gather
    >>> from retrue.belief.looks import look
    >>> from retrue.belief.network import Network
    >>> net = Network(("f", "g"), np.empty(0), ((), ()), (np.array(0.2), np.array(0.2)))
    >>> sight = look("a", "seen", [0, 1], [1.0, 1.0], 0.0)
    >>> round(move(gather(net, [sight]), sight), 4)  # each from 0.2 to 0.2 / 0.36
    0.7111
    """
    roots = state.network.roots
    chance = np.array([_alone(state, f - roots) for f in seen.faults])
    answer, without = 0.0, np.zeros(len(chance))
    for row, weight in enumerate((1.0,) if seen.gate is None else _gate(state, seen.gate)):
        factor = 1.0 - chance + chance * seen.ratio[row]
        answer += weight * float(seen.coefficient[row] @ factor.prod(axis=1))
        for j in range(len(chance)):
            others = np.delete(factor, j, axis=1).prod(axis=1) * seen.ratio[row, :, j]
            without[j] += weight * float(seen.coefficient[row] @ others)
    if not answer > 0.0:
        return np.inf
    return float(np.abs(chance * without / answer - chance).sum())


def _gate(state: Gathered, gate: int) -> tuple[float, float]:
    prior = float(state.network.root_prior[gate])
    return 1.0 - prior, prior


def _alone(state: Gathered, place: int) -> float:
    """A fault's chance with its histories at their shares, after what is known of it alone."""
    table = state.network.tables[place]
    for parent in reversed(state.network.parents[place]):
        prior = float(state.network.root_prior[parent])
        table = table @ np.array([1.0 - prior, prior])
    absent, present = state.plain[place] * (1.0 - float(table), float(table))
    return float(present / (absent + present)) if absent + present > 0.0 else 0.0
