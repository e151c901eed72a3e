"""All choices of one machine, and whether to go on: worked out once for the same state."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import date, datetime
from typing import Any, TypedDict, Unpack

import msgspec

from retrue.base.refusals import Unknown
from retrue.base.say import say, spelled
from retrue.cases.case import LotCase
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.fix.choice_lines import Options, StopLoss
from retrue.cases.fix.options import options_of, refuse_limits, stop_of
from retrue.cases.fix.scene import Scene, scene_of
from retrue.cases.kept_case import kept_case
from retrue.cases.known import nearest
from retrue.cases.sheet_json import case_key, dumps
from retrue.cases.spot import Spot
from retrue.kinds.library import Kind
from retrue.phases.fix.here import machine_at
from retrue.records.moving import Arrived
from retrue.records.shop import RecordShop

SEED = 7
WORLDS = 2000


class Asked(TypedDict, total=False):
    """What is asked beside the machine.

    Attributes
    ----------
    level : str or None
        How far; None: as the machine is worked for.
    budget : float or None
        Money from here on.
    by_on : date or None
        A day by which every wait must be over.
    """

    level: str | None
    budget: float | None
    by_on: date | None


def options(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    seed: int = SEED,
    worlds: int = WORLDS,
    **asked: Unpack[Asked],
) -> Options:
    """All choices of one machine of the shop.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of kind id to Kind
    now : datetime
        Quotes that have run out by its day do not count.
    seed, worlds : int
        Of the draws.
    **asked : Asked
        Level, budget, day.

    Returns
    -------
    Options

    Raises
    ------
    Unknown
        No such lot, machine or level.
    Unusable
        A budget below nothing, a day that is past, answers that contradict each other.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    refuse_limits(now.date(), asked.get("budget"), asked.get("by_on"))
    case, arrived = _kept(shop, spot, kinds, now.date())
    told = (case_key(case, kinds, seed, worlds), spot.name, now.date(), arrived, asked)
    key = "fix options " + _hash(told)
    known = shop.recall(key)
    if known is not None:
        return msgspec.convert(json.loads(known), Options)
    scene = _scene(case, spot.name, kinds, asked.get("level"), arrived, seed, worlds)
    ids, limits = (spot.lot, spot.machine), (asked.get("budget"), asked.get("by_on"))
    made = options_of(scene, on=now.date(), ids=ids, budget=limits[0], by_on=limits[1])
    shop.remember(key, json.dumps(spelled(asdict(made))).encode())
    return made


def options_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    seed: int = SEED,
    worlds: int = WORLDS,
    **asked: Unpack[Asked],
) -> Options:
    """The same for a lot that stands in a file; ``machine`` by name."""
    budget, by_on = asked.get("budget"), asked.get("by_on")
    refuse_limits(now.date(), budget, by_on)
    scene = _scene(case, machine, kinds, asked.get("level"), False, seed, worlds)
    return options_of(scene, on=now.date(), budget=budget, by_on=by_on)


def stop_loss(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    now: datetime,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> StopLoss:
    """Whether to go on with one machine, from today."""
    spot, _ = machine_at(shop, lot, machine, kinds)
    case, arrived = _kept(shop, spot, kinds, now.date())
    return stop_of(_scene(case, spot.name, kinds, None, arrived, seed, worlds))


def _kept(
    shop: RecordShop, spot: Spot, kinds: Mapping[str, Kind], on: date
) -> tuple[LotCase, bool]:
    """The lot at what is quoted, agreed and paid, and whether this machine came."""
    told = agreed_of(shop, spot.lot, kept_case(shop, spot.lot), kinds, on=on)
    return told.case, bool(shop.current(Arrived, lot=spot.lot, machine=spot.machine))


def _scene(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    level: str | None,
    arrived: bool,
    seed: int,
    worlds: int,
) -> Scene:
    _known(case, machine, kinds, level)
    return scene_of(case, machine, kinds, level=level, arrived=arrived, seed=seed, worlds=worlds)


def _known(case: LotCase, machine: str, kinds: Mapping[str, Kind], level: str | None) -> None:
    """Unknown, with the nearest, where there is no such machine or level."""
    of = {one.name: one.kind for one in case.machines}
    if machine not in of:
        raise Unknown(
            say("the lot has no machine {name}", name=machine), remedy=nearest(machine, of)
        )
    levels = kinds[of[machine]].levels
    if level is not None and level not in levels:
        raise Unknown(say("there is no level {level}", level=level), remedy=nearest(level, levels))


def _hash(*told: Any) -> str:
    return hashlib.sha256(dumps({"told": told}).encode()).hexdigest()
