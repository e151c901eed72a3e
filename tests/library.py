"""The kinds that came with the program, read once a process; tests read them and change nothing."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache, lru_cache

import pytest

from retrue.base.refusals import Problem
from retrue.kinds import load as reading
from retrue.kinds import sources
from retrue.kinds.library import Kind
from retrue.kinds.load import Files
from retrue.kinds.load import load as read


@cache
def _shipped() -> dict[str, Kind]:
    return dict(read())


def load(owner: Files = (), *, only: tuple[str, ...] = ()) -> dict[str, Kind]:
    """What ``retrue.kinds.load.load`` gives; with numbers of the owner's it is read anew."""
    if owner:
        return dict(read(owner, only=only))
    return {id: kind for id, kind in _shipped().items() if not only or id in only}


@lru_cache(maxsize=128)  # the files of the library, and some that a test has made of them
def _parsed(name: str, content: bytes) -> bytes:
    return pickle.dumps(sources.read_document(name, content))


def _tables(name: str, content: bytes) -> sources.Document | Problem:
    found: sources.Document | Problem = pickle.loads(_parsed(name, content))
    return found


@contextmanager
def parsed_once() -> Iterator[None]:
    """Parse a file of the same bytes once; whoever reads it has tables of his own all the same."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reading, "read_document", _tables)
        yield


@contextmanager
def read_once() -> Iterator[None]:
    """The examples of rooms that only use the library are given what was read already."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reading, "load", load)
        yield
