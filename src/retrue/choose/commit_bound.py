"""How far from the best a choice of bids can be: branch and bound, cut short after so many nodes.

Candidates are decided one after the other in the order in which they meet needs, so what has been
decided is summed exactly; what is still open is bounded from above by prices on the limits.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np
from numpy.typing import NDArray

from retrue.choose.commit import Candidate, Levels
from retrue.choose.commit_search import HAIR, Table

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

NODES = 500  # choices gone on from before the search is cut short
DEARER = (0.0, 0.5, 1.0, 2.0, 4.0)  # times the best prices at the root: with less left they rise


@dataclass(frozen=True, slots=True)
class Bounded:
    """The best choice found, its mean gain, and what no choice at all gains more than."""

    levels: Levels
    gain: float
    at_most: float


@dataclass(frozen=True, slots=True, eq=False)
class _Open:
    """The optimistic value of one candidate, for each of its bids."""

    sure: Floats  # (bids,): gain if its needs are met by others
    more: Floats  # (bids,): what meeting them may add at most
    takes: Floats  # (limits, bids): least it takes of each limit where limits must hold
    group: int  # needs shared with others, -1 if the extra is its own
    held: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Prices:
    """Prices on the limits, and on each need; any that are not below 0 give a bound."""

    limits: Floats
    needs: Floats  # between 0 and 1


@dataclass(frozen=True, slots=True, order=True)
class _Node:
    """The first candidates decided; the one that may still bring most is the least of all."""

    less: float  # what it may bring at most, below zero
    levels: tuple[int, ...]  # in the order of the table


def bounded(table: Table, allowed: float, best: Levels, *, nodes: int = NODES) -> Bounded:
    """Look for a better choice of bids than one that is known, and bound what there can be.

    Parameters
    ----------
    table : Table
    allowed : float
        Share of the worlds in which a limit may be broken.
    best : tuple of int
        A choice that holds the limits.
    nodes : int
        Choices gone on from at most.

    Returns
    -------
    Bounded
        ``at_most`` equals ``gain`` where the search came to its end.

    Notes
    -----
    A choice that holds the limits in a share of the worlds takes, in the cheapest such share, on
    average no more than the limit; and the cheapest share of a sum is no cheaper than the sum of
    the cheapest shares of its terms. That turns a limit on odds into one on averages, to which
    Lagrange's prices apply. A need is worth no more than the most that any one candidate adds by
    meeting it. The choice that may still bring most is always gone on from, so that what is left
    when the search is cut short is a bound on all.

    References
    ----------
    Land and Doig 1960, An automatic method of solving discrete programming problems, Econometrica
    28(3); Geoffrion 1974, Lagrangean relaxation for integer programming, Mathematical Programming
    Study 2. Limits on odds over drawn worlds: Luedtke and Ahmed 2008, A sample approximation
    approach for optimization with probabilistic constraints, SIAM Journal on Optimization 19(2).

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.commit import Limits
    >>> row = np.array([[90.0, 70.0]])
    >>> lot = Candidate(np.array([60.0]), row > 0, row * 0 + 60, row, row * 0, row * 0, row[0])
    >>> bounded(Table((lot,), Limits(money=80.0)), 0.1, (0,))
    Bounded(levels=(1,), gain=20.0, at_most=20.0)
    """
    return _Search(table, allowed, best).run(nodes)


class _Search:
    def __init__(self, table: Table, allowed: float, best: Levels) -> None:
        self.table, self.allowed, self.best = table, allowed, best
        self.gain = table.whole(best).gain
        self.bit = table.bit
        self.kept = table.worlds - int(np.floor(allowed * table.worlds + HAIR))
        self.rooms = table.caps * self.kept / max(table.worlds, 1)
        self.ordered = [table.candidates[place] for place in table.order]
        self.names = _single_needs(self.ordered)
        self.open = [self._optimistic(one) for one in self.ordered]
        self.most = self._most_of_needs()
        best_prices = _prices(self.open, self.most[0].mean(axis=1), self.rooms)
        self.prices = [_Prices(times * best_prices.limits, best_prices.needs) for times in DEARER]
        self.rest = [self._rest(prices) for prices in self.prices]

    def run(self, nodes: int) -> Bounded:
        heap = [_Node(-self._bound(0, *self._state(())), ())]
        while heap:
            node = heappop(heap)
            if -node.less <= self.gain + HAIR * max(1.0, abs(self.gain)):
                break  # and none that is left may bring more
            if len(node.levels) == len(self.ordered):
                self._take(node)
                break
            if nodes <= 0:
                return Bounded(self.best, self.gain, -node.less)
            nodes -= 1
            for child in self._children(node):
                heappush(heap, child)
        return Bounded(self.best, self.gain, self.gain)

    def _state(self, levels: tuple[int, ...]) -> tuple[float, Floats, Whole]:
        """Gain, spending and needs met, of the first candidates."""
        worlds = self.table.worlds
        spent, met = np.zeros((len(self.table.caps), worlds)), np.zeros(worlds, dtype=np.int64)
        gain = 0.0
        for place, level in zip(self.table.order, levels, strict=False):
            if level:
                gain += self.table.play(place, level).add(met, spent) / worlds
        return gain, spent, met

    def _take(self, node: _Node) -> None:
        """A choice that is whole, and better than the best known."""
        levels = [0] * len(self.ordered)
        for place, level in zip(self.table.order, node.levels, strict=True):
            levels[place] = level
        self.best, self.gain = tuple(levels), -node.less

    def _children(self, node: _Node) -> Iterator[_Node]:
        at, state = len(node.levels), self._state(node.levels)
        place = self.table.order[at]
        for level in self.table.menu(place):
            gain, spent, met = state
            if level:
                spent, met = spent.copy(), met.copy()
                gain += self.table.play(place, level).add(met, spent) / self.table.worlds
                if not self.table.holds(spent, self.allowed):
                    continue
            bound = min(-node.less, self._bound(at + 1, gain, spent, met))
            if bound > self.gain:
                yield _Node(-bound, (*node.levels, level))

    def _bound(self, at: int, gain: float, spent: Floats, met: Whole) -> float:
        """No way of deciding the rest gains more."""
        if at == len(self.ordered):
            return gain
        left = self.rooms - np.array([self._cheapest(row) for row in spent])
        needs = np.zeros(len(self.names))
        for place, need in enumerate(self.names):
            needs[place] = self.most[at, place][(met & self.bit[need]) == 0].sum()
        needs /= max(self.table.worlds, 1)
        return gain + min(
            float(prices.limits @ left) + float(prices.needs @ needs) + rest[at]
            for prices, rest in zip(self.prices, self.rest, strict=True)
        )

    def _cheapest(self, spent: Floats) -> float:
        """Sum of the cheapest worlds that limits must hold in, by the number of all worlds."""
        if self.kept >= len(spent):
            return float(spent.mean()) if len(spent) else 0.0
        return float(np.partition(spent, self.kept)[: self.kept].sum()) / len(spent)

    def _optimistic(self, one: Candidate) -> _Open:
        last = one.gain[one.option_of[-1]]
        above = np.max(one.gain, axis=0) - last
        least = {"money": one.money.min(axis=0), "hours": one.hours.min(axis=0), "floor": one.floor}
        takes = np.array(
            [
                [
                    self._cheapest(won * (least[name] + (paid if name == "money" else 0.0)))
                    for won, paid in zip(one.wins, one.pays, strict=True)
                ]
                for name in self.table.counted
            ]
        ).reshape(len(self.table.counted), len(one.bids))
        return _Open(
            sure=(one.wins * (last - one.pays)).mean(axis=1),
            more=(one.wins * above).mean(axis=1),
            takes=takes,
            group=self.names.index(one.needs[0]) if _meets_one(one) else -1,
            held=one.held,
        )

    def _most_of_needs(self) -> Floats:
        """From each candidate on: the most one of the rest may add by meeting a need, by world."""
        count = len(self.ordered)
        most = np.zeros((count + 1, len(self.names), self.table.worlds))
        for at in range(count - 1, -1, -1):
            one, most[at] = self.ordered[at], most[at + 1]
            if (group := self.open[at].group) >= 0:
                above = np.max(one.gain, axis=0) - one.gain[one.option_of[-1]]
                np.maximum(most[at, group], one.wins.any(axis=0) * above, out=most[at, group])
        return most

    def _rest(self, prices: _Prices) -> list[float]:
        """From each candidate on: what the rest adds at these prices."""
        values = [_value(one, prices) for one in self.open]
        return [sum(values[at:]) for at in range(len(values) + 1)]


def _single_needs(candidates: list[Candidate]) -> list[str]:
    return list(dict.fromkeys(one.needs[0] for one in candidates if _meets_one(one)))


def _meets_one(one: Candidate) -> bool:
    """Whether it brings more by meeting its one need, and in no other way."""
    others = [meets for at, meets in enumerate(one.meets) if at != one.option_of[-1]]
    return len(one.needs) == 1 and all(others)


def _value(one: _Open, prices: _Prices) -> float:
    """What a candidate adds at these prices, where the best is made of it."""
    kept = 1.0 - (prices.needs[one.group] if one.group >= 0 else 0.0)
    worth = one.sure + kept * one.more - prices.limits @ one.takes
    return float(worth.max()) if one.held else max(0.0, float(worth.max()))


def _prices(candidates: list[_Open], needs: Floats, rooms: Floats) -> _Prices:
    """The prices that bound most tightly: the dual of a linear programme.

    They need not be exact: prices that are a little off give a bound that is a little wider.
    """
    from scipy.optimize import linprog  # large: only when bids are chosen

    count = [len(one.sure) for one in candidates]
    bids, lots = sum(count), len(candidates)
    if not bids:
        return _Prices(np.zeros(len(rooms)), np.zeros(len(needs)))
    start = np.concatenate([[0], np.cumsum(count)])
    width = bids + lots
    goal = np.zeros(width)
    rows = np.zeros((len(rooms) + len(needs) + 2 * lots, width))
    for at, one in enumerate(candidates):
        own = slice(start[at], start[at + 1])
        goal[own] = -one.sure
        goal[bids + at] = -1.0
        rows[: len(rooms), own] = one.takes
        if one.group >= 0:
            rows[len(rooms) + one.group, bids + at] = 1.0
        rows[len(rooms) + len(needs) + at, own] = 1.0
        rows[len(rooms) + len(needs) + lots + at, own] = -one.more
        rows[len(rooms) + len(needs) + lots + at, bids + at] = 1.0
    right = np.concatenate([rooms, needs, np.ones(lots), np.zeros(lots)])
    solved = linprog(goal, A_ub=rows, b_ub=right, method="highs")
    if solved.status != 0:
        return _Prices(np.zeros(len(rooms)), np.zeros(len(needs)))
    dual = -solved.ineqlin.marginals[: len(rooms) + len(needs)]
    dual = np.maximum(dual, 0.0)
    return _Prices(dual[: len(rooms)], np.clip(dual[len(rooms) :], 0.0, 1.0))
