"""Searches of every sort, and the best plan for them by trying every plan there is.

Several active items, chains of unsure treatments, places to open, help, goals not tried yet. The
state is how far each chain is, what each test said, what is open, and whether it was tried.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from retrue.choose.seeking import Goal, Search, Test, Treatment


def drawn(rng: np.random.Generator, *, goals: int = 1, tried: bool = True, most: int = 4) -> Search:
    """A search drawn at random: every sort of item, test, chain, opening and help."""
    items, count = int(rng.integers(goals + 1, most + 2)), int(rng.integers(2, 20))
    places = int(rng.integers(0, 3))
    active = rng.random((items, count)) < rng.uniform(0.15, 0.7)
    homes = [tuple(int(i) for i in part) for part in np.array_split(np.arange(items), goals)]
    if tried:
        for home in homes:
            none = np.flatnonzero(~active[list(home)].any(axis=0))
            active[rng.choice(home, len(none)), none] = True
    asked = [float(rng.uniform(50, 600)) if rng.random() < 0.7 else np.inf for _ in homes]
    each = [tuple(rng.uniform(0, 50, len(h)).tolist()) if rng.random() < 0.3 else () for h in homes]
    found = tuple(
        Goal(home, float(rng.uniform(0, 20)), asks, tried, more)
        for home, asks, more in zip(homes, asked, each, strict=True)
    )
    chains = [
        chain(rng, item, places, sure=not np.isfinite(asks) or rng.random() < 0.5)
        for home, asks in zip(homes, asked, strict=True)
        for item in home
    ]
    tests = tuple(look(rng, t, active, places) for t in range(int(rng.integers(0, 4))))
    return Search(rng.dirichlet(np.full(count, 0.7)), active, found, tuple(chains), tests,
                  rng.uniform(2, 60, places), int(rng.integers(0, 2**places)))  # fmt: skip


def chain(rng: np.random.Generator, item: int, places: int, sure: bool) -> tuple[Treatment, ...]:
    """One to three treatments, the last of them sure or not."""
    cures = rng.uniform(0.2, 0.9, int(rng.integers(1, 4)))
    if sure:
        cures[-1] = 1.0
    return tuple(
        Treatment(f"F{item}:{n}", float(rng.uniform(5, 300)), float(cure),
                  int(rng.integers(0, 2**places)))
        for n, cure in enumerate(cures)
    )  # fmt: skip


def look(rng: np.random.Generator, name: int, active: np.ndarray, places: int) -> Test:
    """A test of some of the items, of two or three outcomes, noisy, and vague about the rest."""
    links = np.where(rng.random(len(active)) < 0.5, rng.uniform(0.3, 1, len(active)), 0.0)
    seen = 1 - rng.uniform(0.8, 1.0) * np.prod(1 - links[:, None] * active, axis=0)
    if rng.random() < 0.4:
        seen = seen * rng.uniform(0.3, 1.0, active.shape[1])
    rows = [1 - seen, seen] if rng.random() < 0.6 else [1 - seen, seen / 3, seen * 2 / 3]
    return Test(f"C{name}", float(rng.uniform(1, 40)), np.array(rows),
                int(rng.integers(0, 2**places)))  # fmt: skip


def plans(search: Search) -> int:
    """How many states there are to go through, at most."""
    steps = np.prod([len(one) + 1 for one in search.chains])
    said = np.prod([1 + len(test.chance) for test in search.tests])
    return int(steps * said)


def by_first_act(search: Search) -> dict[str, float]:
    """Expected cost of the best plan, by the key of its first act; one goal only."""
    (goal,) = search.goals
    each = np.array(goal.help_each or (0.0,) * len(goal.items))
    looks, chains = search.tests, search.chains

    def opened(mask: int, need: int) -> float:
        new = need & ~mask
        return float(sum(cost for p, cost in enumerate(search.opening) if new >> p & 1))

    # How much of an item is left after so many treatments of its chain.
    lasting = [np.cumprod([1.0, *(1 - one.cures for one in row)]).tolist() for row in chains]

    @cache
    def weighed(said):
        weight = search.weight.copy()
        for test, answer in zip(looks, said, strict=True):
            if answer >= 0:
                weight = weight * test.chance[answer]
        return weight

    @cache
    def standing_at(done):
        gone = [row[n] for row, n in zip(lasting, done, strict=True)]
        there = np.array(gone)[:, None] * search.active
        return there, 1 - np.prod(1 - there, axis=0)

    @cache
    def value(done, said, mask, tried):
        return min(acts(done, said, mask, tried).values())

    def acts(done, said, mask, tried):
        weight, (there, standing) = weighed(said), standing_at(done)
        if not tried:
            standing = np.ones(len(weight))
        alive = float(weight @ standing)
        if alive < 1e-13:
            return {"nothing": 0.0}
        found = {"help:0": alive * goal.help + float(each @ (there @ weight))}
        if not tried:
            found["again"] = alive * goal.again + value(done, said, mask, True)
        for item, row in enumerate(chains):
            if done[item] < len(row):
                one = row[done[item]]
                then = (*done[:item], done[item] + 1, *done[item + 1 :])
                spent = one.cost + goal.again + opened(mask, one.opens)
                found[one.key] = alive * spent + value(then, said, mask | one.opens, True)
        for t, test in enumerate(looks):
            if said[t] < 0:
                after = (
                    value(done, (*said[:t], answer, *said[t + 1 :]), mask | test.opens, tried)
                    for answer in range(len(test.chance))
                )
                found[test.key] = alive * (test.cost + opened(mask, test.opens)) + sum(after)
        return found

    return acts((0,) * len(chains), (-1,) * len(looks), search.open_now, goal.tried)
