"""What a network's own tables need, prepared once: scopes of roots, and chances spread over them.

Variables are numbered as in the network: roots, then faults; auxiliaries of findings follow.
A table's axes run from the highest number down, so that the roots, which most tables share, are
its last and fastest axes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Network

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Factor:
    """A table over the variables whose bits are set in ``mask``."""

    mask: int
    table: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A network prepared for sums.

    A scope is a largest set of roots that are the parents of one fault; every fault has its home
    in one scope. An entry is one fault at one cell of its home scope.

    Attributes
    ----------
    own : tuple of Factor
        For each fault, P(fault = 1 | its roots), axes sorted.
    both : tuple of ndarray
        The same with P(fault = 0) before it, as a first axis.
    scopes : tuple of int
        Bit masks.
    scope_start : tuple of int
        First cell of each scope in a flat list of all cells; one more at the end.
    home : ndarray of int, shape (faults,)
    entry_fault, entry_cell : ndarray of int, shape (entries,)
        Sorted by cell.
    entry_chance : ndarray, shape (entries,)
    cell_first : ndarray of int, shape (cells,)
        First entry of each cell.
    """

    own: tuple[Factor, ...]
    both: tuple[Floats, ...]
    scopes: tuple[int, ...]
    scope_start: tuple[int, ...]
    home: Ints
    entry_fault: Ints
    entry_cell: Ints
    entry_chance: Floats
    cell_first: Ints


@lru_cache(maxsize=1 << 16)
def bits(mask: int) -> tuple[int, ...]:
    """Numbers of the set bits, highest first.

    Parameters
    ----------
    mask : int
        Not negative.

    Returns
    -------
    tuple of int

    Examples
    --------
    >>> bits(0b10110)
    (4, 2, 1)
    """
    found = []
    while mask:
        bit = mask.bit_length() - 1
        found.append(bit)
        mask ^= 1 << bit
    return tuple(found)


@lru_cache(maxsize=32)
def frame(network: Network) -> Frame:
    """Prepare a network; the same object is prepared once.

    Parameters
    ----------
    network : Network
        Tables of shape (2,) * parents, in any order of the parents.

    Returns
    -------
    Frame

    Notes
    -----
    Grouping faults by the largest sets of parents is our own: one product over all entries gives
    the factor of every scope at once.

    Examples
    --------
    >>> net = Network(("h", "f"), np.array([0.4]), ((0,),), (np.array([0.1, 0.5]),))
    >>> frame(net).scopes, frame(net).entry_chance.tolist()
    ((1,), [0.1, 0.5])
    """
    own = tuple(_sorted(p, t) for p, t in zip(network.parents, network.tables, strict=True))
    scopes: list[int] = []
    for mask in sorted({f.mask for f in own}, key=lambda m: (-m.bit_count(), m)):
        if not any(mask & ~scope == 0 for scope in scopes):
            scopes.append(mask)
    home = [next(i for i, s in enumerate(scopes) if f.mask & ~s == 0) for f in own]
    start = np.cumsum([0] + [1 << s.bit_count() for s in scopes])
    fault, cell, chance = _entries(own, scopes, home, start)
    first = np.searchsorted(cell, np.arange(start[-1]))
    return Frame(
        own=own,
        both=tuple(np.stack([1.0 - f.table, f.table]) for f in own),
        scopes=tuple(scopes),
        scope_start=tuple(int(s) for s in start),
        home=np.array(home, dtype=np.intp),
        entry_fault=fault,
        entry_cell=cell,
        entry_chance=chance,
        cell_first=first,
    )


def _entries(
    own: Sequence[Factor], scopes: Sequence[int], home: Sequence[int], start: Ints
) -> tuple[Ints, Ints, Floats]:
    sizes = [1 << scopes[h].bit_count() for h in home]
    fault = np.repeat(np.arange(len(own), dtype=np.intp), sizes)
    cell = np.concatenate(
        [np.arange(n) + start[h] for n, h in zip(sizes, home, strict=True)] or [np.empty(0)]
    ).astype(np.intp)
    chance = np.concatenate(
        [_spread(f, scopes[h]) for f, h in zip(own, home, strict=True)] or [np.empty(0)]
    )
    order = np.argsort(cell, kind="stable")
    return fault[order], cell[order], chance[order]


def _sorted(parents: Sequence[int], table: Floats) -> Factor:
    order = sorted(range(len(parents)), key=lambda i: -parents[i])
    mask = sum(1 << p for p in parents)
    return Factor(mask, np.ascontiguousarray(np.asarray(table, dtype=np.float64).transpose(order)))


def _spread(factor: Factor, scope: int) -> Floats:
    """A factor's table, repeated over the cells of a wider scope, flat."""
    shape = tuple(2 if factor.mask >> b & 1 else 1 for b in bits(scope))
    wide = np.broadcast_to(factor.table.reshape(shape), (2,) * scope.bit_count())
    return np.ascontiguousarray(wide).reshape(-1)
