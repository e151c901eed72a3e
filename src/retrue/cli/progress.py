"""How far a long deed is: a bar on a terminal, plain lines anywhere else, nothing for programs."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from retrue.phases.keeping import step_words

if TYPE_CHECKING:
    from rich.progress import Progress

Tell = Callable[[str, int, int], None]
EVERY = 1000  # between two plain lines; what has fewer is done before one is read


@contextmanager
def shown(quiet: bool = False, every: int = EVERY) -> Iterator[Tell]:
    """Show how far a deed is, beside its answer: on the error channel.

    Parameters
    ----------
    quiet : bool
        A program asks: nothing is shown.
    every : int
        How many between two plain lines.

    Yields
    ------
    callable
        Takes what is being done, how many are done, and of how many; 0: nobody knows.
    """
    if quiet:
        yield lambda what, done, of: None
    elif sys.stderr.isatty():
        yield from _bars()
    else:
        yield _plain(every)


def _plain(every: int) -> Tell:
    said: dict[str, int] = {}

    def tell(what: str, done: int, of: int) -> None:
        if done - said.get(what, 0) < every and (done != of or of < every or said[what] == of):
            return
        said[what] = done
        click.echo(step_words(what, done, of), err=True)

    return tell


def _bars() -> Iterator[Tell]:
    from rich.console import Console  # dear to load
    from rich.progress import BarColumn, Progress, TextColumn

    tasks: dict[str, int] = {}
    columns = (TextColumn("{task.description}"), BarColumn())
    with Progress(*columns, console=Console(stderr=True)) as bars:
        yield _teller(bars, tasks)


def _teller(bars: Progress, tasks: dict[str, int]) -> Tell:
    from rich.progress import TaskID

    def tell(what: str, done: int, of: int) -> None:
        words = step_words(what, done, of)
        if what not in tasks:
            tasks[what] = bars.add_task(words, total=of or None)
        bars.update(TaskID(tasks[what]), description=words, completed=done, total=of or None)

    return tell
