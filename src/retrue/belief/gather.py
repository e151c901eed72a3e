"""Evidence gathered onto variables: what needs no sum, and the findings that couple faults."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.belief.frame import Factor, Frame, Ints, bits, frame
from retrue.belief.network import Evidence, Network, Seen

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

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
        In any order.

    Returns
    -------
    Gathered

    Raises
    ------
    ValueError
        Two findings have one key, or one names a variable that is not a fault.

    Examples
    --------
    >>> from retrue.belief.looks import look
    >>> net = Network(("f", "g"), np.empty(0), ((), ()), (np.array(0.2), np.array(0.3)))
    >>> state = gather(net, [look("a", "not_seen", [0], [0.75], 0.0)])
    >>> state.plain.tolist(), state.coupling
    ([[1.0, 0.25], [1.0, 1.0]], ())
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
    looks = []
    for item in ordered:
        if isinstance(item, Seen):
            looks.append(item)
            if item.faults and min(item.faults) < roots:
                raise ValueError("a look shows faults; a past life takes a leaning")
        else:
            target = state.root_weight if item.variable < roots else state.plain
            target[item.variable - (0 if item.variable < roots else roots)] *= item.likelihood
    _take_single(state, [s for s in looks if s.coefficient.shape[1] == 1])
    known = np.where(state.plain[:, 1] == 0.0, 0, np.where(state.plain[:, 0] == 0.0, 1, -1))
    coupling = []
    for seen in looks:
        if seen.coefficient.shape[1] > 1:
            less = _reduced(seen, known, roots)
            if len(less.faults) > 1:
                coupling.append(less)
            else:
                _take_narrow(state, less)
    return replace(state, coupling=tuple(coupling))


def _take_single(state: Gathered, looks: Sequence[Seen]) -> None:
    """Multiply in the findings of one term."""
    roots = state.network.roots
    by_gate: dict[int | None, list[Seen]] = {}
    for seen in looks:
        by_gate.setdefault(seen.gate, []).append(seen)
    for gate, group in by_gate.items():
        level = np.array([s.coefficient[:, 0] for s in group]).T
        with np.errstate(divide="ignore"):
            logs = np.log(level).sum(axis=1)
        largest = float(logs.max())
        state.log_level[:] += largest
        places = np.array([f for s in group for f in s.faults], dtype=np.intp) - roots
        ratio = np.concatenate([s.ratio[:, 0] for s in group], axis=1)
        if gate is None:
            np.multiply.at(state.plain[:, 1], places, ratio[0])
            continue
        if largest > -math.inf:
            state.root_weight[gate] *= np.exp(logs - largest)
        for row, table in enumerate(_gate_table(state, gate)):
            np.multiply.at(table[:, 1], places, ratio[row])


def _gate_table(state: Gathered, gate: int) -> Floats:
    return state.gated.setdefault(gate, np.ones((2, len(state.network.parents), 2)))


def _take_narrow(state: Gathered, seen: Seen) -> None:
    """Multiply in a finding of two terms over one fault, or none; scaled against underflow."""
    pair = np.ones((len(seen.coefficient), 2))
    pair[:, 0] = seen.coefficient.sum(axis=1)
    ratio = seen.ratio.prod(axis=2)  # of one fault, or of none
    pair[:, 1] = (seen.coefficient * ratio).sum(axis=1)
    largest = float(pair.max())
    if not largest > 0.0:
        state.log_level[:] = -math.inf
        return
    state.log_level[:] += math.log(largest)
    pair = np.maximum(pair / largest, 0.0)
    for fault in seen.faults:
        if seen.gate is None:
            state.plain[fault - state.network.roots] *= pair[0]
        else:
            _gate_table(state, seen.gate)[:, fault - state.network.roots] *= pair
    if not seen.faults and seen.gate is not None:
        state.root_weight[seen.gate] *= pair[:, 0]


def _reduced(seen: Seen, known: Ints, roots: int) -> Seen:
    """Without the faults that are known, or that the finding says nothing of."""
    if not seen.faults:
        return seen
    faults = np.array(seen.faults, dtype=np.intp) - roots
    settled = known[faults]
    keep = (settled < 0) & (seen.ratio != 1.0).any(axis=(0, 1))
    if keep.all():
        return seen
    present = settled == 1
    coefficient = seen.coefficient
    if present.any():
        coefficient = coefficient * seen.ratio[:, :, present].prod(axis=2)
    left = tuple((faults[keep] + roots).tolist())
    return Seen(seen.key, left, coefficient, seen.ratio[:, :, keep], seen.gate)


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
    """Group the faults that no coupling finding touches by the informants who spoke of them.

    Parameters
    ----------
    state : Gathered

    Returns
    -------
    list of Lone
        Every lone fault is in one group.
    """
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
    """One factor for each scope that matters.

    Parameters
    ----------
    state : Gathered
    group : Lone
    all_scopes : bool
        Also scopes whose faults nothing was said of: their joint will be asked for.

    Returns
    -------
    list of (int, Factor)
        Index of the frame's scope, and the product over its faults of their sums.

    Notes
    -----
    Summing a fault out of its own table at once is by definition what elimination would do.
    """
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
    """The way back of a scope's factor: one row a state of the gates, one column a cell.

    Parameters
    ----------
    scope : int
        Bit mask.
    gates : tuple of int
    table : ndarray
        Over scope and gates together, any shape of that size.

    Returns
    -------
    ndarray, shape (2 ** gates, 2 ** scope)
    """
    if gates and scope >> gates[-1]:
        wide = np.zeros(_apart(scope, gates))
        both = (scope | sum(1 << g for g in gates)).bit_count()
        np.einsum(_letters(scope, gates), wide)[...] = table.reshape((2,) * both)
        table = wide
    return table.reshape(1 << len(gates), -1)
