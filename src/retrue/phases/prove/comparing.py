"""Before and after: the same test at the same place, and whether it changed more than its doubt."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from retrue.base.refusals import NotYet, Unusable
from retrue.base.say import say
from retrue.cases.prove.proof import Cell, Grid, Proof, Quantity
from retrue.kinds.library import Kind
from retrue.phases.prove.judging import work_out
from retrue.phases.prove.sets import set_line
from retrue.records.measuring import ReadingSet
from retrue.records.shop import Record, RecordShop


def compare(shop: RecordShop, set_id: str, kinds: Mapping[str, Kind]) -> Grid | None:
    """A set against the one before it.

    Parameters
    ----------
    shop : RecordShop
        Where both are kept.
    set_id : str
        Of the later one.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Grid or None
        Each quantity before, after, its change and the doubt of that; None where there is nothing
        to compare it with: neither a set it names nor an earlier one of that test and place.
    """
    record = set_line(shop, set_id)[1]
    after = work_out(shop, set_id, kinds)
    for earlier in _earlier(shop, record):
        try:
            before = work_out(shop, earlier, kinds)
        except (Unusable, NotYet):
            continue  # begun and left; an older one may be whole
        return _grid(before, after)
    return None


def _earlier(shop: RecordShop, record: Record[ReadingSet]) -> list[str]:
    said = record.fact
    if said.before:
        return [said.before]
    alike = shop.current(ReadingSet, lot=said.lot, machine=said.machine)
    return [
        set_line(shop, one.id)[0]
        for one in reversed(alike)
        if one.seq < record.seq and (one.fact.test, one.fact.place) == (said.test, said.place)
    ]


def _grid(before: Proof, after: Proof) -> Grid:
    then = {one.key: one for one in before.quantities}
    columns = (
        say("what"), say("unit"), say("before"), say("give or take"), say("after"),
        say("give or take"), say("change"), say("give or take"), say("what it says"),
    )  # fmt: skip
    rows = tuple(_rows(then, after))
    digits = max((one.digits for one in after.quantities), default=1)
    return Grid(title=say("Before and after"), columns=columns, rows=rows, digits=digits)


def _rows(then: Mapping[str, Quantity], after: Proof) -> Iterator[tuple[Cell, ...]]:
    for now in after.quantities:
        was = then.get(now.key)
        if was is None or was.value is None or now.value is None:
            continue
        change = now.value - was.value
        doubt = None
        if was.uncertainty is not None and now.uncertainty is not None:
            doubt = math.hypot(was.uncertainty, now.uncertainty)
        yield (
            now.name, now.unit, was.value, was.uncertainty, now.value, now.uncertainty,
            change, doubt, _says(change, doubt),
        )  # fmt: skip


def _says(change: float, doubt: float | None) -> str:
    if doubt is None:
        return say("nobody has said how far a reading may be off")
    if abs(change) > doubt:
        return say("changed more than the doubt")
    return say("no change that the instrument can see")
