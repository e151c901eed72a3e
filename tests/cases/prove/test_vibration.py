"""Vibration: what is not said is asked; what cannot be told is null with its reason."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from tests.science.bearings import GEOMETRIES, recording

from retrue.base.refusals import Unusable
from retrue.cases.prove.proof import Conditions, Limit
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.table import read_table
from retrue.cases.prove.vibration import flat, prove
from retrue.cases.sheet_json import dumps

RATE = 5000.0
COUNT = 20_000
TONE = 4.5e-3 * math.sqrt(2) * 2 * math.pi * 50 * np.cos(2 * np.pi * 50 * np.arange(COUNT) / RATE)
BEARING = {"balls": 9, "ball_mm": 7.94, "pitch_mm": 39.04}


def table(values, heading="acceleration_m_s2", times=None):
    if times is None:
        rows = [heading, *(f"{value:.6f}" for value in values)]
    else:
        pairs = zip(times, values, strict=True)
        rows = [f"time_s,{heading}", *(f"{at:.6f},{value:.6f}" for at, value in pairs)]
    return read_table("\n".join(rows).encode(), "nose.csv")


@cache
def toned():
    """The tone as a file of one column, read once: a table is never changed."""
    return table(TONE)


@cache
def outer_race():
    """A bearing whose outer race is harmed, and its file."""
    made = recording(5, "outer_race", 6.0, geometry=GEOMETRIES[0], slip=0.012)
    return made, table(made.acceleration)


def sound(values, channels=1, **more):
    samples = np.repeat(np.asarray(values, dtype=np.float32)[:, None], channels, axis=1)
    return Recording(name="nose.wav", samples=samples, rate_hz=RATE, **more)


def answer(content, limit=None, **typed):
    conditions = Conditions(limit=None if limit is None else Limit(value=limit))
    return flat(prove(content, {name: str(value) for name, value in typed.items()}, conditions))


@pytest.mark.parametrize(
    ("heading", "scale", "more"),
    [
        ("acceleration_m_s2", 1.0, {}),
        ("acceleration_g", 1 / 9.80665, {}),
        ("acceleration", 1.0, {"unit": "m/s2"}),
        ("acceleration", 1 / 9.80665, {"unit": "g"}),
    ],
)
def test_one_tone_is_the_same_in_every_unit(heading, scale, more):
    """V = a / (2 pi f), by definition; standard gravity 9.80665 m/s²."""
    told = answer(table(TONE * scale, heading), rate_hz=RATE, **more)
    assert told["velocity_rms_mm_s"] == pytest.approx(4.5, rel=1e-3)
    assert told["strongest"][0]["frequency_hz"] == pytest.approx(50.0, abs=0.1)
    assert told["uncertainty"]["velocity_rms_mm_s"] == pytest.approx(0.15 * 4.5, rel=1e-3)
    assert told["why"]["conclusion"]


def test_a_column_may_be_named_as_its_recorder_wrote_it():
    rows = "".join(f"{value:.6f}\t0\n" for value in TONE)
    content = read_table(f"Acc X [m/s²]\tAcc Y\n{rows}".encode(), "nose.csv")
    told = answer(content, column="Acc X [m/s²]", unit="m/s2", rate_hz=RATE)
    assert told["velocity_rms_mm_s"] == pytest.approx(4.5, rel=1e-3)


def test_velocity_is_taken_as_it_is_and_times_tell_the_rate():
    times = np.arange(COUNT) / RATE
    speed = 3 * math.sqrt(2) * np.sin(2 * np.pi * 80 * times)
    told = answer(table(speed, "velocity_mm_s", times), speed_rpm=4800, **BEARING)
    assert told["velocity_rms_mm_s"] == pytest.approx(3.0, rel=1e-3)
    assert told["rate_hz"] == pytest.approx(RATE, rel=1e-6)
    assert (told["conclusion"], "acceleration" in told["why"]["conclusion"]) == (None, True)


@pytest.mark.parametrize(
    ("made", "typed", "field", "words"),
    [
        (lambda: table(TONE, "acceleration"), {"rate_hz": 5000}, "unit", "m/s², g or mm/s"),
        (toned, {}, "rate_hz", "how many readings a second"),
        (toned, {"rate_hz": 5000, "unit": "g"}, "unit", "another unit"),
        (lambda: table(TONE, times=np.arange(COUNT) / RATE), {"rate_hz": 1000}, "rate_hz",
         "another rate"),
        (lambda: table(TONE, "x"), {"rate_hz": 5000}, "column", "no column"),
        (lambda: table(TONE[:100]), {"rate_hz": 5000}, "nose.csv", "too few"),
        (lambda: table(TONE, times=np.arange(COUNT) * 0.2), {}, "rate_hz", "no vibration"),
        (lambda: table(TONE, times=np.floor(np.arange(COUNT) / 5) / 1000), {}, "time_s",
         "rounded"),
        (lambda: sound(TONE), {"full_scale": 50}, "unit", "m/s², g or mm/s"),
        (lambda: sound(TONE), {"channel": 3}, None, "no channel"),
        (toned, {"rate_hz": 5000, "balls": 9, "ball_mm": 40, "pitch_mm": 39}, "ball_mm",
         "no bearing"),
        (toned, {"rate_hz": 5000, "speed_rpm": 1800, "envelope_low_hz": 3000, **BEARING},
         "envelope_low_hz", "none"),
        (toned, {"rate_hz": 5000, "slip_share": 3}, "slip_share", "slip"),
        (toned, {"rate_hz": 5000, "low_hz": 1000, "high_hz": 10}, "high_hz", "band ends"),
        (lambda: table(TONE * 0), {"rate_hz": 5000}, None, "the same all along"),
        (toned, {"rate_hz": "fast"}, "rate_hz", "cannot be used"),
    ],
)  # fmt: skip
def test_what_is_not_said_or_contradicts_itself_is_asked_not_guessed(made, typed, field, words):
    content = made()
    with pytest.raises(Unusable) as refusal:
        answer(content, **typed)
    assert words in refusal.value.reason
    assert refusal.value.remedy
    assert field is None or field in [one.where for one in refusal.value.problems]


def test_what_a_slow_or_short_recording_reaches_is_told_under_another_name():
    slow = answer(table(TONE[::4]), rate_hz=1250)
    assert slow["velocity_rms_mm_s"] is None
    assert "reaches" in slow["why"]["velocity_rms_mm_s"]
    assert slow["velocity_part_mm_s"] == pytest.approx(4.5, rel=2e-3)
    short = answer(table(TONE[:2500]), rate_hz=5000)
    assert short["velocity_rms_mm_s"] is None
    assert short["velocity_part_mm_s"] == pytest.approx(4.5, rel=1e-2)


def test_gaps_a_clock_that_jumps_and_an_uneven_beat_are_named():
    times = np.arange(COUNT) / RATE
    gap = answer(table(TONE, times=np.where(np.arange(COUNT) < 5000, times, times + 1)))
    assert gap["velocity_rms_mm_s"] == pytest.approx(4.5, rel=1e-3)
    assert gap["seconds"] == pytest.approx(3.0, abs=0.01)
    assert "row 5002" in gap["warnings"][0]
    back = answer(table(TONE, times=np.where(np.arange(COUNT) < 12_000, times, times - 1)))
    assert "jumps back at row 12002" in back["warnings"][0]
    draw = np.random.Generator(np.random.Philox(3))
    wavers = answer(
        table(TONE, times=times + draw.uniform(-0.2, 0.2, COUNT) / RATE), speed_rpm=1800, **BEARING
    )
    assert "uneven" in wavers["warnings"][0]
    assert wavers["velocity_rms_mm_s"] is None
    assert (wavers["conclusion"], "uneven" in wavers["why"]["conclusion"]) == (None, True)


def test_cut_off_tops_and_the_earth_s_pull_are_named_and_the_belief_learns_nothing_of_them():
    proof = prove(table(np.clip(TONE, -1, 1)), {"rate_hz": "5000"}, Conditions())
    assert any("cut off" in one for one in proof.warnings)
    assert proof.measures == ()
    whole = prove(toned(), {"rate_hz": "5000"}, Conditions())
    assert [one.measure for one in whole.measures] == ["M27"]
    asked = answer(table(TONE + 1.0), rate_hz=5000)
    assert any("was it in g" in one for one in asked["warnings"])
    other = answer(table(TONE + 9.81, "acceleration_g"), rate_hz=5000)
    assert any("m/s²" in one for one in other["warnings"])
    narrow = prove(toned(), {"rate_hz": "5000", "low_hz": "20"}, Conditions())
    assert narrow.measures == ()


def test_flat_tops_below_full_scale_are_cut_off_and_floats_over_it_are_not():
    """The same tone: cut at half of full scale; over full scale in floats; quiet, of few steps."""
    t = np.arange(COUNT) / RATE
    tone = np.sin(2 * np.pi * 20 * t)
    cut = answer(sound(np.clip(0.9 * tone, -0.5, 0.5)))
    assert cut["clipped_share"] == pytest.approx(1 - 2 / np.pi * np.arcsin(0.5 / 0.9), abs=0.01)
    assert any("cut off" in one for one in cut["warnings"])
    over = answer(sound(2.5 * tone, clipped_share=(0.7,)))
    assert over["clipped_share"] == 0.0
    few = answer(sound(np.round(tone * 100) / 2**15))
    assert few["clipped_share"] == 0.0
    assert answer(sound(tone, clipped_share=(0.01,)))["clipped_share"] == 0.01


def test_a_mean_off_zero_is_told():
    off = answer(sound(0.5 + TONE / 100))
    assert any("0.500 of full scale off zero" in one for one in off["warnings"])
    scaled = answer(table(TONE + 3.0), rate_hz=5000)
    assert any("3.000 m/s2 off zero" in one for one in scaled["warnings"])
    assert answer(toned(), rate_hz=5000)["warnings"] == []


def test_a_named_part_holds_only_if_nothing_else_turns_until_somebody_says_so():
    made, content = outer_race()
    typed = {"rate_hz": made.rate_hz, **BEARING}
    typed["speed_rpm"] = 60 * made.shaft_hz
    unsaid = answer(content, **typed)
    assert (unsaid["conclusion"], unsaid["others_said"]) == ("outer_race", False)
    places = (unsaid["headline"], unsaid["conclusion_why"], *unsaid["blames"])
    assert all("if nothing else turns near this frequency" in one for one in places)
    assert "Say what else turns" in unsaid["remedy"][0]
    assert any("50 and of 60 Hz" in one for one in unsaid["assumed"])
    plain = answer(content, **typed, nothing_else="yes", mains_hz=50)
    assert (plain["conclusion"], plain["others_said"]) == ("outer_race", True)
    assert "if nothing else" not in plain["headline"] + plain["blames"][0]
    assert not any("mains" in one for one in plain["assumed"])
    struck_hz = next(one["found_hz"] for one in plain["lines"] if one["name"] == "outer_race")
    pump = answer(content, **typed, others_rpm=f"1111 {60 * struck_hz / 9:.2f}")
    assert pump["conclusion"] == "not_conclusive"
    with pytest.raises(Unusable, match="what else turns"):
        answer(content, **typed, others_rpm="fast")


def test_a_file_of_sound_without_its_scale_still_tells_lines():
    bare = answer(sound(TONE / 10), speed_rpm=3000)
    assert (bare["velocity_rms_mm_s"], bare["calibrated"]) == (None, False)
    assert "full scale" in bare["why"]["velocity_rms_mm_s"]
    shaft = bare["lines"][0]
    assert set(shaft) == {"name", "expected_hz", "found_hz", "score_db"}
    assert shaft["found_hz"] == pytest.approx(50.0, abs=0.1)
    scaled = answer(sound(TONE / 10, channels=2), full_scale=10, unit="m/s2")
    assert scaled["velocity_rms_mm_s"] == pytest.approx(4.5, rel=1e-3)
    assert any("2 channels" in one for one in scaled["warnings"])


def test_unbalance_comes_before_a_bearing_and_the_own_baseline_before_the_class():
    told = answer(toned(), rate_hz=5000, speed_rpm=3000, motor_kw=40, baseline_mm_s=1.5)
    finds = told["finds"]
    assert told["baseline_change_db"] == pytest.approx(20 * math.log10(3), abs=0.02)
    assert "baseline" in finds[0]
    assert "not spindles" in finds[1]
    assert "zone C" in finds[1]
    assert "once a turn" in finds[2]


def test_a_limit_is_judged_with_the_doubt_counted():
    good = prove(toned(), {"rate_hz": "5000"}, Conditions(limit=Limit(value=6.0)))
    close = prove(toned(), {"rate_hz": "5000"}, Conditions(limit=Limit(value=5.0)))
    bad = prove(toned(), {"rate_hz": "5000"}, Conditions(limit=Limit(value=2.8)))
    rulings = [one.verdict.ruling for one in (good, close, bad) if one.verdict is not None]
    assert rulings == ["proved_good", "not_proved", "proved_bad"]


def test_an_unknown_bearing_is_told_as_far_as_it_is_known():
    made, content = outer_race()
    rpm = 60 * made.shaft_hz
    base = {"rate_hz": made.rate_hz, "speed_rpm": rpm}
    none = answer(content, **base)
    assert (none["conclusion"], none["between"]) == (None, [])
    count = answer(content, **base, balls=9)
    assert count["conclusion"] is None
    outer = next(one for one in count["between"] if one["name"] == "outer_race")
    assert outer["low_hz"] < 3.58 * made.shaft_hz < outer["high_hz"]
    rings = answer(content, **base, balls=9, bore_mm=25, outside_mm=52)
    assert rings["conclusion"] in ("outer_race", "not_conclusive")
    assert "guessed" in rings["assumed"][0]
    known = answer(content, **base, **BEARING)
    assert known["conclusion"] == "outer_race"
    assert "outer race" in known["blames"][0]
    assert known["envelope_band_hz"][0] < known["envelope_band_hz"][1]


def test_the_picture_shows_the_envelope_with_its_expected_lines():
    made, content = outer_race()
    typed = {"rate_hz": made.rate_hz, "speed_rpm": 60 * made.shaft_hz, **BEARING}
    proof = prove(content, typed, Conditions())
    drawn = proof.drawing
    assert drawn.sort == "envelope"
    assert len(drawn.frequency_hz) <= 1200
    assert drawn.named == ("outer race",)
    line = drawn.lines[0]
    assert line.low_hz < line.found_hz < line.high_hz
    tallest = drawn.frequency_hz[int(np.argmax(drawn.amplitude))]
    assert tallest == pytest.approx(line.found_hz, rel=0.01)


def test_the_same_recording_gives_the_same_bytes_and_cautions_stand_in_it():
    one, two = (dumps(answer(toned(), rate_hz=5000)) for _ in range(2))
    assert one == two
    assert '"schema": "prove.vibration.1"' in one
    assert "guard shut" in answer(toned(), rate_hz=5000)["cautions"][0]
