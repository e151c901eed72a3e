"""Lost motion: its sign, what is common, what is wear, and how far off it may be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.chance import stream
from retrue.science.give_or_take import doubt_of
from retrue.science.lost_motion import (
    centre_wear,
    centre_wear_unit,
    left_after,
    lost_motion,
    uniform,
)

LOSSES = st.lists(st.floats(-40, 40), min_size=1, max_size=5)


def test_play_counts_plus_and_is_the_turned_reversal_of_the_standard():
    """ISO 230-2, reversal at a position, forward less backward (from memory): here its negative."""
    found = lost_motion([[-3.0, -1.0]], [[4.0, 6.0]])
    assert found.reversals.tolist() == [7.0]
    assert lost_motion([[4.0, 6.0]], [[-3.0, -1.0]]).reversals.tolist() == [-7.0]
    assert found.unit_uncertainties == pytest.approx([1.0])
    assert found.spread == 2.0


@given(LOSSES)
@settings(max_examples=30, deadline=None)
def test_what_is_common_never_pushes_a_place_past(losses):
    """Taking it turns no sign at any place, and leaves none larger than it was."""
    left = left_after(losses, uniform(losses))
    assert (left * np.array(losses) >= -1e-9).all()
    assert (np.abs(left) <= np.abs(losses) + 1e-9).all()


def test_wear_in_the_middle_is_plus_and_worn_ends_are_minus():
    assert centre_wear(7, 12, 8) == 4.5
    assert centre_wear(12, 7, 12) == -5
    assert centre_wear_unit(1, 1, 1) == pytest.approx(1.5**0.5)


@pytest.mark.parametrize(("forward", "backward"), [([], []), ([[1]], [[]]), ([[1], [2]], [[1]])])
def test_one_side_alone_is_refused(forward, backward):
    with pytest.raises(ValueError, match="both sides"):
        lost_motion(forward, backward)


def test_two_thousand_measurements_are_as_far_off_as_they_say():
    """Coverage of the lost motion and of the wear; three runs, noise of one micrometre."""
    chance = stream(7, "lost motion", "coverage")
    true = np.array([7.0, 12.0, 8.0])
    hits = np.zeros(2)
    for noise in chance.normal(size=(2000, 2, 3, 3)):
        found = lost_motion(list(noise[0]), list(noise[1] + true[:, None]))
        unit = found.unit_uncertainties
        near = doubt_of(float(unit[1]), found.scatter, found.freedom, None)
        wear = doubt_of(centre_wear_unit(*unit), found.scatter, found.freedom, None)
        hits += [
            abs(found.reversals[1] - 12) <= near,
            abs(centre_wear(*found.reversals) - 4.5) <= wear,
        ]
    assert ((hits / 2000 >= 0.93) & (hits / 2000 <= 0.97)).all()


def test_the_largest_of_three_places_reads_too_large_never_too_small():
    """Three alike places; what it may be at most holds in 93 cases of 100 and more."""
    chance = stream(7, "lost motion", "largest")
    above, found = 0, []
    for noise in chance.normal(size=(2000, 2, 3, 3)):
        made = lost_motion(list(noise[0]), list(noise[1] + 8.0))
        near = doubt_of(float(made.unit_uncertainties[0]), made.scatter, made.freedom, None)
        found.append(made.reversals.max())
        above += found[-1] + near >= 8.0
    assert 8.2 < np.mean(found) < 9.0
    assert above / 2000 >= 0.93
