"""Advice made by hand, for drawings and sheets."""

from __future__ import annotations

from typing import Any

from retrue.cases.find.advice import Advice, Held, HunchCost, Step, Suspect


def step(id: str, text: str, expected_cost: float, **more: Any) -> Step:
    """One step; whatever is not given is plain."""
    given: dict[str, Any] = {
        "id": id,
        "sort": "observe",
        "text": text,
        "why": "It parts the first two.",
        "expected_cost": expected_cost,
        "cost": 9.0,
        "money": 0.0,
        "minutes": 12.0,
        "hire": 0.0,
        "days": 0.0,
        "opens": ("Electrical cabinet",),
        "separates": (),
        "cautions": ("Prove dead first. Local code and licensed practice.",),
        "who": "competent",
    }
    return Step(**(given | more))


def advised(*steps: Step, **more: Any) -> Advice:
    """Advice with these steps."""
    given: dict[str, Any] = {
        "machine": "mill",
        "goal": "clear",
        "trouble": "T1",
        "title": "Main fuse or drive trips at once",
        "headline": "Measure the motor's insulation next.",
        "met": False,
        "switch_off": "",
        "steps": steps,
        "held": (Held("F20:replace", "A new drive.", "Its motor has not passed.", "Measure it."),),
        "suspects": (
            Suspect("F20", "Spindle drive dead", "likely", 0.6, 0.4, 0.8, "Motor shorted"),
            Suspect("F15", "Motor winding shorted", "about even", 0.4, 0.2, 0.6),
        ),
        "hunch": HunchCost("F20", "Spindle drive dead", "", 910.0, 640.0),
        "expected_cost": 640.0,
        "guess_cost": 1100.0,
        "plain_cost": 900.0,
        "bound": 520.0,
        "cautions": ("This helps you plan. It does not allow anything.",),
        "set_aside": (),
        "not_used": (),
        "assumed": (),
        "currency": "EUR",
        "seed": 7,
        "worlds": 1000,
        "kind_hash": "abcdef0123456789",
        "version": "1",
    }
    return Advice(**(given | more))
