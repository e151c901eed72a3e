"""Invented sounds and vibrations."""

from __future__ import annotations

from typing import Any

import numpy as np

from retrue.cases.prove.sense_drawing import (
    BandLevels,
    BandsDrawing,
    ExpectedLine,
    SpectrumDrawing,
)

THIRDS = (
    25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0,
    630.0, 800.0, 1000.0, 1250.0, 1600.0, 2000.0, 2500.0, 3150.0, 4000.0, 5000.0, 6300.0, 8000.0,
    10000.0, 12500.0, 16000.0, 20000.0,
)  # fmt: skip
BEFORE = tuple(70 + 18 * float(np.exp(-((n - 15) ** 2) / 40)) for n in range(30))
AFTER = tuple(level - 10 * float(np.exp(-((n - 15) ** 2) / 30)) for n, level in enumerate(BEFORE))


def bands(**more: Any) -> BandsDrawing:
    told: dict[str, Any] = {
        "nominal_hz": THIRDS, "point": "operator's ear", "state": "idle",
        "series": (
            BandLevels(name="before", level_db=BEFORE, level_a_db=93.0),
            BandLevels(name="after", level_db=AFTER, level_a_db=83.1),
        ),
    }  # fmt: skip
    return BandsDrawing(**(told | more))


def spectrum(points: int = 2000, **more: Any) -> SpectrumDrawing:
    hz = np.linspace(0, 500, points)
    floor = 0.02 + 0.01 * np.abs(np.sin(hz * 7.3))
    peaks = sum(0.4 / n * np.exp(-(((hz - 107.0 * n) / 0.6) ** 2)) for n in (1, 2, 3))
    shaft = 0.15 * np.exp(-(((hz - 25.0) / 0.6) ** 2))
    lines = [
        ExpectedLine(name=name, expected_hz=at, low_hz=at * 0.97, high_hz=at * 1.0,
                     found_hz=107.0 if name == "outer race" else None,
                     score_db=21.0 if name == "outer race" else 1.2)
        for name, at in (("cage", 10.7), ("outer race", 108.3), ("inner race", 141.7),
                         ("rolling element", 118.2))
    ]  # fmt: skip
    lines.append(ExpectedLine(name="shaft", expected_hz=25.0, found_hz=25.0, score_db=14.0))
    lines += [ExpectedLine(name="outer race", expected_hz=108.3 * n, order=n) for n in (2, 3)]
    told: dict[str, Any] = {
        "frequency_hz": tuple(map(float, hz)),
        "amplitude": tuple(map(float, floor + peaks + shaft)), "sort": "envelope",
        "lines": tuple(lines), "named": ("outer race",), "conclusion": "outer race",
        "point": "spindle nose", "speed_rpm": 1500.0,
    }  # fmt: skip
    return SpectrumDrawing(**(told | more))
