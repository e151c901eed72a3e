"""The bench of one machine: its tests in order, what each said last, and which comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from retrue.cases.prove.deed import Deed, deeds
from retrue.cases.prove.proof import not_level
from retrue.kinds.library import Kind
from retrue.phases.prove.order import LEVEL, state_of
from retrue.phases.prove.places import find, first_id
from retrue.phases.prove.views import BenchView, TestLine
from retrue.records.measuring import ReadingSet, Result
from retrue.records.shop import Record, RecordShop


def bench(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> BenchView:
    """All tests of one machine.

    Parameters
    ----------
    shop : RecordShop
        Where they are kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    BenchView
        The daily five first, level before all; ``next`` is the first that is not done, an
        unfinished set before a new one.
    """
    spot = find(shop, lot, machine, kinds)
    said = shop.current(Result, lot=spot.lot, machine=spot.machine)
    last = {one.fact.test: one for one in said}
    waiting = _waiting(shop, spot.lot, spot.machine, said)
    level = state_of(last.get(LEVEL))
    lines = tuple(_line(one, last, waiting, level.why) for one in in_order(deeds()))
    return BenchView(spot.lot, spot.machine, spot.name, lines, _next(lines, level.why), level.why)


def in_order(tests: Sequence[Deed]) -> list[Deed]:
    """The daily five first, each part in its own order."""
    return sorted(tests, key=lambda one: not one.daily)


def _waiting(
    shop: RecordShop, lot: str, machine: str, said: Sequence[Record[Result]]
) -> dict[str, Record[ReadingSet]]:
    """The newest set of each test that has said nothing yet."""
    done = {one.fact.set for one in said}
    sets = shop.current(ReadingSet, lot=lot, machine=machine)
    return {one.fact.test: one for one in sets if first_id(shop, one) not in done}


def _line(
    one: Deed,
    last: Mapping[str, Record[Result]],
    waiting: Mapping[str, Record[ReadingSet]],
    level: str,
) -> TestLine:
    provisional = not_level() if one.needs_level and level else ""
    return TestLine(one, last.get(one.id), waiting.get(one.id), provisional)


def _next(lines: Sequence[TestLine], level: str) -> TestLine:
    if level:
        return next(line for line in lines if line.deed.id == LEVEL)
    for line in lines:
        if line.last is None or line.last.fact.provisional:
            return line
    bad = [line for line in lines if line.last and line.last.fact.ruling == "proved_bad"]
    oldest = min(lines, key=lambda line: line.last.seq if line.last else 0)
    return bad[0] if bad else oldest
