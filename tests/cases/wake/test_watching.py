"""A watch from its plan to its words: what is written before, what is said, what a stop asks."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from tests.library import load

import retrue.science
from retrue.base.refusals import Unusable
from retrue.cases.wake.bands import Known, bands_of, steps_of
from retrue.cases.wake.watch_drawing import drawing_of
from retrue.cases.wake.watch_plan import plan_text, read_plan, watch_plan
from retrue.cases.wake.watch_view import Called, flat
from retrue.cases.wake.watch_words import REASONS, WORDS, sentence, what_to_do
from retrue.cases.wake.watching import called_since, watched
from retrue.cases.wake.written import Written, read_written, written
from retrue.science.watch_limits import CHANNELS
from retrue.science.watch_state import Reason

BEGUN = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
PLATE = {"N16": "40 A", "N19": "Cl. F", "N21": "8000", "N37": "40 bar"}
MILL, LATHE = (load()[kind] for kind in ("vertical_machining_centre", "turning_centre"))
SCIENCE = Path(retrue.science.__file__).parent
FORBIDDEN = re.compile(r"\bsafe\b|\bwait \d|\bconfidence\b|\bposterior\b", re.IGNORECASE)


def held(kind, stage, plate=PLATE):
    known = Known(plate=plate)
    of = kind.stages[stage]
    text = written(bands_of(kind, of, known), steps=steps_of(kind, of), known=known)
    return read_written(text), known


def plan(step=4, kind=MILL, stage="P8-V", **more):
    found, known = held(kind, stage)
    return watch_plan(found, known, stage=stage, step=step, **{"room_c": 21.0, **more})


def rows(minutes, every=60, **channels):
    made = []
    for seconds in range(0, int(60 * minutes) + 1, every):
        at = (BEGUN + timedelta(seconds=seconds)).isoformat()
        made += [(at, name, float(of(seconds / 60))) for name, of in channels.items()]
    return made


def stands(minutes, made_plan=None, read=None, **more):
    good = rows(minutes, nose=lambda m: 21 + 10 * (1 - np.exp(-m / 12)), amps=lambda m: 6.0)
    return watched(made_plan or plan(), BEGUN, good if read is None else read,
                   BEGUN + timedelta(minutes=minutes), **more)  # fmt: skip


def test_the_plan_of_a_run_in_step_is_its_bands_its_plate_and_its_table():
    """Step 4 of the table: 30 % for 30 minutes, 15 K over its start, ended at 18 K."""
    made = plan()
    nose, amps = made.channels["nose"], made.channels["amps"]
    assert (nose.expected_rise_kelvin, nose.abort_rise_kelvin) == (15.0, 18.0)
    assert (nose.expected_high, nose.abort_high, nose.rate_hold, nose.rate_stop) == (55, 60, 0.5, 1)
    assert nose.must
    assert (amps.rated, amps.expected_low, amps.expected_high, amps.abort_high) == (40, 2, 10, 14)
    assert made.channels["winding"].ceiling_c == 145.0  # class F by resistance
    assert (made.step_minutes, made.speed_rpm, made.again_at_step) == (30.0, 2400.0, 2)
    assert made.silence_minutes == 6.0
    assert not made.assumed
    assert not made.lacks


def test_nose_and_current_must_be_read_and_without_a_stage_a_temperature_of_the_machine():
    made = plan()
    assert [name for name, one in made.channels.items() if one.must] == ["nose", "amps"]
    bare, known = held(MILL, "P8-V", {key: v for key, v in PLATE.items() if key != "N16"})
    assert not watch_plan(bare, known, stage="P8-V", step=1).channels["amps"].must
    free = watch_plan(Written(), Known(), room_c=21.0)
    told = watched(free, BEGUN, rows(8, room=lambda m: 21.0), BEGUN + timedelta(minutes=8))
    assert told.call == "no_reading"
    early = watched(free, BEGUN, rows(3, room=lambda m: 21.0), BEGUN + timedelta(minutes=3))
    assert early.call == "hold"
    assert "not read yet" in early.why[0]


@pytest.mark.parametrize("stage", ["P8-V", "P10-V"])
def test_beside_a_spindle_silence_is_never_allowed_for_longer_than_six_minutes(stage):
    step = 4 if stage == "P8-V" else None
    assert plan(step=step, stage=stage, silence_minutes=6.0).silence_minutes == 6.0
    with pytest.raises(Unusable) as refused:
        plan(step=step, stage=stage, silence_minutes=6.5)
    assert [one.where for one in refused.value.problems] == ["silence_minutes"]
    assert watch_plan(Written(), Known(), silence_minutes=30.0).silence_minutes == 30.0


def test_what_a_healthy_step_read_last_time_is_its_baseline_and_stands_in_the_notes():
    last = {"sound_db": 70.0, "vibration_mm_s": 1.0, "amps": 4.0, "nose_rise": 9.0}
    made = read_plan(plan_text(plan(baselines=last)))
    assert made.last_time == last
    read = rows(12, nose=lambda m: 21 + 0.2 * m, amps=lambda m: 5.0, sound_db=lambda m: 77.0)
    told = watched(made, BEGUN, read, BEGUN + timedelta(minutes=12))
    assert (told.call, told.why[0]) == (
        "stop", "The sound is 7.0 dB over its own level; the limit is 6 dB.",
    )  # fmt: skip
    assert stands(12, plan(), read).call != "stop"
    assert any("Last time" in note and "9.0 K" in note for note in told.notes)


def test_a_turning_centre_is_watched_for_its_chuck_pressure_too():
    pressure = plan(kind=LATHE, stage="P8-L").channels["pressure_bar"]
    assert (pressure.abort_low, pressure.expected_low) == (36.0, 38.0)


def test_other_stages_are_watched_by_what_they_read():
    assert plan(step=None, stage="P10-V").channels["cabinet"].abort_rise_kelvin == 15.0
    assert plan(step=None, stage="P6-V").channels["load_percent"].must
    assert plan(step=None, stage="P6-V").channels["load_percent"].abort_high == 40.0


def test_a_missing_plate_value_is_named_and_what_still_can_be_is_watched():
    found, known = held(MILL, "P8-V", plate={})
    made = watch_plan(found, known, stage="P8-V", step=1, room_c=21.0)
    assert "amps of the spindle motor" in made.lacks
    assert made.channels["winding"].ceiling_c == 120.0
    assert made.assumed[0].startswith("the insulation class is not on the plate: B taken")
    assert made.channels["nose"].abort_high == 60.0
    told = stands(3, made)
    assert any("amps of the spindle motor: not typed" in note for note in told.notes)
    assert told.why == ("The nose warms by 0.74 K a minute; up to 0.5 K is usual.",)


def test_a_current_that_was_expected_stands_in_for_the_plate():
    found, known = held(MILL, "P8-V", plate={})
    made = watch_plan(found, known, stage="P8-V", step=1, room_c=21.0, expected_a=4.0)
    assert made.channels["amps"].abort_high == 6.0
    with_plate = plan(expected_a=4.0).channels["amps"]
    assert (with_plate.baseline, with_plate.abort_high) == (4.0, 14.0)


def test_a_plan_is_the_same_after_it_was_kept_and_of_another_edition_is_refused():
    for made in (plan(), plan(step=None, stage="P10-V"), watch_plan(Written(), Known())):
        assert read_plan(plan_text(made)) == made
        assert plan_text(read_plan(plan_text(made))) == plan_text(made)
    for text in ("", "[]", "{}", '{"schema": "wake.watch_plan.9", "channels": {}}',
                 '{"schema": "wake.watch_plan.1", "channels": {"colour": {}}}',
                 '{"schema": "wake.watch_plan.1", "channels": {}, "more": 1}'):  # fmt: skip
        with pytest.raises(Unusable):
            read_plan(text)


@pytest.mark.parametrize(
    ("more", "field"),
    [({"room_c": 70.0}, "room_c"), ({"silence_minutes": 0.0}, "silence_minutes"),
     ({"silence_minutes": 45.0}, "silence_minutes"), ({"expected_a": -1.0}, "expected_a")],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_field(more, field):
    with pytest.raises(Unusable) as refused:
        plan(**more)
    assert [one.where for one in refused.value.problems] == [field]


def test_a_step_that_was_not_written_before_the_start_is_refused():
    with pytest.raises(Unusable, match="step 12"):
        plan(step=12)


def test_a_good_step_says_go_on_then_next_step_with_when_it_settles():
    early, done = stands(9), stands(60)
    assert (early.words, early.why) == ("Go on", ())
    assert early.next_reading_by == BEGUN + timedelta(minutes=15)
    assert done.words == "Next step"
    assert done.settles_c == pytest.approx(31.0, abs=0.1)
    assert 0 < done.settles_give_or_take_k < 0.5
    truly = 12 * np.log(10 * np.expm1(5 / 12) / 0.5)
    assert (done.settles_at - BEGUN).total_seconds() / 60 == pytest.approx(truly, abs=0.5)
    assert done.settles_from <= done.settles_at <= done.settles_until


def test_where_it_cannot_be_told_yet_it_says_so_and_gives_no_number():
    told = stands(3)
    assert told.settles_c is None
    assert told.settles_why
    assert flat(told)["why"]["settles_c"] == told.settles_why


def test_a_stop_says_why_and_what_to_do_in_its_order():
    hot = rows(12, nose=lambda m: 21 + 1.7 * m, amps=lambda m: 6.0)
    told = stands(12, read=hot)
    assert told.words == "Stop"
    assert told.why[0] == "The nose is 20.4 K over its start; the limit is 18 K."
    assert any("a minute; the limit is 1 K" in one for one in told.why)
    assert "nothing here can stop it" in told.do[0]
    assert "stays shut until it stands" in told.do[1]
    assert "within 5 K of the room" in told.do[2]
    assert any("begins again at step 2" in one for one in told.do)
    assert "strip" in told.do[-1]
    assert told.next_reading_by is None


def test_the_second_abort_of_a_stage_is_a_strip_and_no_third_try():
    again = what_to_do("stop", again_at_step=2, aborts=1)
    assert "second abort" in again[-1]
    assert not any("again at step" in one for one in again)


def test_a_stop_that_was_kept_stays_a_stop_whatever_is_read_later():
    called = [Called(call="stop", at=BEGUN + timedelta(minutes=5), why="The nose reads 61 °C.")]
    told = stands(30, called=called)
    assert told.call == "stop"
    assert "20:05" in told.why[0]
    assert stands(30, called=called, ended="stopped").call == "ended"


def test_no_reading_is_a_stop_and_stays_one_until_readings_of_that_time_are_kept():
    few = rows(10, nose=lambda m: 24.0, amps=lambda m: 6.0)
    told = watched(plan(), BEGUN, few, BEGUN + timedelta(minutes=17))
    assert (told.call, told.words) == ("no_reading", "Stop")
    assert told.why[0] == "The nose was not read for 7 minutes; after 6 it is stopped."

    def read(minutes, nose):
        at = (BEGUN + timedelta(minutes=minutes)).isoformat()
        return [(at, "nose", nose), (at, "amps", 6.0)]

    late = [*few, *read(18, 24.5)]
    told = watched(plan(), BEGUN, late, BEGUN + timedelta(minutes=18))
    assert told.call == "no_reading"
    assert told.gaps == ((BEGUN + timedelta(minutes=10), BEGUN + timedelta(minutes=18)),)
    assert any("Nothing was read from" in note for note in told.notes)
    between = [*late, *read(14, 24.2)]
    told = watched(plan(), BEGUN, between, BEGUN + timedelta(minutes=18), late_minutes=5.0)
    assert told.call == "go"
    assert any("line that was lost" in note for note in told.notes)


def test_a_stop_while_nobody_judged_is_found_with_its_moment():
    spike = rows(40, nose=lambda m: 62.0 if 20 <= m < 25 else 58.5, amps=lambda m: 6.0)
    free = replace(plan(room_c=None), step_minutes=None)
    found = called_since(free, BEGUN, spike, BEGUN + timedelta(minutes=5),
                         BEGUN + timedelta(minutes=40))  # fmt: skip
    assert found.call == "stop"
    assert found.at == BEGUN + timedelta(minutes=20)
    assert "62.0 °C" in found.why
    assert called_since(free, BEGUN, spike, BEGUN + timedelta(minutes=27),
                        BEGUN + timedelta(minutes=40)) is None  # fmt: skip
    silent = rows(10, nose=lambda m: 30.0, amps=lambda m: 6.0)
    found = called_since(free, BEGUN, silent, BEGUN + timedelta(minutes=9),
                         BEGUN + timedelta(minutes=40))  # fmt: skip
    assert found.call == "no_reading"


def test_fahrenheit_is_asked_about_and_taken_as_it_was_typed():
    told = stands(3, read=rows(3, nose=lambda m: 70.5 + m))
    assert told.call == "stop"
    assert any("was that °F, 21.4 °C" in note for note in told.notes)
    assert not any("°F" in note for note in stands(9).notes)


def test_a_reading_left_out_is_told_with_its_moment():
    read = rows(20, nose=lambda m: 88.0 if m == 12 else 24.0, amps=lambda m: 6.0)
    told = stands(20, read=read)
    assert told.call == "go"
    assert any("88" in note and "left out" in note for note in told.notes)


def test_the_flat_object_is_plain_json_with_its_units_and_a_why_for_every_null():
    for told in (stands(60), stands(2), watched(plan(), BEGUN, [], BEGUN)):
        object = flat(told)
        json.dumps(object, allow_nan=False)
        empty = {key for key, value in object.items() if value is None}
        timing = {"settles_from", "settles_until", "next_reading_by", "step_minutes"}
        assert empty - timing <= set(object["why"])
        assert object["schema"] == "wake.watch.1"
    told = flat(stands(60))
    assert told["units"]["nose_c"] == "°C"
    assert told["nose_c"] == pytest.approx(31.0, abs=0.1)
    assert told["amps_points"] == pytest.approx(0.0)


def test_a_watch_is_drawn_with_its_curve_its_limits_its_gaps_and_its_other_channels():
    every = rows(60, nose=lambda m: 21 + 10 * (1 - np.exp(-m / 12)), amps=lambda m: 6.0,
                 room=lambda m: 22.0, winding=lambda m: 40.0)  # fmt: skip
    lost = {(BEGUN + timedelta(minutes=minute)).isoformat() for minute in range(21, 28)}
    read = [row for row in every if row[0] not in lost]
    told = stands(60, read=read)
    called = Called(call="no_reading", at=BEGUN + timedelta(minutes=26), why="")
    drawn = drawing_of(told, plan(), BEGUN, (called,))
    assert (drawn.what, drawn.room_c) == ("the nose", 22.0)
    assert (drawn.expected_high_c, drawn.abort_c) == (37.0, 40.0)  # 15 and 18 K over the room
    assert drawn.gaps == ((20.0, 28.0),)
    assert drawn.called == ((26.0, "Stop"),)
    assert drawn.settles_c == told.settles_c
    assert np.interp(30.0, drawn.fit_minutes, drawn.fit_c) == pytest.approx(30.18, abs=0.1)
    traces = {one.name: one for one in drawn.others}
    assert set(traces) == {"the current", "the motor's winding"}
    assert traces["the current"].abort_high == 14.0
    assert traces["the motor's winding"].abort_high == 145.0
    assert drawing_of(stands(5, read=rows(5, amps=lambda m: 6.0)), plan(), BEGUN) is None


def test_a_long_watch_is_thinned_for_its_picture_and_keeps_its_last_reading():
    read = rows(60, every=1, nose=lambda m: 30 + m / 60)
    drawn = drawing_of(stands(60, read=read), plan(), BEGUN)
    assert len(drawn.minutes) <= 602
    assert drawn.temperature_c[-1] == 31.0


def test_every_reason_of_the_science_has_its_sentence_and_none_says_safe():
    source = "".join(path.read_text(encoding="utf-8") for path in SCIENCE.glob("watch*.py"))
    codes = set(re.findall(r'Reason\(\s*"(\w+)"', source))
    codes |= {
        one for pair in re.findall(r'_steps\(state, "(\w+)", "(\w+)"', source) for one in pair
    }
    codes |= set(re.findall(r'code = "(\w+)"', source)) | {"sensor_flat", "not_believed", "silent"}
    codes |= {f"over_{own}rise" for own in ("", "step_", "expected_", "expected_step_")}
    assert len(codes) > 30
    assert codes <= set(REASONS)
    for code in REASONS:
        for name in CHANNELS:
            words = sentence(Reason(code, "hold", name, 1.25, 2.0))
            assert words[0].isupper()
            assert not FORBIDDEN.search(words)
            assert "{" not in words
        assert "unknown" in sentence(Reason(code, "hold", "nose")) or "value" not in REASONS[code]


def test_a_call_is_one_or_two_words():
    assert all(1 <= len(words.split()) <= 2 for words in WORDS.values())
