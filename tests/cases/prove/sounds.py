"""Sounds made up for tests: tones, noise, tables of levels, and what is said of them."""

from __future__ import annotations

import json
import math

import numpy as np

from retrue.base.chance import stream
from retrue.cases.prove.proof import flat
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sound import Asked, sound
from retrue.cases.prove.table import read_table
from retrue.cases.sheet_json import dumps

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
    assert set(json.loads(dumps(made))) == set(made), "plain values, all numbers finite"
    return made


def notes(made: dict) -> str:
    return " ".join((*made["notes"], *made["warnings"], *made["finds"], *made["cannot_tell"]))


BANDS = "frequency_hz,level_db,background_db,before_db\n" + "".join(
    f"{hz},{level},60,90\n"
    for hz, level in ((63, 80), (125, 82), (250, 84), (500, 83), (1000, 80), (2000, 78), (4000, 74),
                      (8000, 68))
)  # fmt: skip
