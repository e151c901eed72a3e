"""A recording that Debian carries, from bytes to bands."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pyoctaveband
import pytest

from retrue.cases.prove.sound import Asked, sound
from retrue.science.bands import analyse
from retrue.store.sound_file import read_sound

NOISE = Path("/usr/share/sounds/alsa/Noise.wav")


@pytest.fixture(scope="module")
def content() -> bytes:
    if not NOISE.exists():
        pytest.skip("NOT RUN: alsa-utils is not installed, whose recording is read")
    return NOISE.read_bytes()


def test_noise_of_a_sound_package_is_read_and_analysed(content: bytes):
    """Debian alsa-utils 1.2.8-1, Noise.wav: 48 kHz, one channel, 1.408 s, -29.96 dB.

    Beside pyoctaveband: each band within the doubt of so short a time, and 0.05 dB in A.
    """
    recording = read_sound(content, NOISE.name)
    assert (recording.rate_hz, recording.channels) == (48000, 1)
    assert recording.seconds == pytest.approx(1.408, abs=0.0005)
    assert recording.clipped_share == (0.0,)
    samples = recording.samples[:, 0].astype(float)
    assert 10 * math.log10(np.mean(samples**2)) == pytest.approx(-29.96, abs=0.005)
    found = analyse(samples, 48000)
    full = 20 * math.log10(1 / 2e-5)
    assert found.level_a_db + full == pytest.approx(pyoctaveband.laeq(samples, 48000), abs=0.05)
    levels, middles = pyoctaveband.octavefilter(samples, 48000, fraction=3, limits=[90, 18000])
    theirs = {round(10 * math.log10(m / 1000)): v for m, v in zip(middles, levels, strict=True)}
    for band in found.third:
        if 100 <= band.nominal_hz <= 16000:
            other = theirs[round(10 * math.log10(band.exact_hz / 1000))]
            assert band.level_db + full == pytest.approx(other, abs=band.give_or_take_db)
    answer = sound(Asked(sound=recording))
    assert answer.more["calibrated"] is False
    assert len(answer.more["bands"]) == len(found.third)
