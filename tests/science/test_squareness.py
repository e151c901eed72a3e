"""Squareness against closed forms, both ways round, and how often the doubt covers it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.science.give_or_take import doubt_of
from retrue.science.squareness import (
    ARCSECONDS,
    parted,
    reversed_square,
    two_diameters,
    two_lines,
)

ANGLE = st.floats(-200, 200)
PLACES = np.linspace(0, 300, 6)


def path(um_per_m):
    """How far a machine's second axis lies towards plus where its angle is over 90 degrees."""
    return -um_per_m * PLACES / 1000


@given(machine=ANGLE, square=ANGLE)
def test_turning_the_square_over_parts_it_from_the_machine(machine, square):
    """ISO 230-1:2012 (from memory): the face leans one way, then the other, the machine stays."""
    face = square * PLACES / 1000
    first, turned = face - path(machine), -face - path(machine)
    found = reversed_square((PLACES, first), (PLACES, turned))
    assert found.machine_um_per_m == pytest.approx(machine, abs=1e-8)
    assert found.artefact_um_per_m == pytest.approx(square, abs=1e-8)


@given(machine=ANGLE, square=ANGLE, turn=ANGLE)
def test_two_lines_do_not_care_how_the_square_lies(machine, square, turn):
    """Inside faces: along the first axis the path turns away, along the second it comes nearer."""
    first = -(0 - turn) * PLACES / 1000
    second = (machine - turn - square) * PLACES / 1000
    found = two_lines((PLACES, first), (PLACES, second), square_um_per_m=square)
    assert found.machine_um_per_m == pytest.approx(machine, abs=1e-8)


def test_two_diameters_give_the_worked_angle():
    """R = 150 mm, 12 um longer at 135 degrees: 40 um/m, 8.25 seconds, 0.012 over 300 mm."""
    found = two_diameters([0.0], [12.0], 150).machine_um_per_m
    assert found == pytest.approx(40.0)
    assert found * ARCSECONDS == pytest.approx(8.25, abs=0.005)
    assert found * 0.3 == pytest.approx(12.0)
    assert two_diameters([12.0], [0.0], 150).machine_um_per_m == pytest.approx(-40.0)


def test_an_angle_over_ninety_makes_the_circle_long_at_135_degrees():
    """Exact kinematics: the second axis leans to the minus end of the first."""
    angle, radius = 40e-6, 150.0

    def diameter(degrees):
        x, y = radius * np.cos(np.radians(degrees)), radius * np.sin(np.radians(degrees))
        return 2 * np.hypot(x - y * np.sin(angle), y * np.cos(angle))

    short, long = ([(diameter(a) - 2 * radius) * 1000] for a in (45, 135))
    assert two_diameters(short, long, radius).machine_um_per_m == pytest.approx(40.0, abs=0.01)


def test_a_straightedge_and_a_motion_are_parted():
    machine = 3 * np.sin(np.pi * PLACES / 300)
    ruler = 2 * np.cos(2 * np.pi * PLACES / 300)
    found = parted(PLACES, ruler + machine + 0.01 * PLACES + 5, machine - ruler - 0.02 * PLACES)

    def bare(trace):
        return trace - np.polyval(np.polyfit(PLACES, trace, 1), PLACES)

    assert found.machine_um == pytest.approx(bare(machine))
    assert found.artefact_um == pytest.approx(bare(ruler))
    assert not np.allclose(found.machine_um, bare(ruler))


def test_what_does_not_fix_an_angle_is_refused():
    with pytest.raises(ValueError, match="two positions"):
        reversed_square(([0], [0]), ([0, 1], [0, 1]))
    with pytest.raises(ValueError, match="diameters"):
        two_diameters([], [1.0], 100)
    with pytest.raises(ValueError, match="three"):
        parted([0, 1], [0, 1], [0, 1])


def test_the_doubt_covers_an_angle_as_often_as_it_says():
    """2,000 simulated measurements by each way; the promise is 95 in 100."""
    draw = np.random.Generator(np.random.Philox(42))
    inside = {"reversal": 0, "diameters": 0}
    for _ in range(2000):
        first = 50 * PLACES / 1000 + draw.normal(0, 1, 6)
        turned = 30 * PLACES / 1000 + draw.normal(0, 1, 6)
        for way, found in (
            ("reversal", reversed_square((PLACES, first), (PLACES, turned))),
            ("diameters", two_diameters(draw.normal(-6, 1, 4), draw.normal(6, 1, 4), 150)),
        ):
            near = doubt_of(found.unit_uncertainty, found.scatter_um, found.freedom, None)
            inside[way] += abs(found.machine_um_per_m - 40) <= near
    assert all(0.93 <= count / 2000 <= 0.97 for count in inside.values())
