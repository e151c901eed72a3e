"""Light: enough, too little, too close to call; how even; what seems to stand still."""

from __future__ import annotations

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.light import flat, prove
from retrue.cases.prove.proof import Conditions
from retrue.cases.prove.table import read_table

NINE = (520, 610, 480, 390, 700, 650, 420, 300, 515)


def table(values, heading="lux"):
    rows = "".join(f"p{at},{value}\n" for at, value in enumerate(values))
    return read_table(f"point,{heading}\n{rows}".encode(), "table.csv")


def answer(values, uncertainty=None, **typed):
    given = {name: str(value) for name, value in typed.items()}
    return flat(prove(table(values), given, Conditions(uncertainty=uncertainty)))


@pytest.mark.parametrize(
    ("task", "ruling"),
    [("rough", "enough"), ("fine", "cannot_tell"), ("inspection", "too_little")],
)
def test_enough_too_little_or_too_close_to_call(task, ruling):
    """EN 12464-1: 300, 500, 750 lux (secondary source); 509 lux give or take 51 (no source)."""
    told = answer(NINE, task=task)
    assert told["mean_lux"] == pytest.approx(sum(NINE) / 9)
    assert told["uniformity"] == pytest.approx(300 / (sum(NINE) / 9))
    assert told["ruling"] == ruling
    assert "unverified" in told["marks"]["wanted_lux"]
    assert (len(told["remedy"]) > 1) == (ruling != "enough")


def test_a_better_meter_decides_sooner():
    assert answer(NINE, uncertainty=5.0, task="fine")["ruling"] == "enough"
    assert answer(NINE, uncertainty=5.0, task="fine")["uncertainty"]["mean_lux"] == 5.0


def test_lamps_are_counted_by_the_lumen_method():
    """17,400 lm on 13.8 m² at 0.6 and 0.8 give 605 lux (worked example, handbooks)."""
    told = answer([605] * 9, task="precision", area_m2=13.8, lamp_lm=2900, lamps=6)
    assert told["expected_lux"] == pytest.approx(605, abs=0.5)
    assert told["lamps_needed"] == 10
    assert "4 more of these lamps" in told["remedy"][1]


def test_speeds_at_which_a_chuck_seems_to_stand_come_with_their_caution():
    told = answer(NINE, most_rpm=6500, alike=3)
    assert told["seems_to_stand_rpm"] == [2000, 4000, 6000]
    assert told["flicker_hz"] == 100
    assert "seem to stand still" in told["cautions"][0]
    assert answer(NINE)["seems_to_stand_rpm"] == []


def test_one_point_is_no_uniformity_and_few_are_told_as_few():
    told = answer([600])
    assert told["uniformity"] is None
    assert "several points" in told["why"]["uniformity"]
    assert "nine" in told["warnings"][0]
    assert any("foot candle" in one for one in answer([50, 60, 70])["warnings"])


def test_the_belief_learns_the_mean():
    proof = prove(table(NINE), {}, Conditions())
    (one,) = proof.measures
    assert one.measure == "M29"
    assert one.value == pytest.approx(509.4, abs=0.1)
    assert one.uncertainty == pytest.approx(50.9, abs=0.1)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (table([600, -5]), "cannot be used"),
        (table([600, 900_000]), "cannot be used"),
        (table([50], "foot_candle"), "foot candles"),
        (table([50], "light"), "lacks a column"),
        (table(["bright"]), "cannot be used"),
    ],
)
def test_what_is_no_light_is_refused_by_its_place(content, words):
    with pytest.raises(Unusable, match=words) as told:
        prove(content, {}, Conditions())
    assert told.value.problems
