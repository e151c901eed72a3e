"""A group of commands that loads none of them before it is called."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click


class ByDeed(click.Group):
    """A group whose commands are loaded when they are called."""

    def __init__(self, *args: Any, deeds: Mapping[str, tuple[str, str]], **more: Any) -> None:
        super().__init__(*args, **more)
        self.deeds = deeds  # by name: module:function under retrue.cli, and its words

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in the order of the job."""
        return list(self.deeds)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command."""
        if cmd_name not in self.deeds:
            return None
        module, _, name = self.deeds[cmd_name][0].partition(":")
        command: click.Command = getattr(importlib.import_module(f"retrue.cli.{module}"), name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; an unknown one is answered with all there are."""
        if args and args[0] not in self.deeds and not args[0].startswith("-"):
            ctx.fail(f"There is no command {args[0]}. Commands: {', '.join(self.deeds)}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in self.deeds.items()])
