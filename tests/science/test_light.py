"""Light: the lumen method, one lamp, what a task needs, and what seems to stand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.light import (
    NEEDS,
    expected_lux,
    lamps_needed,
    lit,
    needed_lm,
    point_lux,
)
from retrue.science.light_flicker import (
    flicker_of_mains_hz,
    seems_to_turn_rpm,
    standing_still,
    told_standing,
)

SHARES = {"utilisation_share": 0.6, "upkeep_share": 0.8}


def test_the_lumen_method_s_worked_example():
    """2 x 3 lamps of 2,900 lm are 17,400 lm (secondary source); 3 x 4.6 m, 0.6, 0.8: 605 lux."""
    assert 2 * 3 * 2900 == 17_400
    assert expected_lux(17_400, 3 * 4.6, **SHARES) == pytest.approx(605, abs=0.5)
    assert lamps_needed(needed_lm(605, 3 * 4.6, **SHARES), 2900) == 6
    assert lamps_needed(needed_lm(606, 3 * 4.6, **SHARES), 2900) == 7


@given(lux=st.floats(10, 5000), area=st.floats(1, 500), light=st.floats(100, 20_000))
def test_never_too_few_lamps(lux, area, light):
    count = lamps_needed(needed_lm(lux, area, **SHARES), light)
    assert expected_lux(count * light, area, **SHARES) >= lux * 0.99
    fewer = expected_lux((count - 1) * light, area, **SHARES)
    assert fewer < lux or fewer == pytest.approx(lux)


def test_one_lamp_gives_less_aside_with_the_cube_of_the_cosine():
    """E = I cos³ / h²: 2,000 cd at 1.5 m: 888.9 lux below, 512.0 a metre aside (Lambert)."""
    assert point_lux(2000, 1500) == pytest.approx(888.9, abs=0.05)
    assert point_lux(2000, 1500, 1000) == pytest.approx(512.0, abs=0.05)
    cosine = 1.5 / math.hypot(1.5, 1.0)
    assert point_lux(2000, 1500, 1000) == pytest.approx(2000 * cosine**3 / 1.5**2)


def test_what_a_task_needs_stands_with_its_mark():
    """EN 12464-1: 300, 500, 750, 1000 lux (secondary source); uniformity from memory."""
    wanted = {"rough": 300, "fine": 500, "inspection": 750, "precision": 1000}
    assert {task: one.mean_lux for task, one in NEEDS.items()} == wanted
    assert all("unverified" in one.mark and "memory" in one.uniformity_mark
               for one in NEEDS.values())  # fmt: skip


def test_uniformity_is_the_least_over_the_mean():
    """EN 12464-1 (from memory): not least over most."""
    found = lit([600, 800, 700, 500])
    assert (found.mean_lux, found.least_lux, found.most_lux) == (650, 500, 800)
    assert found.uniformity == pytest.approx(500 / 650)
    assert lit([0, 0]).uniformity is None


def test_a_three_jaw_chuck_stands_at_two_thousand_turns_in_mains_light():
    """From one dip of the light to the next, at 100 Hz, a third of a turn is 2,000 a minute."""
    flicker = flicker_of_mains_hz(50)
    seen = standing_still(flicker, 3, 6500)
    assert [one.speed_rpm for one in seen if one.faces == 3] == [2000, 4000, 6000]
    assert [one.speed_rpm for one in standing_still(120.0, 1, 8000) if one.faces == 1] == [7200]
    assert flicker_of_mains_hz(60) == 120


def test_at_half_that_speed_three_jaws_seem_to_stand_as_six():
    """At 1,000 a minute each dip finds the jaws half a place on: two images, six jaws."""
    seen = {one.speed_rpm: one.faces for one in standing_still(100.0, 3, 2000)}
    assert (seen[1000.0], seen[666.7], seen[500.0], seen[2000.0]) == (6, 9, 12, 3)
    assert min(one.speed_rpm for one in standing_still(100.0, 1, 5999)) == 1500
    assert standing_still(100.0, 1, 1499) == ()
    shown, left = told_standing(standing_still(100.0, 3, 6500), 6)
    assert [one.speed_rpm for one in shown] == [1000, 2000, 3000, 4000, 5000, 6000]
    assert left == len(standing_still(100.0, 3, 6500)) - 6


@given(alike=st.integers(1, 8), flicker=st.sampled_from([100.0, 120.0]))
def test_at_each_of_these_speeds_its_faces_fall_on_each_other(alike, flicker):
    """Sampling: from one dip to the next it moves by whole places of the faces it seems to have."""
    for one in standing_still(flicker, alike, 9000):
        moved = one.speed_rpm / 60 / flicker * one.faces
        assert abs(moved - round(moved)) < 1e-3


@given(speed=st.floats(1, 20_000), alike=st.integers(1, 8), flicker=st.sampled_from([100.0, 120.0]))
def test_what_seems_to_turn_is_what_the_dips_show(speed, alike, flicker):
    """Sampling: between two dips it moves by its speed; seen, by that less whole like places."""
    seems = seems_to_turn_rpm(flicker, alike, speed)
    moved, shown = speed / 60 / flicker * alike, seems / 60 / flicker * alike
    assert abs(moved - shown - round(moved - shown)) < 1e-6
    assert abs(shown) <= 0.5 + 1e-9


@pytest.mark.parametrize(
    "call",
    [
        lambda: lit([]),
        lambda: lit([100, -1]),
        lambda: lit([100, math.nan]),
        lambda: needed_lm(500, 0, **SHARES),
        lambda: needed_lm(500, 10, utilisation_share=60, upkeep_share=0.8),
        lambda: lamps_needed(100, 0),
        lambda: point_lux(100, 0),
        lambda: standing_still(0, 3, 100),
    ],
)
def test_what_no_light_can_be_is_refused(call):
    with pytest.raises(Unusable) as told:
        call()
    assert told.value.remedy


def test_a_flicker_far_slower_than_the_machine_is_refused_and_no_endless_list_made():
    with pytest.raises(Unusable, match="so slowly"):
        standing_still(0.001, 1, 8000)
    assert standing_still(20.0, 1, 8000)
