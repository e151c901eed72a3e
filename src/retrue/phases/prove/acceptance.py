"""The acceptance sheet: the newest word of every test of one machine, as it was kept."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from retrue.base.say import say
from retrue.cases.prove.acceptance import Acceptance, AcceptanceRow
from retrue.cases.prove.deed import deeds
from retrue.cases.prove.proof import Conditions, Quantity, not_level
from retrue.cases.prove.table import unit_of
from retrue.cases.prove.verdicts import judge
from retrue.kinds.library import Kind, Limit
from retrue.phases.prove.bench import in_order
from retrue.phases.prove.limits import judged_by, limits_of
from retrue.phases.prove.places import find
from retrue.phases.prove.sets import fingerprint, open_set
from retrue.phases.prove.views import LimitLine, SetView
from retrue.records.measuring import Result
from retrue.records.shop import Record, RecordShop


def acceptance(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> Acceptance:
    """What is proved of one machine, what is not, and what nobody has tested.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    Acceptance
        The daily five first; the newest result of each test at each place. One that is
        provisional, or older than its readings, stands apart and accepts nothing. Where the table
        has limits for more of its quantities, each has a row.
    """
    spot = find(shop, lot, machine, kinds)
    said = shop.current(Result, lot=spot.lot, machine=spot.machine)
    rows: list[AcceptanceRow] = []
    apart: list[str] = []
    cautions: list[str] = []
    for one in in_order(deeds()):
        mine = _newest(shop, [record for record in said if record.fact.test == one.id], kinds)
        for view, record in mine:
            why = _why_apart(view, record)
            if why:
                apart.append(f"{_title(view)}: {why}")
            else:
                rows += [_row(view, record), *_more(limits_of(shop, one, spot.kind), view, record)]
        if mine:
            cautions += one.cautions
        else:
            rows.append(AcceptanceRow(test=one.id, title=one.title, why=say("not tested")))
    return Acceptance(
        lot=spot.lot_name,
        machine=spot.name,
        rows=tuple(rows),
        provisional=tuple(apart),
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _newest(
    shop: RecordShop, mine: Sequence[Record[Result]], kinds: Mapping[str, Kind]
) -> list[tuple[SetView, Record[Result]]]:
    """The newest result at each place, with the set it came from."""
    newest: dict[str, tuple[SetView, Record[Result]]] = {}
    for record in mine:
        view = open_set(shop, record.fact.set, kinds)
        newest[view.record.fact.place] = (view, record)
    return list(newest.values())


def _why_apart(view: SetView, record: Record[Result]) -> str:
    if view.provisional or record.fact.provisional:
        return not_level()
    if fingerprint(view) != record.fact.readings:
        return say("readings, limit or instrument changed since: judge it again")
    return ""


def _title(view: SetView) -> str:
    place = view.record.fact.place
    return f"{view.deed.title}, {place}" if place else view.deed.title


def _judged_key(view: SetView, told: Mapping[str, Any]) -> str:
    verdict = told.get("verdict") or {}
    known = (key for key in view.deed.judged if isinstance(told.get(key), int | float))
    return verdict.get("key") or next(known, view.deed.judged[0])


def _row(view: SetView, record: Record[Result]) -> AcceptanceRow:
    told: dict[str, Any] = json.loads(record.fact.answer)
    verdict: dict[str, Any] = told.get("verdict") or {}
    key = _judged_key(view, told)
    value = told.get(key)
    number = isinstance(value, int | float)
    return AcceptanceRow(
        test=view.deed.id,
        title=_title(view),
        value=value if number else None,
        unit=unit_of(key),
        uncertainty=verdict.get("uncertainty", told["uncertainty"].get(key)),
        limit=verdict.get("limit"),
        mark=verdict.get("limit_mark", ""),
        ruling=record.fact.ruling,
        why=verdict.get("why") or told["why"].get(key) or say("no limit is given"),
        when=view.record.observed_at,
        by=view.record.by,
        instrument=view.instrument.name if view.instrument else "",
        standard=verdict.get("standard") or told["standard"],
        edition=verdict.get("edition") or told["edition"],
    )


def _more(
    lines: Sequence[LimitLine], view: SetView, record: Record[Result]
) -> Iterator[AcceptanceRow]:
    """Rows for the other quantities of a result that the table has a limit for."""
    told: dict[str, Any] = json.loads(record.fact.answer)
    first = _row(view, record)
    done = {_judged_key(view, told)}
    for line in lines:
        key, value = line.limit.key, told.get(line.limit.key)
        if key in done or not isinstance(value, int | float):
            continue
        done.add(key)
        verdict = judge([_quantity(line.limit, value, told)], Conditions(limit=judged_by(line)))
        if verdict is not None:
            yield replace(
                first, title=f"{_title(view)}: {line.limit.name}", value=value,
                unit=line.limit.unit, uncertainty=verdict.uncertainty, limit=verdict.limit,
                mark=verdict.limit_mark, ruling=verdict.ruling, why=verdict.why,
                standard=verdict.standard, edition=verdict.edition,
            )  # fmt: skip


def _quantity(limit: Limit, value: float, told: Mapping[str, Any]) -> Quantity:
    doubt = told["uncertainty"].get(limit.key)
    return Quantity(key=limit.key, name=limit.name, value=value, unit=limit.unit, uncertainty=doubt)
