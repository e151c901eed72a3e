"""How far a machine is: what lies behind it costs nothing more, whatever was spent on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.find.standing import Standing
from retrue.cases.options import Shared
from retrue.cases.plans import (
    AS_FOUND,
    KEEP,
    NEW_CONTROL,
    PART_OUT,
    SELL_AS_FOUND,
    SELL_PROVEN,
    SELL_RUNNING,
    Plan,
    Prospect,
)
from retrue.kinds.library import LEVELS

Floats = NDArray[np.float64]
LEVEL_SOLD = {SELL_RUNNING: LEVELS[0], SELL_PROVEN: LEVELS[1]}


@dataclass(frozen=True, slots=True)
class Far:
    """What is behind a machine.

    Attributes
    ----------
    here : bool
        It stands on our floor: removal, road and rig-in are paid.
    powered : bool
        Hooked up and filled.
    running : bool
        It ran: as it stands it would be sold as a running one, less what is known of it.
    """

    here: bool = False
    powered: bool = False
    running: bool = False


def far_of(state: Standing, *, arrived: bool = False) -> Far:
    """How far a machine is, by what was signed and done.

    Parameters
    ----------
    state : Standing
    arrived : bool
        It is known to have come; taken as come also where anything was done to it.

    Returns
    -------
    Far

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> bare = dict(jobs_done=(), ways_tried={}, open_places=())
    >>> far_of(SimpleNamespace(signed={"apart"}, **bare))
    Far(here=True, powered=False, running=False)
    """
    touched = state.signed or state.jobs_done or state.ways_tried or state.open_places
    return Far(
        here=arrived or bool(touched),
        powered="power_up" in state.signed,
        running="running" in state.signed,
    )


def from_here(prospect: Prospect, far: Far) -> Prospect:
    """The same machine as one that begins today: what is paid and waited for is left out.

    Parameters
    ----------
    prospect : Prospect
        As the price has it.
    far : Far

    Returns
    -------
    Prospect
        With the same worlds; the one given stays as it was.
    """
    if not far.here:
        return prospect
    land, none = prospect.landing, np.zeros(len(prospect.age))
    landing = replace(
        land,
        floor=dict.fromkeys(land.floor, none),
        floor_hours=none,
        power=dict.fromkeys(land.power, none) if far.powered else land.power,
        power_hours=none if far.powered else land.power_hours,
    )
    return replace(
        prospect,
        landing=landing,
        wait=none,
        stands=LEVELS[0] if far.running else AS_FOUND,
        left_now=_left(prospect) if far.running else 1.0,
        _fixed={},
    )


def shared_from_here(shared: Shared, far: Far, machines: int) -> tuple[Floats, Floats]:
    """One machine's share of what is spent once if any is to run: money, own hours.

    Parameters
    ----------
    shared : Shared
    far : Far
        Hooked up: nothing more.
    machines : int
        In the lot.

    Returns
    -------
    money, hours : ndarray, shape (worlds,)
    """
    if far.powered:
        none = np.zeros(len(shared.running_money))
        return none, none
    return shared.running_money / machines, shared.running_hours / machines


def plan_of(aim: str, level: str) -> Plan:
    """The plan of an aim at a level; an aim without work has no level.

    Parameters
    ----------
    aim : str
        keep, new_control, sell_running, sell_proven, sell_as_found, part_out.
    level : str
        Empty: that of the aim, else right.

    Returns
    -------
    Plan

    Examples
    --------
    >>> plan_of("keep", "like_new"), plan_of("sell_running", "")
    (Plan(name='keep', level='like_new'), Plan(name='sell_running', level='just_running'))
    """
    if aim in (SELL_AS_FOUND, PART_OUT):
        return Plan(aim)
    known = aim if aim in (KEEP, NEW_CONTROL, *LEVEL_SOLD) else KEEP
    return Plan(known, level or LEVEL_SOLD.get(aim, LEVELS[1]))


def _left(prospect: Prospect) -> Floats:
    """Share of the resale left in every world, for the faults that are there now."""
    bench = prospect.workshop.bench
    logs = np.array([np.log1p(-min(0.99, fault.resale_drop_share)) for fault in bench.faults])
    return np.asarray(np.exp(logs @ bench.states))
