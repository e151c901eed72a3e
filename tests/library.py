"""The kinds that came with the program, read once a process; tests read them and change nothing."""

from __future__ import annotations

import linecache
import pickle
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
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
    from retrue.cases.case import Kept, LotCase
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


@contextmanager
def unchanged() -> Iterator[None]:
    """Before an example every source that was ever read is looked at anew: none changes here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(linecache, "checkcache", lambda _name=None: None)
        yield


DAY = datetime(2000, 1, 1, 8, tzinfo=UTC)
_priced: dict[tuple[Any, ...], tuple[PriceSheet, list[Kind]]] = {}


def _numbered(case: LotCase) -> tuple[LotCase, dict[str, str]]:
    """A case whose findings are named by their order, and what each is called in its shop.

    An id is drawn anew in every shop, of a finding as of its photograph, and the clock is another
    one; no sum hangs on them: `tests.cases.test_sheet_json`. Of the moments their order is left.
    Where something happened as well, it may name a finding: the case stays as it is.
    """
    if case.happened:
        return case, {}
    called = {f"{at:06}": kept.id for at, kept in enumerate(case.findings)}
    named = zip(called, _timeless(case.findings), strict=True)
    return replace(case, findings=tuple(replace(kept, id=id) for id, kept in named)), called


def _timeless(findings: tuple[Kept, ...]) -> Iterator[Kept]:
    """Findings of one day, a second after one another, their photographs numbered.

    A day without an hour is neither before nor after an hour of it: then all moments stay.
    """
    moments = {kept.at for kept in findings if kept.at is not None}
    hours = all(moment.tzinfo and moment.time() != time() for moment in moments)
    order = sorted(moments) if hours else []
    ranked = {at: DAY + timedelta(seconds=rank) for rank, at in enumerate(order)}
    shown = list(dict.fromkeys(kept.finding.picture for kept in findings))
    for kept in findings:
        at = ranked.get(kept.at, kept.at) if kept.at is not None else None
        picture = kept.finding.picture
        if picture is not None:
            picture = f"{shown.index(picture):06}"
        yield replace(kept, at=at, finding=replace(kept.finding, picture=picture))


def _called(sheet: PriceSheet, called: Mapping[str, str]) -> PriceSheet:
    """A sheet with the ids of its own shop; the machine stands behind what a lot was said of."""

    def own(key: str) -> str:
        id, at, machine = key.partition("@")
        return called.get(id, id) + at + machine

    return replace(
        sheet,
        moved=tuple(replace(row, finding=own(row.finding)) for row in sheet.moved),
        set_aside=tuple(map(own, sheet.set_aside)),
        not_used=tuple(map(own, sheet.not_used)),
    )


_summed: dict[tuple[Any, ...], tuple[Any, list[Kind | None]]] = {}


def _once(work_out: Callable[..., Any]) -> Callable[..., Any]:
    """A sum of a case that is worked out once for all it is asked with, and in each language."""
    from retrue.base.say import reader
    from retrue.cases.sheet_json import case_key

    def asked(
        case: LotCase, kinds: Mapping[str, Kind], *told: Any, seed: int, worlds: int, **more: Any
    ) -> Any:
        used = [kinds.get(one.kind) for one in case.machines]
        key = (
            work_out,
            case_key(case, kinds, seed, worlds),
            reader(),
            *map(id, used),
            repr((told, sorted(more.items()))),
        )
        if key not in _summed:
            _summed[key] = work_out(case, kinds, *told, seed=seed, worlds=worlds, **more), used
        return _summed[key][0]

    return asked


@contextmanager
def priced_once() -> Iterator[None]:
    """The same case, kinds, seed and worlds are priced once a process and language.

    What a lot was to cost and what is to come of it likewise.
    """
    from retrue.base.say import reader
    from retrue.cases import pricing  # late: most tests need no price
    from retrue.cases.settle.cost_still import still_of
    from retrue.cases.settle.forecast import forecast_of
    from retrue.cases.sheet_json import case_key
    from retrue.phases.settle import costing

    work_out = pricing.price

    def price(
        case: LotCase, kinds: Mapping[str, Kind], *, seed: int, worlds: int, **more: Any
    ) -> PriceSheet:
        used = [kinds[one.kind] for one in case.machines]
        plain, called = _numbered(case)
        key = (
            case_key(plain, kinds, seed, worlds),
            reader(),
            *map(id, used),
            *sorted(more.items()),
        )
        if key not in _priced:
            _priced[key] = work_out(plain, kinds, seed=seed, worlds=worlds, **more), used
        return _called(_priced[key][0], called)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pricing, "price", price)
        patch.setattr(costing, "forecast_of", _once(forecast_of))
        patch.setattr(costing, "still_of", _once(still_of))
        yield
