"""The outermost command: names every other one, loads none before it is called."""

from __future__ import annotations

import importlib
from typing import Any

import click

import retrue

# name: (where it lives, what it does); the words stand here so that help loads nothing
COMMANDS: dict[str, tuple[str, str]] = {
    "next": ("retrue.cli.next:next_", "What to do next: at every machine, or at one."),
    "worth": ("retrue.cli.worth:worth", "What to pay: price, questions, text, freeze, visit."),
    "lot": ("retrue.cli.lot:lot", "Lots: a new one, a list, one shown, one written to a file."),
    "search": ("retrue.cli.search:search_", "Find anything: kept, known, pages, codes on paper."),
    "note": ("retrue.cli.note:note", "Keep what was seen: finding, photo, line, file, alarm."),
    "move": ("retrue.cli.move:move", "Move and place: numbers before every lift, supply, air."),
    "strip": ("retrue.cli.strip:strip", "Taking apart: first night, labels, cleaning, not back."),
    "find": ("retrue.cli.find:find", "What is wrong: symptom, next step, what was tried."),
    "fix": ("retrue.cli.fix:fix", "What to do: tonight, who owes you, what to buy, dates."),
    "wake": ("retrue.cli.wake:wake", "First power: stage by stage, the run-in watch, numbers."),
    "prove": ("retrue.cli.prove:prove", "What readings mean: result, remedy, what is then read."),
    "settle": ("retrue.cli.settle:settle", "Money and sale: the book, hours, cost, record."),
    "shop": ("retrue.cli.shop:shop", "The shop itself: backup, restore, copy, take away."),
    "kinds": ("retrue.cli.kinds:kinds", "Types of machine: list, show, check your own numbers."),
    "words": ("retrue.cli.words_out:words", "Sentences: written out, checked, your own taken."),
    "help": ("retrue.cli.help:help_", "The manual: a word of it, a command, a refusal; its pages."),
    "open": ("retrue.cli.opening:open_", "Open the pages, for this laptop or for the phone too."),
    "demo": ("retrue.cli.demo:demo", "Walk the invented lot, from its listing to the sale."),
}


class Lazy(click.Group):
    """A group whose commands are loaded when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in the order of the job."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command."""
        if cmd_name not in COMMANDS:
            return None
        module, _, name = COMMANDS[cmd_name][0].partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; an unknown one is answered with the nearest."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            import difflib

            close = difflib.get_close_matches(args[0], COMMANDS, n=1, cutoff=0.5)
            hint = f" Did you mean {close[0]}?" if close else f" Commands: {', '.join(COMMANDS)}."
            ctx.fail(f"There is no command {args[0]}.{hint}")
        return super().resolve_command(ctx, args)


@click.group(cls=Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(retrue.__version__, prog_name="retrue", message="%(prog)s %(version)s")
def cli(**_: Any) -> None:
    """What to pay for worn machine tools, and how to make them true again.

    Every number is an estimate for planning. Local codes and licensed trades go first.
    """
