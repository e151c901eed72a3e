"""Three-point guesses against published networks; the bias where ways merge against Clark."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.plan.pert import Guess, chance_by, later_of_two, longest, normal


def test_a_network_of_eleven_tasks_as_published():
    """Inputs: secondary source, an exercise at justaaa.com, 460263; results by hand from them."""
    rows = {
        "A": Guess(8, 10, 15), "B": Guess(7, 8, 9), "C": Guess(5, 6, 10, ("A",)),
        "D": Guess(3, 3, 3, ("A",)), "E": Guess(1, 5, 9, ("B", "D")),
        "F": Guess(4, 7, 10, ("B", "D")), "G": Guess(3, 8, 10, ("C",)),
        "H": Guess(5, 7, 9, ("E",)), "I": Guess(4, 5, 8, ("E",)), "J": Guess(2, 5, 8, ("F",)),
        "K": Guess(1, 3, 6, ("H", "I")),
    }  # fmt: skip
    way = longest(rows)
    assert way.tasks == ("A", "D", "E", "H", "K")
    assert round(way.mean, 4) == 28.6667
    assert round(way.variance, 4) == 4.2778
    assert round(chance_by(way, 35), 5) == 0.99890
    assert chance_by(way, 32.069) == pytest.approx(0.95, abs=1e-4)


def test_a_way_of_four_tasks_as_published():
    """Secondary source: flylib.com 3.287 prints 24 and .9633; .9632 without its rounded table."""
    rows = {
        "1": Guess(5, 8, 17), "3": Guess(3, 5, 7, ("1",)), "5": Guess(4, 6, 8, ("3",)),
        "7": Guess(3, 4, 5, ("5",)),
    }  # fmt: skip
    way = longest(rows)
    assert way.mean == 24
    assert way.variance == pytest.approx(5.0)
    assert round(chance_by(way, 28), 4) == 0.9632


def test_where_two_ways_merge_the_later_is_later_than_either():
    """Clark, Operations Research 9 (1961): two of mean 10 and spread 2; correlated by a half."""
    assert later_of_two((10, 10), (2, 2)) == pytest.approx(11.128379, abs=5e-7)
    assert normal(1.0) ** 2 == pytest.approx(0.707861, abs=5e-7)
    assert later_of_two((10, 10), (2, 2), 0.5) == pytest.approx(10.797885, abs=5e-7)
    assert later_of_two((10, 12), (0, 0)) == 12
    rng = np.random.default_rng(1)
    drawn = np.maximum(rng.normal(9, 2, 200_000), rng.normal(11, 3, 200_000)).mean()
    assert later_of_two((9, 11), (2, 3)) == pytest.approx(drawn, abs=0.02)


def test_the_spread_of_a_guess_is_that_of_its_beta_distribution():
    """The beta distribution by its definition: mean 6, spread 2.1381; a sixth of the range 2."""
    guess = Guess(2, 5, 14)
    assert guess.mean == 6
    assert guess.variance == 4
    assert round(guess.spread, 4) == 2.1381
    shape = 1 + 4 * (5 - 2) / 12, 1 + 4 * (14 - 5) / 12
    drawn = 2 + 12 * np.random.default_rng(2).beta(*shape, 200_000)
    assert drawn.mean() == pytest.approx(guess.mean, abs=0.02)
    assert drawn.std() == pytest.approx(guess.spread, abs=0.02)


def test_a_way_without_doubt_is_done_or_not():
    way = longest({"a": Guess(3, 3, 3)})
    assert chance_by(way, 2.9) == 0
    assert chance_by(way, 3) == 1
