"""Evidence gathered onto variables: what needs no sum, and the findings that couple faults."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, Frame, Ints, bits, frame
from retrue.belief.network import Evidence, Leaning, Network, Seen

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Gathered:
    """Evidence, sorted by key and brought to its smallest form.

    Attributes
    ----------
    log_level : ndarray, shape (1,)
        Natural logarithm of what multiplies every state alike.
    root_weight : ndarray, shape (roots, 2)
        Prior times the likelihoods on the root alone.
    plain : ndarray, shape (faults, 2)
        Likelihood of each fault's states, where no informant stands between.
    gated : dict of int to ndarray, shape (2, faults, 2)
        The same by the state of an informant's candour.
    coupling : tuple of Seen
        Two-term findings over two faults or more; every fault in them is a variable of the sum.
    """

    network: Network
    log_level: Floats
    root_weight: Floats
    plain: Floats
    gated: dict[int, Floats]
    coupling: tuple[Seen, ...]


def gather(network: Network, evidence: Sequence[Evidence]) -> Gathered:
    """Multiply single-variable likelihoods together; keep what couples faults.

    Raises
    ------
    ValueError
        Two findings have one key, or one names a variable that is not a fault.
    """
    ordered = sorted(evidence, key=lambda e: e.key)
    if len({e.key for e in ordered}) < len(ordered):
        raise ValueError("two findings have the same key")
    roots, count = network.roots, len(network.parents)
    state = Gathered(
        network=network,
        log_level=np.zeros(1),
        root_weight=np.stack([1.0 - network.root_prior, network.root_prior], axis=1),
        plain=np.ones((count, 2)),
        gated={},
        coupling=(),
    )
    for item in ordered:
        if isinstance(item, Leaning):
            target = state.root_weight if item.variable < roots else state.plain
            target[item.variable - (0 if item.variable < roots else roots)] *= item.likelihood
    known = np.where(state.plain[:, 1] == 0.0, 0, np.where(state.plain[:, 0] == 0.0, 1, -1))
    coupling = [
        left
        for item in ordered
        if isinstance(item, Seen)
        for left in _take(state, _reduced(item, known, roots))
    ]
    return replace(state, coupling=tuple(coupling))


def _reduced(seen: Seen, known: Ints, roots: int) -> Seen:
    """Without the faults that are known, or that the finding says nothing of."""
    if not seen.faults:
        return seen
    faults = np.array(seen.faults, dtype=np.intp) - roots
    if faults.min() < 0:
        raise ValueError("a look shows faults; a past life takes a leaning")
    settled = known[faults]
    keep = (settled < 0) & (seen.ratio != 1.0).any(axis=(0, 1))
    if keep.all():
        return seen
    present = settled == 1
    coefficient = seen.coefficient
    if present.any():
        coefficient = coefficient * seen.ratio[:, :, present].prod(axis=2)
    left = tuple(int(f) + roots for f in faults[keep])
    return Seen(seen.key, left, coefficient, seen.ratio[:, :, keep], seen.gate)


def _take(state: Gathered, seen: Seen) -> list[Seen]:
    """Multiply in what needs no sum; hand back a finding that does."""
    size = len(seen.faults)
    terms = seen.coefficient.shape[1]
    if terms > 1 and size > 1:
        return [seen]
    pair = np.ones((len(seen.coefficient), size, 2))
    if size == 1:
        pair[:, 0, 0] = seen.coefficient.sum(axis=1)
        pair[:, 0, 1] = (seen.coefficient * seen.ratio[:, :, 0]).sum(axis=1)
        level = np.ones(len(pair))
    else:
        level = seen.coefficient.sum(axis=1)
        pair[:, :, 1] = seen.ratio[:, 0]
    _multiply(state, seen, np.maximum(level, 0.0), np.maximum(pair, 0.0))
    return []


def _multiply(state: Gathered, seen: Seen, level: Floats, pair: Floats) -> None:
    """Scaled, so that hundreds of findings do not underflow."""
    largest = float(level.max()) * float(pair.max(initial=1.0 if not pair.size else 0.0))
    state.log_level[:] += math.log(largest) if largest > 0.0 else -math.inf
    if largest > 0.0:
        level, pair = level / level.max(), pair / pair.max(initial=0.0) if pair.size else pair
    faults = np.array(seen.faults, dtype=np.intp) - state.network.roots
    if seen.gate is None:
        state.plain[faults] *= pair[0]
        return
    table = state.gated.setdefault(seen.gate, np.ones((2, len(state.network.parents), 2)))
    table[:, faults] *= pair
    state.root_weight[seen.gate] *= level


@dataclass(frozen=True, slots=True, eq=False)
class Lone:
    """Faults that stand alone in the sum, given their roots and the informants who spoke of them.

    Attributes
    ----------
    gates : tuple of int
        Informants' candour, highest number first.
    weight : ndarray, shape (2 ** gates, faults, 2)
    joined : ndarray, shape (2 ** gates, entries)
        Sum over the fault's two states, at each entry of the frame.
    faults : ndarray of bool, shape (faults,)
    """

    gates: tuple[int, ...]
    weight: Floats
    joined: Floats
    faults: NDArray[np.bool_]


def lone_groups(state: Gathered) -> list[Lone]:
    """Group the faults that no coupling finding touches by the informants who spoke of them."""
    base = frame(state.network)
    roots, count = state.network.roots, len(state.network.parents)
    lone = np.ones(count, dtype=np.bool_)
    for seen in state.coupling:
        lone[np.array(seen.faults) - roots] = False
    code = np.zeros(count, dtype=np.intp)
    for place, gate in enumerate(sorted(state.gated)):
        code += (state.gated[gate] != 1.0).any(axis=(0, 2)) << place
    groups = []
    for combination in np.unique(code[lone]).tolist():
        chosen = sorted(g for i, g in enumerate(sorted(state.gated)) if combination >> i & 1)
        members = lone & (code == combination)
        groups.append(_lone(state, base, tuple(reversed(chosen)), members))
    return groups


def _lone(state: Gathered, base: Frame, gates: tuple[int, ...], members: NDArray[np.bool_]) -> Lone:
    weight = state.plain[None]
    for gate in gates:
        table = state.gated[gate]
        weight = (weight[:, None] * table[None]).reshape(-1, len(members), 2)
    weight = np.where(members[:, None], weight, 1.0)
    absent, present = weight[:, base.entry_fault, 0], weight[:, base.entry_fault, 1]
    return Lone(gates, weight, absent + base.entry_chance * (present - absent), members)


def lone_factors(state: Gathered, group: Lone, *, all_scopes: bool) -> list[tuple[int, Factor]]:
    """One factor for each scope that matters: (index of the scope, factor)."""
    base = frame(state.network)
    if not len(base.entry_fault):
        return []
    table = np.multiply.reduceat(group.joined, base.cell_first, axis=1)
    telling = group.faults if all_scopes else group.faults & (group.weight != 1.0).any(axis=(0, 2))
    mask = sum(1 << g for g in group.gates)
    found = []
    for scope in np.unique(base.home[telling]).tolist():
        cells = table[:, base.scope_start[scope] : base.scope_start[scope + 1]]
        found.append((scope, _factor(base.scopes[scope], mask, group.gates, cells)))
    return found


def _factor(scope: int, gate_mask: int, gates: tuple[int, ...], cells: Floats) -> Factor:
    """Axes in order: gates stand among the roots by their number."""
    both = scope | gate_mask
    if gates and scope >> gates[-1]:
        table = np.einsum(_letters(scope, gates), cells.reshape(_apart(scope, gates)))
        return Factor(both, np.ascontiguousarray(table))
    return Factor(both, np.ascontiguousarray(cells).reshape((2,) * both.bit_count()))


def _letters(scope: int, gates: tuple[int, ...]) -> str:
    """Einstein's notation from gates and scope apart to both in order."""
    letter = {b: chr(97 + i) for i, b in enumerate(bits(scope | sum(1 << g for g in gates)))}
    return "".join(letter[a] for a in (*gates, *bits(scope))) + "->" + "".join(letter.values())


def _apart(scope: int, gates: tuple[int, ...]) -> tuple[int, ...]:
    return (2,) * (len(gates) + scope.bit_count())


def by_gates(scope: int, gates: tuple[int, ...], table: Floats) -> Floats:
    """The way back of a scope's factor: one row a state of the gates, one column a cell."""
    if gates and scope >> gates[-1]:
        wide = np.zeros(_apart(scope, gates))
        both = (scope | sum(1 << g for g in gates)).bit_count()
        np.einsum(_letters(scope, gates), wide)[...] = table.reshape((2,) * both)
        table = wide
    return table.reshape(1 << len(gates), -1)
