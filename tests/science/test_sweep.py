"""The lean of a swept spindle against closed forms and a general-purpose plane fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skspatial.objects import Plane

from retrue.base.chance import stream
from retrue.science.give_or_take import doubt_of, expanded
from retrue.science.sweep import (
    by_sector,
    difference_um,
    dish_um,
    places,
    predicted_um,
    shim_um,
    sweep,
)

QUARTERS = [0.0, 90.0, 180.0, 270.0]
LEANS = st.floats(-500, 500)


def readings(angles, tilt, nod, radius=100.0, twofold=0.0):
    turn = np.radians(angles)
    lean = tilt * np.cos(turn) + nod * np.sin(turn)
    return radius / 1000 * lean + twofold * np.cos(2 * turn)


def test_the_closed_form_of_four_readings():
    """By definition: tilt = (d0 - d180) / 2r, nod = (d90 - d270) / 2r; 100 mm, 40 and -25."""
    one = sweep(QUARTERS, [4.0, -2.5, -4.0, 2.5], 100)
    assert [one.tilt, one.nod] == pytest.approx([40.0, -25.0])
    assert shim_um(one.nod, 450) == pytest.approx(-11.25)
    assert shim_um(one.tilt, 250) == pytest.approx(10.0)
    assert dish_um(one.tilt, 80, 60) == pytest.approx(0.542, abs=5e-4)
    assert 0.3 * one.tilt == pytest.approx(12.0)
    assert 0.3 * one.nod == pytest.approx(-7.5)


def test_the_opposite_lean_reads_the_opposite_way():
    assert sweep(QUARTERS, [4, 0, -4, 0], 100).tilt > 0 > sweep(QUARTERS, [-4, 0, 4, 0], 100).tilt
    assert sweep(QUARTERS, [0, 4, 0, -4], 100).nod > 0 > sweep(QUARTERS, [0, -4, 0, 4], 100).nod


def test_a_plane_through_the_swept_points_agrees_with_a_general_library():
    """scikit-spatial, Plane.best_fit: normal of the plane through the swept points."""
    angles = np.arange(0, 360, 30.0)
    heights = readings(angles, 63.0, -41.0)
    turn = np.radians(angles)
    points = np.column_stack([100 * np.cos(turn), 100 * np.sin(turn), heights / 1000])
    normal = np.asarray(Plane.best_fit(points).normal)  # type: ignore[union-attr]
    slopes = -normal[:2] / normal[2] * 1e6
    one = sweep(angles, heights, 100)
    assert slopes == pytest.approx([one.tilt, one.nod], rel=1e-6)


@given(LEANS, LEANS, st.floats(-20, 20), st.floats(0, 360))
@settings(max_examples=30, deadline=None)
def test_a_twofold_table_is_no_lean(tilt, nod, twofold, start):
    angles = np.arange(8) * 45.0 + start
    one = sweep(angles, readings(angles, tilt, nod, twofold=twofold) + 7, 100)
    assert [one.tilt, one.nod] == pytest.approx([tilt, nod], abs=1e-6)
    assert one.twofold == pytest.approx(4 * abs(twofold), abs=1e-6)


@given(LEANS, LEANS, st.floats(-90, 90))
@settings(max_examples=30, deadline=None)
def test_the_difference_does_not_depend_on_where_one_begins_to_count(tilt, nod, turned):
    angles = np.arange(0, 360, 45.0)
    heights = readings(angles, tilt, nod)
    assert difference_um(sweep(angles + turned, heights, 100)) == pytest.approx(
        difference_um(sweep(angles, heights, 100)), abs=1e-6
    )


def test_of_four_places_the_closure_is_the_difference_of_the_two_sums():
    assert sweep(QUARTERS, [3.0, 0.0, 2.0, 1.0], 100).twofold == pytest.approx(4.0)
    assert sweep([*QUARTERS, 360.0], [3.0, 0.0, 2.0, 1.0, 3.0], 100).twofold > 3.0


def test_what_is_predicted_is_what_was_read():
    one = sweep(QUARTERS, [4.0, -2.5, -4.0, 2.5], 100)
    assert predicted_um(one, QUARTERS) == pytest.approx([4.0, -2.5, -4.0, 2.5])


def test_what_gives_no_plane_is_refused():
    with pytest.raises(ValueError, match="plane"):
        sweep([0, 180, 360], [1, 2, 3], 100)
    with pytest.raises(ValueError, match="radius"):
        sweep(QUARTERS, [1, 2, 3, 4], 0)
    with pytest.raises(ValueError, match="wider"):
        dish_um(1, 50, 60)
    assert places([0, 360, 720]) == 1


@pytest.mark.parametrize(
    ("freedom", "printed"), [(1, 13.97), (2, 4.53), (3, 3.31), (5, 2.65), (10, 2.28), (50, 2.05)]
)
def test_the_factor_of_few_readings_is_the_printed_one(freedom, printed):
    """NIST Technical Note 1297 (1994), table B.1, column 95.45 per cent."""
    assert expanded(1.0, freedom) == pytest.approx(printed, abs=0.005)


def test_a_scatter_that_says_nothing_is_not_counted():
    assert doubt_of(1.0, 0.3, 2, 1.0) == 1.0
    assert doubt_of(1.0, 0.3, 2, None) == float("inf")
    assert doubt_of(1.0, 0.0, 30, None) == float("inf")
    assert doubt_of(1.0, 3.0, 30, 1.0) > 6.0


def test_two_thousand_sweeps_are_as_far_off_as_they_say():
    """Coverage of tilt and nod, 95.45 per cent meant, eight places, noise of one micrometre."""
    chance = stream(7, "sweep", "coverage")
    angles = np.arange(8) * 45.0
    true = readings(angles, 40.0, -25.0, twofold=2.0)
    hits = np.zeros(2)
    for noise in chance.normal(size=(2000, 8)):
        one = sweep(angles, true + noise, 100)
        near = doubt_of(one.unit_uncertainty, one.scatter, one.freedom, None)
        hits += [abs(one.tilt - 40) <= near, abs(one.nod + 25) <= near]
    assert ((hits / 2000 >= 0.93) & (hits / 2000 <= 0.97)).all()


@pytest.mark.parametrize("tilt", [0.0, 10.0, 40.0])
def test_the_difference_reads_too_large_never_too_small(tilt):
    """A size is biased upward; what it may be at most holds in 93 cases of 100 and more."""
    chance = stream(7, "sweep", "size", str(tilt))
    angles = np.arange(8) * 45.0
    true = 0.3 * tilt
    found, above = [], 0
    for noise in chance.normal(size=(2000, 8)):
        one = sweep(angles, readings(angles, tilt, 0.0) + noise, 100)
        near = 0.3 * doubt_of(one.unit_uncertainty, one.scatter, one.freedom, None)
        found.append(difference_um(one))
        above += true <= found[-1] + near
    assert np.mean(found) > true - 0.05
    assert above / 2000 >= 0.93


def test_very_many_readings_are_shown_by_sectors():
    angles, means = by_sector([1.0, 3.0, 361.0, 90.0], [1.0, 2.0, 3.0, 8.0], 5.0)
    assert angles == pytest.approx([5 / 3, 90])
    assert means == pytest.approx([2.0, 8.0])
