"""Sound at the keyboard: a recording or a table in; lines, one JSON object, a picture out."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import soundfile
from tests.cli.measuring import HOME, told

RATE = 8000


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A machine before and after, the empty room, a known level; in telephone quality."""
    made = tmp_path_factory.mktemp("sound")
    noise = np.random.Generator(np.random.Philox(3)).standard_normal((4, 6 * RATE))
    tone = np.sqrt(2) * np.sin(2 * np.pi * 1000 * np.arange(6 * RATE) / RATE)
    for name, sound in {
        "before": 0.2 * noise[0] + 0.02 * noise[1],
        "after": 0.05 * noise[2] + 0.02 * noise[1],
        "room": 0.002 * noise[3],
        "known": 0.1 * tone,
    }.items():
        soundfile.write(made / f"{name}.wav", np.clip(sound, -1, 1), RATE, subtype="PCM_16")
    (made / "off.csv").write_text("switched_off;level_a_db\nnone;84\npump;80,5\nfan;83,9\n")
    (made / "call.m4a").write_bytes(b"\x00\x00\x00\x18ftypM4A and so on")
    (made / "cut.wav").write_bytes((made / "after.wav").read_bytes()[:20000])
    return made


def test_before_and_after_in_one_call(call, folder, tmp_path):
    arguments = ("prove", "sound", folder / "after.wav", "--before", folder / "before.wav",
                 "--background", folder / "room.wav", "--calibration-file", folder / "known.wav",
                 "--calibration-db", "94", "--hours", "6")  # fmt: skip
    answer = told(call(*arguments, "--json"))
    assert answer["schema"] == "prove.sound.1"
    assert answer["calibrated"] is True
    assert answer["change_a_db"] == pytest.approx(-11.4, abs=0.4)
    assert {"frequency_hz", "level_db", "machine_db", "change_db"} <= set(answer["bands"][0])
    assert answer["osha_dose_percent"] > 0
    door = call(*arguments, "--picture", tmp_path / "bands.svg")
    assert door.code == 0
    assert door.out.index("Over 80 dBA") < door.out.index("Quieter by")
    assert "How long this level fills a day" in door.out
    assert "8\u202f000 samples a second" in " ".join(door.out.split("\n  "))
    assert (tmp_path / "bands.svg").read_text(encoding="utf-8").startswith("<svg")


def test_which_source_first(call, folder):
    door = call("prove", "sound", folder / "off.csv", "--meter-checked")
    assert door.code == 0
    assert "First: pump. Silencing it altogether takes off 3.5 dB" in door.out
    picture = call("prove", "sound", folder / "off.csv", "--picture", folder / "none.svg")
    assert picture.code == 2
    assert "without bands there is no picture" in picture.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["call.m4a"], "M4A"),
        (["cut.wav"], "damaged or cut off"),
        (["nowhere.wav"], "cannot be read"),
        (["after.wav", "--channel", "2"], "no channel 2"),
        (["after.wav", "--calibration-db", "94"], "no recording"),
        (["after.wav", "--calibration-file", "off.csv"], "no recording of sound"),
        (["off.csv", "--channel", "1"], "does not belong"),
        (["after.wav", "--hours", "30"], "not between 0 and 24"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(call, folder, arguments, says):
    """Exit 2; for programs as one object."""
    here = [str(folder / one) if "." in one else one for one in arguments]
    door = call("prove", "sound", *here)
    assert door.code == 2
    assert says in " ".join(door.err.split())
    answer = json.loads(call("prove", "sound", *here, "--json").out)
    assert answer["remedy"]


@pytest.mark.parametrize("id", ["exposure", "soundpower", "treatment"])
def test_the_calculators_of_sound_answer_at_the_keyboard(call, id):
    from retrue.cases.reckon.method import method

    door = call("prove", id, *method(id).example, "--json")
    answer = json.loads(door.out)
    assert answer["schema"] == f"prove.{id}.1"
    assert answer["cautions"][0]["text"].startswith("Over 80 dBA")


def test_each_key_of_an_answer_is_in_the_manual(call, folder):
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    common = manual.split("## Results of measuring")[1].split("\n### ")[0]
    mine = manual.split("### prove.sound.1")[1].split("\n### ")[0]
    files = ("--before", folder / "before.wav", "--background", folder / "room.wav")
    keys = set(told(call("prove", "sound", folder / "after.wav", *files, "--hours", "6", "--json")))
    keys |= set(told(call("prove", "sound", folder / "off.csv", "--json")))
    assert {key for key in keys if f"`{key}`" not in common + mine} == set()
    for key in ("sources", "change", "machine_a_db", "lex_8h_db"):
        assert key in keys


def test_the_examples_say_what_their_remarks_promise(call):
    here = HOME / "examples" / "prove"
    damped = told(call("prove", "sound", here / "sound.csv", "--meter-checked", "--json"))
    assert damped["change_a_db"] == pytest.approx(-10, abs=0.5)
    assert damped["bands_per_octave"] == 1
    first = told(call("prove", "sound", here / "sound-sources.csv", "--meter-checked", "--json"))
    assert [one["name"] for one in first["sources"]] == ["belt", "coolant pump", "cabinet fan"]
