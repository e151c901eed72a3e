"""Balance grades and belt frequencies: worked examples, and a printed one that cannot be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.balance import (
    GRADES,
    eccentricity_um,
    grade_kept_mm_s,
    pull_newton,
    two_planes_g_mm,
    unbalance_g_mm,
)
from retrue.science.belt import (
    belt_hz,
    driven_rpm,
    mesh_hz,
    span_hz,
    tension_newton,
    toothed_belt_hz,
)


@pytest.mark.parametrize(
    ("grade", "mass", "speed", "unbalance", "eccentricity"),
    [
        (2.5, 10, 8000, 29.84, 2.984),
        (6.3, 40, 3000, 802.1, 20.05),
        (2.5, 3600, 3000, 28_647, 7.958),  # about the example of ISO 1940-1 (from memory)
    ],
)
def test_a_rotor_may_keep_what_the_standard_lets_it(grade, mass, speed, unbalance, eccentricity):
    """ISO 21940-11:2016, 6.2 (clause from memory): U = 1000 G m / omega, 9549 G m / n."""
    assert unbalance_g_mm(grade, mass, speed) == pytest.approx(unbalance, rel=2e-4)
    assert eccentricity_um(grade, speed) == pytest.approx(eccentricity, rel=3e-4)
    assert unbalance_g_mm(grade, mass, speed) == pytest.approx(
        9549 * grade * mass / speed, rel=1e-4
    )


def test_what_it_pulls_at_goes_with_the_square_of_the_speed():
    """F = m G omega: 10 kg, G 2.5, 8,000 rpm pulls 20.9 N; by definition."""
    assert pull_newton(29.84, 8000) == pytest.approx(20.9, abs=0.05)
    assert pull_newton(29.84, 16_000) == pytest.approx(4 * pull_newton(29.84, 8000))


@given(grade=st.sampled_from([one.grade_mm_s for one in GRADES]), mass=st.floats(0.1, 500),
       speed=st.floats(100, 60_000))  # fmt: skip
def test_a_grade_is_found_again_from_its_unbalance(grade, mass, speed):
    assert grade_kept_mm_s(unbalance_g_mm(grade, mass, speed), mass, speed) == pytest.approx(grade)


def test_the_nearer_plane_takes_more_and_none_takes_too_much():
    assert two_planes_g_mm(30, 100, 200) == pytest.approx((20, 10))
    assert two_planes_g_mm(30, 10, 490) == pytest.approx((21, 9))  # ISO 21940-11, 0.7 and 0.3
    with pytest.raises(Unusable, match="between"):
        two_planes_g_mm(30, 0, 0)


def test_grades_carry_that_they_are_from_memory():
    assert {one.name for one in GRADES} >= {"G0.4", "G1", "G2.5", "G6.3"}
    assert all("unverified" in one.mark for one in GRADES)


def test_a_belt_comes_round_as_printed_and_not_as_misprinted():
    """Worked example (secondary source): 0.14 m, 1,775 rpm, 1.95 m, 2.2 % slip: 6.526 Hz.

    The same table prints 5.742 Hz for 0.18 m, 148 rpm, 2.4 m, 1.2 %: that needs 1,480 rpm.
    """
    assert belt_hz(140, 1775, 1950, slip_share=0.022) == pytest.approx(6.526, abs=5e-4)
    assert belt_hz(100, 1800, 1500) == pytest.approx(6.283, abs=5e-4)
    assert belt_hz(180, 148, 2400, slip_share=0.012) == pytest.approx(0.574, abs=5e-4)
    assert belt_hz(180, 1480, 2400, slip_share=0.012) == pytest.approx(5.742, abs=2e-3)


def test_teeth_meet_and_a_toothed_belt_comes_round():
    """24 teeth at 30 turns a second: 720 Hz; a belt of 120 teeth comes round 6 times."""
    assert mesh_hz(24, 30 * 60) == 720
    assert toothed_belt_hz(24, 30 * 60, 120) == 6
    assert driven_rpm(1500, 100, 50, slip_share=0.02) == pytest.approx(2940)


def test_a_plucked_span_tells_its_pull():
    """Mersenne: 0.4 m, 200 N, 0.1 kg/m sound at 55.90 Hz."""
    assert span_hz(400, 200, 0.1) == pytest.approx(55.90, abs=5e-3)
    assert tension_newton(400, span_hz(400, 200, 0.1), 0.1) == pytest.approx(200)
    assert tension_newton(400, 2 * 55.9017, 0.1) == pytest.approx(800, rel=1e-4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: belt_hz(0, 1000, 1000),
        lambda: belt_hz(100, 1000, 1000, slip_share=1.0),
        lambda: mesh_hz(0, 100),
        lambda: span_hz(400, -1, 0.1),
        lambda: unbalance_g_mm(2.5, 10, 0),
        lambda: grade_kept_mm_s(10, 0, 1000),
    ],
)
def test_a_size_that_is_none_is_refused(call):
    with pytest.raises(Unusable) as told:
        call()
    assert told.value.remedy
