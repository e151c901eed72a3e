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
            ctx.fail(f"There is no command {args[0]}. Commands: {', '.join(map(str, self.deeds))}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in self.deeds.items()])


class BySection(click.Group):
    """A group that lists its commands under headings and loads none before it is called.

    A command lives at ``module:function`` under retrue.cli; with ``()`` behind it the function is
    called with the command's name and makes the command.
    """

    def __init__(
        self,
        *args: Any,
        sections: Mapping[str, Mapping[str, tuple[str, str]]],
        noun: str = "command",
        **more: Any,
    ) -> None:
        super().__init__(*args, **more)
        self.sections = sections  # heading -> name -> where it lives, and its words
        self.noun = noun  # what the first section is a list of

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in the order of the job."""
        return [name for section in self.sections.values() for name in section]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command, or make it."""
        for section in self.sections.values():
            if cmd_name in section:
                module, _, name = section[cmd_name][0].partition(":")
                found = getattr(
                    importlib.import_module(f"retrue.cli.{module}"), name.removesuffix("()")
                )
                command: click.Command = found(cmd_name) if name.endswith("()") else found
                return command
        return None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; an unknown one is answered with those of the first section."""
        if args and args[0] not in self.list_commands(ctx) and not args[0].startswith("-"):
            first = ", ".join(map(str, next(iter(self.sections.values()))))
            ctx.fail(f"There is no {self.noun} {args[0]}. {self.noun.capitalize()}s: {first}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the words above."""
        for heading, section in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name, words) for name, (_, words) in section.items()])


def made_by(maker: str, words: Mapping[str, str]) -> dict[str, tuple[str, str]]:
    """Commands that one function makes by their names.

    Parameters
    ----------
    maker : str
        ``module:function()`` under retrue.cli.
    words : mapping
        Name to what it tells.

    Returns
    -------
    dict
        A section of :class:`BySection`.
    """
    return {name: (maker, told) for name, told in words.items()}
