"""Options that the commands of fault-finding share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from retrue.cases.find.advice import GOALS

C = TypeVar("C", bound=Callable[..., Any])
LEVELS = tuple(goal for goal in GOALS if goal != "clear")
WORLDS = 1000


def case_argument(command: C) -> C:
    """CASE: a file or a lot."""
    return click.argument("case", metavar="CASE")(command)


def machine_option(command: C) -> C:
    """--machine."""
    return click.option(
        "--machine", metavar="NAME", help="Which machine; else the one last told of, or the only."
    )(command)


def trouble_option(command: C) -> C:
    """--trouble."""
    return click.option(
        "--trouble", metavar="ID|SYMPTOM", help="Which trouble; else the newest that stands."
    )(command)


def goal_option(command: C) -> C:
    """--goal."""
    return click.option(
        "--goal",
        type=click.Choice(GOALS),
        default="clear",
        show_default=True,
        help="Clear one trouble, or bring the machine to a level.",
    )(command)


def draw_options(command: C) -> C:
    """--seed, --worlds: of the search."""
    command = click.option(
        "--worlds",
        type=click.IntRange(100, 100_000),
        default=WORLDS,
        show_default=True,
        help="In how many ways it may be.",
    )(command)
    return click.option(
        "--seed",
        type=click.IntRange(0, 2**63 - 1),
        default=7,
        show_default=True,
        help="Start of the chance; the same seed gives the same numbers.",
    )(command)
