"""Vibration and light at the keyboard: a file in; lines, one JSON object, a picture, a refusal."""

from __future__ import annotations

import io
import json

import numpy as np
import pytest
import soundfile
from tests.cli.measuring import HOME
from tests.science.bearings import GEOMETRIES, recording

MADE = recording(5, "inner_race", 6.0, geometry=GEOMETRIES[0], slip=0.012)
BEARING = ("--balls", "9", "--ball-mm", "7,94", "--pitch-mm", "39.04")
SPEED = ("--speed-rpm", f"{60 * MADE.shaft_hz:.2f}")


@pytest.fixture
def trace(tmp_path):
    rows = "".join(f"{value:.5f}\n" for value in MADE.acceleration)
    path = tmp_path / "nose.csv"
    path.write_text(f"acceleration_m_s2\n{rows}", encoding="utf-8")
    return str(path)


def test_a_table_gives_velocity_lines_and_a_conclusion(call, trace, tmp_path):
    picture = tmp_path / "nose.svg"
    rate = ("--rate-hz", f"{MADE.rate_hz:g}")
    door = call("prove", "vibration", trace, *rate, *SPEED, *BEARING, "--json",
                "--picture", str(picture))  # fmt: skip
    assert door.code == 0, door.err
    told = json.loads(door.out)
    assert told["conclusion"] == "inner_race"
    assert told["velocity_rms_mm_s"] > 0
    assert {frozenset(line) for line in told["lines"]} == {
        frozenset(("name", "expected_hz", "found_hz", "score_db"))
    }
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    door = call("prove", "vibration", trace, *rate, *SPEED, *BEARING, "--limit", "2.8")
    assert door.out.index("guard shut") < door.out.index("mm/s")
    assert "inner race" in door.out


def test_a_file_of_sound_is_the_same_trace_without_its_scale(call, tmp_path):
    path = tmp_path / "nose.wav"
    samples = MADE.acceleration / np.abs(MADE.acceleration).max() * 0.9
    out = io.BytesIO()
    soundfile.write(out, samples, int(MADE.rate_hz), format="WAV", subtype="PCM_24")
    path.write_bytes(out.getvalue())
    told = json.loads(call("prove", "vibration", str(path), *SPEED, *BEARING, "--json").out)
    assert (told["conclusion"], told["velocity_rms_mm_s"]) == ("inner_race", None)
    assert "full scale" in told["why"]["velocity_rms_mm_s"]


def test_what_is_not_said_is_asked_with_exit_two(call, trace, tmp_path):
    door = call("prove", "vibration", trace)
    assert door.code == 2
    assert "readings a second" in door.err
    bare = tmp_path / "bare.csv"
    bare.write_text("acceleration\n" + "0.1\n0.2\n" * 300, encoding="utf-8")
    door = call("prove", "vibration", str(bare), "--rate-hz", "5000")
    assert door.code == 2
    assert "m/s², g or mm/s" in door.err


def test_light_is_told_with_its_caution_first(call, tmp_path):
    path = tmp_path / "table.csv"
    path.write_text("point;lux\n" + "".join(f"{n};{500 + n},5\n" for n in range(9)), "utf-8")
    door = call("prove", "light", str(path), "--task", "fine", "--most-rpm", "4500")
    assert door.code == 0, door.err
    assert door.out.index("seem to stand still") < door.out.index("lux")
    assert "2\u202f000" in door.out
    told = json.loads(call("prove", "light", str(path), "--json").out)
    assert told["mean_lux"] == pytest.approx(504.5)
    assert told["schema"] == "prove.light.1"


def test_each_key_of_vibration_and_light_is_in_the_manual(call, trace, tmp_path):
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    common, *parts = manual.split("## Results of measuring")[1].split("\n### ")
    lux = tmp_path / "lux.csv"
    lux.write_text("lux\n500\n600\n", encoding="utf-8")
    more = ("--rate-hz", f"{MADE.rate_hz:g}", "--baseline-mm-s", "1", "--high-hz", "9000")
    rooms = ("--area-m2", "6", "--lamp-lm", "2900", "--lamps", "1")
    for sort, file, given in (("vibration", trace, more), ("light", str(lux), rooms)):
        mine = next(part for part in parts if part.startswith(f"prove.{sort}.1"))
        for key in json.loads(call("prove", sort, file, *given, "--json").out):
            assert f"`{key}`" in common + mine, key
