"""Small invented networks and findings, for comparing with counting every state."""

from __future__ import annotations

import numpy as np

from retrue.belief.looks import Spread, found, leaning, look, reading
from retrue.belief.network import Evidence, Network


def network(
    chance: np.random.Generator, *, lives: int = 4, informants: int = 1, faults: int = 8
) -> Network:
    """Past lives, then informants, then faults hanging on up to three past lives each."""
    parents, tables = [], []
    for _ in range(faults):
        own = tuple(chance.permutation(lives)[: chance.integers(0, 4)].tolist())
        parents.append(own)
        tables.append(chance.uniform(0.02, 0.7, size=(2,) * len(own)))
    names = (
        *(f"life{i}" for i in range(lives)),
        *(f"candid{i}" for i in range(informants)),
        *(f"fault{i}" for i in range(faults)),
    )
    priors = chance.uniform(0.1, 0.8, lives + informants)
    return Network(names, priors, tuple(parents), tuple(tables))


def finding(chance: np.random.Generator, net: Network, key: str, *, lives: int = 4) -> Evidence:
    """One finding of any sort, over one to five faults, half of them told by an informant."""
    count = len(net.parents)
    faults = (net.roots + chance.permutation(count)[: chance.integers(1, 6)]).tolist()
    sort = int(chance.integers(0, 8))
    gate = None
    if net.roots > lives and chance.random() < 0.5:
        gate = int(chance.integers(lives, net.roots))
    if sort == 5:
        side = "high" if chance.random() < 0.5 else "low"
        parts = {f: Spread(float(chance.uniform(1, 4)), 0.5) for f in faults}
        return reading(key, 1.5, 2.5, Spread(1.0, 0.5), parts, side)
    if sort == 6:
        return leaning(key, int(chance.integers(0, net.roots)), 3.0)
    if sort == 7:
        return leaning(key, faults[0], 2.0)
    word = ("not_seen", "seen", "slight", "severe", "not_seen")[sort]
    links = chance.uniform(0.1, 0.95, len(faults)).tolist()
    leak = float(chance.uniform(0.01, 0.2))
    return look(key, word, faults, links, leak, gate=gate)


def case(seed: int, *, informants: int = 1, findings: int = 8) -> tuple[Network, list[Evidence]]:
    """A network and its findings, one fault in three cases known from teardown."""
    chance = np.random.Generator(np.random.Philox(seed))
    net = network(chance, informants=informants)
    evidence = [finding(chance, net, f"finding{i}") for i in range(findings)]
    if chance.random() < 0.33:
        fault = net.roots + int(chance.integers(0, len(net.parents)))
        evidence.append(found("teardown", fault, bool(chance.random() < 0.5)))
    return net, evidence
