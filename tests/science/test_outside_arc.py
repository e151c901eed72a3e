"""Part arcs, and the radius that lag takes: numbers worked out beforehand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.cases.prove.kinematics import Bar
from tests.science.circles import EXACT, SET_UP, paths

from retrue.science.circle_causes import separate

CORE = (
    "radius",
    "centre_x",
    "centre_y",
    "scale_mismatch",
    "squareness",
    "reversal_x",
    "reversal_y",
)


@pytest.mark.parametrize(("arc", "condition"), [(360, 2.1), (220, 7.8), (180, 20.7)])
def test_the_shorter_the_arc_the_worse_the_causes_are_told_apart(arc, condition):
    """Singular values of seven scaled columns, both directions, by another programme (NumPy)."""
    parts = []
    for path in paths(EXACT, replace(SET_UP, points=720)):
        kept = np.degrees(path.angle_rad) % 360 < arc
        parts.append(
            replace(path, angle_rad=path.angle_rad[kept], deviation_um=path.deviation_um[kept])
        )
    assert separate(parts, ids=CORE).condition == pytest.approx(condition, abs=0.05)


def test_lag_of_a_first_order_takes_radius_with_the_square_of_the_feed():
    """Closed form: F = 3000 mm/min, R = 100 mm, 30 per second: R - R / root(1 + (F / R K)^2).

    To the second order F^2 / 2 R K^2 = 13.89 µm; a path that grows has the opposite sign.
    """
    for sign in (1, -1):
        both = []
        for number, feed in enumerate((500.0, 3000.0)):
            gain = feed / 60 / 100 / 30
            loss = 1e5 * (1 - 1 / np.sqrt(1 + gain**2))
            for path in paths(replace(EXACT, lag_x=0), Bar(radius_mm=100, feed_mm_min=feed)):
                moved = path.deviation_um - sign * loss
                both.append(replace(path, deviation_um=moved, circle=number))
        made = {one.id: one.value for one in separate(both).causes}
        assert made["radius_at_feed"] == pytest.approx(13.89 * sign, abs=0.05)
