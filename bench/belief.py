"""Belief: the exact posterior and exact worlds, timed beside a general Bayesian-network library.

Run ``.venv/bin/python bench/belief.py``. Prints milliseconds and the bar beside each.
The comparison library is pyAgrum (LazyPropagation on addNoisyORNet); it is for development only.
"""

# ruff: noqa: E402  (the linear algebra reads its number of threads when NumPy is first imported)
from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream, uniforms
from retrue.belief.base_odds import fault_table, solve_base
from retrue.belief.looks import look
from retrue.belief.network import Network, Seen
from retrue.belief.posterior import update
from retrue.belief.worlds import draw
from retrue.cases.answers import likelihoods, open_questions
from retrue.cases.case import Kept, LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import CaseNetwork, build
from retrue.cases.practice import answer, hidden_truth
from retrue.kinds.load import load
from retrue.records.facts import Asked, Channel, Finding, Lot, Machine, Shop, Terms

Check = tuple[list[int], list[float]]  # faults and their links

SEED = 20
KINDS = {"A": "vertical_machining_centre", "B": "turning_centre"}


def lot(machines: str, findings: tuple[Kept, ...] = ()) -> LotCase:
    """A lot whose seller's candour is open from the start."""
    return LotCase(
        shop=Shop(),
        lot=Lot(name="bench"),
        terms=Terms(lot="bench"),
        machines=tuple(Machine(lot="bench", name=m, kind=KINDS[m]) for m in machines),
        findings=findings,
        asked=(Asked(lot="bench", machine=None, what="S01", informant="seller", came=False),),
    )


def answers(built: CaseNetwork, size: int, chance: np.random.Generator, *, plain: bool) -> LotCase:
    """So many random looks at each machine, answered by a hidden truth, or blindly if ``plain``."""
    truth = hidden_truth(built, chance)
    kept: list[Kept] = []
    for machine, kind in built.kinds.items():
        checks = sorted(kind.checks)
        for place in chance.permutation(len(checks))[:size]:
            stages = kind.checks[checks[place]].stages
            channel: Channel = stages[int(chance.integers(len(stages)))]
            if channel == "photo" and chance.random() < 0.5:
                channel = "call"
            who = "seller" if channel == "call" else None
            finding = answer(built, truth, machine, checks[place], channel, chance, informant=who)
            if plain and finding.reading is None:
                finding = _blind(finding, kind.checks[checks[place]].answers, chance)
            kept.append(Kept(id=f"{machine}.{checks[place]}", finding=finding))
    return lot("".join(built.kinds), tuple(kept))


def _blind(finding: Finding, answers: str, chance: np.random.Generator) -> Finding:
    words = ("not_seen", "slight", "severe") if answers == "degree" else ("not_seen", "seen")
    return Finding(
        lot="",
        machine=finding.machine,
        check=finding.check,
        answer=words[int(chance.integers(len(words)))],
        grade=finding.grade,
        channel=finding.channel,
        informant=finding.informant,
    )


def timed(work: Callable[[], object]) -> float:
    """Milliseconds of one call, the best of three: other programs only ever add."""
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return 1e3 * best


def quantiles(times: list[float]) -> str:
    median, late, worst = np.quantile(times, (0.5, 0.95, 1.0))
    return f"median {median:7.2f}  95 % {late:7.2f}  worst {worst:7.2f} ms"


def posteriors(machines: str, size: int, draws: int, *, plain: bool) -> tuple[list[float], int]:
    """Times of ``draws`` updates, and how many findings were set aside in all."""
    built = build(lot(machines), load())
    chance = stream(SEED, machines, str(size), "plain" if plain else "truth")
    times, aside = [], 0
    for _ in range(draws):
        case = answers(built, size, chance, plain=plain)
        seen, _ = evidence(case, built)
        times.append(timed(partial(update, built.network, seen)))
        aside += len(update(built.network, seen).set_aside)
    return times, aside


def worlds(size: int, draws: int) -> tuple[list[float], list[float]]:
    """Times of drawing 20,000 worlds of a lot of two, and of all open questions on them."""
    kinds = load()
    built = build(lot("AB"), kinds)
    chance = stream(SEED, "worlds", str(size))
    numbers = uniforms(SEED, "worlds", worlds=20_000, columns=len(built.network.names))
    drawn, asked = [], []
    for _ in range(draws):
        case = answers(built, size, chance, plain=False)
        seen, _ = evidence(case, built)
        drawn.append(timed(partial(draw, built.network, seen, numbers)))
        states = draw(built.network, seen, numbers).states
        questions = open_questions(case, built)
        asked.append(timed(partial(likelihoods, questions, built, states)))
    return drawn, asked


def synthetic(chance: np.random.Generator) -> tuple[Network, list[Check]]:
    """Six causes, 80 faults, 120 checks over one to five faults."""
    roots, faults = 6, 80
    priors = chance.uniform(0.1, 0.5, roots)
    parents, tables = [], []
    for _ in range(faults):
        own = tuple(sorted(chance.permutation(roots)[: chance.integers(1, 4)].tolist()))
        raisers = chance.uniform(1.5, 5.0, len(own)).tolist()
        base = solve_base(float(chance.uniform(0.02, 0.3)), raisers, priors[list(own)].tolist())
        parents.append(own)
        tables.append(fault_table(base, raisers))
    names = tuple(f"v{i}" for i in range(roots + faults))
    checks = []
    for _ in range(120):
        some = (roots + chance.permutation(faults)[: chance.integers(1, 6)]).tolist()
        checks.append((some, chance.uniform(0.3, 0.95, len(some)).tolist()))
    return Network(names, priors, tuple(parents), tuple(tables)), checks


def against_pyagrum(draws: int) -> tuple[list[float], list[float], float]:
    """Own times, pyAgrum's times, and the largest difference of a marginal."""
    import pyagrum

    gum: Any = pyagrum
    ours, theirs, apart = [], [], 0.0
    chance = stream(SEED, "synthetic")
    for _ in range(draws):
        network, checks = synthetic(chance)
        numbers = chance.random((len(network.names), 1), dtype=np.float32)
        truth = draw(network, (), numbers).states[:, 0]
        picked = chance.permutation(len(checks))[:30].tolist()
        seen = [_said(f"c{i}", checks[i], truth, chance) for i in picked]
        engine = gum.LazyPropagation(_gum_network(gum, network, checks))
        engine.setTargets(set(network.names))
        hard = {s.key: int(s.coefficient.shape[1] == 2) for s in seen}
        theirs.append(timed(partial(_infer, engine, hard, network.names)))
        ours.append(timed(partial(update, network, seen)))
        other = np.array(_infer(engine, hard, network.names))
        apart = max(apart, float(np.abs(update(network, seen).marginal - other).max()))
    return ours, theirs, apart


def _infer(engine: Any, hard: dict[str, int], names: tuple[str, ...]) -> list[float]:
    """All marginals from pyAgrum, from setting the answers on."""
    engine.eraseAllEvidence()
    engine.setEvidence(hard)
    engine.makeInference()
    return [float(engine.posterior(name)[1]) for name in names]


def _said(key: str, check: Check, truth: NDArray[np.bool_], chance: np.random.Generator) -> Seen:
    faults, links = check
    unseen = 0.97 * float(np.prod(1.0 - np.array(links) * truth[faults]))
    return look(key, "not_seen" if chance.random() < unseen else "seen", faults, links, 0.03)


def _gum_network(gum: Any, network: Network, checks: list[Check]) -> Any:
    net = gum.BayesNet()
    for name in network.names:
        net.add(gum.LabelizedVariable(name, name, 2))
    for root in range(network.roots):
        prior = float(network.root_prior[root])
        net.cpt(network.names[root]).fillWith([1.0 - prior, prior])
    for place, (own, table) in enumerate(zip(network.parents, network.tables, strict=True)):
        name = network.names[network.roots + place]
        for parent in own:
            net.addArc(network.names[parent], name)
        for states in np.ndindex(*table.shape):
            key = {network.names[p]: s for p, s in zip(own, states, strict=True)}
            net.cpt(name)[key] = [1.0 - float(table[states]), float(table[states])]
    for place, (faults, links) in enumerate(checks):
        net.addNoisyORNet(gum.LabelizedVariable(f"c{place}", "", 2), 0.03)
        for fault, link in zip(faults, links, strict=True):
            net.addWeightedArc(network.names[fault], f"c{place}", link)
    return net


def main() -> None:
    print("belief, full machining centre, all past lives unknown, seller's candour open, 100 draws")
    bars = {30: "bar: median 6, worst 20", 60: "bar: median 20, 95 % 100, worst 1000"}
    for size in (30, 60):
        for plain in (False, True):
            times, aside = posteriors("A", size, 100, plain=plain)
            how = "answered blindly   " if plain else "by a hidden truth  "
            print(f"  {size} findings {how} {quantiles(times)}  set aside {aside}  ({bars[size]})")
    print("lot of two, 190 variables, 30 findings a machine")
    times, aside = posteriors("AB", 30, 30, plain=False)
    print(f"  update              {quantiles(times)}  set aside {aside}")
    for size in (10, 30, 60):
        drawn, asked = worlds(size, 10)
        print(f"  {size} findings a machine: 20,000 worlds   {quantiles(drawn)}  (bar: about 60)")
        print(f"                       all open questions {quantiles(asked)}  (bar: 60)")
    ours, theirs, apart = against_pyagrum(20)
    ratio = float(np.median(np.array(ours) / np.array(theirs)))
    print("6 causes x 80 faults x 120 checks, 30 findings")
    print(f"  ours    {quantiles(ours)}\n  pyAgrum {quantiles(theirs)}")
    print(f"  ratio {ratio:.3f} (bar: 0.25)  largest difference {apart:.1e}")


if __name__ == "__main__":
    main()
