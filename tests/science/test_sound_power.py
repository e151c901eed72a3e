"""Sound power by hand and by the standard's rules."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.sound_power import (
    absorption_m2,
    box_m2,
    hemisphere_m2,
    level_at_db,
    room_db,
    sound_power,
)

TEN = [80.0] * 10


def test_a_machine_in_a_room():
    """ISO 3744:2010: ten places at 80 dB, background 70, r = 2 m, A = 200 m2; a library agrees."""
    area = hemisphere_m2(2)
    assert area == pytest.approx(25.133, abs=0.0005)
    found = sound_power(TEN, 70, area, 200)
    assert found.k1_db == pytest.approx(0.4576, abs=5e-5)
    assert found.k2_db == pytest.approx(1.7686, abs=5e-5)
    assert found.level_db == pytest.approx(91.7762313904, abs=1e-9)
    assert (found.grade, found.upper_bound) == ("engineering", False)


def test_a_near_background_is_taken_off_only_so_far():
    """ISO 3744:2010, 8.2.3: background 77 under 80, K1 stays 1.2563 and L_W 90.978 is a bound."""
    found = sound_power(TEN, 77, hemisphere_m2(2), 200)
    assert found.k1_db == pytest.approx(1.2563, abs=5e-5)
    assert found.level_db == pytest.approx(90.978, abs=0.0005)
    assert found.upper_bound


@pytest.mark.parametrize(
    ("room_m2", "places", "grade", "k1"),
    [
        (1000, 10, "engineering", 1.2563),
        (1000, 9, "survey", 2.2048),
        (50, 10, "survey", 2.2048),  # K2 4.8 dB
        (20, 10, None, 2.2048),  # K2 7.8 dB
        (1000, 3, None, 2.2048),
    ],
)
def test_room_and_places_make_the_grade(room_m2: float, places: int, grade: str | None, k1: float):
    """K2 up to 4 dB (ISO 3744:2010) and 7 dB (ISO 3746:2010), both from memory; 4 dB over."""
    found = sound_power([80.0] * places, 76, hemisphere_m2(2), room_m2)
    assert found.grade == grade
    assert found.k1_db == pytest.approx(k1, abs=5e-5)
    assert found.give_or_take_db == (3.0 if grade == "engineering" else 6.0)


@pytest.mark.parametrize(
    ("k2", "grade"), [(3.99, "engineering"), (4.01, "survey"), (6.99, "survey"), (7.01, None)]
)
def test_grades_end_at_four_and_seven_decibels(k2: float, grade: str | None):
    """ISO 3744:2010 and ISO 3746:2010 (from memory), from both sides."""
    area = 10.0
    room = 4 * area / (10 ** (k2 / 10) - 1)
    found = sound_power(TEN, 50, area, room)
    assert found.k2_db == pytest.approx(k2)
    assert found.grade == grade


def test_what_is_not_known_makes_a_bound():
    assert sound_power(TEN, None, 25, 200).upper_bound
    assert sound_power(TEN, 50, 25, None).upper_bound
    assert not sound_power(TEN, 50, 25, 200).upper_bound


def test_surfaces_of_the_standard():
    """ISO 3744:2010, 7.2.4: half sizes 2 and 1.5 m, height 3 m."""
    assert box_m2(2, 1, 2, 1) == pytest.approx(4 * (2 * 1.5 + 1.5 * 3 + 3 * 2))
    assert absorption_m2(500, 0.8) == pytest.approx(100)


@given(
    radius=st.floats(1, 5), room=st.floats(50, 2000), level=st.floats(60, 100), far=st.floats(1, 9)
)
def test_power_goes_out_and_comes_back(radius: float, room: float, level: float, far: float):
    """On a half sphere in the same room the level comes back: K2 is the room's own share."""
    found = sound_power([level] * 10, level - 30, hemisphere_m2(radius), room)
    assert level_at_db(found.level_db, radius, room) == pytest.approx(level)
    assert level_at_db(found.level_db, far, 1e12) == pytest.approx(
        found.level_db - 20 * math.log10(far) - 10 * math.log10(2 * math.pi)
    )
    assert level_at_db(found.level_db, far, room) > level_at_db(found.level_db, far, 2 * room)


def test_sizes_that_are_none_are_refused():
    for call in (
        lambda: hemisphere_m2(0),
        lambda: box_m2(1, 1, float("nan"), 1),
        lambda: absorption_m2(100, 0),
        lambda: room_db(10, -1),
        lambda: sound_power([], 50, 10, 10),
        lambda: sound_power([80.0], 50, 0, None),
        lambda: level_at_db(90, 0, 10),
    ):
        with pytest.raises(Unusable):
            call()
