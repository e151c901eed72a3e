"""Run-in: levelled with doubt, never by time alone, two steps back, cooled before a second try."""

from __future__ import annotations

import math

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.science.run_in import cooled, held, ready, step_after_abort

# Rules of common practice, no source: under 0.5 K in 5 minutes, two steps back, within 5 K.


def warming(per_five, cadence, over=12.0, noise=0.0, seed=0):
    at = np.arange(0.0, over + 1e-9, cadence)
    rng = np.random.default_rng(seed)
    return at, 30 + per_five / 5 * at + rng.normal(0, noise, len(at))


@pytest.mark.parametrize("cadence", [0.25, 1.0, 3.0])
@pytest.mark.parametrize(
    ("per_five", "state"),
    [
        (0.0, "levelled"),
        (0.2, "levelled"),
        (-0.2, "levelled"),
        (1.0, "changing"),
        (-1.0, "changing"),
    ],
)
def test_a_plain_case_is_told_at_every_cadence_up_and_down(per_five, state, cadence):
    found = held(*warming(per_five, cadence), reading_sd=0.05)
    assert found.state == state
    assert found.change_k == pytest.approx(per_five, abs=1e-9)


def test_at_the_limit_itself_it_cannot_be_told():
    assert held(*warming(0.5, 1.0), reading_sd=0.1).state == "cannot_tell"


def test_a_coarse_thermometer_cannot_tell_in_five_minutes_and_can_in_twenty():
    coarse = 1 / math.sqrt(12)  # whole degrees
    short, long = warming(0.0, 1.0, 5.0), warming(0.0, 1.0, 20.0)
    assert held(*short, reading_sd=coarse).state == "cannot_tell"
    found = held(*long, reading_sd=coarse)
    assert found.state == "levelled"
    assert found.over_minutes >= 9


def test_what_has_only_just_begun_to_climb_is_not_levelled_by_the_rest_before():
    at = np.arange(0.0, 21.0)
    seen = np.where(at < 15, 30.0, 30.0 + 0.25 * (at - 15))
    assert held(at, seen, reading_sd=0.05).state == "changing"


def test_the_scatter_counts_where_nobody_states_a_doubt():
    assert held(*warming(0.0, 1.0, 5.0, noise=0.6)).state == "cannot_tell"


@pytest.mark.parametrize("at", [[], [0], [0, 5], [0, 1, 2]])
def test_too_little_of_five_minutes_says_nothing(at):
    assert held(at, [30.0] * len(at), reading_sd=0.01).state == "cannot_tell"


def test_times_that_do_not_rise_are_refused():
    with pytest.raises(Unusable):
        held([0, 2, 1], [30, 30, 30])


def test_two_steps_back_and_never_below_the_first():
    assert [step_after_abort(step) for step in (1, 2, 3, 4, 9)] == [1, 1, 1, 2, 7]
    with pytest.raises(ValueError, match="from 1"):
        step_after_abort(0)


def test_cooled_is_within_five_kelvin_of_the_room_not_of_nothing():
    assert cooled(26.0, 21.0)
    assert not cooled(26.1, 21.0)
    assert cooled(18.0, 21.0)


def test_the_next_step_needs_time_and_temperature_and_sound():
    still = held(*warming(0.0, 1.0), reading_sd=0.05)
    climbing = held(*warming(1.0, 1.0), reading_sd=0.05)
    assert ready(30, 30, still, sounds_clean=True)
    assert not ready(30, 29.9, still, sounds_clean=True)
    assert not ready(30, 300, climbing, sounds_clean=True)
    assert not ready(30, 30, still, sounds_clean=False)
