"""What may replace a part, at the keyboard: a command for each sort of part."""

from __future__ import annotations

from typing import Any

import click

from retrue.cases.reckon.method import in_book
from retrue.cli import calculators
from retrue.cli.deeds import BySection, made_by

# The words stand here so that help loads no calculator; a test compares the names.
METHODS: dict[str, str] = {
    "motor": "Motor: volts, torque at speed, inertia, feedback, brake, flange.",
    "drive": "Drive: supply, currents, feedback, commands, energy of braking.",
    "contactor": "Contactor: category, coil, poles, auxiliaries, frame.",
    "relay": "Relay: coil, contacts by category, pins; safety kept.",
    "overload": "Overload relay: range, trip class, reset, lost phase.",
    "belt": "Belt: profile, length, teeth, power, pull on the shaft.",
    "bearing": "Bearing: size, angle, class, preload, set, life, speed.",
    "hose": "Hose: bore, pressure, heat, fluid, bend, ends, date.",
    "cell": "Memory cell: chemistry, volts, plug; data first.",
    "lamp": "Lamp: light, volts, protection, flicker by a turning chuck.",
    "display": "Display: signal, sync, picture, size; converter or not.",
}
SECTIONS = {"Parts": made_by("fix_match:command_of()", METHODS)}


def command_of(name: str) -> click.Command:
    """The command of one sort of part.

    Parameters
    ----------
    name : str
        motor, drive ...

    Returns
    -------
    click.Command
    """
    return calculators.command_of(in_book("fix", name))


@click.group(cls=BySection, sections=SECTIONS, noun="part")
def match(**_: Any) -> None:
    """What may replace an obsolete part: required against offered, one by one.

    Exit 0: it may replace it. Exit 2: it may not, or a field cannot be read. Exit 3: a number is
    lacking. Every answer is an estimate for planning; who connects it is a licensed electrician.
    """
