"""Who is suspected: what may be behind a trouble, or keeps a group from a level, world by world."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retrue.cases.find.candidates import Way, targets
from retrue.cases.find.costs import Purse
from retrue.cases.find.standing import Standing
from retrue.cases.network import CaseNetwork
from retrue.choose.seeking import Goal
from retrue.kinds.library import LEVELS

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

LEAST_SHARE = 0.004  # rarer faults of a group wait for its proof


@dataclass(frozen=True, slots=True)
class Item:
    """One suspect: a fault of a machine; None is a cause that is on no list."""

    machine: str
    fault: str | None
    goal: int  # place among the goals


@dataclass(frozen=True, slots=True, eq=False)
class Suspects:
    """Items with what is active in each world, and the goals they are cleared for.

    Attributes
    ----------
    active : ndarray of bool, shape (items, worlds)
    share : ndarray, shape (items,)
        Exact chance that each is active.
    groups : tuple of str
        Of each goal.
    """

    items: tuple[Item, ...]
    active: Bools
    share: Floats
    goals: tuple[Goal, ...]
    groups: tuple[str, ...]


def behind_trouble(
    built: CaseNetwork, trouble: str, states: Bools, marginal: Floats, again: float, group: str
) -> Suspects:
    """What may be behind a trouble.

    Parameters
    ----------
    built : CaseNetwork
    trouble : str
        Its id.
    states : ndarray of bool, shape (variables, worlds)
        As drawn.
    marginal : ndarray, shape (variables,)
        Of the same variables.
    again : float
        What trying again costs.
    group : str
        Of its symptom.

    Returns
    -------
    Suspects
    """
    rows = [one for one in built.behind(trouble) if one.variables]
    items = tuple(Item(one.machine, one.fault, 0) for one in rows)
    active = np.array([states[list(one.variables)].any(axis=0) for one in rows], dtype=np.bool_)
    active = active.reshape(len(rows), states.shape[1])
    share = np.array([min(1.0, float(marginal[list(one.variables)].sum())) for one in rows])
    goal = Goal(tuple(range(len(rows))), again=again, tried=_tried(active))
    return Suspects(items, active, share, (goal,), (group,))


def of_level(
    built: CaseNetwork, state: Standing, level: str, states: Bools, marginal: Floats, purse: Purse
) -> Suspects:
    """What keeps each group from a level; groups that passed it, or a higher one, are left out.

    Parameters
    ----------
    built : CaseNetwork
    state : Standing
    level : str
    states : ndarray of bool, shape (variables, worlds)
        As it is now, in the plain layout.
    marginal : ndarray, shape (variables,)
        Of the same variables.
    purse : Purse

    Returns
    -------
    Suspects
    """
    kind, name = state.kind, state.machine.name
    fitted = [fault for machine, fault in built.faults if machine == name]
    wanted = targets(state, level, fitted)
    items: list[Item] = []
    goals: list[Goal] = []
    groups: list[str] = []
    for group in kind.groups.values():
        mine = [f for f in fitted if f in wanted and kind.faults[f].subsystem in group.subsystems]
        if not mine or _proved(state, group.id, level):
            continue
        chance = {fault: float(marginal[built.faults[name, fault]]) for fault in mine}
        top = max(mine, key=lambda fault: chance[fault])
        kept = [fault for fault in mine if chance[fault] >= LEAST_SHARE or fault == top]
        places = tuple(range(len(items), len(items) + len(kept)))
        items.extend(Item(name, fault, len(goals)) for fault in kept)
        goals.append(Goal(places, again=purse.spent(hours=group.minutes / 60.0).cost))
        groups.append(group.id)
    rows = [built.faults[name, str(item.fault)] for item in items]
    active = states[rows]
    done = tuple(replace(g, tried=_tried(active[list(g.items)])) for g in goals)
    return Suspects(tuple(items), active, marginal[rows], done, tuple(groups))


def with_help(
    suspects: Suspects, chains: Sequence[tuple[Way, ...]], purse: Purse
) -> tuple[Goal, ...]:
    """The goals with what somebody called would cost.

    Parameters
    ----------
    suspects : Suspects
    chains : sequence of tuple of Way
        Of each item.
    purse : Purse

    Returns
    -------
    tuple of Goal

    Notes
    -----
    Beside his coming he asks the parts and the hours of whatever is there; for a cause on no list
    as much as for the suspects on average, so that help never looks cheaper
    than the repairs it would have to make anyway (our own rule).

    Examples
    --------
    >>> nobody = Suspects((), np.zeros((0, 1), dtype=np.bool_), np.zeros(0), (), ())
    >>> with_help(nobody, [], Purse(None, 15.0, {}, frozenset()))
    ()
    """
    hour = purse.estimate("call_out_hour_money") if len(chains) else 0.0
    each = [_money(chain, hour) for chain in chains]
    mean = suspects.active.mean(axis=1) if len(chains) else np.zeros(0)
    goals = []
    for goal in suspects.goals:
        rows = list(goal.items)
        known = [i for i in rows if chains[i]]
        weight = sum(float(mean[i]) for i in known)
        unlisted = sum(float(mean[i]) * each[i] for i in known) / weight if weight > 0 else 0.0
        asks = tuple(each[i] if chains[i] else unlisted for i in rows)
        goals.append(replace(goal, help=purse.help(0.0).cost, help_each=asks))
    return tuple(goals)


def _money(chain: tuple[Way, ...], hour: float) -> float:
    """Expected money of a chain of ways, its own hours paid to somebody."""
    total, reached = 0.0, 1.0
    for way in chain:
        total += reached * (way.spent.money + hour * way.spent.hours)
        reached *= 1.0 - way.cures
    return total


def _tried(active: Bools) -> bool:
    """Whether it is sure that something is left."""
    return bool(active.any(axis=0).all())


def _proved(state: Standing, group: str, level: str) -> bool:
    enough = LEVELS[LEVELS.index(level) :]
    return any((group, one) in state.proved for one in enough)
