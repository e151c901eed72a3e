"""The exact posterior: one signed elimination over past lives, candour and coupled faults."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

import numpy as np
from numpy.typing import NDArray

from retrue.belief.elimination import Bucket, Summed, sum_back, sum_out, sum_product
from retrue.belief.frame import Factor, bits, frame
from retrue.belief.gather import Gathered, Lone, by_gates, gather
from retrue.belief.narrow import left_out, narrowed
from retrue.belief.network import Evidence, Impossible, Network, Posterior
from retrue.belief.ordering import order
from retrue.belief.tables import Parts, Scope, parts, whole_masks

Floats = NDArray[np.float64]

MOST_CELLS = 1 << 24
SMALL = 1e-250
EXACT = 2e-11  # how far buckets may disagree about the total before whole tables are tried
LOOSE = 1e-7  # how far, before whole tables are used even where they have to leave findings out


def update(
    network: Network, evidence: Sequence[Evidence], *, most_cells: int = MOST_CELLS
) -> Posterior:
    """Believe what the evidence says, exactly.

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
        In any order; it is sorted by key.
    most_cells : int
        Cells of the sum beyond which findings are set aside.

    Returns
    -------
    Posterior
        Marginals of every variable, log evidence, keys of what was set aside.

    Raises
    ------
    Impossible
        The evidence contradicts itself.
    ValueError
        Two findings have one key, or one names something that is not a fault.

    Notes
    -----
    Findings of one term multiply odds and never cost width. Each finding of two terms becomes
    one auxiliary of two states whose signs cancel in the sum. Faults that no such finding touches
    are summed at once, each a small factor over its own roots. Where cancelling would cost
    digits, seen by buckets that disagree about the total, whole tables without signs are used
    (if only few digits would go and they do not fit, the signed answer stays).

    References
    ----------
    Dechter, Artificial Intelligence 113 (1999) 41-85 (bucket elimination).
    Heckerman, UAI 1989 (a tractable inference algorithm for two-level noisy-or networks).

    Examples
    --------
    >>> from retrue.belief.looks import look
    >>> net = Network(("h", "f"), np.array([0.5]), ((0,),), (np.array([0.1, 0.6]),))
    >>> seen = update(net, [look("a", "seen", [1], [0.9], 0.1)])
    >>> seen.marginal.round(4).tolist(), round(math.exp(seen.log_evidence), 4)
    ([0.764, 0.8305], 0.3835)
    """
    full = gather(network, evidence)
    first, apart = _attempt(full, most_cells, whole=False)
    if first is not None and (apart <= EXACT or (apart <= LOOSE and _wide(full, most_cells))):
        return first
    second, _ = _attempt(full, most_cells, whole=True)
    if first is None and second is None:
        raise Impossible("the evidence contradicts itself")
    return second or cast(Posterior, first)


def _wide(state: Gathered, most_cells: int) -> bool:
    """Whether whole tables would not fit."""
    masks = whole_masks(state, parts(state, whole=False, all_scopes=True))
    return order(masks).cells > most_cells


def _makeable(state: Gathered, most_cells: int) -> Gathered:
    """Without the findings whose own whole table would be over the limit by itself."""
    fitting = [seen for seen in state.coupling if 1 << len(seen.faults) <= most_cells]
    return replace(state, coupling=tuple(fitting))


def _attempt(full: Gathered, most_cells: int, *, whole: bool) -> tuple[Posterior | None, float]:
    """One way of summing, and how far buckets disagree; None where nothing is possible."""
    made: dict[str, Parts] = {}

    def tables(state: Gathered) -> list[Factor]:
        made["last"] = parts(state, whole=whole, all_scopes=True)
        return made["last"].tables

    start = _makeable(full, most_cells) if whole else full
    state, factors, turn = narrowed(start, tables, most_cells, signed=not whole)
    last = made["last"]
    summed = sum_product(factors, turn, scaled=False)
    if not summed.total > SMALL:
        summed = sum_product(factors, turn, scaled=True)
    if not summed.total > 0.0 or last.log_level == -math.inf:
        return None, math.inf
    marginal, joint, apart = _marginals(state, summed, last)
    for number, group in enumerate(last.groups):
        _lone_marginals(state, group, number, joint, marginal)
    log_evidence = math.log(summed.total) + summed.log_scale + last.log_level
    return Posterior(np.clip(marginal, 0.0, 1.0), log_evidence, left_out(full, state)), apart


def _marginals(
    state: Gathered, summed: Summed, last: Parts
) -> tuple[Floats, dict[Scope, Floats], float]:
    """P(variable = 1) in the sum, the joint over every scope, and how far buckets disagree."""
    roots, shift = state.network.roots, last.shift
    marginal = np.zeros(len(state.network.names))
    joint: dict[Scope, Floats] = {}
    asked = _asked(summed, last.masks, joint)
    apart = [0.0]

    def visit(bucket: Bucket, around: Floats) -> None:
        variable, halves = bucket.variable, bucket.halves
        if variable < roots or variable >= roots + shift:
            absent, present = (float(np.vdot(halves[:, s], around)) for s in (0, 1))
            apart[0] = max(apart[0], abs(float(absent + present) - 1.0))
            marginal[variable if variable < roots else variable - shift] = present
        wanted = asked.get(variable)
        if wanted:
            belief = halves * around
            for name, mask in wanted:
                joint[name] = sum_out(belief, bucket.mask, bucket.mask & ~mask)

    sum_back(summed, visit)
    return marginal, joint, apart[0]


def _asked(
    summed: Summed, masks: Mapping[Scope, int], joint: dict[Scope, Floats]
) -> dict[int, list[tuple[Scope, int]]]:
    """Which joints each variable's bucket is asked for; those of no variable are one."""
    position = {bucket.variable: i for i, bucket in enumerate(summed.buckets)}
    asked: dict[int, list[tuple[Scope, int]]] = {}
    for name, mask in masks.items():
        if mask:
            first = min(bits(mask), key=position.__getitem__)
            asked.setdefault(first, []).append((name, mask))
        else:
            joint[name] = np.ones(())
    return asked


def _lone_marginals(
    state: Gathered, group: Lone, number: int, joint: Mapping[Scope, Floats], marginal: Floats
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


def probability_of(network: Network, evidence: Sequence[Evidence], one_more: Evidence) -> float:
    """Chance of one more answer, given the evidence so far.

    Parameters
    ----------
    network : Network
    evidence : sequence of Evidence
    one_more : Evidence
        With a key of its own.

    Returns
    -------
    float
        P(one_more | evidence), 0 to 1.

    Raises
    ------
    Impossible
        The evidence so far contradicts itself.
    ValueError
        Two findings have one key.

    Examples
    --------
    >>> from retrue.belief.looks import look
    >>> net = Network(("f",), np.empty(0), ((),), (np.array(0.5),))
    >>> round(probability_of(net, [], look("a", "seen", [0], [0.8], 0.0)), 12)
    0.4
    """
    before = update(network, evidence).log_evidence
    try:
        return math.exp(update(network, [*evidence, one_more]).log_evidence - before)
    except Impossible:
        return 0.0
