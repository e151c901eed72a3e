"""The search for the best choice of bids: a climb from several beginnings, one or two at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.choose.commit import (
    CLOSE,
    Candidate,
    Levels,
    Limits,
    in_order,
    needs_as_bits,
    no_more_than,
)
from retrue.choose.commit_play import Play, play_of

Floats = NDArray[np.float64]

HAIR = 1e-9  # what a step must gain, relative to what there is
FEW = 60  # bids in all; where there are more, a climb that begins anew must look promising:
NEAR = 0.9  # of the best found, before dearer steps are tried
MOST_KEPT = 8_000_000  # numbers of looked-up sums that are kept at a time


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Candidates that share needs, bid on in one way: mean gain, and what it takes in each world.

    ``spent`` has a row for each limit that counts.
    """

    gain: float
    spent: Floats  # (limits, worlds)


@dataclass(slots=True, eq=False)
class Table:
    """Choices of bids looked up quickly: only what shares a need is worked out anew.

    Attributes
    ----------
    candidates : tuple of Candidate
    limits : Limits
    """

    candidates: tuple[Candidate, ...]
    limits: Limits
    order: tuple[int, ...] = ()
    groups: tuple[tuple[int, ...], ...] = ()
    group_of: dict[int, int] = field(default_factory=dict)
    counted: tuple[str, ...] = ()
    caps: Floats = field(default_factory=lambda: np.zeros(0))
    bit: dict[str, int] = field(default_factory=dict)
    _plays: dict[tuple[int, int], Play] = field(default_factory=dict)
    _known: dict[tuple[int, Levels], Part] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Put what shares a need together."""
        self.order = in_order(self.candidates)
        self.bit = needs_as_bits(self.candidates)
        self.groups = groups_of(self.candidates, self.order)
        self.group_of = {place: at for at, group in enumerate(self.groups) for place in group}
        caps = {name: getattr(self.limits, name) for name in ("money", "hours", "floor")}
        self.counted = tuple(name for name, cap in caps.items() if np.isfinite(cap))
        self.caps = np.array([no_more_than(caps[name]) for name in self.counted])

    @property
    def worlds(self) -> int:
        """How many worlds there are."""
        return self.candidates[0].worlds if self.candidates else 0

    def least(self) -> Levels:
        """Nothing bid on but what is won already."""
        return tuple(1 if one.held else 0 for one in self.candidates)

    def menu(self, place: int) -> range:
        """What may be chosen for one candidate."""
        one = self.candidates[place]
        return range(1 if one.held else 0, len(one.bids) + 1)

    def part(self, group: int, levels: Levels) -> Part:
        """One group of candidates under a choice of bids."""
        key = (group, tuple(levels[place] for place in self.groups[group]))
        if key not in self._known:
            if len(self._known) * self.worlds * len(self.counted) > MOST_KEPT:
                self._known.clear()
            self._known[key] = self._work_out(group, levels)
        return self._known[key]

    def _work_out(self, group: int, levels: Levels) -> Part:
        """As ``commit.came_of``, looking only at the worlds in which a bid wins."""
        gain, spent = 0.0, np.zeros((len(self.counted), self.worlds))
        met = np.zeros(self.worlds, dtype=np.int64)
        for place in self.groups[group]:
            if levels[place]:
                gain += self.play(place, levels[place]).add(met, spent)
        return Part(gain / max(self.worlds, 1), spent)

    def play(self, place: int, level: int) -> Play:
        """One bid, ready to be added to others."""
        if (place, level) not in self._plays:
            one = self.candidates[place]
            self._plays[place, level] = play_of(one, level, self.counted, self.bit)
        return self._plays[place, level]

    def whole(self, levels: Levels) -> Part:
        """All candidates under a choice of bids."""
        parts = [self.part(group, levels) for group in range(len(self.groups))]
        spent = np.zeros((len(self.counted), self.worlds))
        for part in parts:
            spent += part.spent
        return Part(sum(part.gain for part in parts), spent)

    def over(self, spent: Floats) -> float:
        """Share of the worlds in which any limit is broken."""
        return float((spent > self.caps[:, None]).any(axis=0).mean()) if len(self.caps) else 0.0

    def holds(self, spent: Floats, allowed: float) -> bool:
        """Whether the limits are broken no more often than is allowed."""
        return self.over(spent) <= allowed + CLOSE


def groups_of(candidates: Sequence[Candidate], order: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Candidates that share needs, directly or through others.

    Parameters
    ----------
    candidates : sequence of Candidate
    order : sequence of int
        In which they stand within a group.

    Returns
    -------
    tuple of tuple of int
        Places of the candidates.

    References
    ----------
    By definition.

    Examples
    --------
    >>> groups_of([], [])
    ()
    """
    groups: list[tuple[set[str], list[int]]] = []
    for place in order:
        needs, members = set(candidates[place].needs), [place]
        apart = []
        for had, those in groups:
            if had & needs:
                needs, members = needs | had, those + members
            else:
                apart.append((had, those))
        groups = [*apart, (needs, members)]
    rank = {place: at for at, place in enumerate(order)}
    return tuple(tuple(sorted(members, key=rank.__getitem__)) for _, members in groups)


def at(levels: Levels, place: int, level: int) -> Levels:
    """The same choice with one bid changed.

    Parameters
    ----------
    levels : tuple of int
    place, level : int

    Returns
    -------
    tuple of int

    References
    ----------
    By definition.

    Examples
    --------
    >>> at((1, 0, 2), 1, 3)
    (1, 3, 2)
    """
    return (*levels[:place], level, *levels[place + 1 :])


def climb(table: Table, allowed: float, begin: Levels | None = None) -> Levels:
    """The best choice of bids that was found.

    Parameters
    ----------
    table : Table
    allowed : float
        Share of the worlds in which a limit may be broken.
    begin : tuple of int or None
        Where to begin: a choice that was good when more was allowed. None: from nothing.

    Returns
    -------
    tuple of int
        What is bid on each; never worse than bidding on nothing. Where what is won already breaks
        the limits too often, nothing more is bid.

    Notes
    -----
    Two beginnings, what gains most first and what gains most for what it takes first, are climbed
    from by one bid at a time, the better one then by two, where one is lowered and another raised.
    Each bid of it is left out once, and the climb goes on without it, then with it. In the end
    one is raised while others give way.

    References
    ----------
    Sample average over drawn worlds: Kleywegt, Shapiro and Homem-de-Mello 2002, The sample average
    approximation method for stochastic discrete optimization, SIAM Journal on Optimization 12(2).
    """
    least = table.least()
    if not table.holds(table.whole(least).spent, allowed):
        return least
    if begin is not None:
        return _Climb(table, allowed, begin).give_way().up(last=True).levels
    found = [_Climb(table, allowed, least).rise(by_ratio=way).up() for way in (False, True)]
    best = max(found, key=lambda one: one.gain)
    few = sum(len(one.bids) for one in table.candidates) <= FEW
    for place in [i for i, level in enumerate(best.levels) if level > least[i]]:
        without = _Climb(table, allowed, at(best.levels, place, 0), shut=place).rise()
        again = _Climb(table, allowed, (without.up() if few else without).levels).rise()
        if few or again.gain > NEAR * best.gain:
            best = max(best, again.up(), key=lambda one: one.gain)
    return best.up(last=True).levels


Step = tuple[Levels, tuple[int, ...]]  # a choice, and where it differs from where the climb stands


class _Climb:
    """One climb: where it stands, and what each step would come to."""

    def __init__(
        self, table: Table, allowed: float, levels: Levels, shut: int | None = None
    ) -> None:
        self.table, self.allowed, self.shut = table, allowed, shut
        self._stand(levels)

    def _stand(self, levels: Levels) -> None:
        self.levels = levels
        self.parts = [self.table.part(group, levels) for group in range(len(self.table.groups))]
        whole = self.table.whole(levels)
        self.gain, self.spent = whole.gain, whole.spent

    def give_way(self) -> _Climb:
        """Lower bids until the limits hold."""
        step: Step | None = (self.levels, ())
        while step and not self.table.holds(self._spent(step), self.allowed):
            step = self._lowered(step)
        self._stand(step[0] if step else self.table.least())
        return self

    def rise(self, *, by_ratio: bool = False) -> _Climb:
        """Climb by one bid at a time."""
        while by_ratio and self._step(self._single(), by_ratio=True):
            pass
        while self._step(self._single()):
            pass
        return self

    def up(self, *, last: bool = False) -> _Climb:
        """Climb until no step gains any more; the last climb takes the dearer steps too."""
        while (
            self._step(self._single()) or self._exchange() or (last and self._step(self._pushed()))
        ):
            pass
        return self

    def _exchange(self) -> bool:
        """Lower one bid after the other where another may then be raised for more."""
        found = [self._step(self._pairs(low)) for low in range(len(self.levels))]
        return any(found)

    def _step(self, steps: Iterator[Step], *, by_ratio: bool = False) -> bool:
        """Take the best of some steps, if any gains."""
        least = HAIR * max(1.0, abs(self.gain))
        rising = [(more, step) for step in steps if (more := self._more(step)) > least]
        if by_ratio:
            before = self._taken(self.spent)
            rising = [
                (more / max(self._taken(self._spent(step)) - before, HAIR), step)
                for more, step in rising
            ]
        for _, step in sorted(rising, key=lambda one: -one[0]):
            if self.table.holds(self._spent(step), self.allowed):
                self._stand(step[0])
                return True
        return False

    def _more(self, step: Step) -> float:
        """What a step gains."""
        more = 0.0
        for group in {self.table.group_of[place] for place in step[1]}:
            more += self.table.part(group, step[0]).gain - self.parts[group].gain
        return more

    def _spent(self, step: Step) -> Floats:
        """What it takes then."""
        spent = self.spent
        for group in sorted({self.table.group_of[place] for place in step[1]}):
            spent = spent - self.parts[group].spent + self.table.part(group, step[0]).spent
        return spent

    def _taken(self, spent: Floats) -> float:
        """What is taken of the limits, each as a share of it."""
        caps = np.maximum(self.table.caps, HAIR)
        return float((spent.mean(axis=1) / caps).sum())

    def _menu(self, place: int) -> range:
        return range(0) if place == self.shut else self.table.menu(place)

    def _single(self) -> Iterator[Step]:
        """One bid changed."""
        for place, now in enumerate(self.levels):
            for level in self._menu(place):
                if level != now:
                    yield at(self.levels, place, level), (place,)

    def _pairs(self, low: int) -> Iterator[Step]:
        """One bid lowered by a step or left out, another raised a step, half-way or to its top."""
        now = self.levels[low]
        for level in sorted({self._menu(low).start, now - 1} if now else ()):
            if level not in self._menu(low) or level == now:
                continue
            base = at(self.levels, low, level)
            for high in self._may_rise():
                then, top = self.levels[high], len(self.table.candidates[high].bids)
                if high != low:
                    for raised in sorted({then + 1, (then + 1 + top) // 2, top}):
                        yield at(base, high, raised), (low, high)

    def _pushed(self) -> Iterator[Step]:
        """One bid raised, and others lowered step by step until the limits hold."""
        for high in self._may_rise():
            then, top = self.levels[high], len(self.table.candidates[high].bids)
            for raised in sorted({then + 1, top}):
                step: Step | None = (at(self.levels, high, raised), (high,))
                while step and not self.table.holds(self._spent(step), self.allowed):
                    step = self._lowered(step)
                if step:
                    yield step

    def _may_rise(self) -> list[int]:
        return [
            place
            for place, now in enumerate(self.levels)
            if now < len(self.table.candidates[place].bids) and place != self.shut
        ]

    def _lowered(self, step: Step) -> Step | None:
        """The one step down that costs least for what it gives back; None: there is none left."""
        levels, places = step
        gain, spent = self._more(step), self._spent(step)
        over, taken = self.table.over(spent), self._taken(spent)
        best, least = None, np.inf
        for low, now in enumerate(levels):
            if low in places[:1] or now <= self.table.menu(low).start:
                continue
            lower = (at(levels, low, now - 1), (*places, low))
            left = self._spent(lower)
            given = over - self.table.over(left) + HAIR * (taken - self._taken(left))
            cost = (gain - self._more(lower)) / max(given, HAIR * HAIR)
            if cost < least:
                best, least = lower, cost
        return best
