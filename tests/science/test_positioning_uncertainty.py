from __future__ import annotations

import numpy as np
import pytest
from tests.science.often import OFTEN

from retrue.science.bound import upper_bound_by_trials
from retrue.science.positioning import bidirectional, largest_values
from retrue.science.positioning_uncertainty import (
    doubts,
    mean_reversal_doubt,
    reversal_doubts,
    sampled,
)

MEASUREMENTS = 2000
FORWARD = np.array([0.0, 2.0, 5.0, 9.0, 10.0, 14.0])
BACKWARD = np.array([6.0, 8.5, 10.5, 15.5, 16.0, 19.5])
SPREAD = np.array([1.0, 1.0, 2.0, 1.0, 1.0, 1.5])


def simulated(seed: int, count: int, runs: int = 5):
    rng = np.random.Generator(np.random.Philox(seed))
    for _ in range(count):
        noise = rng.standard_normal((2, len(FORWARD), runs)) * SPREAD[:, None]
        yield bidirectional(FORWARD[:, None] + noise[0], BACKWARD[:, None] + noise[1])


def test_parts_are_the_closed_forms():
    """Worked out by hand from ISO/TR 230-9's rectangles: 1 mm aslant on 1 m, 1 K on 1 m of 12."""
    made = doubts(1000, misalignment_mm=1, temperature_range_k=1, expansion=12, drift_range_um=2)
    assert made.misalignment == pytest.approx(0.2887, abs=1e-4)
    assert made.temperature == pytest.approx(6.928, abs=1e-3)
    assert doubts(1000, temperature_range_k=2, expansion=12).temperature == pytest.approx(
        13.856, abs=1e-3
    )
    assert doubts(500, expansion_range=2, warmer_k=-5).expansion == pytest.approx(2.887, abs=1e-3)
    assert made.of("reversal", 5)[1] == pytest.approx(0.632 * made.surroundings, abs=1e-3)


def test_a_length_of_nothing_has_no_doubt():
    with pytest.raises(ValueError, match="length"):
        doubts(0)


@pytest.mark.parametrize(("key", "quantity"), [("reversal", "turn"), ("mean_range", "middle")])
def test_the_part_of_the_surroundings_is_what_a_trial_gives(key, quantity):
    """Trial of 20,000 tests with readings that wander within a range of 6 µm, drift as random."""
    rng = np.random.Generator(np.random.Philox(9))
    wander = rng.uniform(-3, 3, (20_000, 2, 5)).mean(axis=2)
    value = wander[:, 0] - wander[:, 1] if quantity == "turn" else wander.mean(axis=1)
    part = doubts(500, drift_range_um=6).of(key, 5)[1]
    assert 2 * value.std() == pytest.approx(part, rel=0.03)


def test_reversals_and_their_mean_are_covered_as_claimed():
    """Coverage over 2,000 simulated tests; k = 2 means 95.45 %."""
    one, mean = [], []
    for axis in simulated(1, MEASUREMENTS):
        one.append(np.abs(axis.reversals - (FORWARD - BACKWARD)) <= reversal_doubts(axis))
        off = abs(axis.mean_reversal - (FORWARD - BACKWARD).mean())
        mean.append(off <= mean_reversal_doubt(axis))
    assert 0.93 <= np.mean(one) <= 0.97
    assert 0.93 <= np.mean(mean) <= 0.97


def test_largest_values_are_lifted_by_scatter_and_their_bound_holds():
    """Bias shown and bound held over simulated tests of one axis."""
    truth = largest_values(FORWARD, BACKWARD, SPREAD, SPREAD)
    held: dict[str, list[bool]] = {key: [] for key in truth if key != "mean_reversal"}
    values: dict[str, list[float]] = {key: [] for key in held}
    for seed, axis in enumerate(simulated(2, OFTEN)):
        for key, one in sampled(axis, seed=seed, draws=100).items():
            held[key].append(one.upper >= truth[key])
            values[key].append(one.value)
    coverage = {key: float(np.mean(told)) for key, told in held.items()}
    assert min(coverage.values()) >= 0.93, coverage
    assert np.mean(values["repeatability_backward"]) > truth["repeatability_backward"]
    assert np.mean(values["reversal"]) > truth["reversal"]


def test_the_bound_holds_where_one_target_alone_scatters():
    rng = np.random.Generator(np.random.Philox(3))
    spread = np.array([0.2, 0.2, 3.0, 0.2])
    truth = largest_values(np.zeros(4), np.zeros(4), spread, spread)
    held = []
    for seed in range(OFTEN):
        noise = rng.standard_normal((2, 4, 5)) * spread[:, None]
        one = sampled(bidirectional(*noise), seed=seed, draws=100)
        held.append([one[k].upper >= truth[k] for k in ("accuracy", "repeatability")])
    assert np.mean(held, axis=0).min() >= 0.93


def test_one_run_has_no_scatter_to_tell_of():
    axis = bidirectional([[0.0], [1.0]], [[0.0], [1.0]])
    assert sampled(axis, seed=1) == {}
    with pytest.raises(ValueError, match="one run"):
        reversal_doubts(axis)


def test_a_bound_is_never_below_the_value():
    assert upper_bound_by_trials(5.0, [1.0, 2.0], [1.0, 2.0]).upper == 5.0
    with pytest.raises(ValueError, match="drawn"):
        upper_bound_by_trials(5.0, [], [])


def test_downwards_the_lift_by_scatter_is_taken_off_as_well():
    made = upper_bound_by_trials(5.0, [6.0, 8.0], [5.0, 5.0])
    assert made.bias == 2.0
    assert made.expanded_down > 2 * made.standard_uncertainty
