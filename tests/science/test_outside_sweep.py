"""The doubt of a sweep against its closed form, and over many measurements."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.sweep import sweep


@pytest.mark.parametrize("count", [4, 8, 12])
def test_the_doubt_of_a_sweep_is_the_closed_form(count):
    """Closed form, derived here: u(lean) = u root(2 / n) / r for n evenly spaced readings."""
    rng = np.random.Generator(np.random.Philox(51))
    angles = np.arange(count) * 360 / count
    turn = np.radians(angles)
    still = 0.1 * (40 * np.cos(turn) - 25 * np.sin(turn))
    made = [sweep(angles, still + rng.normal(0, 0.5, count), 100) for _ in range(2000)]
    closed = 0.5 * np.sqrt(2 / count) / 0.1
    for seen, truth in ((made_of(made, "tilt"), 40), (made_of(made, "nod"), -25)):
        assert seen.std() == pytest.approx(closed, rel=0.06)
        assert seen.mean() == pytest.approx(truth, abs=4 * closed / np.sqrt(2000))


def made_of(made, name):
    return np.array([getattr(one, name) for one in made])
