"""Invented warm-ups, ladders and run-in tables."""

from __future__ import annotations

import math
from typing import Any

from retrue.cases.wake.drawing import (
    LadderDrawing,
    Rung,
    RunInDrawing,
    RunInRung,
    Trace,
    WarmUpDrawing,
)

MINUTES = tuple(float(m) for m in range(0, 65, 5))
FIT = tuple(float(m) for m in range(0, 125, 5))


def curve(minute: float) -> float:
    """Twenty kelvin over a room of 18.5, half an hour its time constant."""
    return 18.5 + 20.0 * (1 - math.exp(-minute / 30))


def warm_up(**more: Any) -> WarmUpDrawing:
    told: dict[str, Any] = {
        "what": "spindle nose", "minutes": MINUTES,
        "temperature_c": tuple(curve(m) + 0.15 * (-1) ** int(m / 5) for m in MINUTES),
        "fit_minutes": FIT, "fit_c": tuple(map(curve, FIT)),
        "fit_low_c": tuple(curve(m) - 0.012 * m for m in FIT),
        "fit_high_c": tuple(curve(m) + 0.012 * m for m in FIT),
        "settles_c": 38.5, "settles_give_or_take_k": 1.4, "settles_minutes": 110.0,
        "room_c": 18.5, "expected_high_c": 38.9, "abort_c": 41.5,
    }  # fmt: skip
    return WarmUpDrawing(**(told | more))


def amps(**more: Any) -> Trace:
    told: dict[str, Any] = {
        "name": "spindle current", "unit": "A", "minutes": MINUTES,
        "values": tuple(3.0 + 0.02 * m for m in MINUTES), "expected_low": 0.9,
        "expected_high": 4.5, "abort_high": 6.3,
    }  # fmt: skip
    return Trace(**(told | more))


TITLES = (
    "Everything dead, proved, and proved good", "Supply proved at the main switch",
    "Control transformer, first time", "Control and screen, nothing that moves",
    "Small motors one by one: lube, coolant, conveyor, fans, air", "DC bus brought back",
    "X, then Y, slow and weak; Z waits for P7", "Upright axis and its brake",
    "First turn of the spindle", "Helpers, slow: changer, air, tool clamp",
    "Dry run with somebody there: 2 h, then 8 h, then 24 h in attended pieces",
)  # fmt: skip


def ladder(signed: int = 3, **more: Any) -> LadderDrawing:
    rungs = [
        Rung(stage=f"P{n}-V", title=title, live=n in (1, 2, 5),
             state="signed" if n < signed else "begun" if n == signed else "closed",
             when="2026-11-20" if n < signed else "", by="Ann" if n < signed else "",
             wants=n - signed)
        for n, title in enumerate(TITLES)
    ]  # fmt: skip
    told: dict[str, Any] = {"rungs": tuple(rungs), "next": f"P{signed}-V"}
    return LadderDrawing(**(told | more))


def run_in(**more: Any) -> RunInDrawing:
    shares = (0.05, 0.1, 0.2, 0.3, 0.45, 0.6, 0.75, 0.9, 1.0)
    minutes = (10, 20, 30, 30, 30, 30, 40, 40, 60)
    rises = (5, 8, 12, 15, 18, 20, 22, 25, 25)
    states = ("held",) * 3 + ("now",) + ("to_come",) * 5
    steps = tuple(
        RunInRung(number=n, speed_share=share, minutes=length, rise_k=rise, speed_rpm=8000 * share,
                  state=state)
        for n, (share, length, rise, state) in enumerate(
            zip(shares, minutes, rises, states, strict=True), 1)
    )  # fmt: skip
    told: dict[str, Any] = {"steps": steps, "what": "spindle"}
    return RunInDrawing(**(told | more))
