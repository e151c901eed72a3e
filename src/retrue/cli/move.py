"""Moving at the keyboard: a command for each calculator, and what a shop keeps of a move."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection, made_by

# The words stand here so that help loads no calculator; a test compares the names.
METHODS: dict[str, str] = {
    "lift": "Lift: pull in a sling leg, centre of gravity, when it tips.",
    "forklift": "Fork-lift: what it may be planned for at this load centre.",
    "skates": "Skates and floor: load on each, stress in the slab, pull.",
    "ramp": "Ramp: what pulls, what two holds must hold.",
    "door": "Door and route: does it go through and round the corner.",
    "tie": "Tie down: lashings by two rules.",
    "floor": "Floor plan to scale: doors open, service space, cabinet swing.",
    "supply": "Supply: current, transformer, converter for start and stop.",
    "conductor": "Conductor: size, drop, overload and short-circuit protection.",
    "air": "Compressed air: receiver, leak, drop, dew point.",
    "layup": "Lay-up: dew-point margin from a log, desiccant, memory cell.",
}
KEPT: dict[str, tuple[str, str]] = {
    "plan": ("move_shop:plan", "The whole move of a machine: go, no-go, what next."),
    "keep": ("move_shop:keep", "Keep a calculator as it is filled in."),
    "save": ("move_rescue:save", "Data saved before the plug is pulled."),
    "readback": ("move_rescue:readback", "Compare a copy with what was kept."),
    "step": ("move_rescue:step", "Tick a step of the move, by name."),
    "arrive": ("move_arrival:arrive", "How it came, and what is broken."),
    "side": ("move_arrival:side", "A photograph of one side, on truck or floor."),
    "damage": ("move_arrival:damage", "The damage note: text, last day, PDF."),
    "rest": ("move_rest:rest", "A machine at rest: rounds, due dates, cell, damp."),
    "round": ("move_rest:round_", "Keep one round at a machine that rests."),
    "take-back": ("move_rescue:take_back", "Take back what was said by mistake."),
    "sheet": ("move_shop:sheet", "The method sheet, as PDF."),
    "layout": ("move_shop:layout", "The floor plan to scale, as PDF."),
}


SECTIONS = {
    "Calculators": made_by("calculators:command_of()", METHODS),
    "What a shop keeps": KEPT,
}


@click.group(cls=BySection, sections=SECTIONS, noun="calculator")
def move(**_: Any) -> None:
    """Numbers before every lift: go, no-go, or which number to get first.

    Exit 0: go. Exit 2: no-go, or a field that cannot be read. Exit 3: a number is lacking. Every
    answer is an estimate for planning; its caution and the code it defers to stand before it.
    """
