"""When readings were taken: gaps, clocks that jump, beats that are not even, tops cut off."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.science.sampling import clipped_share, evenly, longest_even, sampling

BEAT = np.arange(2000) / 500.0


def test_an_even_beat_is_even_even_where_its_times_were_rounded():
    assert sampling(BEAT).even
    assert sampling(BEAT + 1e9).rate_hz == pytest.approx(500.0, rel=1e-6)
    rounded = sampling(np.round(BEAT, 4))
    assert rounded.even
    assert rounded.rate_hz == pytest.approx(500.0, rel=1e-9)


def test_gaps_and_a_clock_that_jumps_back_are_found_where_they_are():
    at = np.concatenate([BEAT[:700], BEAT[700:] + 0.4])
    found = sampling(at)
    assert (found.gaps, found.backwards, found.even) == ((700,), (), False)
    assert longest_even(at) == (700, 2000)
    back = np.concatenate([BEAT[:1200], BEAT[1200:] - 1.0])
    found = sampling(back)
    assert (found.gaps, found.backwards) == ((), (1200,))
    assert longest_even(back) == (0, 1200)
    assert found.rate_hz == pytest.approx(500.0)


def test_a_beat_that_wavers_is_told_and_brought_to_an_even_one():
    draw = np.random.Generator(np.random.Philox(6))
    at = BEAT + draw.uniform(-0.25, 0.25, len(BEAT)) / 500
    found = sampling(at)
    assert not found.even
    assert found.gaps == ()
    slow = np.sin(2 * np.pi * 5 * at)
    even = evenly(at, slow, found.rate_hz)
    beat = at[0] + np.arange(len(even)) / found.rate_hz
    assert float(np.abs(even - np.sin(2 * np.pi * 5 * beat)).max()) < 1e-3


def test_a_beat_that_drifts_slowly_is_not_uneven():
    assert sampling(BEAT * (1 + 1e-5 * BEAT)).uneven_share < 0.1


@pytest.mark.parametrize("bad", [[], [0.0, 1.0], [1.0, 1.0, 1.0, 1.0], [3.0, 2.0, 1.0]])
def test_times_that_do_not_go_on_are_refused(bad):
    with pytest.raises(ValueError, match="time"):
        sampling(bad)


def test_only_tops_that_lie_flat_are_cut_off():
    wave = np.sin(np.arange(5000) * 0.05)
    assert clipped_share(wave) == 0.0
    assert clipped_share(np.round(wave, 3)) < 0.05  # few steps, yet no flat top to speak of
    cut = clipped_share(np.clip(wave, -0.9, 0.9))
    assert cut == pytest.approx(2 * np.arccos(0.9) / np.pi, abs=0.01)
    assert clipped_share(np.zeros(50)) == 0.0
