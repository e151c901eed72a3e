"""The belief by counting every state: slow, plain, and independent of the product's own sums."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from retrue.belief.network import Evidence, Leaning, Network


def joint(network: Network, evidence: Sequence[Evidence]) -> np.ndarray:
    """Weight of every state, shape (2,) * variables: prior times likelihood."""
    count = len(network.names)
    states = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1
    weight = np.ones(len(states))
    for root, prior in enumerate(network.root_prior):
        weight *= np.where(states[:, root] == 1, prior, 1 - prior)
    for j, (parents, table) in enumerate(zip(network.parents, network.tables, strict=True)):
        chance = table[tuple(states[:, p] for p in parents)]
        weight *= np.where(states[:, network.roots + j] == 1, chance, 1 - chance)
    for item in evidence:
        weight *= likelihood(item, states)
    return np.asarray(weight)


def likelihood(item: Evidence, states: np.ndarray) -> np.ndarray:
    """P(what was seen | state) for rows of states."""
    if isinstance(item, Leaning):
        return np.asarray(item.likelihood)[states[:, item.variable]]
    rows = np.zeros(len(states), dtype=int) if item.gate is None else states[:, item.gate]
    answer = np.zeros(len(states))
    for term in range(item.coefficient.shape[1]):
        part = item.coefficient[rows, term].copy()
        for place, fault in enumerate(item.faults):
            part *= item.ratio[rows, term, place] ** states[:, fault]
        answer += part
    return answer


def belief(network: Network, evidence: Sequence[Evidence]) -> tuple[np.ndarray, float]:
    """Marginals and log evidence."""
    count = len(network.names)
    states = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1
    weight = joint(network, evidence)
    return weight @ states / weight.sum(), float(np.log(weight.sum()))
