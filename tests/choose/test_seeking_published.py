"""The order of treatments held to textbooks and to theorems."""

from __future__ import annotations

from itertools import pairwise, permutations

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.choose.ahead import next_moves
from retrue.choose.order import blocks_of, expected_cost
from retrue.choose.seeking import Goal, Search, Treatment

CHANCE = (0.8, 0.15, 0.05)  # program, virus, hardware
COSTS = (1.0, 2.0, 25.0, 500.0)
CURES = np.array([[1, 0, 0], [0, 0.95, 0], [0.99, 0.99, 0], [1, 1, 1]])


def one_cause(chance, costs) -> Search:
    """Exactly one cause is there, each is cured by an act of its own."""
    chains = tuple((Treatment(f"{i}", float(cost), 1.0),) for i, cost in enumerate(costs))
    items = len(costs)
    return Search(np.asarray(chance, float), np.eye(items, dtype=bool),
                  (Goal(tuple(range(items))),), chains, (), np.zeros(0))  # fmt: skip


def test_the_textbook_exercise_is_done_in_order_1_2_3_4_for_27_875():
    """Jensen and Nielsen, Bayesian Networks and Decision Graphs, 2nd edition 2007, exercise 9.2.

    The inputs are the book's; it prints no answer, 27.875 is worked out from them. The dear last
    act cures for certain, so whatever stands after it is never reached.
    """
    found = {
        order: expected_cost(CHANCE, COSTS, CURES, order)
        for count in range(1, 5)
        for order in permutations(range(4), count)
        if order[-1] == 3
    }
    best = sorted(found, key=found.get)
    assert best[0] == (0, 1, 2, 3)
    assert found[0, 1, 2, 3] == pytest.approx(27.875, abs=1e-12)
    assert found[1, 0, 2, 3] == pytest.approx(29.3325, abs=1e-12)
    assert found[0, 1, 3] == pytest.approx(30.15, abs=1e-12)
    assert found[0, 2, 1, 3] == pytest.approx(31.1405, abs=1e-12)
    assert found[(3,)] == 500


def test_acts_that_do_not_fit_their_causes_are_refused():
    with pytest.raises(Unusable):
        expected_cost((0.8, 0.1), COSTS, CURES, (0,))
    with pytest.raises(Unusable):
        expected_cost((0.8, 0.15, 0.06), COSTS, CURES, (0,))


def test_chance_over_cost_orders_c_a_b_d_for_11_8():
    """Kadane and Simon 1977 (the rule, from memory); .4, .3, .2, .1 over 5, 15, 1, 8."""
    found = next_moves(one_cause((0.4, 0.3, 0.2, 0.1), (5, 15, 1, 8)))
    assert found.order == ("2", "0", "1", "3")
    assert found.plain == pytest.approx(11.8, abs=1e-12)
    assert found.moves[0].value == pytest.approx(11.8, abs=1e-12)


def test_no_order_of_six_causes_beats_chance_over_cost():
    """Kalagnanam and Henrion 1990 (from memory): one cause, sure cures of its own, no tests."""
    every = np.array(list(permutations(range(6))))
    for seed in range(200):
        rng = np.random.default_rng([6, seed])
        chance, costs = rng.dirichlet(np.full(6, 0.7)), rng.uniform(1, 100, 6)
        reached = 1.0 - np.cumsum(chance[every], axis=1) + chance[every]
        least = float((reached * costs[every]).sum(axis=1).min())
        found = next_moves(one_cause(chance, costs))
        assert found.plain == pytest.approx(least, rel=1e-9)
        assert found.guess >= least * (1 - 1e-9)


@pytest.mark.parametrize("chance", [0.1, 0.3, 0.5, 0.7, 0.9])
@pytest.mark.parametrize("costs", [(10.0, 10.0), (30.0, 10.0), (10.0, 90.0), (45.0, 5.0)])
def test_of_two_causes_the_one_with_more_chance_for_its_check_is_checked_first(chance, costs):
    """Two checks and the repair of what is found: check 1 first exactly if p/C1 >= (1-p)/C2.

    The repairs, p R1 + (1-p) R2, are paid in either order and drop out (worked out by hand).
    """
    values = {m.key: m.value for m in next_moves(one_cause((chance, 1 - chance), costs)).moves}
    assert values["0"] == pytest.approx(costs[0] + (1 - chance) * costs[1])
    assert values["1"] == pytest.approx(costs[1] + chance * costs[0])
    first_is_better = chance / costs[0] >= (1 - chance) / costs[1] - 1e-12
    assert (values["0"] <= values["1"] + 1e-9) == first_is_better


def test_blocks_of_a_chain_are_the_best_order_of_two_chains():
    """Sidney 1975 (from memory), against every way to merge two chains of three."""
    for seed in range(60):
        rng = np.random.default_rng([2, seed])
        costs, cures = rng.uniform(1, 50, (2, 3)), rng.uniform(0.1, 0.9, (2, 3))
        cures[:, -1] = 1.0
        chance = rng.dirichlet((1, 1))
        chains = tuple(
            tuple(Treatment(f"{i}{n}", costs[i, n], cures[i, n]) for n in range(3))
            for i in range(2)
        )
        found = next_moves(Search(chance, np.eye(2, dtype=bool), (Goal((0, 1)),), chains, (),
                                  np.zeros(0)))  # fmt: skip
        table = np.zeros((6, 2))
        table[:3, 0], table[3:, 1] = cures
        orders = {order for order in permutations(range(6)) if in_chains(order)}
        least = min(expected_cost(chance, costs.ravel(), table, order) for order in orders)
        assert len(orders) == 20
        assert found.plain == pytest.approx(least, rel=1e-9)


def in_chains(order) -> bool:
    """Whether both chains keep their order."""
    return all([i for i in order if i // 3 == part] == [3 * part + n for n in range(3)]
               for part in range(2))  # fmt: skip


def test_ratios_of_a_chain_never_rise():
    for seed in range(100):
        rng = np.random.default_rng([3, seed])
        ratio = blocks_of(rng.uniform(1, 50, 6), rng.uniform(0, 1, 6)).ratio
        assert len(ratio) == 6
        assert all(a >= b for a, b in pairwise(ratio))
