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
    add,
    in_order,
    needs_as_bits,
    no_more_than,
)

Floats = NDArray[np.float64]

HAIR = 1e-9  # what a step must gain, relative to what there is
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
    _bit: dict[str, int] = field(default_factory=dict)
    _known: dict[tuple[int, Levels], Part] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Put what shares a need together."""
        self.order = in_order(self.candidates)
        self._bit = needs_as_bits(self.candidates)
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
        gain, spent = 0.0, np.zeros((len(self.counted), self.worlds))
        met = np.zeros(self.worlds, dtype=np.int64)
        for place in self.groups[group]:
            if levels[place]:
                added, met = add(self.candidates[place], levels[place], met, self._bit)
                gain += float(added.gain.mean())
                for row, name in enumerate(self.counted):
                    spent[row] += getattr(added, name)
        return Part(gain, spent)

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


def climb(table: Table, allowed: float) -> Levels:
    """The best choice of bids that was found.

    Parameters
    ----------
    table : Table
    allowed : float
        Share of the worlds in which a limit may be broken.

    Returns
    -------
    tuple of int
        What is bid on each; never worse than bidding on nothing. Where what is won already breaks
        the limits too often, nothing more is bid.

    Notes
    -----
    Two beginnings, what gains most first and what gains most for what it takes first, are climbed
    from by one bid at a time, and by two where one is lowered and another raised; then each bid
    of the best is left out once, and the climb begun again without it.

    References
    ----------
    Sample average over drawn worlds: Kleywegt, Shapiro and Homem-de-Mello 2002, The sample average
    approximation method for stochastic discrete optimization, SIAM Journal on Optimization 12(2).
    """
    least = table.least()
    if not table.holds(table.whole(least).spent, allowed):
        return least
    found = [_Climb(table, allowed, least).up(by_ratio=by_ratio) for by_ratio in (False, True)]
    best = max(found, key=lambda one: one.gain)
    for place in [at for at, level in enumerate(best.levels) if level > least[at]]:
        without = (*best.levels[:place], 0, *best.levels[place + 1 :])
        again = _Climb(table, allowed, without, shut=place).up().open().up()
        best = max(best, again, key=lambda one: one.gain)
    return best.levels


class _Climb:
    """One climb: where it stands, and what each step would come to."""

    def __init__(
        self, table: Table, allowed: float, levels: Levels, shut: int | None = None
    ) -> None:
        self.table, self.allowed, self.levels, self.shut = table, allowed, levels, shut
        part = table.whole(levels)
        self.gain, self.spent = part.gain, part.spent

    def open(self) -> _Climb:
        """Let the one that was left out come back."""
        self.shut = None
        return self

    def up(self, *, by_ratio: bool = False) -> _Climb:
        """Climb until no step gains any more."""
        while self._step(self._single(), by_ratio):
            pass
        while self._step(self._single(), by_ratio=False) or self._step(self._pairs(), False):
            pass
        return self

    def _step(self, steps: Iterator[Levels], by_ratio: bool) -> bool:
        """Take the best of some steps, if any gains."""
        best, score = None, 0.0
        least = HAIR * max(1.0, abs(self.gain))
        before = self._taken(self.spent)
        for levels in steps:
            gain, spent = self._at(levels)
            more = gain - self.gain
            if more <= least:
                continue
            rated = more / max(self._taken(spent) - before, HAIR) if by_ratio else more
            if rated > score and self.table.holds(spent, self.allowed):
                best, score = (levels, gain, spent), rated
        if best is not None:
            self.levels, self.gain, self.spent = best
        return best is not None

    def _taken(self, spent: Floats) -> float:
        """What is taken of the limits, each as a share of it."""
        caps = np.maximum(self.table.caps, HAIR)
        return float((spent.mean(axis=1) / caps).sum())

    def _at(self, levels: Levels) -> tuple[float, Floats]:
        """Gain and spending of a choice that differs in one or two groups."""
        gain, spent = self.gain, self.spent
        changed = {
            self.table.group_of[at] for at, level in enumerate(levels) if level != self.levels[at]
        }
        for group in sorted(changed):
            old, new = self.table.part(group, self.levels), self.table.part(group, levels)
            gain, spent = gain - old.gain + new.gain, spent - old.spent + new.spent
        return gain, spent

    def _menu(self, place: int) -> range:
        return range(0) if place == self.shut else self.table.menu(place)

    def _single(self) -> Iterator[Levels]:
        """One bid changed."""
        for place, now in enumerate(self.levels):
            for level in self._menu(place):
                if level != now:
                    yield (*self.levels[:place], level, *self.levels[place + 1 :])

    def _pairs(self) -> Iterator[Levels]:
        """One bid lowered by a step or left out, another raised by a step or to its highest."""
        for low, now in enumerate(self.levels):
            for level in sorted({self._menu(low).start, now - 1} if now else ()):
                if level not in self._menu(low) or level == now:
                    continue
                base = (*self.levels[:low], level, *self.levels[low + 1 :])
                for high, then in enumerate(self.levels):
                    top = len(self.table.candidates[high].bids)
                    if high == low or then == top or high == self.shut:
                        continue
                    for raised in sorted({then + 1, top, (then + 1 + top) // 2}):
                        yield (*base[:high], raised, *base[high + 1 :])
