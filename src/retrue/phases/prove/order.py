"""Level comes first: whether a machine has been proved level, and what is said while it is not."""

from __future__ import annotations

import json
from dataclasses import dataclass

from retrue.base.say import say
from retrue.records.measuring import Result
from retrue.records.shop import Record, RecordShop

LEVEL = "level"


@dataclass(frozen=True, slots=True)
class LevelState:
    """``why`` is empty on a level machine; ``warning`` says that it is not proved."""

    why: str
    warning: str = ""


def level_state(shop: RecordShop, lot: str, machine: str) -> LevelState:
    """Whether a machine counts as level, by the newest result of its level.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Ids.

    Returns
    -------
    LevelState
        Proved good: level. Within its limit, not proved: level, with a warning. Else not.
    """
    kept = shop.current(Result, lot=lot, machine=machine, test=LEVEL)
    return state_of(kept[-1] if kept else None)


def state_of(last: Record[Result] | None) -> LevelState:
    """The same by that result itself; None while there is none."""
    if last is None:
        return LevelState(say("The level of this machine has not been measured yet."))
    result = last.fact
    if result.provisional:
        return LevelState(say("The level of this machine is only provisional."))
    if result.ruling == "proved_good":
        return LevelState("")
    if result.ruling == "not_proved" and _within(result):
        return LevelState(
            "", say("The level is within its limit, not proved: the machine is taken as level.")
        )
    if not result.ruling:
        return LevelState(say("The level was measured, and nobody has said what it may be."))
    return LevelState(say("The machine is not level: put that right and measure it again."))


def _within(result: Result) -> bool:
    verdict = json.loads(result.answer).get("verdict") or {}
    value, limit = verdict.get("value"), verdict.get("limit")
    return value is not None and limit is not None and abs(value) <= limit
