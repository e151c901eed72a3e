"""What a move costs exactly: the plan behind it, carried out hypothesis by hypothesis."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from retrue.choose.carried import Script, carried_out
from retrue.choose.columns import plain_plans
from retrue.choose.desk import Branch, Desk
from retrue.choose.seeking import Move

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Tests = NDArray[np.intp]
WAYS = (False, True)


class Settled:
    """Exact costs of the plans that a desk chose.

    Behind a move stands a plan: the move; on each outcome perhaps one more test; then the best of
    three fixed plans of each goal: without looks, or looking first and, where it shows, treating
    once or through the whole chain.

    Examples
    --------
    >>> from retrue.choose.seeking import Goal, Search, Test, Treatment
    >>> chains = ((Treatment("a", 50.0, 1.0),), (Treatment("b", 20.0, 1.0),))
    >>> look = Test("look", 4.0, np.array([[0.0, 1.0], [1.0, 0.0]]))
    >>> desk = Desk(Search(np.full(2, 0.5), np.eye(2, dtype=bool), (Goal((0, 1)),), chains,
    ...     (look,), np.zeros(0)))
    >>> settled = Settled(desk)
    >>> [round(cost, 3) for cost in settled.costs_of(desk.first_look())]
    [39.0, 60.0, 45.0]
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.told = desk.told
        self.keys = {test.key: t for t, test in enumerate(desk.search.tests)}
        self.kinds: dict[Branch, tuple[Bools, Floats, Tests]] = {}

    @cached_property
    def alone(self) -> Floats:
        """Each goal by itself, from now on."""
        found = []
        for branch in self.desk.branches:
            weight, opened = branch.weight[None], branch.opened[None]
            found.append(float(self._fixed(branch, weight, opened, np.full((1, 1), -1))[0]))
        return np.array(found)

    def costs_of(self, moves: Sequence[Move]) -> list[float]:
        """Expected cost from now to the end of the plan behind each move.

        Parameters
        ----------
        moves : sequence of Move

        Returns
        -------
        list of float

        References
        ----------
        By definition.
        """
        tests = self._tests([self.keys[m.key] for m in moves if m.sort == "test"])
        whole = float(self.alone.sum())
        return [
            m.cost + min(whole, tests[self.keys[m.key]]) if m.sort == "test" else self._other(m)
            for m in moves
        ]

    def at_most(self, move: Move) -> float:
        """A plan behind a move that costs no less: a test not listened to, nothing looked at.

        Parameters
        ----------
        move : Move

        Returns
        -------
        float

        References
        ----------
        By definition.
        """
        if move.sort != "treat":
            return float(move.cost + self.alone.sum())
        g, place = self.desk.home(move.item)
        spent, branch = self.desk.treated(g, place)
        weight = branch.sets.gather(branch.weight[None])
        left = plain_plans(
            branch.bare, branch.goal, branch.sets.sets, weight, branch.opened[None],
            self.desk.search.opening,
        )  # fmt: skip
        return float(spent + self.alone.sum() - self.alone[g] + left.value[0])

    def _other(self, move: Move) -> float:
        """Help, or a treatment and what follows where it did not help."""
        if move.sort == "help":
            return float(move.cost + self.alone.sum() - self.alone[move.item])
        g, place = self.desk.home(move.item)
        spent, branch = self.desk.treated(g, place)
        spent += float(self.alone.sum() - self.alone[g])
        if not len(branch.weight):
            return spent
        none = np.full(1, -1)
        then = self.desk.then.get(move.key, none)
        left = self._asked(branch, branch.weight[None], branch.opened[None], none, then)
        return spent + float(left[0])

    def _tests(self, tests: Sequence[int]) -> dict[int, float]:
        """What follows each of some tests, goal by goal for all of them at once."""
        total = dict.fromkeys(tests, 0.0)
        for g, branch in enumerate(self.desk.branches):
            mine = [t for t in tests if self.desk.touched[t, g]]
            for t in tests:
                total[t] += 0.0 if self.desk.touched[t, g] else float(self.alone[g])
            if not mine:
                continue
            sizes = [self.told.start[t + 1] - self.told.start[t] for t in mine]
            rows = np.concatenate([np.arange(len(self.told.test_of))[self._rows(t)] for t in mine])
            gone = np.repeat(np.array(mine), sizes)
            then = np.concatenate([self._then(t, g) for t in mine])
            weight = self.desk.search.weight * self.told.chance[rows]
            opened = self.told.needs[gone] | self.desk.opened
            each = self._asked(branch, weight, opened, gone, then)
            for t, value in zip(
                mine, np.add.reduceat(each, np.cumsum([0, *sizes[:-1]])), strict=True
            ):
                total[t] += float(value)
        return total

    def _then(self, test: int, g: int) -> Tests:
        """Which test is made after each outcome of this one, for one goal; -1: none."""
        none = np.full(self.told.start[test + 1] - self.told.start[test], -1)
        if g != int(np.argmax(self.desk.saved[test])):
            return none
        return self.desk.then.get(self.desk.search.tests[test].key, none)

    def _rows(self, test: int) -> slice:
        return slice(self.told.start[test], self.told.start[test + 1])

    def _asked(
        self, branch: Branch, weight: Floats, opened: Bools, gone: Tests, then: Tests
    ) -> Floats:
        """One goal under beliefs of which some make one more test first."""
        plain = self._fixed(branch, weight, opened, gone[:, None])
        more = np.flatnonzero(then >= 0)
        if not len(more):
            return plain
        sizes = self.told.start[then[more] + 1] - self.told.start[then[more]]
        of = np.repeat(np.arange(len(more)), sizes)
        rows = np.concatenate(
            [np.arange(len(self.told.test_of))[self._rows(t)] for t in then[more]]
        )
        joined = weight[more][of] * self.told.chance[rows][:, branch.of]
        needs = self.told.needs[then[more]]
        used = np.column_stack([gone[more][of], then[more][of]])
        each = self._fixed(branch, joined, (opened[more] | needs)[of], used)
        shut = (needs & ~opened[more]) @ self.desk.search.opening
        spent = (self.told.price[then[more]] + shut) * weight[more].sum(axis=1)
        plain[more] = np.minimum(plain[more], spent + np.bincount(of, weights=each))
        return plain

    def _fixed(self, branch: Branch, weight: Floats, opened: Bools, without: Tests) -> Floats:
        """One goal under each belief by the best of its fixed plans."""
        sets, opening = branch.sets, self.desk.search.opening
        gathered = sets.gather(weight)
        best = plain_plans(branch.bare, branch.goal, sets.sets, gathered, opened, opening).value
        looks = np.flatnonzero(branch.line.look >= 0)
        if len(looks):
            plan = plain_plans(
                branch.line, branch.goal, sets.sets, gathered, opened, opening,
                without=without, rates=branch.rates,
            )  # fmt: skip
            active, shows, of = self._kinds_of(branch)
            joined = np.array([np.bincount(of, weights=row) for row in weight])
            for whole in WAYS if len(self.desk.branches) == 1 else WAYS[:1]:
                script = Script(plan.order, plan.used, whole)
                cost = carried_out(
                    script, branch.line, branch.goal, active, shows, joined, opened, opening
                )
                best = np.minimum(best, cost)
        if branch.goal.tried:
            return best
        tried: Floats = best + branch.goal.again * weight.sum(axis=1)
        return tried

    def _kinds_of(self, branch: Branch) -> tuple[Bools, Floats, Tests]:
        """The kinds of hypotheses of a branch, sorted out once."""
        if branch not in self.kinds:
            self.kinds[branch] = self._kinds(branch)
        return self.kinds[branch]

    def _kinds(self, branch: Branch) -> tuple[Bools, Floats, Tests]:
        """Hypotheses of which everything that matters is alike, taken together."""
        line, sets = branch.line, branch.sets
        shows = np.zeros((len(line.item), len(branch.of)))
        for step in np.flatnonzero(line.look >= 0):
            shows[step] = self.told.chance[list(line.rows[step])].sum(axis=0)[branch.of]
        looks = shows[line.look >= 0]
        _, at, of = np.unique(
            np.vstack([sets.of, looks]), axis=1, return_index=True, return_inverse=True
        )
        return sets.sets[sets.of[at]].T, shows[:, at], np.asarray(of).reshape(-1)
