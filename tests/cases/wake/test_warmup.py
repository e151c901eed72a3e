"""The warm-up calculator: hand-worked values, limits, files, °F, and whatever else is typed."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Refusal, Unusable
from retrue.cases.reckon.method import answered, method
from retrue.cases.reckon.reckoning import flat

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
ONE = method("warmup")
THREE = {"first_c": "25.6694", "second_c": "29.7317", "third_c": "32.6424", "apart_minutes": "10",
         "room_c": "20", "reading_kelvin": "0.02"}  # fmt: skip


def told(**typed):
    return flat(answered(ONE, typed, CAUTIONS))


def table(minutes, seen):
    rows = "".join(f"{at:g},{value:.2f}\n" for at, value in zip(minutes, seen, strict=True))
    return f"minutes,temperature_c\n{rows}".encode()


def warming(rise, tau=15.0, until=90.0, start=20.0, every=3.0):
    at = np.arange(0.0, until + 1e-9, every)
    return table(at, start + rise * (1 - np.exp(-at / tau)))


def test_three_readings_settle_twenty_kelvin_over_the_room_with_thirty_minutes():
    """First-order lag, worked by hand: 20.000 K and 30.000 min over a room of 20 °C."""
    made = told(**THREE)
    assert made["answer"] == "go"
    assert made["settles_c"] == pytest.approx(40.0, abs=2e-3)
    assert made["tau_minutes"] == pytest.approx(30.0, abs=5e-3)
    assert made["three_points_c"] == pytest.approx(made["settles_c"], abs=1e-3)
    assert 0 < made["settles_give_or_take_kelvin"] < 2
    assert made["cautions"][0]["text"].startswith("Low, short, stop once")


def test_growth_is_by_the_rise_and_what_is_left_of_it():
    """Linear expansion, worked by hand: 12e-6 x 300 mm x (40 - 25.67) K = 51.6 um."""
    made = told(**THREE, length_mm="300")
    assert made["growth_um"] == pytest.approx(51.59, abs=0.05)
    assert made["growth_left_um"] == pytest.approx(12e-3 * 300 * (40 - 32.6424), abs=0.05)


def test_three_readings_of_an_ordinary_thermometer_do_not_tell_and_say_so():
    made = told(**{**THREE, "reading_kelvin": "0.5"})
    assert made["answer"] == "get_first"
    assert made["settles_c"] is None
    assert made["why"]["settles_c"]


@pytest.mark.parametrize(
    ("file", "answer", "word"),
    [
        (warming(15.0), "go", "settles"),
        (warming(27.0, until=20.0), "no_go", "heads for"),
        (warming(48.0), "no_go", "over"),
        (table(range(0, 31, 3), 30 + 1.5 * np.exp(np.arange(0, 31, 3) / 12)), "no_go", "faster"),
        (warming(20.0, tau=40.0, until=9.0), "get_first", "cannot be told"),
    ],
)
def test_a_file_is_in_out_or_cannot_be_told_yet(file, answer, word):
    made = told(log=file, room_c="20")
    assert made["answer"] == answer
    assert word in made["headline"]


@pytest.mark.parametrize(
    ("file", "named"),
    [
        (b"minutes,temperature_c\n0,20\n2,21\n1,22\n", "row 4"),
        (b"minutes,temperature_c\n0,20\n1,x\n2,22\n", "row 3"),
        (b"minutes,degrees\n0,20\n1,21\n", "temperature_c"),
        (b"", "log"),
    ],
)
def test_a_bad_file_is_refused_by_its_row_or_column(file, named):
    with pytest.raises(Unusable) as refused:
        told(log=file)
    assert named in " ".join(map(str, refused.value.problems))


def test_two_readings_are_no_warm_up():
    assert told(log=b"minutes,temperature_c\n0,20\n1,21\n")["answer"] == "get_first"


def test_fahrenheit_is_asked_and_a_unit_that_is_written_is_converted():
    asked = told(**{**THREE, "first_c": "68", "second_c": "75", "third_c": "80"})
    assert asked["answer"] == "get_first"
    assert [one["field"] for one in asked["missing"]] == ["first_c", "second_c", "third_c"]
    assert asked["missing"][0]["reason"] == "68 of what, °C or °F"
    written = told(**{**THREE, "first_c": "78.20492 °F"})
    assert written["settles_c"] == pytest.approx(40.0, abs=5e-3)
    assert written["answer"] == "go"


def test_what_has_not_levelled_takes_no_next_step():
    assert any("no next step" in note for note in told(log=warming(15.0, until=21.0))["notes"])
    levelled = told(log=warming(15.0, until=120.0))
    assert not any("no next step" in note for note in levelled["notes"])
    assert abs(levelled["change_kelvin"]) < 0.5


@settings(max_examples=50, deadline=None)
@given(
    st.fixed_dictionaries(
        {},
        optional={
            one.id: st.floats(-50, 1e4, allow_nan=False) for one in ONE.fields if one.id != "log"
        },
    )
)
def test_whatever_is_typed_it_answers_in_plain_json_or_refuses(typed: dict[str, Any]):
    try:
        made = told(**typed)
    except Refusal:
        return
    assert "safe" not in json.dumps(made, allow_nan=False).lower()
