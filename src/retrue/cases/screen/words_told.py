"""What the words of a title or a remark say beside the type: year, number, mass, travels. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.cases.screen.cells import Heard, Ways


def facts_in(text: str, ways: Ways) -> Iterator[Heard]:
    """Facts of a machine in words.

    Parameters
    ----------
    text : str
    ways : Ways

    Yields
    ------
    Heard
    """
    yield from ()
