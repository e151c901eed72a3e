"""A search laid out: branches of goals, plans on each, and what the next moves are worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.choose.columns import Patterns, Planned, patterns, plain_plans
from retrue.choose.glance import glances, rates, told
from retrue.choose.line import Line, Rule, bare_of, bits_of, line_of
from retrue.choose.seeking import Goal, Move, Search

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_ASKED = 40  # tests weighed on the second look
FEW = 96  # patterns up to which a plan is also worked out without looks
HAIR = 1e-6  # savings under it are rounding
TOUCHES = 0.01  # least shift of a chance by which a test speaks of a goal
MANY, EACH = 24, 3  # of more items than that, so many of each goal are looked at to be treated
WORK = 4_000_000  # cells of patterns, steps and beliefs that the second look may take, goal by goal


@dataclass(frozen=True, slots=True, eq=False)
class Branch:
    """One goal as it stands on one branch, with hypotheses of its own."""

    goal: Goal
    line: Line
    sets: Patterns
    weight: Floats  # (hypotheses here,)
    of: NDArray[np.intp]  # the hypothesis of the search that each comes from
    opened: Bools
    rates: Floats
    bare: Line  # the same without looks


class Desk:
    """A search laid out: lines, patterns, and what every test says of every hypothesis."""

    def __init__(self, search: Search) -> None:
        self.search = search
        self.goals = range(len(search.goals))
        places = len(search.opening)
        self.opened = bits_of(search.open_now, places)
        whole = np.arange(len(search.weight), dtype=np.intp)
        self.told = told(search)
        self.glances = glances(search, self.told)
        self.branches = [
            self._branch(
                goal,
                line_of(search, g, (), self.glances),
                search.active[list(goal.items)],
                search.weight,
                whole,
                self.opened,
            )
            for g, goal in enumerate(search.goals)
        ]
        self.plans = [self.plan(g, search.weight[None]) for g in self.goals]
        self.plain_of = np.array([float(plan.value[0]) for plan in self.plans])
        self.plain = float(self.plain_of.sum())
        self.saved = np.zeros((len(search.tests), len(search.goals)))
        self.touched = np.zeros((len(search.tests), len(search.goals)), dtype=np.bool_)
        self.then: dict[str, NDArray[np.intp]] = {}
        self.after: dict[tuple[int, int], tuple[float, Branch]] = {}

    def _branch(
        self,
        goal: Goal,
        line: Line,
        active: Bools,
        weight: Floats,
        of: NDArray[np.intp],
        opened: Bools,
    ) -> Branch:
        sets = patterns(active)
        shows = rates(self.told, line, weight, sets, of)
        return Branch(goal, line, sets, weight, of, opened, shows, bare_of(line))

    def whole(self, rule: Rule) -> float:
        """What all goals cost by one rule."""
        return float(
            sum(self.plan(g, self.search.weight[None], rule=rule).value[0] for g in self.goals)
        )

    @cached_property
    def bare(self) -> Desk:
        """The same search without tests."""
        return Desk(replace(self.search, tests=())) if self.search.tests else self

    def plan(self, g: int, weight: Floats, *, rule: Rule = "ratio") -> Planned:
        """The plan without tests of one goal, beliefs by row over the hypotheses."""
        branch = self.branches[g]
        opened = np.broadcast_to(branch.opened, (len(weight), len(branch.opened)))
        return self._plan(branch, branch.sets.gather(weight), opened, rule=rule)

    def order(self) -> tuple[str, ...]:
        """Keys of the plain plan, goal after goal."""
        return tuple(
            self.branches[g].line.treatments[step].key
            for g, plan in enumerate(self.plans)
            for step in plan.order[0][: plan.cut[0]]
        )

    def _plan(
        self,
        branch: Branch,
        weight: Floats,
        opened: Bools,
        *,
        rule: Rule = "ratio",
        without: NDArray[np.intp] | None = None,
    ) -> Planned:
        goal = branch.goal
        plan = plain_plans(
            branch.line,
            goal,
            branch.sets.sets,
            weight,
            opened,
            self.search.opening,
            rule=rule,
            without=without,
            rates=branch.rates,
        )
        few = len(branch.sets.sets) <= FEW
        if rule == "ratio" and few and (branch.line.look >= 0).any():
            bare = plain_plans(
                branch.bare,
                goal,
                branch.sets.sets,
                weight,
                opened,
                self.search.opening,
            )
            plan = replace(plan, value=np.minimum(plan.value, bare.value))
        if goal.tried:
            return plan
        return replace(plan, value=plan.value + goal.again * weight.sum(axis=1))

    def first_look(self) -> list[Move]:
        """Tests, first treatments and help, each followed by the plain plan."""
        return [*self._tests_once(), *self._treatments(), *self._help()]

    def _tests_once(self) -> list[Move]:
        if not self.search.tests:
            return []
        weight = self.search.weight * self.told.chance
        opened = (self.told.needs | self.opened)[self.told.test_of]
        spent = self.told.price + (self.told.needs & ~self.opened) @ self.search.opening
        total = spent.copy()
        for g, branch in enumerate(self.branches):
            self.touched[:, g] = mine = self._touching(g, weight)
            rows = mine[self.told.test_of]
            each = np.full(len(mine), self.plain_of[g])
            if rows.any():
                used = self.told.test_of[rows][:, None]
                gathered = branch.sets.gather(weight[rows])
                values = self._plan(branch, gathered, opened[rows], without=used).value
                each[mine] = np.bincount(used[:, 0], weights=values, minlength=len(mine))[mine]
            self.saved[:, g] = self.plain_of[g] - each
            total += each
        return [
            Move("test", test.key, -1, float(cost), float(value))
            for test, cost, value in zip(self.search.tests, spent, total, strict=True)
        ]

    def _touching(self, g: int, weight: Floats) -> Bools:
        """Which tests speak of a goal, or open what its treatments need."""
        if len(self.branches) == 1:
            return np.ones(len(self.search.tests), dtype=np.bool_)
        active = self.search.active[list(self.search.goals[g].items)]
        chance = np.maximum(weight.sum(axis=1), 1e-12)[:, None]
        shift = np.abs((weight / chance) @ active.T - self.search.weight @ active.T)
        speaks = np.maximum.reduceat((shift * chance).max(axis=1), self.told.start[:-1])
        shut = self.branches[g].line.opens.any(axis=0) & ~self.opened
        found: Bools = (speaks > TOUCHES) | (self.told.needs & shut).any(axis=1)
        return found

    def _treatments(self) -> list[Move]:
        """The first treatment of every item's chain."""
        moves = []
        for g, branch in enumerate(self.branches):
            others = float(self.plain - self.plain_of[g])
            for place in self._worth_treating(g):
                item = branch.goal.items[place]
                spent, after = self.treated(g, place)
                value = spent + float(self._value(after)) + others
                key = branch.line.treatments[branch.line.first[place]].key
                moves.append(Move("treat", key, item, spent, value))
        return moves

    def _worth_treating(self, g: int) -> list[int]:
        """Items of a goal that could be treated first; of many, those best by chance over cost."""
        line = self.branches[g].line
        left = [place for place, first in enumerate(line.first) if first >= 0]
        if len(self.search.chains) <= MANY:
            return left
        share = self.search.active[list(self.search.goals[g].items)] @ self.search.weight
        return sorted(left, key=lambda i: (-share[i] * line.ratio[line.first[i]], i))[:EACH]

    def _help(self) -> list[Move]:
        asked = [(g, self.asks(goal)) for g, goal in enumerate(self.search.goals)]
        return [
            Move("help", f"help:{g}", g, asks, float(asks + self.plain - self.plain_of[g]))
            for g, asks in asked
            if np.isfinite(asks)
        ]

    def asks(self, goal: Goal) -> float:
        """What who is called asks on average."""
        share = self.search.active[list(goal.items)] @ self.search.weight
        return goal.help + float(share @ np.array(goal.help_each or (0.0,) * len(share)))

    def treated(self, g: int, place: int) -> tuple[float, Branch]:
        """What the first treatment of an item costs, and the branch where it did not help."""
        if (g, place) not in self.after:
            self.after[g, place] = self._not_helped(g, place)
        return self.after[g, place]

    def _not_helped(self, g: int, place: int) -> tuple[float, Branch]:
        branch, search = self.branches[g], self.search
        step = branch.line.first[place]
        need = branch.line.opens[step]
        spent = float(branch.line.cost[step] + (need & ~branch.opened) @ search.opening)
        cures = float(branch.line.cures[step])
        active = search.active[list(branch.goal.items)]
        there = np.flatnonzero(active[place])
        weight = np.concatenate(
            [branch.weight * (1.0 - cures * active[place]), branch.weight[there] * cures]
        )
        after = np.concatenate([active, active[:, there]], axis=1)
        after[place, active.shape[1] :] = False
        of = np.concatenate([branch.of, there]).astype(np.intp)
        kept = (weight > 0.0) & after.any(axis=0)
        done = [int(i == place) for i in range(len(branch.goal.items))]
        opened = branch.opened | need
        line = line_of(replace(search, open_now=_mask(opened)), g, done, self.glances)
        goal = replace(branch.goal, tried=True)
        return spent, self._branch(goal, line, after[:, kept], weight[kept], of[kept], opened)

    def _value(self, branch: Branch) -> float:
        """The plain plan on a branch."""
        weight = branch.sets.gather(branch.weight[None])
        return float(self._plan(branch, weight, branch.opened[None]).value[0])

    def second_look(self, moves: list[Move], best_tests: int, best_treatments: int) -> list[Move]:
        """The best moves again, each followed by the plain plan or one more test first."""
        if not self.search.tests or len(self.search.chains) > MANY:
            return moves
        names = {test.key: t for t, test in enumerate(self.search.tests)}
        by_value = sorted(moves, key=lambda move: (move.value, move.key, move.item))
        tests = [names[m.key] for m in by_value if m.sort == "test"][:best_tests]
        treats = [m for m in by_value if m.sort == "treat"][:best_treatments]
        gains = {m.key: self._after_treating(m) for m in treats} | self._after_tests(tests)
        return [replace(m, value=m.value - gains.get(m.key, 0.0)) for m in moves]

    def _after_treating(self, move: Move) -> float:
        g, place = self.home(move.item)
        _, branch = self.treated(g, place)
        if not len(branch.weight):
            return 0.0
        asked = self._asked(g, branch, 1)
        saved, then = self._gain(branch, branch.weight[None], branch.opened[None], asked, [-1])
        self.then[move.key] = then
        return float(saved[0])

    def _after_tests(self, tests: Sequence[int]) -> dict[str, float]:
        """What one more test saves after each of some tests, summed over outcomes."""
        gains: dict[str, float] = {}
        homes: dict[int, list[int]] = {}
        for t in tests:
            homes.setdefault(int(np.argmax(self.saved[t])), []).append(t)
        for g, mine in homes.items():
            rows = np.concatenate(
                [np.arange(self.told.start[t], self.told.start[t + 1]) for t in mine]
            )
            weight = self.search.weight * self.told.chance[rows]
            opened = (self.told.needs | self.opened)[self.told.test_of[rows]]
            branch = self.branches[g]
            asked = self._asked(g, branch, len(rows))
            saved, then = self._gain(branch, weight, opened, asked, self.told.test_of[rows])
            for t in mine:
                here = self.told.test_of[rows] == t
                key = self.search.tests[t].key
                gains[key], self.then[key] = float(saved[here].sum()), then[here]
        return gains

    def _asked(self, g: int, branch: Branch, beliefs: int) -> NDArray[np.intp]:
        """The tests that tell most of a goal, as many as can be weighed."""
        cells = len(branch.sets.sets) * max(1, len(branch.line.item)) * beliefs * 2
        best = np.argsort(-self.saved[:, g], kind="stable")[: min(MOST_ASKED, WORK // cells)]
        return np.sort(best).astype(np.intp)

    def _gain(
        self,
        branch: Branch,
        weight: Floats,
        opened: Bools,
        asked: NDArray[np.intp],
        without: Sequence[int] | NDArray[np.intp],
    ) -> tuple[Floats, NDArray[np.intp]]:
        """What the best of the asked tests saves, belief by belief, and which it is; -1: none."""
        gone = np.asarray(without, dtype=np.intp)
        plain = self._plan(branch, branch.sets.gather(weight), opened, without=gone[:, None]).value
        if not len(asked):
            return np.zeros(len(plain)), np.full(len(plain), -1)
        rows = np.concatenate(
            [np.arange(self.told.start[t], self.told.start[t + 1]) for t in asked]
        )
        likely = self.told.chance[rows][:, branch.of]
        joined = (weight[:, None, :] * likely[None]).reshape(-1, weight.shape[1])
        need = self.told.needs[self.told.test_of[rows]]
        open_then = opened[:, None, :] | need[None]
        open_then = open_then.reshape(len(joined), opened.shape[1])
        now = np.tile(self.told.test_of[rows], len(weight))
        used = np.column_stack([np.repeat(gone, len(rows)), now])
        values = self._plan(branch, branch.sets.gather(joined), open_then, without=used).value
        starts = np.concatenate(
            [[0], np.cumsum([self.told.start[t + 1] - self.told.start[t] for t in asked])]
        )
        each = np.add.reduceat(values.reshape(len(plain), -1), starts[:-1], axis=1)
        shut = self.told.needs[asked][None] & ~opened[:, None, :]
        spent = self.told.price[asked] + shut @ self.search.opening
        total = each + spent * weight.sum(axis=1)[:, None]
        total[gone[:, None] == asked[None]] = np.inf
        saved: Floats = np.maximum(plain - total.min(axis=1), 0.0)
        return saved, np.where(saved > HAIR, asked[total.round(6).argmin(axis=1)], -1)

    def home(self, item: int) -> tuple[int, int]:
        """The goal of an item, and its place in it."""
        for g, goal in enumerate(self.search.goals):
            if item in goal.items:
                return g, goal.items.index(item)
        raise ValueError("every item belongs to a goal")


def _mask(opened: Bools) -> int:
    return sum(1 << place for place, shown in enumerate(opened) if shown)
