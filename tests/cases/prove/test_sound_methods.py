"""Calculators of sound: published numbers, each limit from both sides, anything that is typed."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.library import load

from retrue.base.refusals import Refusal, Unusable
from retrue.cases.reckon.method import Field, answered, method, values_of
from retrue.cases.reckon.reckoning import Reckoning, flat
from retrue.science.sound_level import total_db

CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
SOUND = ("exposure", "soundpower", "treatment")


def told(id: str, **typed: str) -> Reckoning:
    return answered(method(id), typed, CAUTIONS)


def value(made: Reckoning, key: str) -> float:
    found = next(one.value for one in made.figures if one.key == key)
    assert found is not None
    return found


@pytest.mark.parametrize("id", SOUND)
def test_the_caution_on_noise_stands_before(id: str):
    made = told(id)
    assert made.cautions[0].text.startswith("Over 80 dBA")
    assert made.answer == "get_first"


@pytest.mark.parametrize("id", SOUND)
def test_the_example_runs(id: str):
    words = method(id).example
    pairs = zip(words[::2], words[1::2], strict=True)
    typed = {flag.removeprefix("--").replace("-", "_"): text for flag, text in pairs}
    assert told(id, **typed).figures
    assert values_of(method(id), typed)


def test_a_mixed_day():
    """29 CFR 1910.95, appendix A: 95 dBA 2 h, 90 4 h, 85 2 h make 112.5 % (computed twice)."""
    made = told("exposure", stays="95 2; 90 4; 85 2")
    assert value(made, "osha_dose_percent") == pytest.approx(112.5)
    assert value(made, "osha_twa_db") == pytest.approx(90.85, abs=0.005)
    assert value(made, "niosh_dose_percent") == pytest.approx(435.7, abs=0.05)
    assert value(made, "lex_8h_db") == pytest.approx(91.37, abs=0.005)
    assert made.answer == "no_go"
    again = told("exposure", stays="95 dB(A) 120 min; 90dBA 4h", level_db="85", stay_hours="2")
    assert value(again, "osha_dose_percent") == pytest.approx(112.5)


@pytest.mark.parametrize(
    ("more", "answer"),
    [
        ({"stays": "116 0.001"}, "no_go"),
        ({"stays": "114 0.001"}, "get_first"),
        ({"stays": "70 8", "peak_c_db": "141"}, "no_go"),
        ({"stays": "70 8", "peak_c_db": "136"}, "get_first"),
        ({"stays": "70 8", "peak_c_db": "134"}, "go"),
    ],
)
def test_no_hours_make_good_what_is_over_the_ceiling(more: dict[str, str], answer: str):
    """29 CFR 1910.95, table G-16: 115 dBA last. 2003/10/EC, 3: 137 dB(C), from memory."""
    assert told("exposure", **more).answer == answer


@pytest.mark.parametrize(
    ("level", "answer"), [("82.9", "go"), ("83.1", "get_first"), ("87.1", "no_go")]
)
def test_eight_hours_are_judged_with_their_doubt(level: str, answer: str):
    """NIOSH 98-126 and the EU upper action value: 85 dB(A) for eight hours, give or take two."""
    assert told("exposure", stays=f"{level} 8").answer == answer
    assert told("exposure", stays="84.9 8", doubt_db="0").answer == "go"
    assert told("exposure", stays="85.1 8", doubt_db="0").answer == "no_go"


def test_a_spindle_without_its_covers_and_with_damped_ones():
    """93 dB, ten less with sheets on its covers (common practice, no source)."""
    made = told("treatment", level_db="93", measured_after_db="83")
    assert value(made, "least_share") == pytest.approx(0.9)
    assert "at least 90 % of the sound power" in made.headline
    assert [row[1:] for row in made.listings[0].rows] == [
        ("5.3 h", "21.1 h"), ("1.3 h", "12.7 h"), ("24 min", "4.0 h"), ("1.3 h", "12.7 h"),
        ("2.0 h", "20.1 h"),
    ]  # fmt: skip
    known = told("treatment", level_db="93", measured_after_db="83", drop_db="13")
    assert 10 ** ((value(known, "part_was_db") - 93) / 10) == pytest.approx(0.9 / 0.9499, abs=1e-3)
    odd = told("treatment", level_db="93", measured_after_db="83", drop_db="8")
    assert "alone cannot" in odd.against[0].reason
    assert told("treatment", level_db="83", measured_after_db="93").answer == "no_go"


def test_damping_one_of_two_equal_parts():
    """Two parts of 79 dB; ten times the loss factor on one: 79.41 dB, 2.6 less (computed twice)."""
    whole = f"{total_db([79, 79]):.4f}"
    made = told("treatment", level_db=whole, part_db="79", loss_before="0.005", loss_after="0.05")
    assert value(made, "after_db") == pytest.approx(79.41, abs=0.005)
    assert value(made, "most_gain_db") == pytest.approx(3.01, abs=0.005)
    by_absence = told("treatment", level_db=whole, without_db="79", drop_db="10")
    assert value(by_absence, "part_db") == pytest.approx(79, abs=0.001)
    assert value(by_absence, "after_db") == pytest.approx(79.41, abs=0.005)


def test_a_glued_sheet():
    """Oberst: e = 5e8/2.1e11, h = 2, loss factor 0.5 (from memory): the panel gets 0.064."""
    sheet = {"sheet_loss": "0.5", "sheet_mpa": "500", "sheet_mm": "3", "panel_mm": "1.5"}
    made = told("treatment", level_db="82", part_db="79", loss_before="0.0064",
                frequency_hz="1000", **sheet)  # fmt: skip
    assert value(made, "loss_share") == pytest.approx(0.1276, abs=5e-5)
    assert value(made, "loss_after") == pytest.approx(0.064, abs=5e-4)
    assert value(made, "drop_db") == pytest.approx(10, abs=0.05)
    assert value(made, "keeps_back_db") == pytest.approx(34.4, abs=0.1)
    assert "11.8 kg a square metre" in " ".join(made.assumed), "7850 kg/m3 of steel, 1.5 mm"
    weak = told("treatment", level_db="82", part_db="79", loss_after="0.005")
    assert "does not damp" in weak.against[0].reason


def test_a_part_ten_decibels_under_the_rest_is_not_worth_it():
    """Common practice, no source: from both sides of ten decibels."""
    for part, answer in (("70.1", "go"), ("69.9", "no_go")):
        level = f"{total_db([80, float(part)]):.4f}"
        assert told("treatment", level_db=level, part_db=part, drop_db="20").answer == answer
    alone = told("treatment", level_db="80", part_db="80", drop_db="6")
    assert value(alone, "after_db") == 74
    assert alone.answer == "go"
    assert told("treatment", level_db="80", without_db="80").answer == "no_go"


TEN = "80 80 80 80 80 80 80 80 80 80"


def test_sound_power_of_a_machine():
    """ISO 3744:2010: 91.776 dB on a half sphere of 2 m in a room of 200 m2 (a library agrees)."""
    made = told("soundpower", levels=TEN, background_db="70", radius_m="2", room_m2="200",
                ear_m="2", your_room_m2="200")  # fmt: skip
    assert value(made, "sound_power_db") == pytest.approx(91.776, abs=0.0005)
    assert value(made, "k1_db") == pytest.approx(0.4576, abs=5e-5)
    assert value(made, "k2_db") == pytest.approx(1.7686, abs=5e-5)
    assert value(made, "at_ear_db") == pytest.approx(79.54, abs=0.005)
    assert made.answer == "go"
    near = told("soundpower", levels=TEN, background_db="77", radius_m="2", room_m2="200")
    assert value(near, "sound_power_db") == pytest.approx(90.978, abs=0.0005)
    assert "too near" in " ".join(near.notes)
    by_time = told("soundpower", levels=TEN, background_db="70", radius_m="2", volume_m3="1250",
                   reverberation_s="1")  # fmt: skip
    assert value(by_time, "sound_power_db") == pytest.approx(91.776, abs=0.0005)
    box = told("soundpower", levels=TEN, background_db="50", length_m="2", width_m="2",
               height_m="2", room_m2="1000000")  # fmt: skip
    assert value(box, "sound_power_db") == pytest.approx(80 + 10 * math.log10(64), abs=0.005)


def test_a_room_that_throws_back_too_much_is_no_place_to_measure():
    """K2 over 7 dB (ISO 3746:2010, from memory): 4 S / A = 4.01."""
    area = 8 * math.pi
    for room, answer in ((4 * area / 4.00, "go"), (4 * area / 4.02, "no_go")):
        made = told("soundpower", levels=TEN, background_db="60", radius_m="2", room_m2=f"{room}")
        assert made.answer == answer
    assert told("soundpower", levels="80 80 80", radius_m="2", room_m2="1000").answer == "no_go"
    open_air = told("soundpower", levels=TEN, radius_m="2")
    assert value(open_air, "sound_power_db") > 0
    assert "upper bound" in " ".join(open_air.notes)


@pytest.mark.parametrize(
    ("id", "typed", "where"),
    [
        ("exposure", {"stays": "95 2; loud 4"}, "stays"),
        ("exposure", {"stays": "95 20; 90 5"}, "stays"),
        ("exposure", {"stays": "950 2"}, "stays"),
        ("exposure", {"stays": "95 2", "doubt_db": "50"}, "doubt_db"),
        ("exposure", {"level_db": "9500"}, "level_db"),
        ("soundpower", {"levels": "80 quiet 81"}, "levels"),
        ("soundpower", {"levels": "80", "background_db": "700"}, "background_db"),
        ("treatment", {"level_db": "82", "part_db": "83"}, "part_db"),
        ("treatment", {"level_db": "8200"}, "level_db"),
        ("treatment", {"level_db": "82", "loss_after": "30"}, "loss_after"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(id: str, typed: dict[str, str], where: str):
    with pytest.raises(Unusable) as refused:
        told(id, **typed)
    assert where in [problem.where for problem in refused.value.problems]


SIZES = [0.0, 1e-6, 0.05, 0.5, 3.0, 12.0, 60.0, 80.0, 85.0, 95.0, 140.0, 2e5, 1e8]
TEXTS = ["", "x", "95 2", "95 2; 90 4", "80 80 80 80", "-5 3", "1e9 1", "9 9 9;9"]


def typed(field: Field) -> st.SearchStrategy[Any]:
    return st.sampled_from(TEXTS if field.sort == "text" else SIZES)


@pytest.mark.parametrize("id", SOUND)
def test_whatever_is_typed_it_answers_or_refuses(id: str):
    one = method(id)

    @settings(max_examples=50, deadline=None)
    @given(st.fixed_dictionaries({}, optional={field.id: typed(field) for field in one.fields}))
    def answers(given_: dict[str, Any]) -> None:
        try:
            made = answered(one, given_, CAUTIONS)
        except Refusal:
            return
        assert "safe" not in json.dumps(flat(made), allow_nan=False).lower()
        if made.answer == "go":
            assert not made.against
            assert not made.missing

    answers()


def test_a_machine_that_is_hardly_over_its_background_is_not_told():
    """ISO 3746:2010, 8.3: 3 dB at least (from memory)."""
    more = {"radius_m": "2", "room_m2": "200"}
    assert told("soundpower", levels=TEN, background_db="85", **more).answer == "get_first"
    one = told("soundpower", levels="60 " + "80 " * 9, background_db="70", **more)
    assert one.answer == "get_first"
    assert "1 of 10" in one.headline
    assert told("soundpower", levels=TEN, background_db="77", **more).answer == "go"


def test_the_better_grade_needs_background_and_room():
    """ISO 3744:2010, 4.4: without its corrections there is no engineering grade (from memory)."""
    grades = [
        next(note for note in told("soundpower", levels=TEN, radius_m="2", **more).notes
             if note.startswith("Grade"))
        for more in ({"background_db": "70", "room_m2": "200"}, {"room_m2": "200"},
                     {"background_db": "70"}, {"background_db": "76", "room_m2": "200"})
    ]  # fmt: skip
    assert ["engineering" in grade for grade in grades] == [True, False, False, False]
