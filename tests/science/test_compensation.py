from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from retrue.science.compensation import (
    compensate,
    entries,
    played_back,
    slope_um_per_m,
    uniform_reversal,
)

PLACES = [0, 100, 200, 300, 400, 500]
FORWARD = [0, 2, 5, 9, 10, 14]
BACKWARD = [6, 8.5, 10.5, 15.5, 16, 19.5]


def test_the_closed_form_table():
    """Worked out by hand: lost motion 6, table 0 -2 -5 -9 -10 -14, range 19.5 before, 1.0 after."""
    lost, uniform = uniform_reversal(np.subtract(FORWARD, BACKWARD), spread_um=5)
    assert (lost, uniform) == (6.0, True)
    made = compensate(FORWARD, BACKWARD, increment_um=1, lost_motion_um=lost)
    assert made.absolute.tolist() == [0, -2, -5, -9, -10, -14]
    assert made.incremental.tolist() == [0, -2, -3, -4, -1, -4]
    assert made.forward.tolist() == [0] * 6
    assert made.backward.tolist() == [0, 0.5, -0.5, 0.5, 0, -0.5]
    assert made.systematic == 1.0


def test_slopes_of_the_closed_form():
    """Least squares by hand; numpy.polyfit as reference."""
    assert slope_um_per_m(PLACES, FORWARD) == pytest.approx(28.0)
    middle = np.add(FORWARD, BACKWARD) / 2
    assert slope_um_per_m(PLACES, middle) == pytest.approx(27.5714, abs=1e-4)
    assert slope_um_per_m(PLACES, middle) == pytest.approx(np.polyfit(PLACES, middle, 1)[0] * 1000)
    with pytest.raises(ValueError, match="one place"):
        slope_um_per_m([1, 1], [0, 2])


@pytest.mark.parametrize("incremental", [False, True])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("side", ["backward", "forward"])
@pytest.mark.parametrize("reference", [0, 3])
def test_typed_entries_played_back_give_what_was_promised(incremental, sign, side, reference):
    made = compensate(
        FORWARD, BACKWARD, increment_um=1, lost_motion_um=6, side=side, reference=reference
    )
    typed = entries(made, incremental=incremental, sign=sign)
    way = {"incremental": incremental, "reversal_um": made.reversal, "side": side}
    ahead, back = played_back(FORWARD, BACKWARD, typed, sign=sign, **way)
    assert ahead == pytest.approx(made.forward)
    assert back == pytest.approx(made.backward)
    assert np.ptp([ahead, back]) <= 2.0
    if reference == 0 or not incremental:
        assert made.absolute[reference] == 0
    wrong = np.ptp(played_back(FORWARD, BACKWARD, typed, sign=-sign, **way))
    assert wrong > 19.5  # the opposite sign makes it worse than it was
    taken = way | {"reversal_um": -made.reversal}
    assert np.ptp(played_back(FORWARD, BACKWARD, typed, sign=sign, **taken)) > 10


def test_without_a_reversal_the_table_runs_through_the_middle():
    made = compensate(FORWARD, BACKWARD, increment_um=1, lost_motion_um=6, enter_reversal=False)
    assert made.reversal == 0
    assert np.abs((made.forward + made.backward) / 2 - 3).max() <= 0.75


means = arrays(np.float64, 6, elements=st.floats(-50, 50).map(lambda v: round(v, 2)))


@settings(max_examples=40, deadline=None)
@given(means, means, st.sampled_from([0.1, 0.5, 1.0, 2.0]))
def test_what_is_left_is_no_more_than_the_reversals_differ_and_the_rounding(ahead, turn, step):
    back = ahead - turn
    made = compensate(ahead, back, increment_um=step, lost_motion_um=float(-turn.mean()))
    assert made.systematic <= np.ptp(turn) + 1.5 * step + 1e-9


def test_a_step_of_nothing_makes_no_table():
    with pytest.raises(ValueError, match="increment"):
        compensate([0.0], [0.0], increment_um=0)


def test_of_an_uneven_reversal_only_the_least_is_uniform():
    assert uniform_reversal([-6.0, -20.0, -5.0], spread_um=5) == (5.0, False)
    assert uniform_reversal([6.0, 20.0, 5.0], spread_um=5) == (-5.0, False)
    assert uniform_reversal([-6.0, 20.0], spread_um=5) == (0.0, False)
