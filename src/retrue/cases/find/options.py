"""Steps as numbers: a look, a way of putting right, a try, help, a signature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrue.base.say import say
from retrue.cases.find.candidates import NEEDS, Look, Way, chain_of, look_of
from retrue.cases.find.seek import Sought

RANK = {"": 0, "apart": 1, "power_up": 2, "running": 3}


@dataclass(frozen=True, slots=True)
class Option:
    """One step as numbers: what :func:`retrue.cases.find.steps.offered` puts in order."""

    sort: Literal["test", "treat", "help", "again", "sign"]
    key: str
    item: int
    cost: float
    value: float
    tie: bool = False
    look: Look | None = None
    way: Way | None = None
    goal: int = 0


def stage_of(sought: Sought, option: Option) -> str:
    """The stop point that must be signed for a step; empty if none.

    Parameters
    ----------
    sought : Sought
    option : Option

    Returns
    -------
    str
    """
    if option.look is not None:
        return option.look.needs
    if option.way is not None:
        return "apart" if sought.purse.open_cost(option.way.opens) > 0.0 else ""
    if option.sort == "again":
        return _trial_stage(sought, option)
    return option.key.partition(":")[2] if option.sort == "sign" else ""


def _trial_stage(sought: Sought, option: Option) -> str:
    if sought.trouble is None:
        group = sought.kind.groups[sought.suspects.groups[option.goal]]
        return NEEDS.get(group.stage, "")
    check = sought.kind.checks.get(sought.symptom.check) if sought.symptom else None
    if check is None or any(stage in check.stages for stage in ("visit_dead", "apart")):
        return ""
    return min((NEEDS.get(s, "") for s in check.stages), key=lambda s: RANK[s] or 9)


def stage_words(stage: str) -> str:
    """A stop point as the page says it.

    Parameters
    ----------
    stage : str

    Returns
    -------
    str

    Examples
    --------
    >>> stage_words("power_up")
    'first power'
    """
    return {
        "apart": say("taking apart"),
        "power_up": say("first power"),
        "running": say("running"),
    }[stage]


def option_of(sought: Sought, key: str, fault: str = "") -> Option | None:
    """A step by its key, as an option without a value of its own yet.

    Parameters
    ----------
    sought : Sought
    key : str
        Of a look, a way, or ``sign:`` and a stage.
    fault : str
        For a job that cures several.

    Returns
    -------
    Option or None
        None where there is no such step.
    """
    if key.startswith("sign:"):
        return Option("sign", key, -1, 0.0, 0.0)
    look = sought.looks.get(key)
    if look is None and key in sought.kind.checks:
        check = sought.kind.checks[key]
        look = look_of(check, sought.state, sought.purse, sought.case.lot.seller)
    open_now = sought.search.open_now
    if look is not None:
        cost = look.spent.cost + sought.purse.open_cost(look.opens, open_now)
        return Option("test", key, -1, cost, 0.0, look=look)
    owner = fault or key.partition(":")[0]
    for way in chain_of(owner, sought.state, sought.purse, None, 0.0):
        if way.key == key:
            cost = way.spent.cost + sought.purse.open_cost(way.opens, open_now)
            return Option("treat", key, _item(sought, owner), cost, 0.0, way=way)
    return None


def _item(sought: Sought, fault: str) -> int:
    for place, item in enumerate(sought.suspects.items):
        if item.fault == fault and item.machine == sought.machine:
            return place
    return -1
