"""Measuring at the keyboard: a command for each test, the blank sheets, and what a shop keeps."""

from __future__ import annotations

import importlib
from typing import Any

import click

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
    "sheet": ("retrue.cli.prove_sheet:sheet", "A blank sheet to fill in pencil, as PDF."),
    "list": ("retrue.cli.prove_shop:list_", "All tests of a machine: results, and the next one."),
    "keep": ("retrue.cli.prove_keep:keep", "Keep a file of readings; result, then the price."),
    "limits": ("retrue.cli.prove_limits:limits", "The table of limits, and your own word on it."),
    "instrument": ("retrue.cli.prove_limits:instrument", "What you measure with."),
    "acceptance": ("retrue.cli.prove_shop:acceptance", "What is proved of a machine, as PDF."),
}


class ByTest(click.Group):
    """A group with one command for each test, loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The tests, the daily five first, then what the shop keeps."""
        return [*TESTS, *KEPT]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Make the command of a test, or load another one."""
        if cmd_name in TESTS:
            from retrue.cli.prove_tests import command_of

            return command_of(cmd_name)
        if cmd_name not in KEPT:
            return None
        module, _, name = KEPT[cmd_name][0].partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; an unknown one is answered with all there are."""
        known = self.list_commands(ctx)
        if args and args[0] not in known and not args[0].startswith("-"):
            ctx.fail(f"There is no test {args[0]}. Tests: {', '.join(TESTS)}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        with formatter.section("Tests"):
            formatter.write_dl(list(TESTS.items()))
        with formatter.section("What a shop keeps"):
            formatter.write_dl([(name, words) for name, (_, words) in KEPT.items()])


@click.group(cls=ByTest)
def prove(**_: Any) -> None:
    """What readings mean: a result, what to turn or enter, what you should then read.

    FILE is CSV or XLSX with one reading a line; docs/prove.md has the columns of each test. A
    result is an estimate for planning. Local codes and licensed trades go first.
    """
