"""Against pyAgrum's LazyPropagation on addNoisyORNet: an independent, general library.

``addNoisyOR`` would be the compound form, whose weights contain the leak; ours is the net form.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from tests.belief import invented
from tests.cases.lots import machining_centre

from retrue.belief.looks import look
from retrue.belief.network import Evidence, Network
from retrue.belief.posterior import update

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pyagrum as gum

Look = tuple[str, list[int], list[float], float, bool]


def by_pyagrum(net: Network, looks: list[Look]) -> np.ndarray:
    """Marginals of every variable after yes and no answers."""
    model = gum.BayesNet()
    for name in net.names:
        model.add(gum.LabelizedVariable(name, name, 2))
    for root in range(net.roots):
        prior = float(net.root_prior[root])
        model.cpt(net.names[root]).fillWith([1 - prior, prior])
    for place, (parents, table) in enumerate(zip(net.parents, net.tables, strict=True)):
        name = net.names[net.roots + place]
        for parent in parents:
            model.addArc(net.names[parent], name)
        for states in np.ndindex(*table.shape):
            key = {net.names[p]: s for p, s in zip(parents, states, strict=True)}
            cell = float(table[states])
            if key:
                model.cpt(name)[key] = [1 - cell, cell]
            else:
                model.cpt(name).fillWith([1 - cell, cell])
    for word, faults, links, leak, _ in looks:
        model.addNoisyORNet(gum.LabelizedVariable(word, word, 2), leak)
        for fault, link in zip(faults, links, strict=True):
            model.addWeightedArc(net.names[fault], word, link)
    engine = gum.LazyPropagation(model)
    engine.setEvidence({word: int(yes) for word, *_, yes in looks})
    engine.makeInference()
    return np.array([engine.posterior(name)[1] for name in net.names])


def as_evidence(looks: list[Look]) -> list[Evidence]:
    return [look(k, "seen" if yes else "not_seen", f, q, leak) for k, f, q, leak, yes in looks]


def random_looks(chance: np.random.Generator, net: Network, size: int) -> list[Look]:
    made: list[Look] = []
    for i in range(size):
        faults = net.roots + chance.permutation(len(net.parents))[: chance.integers(1, 5)]
        links = chance.uniform(0.2, 0.95, len(faults)).tolist()
        leak = float(chance.uniform(0.01, 0.1))
        made.append((f"look{i}", faults.tolist(), links, leak, bool(chance.random() < 0.4)))
    return made


@pytest.mark.parametrize("seed", range(12))
def test_random_networks_agree(seed: int):
    chance = np.random.Generator(np.random.Philox(seed))
    net = invented.network(chance, lives=5, informants=0, faults=30)
    looks = random_looks(chance, net, 14)
    assert update(net, as_evidence(looks)).marginal == pytest.approx(
        by_pyagrum(net, looks), abs=1e-10
    )


@pytest.mark.parametrize(
    "subsystem", ["spindle", "cabinet", "axis motor", "spindle motor", "ball screw"]
)
def test_parts_of_the_machining_centre_agree(subsystem: str):
    """Every look that reaches one subsystem, answered yes and no in turn."""
    built = machining_centre()
    kind = built.kinds["A"]
    inside = [f for f in kind.faults.values() if f.subsystem == subsystem]
    assert len(inside) >= 5
    net, number = _only(built.network, [built.faults["A", f.id] for f in inside])
    looks: list[Look] = []
    for check in kind.checks.values():
        links = {
            number[built.faults["A", f]]: q
            for f, q in check.links.items()
            if built.faults["A", f] in number
        }
        if links and len(looks) < 16:
            yes = len(looks) % 3 == 0
            looks.append((check.id, list(links), list(links.values()), check.leak, yes))
    assert update(net, as_evidence(looks)).marginal == pytest.approx(
        by_pyagrum(net, looks), abs=1e-10
    )


def _only(net: Network, faults: list[int]) -> tuple[Network, dict[int, int]]:
    """The network of some faults with all its roots."""
    places = [f - net.roots for f in faults]
    names = (*net.names[: net.roots], *(net.names[f] for f in faults))
    less = Network(
        names,
        net.root_prior,
        tuple(net.parents[p] for p in places),
        tuple(net.tables[p] for p in places),
    )
    return less, {f: net.roots + i for i, f in enumerate(faults)}
