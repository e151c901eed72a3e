"""Spindle error motion: closed forms, a published way to part ball from spindle, coverage."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.science.often import OFTEN

from retrue.base.chance import stream
from retrue.science import rotation
from retrue.science.uncertainty import coverage_factor

PLACES = np.arange(0, 360, 30.0)
# Donaldson's reversal, every 30 degrees:
# part 1.2 cos 2t + 0.4 sin 3t, spindle 0.8 cos 3t - 0.5 sin 2t.
FIRST = [2, 0.567, -1.833, -1.6, 0.633, 1.433, 0.4, -0.233, -0.233, -0.8, -0.967, 0.633]
REVERSED = [0.4, 1.433, 0.633, -1.6, -1.833, 0.567, 2, 0.633, -0.967, -0.8, -0.233, -0.233]
PART = [1.2, 1, -0.6, -1.6, -0.6, 1, 1.2, 0.2, -0.6, -0.8, -0.6, 0.2]
SPINDLE = [0.8, -0.433, -1.233, 0, 1.233, 0.433, -0.8, -0.433, 0.367, 0, -0.367, 0.433]


def wave(times: float, angle: np.ndarray) -> np.ndarray:
    return np.cos(np.radians(times * angle))


def sixteen_turns() -> tuple[np.ndarray, np.ndarray]:
    places = np.arange(256) * 360 / 256
    angle = places + 360 * np.arange(16)[:, None]
    return places, 3 * wave(1, angle) + 0.9 * wave(2, angle) + 0.5 * wave(2.5, angle)


def test_what_repeats_is_parted_from_what_does_not():
    """Closed form: 3 cos t + 0.9 cos 2t + 0.5 cos 2.5t over 16 turns (terms of ISO 230-7)."""
    made = rotation.error_motion(*sixteen_turns())
    assert made.eccentricity == pytest.approx(3.0, abs=1e-9)
    assert made.synchronous == pytest.approx(1.8, abs=1e-9)
    assert made.asynchronous == pytest.approx(1.0, abs=1e-9)
    assert made.direction_deg % 360 == pytest.approx(0, abs=1e-6)
    assert made.total == pytest.approx(max(np.ptp(made.high), made.high.max() - made.low.min()))
    assert made.synchronous <= made.total <= made.synchronous + made.asynchronous + 1e-12


def test_reversal_parts_the_ball_from_the_spindle():
    """Donaldson, CIRP Annals 21 (1972) 125: half the sum is the ball, half the difference not."""
    made = rotation.reversal(PLACES, FIRST, REVERSED)
    assert made.part == pytest.approx(PART, abs=6e-4)
    assert made.spindle == pytest.approx(SPINDLE, abs=6e-4)
    turn = PLACES
    assert made.part == pytest.approx(
        1.2 * wave(2, turn) + 0.4 * np.sin(np.radians(3 * turn)), abs=6e-4
    )


def test_swapping_the_two_set_ups_turns_the_spindle_round_and_leaves_the_ball():
    made = rotation.reversal(PLACES, FIRST, REVERSED)
    swapped = rotation.reversal(PLACES, REVERSED, FIRST)
    assert swapped.part == pytest.approx(made.part)
    assert swapped.spindle == pytest.approx(-made.spindle)
    assert not np.allclose(swapped.spindle, made.spindle)


def test_the_ball_may_be_centred_differently_in_each_set_up():
    moved = np.array(REVERSED) + 7 + 5 * wave(1, PLACES - 40)
    made = rotation.reversal(PLACES, FIRST, moved)
    assert made.spindle == pytest.approx(SPINDLE, abs=6e-4)


def test_positions_all_round_part_the_ball_but_for_waves_that_fit_them():
    """Averaging over positions: harmonics 4, 8 ... of the ball stay with four positions."""
    places = np.arange(0, 360, 15.0)
    turned = np.array([0.0, 90, 180, 270])
    spindle = 0.8 * wave(3, places - 10)

    def ball(angle: np.ndarray) -> np.ndarray:
        return 1.2 * wave(2, angle - 20) + 0.3 * wave(5, angle)

    traces = [spindle + ball(places - turn) for turn in turned]
    made = rotation.positions(places, traces, turned)
    assert made.spindle == pytest.approx(spindle)
    assert made.part == pytest.approx(ball(places))
    # Turned the other way round, the ball's form would not come out.
    assert not np.allclose(rotation.positions(places, traces, -turned).part, ball(places))
    four = [trace + wave(4, places - turn) for trace, turn in zip(traces, turned, strict=True)]
    assert rotation.positions(places, four, turned).spindle == pytest.approx(
        spindle + wave(4, places)
    )


@pytest.mark.parametrize("direction", [0, 40, 90, 200, 359])
def test_the_high_side_is_where_the_reading_is_highest(direction: float):
    made = rotation.error_motion(PLACES, [5 * wave(1, PLACES - direction)])
    assert made.eccentricity == pytest.approx(5)
    assert (made.direction_deg - direction + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)
    other = rotation.error_motion(PLACES, [-5 * wave(1, PLACES - direction)])
    assert abs((other.direction_deg - direction) % 360 - 180) < 1e-6


@given(
    st.floats(-50, 50),
    st.floats(-50, 50),
    st.floats(-50, 50),
    st.lists(st.floats(-5, 5), min_size=24, max_size=24),
)
def test_where_the_ball_stands_does_not_change_the_motion(
    zero: float, across: float, up: float, values: list[float]
):
    turns = np.array(values).reshape(2, 12)
    moved = turns + zero + across * wave(1, PLACES) + up * wave(1, PLACES - 90)
    one, other = rotation.error_motion(PLACES, turns), rotation.error_motion(PLACES, moved)
    assert other.synchronous == pytest.approx(one.synchronous, abs=1e-9)
    assert other.asynchronous == pytest.approx(one.asynchronous, abs=1e-9)
    assert other.total == pytest.approx(one.total, abs=1e-9)
    assert other.across - one.across == pytest.approx(across, abs=1e-9)
    assert other.up - one.up == pytest.approx(up, abs=1e-9)


def test_one_turn_cannot_say_what_repeats():
    made = rotation.error_motion(PLACES, [FIRST])
    assert (made.asynchronous, made.scatter, made.freedom) == (None, None, 0)
    assert made.centre_uncertainty is None
    known = rotation.error_motion(PLACES, [FIRST], reading_sd=0.6)
    assert known.centre_uncertainty == pytest.approx(0.6 * math.sqrt(2 / 12))


def test_the_doubt_of_the_centre_holds_as_often_as_it_says():
    """2,000 simulated sets of three turns; 93 to 97 % is asked of 95 %, for both directions."""
    true = 4 * wave(1, PLACES - 30) + 1.5 * wave(2, PLACES)
    noise = 0.5 * stream(31, "centre").standard_normal((2000, 3, 12))
    held = np.zeros(2)
    for turns in true + noise:
        made = rotation.error_motion(PLACES, turns)
        wide = coverage_factor(made.freedom) * made.centre_uncertainty
        held += [
            abs(made.across - 4 * math.cos(math.radians(30))) <= wide,
            abs(made.up - 4 * math.sin(math.radians(30))) <= wide,
        ]
    assert all(0.93 <= share <= 0.97 for share in held / 2000)


def test_noise_lifts_the_synchronous_value_and_the_upper_bound_holds():
    """Simulated sets: a largest value is biased upwards; its bound holds 93 % or more."""
    true = 1.5 * wave(2, PLACES)
    sets = true + 0.25 * stream(32, "bound").standard_normal((OFTEN, 12))
    made = [rotation.range_bound(PLACES, row, 0.25, seed=n) for n, row in enumerate(sets)]
    lifted = np.mean([one.value for one in made]) - 3.0
    assert 0.05 < lifted < 0.4
    assert np.mean([one.upper >= 3.0 for one in made]) >= 0.93


def test_noise_lifts_the_asynchronous_value_and_the_upper_bound_holds():
    """Simulated sets of six turns at twelve places, true spread 2.0 at one of them."""
    true = np.zeros((6, 12))
    true[2, 5] = 2.0
    sets = true + 0.15 * stream(33, "spread").standard_normal((OFTEN, 6, 12))
    made = [rotation.spread_bound(turns, 0.15, seed=n) for n, turns in enumerate(sets)]
    assert np.mean([one.value for one in made]) > 2.0
    assert np.mean([one.upper >= 2.0 for one in made]) >= 0.93


def test_the_strongest_wave_is_named():
    profile = 0.7 * wave(3, PLACES - 11) + 0.3 * wave(2, PLACES)
    times, size = rotation.lobes(PLACES, profile)
    assert times == 3
    assert size == pytest.approx(0.7)


@pytest.mark.parametrize(
    "call",
    [
        lambda: rotation.circle_design([0, 90, 180, 270]),
        lambda: rotation.error_motion(PLACES, [[1.0, 2.0]]),
        lambda: rotation.error_motion(PLACES, np.empty((0, 12))),
        lambda: rotation.positions(PLACES, [FIRST], [0]),
        lambda: rotation.positions(PLACES**1.1, [FIRST, REVERSED], [0, 90]),
        lambda: rotation.positions(PLACES, [FIRST, REVERSED], [0, 45.5]),
        lambda: rotation.positions(PLACES, [FIRST, REVERSED], [0, 90]),
        lambda: rotation.reversal(PLACES, FIRST, REVERSED[:-1]),
    ],
)
def test_what_does_not_fit_is_refused(call):
    with pytest.raises(ValueError, match=r"\w"):
        call()
