"""Moving at the keyboard: a command for each calculator, and what a shop keeps of a move."""

from __future__ import annotations

import importlib
from typing import Any

import click

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
    "plan": ("retrue.cli.move_shop:plan", "The whole move of a machine: go, no-go, what next."),
    "keep": ("retrue.cli.move_shop:keep", "Keep a calculator as it is filled in."),
    "save": ("retrue.cli.move_rescue:save", "Data saved before the plug is pulled."),
    "readback": ("retrue.cli.move_rescue:readback", "Compare a copy with what was kept."),
    "step": ("retrue.cli.move_rescue:step", "Tick a step of the move, by name."),
    "arrive": ("retrue.cli.move_arrival:arrive", "How it came, and what is broken."),
    "side": ("retrue.cli.move_arrival:side", "A photograph of one side, on truck or floor."),
    "damage": ("retrue.cli.move_arrival:damage", "The damage note: text, last day, PDF."),
    "rest": ("retrue.cli.move_rest:rest", "A machine at rest: rounds, due dates, cell, damp."),
    "round": ("retrue.cli.move_rest:round_", "Keep one round at a machine that rests."),
    "take-back": ("retrue.cli.move_rescue:take_back", "Take back what was said by mistake."),
    "sheet": ("retrue.cli.move_shop:sheet", "The method sheet, as PDF."),
    "layout": ("retrue.cli.move_shop:layout", "The floor plan to scale, as PDF."),
}


class ByMethod(click.Group):
    """A group with one command for each calculator, loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The calculators, then what the shop keeps."""
        return [*METHODS, *KEPT]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Make the command of a calculator, or load another one."""
        if cmd_name in METHODS:
            from retrue.cli.move_methods import command_of

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
            ctx.fail(f"There is no calculator {args[0]}. Calculators: {', '.join(METHODS)}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        with formatter.section("Calculators"):
            formatter.write_dl(list(METHODS.items()))
        with formatter.section("What a shop keeps"):
            formatter.write_dl([(name, words) for name, (_, words) in KEPT.items()])


@click.group(cls=ByMethod)
def move(**_: Any) -> None:
    """Numbers before every lift: go, no-go, or which number to get first.

    Exit 0: go. Exit 2: no-go, or a field that cannot be read. Exit 3: a number is lacking. Every
    answer is an estimate for planning; its caution and the code it defers to stand before it.
    """
