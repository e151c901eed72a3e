"""Recordings of sound: what is said of them, and what each bad one still says."""

from __future__ import annotations

import math
from datetime import datetime

import numpy as np
import pytest
from tests.cases.prove.sounds import BANDS, FULL, RATE, noise, notes, recorded, table, told, tone
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.cases.prove import noise_day
from retrue.cases.prove.sound import Asked, sound
from retrue.cases.prove.sound_calibration import USUAL_OFFSET_DB, calibration
from retrue.cases.prove.sound_watch import watch_rows
from retrue.science.exposure import Stay
from retrue.science.sound_level import total_db


def test_the_keys_are_there_and_the_caution_stands_first():
    made = told(recorded(tone(1000, 0.1)), offset_db=FULL)
    for key in ("level_a_db", "level_c_db", "level_z_db"):
        assert made[key] == pytest.approx(20 * math.log10(0.1 / 2e-5), abs=0.02)
    assert made["calibrated"] is True
    assert made["schema"] == "prove.sound.1"
    loudest = max(made["bands"], key=lambda band: band["level_db"])
    assert loudest["frequency_hz"] == 1000
    proof = sound(Asked(sound=recorded(tone(1000, 0.1))))
    assert proof.cautions[0].startswith(noise_day.CAUTION)


def test_the_caution_is_that_of_the_library():
    words = load(only=("turning_centre",))["turning_centre"].cautions["X42"]
    assert (words.text, words.defers_to) == (noise_day.CAUTION, noise_day.DEFERS_TO)


@pytest.mark.parametrize("hz", [250, 1000])
@pytest.mark.parametrize("level", [94, 114])
def test_a_known_level_sets_the_scale(hz: float, level: float):
    """IEC 60942: the tone is 94 dB, hum and hiss beside it do not count."""
    known = recorded(tone(hz, 0.05) + tone(50, 0.005) + noise(0.002), name="known.wav")
    made = told(recorded(tone(1000, 0.5)), known=known, known_db=level)
    assert made["level_a_db"] == pytest.approx(level + 20, abs=0.02)
    assert "octave of" in notes(made)
    assert made["uncertainty"]["level_a_db"] == pytest.approx(2.0, abs=0.3)


def test_a_known_level_that_is_no_tone_is_what_a_meter_read():
    """Noise beside a meter that showed 80 dB(A): the same noise again is 80 dB(A)."""
    one = recorded(noise(0.01))
    made = told(one, known=one, known_db=80)
    assert made["level_a_db"] == pytest.approx(80)
    assert "no pure tone" in notes(made)


def test_without_a_known_level_it_is_indicative():
    made = told(recorded(tone(1000, 0.1)))
    assert made["calibrated"] is False
    assert made["level_a_db"] == pytest.approx(USUAL_OFFSET_DB - 20, abs=0.02)
    assert made["uncertainty"]["level_a_db"] == pytest.approx(5.0, abs=0.05)
    assert "indicative" in made["headline"]
    assert "no evidence" in " ".join(made["cautions"])


def test_a_clipped_recording_says_what_it_still_can():
    loud = np.clip(tone(1000, 1.0), -1, 1)
    made = told(recorded(loud, clipped_share=(0.5,)), offset_db=FULL)
    assert made["peak_c_db"] is None
    assert "cut off" in made["why"]["peak_c_db"]
    assert made["headline"].startswith("At least")
    assert "at least as loud" in " ".join(made["warnings"])
    with pytest.raises(Unusable, match="cut off"):
        calibration(recorded(loud, clipped_share=(0.5,)))


def test_the_loudest_channel_is_taken_and_named():
    made = told(recorded(tone(1000, 0.02), tone(1000, 0.1)), offset_db=FULL)
    assert (made["channel"], made["channels"]) == (2, 2)
    assert made["level_a_db"] == pytest.approx(20 * math.log10(0.1 / 2e-5), abs=0.02)
    assert "right was taken" in notes(made)
    assert "do not hear the same" in notes(made)
    left = told(recorded(tone(1000, 0.02), tone(1000, 0.1)), offset_db=FULL, channel=1)
    assert left["level_a_db"] == pytest.approx(made["level_a_db"] - 20 * math.log10(5), abs=0.02)
    dead = recorded(tone(1000, 0.02), np.zeros(4 * RATE))
    assert "right silent" in notes(told(dead))
    with pytest.raises(Unusable, match="right is silent"):
        told(dead, channel=2)
    with pytest.raises(Unusable, match="no channel 3"):
        told(dead, channel=3)


def test_before_is_heard_in_the_same_channel():
    """The louder channel changes over; the change is that of the one that was taken now."""
    after, before = recorded(tone(500, 0.1), tone(500, 0.01)), recorded(tone(500, 0.2), noise(0.9))
    made = told(after, before=before, offset_db=FULL)
    assert made["channel"] == 1
    assert made["change_a_db"] == pytest.approx(-6.02, abs=0.02)


@pytest.mark.parametrize(
    ("rate", "seconds", "says"),
    [
        (8000, 4, "nothing over 4\u202f000 Hz was recorded"),
        (44100, 4, "bands over 16\u202f000 Hz are left out"),
        (48000, 1, "1.0 s are too short for the bands under 50 Hz"),
    ],
)
def test_what_rate_and_length_leave_out_is_said(rate: int, seconds: float, says: str):
    made = told(recorded(noise(0.1, seconds, rate=rate), rate=rate))
    assert says in notes(made)
    assert made["level_a_db"] is not None


def test_what_is_not_steady_is_said():
    swinging = np.concatenate([tone(1000, 0.01), tone(1000, 0.1)])
    made = told(recorded(swinging), offset_db=FULL)
    assert made["high_a_db"] - made["low_a_db"] == pytest.approx(20, abs=0.1)
    assert "not steady" in notes(made)
    assert "not steady" not in notes(told(recorded(noise(0.1))))


def test_the_background_is_taken_off_band_by_band():
    """ISO 3744:2010, 8.2.3: tone 20 dB over its band's noise, noise of machine and room alike."""
    room = noise(0.01, 20, "room")
    both = noise(0.01, 20, "room") + noise(0.01, 20, "own") + tone(500, 0.05, 20)
    made = told(recorded(both), background=recorded(room, name="room.wav"), offset_db=FULL)
    bands = {band["frequency_hz"]: band for band in made["bands"]}
    assert bands[500]["background_ruling"] == "nothing"
    assert bands[500]["machine_db"] == bands[500]["level_db"]
    for hz in (2000, 4000, 8000):  # 3 dB over: less than 6, an upper bound
        assert bands[hz]["background_ruling"] == "upper_bound"
        assert bands[hz]["level_db"] - bands[hz]["machine_db"] == pytest.approx(1.2563, abs=1e-4)
    assert made["background_ruling"] == "taken"
    exact = total_db([made["machine_a_db"], made["background_a_db"]])
    assert exact == pytest.approx(made["level_a_db"])
    assert "upper bounds" in notes(made)


def test_the_doubt_of_a_band_is_that_of_its_time():
    """Ten repetitions of the same noise, changed by nothing: nearly all bands inside the doubt."""
    outside = count = 0
    for turn in range(10):
        pair = [recorded(noise(0.1, 2, f"{turn}{which}")) for which in "ab"]
        made = told(pair[0], before=pair[1], offset_db=FULL)
        for band in made["bands"]:
            count += 1
            outside += abs(band["change_db"]) > band["change_give_or_take_db"]
    assert outside / count < 0.05


def test_a_peak_is_held_against_its_limits():
    """2003/10/EC: 135, 137 and 140 dB(C) (from memory)."""
    stay = [Stay(80, 1)]
    for peak, says in ((136, "lower action"), (138, "upper action"), (141, "the EU limit")):
        assert says in noise_day.finds(stay, 0, peak)[-1]
    assert "peak" not in " ".join(noise_day.finds(stay, 0, 134))


def test_a_dose_of_half_is_the_action_level():
    """29 CFR 1910.95(c)(1): an action level is reached at 50 %, a limit is passed over 100 %."""
    assert "over 50" in noise_day.finds([Stay(85, 8)])[0]
    assert "under 100" in noise_day.finds([Stay(90, 8)])[1]


def test_what_does_not_belong_together_is_refused():
    one = recorded(tone(1000, 0.1))
    for more in ({"known_db": 94}, {"known": one, "offset_db": 100}, {"checked": True},
                 {"offset_db": 1000}, {"known": one, "known_db": 20}):  # fmt: skip
        with pytest.raises(Unusable):
            told(one, **more)
    with pytest.raises(Unusable) as refused:
        told(table("level_a_db\n80\n"), known=one, channel=2)
    assert {problem.where for problem in refused.value.problems} == {"calibration_file", "channel"}


def test_files_of_two_rates_are_compared_as_far_as_both_reach():
    after, before = recorded(noise(0.1)), recorded(noise(0.2, rate=16000), rate=16000, name="b.wav")
    made = told(after, before=before, offset_db=FULL)
    assert "b.wav was recorded with 16\u202f000 samples" in notes(made)
    with_change = [band["frequency_hz"] for band in made["bands"] if "change_db" in band]
    assert max(with_change) == 6300
    assert "Bands that only one of both files has: 8000" in notes(made)
    silent = told(table("level_c_db\n80\n"), before=table("level_a_db\n80\n"))
    assert "no change can be told" in notes(silent)


def test_every_null_has_its_reason():
    for one in (table("level_c_db\n80\n"), table(BANDS), recorded(noise(0.1))):
        made = told(one)
        assert {key for key, value in made.items() if value is None} <= set(made["why"])


def test_a_recording_is_readings_of_a_watch():
    """It gets ten decibels louder after half its time; what is left at the end is left out."""
    begun = datetime.fromisoformat("2026-11-25T20:00:00+01:00")
    one = recorded(np.concatenate([tone(1000, 0.01, 20, 8000), tone(1000, 0.0316228, 25, 8000)]),
                   rate=8000)  # fmt: skip
    rows = watch_rows(one, begun, calibration(offset_db=120))
    assert [round(level) for _, _, level in rows] == [80, 80, 90, 90]
    assert rows[0][:2] == ("2026-11-25T20:00:10+01:00", "sound_db")
    for wrong in ({"every_s": 0.01}, {"every_s": 60}, {"channel": 2}):
        with pytest.raises(Unusable):
            watch_rows(one, begun, calibration(), **wrong)
    with pytest.raises(Unusable, match="no offset"):
        watch_rows(one, begun.replace(tzinfo=None), calibration())


def test_a_meter_beside_a_recorder_leaves_both_doubts():
    """Two instruments: 2 dB each, k = 2, make 2.8; the same recorder twice makes one."""
    after = recorded(tone(1000, 0.1))
    made = told(after, before=table("level_z_db,level_a_db\n80,80\n"), offset_db=FULL)
    both = math.hypot(made["uncertainty"]["level_a_db"], 5.0)
    assert made["uncertainty"]["change_a_db"] == pytest.approx(both, abs=0.1)
    assert "the doubts of both count in full" in notes(made)
    same = told(after, before=recorded(tone(1000, 0.2)), offset_db=FULL)
    assert same["uncertainty"]["change_a_db"] == pytest.approx(1.0, abs=0.2)


def test_the_known_level_is_heard_by_the_microphone_that_hears_the_machine():
    quiet = 0.001 * tone(1000, 1.0)
    known = recorded(quiet, tone(1000, 0.1), name="known.wav")
    made = told(recorded(quiet, tone(1000, 0.1)), known=known, known_db=94)
    assert made["level_a_db"] == pytest.approx(94.0, abs=0.05)
