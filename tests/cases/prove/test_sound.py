"""Sound as an answer: recordings and tables, every bad one named, what can still be said."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest

from retrue.base.chance import stream
from retrue.base.refusals import Unusable
from retrue.cases.prove import noise_day
from retrue.cases.prove.proof import flat
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sound import Asked, sound
from retrue.cases.prove.sound_calibration import USUAL_OFFSET_DB, calibration
from retrue.cases.prove.table import read_table
from retrue.cases.sheet_json import dumps
from retrue.kinds.load import load
from retrue.science.exposure import Stay
from retrue.science.sound_level import total_db

RATE = 48000
FULL = 20 * math.log10(1 / 2e-5)  # offset that makes full scale one pascal


def tone(hz: float, size: float, seconds: float = 4, rate: int = RATE) -> np.ndarray:
    return size * np.sqrt(2) * np.sin(2 * np.pi * hz * np.arange(round(seconds * rate)) / rate)


def noise(size: float, seconds: float = 4, name: str = "a", rate: int = RATE) -> np.ndarray:
    return size * stream(8, name).standard_normal(round(seconds * rate))


def recorded(*channels: np.ndarray, rate: int = RATE, name: str = "machine.wav", **more: object):
    samples = np.column_stack(channels).astype("f4")
    return Recording(name=name, samples=samples, rate_hz=float(rate), **more)


def table(text: str, name: str = "levels.csv"):
    return read_table(text.encode(), name)


def told(sound_: object, **more: object) -> dict:
    made = flat(sound(Asked(sound=sound_, **more)))
    assert json.loads(dumps(made)) == json.loads(dumps(made))
    return made


def notes(made: dict) -> str:
    return " ".join((*made["notes"], *made["warnings"], *made["finds"], *made["cannot_tell"]))


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


@pytest.mark.parametrize(
    ("level", "background", "machine", "ruling", "says"),
    [
        (80, 60, 80.0, "nothing", "nothing is taken off"),
        (70, 63, 69.03, "taken", "1.0 dB taken off"),
        (70, 66, 68.74, "upper_bound", "or less"),
        (70, 72, 68.74, "upper_bound", "or less"),
    ],
)
def test_the_rule_of_the_background_in_words(
    level: float, background: float, machine: float, ruling: str, says: str
):
    made = told(
        table(f"level_a_db\n{level}\n"),
        background=table(f"level_a_db\n{background}\n"),
        checked=True,
    )
    assert made["machine_a_db"] == pytest.approx(machine, abs=0.005)
    assert made["background_ruling"] == ruling
    assert says in notes(made)


def test_covers_that_were_damped():
    """93 dB before, 83 after (common practice, no source): nine tenths, and hours by each rule."""
    made = told(table("level_a_db\n83\n"), before=table("level_a_db\n93\n"), checked=True, hours=8)
    assert made["change_a_db"] == pytest.approx(-10)
    assert made["uncertainty"]["change_a_db"] == pytest.approx(1.0)
    assert "at least 90 % of the sound power" in notes(made)
    assert "it is at least 87 %" in notes(made), "9 dB: with the doubt on the other side"
    hours = {key: made[key] for key in made if key.endswith("_hours")}
    assert hours == pytest.approx(
        {"osha_hours": 21.112, "niosh_hours": 12.699, "eu_lower_hours": 4.0095,
         "eu_upper_hours": 12.679, "eu_limit_hours": 20.095}, rel=1e-4,
    )  # fmt: skip


def test_a_change_within_the_doubt_is_none():
    made = told(table("level_a_db\n80.4\n"), before=table("level_a_db\n81\n"), checked=True)
    assert made["change"] == "same"
    assert "No change that these readings can tell" in made["headline"]
    assert "sound power" not in notes(made)
    louder = told(table("level_a_db\n84\n"), before=table("level_a_db\n81\n"), checked=True)
    assert louder["headline"].startswith("Louder by 3.0")


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


def test_hours_are_judged_with_their_doubt():
    """93 dBA for 2 h is 37.9 % of a US dose (29 CFR 1910.95); 2 dB more would be 50."""
    made = told(table("level_a_db\n93\n"), checked=True, hours=2)
    assert made["osha_dose_percent"] == pytest.approx(37.89, abs=0.01)
    assert made["lex_8h_db"] == pytest.approx(93 - 6.02, abs=0.005)
    assert "US action level, half a dose: 37.9\u202f%, too close to 50" in notes(made)
    assert "EU upper action value: 87.0\u202fdB(A), too close" in notes(made)
    assert "EU lower action value: 87.0\u202fdB(A), over 80" in notes(made)
    assert "US limit, a whole dose: 37.9\u202f%, under 100" in notes(made)
    assert "osha_dose_percent" not in told(table("level_a_db\n93\n"), checked=True)
    loud = told(table("level_a_db\n116\n"), checked=True, hours=0.1)
    assert "Over 115 dBA nobody stays" in notes(loud)
    with pytest.raises(Unusable, match="cannot be answered"):
        told(table("level_a_db\n93\n"), hours=25)


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


BANDS = "frequency_hz,level_db,background_db,before_db\n63,80,60,90\n125,82,60,90\n250,84,60,90\n500,83,60,90\n1000,80,60,90\n2000,78,60,90\n4000,74,60,90\n8000,68,60,90\n"  # noqa: E501


def test_a_table_of_bands_is_summed_and_compared():
    """63 Hz to 8 kHz: 85.49 dB(A) by the table of weightings, 89.56 dB."""
    made = told(table(BANDS), checked=True)
    assert made["level_a_db"] == pytest.approx(85.49, abs=0.02)
    assert made["level_z_db"] == pytest.approx(89.56, abs=0.005)
    assert made["bands_per_octave"] == 1
    assert made["bands"][-1]["machine_db"] == pytest.approx(68 - 0.75, abs=0.005)
    assert made["bands"][0]["change_db"] == pytest.approx(-10, abs=0.01)
    assert made["peak_c_db"] is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("frequency_hz,level_db\n63,80\n63,81\n", "stands twice"),
        ("frequency_hz,level_db\n37,80\n63,81\n", "37 is no band"),
        ("frequency_hz,level_db\n0,80\n63,81\n", "0 is no band"),
        ("frequency_hz,level_db\n63,8000\n125,81\n", "8000 dB"),
        ("frequency_hz,level_db\n63,loud\n125,81\n", "not a number"),
        ("frequency_hz\n63\n125\n", "level_db is missing"),
        ("volume\n63\n125\n", "level_a_db is missing"),
        ("time,level_a_db\nnoon,80\n1,81\n", "times of"),
        ("time,level_a_db\n1e308,80\n1,81\n", "times of"),
        ("switched_off,level_a_db\nnone,80\n", "lacks the reading"),
        ("switched_off,level_a_db\nfan,80\npump,80\n", "lacks the reading"),
        ("switched_off,level_a_db\nnone,84\nfan,80\nfan,81\n", "stands twice"),
        ("switched_off,level_a_db\nnone,84\nfan,90\n", "louder"),
    ],
)
def test_a_table_that_cannot_be_used_is_refused_by_name(text: str, says: str):
    with pytest.raises(Unusable) as refused:
        told(table(text))
    all_of_it = " ".join((refused.value.reason, *(str(one) for one in refused.value.problems)))
    assert says in all_of_it


def test_octaves_and_thirds_do_not_stand_side_by_side():
    thirds = table("frequency_hz,level_db\n63,80\n80,80\n100,80\n")
    with pytest.raises(Unusable, match="third octaves"):
        told(table(BANDS), before=thirds)


def test_bands_that_are_missing_are_named():
    made = told(table("frequency_hz,level_db\n250,80\n1000,80\n"))
    assert "Bands are missing: 500 Hz" in notes(made)
    assert "reach from 250 to 1000 Hz only" in notes(made)


@pytest.mark.parametrize(
    ("rows", "level", "says"),
    [
        (["0,80", "1,90"], 87.40, ""),
        (["0,80", "2,90", "1,90"], 88.45, "out of order"),
        (["20:00:00,80", "20:00:01,80", "20:00:02,90"], 86.02, ""),
        (["2026-11-25T20:00,80", "2026-11-25T20:01,90"], 87.40, ""),
        (["0,80", "1,80", "2,80", "100,80", "101,80"], 80.0, "For 98 s nothing was read"),
    ],
)
def test_levels_over_time_are_weighed_by_their_time(rows: list[str], level: float, says: str):
    """Equal steps count the same; a gap counts for nothing (energy means by hand)."""
    made = told(table("time,level_a_db\n" + "\n".join(rows) + "\n"))
    assert made["level_a_db"] == pytest.approx(level, abs=0.01)
    assert says in notes(made)
    assert made["level_c_db"] is None
    assert made["why"]["level_c_db"]
    assert made["bands"] == []


def test_a_level_without_its_weighting_is_taken_and_told():
    made = told(table("level_db\n80\n80\n"))
    assert made["level_a_db"] == 80
    assert "how the level was weighted" in notes(made)
    only_c = told(table("level_c_db\n84\n84\n"))
    assert only_c["level_a_db"] is None
    assert only_c["headline"].startswith("84.0 dB(C)")


def test_which_source_first():
    """Sums by hand: pump 82, belt 79, fan 70, room 60; each off alone, the doubt one decibel."""
    parts = {"pump": 82.0, "belt": 79.0, "fan": 70.0}
    off = {"none": total_db([*parts.values(), 60]), "all": 60.0}
    for name in parts:
        off[name] = total_db([60, *(level for other, level in parts.items() if other != name)])
    rows = "".join(f"{name},{level:.3f}\n" for name, level in off.items())
    made = told(table("switched_off,level_a_db\n" + rows), checked=True)
    first, second, third = made["sources"]
    assert (first["name"], second["name"], third["name"]) == ("pump", "belt", "fan")
    assert first["level_db"] == pytest.approx(82, abs=0.01)
    assert second["level_db"] == pytest.approx(79, abs=0.01)
    assert third["level_db"] is None, "0.3 dB is less than the doubt"
    assert made["headline"].startswith("First: pump")
    left = total_db([70, 60])
    assert f"both silenced: {left:.1f} dB(A)" in notes(made)
    assert made["background_a_db"] == 60


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


def test_the_picture_has_before_and_after_band_by_band():
    drawn = sound(Asked(sound=table(BANDS))).drawing
    assert [one.name for one in drawn.series] == ["before", "after"]
    assert drawn.nominal_hz[0] == 63
    assert not drawn.thirds
    assert sound(Asked(sound=table("level_a_db\n80\n"))).drawing is None
