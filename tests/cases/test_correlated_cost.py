"""Costs that share one price level scatter as correlated sums do, by the draws the price uses."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.cases.drawing import Drawer
from retrue.kinds.library import Three

LINES, WORLDS = 10, 200_000


@pytest.mark.parametrize(
    ("correlation", "wanted"), [(0.0, 316.228), (0.2, 529.150), (0.5, 741.620), (1.0, 1000.0)]
)
def test_ten_lines_of_deviation_100_at_one_price_level(correlation, wanted):
    """Sum of ten lines, sd 100 each, equally correlated: 100 sqrt(10 (1 + 9 rho)), textbook.

    Nothing is told of correlation: every line is drawn by itself, and all of them are multiplied
    by the level that the worlds share. Taking 0.2 for none would understate by 40 per cent.
    """
    drawer = Drawer(7, "lot", WORLDS)
    level = drawer.lognormal("", "price level", 0.25)
    level /= level.mean()
    common = level.var()
    mean = 100 * np.sqrt(correlation / common)
    own = 100 * np.sqrt((1 - correlation) / (1 + common))
    total = np.zeros(WORLDS)
    for line in range(LINES):
        drawn = drawer.pert("", f"line {line}", Three(0.0, 1.0, 2.0))
        total += mean + own * (drawn - drawn.mean()) / drawn.std()
    assert (total * level).std() == pytest.approx(wanted, rel=0.01)
