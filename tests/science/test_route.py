"""Doors, corners, kinks and floors: against calculus textbooks and against plain geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.route import (
    crest_mm,
    floor_load,
    foot_of_ramp_mm,
    longest_round_corner_mm,
    through_door,
    turning_circle_mm,
    turns_corner,
)

passages = st.floats(500, 6000)


def test_a_door_keeps_its_margin():
    assert through_door(2000, 2000, 2100, 2050).goes
    assert not through_door(2001, 2000, 2100, 2050).goes
    assert not through_door(2000, 2001, 2100, 2050).goes
    assert through_door(2850, 2650, 2800, 2900).side_mm == -75
    assert through_door(1900, 2950, 2800, 2900).above_mm == -100
    for wrong in ((0, 1, 1, 1), (1, 1, math.nan, 1), (1, 1, 1, -1)):
        with pytest.raises(Unusable, match="size"):
            through_door(*wrong)


def test_the_ladder_round_a_corner():
    """Calculus textbooks: passages of 8 and 27 take a ladder of 13 sqrt(13) = 46.87."""
    assert longest_round_corner_mm(8, 27) == pytest.approx(13 * math.sqrt(13))
    assert longest_round_corner_mm(4, 6) == pytest.approx(14.05, abs=5e-3)


@given(before=passages, after=passages)
def test_a_load_of_no_width_is_the_ladder(before: float, after: float):
    ladder = longest_round_corner_mm(before, after)
    assert turns_corner(ladder, 1e-9, before, after).spare_mm == pytest.approx(0, abs=1e-3)
    assert turns_corner(0.999 * ladder, 1e-9, before, after).spare_mm > 0
    assert turns_corner(1.001 * ladder, 1e-9, before, after).spare_mm < 0


@given(passage=passages, share=st.floats(1.45, 2.8))
def test_two_like_passages_are_tightest_at_45_degrees(passage: float, share: float):
    """Closed form by symmetry: widest is sqrt(2) a - L/2, once L is over sqrt(2) a."""
    found = turns_corner(share * passage, 1.0, passage, passage)
    assert found.widest_mm == pytest.approx(math.sqrt(2) * passage - share * passage / 2)
    assert found.tightest_deg == pytest.approx(45, abs=0.01)


@given(
    before=passages, after=passages, length=st.floats(200, 12_000), share=st.floats(0.05, 0.99),
)  # fmt: skip
def test_a_rectangle_pushed_into_the_corner_leaves_the_inner_corner_free(
    before: float, after: float, length: float, share: float
):
    """The four corners of the load are laid out and the inner corner is looked for in them."""
    width = share * min(length, before, after)
    found = turns_corner(length, width, before, after)
    for turned in np.linspace(0, math.pi / 2, 181):
        foot, top = (
            np.array([length * math.cos(turned), 0]),
            np.array([0, length * math.sin(turned)]),
        )
        along = (top - foot) / length
        inward = np.array([along[1], -along[0]])
        inner = np.array([before, after]) - foot
        depth, run = inner @ inward, inner @ along
        inside = 0 <= run <= length and depth < width
        if found.spare_mm >= 1e-6:
            assert not inside or depth >= width - 1e-6
        assert depth >= found.widest_mm - 1e-6


@given(before=passages, after=passages, length=st.floats(200, 12_000), width=st.floats(100, 3000))
def test_the_corner_is_the_same_from_both_sides(
    before: float, after: float, length: float, width: float
):
    there, back = (
        turns_corner(length, width, before, after),
        turns_corner(width, length, after, before),
    )
    assert there.spare_mm == pytest.approx(back.spare_mm, abs=1e-3)
    wider = turns_corner(length, width, before + 50, after)
    assert wider.spare_mm >= there.spare_mm - 1e-6


def test_a_short_load_is_stopped_only_by_the_narrower_passage():
    assert turns_corner(800, 700, 3000, 900).widest_mm == pytest.approx(900)
    assert turns_corner(800, 700, 900, 3000).widest_mm == pytest.approx(900)
    with pytest.raises(Unusable, match="size"):
        turns_corner(800, 0, 3000, 900)


def test_turning_on_the_spot_takes_the_diagonal():
    assert turning_circle_mm(3000, 4000) == 5000


@given(base=st.floats(300, 5000), kink=st.floats(0, 40), at=st.floats(0, 1))
def test_a_crest_in_the_middle_is_the_worst(base: float, kink: float, at: float):
    """Height of the crest over the straight line between two points on its two slopes."""
    angle = math.radians(kink)
    inner = math.pi - angle
    # Place the crest by the angle at the rear point: the triangle rear - crest - front.
    rear = at * angle
    front = angle - rear
    height = base * math.sin(rear) * math.sin(front) / math.sin(inner) if kink else 0.0
    assert height <= crest_mm(base, kink) + 1e-9 * base
    if at == 0.5:
        assert height == pytest.approx(crest_mm(base, kink))


def test_crest_and_foot_of_a_ramp():
    middle = 2000 * math.sin(math.radians(5)) ** 2 / math.sin(math.radians(170))
    assert crest_mm(2000, 10) == pytest.approx(middle)
    assert foot_of_ramp_mm(1000, 45) == pytest.approx(1000)
    assert crest_mm(2000, 0) == foot_of_ramp_mm(600, 0) == 0
    for kink in (-1, 90, math.nan):
        with pytest.raises(Unusable, match="bend"):
            crest_mm(2000, kink)


def test_a_floor_bears_the_mean_and_the_wheel():
    """1,022 kPa below a plate of 100 by 150 mm: 5 t on four skates, computed twice."""
    found = floor_load(5000, 2500, 2000, wheels=4, contact_mm2=100 * 150)
    assert found.spread_kg_m2 == 1000
    assert found.wheel_mpa * 1000 == pytest.approx(1022, abs=1)
    assert found.wheel_newton / 9.81 / 1.25 * 4 == pytest.approx(5000)
    # Four tonnes on three points, plates of 150 mm: 0.73 MPa (from memory).
    three = floor_load(4000, 2500, 2000, wheels=3, contact_mm2=150 * 150)
    assert three.wheel_mpa == pytest.approx(0.73, abs=0.005)
    assert floor_load(5000, 2500, 2000, wheels=3, contact_mm2=15000).wheel_mpa > found.wheel_mpa
    with pytest.raises(Unusable, match="three"):
        floor_load(5000, 2500, 2000, wheels=2, contact_mm2=15000)
