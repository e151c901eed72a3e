"""First power at the keyboard: the ladder, its stages, the run-in watch, its calculators."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection, made_by

# The words stand here so that help loads nothing: name, where it lives, what it does.
STAGES: dict[str, tuple[str, str]] = {
    "plan": ("wake_show:plan", "The ladder: what is signed, what is next, what alone tonight."),
    "stage": ("wake_show:stage", "One stage: what must be closed, bands, limits; --pdf to sign."),
    "begin": ("wake_keep:begin", "Begin a stage; refused while anything is open."),
    "read": ("wake_keep:read", "Keep a reading; outside its limits it ends the stage."),
    "sign": ("wake_keep:sign", "Sign the stop point of a stage, or of a run-in step."),
    "leave": ("wake_keep:leave", "Leave a stage for another day."),
    "not-fitted": ("wake_keep:not_fitted", "Say that the machine has nothing this stage wakes."),
    "abort": ("wake_keep:abort", "Call a stage off."),
    "found": ("wake_keep:found", "Keep why it was called off, before a second try."),
    "take-back": ("wake_keep:take_back", "Take back what was typed by mistake."),
}
WATCH: dict[str, tuple[str, str]] = {
    "watch": ("wake_watch:watch", "Judge a logger's file whole, or follow it as it grows."),
}
METHODS: dict[str, str] = {
    "insulation": "Insulation of a winding, brought to 40 °C.",
    "winding": "Winding: balance, temperature by resistance.",
    "earth": "Earth: protective conductor, ohm and drop.",
    "bus": "DC bus: energy, discharge, capacitors after a rest.",
    "overload": "Overload relay and contactor for a motor.",
    "matching": "Motor, drive and feedback: do they fit.",
    "brake": "Brake and counterbalance: does it hold.",
    "warmup": "Warm-up: where it settles, and when.",
}
SECTIONS = {
    "Stages": STAGES,
    "Run-in watch": WATCH,
    "Calculators": made_by("calculators:command_of()", METHODS),
}


@click.group(cls=BySection, sections=SECTIONS, noun="command")
def wake(**_: Any) -> None:
    """First power, stage by stage, with somebody at the main switch by name.

    LOT is a lot in the shop. Nothing here switches anything on, and none of it is a procedure for
    work on live circuits: of that there is only why, who, and which numbers he hands back. Every
    number is an estimate for planning. Local codes and licensed trades go first.
    """
