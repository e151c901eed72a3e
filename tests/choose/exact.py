"""The exact best plan of small searches, by dynamic programming over everything that can happen.

One active item, chains of one sure treatment, tests that are answered once: the state is which
items were treated and what each test said.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from retrue.choose.ahead import next_moves
from retrue.choose.seeking import Goal, Search, Test, Treatment


def invented(rng: np.random.Generator, items: int, tests: int) -> Search:
    """A search with one active item: random odds, prices, and noisy tests."""
    weight = rng.dirichlet(np.full(items, 0.8))
    chains = tuple((Treatment(f"F{i}", float(rng.uniform(20, 400)), 1.0),) for i in range(items))
    looks = []
    for t in range(tests):
        speaks = rng.random(items) < 0.45
        seen = np.where(speaks, rng.uniform(0.6, 0.98, items), rng.uniform(0.02, 0.15, items))
        looks.append(Test(f"C{t}", float(rng.uniform(3, 40)), np.array([1 - seen, seen])))
    return Search(weight, np.eye(items, dtype=bool), (Goal(tuple(range(items))),), chains,
                  tuple(looks), np.zeros(0))  # fmt: skip


def after(search: Search, treated: frozenset[int], said: tuple[int, ...]) -> np.ndarray:
    """Weights, not normalised: not cured yet, and every answer as it was."""
    weight = search.weight.copy()
    weight[list(treated)] = 0.0
    for test, answer in zip(search.tests, said, strict=True):
        if answer >= 0:
            weight = weight * test.chance[answer]
    return weight


def best(search: Search) -> float:
    """Expected cost of the best plan there is."""

    @cache
    def value(treated: frozenset[int], said: tuple[int, ...]) -> float:
        weight = after(search, treated, said)
        total = weight.sum()
        if total < 1e-300:
            return 0.0
        options = []
        for item, chain in enumerate(search.chains):
            if item not in treated and weight[item] > 0:
                options.append(chain[0].cost * total + value(treated | {item}, said))
        for t, test in enumerate(search.tests):
            if said[t] < 0:
                branches = (
                    value(treated, (*said[:t], answer, *said[t + 1 :]))
                    for answer in range(len(test.chance))
                )
                options.append(test.cost * total + sum(branches))
        return min(options)

    return value(frozenset(), (-1,) * len(search.tests))


def followed(search: Search, *, looks: int = 2) -> float:
    """Expected cost of always doing what comes first in the advice."""

    @cache
    def value(treated: frozenset[int], said: tuple[int, ...]) -> float:
        weight = after(search, treated, said)
        total = weight.sum()
        left = np.flatnonzero(weight > 0)
        if total < 1e-300:
            return 0.0
        if len(left) == 1:
            return search.chains[left[0]][0].cost * total
        open_tests = [t for t, answer in enumerate(said) if answer < 0]
        goal = Goal(tuple(range(len(left))))
        now = Search(
            weight[left] / total,
            np.eye(len(left), dtype=bool),
            (goal,),
            tuple(search.chains[i] for i in left),
            tuple(
                Test(search.tests[t].key, search.tests[t].cost, search.tests[t].chance[:, left])
                for t in open_tests
            ),
            np.zeros(0),
        )
        move = next_moves(now, looks=looks).moves[0]
        if move.sort == "treat":
            item = int(left[move.item])
            return search.chains[item][0].cost * total + value(treated | {item}, said)
        t = int(move.key[1:])
        return search.tests[t].cost * total + sum(
            value(treated, (*said[:t], answer, *said[t + 1 :]))
            for answer in range(len(search.tests[t].chance))
        )

    return value(frozenset(), (-1,) * len(search.tests))
