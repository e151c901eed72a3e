"""How good the guesses are: what was believed of each fault of hidden machines, and what was.

    python -m bench.guesses [--machines N] [--looks N]

Each machine hides what is wrong, drawn from the tables or from odds wrong by a factor e up or
down, fault by fault; it shows one trouble, and some looks are answered. Then every fault is opened
up. Printed beside the kind's bare shares: Brier and logarithmic score (less is better), and of
what was believed in each range how much came true.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Mapping
from pathlib import Path

for variable in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(variable, "1")

import numpy as np  # noqa: E402

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "src"))

from retrue.belief.posterior import update  # noqa: E402
from retrue.belief.scores import brier, log_score, reliability  # noqa: E402
from retrue.cases.evidence import evidence  # noqa: E402
from retrue.cases.find.rehearsal import MACHINE, begin  # noqa: E402
from retrue.cases.network import build  # noqa: E402
from retrue.kinds.library import Kind  # noqa: E402
from retrue.kinds.load import load  # noqa: E402

MACHINES = 200
LOOKS = 20  # answered beside the ten known at the start
FIRST = 30000  # seeds of this bench; no test uses them
Guessed = tuple[np.ndarray, np.ndarray, np.ndarray]  # bare shares, believed, what was


def guessed(kinds: Mapping[str, Kind], seed: int, wrong: bool, looks: int) -> Guessed:
    """All faults of one machine."""
    kind = sorted(kinds)[seed % len(kinds)]
    one = begin(kinds, kind, seed=seed, wrong_priors=wrong)
    chance = np.random.default_rng([seed, looks])
    can = sorted(c.id for c in one.kind.checks.values() if "visit_dead" in c.stages)
    asked = {kept.finding.check for kept in one.case.findings}
    for check in chance.permutation([id for id in can if id not in asked])[:looks]:
        one.look(str(check), free=True)
    built = build(one.case, kinds)
    believed = built.marginal_now(update(built.network, evidence(one.case, built)[0]).marginal)
    bare = update(one.built.network, ()).marginal
    faults = sorted(fault for machine, fault in one.built.faults if machine == MACHINE)
    return (
        np.array([bare[one.built.faults[MACHINE, fault]] for fault in faults]),
        np.array([believed[built.faults[MACHINE, fault]] for fault in faults]),
        np.array([fault in one.truth for fault in faults]),
    )


def report(machines: int, looks: int) -> None:
    """Print the scores for right odds and for wrong ones."""
    kinds = load()
    for wrong in (False, True):
        rows = [guessed(kinds, FIRST + number, wrong, looks) for number in range(machines)]
        bare, believed, was = (np.concatenate(column) for column in zip(*rows, strict=True))
        odds = "odds wrong by a factor e" if wrong else "right odds"
        print(f"\n{odds}: {machines} machines, {len(was)} faults opened up, {was.mean():.1%} there")
        for name, shares in (("bare shares", bare), ("believed", believed)):
            print(f"  {name:12} Brier {brier(shares, was):.4f}  log {log_score(shares, was):.4f}")
        print("  believed     faults   mean  came true")
        for row in reliability(believed, was, bins=10):
            print(
                f"  {row.low:.1f} to {row.high:.1f} {row.count:9} {row.mean:6.3f} {row.came:10.3f}"
            )


def main() -> None:
    """Draw, look, open up, score."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--machines", type=int, default=MACHINES)
    parser.add_argument("--looks", type=int, default=LOOKS)
    given = parser.parse_args()
    report(given.machines, given.looks)


if __name__ == "__main__":
    main()
