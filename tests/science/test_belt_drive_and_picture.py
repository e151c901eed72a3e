"""An open belt drive on printed examples; a picture's signal on a printed timing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.belt_drive import (
    belt_m_s,
    centre_mm,
    length_mm,
    pull_newton,
    shaft_newton,
    teeth_in_mesh,
    toothed_pulley_mm,
    wrap_deg,
)
from retrue.science.picture_signal import line_hz, pixel_hz


def test_the_wrap_and_the_length_of_a_printed_problem():
    """Shigley's Mechanical Engineering Design, solutions to chapter 17: 6 and 18 in, 96 in.

    Printed: 3.016 511 rad and 230.074 in (equations 17-1 and 17-2).
    """
    assert math.radians(wrap_deg(6, 18, 96)) == pytest.approx(3.016511, abs=5e-7)
    assert length_mm(6, 18, 96) == pytest.approx(230.074, abs=5e-4)
    assert length_mm(18, 6, 96) == length_mm(6, 18, 96)


def test_the_distance_of_the_shafts_of_a_printed_example():
    """Mott, Machine Elements in Mechanical Design, 4th ed., example 7-1.

    24.0 in: 101.4 in of belt; 100 in: 23.30 in (6.28 and 1.57 for pi), 158 degrees.
    """
    assert length_mm(12.4, 21.1, 24.0) == pytest.approx(101.4, abs=0.05)
    assert centre_mm(12.4, 21.1, 100.0) == pytest.approx(23.30, abs=0.03)
    assert wrap_deg(12.4, 21.1, 23.30) == pytest.approx(158, abs=0.5)


def test_a_v_belt_pump_drive():
    """Shigley, example 17-4 (from memory): 7.4 and 11 in, 113.8 in: 42.4 in, 3.057 rad, 3390 ft."""
    assert centre_mm(7.4, 11, 113.8) == pytest.approx(42.4, abs=0.05)
    assert math.radians(wrap_deg(7.4, 11, 42.4)) == pytest.approx(3.057, abs=5e-4)
    assert belt_m_s(7.4 * 25.4, 1750) / 0.3048 * 60 == pytest.approx(3390, abs=1)


@settings(max_examples=25, deadline=None)
@given(small=st.floats(30, 200), more=st.floats(1, 3), apart=st.floats(1.1, 5))
def test_distance_and_length_lead_back_to_each_other(small: float, more: float, apart: float):
    large = small * more
    centre = apart * (small + large)
    assert centre_mm(small, large, length_mm(small, large, centre)) == pytest.approx(
        centre, rel=0.005
    )
    assert 0 < wrap_deg(small, large, centre) <= 180


def test_pulls_teeth_and_what_is_none():
    """Power is force times speed; two equal pulls side by side add up (by definition)."""
    assert pull_newton(7.5, 15) == 500
    assert shaft_newton(500, 180) == pytest.approx(1000)
    assert shaft_newton(500, 60) == pytest.approx(500)
    assert toothed_pulley_mm(24, 8) * math.pi == pytest.approx(192)
    assert [teeth_in_mesh(24, deg) for deg in (180, 179, 90)] == [12, 11, 6]
    for wrong in ((0, 10, 100), (50, 60, 55), (50, math.nan, 100)):
        with pytest.raises(Unusable, match="pulleys"):
            wrap_deg(*wrong)
    with pytest.raises(Unusable, match="too short"):
        centre_mm(100, 200, 400)
    with pytest.raises(Unusable, match="stands"):
        pull_newton(1, 0)


@pytest.mark.parametrize(
    ("dots", "lines", "frames", "khz", "mhz"),
    [(800, 525, 59.94, 31.469, 25.175), (1056, 628, 60.317, 37.879, 40.0),
     (832, 445, 85.08, 37.861, 31.5)],
)  # fmt: skip
def test_a_printed_timing(dots: int, lines: int, frames: float, khz: float, mhz: float):
    """Industry standard timings 640 x 480, 800 x 600, 640 x 400 (secondary source)."""
    rate = line_hz(lines, frames)
    assert rate / 1000 == pytest.approx(khz, abs=0.003)
    assert pixel_hz(dots, rate) / 1e6 == pytest.approx(mhz, abs=0.003)
    with pytest.raises(Unusable, match="timing"):
        line_hz(0, frames)
