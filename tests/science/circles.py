"""Paths of the exact machine, for the tests of the circle."""

from __future__ import annotations

import numpy as np
from tests.cases.prove.kinematics import Bar, Machine, circle

from retrue.science.circle import Path

# The closed form: scale +20 and -30 µm/m, squareness 40 µm/m, lost motion 6 and 4 µm, half a
# millisecond of lag, radius 150 mm, 1000 mm/min, centre +10 and -5 µm.
EXACT = Machine(scale_x=20, scale_y=-30, squareness=40, lost_x=6, lost_y=4, lag_x=0.5)
SET_UP = Bar(centre_x=10, centre_y=-5)


def paths(
    machine: Machine = EXACT,
    bar: Bar = SET_UP,
    chance: np.random.Generator | None = None,
    number: int = 0,
) -> tuple[Path, Path]:
    """Clockwise and counter-clockwise."""
    cw, ccw = (
        Path(*circle(machine, bar, way, chance), way, bar.radius_mm, bar.feed_mm_min, number)
        for way in (-1, 1)
    )
    return cw, ccw
