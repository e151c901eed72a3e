"""Numbers of the circle worked out beforehand by another programme: residuals, and part arcs."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.circle import least_squares_circle


def test_eight_points_leave_the_residuals_of_the_handbook_formula():
    """NIST/SEMATECH e-Handbook, chapter 2: the circle of evenly spaced readings."""
    angle = np.radians(np.arange(0, 360, 45.0))
    read = np.array([0, 3, -1, 2, 4, -2, 1, 0.0])
    x, y, radius = least_squares_circle(angle, read)
    assert x == pytest.approx(2 / 8 * (read * np.cos(angle)).sum())
    assert y == pytest.approx(2 / 8 * (read * np.sin(angle)).sum())
    left = read - radius - x * np.cos(angle) - y * np.sin(angle)
    printed = [-0.4053, 1.9357, -2.6124, 0.2714, 2.6553, -2.6857, 0.8624, -0.0214]
    assert left == pytest.approx(printed, abs=5e-5)
    turned = least_squares_circle(angle, -read)
    assert turned == pytest.approx((-x, -y, -radius))
