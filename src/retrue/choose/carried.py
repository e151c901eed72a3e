"""A plan with looks carried out: what it costs exactly, hypothesis by hypothesis."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from retrue.choose.line import Line
from retrue.choose.seeking import Goal

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]

AT_ONCE = 400_000  # cells of beliefs, items and hypotheses carried out at once


@dataclass(frozen=True, slots=True, eq=False)
class Script:
    """Plans to be carried out, one a column.

    Attributes
    ----------
    order : ndarray of int, shape (columns, steps)
        Steps of the line in the order they are done.
    used : ndarray of bool, shape (columns, steps)
        Which steps are done at all.
    whole : bool
        Where a glance shows, the whole chain is gone through at once; else its first treatment.
    """

    order: Places
    used: Bools
    whole: bool


def carried_out(
    script: Script,
    line: Line,
    goal: Goal,
    active: Bools,
    shows: Floats,
    weight: Floats,
    opened: Bools,
    opening: Floats,
) -> Floats:
    """Work out what plans cost, help called after that step where it is cheapest.

    Parameters
    ----------
    script : Script
    line : Line
    goal : Goal
    active : ndarray of bool, shape (items, hypotheses)
    shows : ndarray, shape (steps, hypotheses)
        Chance that each glance shows.
    weight : ndarray, shape (columns, hypotheses)
        Not negative; a column need not sum to one.
    opened : ndarray of bool, shape (columns, places)
    opening : ndarray, shape (places,)

    Returns
    -------
    ndarray, shape (columns,)
        Expected cost; without the first try of a goal that was not tried.

    Notes
    -----
    Given a hypothesis, what one glance shows and which treatments cure are independent, so each
    item has two fates: its glance showed, or not. What was treated where a glance showed is not
    treated again later. A place opened on one of the two fates alone is closed again.

    References
    ----------
    By definition of the expected cost of a plan.

    Examples
    --------
    >>> from retrue.choose.line import Glance, line_of
    >>> from retrue.choose.seeking import Search, Treatment
    >>> two = np.eye(2, dtype=bool)
    >>> chains = ((Treatment("a", 50.0, 1.0),), (Treatment("b", 20.0, 1.0),))
    >>> search = Search(np.full(2, 0.5), two, (Goal((0, 1)),), chains, (), np.zeros(0))
    >>> line = line_of(search, 0, (), {0: Glance(0, 4.0, 1.0, 0.0, 0)})
    >>> script = Script(np.array([[0, 2, 1]]), np.ones((1, 3), bool), True)
    >>> shows = np.array([[1.0, 0.0], [0.0, 0.0], [0.0, 0.0]])
    >>> carried_out(script, line, search.goals[0], two, shows, search.weight[None],
    ...     np.zeros((1, 0), bool), search.opening).tolist()  # 4 + half of 50 and half of 20
    [39.0]
    """
    columns = max(1, AT_ONCE // max(1, active.size))
    found = np.zeros(len(weight))
    for start in range(0, len(weight), columns):
        part = slice(start, start + columns)
        play = _Play(line, goal, active, shows, weight[part], opened[part], opening, script.whole)
        found[part] = play.through(script.order[part], script.used[part])
    return found


class _Play:
    """Columns of beliefs on their way through their plans."""

    def __init__(
        self,
        line: Line,
        goal: Goal,
        active: Bools,
        shows: Floats,
        weight: Floats,
        opened: Bools,
        opening: Floats,
        whole: bool,
    ) -> None:
        columns, items = len(weight), len(active)
        self.line, self.goal, self.whole = line, goal, whole
        self.active, self.shows, self.weight = active.astype(np.float64), shows, weight
        self.opening, self.opened = opening, opened.copy()
        self.showed = np.zeros((columns, items, active.shape[1]))
        self.residual = np.ones((2, columns, items))  # where its glance did not show, and did
        self.done = np.zeros((2, columns, items), dtype=np.intp)
        self.looked = np.zeros((columns, items), dtype=np.bool_)
        self.clear = np.broadcast_to(1.0 - self.active, self.showed.shape).copy()
        self.spent = np.zeros(columns)
        self.each = np.array(goal.help_each or (0.0,) * items)
        self.place = _places(line)

    def through(self, order: Places, used: Bools) -> Floats:
        """Cost of the plans with the best moment to call help."""
        best = self._with_help()
        rows = np.arange(len(order))
        for at in range(order.shape[1]):
            step = order[:, at]
            done = used[rows, step] & (self.spent < best)
            if not done.any():
                continue
            glance = self.line.look[step] >= 0
            self._glance(rows[done & glance], step[done & glance])
            self._treat(rows[done & ~glance], step[done & ~glance])
            best = np.minimum(best, self._with_help())
        return best

    def _with_help(self) -> Floats:
        alive = (self.weight * (1.0 - self.clear.prod(axis=1))).sum(axis=1)
        alive = np.where(alive > 1e-12, alive, 0.0)
        asks = np.where(alive > 0.0, self.goal.help, 0.0) * np.where(alive > 0.0, alive, 1.0)
        there = ((1.0 - self.clear) * self.weight[:, None, :]).sum(axis=2)
        total: Floats = self.spent + asks + there @ self.each
        return total

    def _rest(self, rows: Places, item: Places) -> Floats:
        """Chance that every other item is out of the way."""
        clear = self.clear[rows]
        clear[np.arange(len(rows)), item] = 1.0
        found: Floats = clear.prod(axis=1)
        return found

    def _standing(self, rows: Places, item: Places, rest: Floats, fate: int) -> Floats:
        """Chance of one fate of the item with the goal not met, by column."""
        showed = self.showed[rows, item]
        chance = showed if fate else 1.0 - showed
        left = self.active[item] * self.residual[fate, rows, item][:, None]
        found: Floats = (self.weight[rows] * chance * (1.0 - (1.0 - left) * rest)).sum(axis=1)
        return found

    def _shut(self, rows: Places, step: Places) -> Floats:
        found: Floats = (self.line.opens[step] & ~self.opened[rows]) @ self.opening
        return found

    def _settle(self, rows: Places, item: Places) -> None:
        """Bring up to date how likely the item is out of the way."""
        showed = self.showed[rows, item]
        apart, joined = (self.residual[fate, rows, item][:, None] for fate in (0, 1))
        left = self.active[item] * (showed * joined + (1.0 - showed) * apart)
        self.clear[rows, item] = 1.0 - left

    def _treat(self, rows: Places, step: Places) -> None:
        """One plain treatment, where it was not done after a glance."""
        if not len(rows):
            return
        item, place = self.line.item[step], self.place[step]
        rest, price = self._rest(rows, item), self.line.cost[step] + self._shut(rows, step)
        late = self.looked[rows, item] & (self.done[1, rows, item] > place)
        for fate in (0, 1):
            at = self.done[fate, rows, item] <= place
            paid = price * self._standing(rows, item, rest, fate)
            self.spent[rows] += np.where(at, paid, 0.0)
            self.residual[fate, rows, item] *= 1.0 - np.where(at, self.line.cures[step], 0.0)
            self.done[fate, rows, item] = np.maximum(self.done[fate, rows, item], place + 1)
        self.opened[rows] |= self.line.opens[step] & ~late[:, None]
        self._settle(rows, item)

    def _glance(self, rows: Places, step: Places) -> None:
        """A look, and what is treated where it shows."""
        if not len(rows):
            return
        item = self.line.item[step]
        alive = (self.weight[rows] * (1.0 - self.clear[rows].prod(axis=1))).sum(axis=1)
        self.spent[rows] += (self.line.cost[step] + self._shut(rows, step)) * alive
        self.opened[rows] |= self.line.opens[step]
        self.showed[rows, item] = self.shows[step]
        self.looked[rows, item] = True
        rest, shut = self._rest(rows, item), ~self.opened[rows]
        following, more = step + 1, np.ones(len(rows), dtype=np.bool_)
        while more.any():
            at = np.minimum(following, len(self.line.item) - 1)
            price = self.line.cost[at] + (self.line.opens[at] & shut) @ self.opening
            paid = price * self._standing(rows, item, rest, 1)
            self.spent[rows] += np.where(more, paid, 0.0)
            shut &= ~(self.line.opens[at] & more[:, None])
            self.residual[1, rows, item] *= 1.0 - np.where(more, self.line.cures[at], 0.0)
            self.done[1, rows, item] += more
            following = following + 1
            then = np.minimum(following, len(self.line.item) - 1)
            inside = (following < len(self.line.item)) & (self.line.item[then] == item)
            more &= inside & self.whole
        self._settle(rows, item)


def _places(line: Line) -> Places:
    """Of each plain treatment, how many of its chain come before it."""
    found = np.zeros(len(line.item), dtype=np.intp)
    for at in range(1, len(line.item)):
        if line.item[at] == line.item[at - 1] and line.look[at - 1] < 0:
            found[at] = found[at - 1] + 1
    return found
