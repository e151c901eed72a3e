"""Sums, backgrounds and sources against printed values; laws over random levels."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.science.sound_level import (
    background_correction,
    background_db,
    mean_db,
    sources,
    total_db,
    without_db,
)

LEVEL = st.floats(20, 130)


@pytest.mark.parametrize(
    ("levels", "printed", "within"),
    [
        ([85, 87, 89], 92, 0.5),  # secondary source, prints 92
        ([85, 87, 89], 92.07, 0.005),  # by hand; a tonal sum would give 90.31
        ([80, 80], 83.01, 0.005),  # handbook of a sound level meter, prints 83
        ([70] * 10, 80, 1e-9),
        ([80, -math.inf], 80, 1e-9),
    ],
)
def test_sums_as_printed(levels: list[float], printed: float, within: float):
    assert total_db(levels) == pytest.approx(printed, abs=within)


def test_a_mean_carries_the_energy():
    assert mean_db([85, 87, 89]) == pytest.approx(87.30, abs=0.005)
    assert mean_db([85, 87, 89]) == pytest.approx(total_db([85, 87, 89]) - 10 * math.log10(3))


@pytest.mark.parametrize(
    ("both", "part", "printed", "within"),
    [
        (70, 63, 69, 0.05),  # secondary source: manual of a sound level meter
        (55, 50, 53.3, 0.06),  # secondary source; exact 53.35
        (93, 89, 90.795, 0.0005),  # by hand; a page prints 90.7, see below
    ],
)
def test_differences_as_printed(both: float, part: float, printed: float, within: float):
    assert without_db(both, part) == pytest.approx(printed, abs=within)


def test_a_bad_print_of_a_difference_is_missed():
    """93 less 89 is printed as 90.7 by a secondary source: it is 90.8."""
    assert abs(without_db(93, 89) - 90.7) > 0.05


@pytest.mark.parametrize(
    ("over", "k1"),
    [(3, 3.02), (4, 2.20), (5, 1.65), (6, 1.26), (7, 0.97), (8, 0.75), (9, 0.58), (10, 0.46),
     (12, 0.28), (15, 0.14)],
)  # fmt: skip
def test_background_is_the_table_of_the_standard(over: float, k1: float):
    """ISO 3744:2010, 8.2.3; 0.46 and 1.26 are also in ECMA TR/107."""
    assert background_db(over) == pytest.approx(k1, abs=0.005)


@pytest.mark.parametrize(
    ("over", "engineering", "survey"),
    [
        (20, (0.0, "nothing"), (0.0, "nothing")),
        (15.1, (0.0, "nothing"), (0.0, "nothing")),
        (15.0, (0.1396, "taken"), (0.1396, "taken")),
        (6.0, (1.2563, "taken"), (1.2563, "taken")),
        (5.9, (1.2563, "upper_bound"), (1.2903, "taken")),
        (3.0, (1.2563, "upper_bound"), (3.0206, "taken")),
        (2.9, (1.2563, "upper_bound"), (3.0206, "upper_bound")),
        (-5.0, (1.2563, "upper_bound"), (3.0206, "upper_bound")),
    ],
)
def test_the_rule_of_three_six_and_fifteen(
    over: float, engineering: tuple[float, str], survey: tuple[float, str]
):
    """ISO 3744:2010, 8.2.3; ISO 3746:2010, 8.2.3 (3 dB from memory)."""
    for grade, (k1, ruling) in (("engineering", engineering), ("survey", survey)):
        found = background_correction(over, grade)
        assert found.k1_db == pytest.approx(k1, abs=5e-5)
        assert found.ruling == ruling


@given(a=LEVEL, b=LEVEL)
def test_taking_off_undoes_adding(a: float, b: float):
    both = total_db([a, b])
    assert both >= max(a, b)
    assert both <= max(a, b) + 3.0103
    if both - b > 1e-3:
        assert without_db(both, b) == pytest.approx(a, abs=1e-4)


@given(levels=st.dictionaries(st.sampled_from("abcde"), st.floats(60, 95), min_size=2))
def test_sources_come_back_from_switching_off(levels: dict[str, float]):
    everything = total_db(list(levels.values()))
    off = {name: total_db([v for n, v in levels.items() if n != name]) for name in levels}
    found = sources(everything, off)
    for one in found:
        if one.level_db is not None and one.gain_db > 1e-6:
            assert one.level_db == pytest.approx(levels[one.name], abs=1e-3)
        rest = off[one.name]
        if abs(levels[one.name] - rest + 10) > 1e-6:
            assert one.worth_treating == (levels[one.name] > rest - 10)
    told = [levels[one.name] for one in found if one.level_db is not None]
    assert told == sorted(told, reverse=True) or np.diff(told).max() < 1e-6


def test_what_the_readings_cannot_tell_is_not_told():
    """Half a decibel of doubt: a change of 0.3 dB says nothing of the fan's level."""
    pump, fan = sources(84.0, {"fan": 83.7, "pump": 80.0}, give_or_take_db=0.5)
    assert (pump.name, fan.name) == ("pump", "fan")
    assert pump.worth_treating
    assert fan.level_db is None
    assert fan.worth_treating is None
    assert fan.gain_at_most_db == pytest.approx(0.8)
    assert fan.at_most_db == pytest.approx(without_db(84.0, 84.0 - fan.gain_at_most_db))


def test_a_little_louder_is_the_doubt_and_more_is_another_state():
    """Up to one decibel, or the doubt where that is more (our own rule)."""
    (fan,) = sources(80, {"fan": 80.95})
    assert (fan.level_db, fan.gain_db, fan.worth_treating) == (None, 0, False)
    with pytest.raises(Unusable, match=r"with fan off it is 1\.1 dB louder"):
        sources(80, {"fan": 81.06})
    assert sources(80, {"fan": 81.9}, 2.0)[0].level_db is None


def test_a_place_without_time_counts_for_nothing():
    assert mean_db([90, 80], [1, 0]) == pytest.approx(90)


def test_nonsense_is_refused_by_name():
    with pytest.raises(Unusable, match="as loud as the whole"):
        without_db(80, 80)
    with pytest.raises(Unusable, match="louder"):
        sources(80, {"fan": 85})
    for wrong in ([], [float("nan")], [float("inf")]):
        with pytest.raises(Unusable):
            total_db(wrong)
    with pytest.raises(Unusable):
        mean_db([80, 90], [1])
    with pytest.raises(Unusable):
        background_correction(float("nan"))
    with pytest.raises(Unusable):
        background_db(0)
