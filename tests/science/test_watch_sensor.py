"""The watch when a sensor falls off, a channel goes silent, or a limit is passed at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retrue.science.watch import first_stop, judge
from retrue.science.watch_limits import Bounds, Limits

NOSE = Bounds(expected_high=55.0, abort_high=60.0, expected_rise_kelvin=20.0,
              abort_rise_kelvin=30.0, rate_hold=0.5, rate_stop=1.0, must=True)  # fmt: skip
AMPS = Bounds(rated=28.0, expected_low=1.4, expected_high=7.0, abort_high=9.8)
STEP = Limits(channels={"nose": NOSE, "amps": AMPS}, step_minutes=30.0, room_c=21.0)


def codes(state, call=None):
    return {one.code for one in state.reasons if call in (None, one.call)}


def until(samples, now):
    return {name: (at[at <= now], seen[at <= now]) for name, (at, seen) in samples.items()}


def running(cadence, minutes, nose, amps=4.0, seed=2):
    """Nose and current at a cadence, with the scatter of a real sensor."""
    rng, at = np.random.default_rng(seed), np.arange(0.0, 60 * minutes + 1, cadence)
    seen = np.round(nose(at / 60) + rng.normal(0, 0.05, len(at)), 2)
    return {"nose": (at, seen), "amps": (at, amps + rng.normal(0, 0.05, len(at)))}


def warm(minute, rise=20.0):
    return 21 + rise * (1 - np.exp(-minute / 15))


@pytest.mark.parametrize(
    ("cadence", "rise", "falls_to"),
    [(1.0, 20.0, 21.0), (10.0, 20.0, 21.0), (10.0, 20.0, 30.0), (10.0, 4.0, 21.0),
     (10.0, 20.0, -20.0), (180.0, 20.0, 21.0), (180.0, 4.0, 21.0), (180.0, 20.0, 5.0)],
)  # fmt: skip
def test_a_sensor_that_falls_off_holds_then_is_no_reading_and_never_a_next_step(
    cadence, rise, falls_to
):
    fell = 1200.0
    samples = running(
        cadence, 60, lambda m: np.where(60 * m < fell, warm(m, rise), falls_to + 0 * m)
    )
    seen: dict[str, float] = {}
    for now in np.arange(fell + 100, 3601, 150.0):
        state = judge(until(samples, now), STEP, float(now))
        assert state.call in ("hold", "no_reading") or state.gaps, now
        assert not codes(state) & {"peak_falls", "next_step"} or state.gaps
        seen.setdefault(state.call, now - fell)
    assert codes(judge(until(samples, fell + 150), STEP, fell + 150)) & {
        "sensor_off", "under_room", "read_again"
    }  # fmt: skip
    assert seen["no_reading"] <= 360 + 150
    assert judge(samples, STEP, 3600.0).gaps  # whoever keeps the watch keeps that as a stop


@pytest.mark.parametrize("cadence", [15.0, 60.0, 180.0])
def test_what_a_running_mass_can_do_is_believed(cadence):
    """A grease peak that falls by half in eight minutes; a casting colder than its heated room."""
    for nose in (
        lambda m: 29 + 6 * np.where(m < 12, m / 12, np.exp(-(m - 12) / 8)),
        lambda m: 12 + 3 * (1 - np.exp(-m / 12)),
        lambda m: np.where(m < 20, warm(m), 21 + 14.7 * np.exp(-(m - 20) / 9)),
    ):
        samples = running(cadence, 40, nose)
        for now in np.arange(120, 2401, 60.0):
            state = judge(until(samples, now), STEP, float(now))
            assert not codes(state) & {"under_room", "not_believed"}, now
            assert not state.gaps


def test_a_sensor_put_back_is_believed_again_and_the_hole_stays():
    def nose(m):
        return np.where((m > 20) & (m < 28), 22.0, warm(m))

    state = judge(running(10.0, 40, nose), STEP, 2400.0)
    assert not codes(state) & {"sensor_off", "not_believed"}
    assert [round((b - a) / 60) for a, b in state.gaps] == [8]


def test_exactly_flat_for_long_holds_and_then_is_no_reading_of_a_logger():
    at = np.arange(0.0, 3601, 10)
    flat = {"nose": (at, np.full(len(at), 21.0)), "amps": (at, 4 + 0.01 * (at % 7))}
    assert judge(until(flat, 590), STEP, 590.0).call == "go"
    assert codes(judge(until(flat, 700), STEP, 700.0), "hold") == {"sensor_flat"}
    assert judge(until(flat, 1550), STEP, 1550.0).call == "hold"
    assert codes(judge(until(flat, 1600), STEP, 1600.0), "no_reading") == {"not_believed"}
    typed = {name: (s[::18], v[::18]) for name, (s, v) in flat.items()}
    assert judge(typed, STEP, 3600.0).call == "hold"
    minutes = {name: (s[::6], v[::6]) for name, (s, v) in flat.items()}
    assert judge(minutes, STEP, 3600.0).call == "hold"  # typed once a minute, it may be well
    coarse = np.round(2 * warm(at / 60, 4.0)) / 2  # half degrees: flat once it has levelled
    levelled = judge({**flat, "nose": (at, coarse)}, STEP, 3600.0)
    assert levelled.call == "step"


@pytest.mark.parametrize("gone", ["nose", "amps"])
def test_a_channel_that_was_read_once_and_goes_silent_is_no_reading(gone):
    samples = running(10.0, 40, lambda m: warm(m, 5.0))
    at, seen = samples[gone]
    samples[gone] = (at[at <= 1500], seen[at <= 1500])
    free = replace(STEP, channels={"nose": replace(NOSE, must=False), "amps": AMPS})
    for limits in (STEP, free):
        assert judge(samples, limits, 1860.0).call in ("go", "step")
        late = judge(samples, limits, 1861.0)
        assert (late.call, codes(late, "no_reading")) == ("no_reading", {"silent"})


def test_the_room_alone_is_no_reading_of_a_machine():
    at = np.arange(0.0, 901, 60)
    room = {"room": (at, 21 + 0.01 * (at % 7)), "cabinet": (at, 30 + 0.01 * (at % 7))}
    for limits in (STEP, Limits(main=True), Limits()):
        assert "not_read_yet" in codes(judge(until(room, 300), limits, 300.0), "hold")
        assert judge(room, limits, 900.0).call == "no_reading"
    sound = {"sound_db": (at, 70 + 0.01 * (at % 7))}
    assert judge(sound, Limits(), 900.0).call == "go"
    assert judge(sound, Limits(main=True), 900.0).call == "no_reading"


@pytest.mark.parametrize("cadence", [1.0, 5.0, 10.0, 60.0, 180.0])
def test_a_sudden_overcurrent_is_a_stop_with_its_second_reading_and_of_the_seldom_read_at_once(
    cadence,
):
    at = np.arange(0.0, 1501, cadence)
    amps = np.where(at < 600, 4.0, 60.0)
    nose = (at, 21 + 0.05 * at / 60)
    samples = {"nose": nose, "amps": (at, amps)}
    found = first_stop(samples, STEP, at[at > 560])
    first = at[at >= 600][0]
    assert 60 * found.run_minutes == first + (0 if cadence >= 45 else cadence)
    assert found.of("amps").newest == 60.0


@pytest.mark.parametrize("over", [(600, 617, 634), (600, 601), (600, 634)])
def test_two_that_agree_are_enough_at_an_irregular_cadence_and_one_of_a_logger_is_not(over):
    at = np.unique(np.r_[np.arange(0.0, 599, 7), over, np.arange(640.0, 700, 7)])
    amps = np.where(np.isin(at, over), 60.0, 4.0)
    samples = {"nose": (at, 21 + 0.05 * at / 60), "amps": (at, amps)}
    found = first_stop(samples, STEP, at[at > 560])
    assert 60 * found.run_minutes == over[1]
    assert codes(found, "stop") >= {"over_cap"}
    one = {**samples, "amps": (at, np.where(at == over[0], 60.0, 4.0))}
    assert first_stop(one, STEP, at[at > 560]) is None


def test_a_pressure_that_drops_past_its_limit_needs_no_median():
    limits = replace(STEP, channels={**STEP.channels, "pressure_bar": Bounds(abort_low=36.0)})
    at = np.arange(0.0, 603, 1.0)
    samples = {"nose": (at, 21 + 0.05 * at / 60), "amps": (at, 4 + 0.01 * (at % 7)),
               "pressure_bar": (at, np.where(at < 601, 40.0, 20.0))}  # fmt: skip
    assert codes(judge(samples, limits, 602.0), "stop") >= {"under_least"}


def test_a_motor_that_stood_and_starts_again_may_draw_its_inrush_but_not_twice_its_rated():
    at = np.arange(0.0, 900, 1.0)
    stood, inrush = (at > 240) & (at < 330), (at >= 330) & (at < 336)
    for high, call in ((20.0, None), (60.0, "stop")):
        amps = np.where(inrush, high, np.where(stood, 0.0, 4.0))
        found = first_stop({"nose": (at, 21 + 0.05 * at / 60), "amps": (at, amps)}, STEP,
                           np.arange(300.0, 400, 3))  # fmt: skip
        assert (found.call if found else None) == call
    most = np.where(at < 60, 4.0, 20.0)  # over for most of the time it was read: no start
    for now in (70.0, 300.0, 899.0):
        samples = until({"nose": (at, 21 + 0.05 * at / 60), "amps": (at, most)}, now)
        assert "over_cap" in codes(judge(samples, STEP, now), "stop")


@pytest.mark.parametrize("value", [62.0, 52.5])
def test_one_typed_reading_past_an_abort_limit_is_a_stop_at_once(value):
    at = np.arange(0.0, 1441, 180)
    seen = np.r_[warm(at[:-1] / 60, 12.0), value]
    assert judge({"nose": (at, seen), "amps": (at, 4 + 0 * at)}, STEP, 1441.0).call == "stop"


def test_the_rise_of_a_step_is_over_its_own_start_and_the_cap_stays():
    """Cooled to within 5 K of the room, the first step warms by 3.5 K: the band ends at 8 K."""
    own = replace(NOSE, expected_rise_kelvin=5.0, abort_rise_kelvin=8.0, over_start=True)
    limits = Limits(channels={"nose": own}, step_minutes=10.0, room_c=21.0)
    at = np.arange(0.0, 1500, 60)
    again = {"nose": (at, 25.8 + 3.5 * (1 - np.exp(-at / 500)))}
    assert first_stop(again, limits, at) is None
    assert judge(again, limits, 1440.0).of("nose").step_rise == pytest.approx(3.3, abs=0.2)
    more = {"nose": (at, 25.8 + 12 * (1 - np.exp(-at / 700)))}
    assert "over_step_rise" in codes(judge(more, limits, 1440.0), "stop") | codes(
        first_stop(more, limits, at), "stop"
    )
    hot = {"nose": (at, 56 + 4.5 * (1 - np.exp(-at / 500)))}
    assert "over_cap" in codes(first_stop(hot, limits, at), "stop")
