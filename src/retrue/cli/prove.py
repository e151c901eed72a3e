"""Measuring at the keyboard: a command for each test, the blank sheets, and what a shop keeps."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection, made_by

# The words stand here so that help loads no test; a test compares the names.
TESTS: dict[str, str] = {
    "level": "Level and feet: which foot, how far, how many turns.",
    "sweep": "Sweep: spindle square to the table, shims for nod and tilt.",
    "taper": "Taper and test bar: run-out as vectors, the bar parted from the spindle.",
    "backlash": "Backlash at three places: what is everywhere, what is wear at the centre.",
    "float": "End float of a spindle or a screw.",
    "straightness": "Straightness of a way, from a level or an indicator.",
    "flatness": "Flatness of a table, against a plane that is named.",
    "square": "Squareness by turning a square over, or from two diameters.",
    "alignment": "Spindle line to an axis; headstock, tailstock, turret.",
    "rotation": "How a spindle turns: error motion, ball and spindle parted.",
    "positioning": "Positioning: accuracy, repeatability, lost motion, tables to enter.",
    "circle": "Circular test: how round, and what bends the circle.",
    "drift": "Drift with heat: how far, how fast, what it does to a part.",
}
KEPT: dict[str, tuple[str, str]] = {
    "sheet": ("prove_sheet:sheet", "A blank sheet to fill in pencil, as PDF."),
    "list": ("prove_shop:list_", "All tests of a machine: results, and the next one."),
    "keep": ("prove_keep:keep", "Keep a file of readings; result, then the price."),
    "limits": ("prove_limits:limits", "The table of limits, and your own word on it."),
    "instrument": ("prove_limits:instrument", "What you measure with."),
    "acceptance": ("prove_shop:acceptance", "What is proved of a machine, as PDF."),
    "sense": ("prove_sense:sense_", "Keep sound, vibration or light of a machine."),
    "quiet": ("prove_sense:quiet", "Sound, vibration, light: before and after, hours beside it."),
    "take-back": ("prove_sense:take_back", "Take sound, vibration or light back."),
}


SENSED: dict[str, tuple[str, str]] = {
    "sound": ("prove_sound:sound", "A recording or levels: bands, dB, source first, exposure."),
    "vibration": ("prove_vibration:vibration", "A trace: velocity, lines, which bearing part."),
    "light": ("prove_light:light", "Lux on the table: enough for the task, how even."),
}
METHODS: dict[str, str] = {
    "exposure": "Exposure of a mixed day under three rules.",
    "soundpower": "Sound power from levels around a machine.",
    "treatment": "The most that damping or a cover can gain.",
    "bearing": "Bearing: frequencies of its parts, life.",
    "balance": "Balance: permissible unbalance of a grade.",
    "belt": "Belt and tooth frequencies, span tension.",
    "lamps": "Lamps: how many, how bright, flicker.",
}
SECTIONS = {
    "Tests": made_by("prove_tests:command_of()", TESTS),
    "Sound, vibration, light": SENSED,
    "Calculators": made_by("calculators:command_of()", METHODS),
    "What a shop keeps": KEPT,
}


@click.group(cls=BySection, sections=SECTIONS, noun="test")
def prove(**_: Any) -> None:
    """What readings mean: a result, what to turn or enter, what you should then read.

    FILE is CSV or XLSX with one reading a line; docs/prove.md has the columns of each test. A
    result is an estimate for planning. Local codes and licensed trades go first.
    """
