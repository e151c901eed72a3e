"""The exact posterior: one signed elimination over past lives, candour and coupled faults."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, Summed, order, sum_back, sum_product
from retrue.belief.frame import Factor, bits, frame
from retrue.belief.gather import Gathered, Lone, by_gates, gather, lone_factors, lone_groups
from retrue.belief.network import Evidence, Network, Posterior
from retrue.belief.tables import coupled_fault, signed

Floats = NDArray[np.float64]

MOST_CELLS = 1 << 22
SMALL = 1e-250


def update(
    network: Network, evidence: Sequence[Evidence], *, most_cells: int = MOST_CELLS
) -> Posterior:
    """Believe what the evidence says, exactly."""
    state = gather(network, evidence)
    groups = lone_groups(state)
    tables, masks = _tables(state, groups)
    turn = order([f.mask for f in tables])
    summed = sum_product(tables, turn, scaled=False)
    if not abs(summed.total) > SMALL:
        summed = sum_product(tables, turn, scaled=True)
    marginal, joint = _marginals(state, summed, masks)
    for number, group in enumerate(groups):
        _lone_marginals(state, group, number, joint, marginal)
    log_evidence = math.log(summed.total) + summed.log_scale + math.log(float(state.level[0]))
    return Posterior(marginal, log_evidence)


def _tables(
    state: Gathered, groups: Sequence[Lone]
) -> tuple[list[Factor], dict[tuple[int, int], int]]:
    """All factors of the sum, and the scopes whose joint will be asked for."""
    roots = state.network.roots
    tables = [Factor(1 << r, state.root_weight[r]) for r in range(roots)]
    scopes: dict[tuple[int, int], int] = {}
    for number, group in enumerate(groups):
        for scope, factor in lone_factors(state, group, all_scopes=True):
            scopes[number, scope] = factor.mask
            tables.append(factor)
    for fault in sorted({f for seen in state.coupling for f in seen.faults}):
        tables.extend(coupled_fault(state, fault))
    first = roots + len(state.network.parents)
    for place, seen in enumerate(state.coupling):
        tables.extend(signed(seen, first + place))
    return tables, scopes


def _marginals(
    state: Gathered, summed: Summed, masks: Mapping[tuple[int, int], int]
) -> tuple[Floats, dict[tuple[int, int], Floats]]:
    """P(variable = 1) of every variable of the sum, and the joint over every scope."""
    count = len(state.network.names)
    marginal = np.zeros(count)
    asked: dict[int, list[tuple[tuple[int, int], int]]] = {}
    position = {bucket.variable: i for i, bucket in enumerate(summed.buckets)}
    for name, mask in masks.items():
        asked.setdefault(min(position[b] for b in bits(mask)), []).append((name, mask))
    joint: dict[tuple[int, int], Floats] = {}

    def visit(bucket: Bucket, around: Floats) -> None:
        wanted = asked.get(position[bucket.variable], [])
        if bucket.variable >= count and not wanted:
            return
        belief = bucket.table * around
        if bucket.variable < count:
            marginal[bucket.variable] = belief[(*(slice(None),) * bucket.place, 1)].sum()
        for name, mask in wanted:
            gone = tuple(i for i, b in enumerate(bucket.axes) if not mask >> b & 1)
            joint[name] = belief.sum(axis=gone)

    sum_back(summed, visit)
    return marginal, joint


def _lone_marginals(
    state: Gathered,
    group: Lone,
    number: int,
    joint: Mapping[tuple[int, int], Floats],
    marginal: Floats,
) -> None:
    """P(fault = 1) of the faults that stood alone, from the joint over their scopes."""
    base = frame(state.network)
    cells = np.zeros((len(group.joined), base.scope_start[-1]))
    for scope, mask in enumerate(base.scopes):
        found = joint.get((number, scope))
        if found is not None:
            flat = by_gates(mask, group.gates, found)
            cells[:, base.scope_start[scope] : base.scope_start[scope + 1]] = flat
    present = base.entry_chance * group.weight[:, base.entry_fault, 1]
    safe = np.where(group.joined == 0.0, 1.0, group.joined)
    share = (cells[:, base.entry_cell] * present / safe).sum(axis=0)
    each = np.bincount(base.entry_fault, weights=share, minlength=len(group.faults))
    marginal[state.network.roots :][group.faults] = each[group.faults]
