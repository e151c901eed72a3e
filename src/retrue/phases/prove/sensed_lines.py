"""What was measured of sound, vibration and light, read back; and what it says side by side."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.prove.quiet import Quiet, made_quiet
from retrue.cases.prove.sensed import Sense, SensedLine, give_or_take, nothing_told, sense
from retrue.kinds.library import Kind
from retrue.phases.prove.instruments import Gauge, gauge, instrument_of, same_unit
from retrue.phases.prove.places import find, first_id
from retrue.records.facts import Finding
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import Sensed, SensedResult

MARK = ".learned-"  # between the id of what was measured and the look that a finding answers
INSTRUMENT = "instrument"  # option: with what it was read


def quiet(shop: RecordShop, lot: str, machine: str, kinds: Mapping[str, Kind]) -> Quiet:
    """All that was measured of a machine, side by side, and what comes next.

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
    Quiet
    """
    spot = find(shop, lot, machine, kinds)
    return made_quiet(spot, sensed(shop, spot.lot, spot.machine))


def sensed(shop: RecordShop, lot: str, machine: str) -> tuple[SensedLine, ...]:
    """All that was measured of a machine, oldest first, each with what it said.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.

    Returns
    -------
    tuple of SensedLine
    """
    spot = find(shop, lot, machine, {})
    at = {"lot": spot.lot, "machine": spot.machine}
    answers = {one.fact.sensed: one.fact for one in shop.current(SensedResult, **at)}
    told: dict[str, list[Record[Finding]]] = {}
    for finding in shop.current(Finding, **at):
        of, mark, _ = first_id(shop, finding).rpartition(MARK)
        if mark:
            told.setdefault(of, []).append(finding)
    tools: dict[object, Gauge] = {}  # of one day's readings it is the same
    made = []
    for record in shop.current(Sensed, **at):
        id, one = first_id(shop, record), sense(record.fact.sort)
        key = (one.sort, dict(record.fact.options).get(INSTRUMENT), record.observed_at.date())
        if key not in tools:
            tools[key] = tool_of(shop, one, record)
        answer = _answered(record, answers.get(id))
        made.append(_line(id, record, answer, tools[key], tuple(told.get(id, ()))))
    return tuple(made)


def _answered(record: Record[Sensed], result: SensedResult | None) -> Mapping[str, Any]:
    """What it said; where the sending broke off before that, why there is no number."""
    if result is not None:
        answer: Mapping[str, Any] = json.loads(result.answer)
        return answer
    why = say("It was kept and then broke off: send it again, or keep it anew and take this back.")
    return nothing_told(sense(record.fact.sort), why)


def tool_of(shop: RecordShop, one: Sense, record: Record[Sensed]) -> Gauge:
    """The instrument on the day of the reading; one that is no longer kept says nothing."""
    named = dict(record.fact.options).get(INSTRUMENT)
    if named is None:
        return Gauge()
    try:
        unit = instrument_of(shop, named)[1].fact.unit
    except Unknown:
        return Gauge()
    known = next((each for each in one.units if same_unit(each, unit)), one.unit)
    return gauge(shop, named, known, record.observed_at.date())


def _line(
    id: str,
    record: Record[Sensed],
    answer: Mapping[str, Any],
    tool: Gauge,
    told: tuple[Record[Finding], ...],
) -> SensedLine:
    one = sense(record.fact.sort)
    return SensedLine(
        id=id,
        record=record,
        sense=one,
        answer=answer,
        value=answer.get(one.key),
        give_or_take=give_or_take(one, answer, tool.uncertainty),
        instrument=tool.fact.name if tool.fact else "",
        learned=told,
    )
