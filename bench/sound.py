"""Sound: third octaves faster than the sound itself, beside a library of octave filters.

Run ``.venv/bin/python bench/sound.py``. Prints times real time, the bar beside each, and the
largest difference in decibels. The comparison is pyoctaveband (filters of order 6), for development
only. Where Debian's alsa-utils is installed, its recording of noise is read as well.
"""

# ruff: noqa: E402  (the linear algebra reads its number of threads when NumPy is first imported)
from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import time
import warnings
from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.science.bands import Band, Spectrum, _plan, analyse

SEED = 20
BAR_TIMES = 200.0
BAR_DB = 0.2
FULL_DB = 20.0 * float(np.log10(1.0 / 2e-5))  # the library counts full scale as one pascal
FROM_HZ = 31.5  # below, a start from nothing still sounds through the library's filters
NOISE = Path("/usr/share/sounds/alsa/Noise.wav")
Floats = NDArray[np.float64]


def pink(seconds: float, rate: int) -> Floats:
    """Noise with the same power in every octave."""
    size = round(seconds * rate)
    lines = np.fft.rfft(stream(SEED, "pink", str(size)).standard_normal(size))
    frequency = np.fft.rfftfreq(size, 1.0 / rate)
    lines[frequency < 8.0] = 0.0
    lines[1:] /= np.sqrt(frequency[1:])
    made = np.fft.irfft(lines, size)
    return np.asarray(0.05 * made / made.std())


def timed(work: Callable[[], object], times: int = 5) -> tuple[float, float]:
    """Seconds of one call, by the wall and of the processor, the best of a few.

    Other programs only ever add; on a busy machine the processor's own are the fairer ones.
    """
    best = [float("inf"), float("inf")]
    for _ in range(times):
        wall, own = time.perf_counter(), time.process_time()
        work()
        spent = (time.perf_counter() - wall, time.process_time() - own)
        best = [min(pair) for pair in zip(best, spent, strict=True)]
    return best[0], best[1]


def by_library(sound: Floats, rate: int, per_octave: int) -> dict[int, float]:
    """Levels by the library: third octaves over 1 kHz, decibels."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # bands over half the rate are left out, it says
        levels, middles = import_module("pyoctaveband").octavefilter(
            sound, rate, fraction=per_octave, limits=[8.9, 22300]
        )
    return {
        round(10.0 * float(np.log10(middle / 1000.0))): float(level)
        for middle, level in zip(middles, levels, strict=True)
    }


def apart(bands: tuple[Band, ...], theirs: dict[int, float], within: float) -> float:
    """The largest difference among bands that are within so much of the loudest."""
    loudest = max(theirs.values())
    found = 0.0
    for band in bands:
        other = theirs.get(round(10.0 * float(np.log10(band.exact_hz / 1000.0))))
        if other is not None and other > loudest - within and band.nominal_hz >= FROM_HZ:
            found = max(found, abs(band.level_db - other))
    return found


def speed() -> None:
    print("third octaves, octaves, A, C, Z and peak of one channel, times real time")
    print("by the wall, and by the processor's own seconds; the library: third octaves alone")
    for rate, seconds in ((48000, 10), (48000, 60), (48000, 600), (44100, 60), (96000, 60)):
        sound = pink(seconds, rate).astype(np.float32)

        def first(sound: NDArray[np.float32] = sound, rate: int = rate) -> Spectrum:
            _plan.cache_clear()
            return analyse(sound, rate)

        def theirs(sound: NDArray[np.float32] = sound, rate: int = rate) -> object:
            return by_library(sound.astype(np.float64), rate, 3)

        cold, warm = timed(first), timed(partial(analyse, sound, rate))
        library = timed(theirs, 1)
        told = "  ".join(
            f"{name} {seconds / wall:5.0f} {seconds / own:5.0f}"
            for name, (wall, own) in (("first", cold), ("again", warm), ("pyoctaveband", library))
        )
        print(f"  {seconds:4d} s at {rate:6,d}: {told}  (bar: {BAR_TIMES:.0f})")


def agreement() -> None:
    print(f"largest difference from pyoctaveband, dB (bar: {BAR_DB}), bands from {FROM_HZ} Hz")
    sound = pink(60, 48000)
    found = analyse(sound, 48000, FULL_DB)
    for per, bands in ((3, found.third), (1, found.octave)):
        most = apart(bands, by_library(sound, 48000, per), 60)
        print(f"  pink noise, 60 s, 1/{per} octave: {most:.3f}")
    library = import_module("pyoctaveband")
    print(f"  pink noise, A: {abs(found.level_a_db - float(library.laeq(sound, 48000))):.3f}")
    print(f"  pink noise, Z: {abs(found.level_z_db - float(library.leq(sound))):.3f}")
    worst = 0.0
    tones = 1000.0 * 10.0 ** (np.arange(-30, 26) / 20.0)  # middles and edges in turn
    for hz in tones.tolist():
        sound = 0.3 * np.sin(2.0 * np.pi * hz * np.arange(10 * 48000) / 48000)
        worst = max(
            worst, apart(analyse(sound, 48000, FULL_DB).third, by_library(sound, 48000, 3), 6)
        )
    span = f"{tones.size} tones from {tones[0]:.0f} to {tones[-1]:.0f} Hz"
    print(f"  {span}, bands within 6 dB: {worst:.3f}")


def packaged() -> None:
    """A recording that Debian carries; only where it is there."""
    if not NOISE.exists():
        print(f"NOT RUN: {NOISE} is not here (apt install alsa-utils)")
        return
    read_sound = import_module("retrue.store.sound_file").read_sound
    recording = read_sound(NOISE.read_bytes(), NOISE.name)
    sound = recording.samples[:, 0].astype(np.float64)
    found = analyse(sound, recording.rate_hz, FULL_DB)
    full = 10.0 * float(np.log10(np.mean(sound**2)))
    middle = tuple(band for band in found.third if 200.0 <= band.nominal_hz <= 16000.0)
    most = apart(middle, by_library(sound, round(recording.rate_hz), 3), 60)
    print(
        f"{NOISE.name}: {recording.rate_hz:.0f} a second, {recording.seconds:.3f} s, {full:.2f} dB "
        f"under full scale (bar: 48000, 1.408 s, -29.96); third octaves from 200 Hz to 16 kHz "
        f"apart by {most:.3f} dB, all within the doubt of so short a time"
    )


def main() -> None:
    speed()
    agreement()
    packaged()


if __name__ == "__main__":
    main()
