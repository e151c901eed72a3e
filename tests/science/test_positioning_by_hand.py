"""Every quantity of an axis by its own definition, target by target, and drift by a library."""

from __future__ import annotations

from statistics import mean, stdev

import numpy as np
import pytest
from scipy.stats import linregress

from retrue.science.positioning import bidirectional, drift_over_runs, one_way


@pytest.mark.parametrize("seed", range(4))
def test_every_quantity_is_its_definition_written_out(seed: int) -> None:
    """ISO 230-2:2014, clause 3 (from memory), with no arrays: 7 targets, 4 runs, a play of 3."""
    source = np.random.default_rng(seed)
    line = source.normal(0, 4.0, (7, 1))
    size = source.uniform(0.2, 3.0, (2, 7, 1))
    ahead = line + size[0] * source.standard_normal((7, 4)) + 20.0
    back = line + size[1] * source.standard_normal((7, 4)) + 20.0 + source.choice([-3.0, 3.0])
    up, down = [mean(row) for row in ahead.tolist()], [mean(row) for row in back.tolist()]
    s_up, s_down = [stdev(row) for row in ahead.tolist()], [stdev(row) for row in back.tolist()]
    play = [one - other for one, other in zip(up, down, strict=True)]
    r_up, r_down = [4 * one for one in s_up], [4 * one for one in s_down]
    r = [max(2 * s_up[i] + 2 * s_down[i] + abs(play[i]), r_up[i], r_down[i]) for i in range(7)]
    high_up, low_up = ([up[i] + sign * 2 * s_up[i] for i in range(7)] for sign in (1, -1))
    high_down, low_down = ([down[i] + sign * 2 * s_down[i] for i in range(7)] for sign in (1, -1))
    middle = [(one + other) / 2 for one, other in zip(up, down, strict=True)]
    wanted = {
        "reversal": max(abs(one) for one in play),
        "mean_reversal": mean(play),
        "repeatability": max(r),
        "repeatability_forward": max(r_up),
        "repeatability_backward": max(r_down),
        "systematic": max(up + down) - min(up + down),
        "systematic_forward": max(up) - min(up),
        "systematic_backward": max(down) - min(down),
        "mean_range": max(middle) - min(middle),
        "accuracy": max(high_up + high_down) - min(low_up + low_down),
        "accuracy_forward": max(high_up) - min(low_up),
        "accuracy_backward": max(high_down) - min(low_down),
    }
    made = bidirectional(ahead, back)
    assert {name: getattr(made, name) for name in wanted} == pytest.approx(wanted)
    assert made.repeatabilities == pytest.approx(r)
    assert made.reversals == pytest.approx(play)
    alone = one_way(back, forward=False)
    for name in ("accuracy_backward", "repeatability_backward", "systematic_backward"):
        assert getattr(alone, name) == pytest.approx(wanted[name])
        assert getattr(alone, name.replace("back", "for")) is None
    assert alone.reversal is alone.accuracy is alone.mean_range is None


@pytest.mark.parametrize("runs", [3, 5, 10])
def test_drift_is_a_librarys_line_through_the_means_of_runs(runs: int) -> None:
    """scipy.stats.linregress: slope, its standard error, two-sided chance."""
    source = np.random.default_rng(runs)
    ahead, back = source.normal(0, 1, (2, 4, runs)) + 0.3 * np.arange(runs)
    line = linregress(np.arange(runs), np.concatenate([ahead, back]).mean(axis=0))
    made = drift_over_runs(ahead, back)
    assert made is not None
    assert (made.per_run, made.standard_uncertainty, made.chance) == pytest.approx(
        (line.slope, line.stderr, line.pvalue)
    )
    assert made.total == pytest.approx(line.slope * (runs - 1))
    for one, flat in zip((ahead, back), made.without, strict=True):
        assert flat.mean() == pytest.approx(one.mean())
        assert np.diff(one - flat, axis=1) == pytest.approx(np.full((4, runs - 1), line.slope))
    falling = drift_over_runs(ahead[:, ::-1], back[:, ::-1])
    assert falling is not None
    assert (falling.per_run, falling.chance) == pytest.approx((-line.slope, line.pvalue))


def test_readings_that_never_scatter_climb_surely_or_not_at_all() -> None:
    """By definition."""
    for slope, chance in ((2.0, 0.0), (0.0, 1.0)):
        made = drift_over_runs(slope * np.array([[0.0, 1.0, 2.0], [4.0, 5.0, 6.0]]) * 1.0)
        assert made is not None
        assert (made.per_run, made.standard_uncertainty, made.chance) == (slope, 0.0, chance)
