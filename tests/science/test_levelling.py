from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.science.levelling import (
    MODES,
    Stations,
    gradients,
    heights,
    move_feet,
    reversal,
    seen,
    surface,
)
from retrue.science.levelling_response import move_by_response

CORNERS_X = np.array([0.2, 1.8, 0.2, 1.8] * 2)
CORNERS_Y = np.array([0.1, 0.1, 0.9, 0.9] * 2)
CORNERS = Stations(CORNERS_X, CORNERS_Y, np.repeat([True, False], 4))
TILTS = np.array([62.0, 62, 78, 78, 44, 76, 44, 76])
FEET = (np.array([0.0, 2, 2, 0]), np.array([0.0, 0, 1, 1]))
SIX = (np.array([0.0, 1, 2, 0, 1, 2]), np.array([0.0, 0, 0, 1, 1, 1]))


def test_four_feet_take_out_tilt_and_twist():
    """Closed form z = 60 x + 40 y + 20 x y (µm, m); derived here."""
    assert surface(CORNERS, TILTS).parameters == pytest.approx([60, 40, 20])
    move = move_feet(CORNERS, TILTS, *FEET)
    assert move.raise_um == pytest.approx([200, 80, 0, 160])
    assert move.after == pytest.approx(np.zeros(8), abs=1e-9)
    assert move.modes == ("tilt_x", "tilt_y", "twist")


def test_the_opposite_sign_of_a_tilt_raises_the_other_feet():
    assert move_feet(CORNERS, -TILTS, *FEET).raise_um == pytest.approx([0, 120, 200, 40])


def test_three_feet_carry_a_plane():
    """Closed form: feet (0,0), (2,0), (1,1) m, slopes 60 and -30 µm/m; derived here."""
    at = Stations(np.zeros(2), np.zeros(2), np.array([True, False]))
    move = move_feet(at, [60.0, -30.0], [0, 2, 1], [0, 0, 1])
    assert move.raise_um == pytest.approx([120, 0, 90])
    assert "twist" not in move_feet(CORNERS, TILTS, [0, 2, 1], [0, 0, 1]).modes


def test_a_plane_has_no_twist():
    tilts = gradients(CORNERS, MODES[:3]) @ [55.0, -20.0, 0.0]
    assert surface(CORNERS, tilts).parameters[2] == pytest.approx(0, abs=1e-9)


def test_a_level_turned_end_for_end_gives_up_its_zero():
    tilt, zero = reversal([68.0, 46], [-56.0, -34])
    assert tilt.tolist() == [62, 40]
    assert zero.tolist() == [6, 6]


def test_six_feet_take_out_a_bow_and_four_cannot():
    at = Stations(
        np.array([0.2, 1.0, 1.8] * 4),
        np.repeat([0.1, 0.9], 6),
        np.tile([True] * 3 + [False] * 3, 2),
    )
    tilts = gradients(at, MODES[:4]) @ [60.0, 40, 20, 30]
    six = move_feet(at, tilts, *SIX)
    assert six.after == pytest.approx(np.zeros(12), abs=1e-9)
    assert "bow_x" in six.modes
    assert np.abs(move_feet(at, tilts, *FEET).after).max() > 10


def test_one_place_shows_tilt_only():
    at = Stations(np.ones(2), np.ones(2), np.array([True, False]))
    assert seen(at) == ("tilt_x", "tilt_y")
    assert move_feet(at, [10.0, 5], *FEET).lost == ("twist",)


def test_the_rise_of_all_feet_together_is_never_seen():
    move = move_feet(CORNERS, TILTS, *FEET)
    assert move.response @ np.ones(4) == pytest.approx(np.zeros(8), abs=1e-9)
    assert move.unseen[0] == pytest.approx(np.full(4, 0.5))
    assert len(move.unseen) == 1


def test_feet_on_one_line_are_refused():
    with pytest.raises(ValueError, match="three feet"):
        move_feet(CORNERS, TILTS, [0, 1, 2], [0, 0, 0])


def test_a_measured_response_levels_what_it_was_measured_on():
    rng = np.random.Generator(np.random.Philox(5))
    response = rng.normal(0, 0.5, (12, 6))
    response -= response.mean(axis=1, keepdims=True)
    wrong = rng.normal(0, 100, 6)
    made = move_by_response(response, response @ wrong)
    plain = np.linalg.lstsq(response, -response @ wrong, rcond=None)[0]
    assert made.raise_um == pytest.approx(plain - plain.min())
    assert made.after == pytest.approx(np.zeros(12), abs=1e-8)
    assert made.raise_um.min() == 0
    assert made.rank == 5


def test_a_move_below_the_noise_is_told_not_made():
    rng = np.random.Generator(np.random.Philox(6))
    strong = rng.normal(0, 1, (8, 1)) @ np.array([[1.0, -1, 1, -1]])
    noisy = strong + rng.normal(0, 0.01, (8, 4))
    made = move_by_response(noisy, strong @ [5.0, 0, 0, 0], response_sd=0.01)
    assert made.rank == 1
    assert len(made.unseen) == 3
    assert np.ptp(made.raise_um) < 6


def test_no_foot_rises_more_than_it_may():
    """Bounded least squares of scipy 1.17 on the same matrix as outside reference."""
    from scipy.optimize import lsq_linear

    rng = np.random.Generator(np.random.Philox(7))
    response = rng.normal(0, 0.5, (12, 4))
    response -= response.mean(axis=1, keepdims=True)
    tilts = response @ [-300.0, 0, 50, 100]
    made = move_by_response(response, tilts, most_um=100.0)
    assert made.raise_um.max() <= 100 + 1e-6
    assert made.raise_um.min() >= -1e-9
    outside = lsq_linear(response, -tilts, bounds=(0, 100)).x
    told = np.linalg.norm(made.after)
    assert told == pytest.approx(np.linalg.norm(tilts + response @ outside), rel=1e-4)


SLOPE = st.floats(-500, 500)


@settings(max_examples=30, deadline=None)
@given(SLOPE, SLOPE, SLOPE)
def test_turned_feet_leave_the_level_level(along, across, twist):
    tilts = gradients(CORNERS, MODES[:3]) @ [along, across, twist]
    move = move_feet(CORNERS, tilts, *FEET)
    assert np.abs(move.after).max() < 1e-6
    assert move.raise_um.min() == 0
    stands = heights(*FEET, MODES[:3]) @ [along, across, twist]
    assert stands + move.raise_um == pytest.approx(np.full(4, stands.max()), abs=1e-6)


def test_slopes_and_feet_lie_within_their_doubt_as_often_as_promised():
    """Coverage over 2,000 measurements, one reading 3 µm/m."""
    rng = np.random.Generator(np.random.Philox(11))
    slopes, feet = [], []
    truth = np.array([200.0, 80, 0, 160])
    for _ in range(2000):
        tilts = TILTS + rng.normal(0, 3, 8)
        made = surface(CORNERS, tilts, reading_sd=3.0)
        slopes.append(np.abs(made.parameters - [60, 40, 20]) <= 1.96 * made.standard_uncertainties)
        move = move_feet(CORNERS, tilts, *FEET)
        doubt = 1.96 * 3.0 * move.standard_uncertainties
        feet.append((np.abs(move.raise_um - truth) <= doubt)[truth > 0])
    for share in (*np.mean(slopes, axis=0), *np.mean(feet, axis=0)):
        assert 0.93 <= share <= 0.97
