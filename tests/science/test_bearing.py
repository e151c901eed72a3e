"""Bearings: every multiplier that is published with a public recording, and the prints that err."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.bearing import (
    Bearing,
    frequencies,
    from_count,
    from_outside,
    life_hours,
    life_million_turns,
)

# Data sheets that go with public recordings of bearing faults: balls, ball, pitch, angle; then
# multiples of the shaft: inner, outer, cage, rolling element (as printed: twice the ball's spin).
DRIVE_END = (9, 0.3126, 1.537, 0.0, 5.4152, 3.5848, 0.39828, 4.7135)
FAN_END = (8, 0.2656, 1.122, 0.0, 4.9469, 3.0530, 0.3817, 3.9874)


@pytest.mark.parametrize("row", [DRIVE_END, FAN_END], ids=["6205", "6203"])
def test_multipliers_are_those_printed_with_the_recordings_of_a_university(row):
    """Case Western Reserve University, bearing data centre, data sheet (secondary source).

    Its "rolling element" is the spin of a ball times two: one spot strikes both races.
    """
    *geometry, inner, outer, cage, rolling = row
    found = frequencies(Bearing(*geometry), 1.0)
    assert found.inner_race_hz == pytest.approx(inner, abs=1.5e-4)
    assert found.outer_race_hz == pytest.approx(outer, abs=1.5e-4)
    assert found.cage_hz == pytest.approx(cage, abs=1.5e-4)
    assert found.rolling_element_hz == pytest.approx(rolling, abs=3e-4)
    assert found.ball_spin_hz == pytest.approx(rolling / 2, abs=2e-4)


def test_multipliers_of_a_test_rig_s_bearing():
    """Read-me of a public set of recordings: FTF .3969, BPFO 3.572, BPFI 5.428, BSF 2.32."""
    found = frequencies(Bearing(9, 7.9375, 38.50), 1.0)
    assert found.cage_hz == pytest.approx(0.3969, abs=5e-5)
    assert found.outer_race_hz == pytest.approx(3.572, abs=5e-4)
    assert found.inner_race_hz == pytest.approx(5.428, abs=5e-4)
    assert found.ball_spin_hz == pytest.approx(2.32, abs=5e-3)  # there the spin itself is printed


def test_a_printed_cage_frequency_that_is_the_cage_seen_from_the_inner_ring():
    """Machinery Failure Prevention Technology society's recordings at 25 Hz.

    81.125 and 118.875 Hz hold; 63.91 within a thousandth. The 14.8375 Hz printed for the cage is
    near (1 + r) / 2, the cage seen from the inner ring; against the frame it is 10.14 Hz.
    """
    found = frequencies(Bearing(8, 0.235, 1.245), 25.0)
    assert found.outer_race_hz == pytest.approx(81.125, abs=1e-3)
    assert found.inner_race_hz == pytest.approx(118.875, abs=1e-3)
    assert found.ball_spin_hz == pytest.approx(63.91, rel=1e-3)
    assert found.cage_hz == pytest.approx(10.14, abs=5e-3)
    assert 25.0 - found.cage_hz == pytest.approx(14.8375, abs=0.03)


def test_the_contact_angle_counts():
    """IMS recordings, ZA-2115 at 2,000 rpm, 15.17 degrees: 236.4 and 296.9 Hz (from memory)."""
    found = frequencies(Bearing(16, 0.331, 2.815, 15.17), 2000 / 60)
    assert found.outer_race_hz == pytest.approx(236.4, abs=0.05)
    assert found.inner_race_hz == pytest.approx(296.9, abs=0.05)
    assert found.rolling_element_hz == pytest.approx(279.83, abs=0.02)
    assert frequencies(Bearing(16, 0.331, 2.815), 2000 / 60).outer_race_hz < 236.2


@given(
    balls=st.integers(5, 24), ratio=st.floats(0.05, 0.13), angle=st.floats(0, 40),
    shaft=st.floats(1, 500),
)  # fmt: skip
def test_both_races_together_are_struck_by_each_ball_once_a_turn(balls, ratio, angle, shaft):
    """Kinematics: outer + inner = balls x shaft, outer = balls x cage; rolling = 2 x spin."""
    found = frequencies(Bearing(balls, ratio * 100, 100.0, angle), shaft)
    assert found.outer_race_hz + found.inner_race_hz == pytest.approx(balls * shaft)
    assert found.outer_race_hz == pytest.approx(balls * found.cage_hz)
    assert found.cage_hz < shaft / 2 < found.inner_race_hz
    assert found.rolling_element_hz == 2 * found.ball_spin_hz


@pytest.mark.parametrize(
    ("bore", "outside", "balls", "ball", "pitch"),
    [(25, 52, 9, 7.94, 39.04), (17, 40, 8, 6.746, 28.5), (30, 62, 9, 9.525, 46.0)],
)
def test_rings_alone_tell_the_lines_within_some_per_cent(bore, outside, balls, ball, pitch):
    """Against the geometry of deep groove bearings 6205, 6203, 6206 (data sheets, from memory)."""
    guessed = frequencies(from_outside(bore, outside, balls), 10.0)
    known = frequencies(Bearing(balls, ball, pitch), 10.0)
    assert guessed.outer_race_hz == pytest.approx(known.outer_race_hz, rel=0.03)
    assert guessed.inner_race_hz == pytest.approx(known.inner_race_hz, rel=0.03)
    told = from_count(balls, 10.0)
    assert told["outer_race"][0] < known.outer_race_hz < told["outer_race"][1]
    assert told["inner_race"][0] < known.inner_race_hz < told["inner_race"][1]
    assert told["outer_race"][1] < told["inner_race"][0]


def test_life_is_that_of_the_standard():
    """ISO 281:2007; worked example of 30 kN on 5 kN at 1,500 rpm: 216 Mrev, 2,400 h; 392.5."""
    assert life_million_turns(30, 5) == pytest.approx(216.0)
    assert life_hours(life_million_turns(30, 5), 1500) == pytest.approx(2400.0)
    assert life_million_turns(30, 5, roller=True) == pytest.approx(392.5, abs=0.05)
    assert life_million_turns(30, 10) == pytest.approx(27.0)  # twice the load, an eighth


@pytest.mark.parametrize(
    "wrong",
    [(2, 5, 40), (9, 40, 5), (40, 10, 40), (9, 0, 40), (9, 8, 40, 95), (9, math.nan, 40)],
)
def test_what_is_no_bearing_is_refused_by_name(wrong):
    with pytest.raises(Unusable) as told:
        Bearing(*wrong)
    assert told.value.problems
    assert told.value.remedy


def test_a_shaft_that_stands_and_a_load_of_nothing_are_refused():
    with pytest.raises(Unusable, match="stands"):
        frequencies(Bearing(9, 8, 40), 0.0)
    with pytest.raises(Unusable, match="load"):
        life_million_turns(30, 0)
    with pytest.raises(Unusable, match="speed"):
        life_hours(216, 0)
    with pytest.raises(Unusable, match="bore"):
        from_outside(52, 25, 9)
