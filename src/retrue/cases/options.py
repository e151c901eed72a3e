"""All that could be done with a lot: one plan a machine, valued together in every world."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from retrue.base.say import say
from retrue.cases.plans import (
    CONTROL,
    DONOR,
    KEEP,
    NEW_CONTROL,
    PART_OUT,
    SELL_AS_FOUND,
    Outcome,
    Plan,
    Prospect,
    carry_out,
)
from retrue.cases.work import Work

Floats = NDArray[np.float64]
MOST_OPTIONS = 700  # combinations worked out; larger lots keep fewer plans a machine


@dataclass(frozen=True, slots=True, eq=False)
class Shared:
    """What the lot costs once, whatever becomes of each machine; shape (worlds,).

    ``running`` is spent once if any machine is to run: the shop's own supply, drawings.
    """

    money: Floats
    hours: Floats
    running_money: Floats
    running_hours: Floats
    donor_share: Floats  # of the keeper's drive and board money a donor saves


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One combination of plans, valued at price 0 against the best alternatives."""

    id: str
    name: str
    outcomes: tuple[Outcome, ...]
    gain: Floats
    money: Floats


@dataclass(slots=True)
class Chooser:
    """Works out plans once for each position in the queue of own hours."""

    prospects: tuple[Prospect, ...]
    shared: Shared
    _works: dict[tuple[int, Plan], Work] = field(default_factory=dict)
    _known: dict[tuple[int, Plan, tuple[tuple[int, Plan], ...]], Outcome] = field(
        default_factory=dict
    )

    def work(self, index: int, plan: Plan) -> Work:
        """The restoration behind a plan; keeping and selling at one level share it."""
        prospect = self.prospects[index]
        control = prospect.kind.costs[CONTROL] if plan.name == NEW_CONTROL else None
        key = (index, Plan(NEW_CONTROL if control else "", plan.level))
        if key not in self._works:
            self._works[key] = prospect.workshop.bring_to(
                prospect.kind.levels[plan.level], prospect.settled.rate, control
            )
        return self._works[key]

    def outcome(self, index: int, plan: Plan, before: tuple[tuple[int, Plan], ...] = ()) -> Outcome:
        """One machine's plan after those that take own hours before it."""
        key = (index, plan, before)
        if key not in self._known:
            self._known[key] = self._carry(index, plan, before)
        return self._known[key]

    def _carry(self, index: int, plan: Plan, before: tuple[tuple[int, Plan], ...]) -> Outcome:
        prospect = self.prospects[index]
        if plan.name == SELL_AS_FOUND:
            return prospect.as_found
        if plan.name == PART_OUT:
            return prospect.in_parts
        if plan.name == DONOR:
            return replace(prospect.in_parts, plan=plan)
        hours = np.zeros(len(prospect.age))
        for place, earlier in enumerate(before):
            hours = hours + self.outcome(*earlier, before[:place]).hours
        return carry_out(prospect, plan, self.work(index, plan), hours)

    def options(self, only: Sequence[tuple[Plan, ...]] = ()) -> tuple[Option, ...]:
        """The combinations given, or all that make sense, in a fixed order."""
        if only:
            return tuple(self._combine(combination) for combination in only)
        menus = self._menus()
        return tuple(
            self._combine(combination)
            for combination in product(*menus)
            if self._sensible(combination)
        )

    def alone(self, index: int, road: Floats, rate: float) -> tuple[Option, ...]:
        """The options of one machine as if it were the whole lot."""
        rows = []
        for plan in self.prospects[index].plans(alone=True):
            outcome = self.outcome(index, plan)
            shared = road + (self._running(rate) if plan.works else 0.0)
            rows.append(
                Option(
                    id=plan_id(plan),
                    name=plan_name(plan, self.prospects[index].machine.name),
                    outcomes=(outcome,),
                    gain=outcome.gain - shared,
                    money=outcome.money,
                )
            )
        return tuple(rows)

    def _running(self, rate: float) -> Floats:
        return np.asarray(self.shared.running_money + self.shared.running_hours * rate)

    def _menus(self) -> list[tuple[Plan, ...]]:
        count = len(self.prospects)
        menus = [list(prospect.plans(alone=count == 1)) for prospect in self.prospects]
        for index, menu in enumerate(menus):
            if self._can_give(index):
                menu.append(Plan(DONOR))
        most = max(2, int(MOST_OPTIONS ** (1 / count)))
        for index, menu in enumerate(menus):
            if len(menu) > most:
                means = {plan: float(self.outcome(index, plan).gain.mean()) for plan in menu}
                ranked = sorted(menu, key=means.__getitem__, reverse=True)
                menus[index] = [plan for plan in menu if plan in ranked[:most]]
        return [tuple(menu) for menu in menus]

    def _can_give(self, index: int) -> bool:
        return any(alike(self.prospects[index], other) for other in self._others(index))

    def _others(self, index: int) -> list[Prospect]:
        return [p for i, p in enumerate(self.prospects) if i != index]

    def _sensible(self, combination: tuple[Plan, ...]) -> bool:
        """One keeper a kind: a second has no work; a donor needs a keeper alike."""
        keepers = [p for p, plan in zip(self.prospects, combination, strict=True) if plan.keeps]
        kinds = [p.kind.id for p in keepers]
        donors = [
            p for p, plan in zip(self.prospects, combination, strict=True) if plan.name == DONOR
        ]
        return len(set(kinds)) == len(kinds) and all(
            any(alike(donor, keeper) for keeper in keepers) for donor in donors
        )

    def _combine(self, combination: tuple[Plan, ...]) -> Option:
        queue = sorted(
            (i for i, plan in enumerate(combination) if plan.works),
            key=lambda i: (not combination[i].keeps, i),
        )
        outcomes: dict[int, Outcome] = {}
        before: tuple[tuple[int, Plan], ...] = ()
        for i in queue:
            outcomes[i] = self.outcome(i, combination[i], before)
            before = (*before, (i, combination[i]))
        for i, plan in enumerate(combination):
            if i not in outcomes:
                outcomes[i] = self.outcome(i, plan)
        ordered = tuple(outcomes[i] for i in range(len(combination)))
        return self._option(combination, ordered)

    def _option(self, combination: tuple[Plan, ...], outcomes: tuple[Outcome, ...]) -> Option:
        rate = self.prospects[0].settled.rate
        money = self.shared.money + sum(o.money for o in outcomes)
        gain = sum((o.gain for o in outcomes), start=-self.shared.money - self.shared.hours * rate)
        if any(plan.works for plan in combination):
            gain = gain - self._running(rate)
            money = money + self.shared.running_money
        saved = self._saved(combination)
        names = [p.machine.name for p in self.prospects]
        return Option(
            id="+".join(
                f"{name}:{plan_id(plan)}" for name, plan in zip(names, combination, strict=True)
            ),
            name=say("; ").join(
                plan_name(plan, name) for name, plan in zip(names, combination, strict=True)
            ),
            outcomes=outcomes,
            gain=np.asarray(gain + saved),
            money=np.asarray(money - saved),
        )

    def _saved(self, combination: tuple[Plan, ...]) -> Floats | float:
        """Drive and board money a donor saves its keeper."""
        saved: Floats | float = 0.0
        donors = [i for i, plan in enumerate(combination) if plan.name == DONOR]
        for i, plan in enumerate(combination):
            if plan.keeps and any(alike(self.prospects[i], self.prospects[d]) for d in donors):
                saved = saved + self.shared.donor_share * self.work(i, plan).donated
        return saved


def alike(one: Prospect, other: Prospect) -> bool:
    """Whether parts of one may serve the other: same control family, or kind if none is known.

    Parameters
    ----------
    one, other : Prospect

    Returns
    -------
    bool
    """
    families = (one.machine.control_family, other.machine.control_family)
    if all(families):
        return families[0] == families[1]
    return one.kind.id == other.kind.id


def plan_id(plan: Plan) -> str:
    """A short stable name of a plan for programs.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    str

    Examples
    --------
    >>> plan_id(Plan("keep", "right")), plan_id(Plan("sell_running", "just_running"))
    ('keep:right', 'sell_running')
    """
    return f"{plan.name}:{plan.level}" if plan.name == KEEP else plan.name


def plan_name(plan: Plan, machine: str) -> str:
    """A plan in the words of a page.

    Parameters
    ----------
    plan : Plan
    machine : str

    Returns
    -------
    str

    Examples
    --------
    >>> plan_name(Plan("sell_as_found"), "lathe")
    'sell lathe as found'
    """
    sentences = {
        "keep:just_running": say("keep {name}, just running", name=machine),
        "keep:right": say("keep {name}, made right", name=machine),
        "keep:like_new": say("keep {name}, like new", name=machine),
        "new_control": say("keep {name} with another control", name=machine),
        "sell_as_found": say("sell {name} as found", name=machine),
        "sell_running": say("sell {name} running", name=machine),
        "sell_proven": say("sell {name} proven", name=machine),
        "part_out": say("sell {name} in parts", name=machine),
        "donor": say("take {name} as donor", name=machine),
    }
    return sentences[plan_id(plan)]


def level_name(level: str) -> str:
    """A level in the words of a page.

    Parameters
    ----------
    level : str

    Returns
    -------
    str

    Examples
    --------
    >>> level_name("like_new")
    'like new'
    """
    return {
        "just_running": say("just running"),
        "right": say("right"),
        "like_new": say("like new"),
        "": "",
    }[level]
