"""Prove: circles of up to a million points and a set of fifty readings, timed, memory beside them.

Run ``.venv/bin/python bench/prove.py``. Prints seconds, milliseconds and megabytes, the bar beside
each. The comparison is circle-fit (one circle, no causes), for development only.
"""

# ruff: noqa: E402  (the linear algebra reads its number of threads when NumPy is first imported)
from __future__ import annotations

import os

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import time
import tracemalloc
from collections.abc import Callable
from functools import partial
from importlib import import_module

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.science.circle import Path, deviations, least_squares_circle
from retrue.science.circle_causes import separate

SEED = 20
PITCH_MM = 10.0
Floats = NDArray[np.float64]


def paths(points: int) -> tuple[Path, Path]:
    """Both directions of a circle with lost motion, lag and an oval, half of the points each."""
    chance = stream(SEED, "circle", str(points))
    angle = (np.arange(points // 2) + 0.5) * 2 * np.pi / (points // 2)
    made = []
    for way in (-1, 1):
        lost = way * (3 * np.sign(np.sin(angle)) * np.cos(angle) + 4 * np.sin(2 * angle))
        read = lost + 4 * np.cos(2 * angle) + 0.5 * chance.standard_normal(len(angle))
        made.append(Path(angle, read, way, 150.0, 1000.0))
    return made[0], made[1]


def timed(work: Callable[[], object]) -> float:
    """Seconds of one call, the best of three: other programs only ever add."""
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def megabytes(work: Callable[[], object]) -> float:
    """The most memory that one call holds beside its input."""
    tracemalloc.start()
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return most / 1e6


def by_library(path: Path) -> tuple[float, float, float]:
    """Centre and radius of one path by circle-fit, micrometres."""
    away = path.radius_mm + path.deviation_um / 1000
    points = np.column_stack([away * np.cos(path.angle_rad), away * np.sin(path.angle_rad)])
    x, y, radius, _ = import_module("circle_fit").hyperLSQ(points)
    return 1e3 * float(x), 1e3 * float(y), 1e3 * (float(radius) - path.radius_mm)


def circles() -> None:
    print("circle, both directions, all causes at once")
    for points in (250_000, 500_000, 1_000_000):
        both = paths(points)
        whole = partial(separate, both, pitch_mm=PITCH_MM)
        plain, every, rings = (
            timed(partial(separate, both)),
            timed(whole),
            timed(partial(deviations, both)),
        )
        print(
            f"  {points:9,d} points: 16 causes {plain:5.2f} s  20 causes {every:5.2f} s (bar: 1 at "
            f"1,000,000)  deviations {rings:5.2f} s  memory {megabytes(whole):6.1f} MB"
        )


def against_circle_fit() -> None:
    (_, path) = paths(1_000_000)
    ours = least_squares_circle(path.angle_rad, path.deviation_um)
    theirs = by_library(path)
    apart = max(abs(a - b) for a, b in zip(ours, theirs, strict=True))
    print("centre and radius of one direction, 500,000 points, side by side with circle-fit")
    quick = timed(partial(least_squares_circle, path.angle_rad, path.deviation_um))
    print(f"  ours {quick:5.2f} s  circle-fit {timed(partial(by_library, path)):5.2f} s  ", end="")
    print(f"largest difference {apart:.1e} µm")


def against_fourier() -> None:
    """Harmonics of half sum and half difference by NumPy's transform, without lost motion."""
    cw, ccw = paths(1_000_000)

    def transform() -> Floats:
        half = (ccw.deviation_um - cw.deviation_um) / 2
        return np.asarray(np.fft.rfft(half)[:5].imag)

    print("odd harmonics alone, half difference")
    print(f"  Fourier transform (NumPy) {timed(transform):5.2f} s, steps not told from lag")


def fifty() -> None:
    """Fifty readings of one axis: five targets, five runs, both approaches."""
    bidirectional = import_module("retrue.science.positioning").bidirectional
    chance = stream(SEED, "positioning")
    forward, backward = chance.normal(size=(5, 5)), chance.normal(size=(5, 5)) - 4
    spent = timed(lambda: [bidirectional(forward, backward) for _ in range(100)]) / 100
    print(f"fifty readings of an axis: {1e3 * spent:.3f} ms (bar: 2)")


def main() -> None:
    circles()
    against_circle_fit()
    against_fourier()
    fifty()


if __name__ == "__main__":
    main()
