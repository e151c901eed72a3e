from __future__ import annotations

import statistics
from time import process_time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from tests.science.published_positioning import table

from retrue.science.positioning import bidirectional, drift_over_runs, largest_values, one_way

KEYS = (
    "accuracy", "accuracy_forward", "accuracy_backward", "repeatability", "repeatability_forward",
    "repeatability_backward", "systematic", "systematic_forward", "systematic_backward",
    "reversal", "mean_reversal", "mean_range",
)  # fmt: skip


def test_fifty_readings_of_a_linear_stage_give_the_published_numbers():
    """Published report of a research laboratory's linear stage.

    ecmccfg, examples/test/fat_sat/report.md, commit 072a917e, in nanometres; all rows agree but
    R and E.
    """
    _, forward, backward = table("positioning.csv")
    axis = bidirectional(forward * 1000, backward * 1000)
    assert axis.mean_forward == pytest.approx([-92.42, -91.62, -84.82, -89.02, -109.42], abs=0.005)
    assert axis.mean_backward == pytest.approx(
        [-92.02, -101.22, -90.82, -88.62, -121.62], abs=0.005
    )
    assert axis.reversals == pytest.approx([-0.4, 9.6, 6.0, -0.4, 12.2], abs=0.005)
    assert axis.spread_forward == pytest.approx([8.79, 6.77, 7.26, 9.00, 12.58], abs=0.005)
    assert axis.spread_backward == pytest.approx([6.28, 7.29, 10.43, 12.18, 15.73], abs=0.006)
    assert axis.repeatabilities == pytest.approx([35.17, 37.72, 41.70, 48.71, 68.82], abs=0.006)
    assert (axis.reversal, axis.mean_reversal) == pytest.approx((12.2, 5.4))
    assert axis.repeatability_forward == pytest.approx(50.33, abs=0.005)
    assert axis.repeatability_backward == pytest.approx(62.90, abs=0.005)
    assert (axis.systematic_forward, axis.systematic_backward) == pytest.approx((24.6, 33.0))
    assert axis.mean_range == pytest.approx(27.7)
    assert axis.accuracy_forward == pytest.approx(64.28, abs=0.005)
    assert (axis.accuracy_backward, axis.accuracy) == pytest.approx((88.81, 88.81), abs=0.005)


def test_the_published_report_departs_from_the_standard_in_r_and_e():
    """The same report prints R = 62.9 and E = 24.6; ISO 230-2 gives 68.815 and 36.8.

    Its R is the larger of the two directions, though its own row of R_i shows 68.82; its E is
    that of one direction.
    """
    _, forward, backward = table("positioning.csv")
    axis = bidirectional(forward * 1000, backward * 1000)
    assert axis.repeatability == pytest.approx(68.815, abs=0.0005)
    assert axis.systematic == pytest.approx(36.8)
    assert axis.repeatability != pytest.approx(62.9, abs=1)
    assert axis.systematic != pytest.approx(24.6, abs=1)


def test_fifty_readings_that_climb_give_the_published_numbers_but_for_e():
    """Published report of a test rig's axis (ecmc motion test, 2022), in millimetres there.

    It prints E = 0.02806, that of one direction, where ISO 230-2 gives 63.542 µm.
    """
    _, forward, backward = table("positioning-second.csv")
    axis = bidirectional(forward, backward)
    assert axis.reversals == pytest.approx([40.25, 51.24, 35.48, 23.19, 27.07], abs=0.01)
    assert (axis.reversal, axis.mean_reversal) == pytest.approx((51.24, 35.44), abs=0.005)
    assert axis.repeatabilities == pytest.approx(
        [211.82, 237.15, 224.99, 143.46, 132.63], abs=0.012
    )
    assert axis.repeatability_forward == pytest.approx(125.29, abs=0.006)
    assert (axis.repeatability_backward, axis.repeatability) == pytest.approx(
        (237.15, 237.15), abs=0.005
    )
    assert axis.systematic_forward == pytest.approx(28.06, abs=0.005)
    assert axis.systematic_backward == pytest.approx(26.46, abs=0.005)
    assert axis.mean_range == pytest.approx(22.26, abs=0.005)
    assert axis.accuracy_forward == pytest.approx(141.39, abs=0.005)
    assert (axis.accuracy_backward, axis.accuracy) == pytest.approx((243.37, 243.37), abs=0.005)
    assert axis.systematic == pytest.approx(63.542, abs=0.0005)
    assert axis.systematic != pytest.approx(28.06, abs=1)


def test_plain_loops_over_every_band_give_the_same():
    """Brute force with the standard library's statistics."""
    _, forward, backward = table("positioning-second.csv")
    ends = []
    for rows in (forward, backward):
        for row in rows:
            mean, spread = statistics.fmean(row), statistics.stdev(row)
            ends += [mean + 2 * spread, mean - 2 * spread]
    axis = bidirectional(forward, backward)
    assert axis.accuracy == pytest.approx(max(ends) - min(ends), rel=1e-12)


@pytest.mark.parametrize("middle", [1_000_000, 1_000_000_000])
def test_a_small_scatter_on_a_large_offset_keeps_its_digits(middle):
    """NIST StRD, univariate sets of the kind SmLs: offsets far larger than the scatter."""
    row = middle + np.array([0.25, -0.25, 0.25, -0.25, 0.0])
    axis = one_way([row, row])
    assert axis.spread_forward == pytest.approx(0.25, rel=1e-6)


def test_lost_motion_is_a_reversal_below_zero():
    assert bidirectional([[0.0], [0.0]], [[6.0], [6.0]]).mean_reversal == -6.0
    assert bidirectional([[6.0], [6.0]], [[0.0], [0.0]]).mean_reversal == 6.0


readings = arrays(np.float64, (4, 3), elements=st.floats(-100, 100).map(lambda v: round(v, 3)))


@settings(max_examples=30, deadline=None)
@given(readings, readings, st.floats(-1000, 1000))
def test_what_must_always_hold_of_an_axis(forward, backward, shift):
    axis, moved = bidirectional(forward, backward), bidirectional(forward + shift, backward + shift)
    swapped = bidirectional(backward, forward)
    for key in KEYS:
        assert getattr(moved, key) == pytest.approx(getattr(axis, key), abs=1e-8)
    assert swapped.mean_reversal == pytest.approx(-axis.mean_reversal)
    assert (swapped.accuracy, swapped.repeatability) == (axis.accuracy, axis.repeatability)
    near = 1e-9
    assert axis.systematic >= max(axis.systematic_forward, axis.systematic_backward) - near
    assert axis.repeatability >= max(axis.repeatability_forward, axis.repeatability_backward) - near
    assert axis.accuracy >= max(axis.accuracy_forward, axis.accuracy_backward) - near
    assert axis.accuracy >= max(axis.systematic, axis.repeatability) - near
    assert axis.systematic >= max(axis.reversal, axis.mean_range) - near


def test_one_run_defines_no_scatter_but_the_means():
    """GOST ISO 230-2-2016, 6.2: on long axes repeatability and accuracy are not evaluated.

    Secondary source: docs.cntd.ru.
    """
    axis = bidirectional([[1.0], [5.0]], [[-2.0], [2.0]])
    assert (axis.accuracy, axis.repeatability, axis.accuracy_forward) == (None, None, None)
    assert (axis.reversal, axis.systematic, axis.mean_range) == (3.0, 7.0, 4.0)


def test_one_direction_defines_nothing_of_both():
    axis = one_way([[1.0, 2.0], [5.0, 5.0]], forward=False)
    assert axis.systematic_backward == 3.5
    assert [axis.systematic, axis.systematic_forward, axis.reversal, axis.mean_range] == [None] * 4


@pytest.mark.parametrize("bad", [[[1.0, np.nan]], [[]], [1.0, 2.0]])
def test_a_table_with_a_gap_is_no_table(bad):
    with pytest.raises(ValueError, match="reading"):
        one_way(bad)
    with pytest.raises(ValueError, match="same targets"):
        bidirectional([[1.0]], [[1.0], [2.0]])


def test_the_second_published_set_climbs_and_the_first_does_not():
    _, *first = table("positioning.csv")
    _, *second = table("positioning-second.csv")
    still, climbing = drift_over_runs(*first), drift_over_runs(*second)
    assert still.chance > 0.5
    assert climbing.chance < 0.01
    assert climbing.per_run == pytest.approx(21.2137, abs=1e-4)
    falling = drift_over_runs(*(one[:, ::-1] for one in second))
    assert falling.per_run == pytest.approx(-climbing.per_run)
    assert bidirectional(*climbing.without).repeatability < 0.6 * 237.149


def test_a_zero_set_anew_in_each_run_is_seldom_taken_for_a_climb():
    rng = np.random.Generator(np.random.Philox(5))
    shifts = rng.normal(0, 5, (2000, 1, 5)) + rng.normal(0, 1, (2000, 10, 5))
    seldom = np.mean([drift_over_runs(one).chance < 0.02 for one in shifts])
    assert 0.01 < seldom < 0.035


def test_fewer_than_three_runs_show_no_climb():
    assert drift_over_runs([[1.0, 2.0]]) is None


def test_many_axes_at_once_are_the_same_as_one_by_one():
    rng = np.random.Generator(np.random.Philox(6))
    ahead, back = rng.normal(0, 3, (20, 6, 5)), rng.normal(4, 3, (20, 6, 5))
    many = largest_values(
        ahead.mean(-1), back.mean(-1), ahead.std(-1, ddof=1), back.std(-1, ddof=1)
    )
    for index in range(20):
        axis = bidirectional(ahead[index], back[index])
        for key in KEYS:
            assert many[key][index] == pytest.approx(getattr(axis, key))


def test_fifty_readings_take_no_time():
    _, forward, backward = table("positioning.csv")
    took = []
    for _ in range(20):
        begins = process_time()
        bidirectional(forward, backward)
        took.append(process_time() - begins)
    assert min(took) < 0.002  # about 0.1 ms, and what else runs does not count
