"""What was kept while something was done: so that whoever did it can take it back at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from retrue.records.shop import Record

_NOTED: ContextVar[list[Record[Any]] | None] = ContextVar("noted", default=None)


@contextmanager
def noting() -> Iterator[list[Record[Any]]]:
    """Note every record that a shop keeps from here on, in the threads that are asked from here.

    Yields
    ------
    list of Record
        It grows as records are kept, in their order.

    Examples
    --------
    >>> with noting() as kept:
    ...     note([])
    >>> kept
    []
    """
    kept: list[Record[Any]] = []
    token = _NOTED.set(kept)
    try:
        yield kept
    finally:
        _NOTED.reset(token)


def note(records: Iterable[Record[Any]]) -> None:
    """Tell what was just kept; where nobody notes, nothing happens.

    Parameters
    ----------
    records : iterable of Record
        In their order.
    """
    kept = _NOTED.get()
    if kept is not None:
        kept.extend(records)
