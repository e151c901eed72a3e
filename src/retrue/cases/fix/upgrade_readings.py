"""What was read of noise and light at one machine: what an extra is held against."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from retrue.cases.case import LotCase
from retrue.cases.prove.sensed import CUTTING, OFF, SENSES, WITHOUT
from retrue.cases.spot import first_id
from retrue.records.measuring import Result
from retrue.records.shop import Record, RecordShop
from retrue.records.waking import Sensed, SensedResult

LEVEL, LIGHT = "M28", "M29"  # measures: level at the ear, light on the work


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Noise and light as they were read last.

    Attributes
    ----------
    level_a_db : float or None
        A-weighted at the operator's ear; cutting, where that was read.
    state : str
        In which state of the machine.
    checked : bool
        By a meter that is checked or heard a known level; False: by a telephone, say.
    lux : float or None
        Mean light on the work.
    """

    level_a_db: float | None = None
    state: str = ""
    checked: bool = True
    lux: float | None = None


def readings_of_case(case: LotCase, machine: str) -> Readings:
    """What findings say of noise and light.

    Parameters
    ----------
    case : LotCase
    machine : str
        Its name.

    Returns
    -------
    Readings
        The newest of each.

    Examples
    --------
    >>> from retrue.cases.case import Kept
    >>> from retrue.records.facts import Finding, Lot, Shop, Terms
    >>> read = Finding(lot="a", machine="A", check="C95", measure="M29", reading=220.0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(),
    ...                findings=(Kept(id="1", finding=read),))
    >>> readings_of_case(case, "A").lux
    220.0
    """
    last = {
        kept.finding.measure: kept.finding.reading
        for kept in case.findings
        if kept.finding.machine == machine and kept.finding.reading is not None
    }
    idle = SENSES["sound"].states[0] if LEVEL in last else ""
    return Readings(level_a_db=last.get(LEVEL), state=idle, lux=last.get(LIGHT))


def readings_kept(shop: RecordShop, lot: str, machine: str, case: LotCase, name: str) -> Readings:
    """What was sensed and measured, and where that is nothing, what findings say.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot, machine : str
        Ids of their first records.
    case : LotCase
    name : str
        Of the machine.

    Returns
    -------
    Readings
    """
    told = readings_of_case(case, name)
    at = {"lot": lot, "machine": machine}
    answers = {one.fact.sensed: one.fact.answer for one in shop.current(SensedResult, **at)}
    sensed = [
        (record, value)
        for record in shop.current(Sensed, **at)
        if (value := _value(record.fact, answers.get(first_id(shop, record)))) is not None
    ]
    sound = _loud([one for one in sensed if one[0].fact.sort == "sound"])
    lights = [(r.observed_at, value) for r, value in sensed if r.fact.sort == "light"]
    lights += _proved_light(shop.current(Result, **at))
    lux = max(lights, key=lambda one: one[0])[1] if lights else told.lux
    if sound is None:
        return replace(told, lux=lux)
    record, level = sound
    checked = bool(json.loads(answers[first_id(shop, record)]).get("calibrated"))
    return Readings(level_a_db=level, state=record.fact.state, checked=checked, lux=lux)


def _value(said: Sensed, answer: str | None) -> float | None:
    """The number that is compared, of what was read where the machine's user stands."""
    one = SENSES[said.sort]
    if answer is None or said.state == OFF or said.point not in ("", one.point):
        return None
    if dict(said.options).get(WITHOUT):
        return None
    value = json.loads(answer).get(one.key)
    return float(value) if isinstance(value, int | float) else None


def _loud(found: list[tuple[Record[Sensed], float]]) -> tuple[Record[Sensed], float] | None:
    """The newest while it cuts, else the newest."""
    cutting = [one for one in found if one[0].fact.state == CUTTING]
    return max(cutting or found, key=lambda one: one[0].observed_at, default=None)


def _proved_light(results: Iterable[Record[Result]]) -> list[tuple[datetime, float]]:
    found = []
    for one in results:
        if one.fact.test != "light":
            continue
        value = json.loads(one.fact.answer).get(SENSES["light"].key)
        if isinstance(value, int | float):
            found.append((one.observed_at, float(value)))
    return found
