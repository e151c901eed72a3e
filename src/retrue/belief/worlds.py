"""Exact, independent worlds from the posterior: the sum's own tables, read backwards."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, sum_product
from retrue.belief.frame import Factor, bits, frame
from retrue.belief.gather import Gathered, Lone, gather, lone_factors, lone_groups
from retrue.belief.narrow import left_out, narrowed
from retrue.belief.network import Evidence, Network, Worlds
from retrue.belief.ordering import Order
from retrue.belief.posterior import SMALL, Impossible
from retrue.belief.tables import coupled_fault, unsigned

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Index = NDArray[np.intp]
Whole = NDArray[np.int32]
States = NDArray[np.bool_]

MOST_CELLS = 1 << 24


def draw(
    network: Network,
    evidence: Sequence[Evidence],
    uniforms: Singles,
    *,
    most_cells: int = MOST_CELLS,
) -> Worlds:
    """Draw worlds: whole truths, each with the chance it has given the evidence.

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
        In any order.
    uniforms : ndarray of float32, shape (variables, worlds)
        Uniform numbers in [0, 1); a world depends on its own column alone.
    most_cells : int
        Cells of the sum beyond which findings are set aside.

    Returns
    -------
    Worlds
        States of shape (variables, worlds).

    Raises
    ------
    Impossible
        The evidence contradicts itself.
    ValueError
        Two findings have one key, or the uniforms do not have one row a variable.

    Notes
    -----
    Every table of the sum is a probability here, so its bucket, read at what was already drawn,
    gives the next variable's chance: independent exact draws, no weights.

    References
    ----------
    Koller and Friedman, Probabilistic Graphical Models, 2009, section 10.3.3.3 and exercise 12.1
    (sampling from a calibrated tree; from memory).

    Examples
    --------
    >>> net = Network(("h", "f"), np.array([0.5]), ((0,),), (np.array([0.1, 0.6]),))
    >>> draw(net, [], np.array([[0.2, 0.9], [0.5, 0.5]], dtype=np.float32)).states.tolist()
    [[True, False], [True, False]]
    """
    if len(uniforms) != len(network.names):
        raise ValueError("one row of uniform numbers is needed for every variable")
    full = gather(network, evidence)
    state, tables, turn = narrowed(full, _tables, most_cells, signed=False)
    chances = _chances(tables, turn, scaled=False)
    if chances is None:
        chances = _chances(tables, turn, scaled=True)
    if chances is None or state.log_level[0] == -np.inf or not state.plain.any(axis=1).all():
        raise Impossible("the evidence contradicts itself")
    states = np.zeros(uniforms.shape, dtype=np.bool_)
    whole = np.zeros(uniforms.shape, dtype=np.int32)
    for variable, around, chance in reversed(chances):
        limit = chance.take(_index(bits(around), whole)) if around else chance
        np.less(uniforms[variable], limit, out=states[variable])
        whole[variable] = states[variable]
    for group in lone_groups(state):
        _draw_lone(state, group, states, whole, uniforms)
    return Worlds(states, left_out(full, state))


def _chances(
    tables: Sequence[Factor], turn: Order, *, scaled: bool
) -> list[tuple[int, int, Singles]] | None:
    """For each variable in turn, its neighbours and P(it = 1 | them); None if the sum is nothing.

    Kept in single precision as each bucket is done, so that the wide tables do not pile up.
    """
    kept: list[tuple[int, int, Singles]] = []

    def finish(bucket: Bucket) -> None:
        present = bucket.halves[:, 1]
        both = bucket.halves[:, 0] + present
        chance = np.divide(present, both, out=np.zeros(both.shape), where=both > 0.0)
        around = bucket.mask ^ 1 << bucket.variable
        kept.append((bucket.variable, around, chance.astype(np.float32).reshape(-1)))
        bucket.table, bucket.given, bucket.messages = np.empty(0), None, []

    summed = sum_product(tables, turn, scaled=scaled, finish=finish)
    return kept if summed.total > (0.0 if scaled else SMALL) else None


def _tables(state: Gathered) -> list[Factor]:
    """The factors of the sum, none of them signed."""
    groups = lone_groups(state)
    tables = [Factor(1 << r, state.root_weight[r]) for r in range(state.network.roots)]
    for group in groups:
        tables.extend(factor for _, factor in lone_factors(state, group, all_scopes=False))
    for fault in sorted({f for seen in state.coupling for f in seen.faults}):
        tables.extend(coupled_fault(state, fault))
    tables.extend(unsigned(seen) for seen in state.coupling)
    return [t for t in tables if t.mask]


def _index(variables: Sequence[int], whole: Whole) -> Index:
    """Cell that each world's states point to, first variable slowest."""
    if not variables:
        return np.zeros(whole.shape[1], dtype=np.intp)
    index = whole[variables[0]].copy()
    for variable in variables[1:]:
        np.add(index, index, out=index)
        np.add(index, whole[variable], out=index)
    return np.asarray(index, dtype=np.intp)


def _draw_lone(
    state: Gathered, group: Lone, states: States, whole: Whole, uniforms: Singles
) -> None:
    """Faults that stand alone, given their roots and informants."""
    base = frame(state.network)
    present = base.entry_chance * group.weight[:, base.entry_fault, 1]
    chance = np.divide(
        present, group.joined, out=np.zeros(present.shape), where=group.joined > 0.0
    ).astype(np.float32)
    by_fault = np.argsort(base.entry_fault, kind="stable")
    chance = chance[:, by_fault]
    size = np.bincount(base.entry_fault, minlength=len(base.own))
    start = np.concatenate([[0], np.cumsum(size)])
    indices: dict[int, Index] = {}
    for place in np.flatnonzero(group.faults).tolist():
        scope = int(base.home[place])
        if scope not in indices:
            indices[scope] = _index([*group.gates, *bits(base.scopes[scope])], whole)
        flat = np.ascontiguousarray(chance[:, start[place] : start[place + 1]]).reshape(-1)
        row = state.network.roots + place
        np.less(uniforms[row], flat.take(indices[scope]), out=states[row])
