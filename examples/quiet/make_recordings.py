"""Makes the invented recordings of this folder; the same numbers at every run.

A belt-driven spindle idles at 7,500 1/min: as it was bought, and with sheets on its covers. A known
level stands beside them. The nose of the same spindle turns at 3,000 1/min with a bearing whose
outer ring is pitted.
"""

from __future__ import annotations

import sys
import wave
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, lfilter, sosfilt

Floats = NDArray[np.float64]
HERE = Path(__file__).parent
RATE_HZ = 16_000
SECONDS = 3.0
SCALE = 0.05  # one pascal is this share of full scale
BALLS, BALL_MM, PITCH_MM = 9, 7.94, 38.5
SHAFT_HZ = 50.0
FULL_SCALE_G = 5.0


def _noise(stream: np.random.Generator, low_hz: float, high_hz: float) -> Floats:
    """Noise of one band, of effective value one."""
    sos = butter(4, (low_hz, high_hz), btype="band", fs=RATE_HZ, output="sos")
    made = sosfilt(sos, stream.standard_normal(int(RATE_HZ * SECONDS)))
    loud: Floats = made / np.sqrt(np.mean(made**2))
    return loud


def _write(name: str, sound: Floats, rate_hz: int = RATE_HZ) -> None:
    whole = np.round(np.clip(sound, -1, 1) * 32_767).astype("<i2")
    with wave.open(str(HERE / name), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(whole.tobytes())


def _spindle(panel_pa: float) -> Floats:
    """A spindle with its belt: tones of the teeth, air, and what the covers radiate."""
    stream = np.random.Generator(np.random.Philox(7))
    at = np.arange(int(RATE_HZ * SECONDS)) / RATE_HZ
    turns = 7_500 / 60
    tones = sum(
        pa * np.sqrt(2) * np.sin(2 * np.pi * turns * order * at + order)
        for order, pa in ((1, 0.02), (2, 0.03), (24, 0.08), (48, 0.04))
    )
    air = 0.13 * _noise(stream, 800, 6_000)
    made: Floats = tones + air + panel_pa * _noise(stream, 350, 1_400)
    return made


def _nose() -> Floats:
    """Acceleration in g: unbalance, noise, and blows of a pitted outer ring that slip a little."""
    stream = np.random.Generator(np.random.Philox(11))
    rate = 12_000
    at = np.arange(int(rate * 2.0)) / rate
    per_turn = BALLS / 2 * (1 - BALL_MM / PITCH_MM)
    times = np.cumsum(
        np.full(600, 1 / (per_turn * SHAFT_HZ)) * (1 + 0.004 * stream.standard_normal(600))
    )
    blows = np.zeros(at.size)
    hit = (times * rate).astype(int)
    blows[hit[hit < at.size]] = 6.0
    ring_hz, damping = 3_200.0, 0.03
    radius = np.exp(-damping * 2 * np.pi * ring_hz / rate)
    angle = 2 * np.pi * ring_hz / rate
    rung = lfilter([1.0], [1.0, -2 * radius * np.cos(angle), radius**2], blows) * np.sin(angle)
    made: Floats = 0.12 * np.sin(2 * np.pi * SHAFT_HZ * at) + 0.25 * rung
    made += 0.06 * stream.standard_normal(at.size)
    return made


def main() -> None:
    """Write all four."""
    at = np.arange(RATE_HZ) / RATE_HZ
    _write("known-94.wav", SCALE * np.sqrt(2) * np.sin(2 * np.pi * 1_000 * at))
    _write("before.wav", SCALE * _spindle(0.93))
    _write("after.wav", SCALE * _spindle(0.20))
    _write("nose.wav", _nose() / FULL_SCALE_G, 12_000)
    sys.stdout.write("known-94.wav before.wav after.wav nose.wav\n")


if __name__ == "__main__":
    main()
