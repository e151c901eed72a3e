"""A plan bettered by moves is the one that putting everything down anew at every move gives."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from retrue.base.chance import stream
from retrue.plan.jobs import After, Hands, Schedule, Shared, Task
from retrue.plan.network import Network, network
from retrue.plan.priority import Bench, Spot, by_list, cost, improve

ME = Hands(name="me", evenings=((0, 19.5, 22.0), (2, 19.5, 22.0), (5, 9.0, 12.0)))
SON = Hands(name="son", evenings=((2, 19.0, 21.0), (5, 10.0, 16.0)), helps_only=True)


def shop(seed: int) -> Network:
    """Two machines' tasks; some wait, need the hoist or two people, or hold a place."""
    rng = np.random.default_rng(seed)
    tasks: list[Task] = []
    for number in range(14):
        machine = "AB"[int(rng.integers(0, 2))]
        mine = [task.key for task in tasks if task.machine == machine]
        after = tuple(
            After(task=str(key), days=float(rng.choice([0, 0, 3])))
            for key in rng.choice(mine, min(len(mine), 1), replace=False)
        )
        tasks.append(Task(
            key=f"{machine}{number}", machine=machine, after=after if rng.random() < 0.6 else (),
            hours=float(rng.integers(1, 9)) / 4, people=2 if rng.random() < 0.2 else 1,
            needs=(("hoist", 1),) if rng.random() < 0.3 else (),
        ))  # fmt: skip
    last = [task.key for task in tasks if task.machine == "A"][-1]
    first = next(task for task in tasks if task.machine == "A")
    if first.key != last:
        tasks[tasks.index(first)] = replace(first, holds=last, holding=(("floor", 1),))
    return network(
        Schedule(
            start=datetime(2026, 11, 26, tzinfo=UTC),
            tasks=tuple(tasks),
            hands=(ME, SON),
            shared=(Shared(name="hoist"), Shared(name="floor")),
            day_worth={"A": 3.0, "B": 2.0},
        )
    )


def bettered(net: Network, spots: tuple[Spot, ...], moves: int) -> list[tuple[Spot, ...]]:
    """Every plan on the way, each put down from the beginning."""
    rng, bench, plans = stream(len(spots), "plan", "moves"), Bench(net), [spots]
    for _ in range(moves):
        order = [spot.job for spot in plans[-1]]
        here, there = (int(each) for each in rng.integers(0, len(order), 2))
        order.insert(there, order.pop(here))
        plans.append(min(plans[-1], by_list(bench, order), key=lambda spots: cost(net, spots)))
    return plans


@pytest.mark.parametrize("seed", range(2))
def test_moves_better_a_plan_as_if_all_were_put_down_anew(seed: int):
    net = shop(seed)
    start = by_list(Bench(net), range(len(net.jobs)))
    plans = bettered(net, start, 150)
    assert len(set(plans)) > 3
    assert improve(net, Bench(net), start, swaps=150) == plans[-1]
