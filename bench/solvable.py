"""Searches small enough to solve exactly: how far the advice is from the best plan there is.

    python -m bench.solvable

200 searches of five parts and three tests, 60 of seven and four: one part is bad, a treatment of
it cures, tests are noisy, prices and odds are drawn from a fixed seed.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.choose.exact import best, followed, invented

from retrue.choose.ahead import next_moves

SETS = ((200, 5, 3), (60, 7, 4))
SEED = 1


@dataclass(frozen=True, slots=True)
class Gaps:
    """Of one set: how far the advice, and the plain plan, are from the best, as shares."""

    items: int
    tests: int
    advice: np.ndarray
    plain: np.ndarray


def gaps(count: int, items: int, tests: int) -> Gaps:
    """Solve a set exactly, and follow the advice through each of its searches."""
    advice, plain = [], []
    for number in range(count):
        search = invented(np.random.default_rng([SEED, items, tests, number]), items, tests)
        least = best(search)
        advice.append(followed(search) / least - 1.0)
        plain.append(next_moves(search).plain / least - 1.0)
    return Gaps(items, tests, np.array(advice), np.array(plain))


def report() -> bool:
    """Print both sets; whether mean and worst keep to 1 and 5 per cent over all."""
    found = [gaps(*one) for one in SETS]
    print("parts tests searches | mean gap  worst  optimal | plain plan: mean  worst")
    for one in found:
        print(
            f"{one.items:5} {one.tests:5} {len(one.advice):8} | {one.advice.mean():8.2%} "
            f"{one.advice.max():6.2%} {(one.advice < 1e-9).mean():8.0%} | "
            f"{one.plain.mean():16.1%} {one.plain.max():6.1%}"
        )
    whole = np.concatenate([one.advice for one in found])
    print(f"all {len(whole)}: mean {whole.mean():.2%} (bar 1 %), worst {whole.max():.2%} (bar 5 %)")
    return bool(whole.mean() <= 0.01 and whole.max() <= 0.05)


if __name__ == "__main__":
    sys.exit(0 if report() else 1)
