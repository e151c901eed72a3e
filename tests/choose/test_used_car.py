"""Howard's used-car buyer: the closest textbook relative of buying a worn machine.

Howard 1966/1984, The used car buyer, in Readings on the Principles and Applications of Decision
Analysis. Inputs from memory: 80 % peaches with one of ten subsystems defective (repair 40), 20 %
lemons with six of ten (repair 200); price 1000, worth 1100; a guarantee for 60 pays half of the
repair, or all of it if it is 100 or more. Results computed from these inputs.
"""

from __future__ import annotations

import numpy as np
import pytest

from retrue.choose.looking import perfect_information, worth_of_answers

PEACH, LEMON = 0, 1
WEIGHTS = np.array([0.8, 0.2])
GAINS = np.array(
    [
        [0.0, 0.0],  # walk away
        [1100 - 1000 - 40, 1100 - 1000 - 200],
        [1100 - 1000 - 60 - 20, 1100 - 1000 - 60.0],
    ]
)
DEFECTIVE = np.array([1 / 10, 6 / 10])


def worth(likelihood, weights=WEIGHTS):
    return worth_of_answers(GAINS, [likelihood], weights=weights, split=False).worth[0]


def value(weights=WEIGHTS):
    return (GAINS * weights).sum(axis=1).max()


def test_buying_is_worth_28_with_the_guarantee_24_and_the_truth_28():
    assert (GAINS * WEIGHTS).sum(axis=1) == pytest.approx([0, 28, 24])
    assert perfect_information(GAINS, weights=WEIGHTS) == pytest.approx(28)


def test_looking_at_one_subsystem_for_9_nets_32_600():
    assert value() + worth(DEFECTIVE) - 9 == pytest.approx(32.600)


def test_looking_at_two_at_once_for_13_nets_32_867_and_is_the_best():
    both = np.array([[0.0, 0.2, 0.8], [30 / 90, 48 / 90, 12 / 90]]).T
    assert value() + worth(both) - 13 == pytest.approx(32.867, abs=0.0005)


def test_looking_at_one_for_10_with_a_second_for_4_if_wanted_nets_32_667():
    """The second look is taken where it is worth more than its 4: only after "no defect"."""
    total = 0.0
    second = {True: np.array([0.0, 5 / 9]), False: np.array([1 / 9, 6 / 9])}
    taken = []
    for found, chance in ((True, DEFECTIVE), (False, 1 - DEFECTIVE)):
        weights = WEIGHTS * chance
        odds = weights.sum()
        further = worth(second[found], weights / odds)
        taken.append(bool(further > 4))
        total += odds * (value(weights / odds) + max(0.0, further - 4))
    assert total - 10 == pytest.approx(32.667, abs=0.0005)
    assert taken == [False, True]
