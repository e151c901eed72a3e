"""The kinds that came with the program, read once a process; tests read them and change nothing."""

from __future__ import annotations

import pickle
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import pytest

from retrue.base.refusals import Problem
from retrue.kinds import load as reading
from retrue.kinds import sources
from retrue.kinds.library import Kind
from retrue.kinds.load import Files
from retrue.kinds.load import load as read

if TYPE_CHECKING:
    from retrue.cases.case import LotCase
    from retrue.cases.sheet import PriceSheet


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
    """Parse a file of the same bytes once; whoever reads it has tables of his own all the same.

    A deed that is not told the kinds takes those that came with the program: read once as well.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reading, "read_document", _tables)
        for name, module in tuple(sys.modules.items()):
            if name.startswith("retrue.phases.") and vars(module).get("load") is read:
                patch.setattr(module, "load", load)
        yield


@contextmanager
def read_once() -> Iterator[None]:
    """The examples of rooms that only use the library are given what was read already."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reading, "load", load)
        yield


_priced: dict[tuple[Any, ...], tuple[PriceSheet, list[Kind]]] = {}


@contextmanager
def priced_once() -> Iterator[None]:
    """The same case, kinds, seed and worlds are priced once a process, not once a shop."""
    from retrue.cases import pricing  # late: most tests need no price
    from retrue.cases.sheet_json import case_key

    work_out = pricing.price

    def price(
        case: LotCase, kinds: Mapping[str, Kind], *, seed: int, worlds: int, **more: Any
    ) -> PriceSheet:
        used = [kinds[one.kind] for one in case.machines]
        key = (case_key(case, kinds, seed, worlds), *map(id, used), *sorted(more.items()))
        if key not in _priced:
            _priced[key] = work_out(case, kinds, seed=seed, worlds=worlds, **more), used
        return _priced[key][0]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pricing, "price", price)
        yield
