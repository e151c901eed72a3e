"""What is kept again and again in the tests of sound, vibration and light."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from retrue.belief.posterior import update
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.prove.recording import Recording
from retrue.kinds.library import Kind
from retrue.phases import prove, worth
from retrue.phases.prove import KeptSense
from retrue.records.facts import Finding
from retrue.records.shop import RecordShop

EAR = {"point": "operator's ear", "state": "idling", "speed_rpm": 3000.0}
NOSE = {"point": "spindle nose", "state": "idling", "speed_rpm": 3000.0}
HEARD = {"calibrated": "yes"}
RATE = 12_800.0
BEARING = {"balls": "9", "ball_mm": "7.9375", "pitch_mm": "38.5", "nothing_else": "yes"}
SCALE = {"unit": "m/s2", "full_scale": "100"}


def keep(shop: RecordShop, kinds: Mapping[str, Kind], sort: str, **named: Any) -> KeptSense:
    named.setdefault("by", "owner")
    return prove.keep_sensed(shop, "school", named.pop("machine", "mill"), sort, kinds, **named)


def level(shop: RecordShop, kinds: Mapping[str, Kind], value: float, **named: Any) -> KeptSense:
    told = {"readings": [("level_a_db", value)], "options": HEARD} | EAR | named
    return keep(shop, kinds, "sound", **told)


def findings(shop: RecordShop) -> list[Finding]:
    return [one.fact for one in shop.current(Finding)]


def chance(shop: RecordShop, kinds: Mapping[str, Kind], fault: str) -> float:
    """What we think is wrong, after everything that was told."""
    case = worth.case_of(shop, "school")
    built = build(case, kinds)
    found, unused = evidence(case, built)
    assert unused == ()
    mill = next(machine.name for machine in case.machines if machine.name == "mill")
    now = built.marginal_now(update(built.network, found).marginal)
    return float(now[built.faults[mill, fault]])


def shaken(*, defect: bool, loud: float = 1.0) -> Recording:
    """Four seconds at the nose, 3000 a minute; full scale is 100 m/s². Made up.

    A struck outer race rings at 3500 Hz each time a ball passes: 3.572 times a turn (data sheet of
    a public set of recordings of this bearing), off by one part in a hundred.
    """
    chance = np.random.default_rng(3)
    t = np.arange(4 * RATE) / RATE
    signal = loud * np.sin(2 * np.pi * 50 * t) + 0.3 * chance.standard_normal(len(t))
    struck = 0.0
    while defect and struck < 3.9:
        at = int(struck * RATE)
        ring = np.arange(400) / RATE
        signal[at : at + 400] += 20 * np.exp(-900 * ring) * np.sin(2 * np.pi * 3500 * ring)
        struck += (1 + 0.01 * chance.standard_normal()) / (50 * 3.572)
    samples = np.clip(signal / 100, -1, 1).astype(np.float32)[:, None]
    return Recording(name="nose.wav", samples=samples, rate_hz=RATE, clipped_share=(0.0,))


def noise(level: float, clipped: float = 0.0) -> Recording:
    """Two seconds of white noise so far below full scale."""
    made = np.random.default_rng(5).standard_normal(96_000)
    made *= 10 ** (level / 20) / math.sqrt(float((made**2).mean()))
    return Recording(name="ear.wav", samples=made.astype(np.float32)[:, None], rate_hz=48_000.0,
                     clipped_share=(clipped,))  # fmt: skip


def tone() -> Recording:
    made = 0.1 * np.sin(2 * np.pi * 1000 * np.arange(96_000) / 48_000)
    return Recording(name="known.wav", samples=made.astype(np.float32)[:, None], rate_hz=48_000.0)
