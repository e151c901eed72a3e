"""Signs that the machine of the other tests cannot have: a bow of the second axis, each spike."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.circle import Path
from retrue.science.circle_causes import separate

RADIUS_MM, FEED = 150.0, 1000.0
ANGLE = np.radians((np.arange(720) + 0.5) / 2)


def run(x_um, y_um):
    """Both directions of an exact circle whose point is displaced by these, in micrometres."""
    made = []
    for direction in (1, -1):
        x = RADIUS_MM * np.cos(ANGLE) + x_um(ANGLE, direction) / 1000
        y = RADIUS_MM * np.sin(ANGLE) + y_um(ANGLE, direction) / 1000
        off = (np.hypot(x, y) - RADIUS_MM) * 1000
        made.append(Path(np.arctan2(y, x) % (2 * np.pi), off, direction, RADIUS_MM, FEED))
    return made


def nothing(angle, direction):
    return np.zeros_like(angle)


def found(made, id):
    return next(cause.value for cause in made.causes if cause.id == id)


@pytest.mark.parametrize("bow", [6.0, -6.0])
def test_a_bow_of_either_axis_has_its_sign(bow):
    """By definition: along one axis the point is displaced across it by bow (place / radius)²."""
    across_x = run(nothing, lambda angle, _: bow * np.cos(angle) ** 2)
    across_y = run(lambda angle, _: bow * np.sin(angle) ** 2, nothing)
    assert found(separate(across_x), "straightness_x") == pytest.approx(bow, rel=0.01)
    assert found(separate(across_y), "straightness_y") == pytest.approx(bow, rel=0.01)
    assert abs(found(separate(across_y), "straightness_x")) < 0.05 * abs(bow)


@pytest.mark.parametrize("at", [0, 90, 180, 270])
@pytest.mark.parametrize("height", [2.0, -2.0])
def test_a_spike_stands_after_its_reversal_the_way_the_axis_goes(at, height):
    """A bump of that height 3 degrees after the reversal, on that side only, both ways round."""
    paths = []
    for direction in (1, -1):
        past = (direction * (np.degrees(ANGLE) - at)) % 360 / 3
        bump = height * past * np.exp(1 - past)
        paths.append(Path(ANGLE, bump, direction, RADIUS_MM, FEED))
    made = separate(paths)
    for place in (0, 90, 180, 270):
        expected = height if place == at else 0.0
        assert found(made, f"spike_{place}") == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("axis", ["x", "y"])
def test_an_error_once_a_turn_of_the_screw_has_its_size_whatever_its_phase(axis):
    for phase in (0.0, 1.0, 2.5):

        def wave(angle, _, phase=phase):
            along = RADIUS_MM * (np.cos(angle) if axis == "x" else np.sin(angle))
            return 3.0 * np.sin(2 * np.pi * along / 10 + phase)

        made = separate(run(wave, nothing) if axis == "x" else run(nothing, wave), pitch_mm=10.0)
        assert found(made, f"cyclic_{axis}") == pytest.approx(3.0, abs=0.05)
        assert found(made, f"cyclic_{'y' if axis == 'x' else 'x'}") < 0.2
