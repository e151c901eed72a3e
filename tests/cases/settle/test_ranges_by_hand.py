"""Ranges laid into worlds, told by three numbers, and left at their ends: by hand."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.cases.settle.cost_lines import Range
from retrue.cases.settle.cost_ranges import NOTHING, against, along, of_band, range_of
from retrue.cases.sheet import Band

ORDER = np.random.default_rng(5).permutation(1_001).astype(float)  # its tenths: 100, 500, 900


def range_with(mean: float) -> Range:
    return Range(p10=10.0, p50=50.0, p90=130.0, mean=mean)


@pytest.mark.parametrize("mean", [65.0, 40.0])
def test_a_range_runs_straight_between_its_tenths_and_keeps_its_average(mean: float) -> None:
    """By hand: 0.1 a world from 10 to 50, 0.2 from there to 130; only an outer tenth is drawn out.

    Flat outside they average (101 x 10 + 400 x 30.05 + 400 x 90.1 + 100 x 130) / 1001 = 62.4.
    """
    values = along(range_with(mean), ORDER)
    told = range_of(values)
    assert (told.p10, told.p50, told.p90, told.mean) == pytest.approx((10.0, 50.0, 130.0, mean))
    rising = values[np.argsort(ORDER)]
    assert rising[[100, 300, 500, 700, 900]] == pytest.approx([10.0, 30.0, 50.0, 90.0, 130.0])
    step = np.diff(rising[-100:] if mean > 62.4 else rising[:100])
    assert step == pytest.approx(np.full(99, step[0]))  # an even slope
    assert step[0] > 0.1
    other = rising[:101] if mean > 62.4 else rising[900:]
    assert other == pytest.approx(np.full(101, other[0]))


def test_swansons_rule() -> None:
    """0.3, 0.4, 0.3 of 10, 20, 50: 26 (Hurst, Brown and Swanson 2000, AAPG Bulletin 84)."""
    assert of_band(Band(p10=10.0, p50=20.0, p90=50.0)).mean == 26.0
    told = of_band(Band(p10=10.0, p50=20.0, p90=50.0), 27.0)
    assert (told.p10, told.p50, told.p90, told.mean) == (10.0, 20.0, 50.0, 27.0)


@pytest.mark.parametrize(
    ("end", "stands"),
    [(9.4, "below"), (9.5, "within"), (130.5, "within"), (130.6, "above")],
)
def test_half_a_unit_is_no_difference(end: float, stands: str) -> None:
    assert against(end, range_with(65.0)) == stands
    assert NOTHING == 0.5
