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
}


SECTIONS = {
    "Tests": made_by("prove_tests:command_of()", TESTS),
    "What a shop keeps": KEPT,
}


@click.group(cls=BySection, sections=SECTIONS, noun="test")
def prove(**_: Any) -> None:
    """What readings mean: a result, what to turn or enter, what you should then read.

    FILE is CSV or XLSX with one reading a line; docs/prove.md has the columns of each test. A
    result is an estimate for planning. Local codes and licensed trades go first.
    """
