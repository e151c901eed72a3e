"""What is asked or refused before it becomes a wrong number: inches, doubts below zero."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of
from retrue.cases.prove.proof import Conditions, Limit
from retrue.cases.prove.table import asked_inches, read_table


@pytest.mark.parametrize("wrong", [-2.0, float("nan"), float("inf")])
def test_a_doubt_or_a_limit_is_a_size(wrong):
    for make in (
        lambda: Conditions(uncertainty=wrong),
        lambda: Conditions(reading_uncertainty=wrong),
        lambda: Limit(value=wrong),
    ):
        with pytest.raises(Unusable) as refused:
            make()
        assert refused.value.problems
    assert Conditions(uncertainty=0.0, limit=Limit(value=0.0))


def test_short_travels_are_asked_about():
    assert "25.4" in asked_inches(np.array([0.0, 4.0, 20.0]))[0]
    assert asked_inches(np.array([0.0, 100.0, 508.0])) == ()
    rows = "position_mm,height_um\n" + "".join(f"{i},{i % 3}\n" for i in range(6))
    one = deed("straightness")
    proof = one.prove(read_table(rows.encode(), "a.csv"), options_of(one, {}), Conditions())
    assert any("inches" in text for text in proof.warnings)


@pytest.mark.parametrize(
    ("points", "radius", "word"), [(1 / 25.4, 1, "points"), (1, 1 / 25.4, "radius")]
)
def test_a_circle_in_inches_is_named(points, radius, word):
    angle = np.radians(np.arange(0, 360, 5))
    rows = "direction,x_mm,y_mm\n" + "".join(
        f"{way},{150 * points * np.cos(a):.6f},{150 * points * np.sin(a):.6f}\n"
        for way in ("cw", "ccw")
        for a in angle
    )
    one = deed("circle")
    options = options_of(one, {"radius_mm": f"{150 * radius:.6f}"})
    with pytest.raises(Unusable) as refused:
        one.prove(read_table(rows.encode(), "a.csv"), options, Conditions())
    assert word in refused.value.remedy
    assert "inches" in refused.value.remedy


def test_a_straightness_without_readings_names_both_ways():
    one = deed("straightness")
    with pytest.raises(Unusable) as refused:
        one.prove(read_table(b"position_mm\n0\n1\n", "a.csv"), options_of(one, {}), Conditions())
    assert {"tilt_um_per_m" in p.what or "height_um" in p.what for p in refused.value.problems} == {
        True
    }
    assert len(refused.value.problems) == 2


def test_bounds_of_one_direction_bear_its_name():
    rows = "direction,angle_deg,deviation_um\n" + "".join(
        f"ccw,{a},{np.cos(2 * np.radians(a)):.3f}\n" for a in range(0, 360, 5)
    )
    one = deed("circle")
    proof = one.prove(read_table(rows.encode(), "a.csv"), options_of(one, {}), Conditions())
    assert "circular_deviation_ccw_upper_um" in proof.more
    assert not any(key.startswith("bidirectional") for key in proof.more)
