"""How far the advice is from the best plan there is, on searches that can be solved exactly."""

from __future__ import annotations

import numpy as np
import pytest
from tests.choose.exact import best, followed, invented

from retrue.choose.ahead import next_moves
from retrue.choose.carried import Script, carried_out
from retrue.choose.line import Glance, line_of
from retrue.choose.seeking import Goal, Search, Treatment
from retrue.choose.seeking import Test as Look


def test_following_the_advice_costs_at_most_a_hundredth_more_in_the_mean_and_a_twentieth_at_worst():
    """Ten of the searches that the bench solves, five parts and three tests."""
    gaps, plain = [], []
    for number in range(10):
        search = invented(np.random.default_rng([1, 5, 3, number]), 5, 3)
        least = best(search)
        gaps.append(followed(search) / least - 1)
        plain.append(next_moves(search).plain / least - 1)
    assert min(gaps) >= -1e-9
    assert np.mean(gaps) <= 0.01
    assert max(gaps) <= 0.05
    assert np.mean(plain) > 10 * np.mean(gaps)


def played(rng: np.random.Generator, search: Search, script: Script, glances, times: int) -> list:
    """So many times through a plan, with dice: what each cost."""
    line, goal = line_of(search, 0, (), glances), search.goals[0]
    steps = []  # item, rank in its chain, its look, and how likely that shows in each world
    for step in [s for s in script.order[0] if script.used[0, s]]:
        item, shows = int(line.item[step]), None
        if line.look[step] >= 0:
            glance = glances[item]
            shows = search.tests[glance.test].chance[list(glance.rows)].sum(axis=0).tolist()
        steps.append((item, _rank(line, step), shows))
    worlds = rng.choice(len(search.weight), p=search.weight, size=times).tolist()
    active = search.active[list(goal.items)].T.tolist()
    return [_once(rng, search, script.whole, glances, steps, w, active[w][:]) for w in worlds]


def _once(rng, search: Search, whole: bool, glances, steps, world: int, active: list) -> float:
    goal = search.goals[0]
    done, spent, opened = [0] * len(goal.items), 0.0, 0
    opening = [float(cost) for cost in search.opening]

    def pay(cost: float, need: int) -> int:
        nonlocal spent
        new = need & ~opened
        spent += cost + sum(c for p, c in enumerate(opening) if new >> p & 1)
        return need

    def treat(item: int) -> None:
        nonlocal opened
        one = search.chains[item][done[item]]
        opened |= pay(one.cost + goal.again, one.opens)
        done[item] += 1
        if active[item] and rng.random() < one.cures:
            active[item] = False

    for item, rank, shows in steps:
        if not any(active):
            return spent
        if shows is not None:
            opened |= pay(glances[item].cost, glances[item].opens)
            if rng.random() < shows[world]:
                while any(active) and done[item] < len(search.chains[item]):
                    treat(item)
                    if not whole:
                        break
        elif done[item] <= rank:
            treat(item)
    return spent


def _rank(line, step: int) -> int:
    """Which of its chain a plain treatment is."""
    return int(((line.item[:step] == line.item[step]) & (line.look[:step] < 0)).sum())


@pytest.mark.parametrize("whole", [True, False])
@pytest.mark.parametrize("seed", range(3))
def test_a_plan_with_looks_costs_what_it_costs_when_it_is_played_with_dice(seed, whole):
    """10,000 times through, within four standard errors; no places, which are kept apart."""
    rng = np.random.default_rng([11, seed])
    search = _looked(rng)
    glances = {0: _glance(search, 0, 0), 1: _glance(search, 1, 1)}
    line = line_of(search, 0, (), glances)
    order = np.array([[3, 6, 0, 4, 1, 7, 2, 5]])  # looks 0 and 3, each before its own chain
    script = Script(order, np.ones(order.shape, dtype=bool), whole)
    shows = np.array([
        search.tests[look].chance[list(rows)].sum(axis=0) if look >= 0 else np.zeros(6)
        for look, rows in zip(line.look, line.rows, strict=True)
    ])  # fmt: skip
    exact = carried_out(script, line, search.goals[0], search.active, shows, search.weight[None],
                        np.zeros((1, 0), bool), search.opening)[0]  # fmt: skip
    runs = played(rng, search, script, glances, 10_000)
    assert abs(np.mean(runs) - exact) < 4 * np.std(runs) / len(runs) ** 0.5


def _glance(search: Search, item: int, test: int) -> Glance:
    return Glance(test, search.tests[test].cost, 0.8, 0.2, 0, (1,))


def _looked(rng: np.random.Generator) -> Search:
    """Three items, six hypotheses, two looks that hang on more than the items."""
    active = np.array([[1, 1, 0, 1, 0, 0], [0, 1, 1, 0, 1, 0], [0, 0, 1, 1, 0, 1]], dtype=bool)
    cures = ((0.4, 1.0), (0.7, 1.0), (0.5, 1.0))
    chains = tuple(
        tuple(Treatment(f"F{i}:{n}", float(rng.uniform(10, 90)), cure) for n, cure in enumerate(c))
        for i, c in enumerate(cures)
    )
    seen = rng.uniform(0.05, 0.95, (2, 6))
    tests = tuple(Look(f"C{t}", 6.0, np.array([1 - s, s])) for t, s in enumerate(seen))
    return Search(rng.dirichlet(np.ones(6)), active, (Goal((0, 1, 2), again=4.0),), chains, tests,
                  np.zeros(0))  # fmt: skip
