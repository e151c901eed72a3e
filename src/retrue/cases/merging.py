"""Strands that nothing tells apart are one: fewer variables, the same sums."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from retrue.cases.case import LotCase
from retrue.kinds.library import Kind
from retrue.records.seeking import Hunch, PartMoved, Trial


@dataclass(frozen=True, slots=True)
class Strand:
    """One way a fault can be there.

    Attributes
    ----------
    variable : int
        Of the parted network; while parting, its place among the strands.
    gates : tuple of (int, int)
        Hidden roots and the state each must have.
    behind : frozenset of str
        Troubles that it makes show.
    cured_at : int or None
        Place in time of the event that cured it; None: it is still there.
    """

    variable: int
    gates: tuple[tuple[int, int], ...] = ()
    behind: frozenset[str] = frozenset()
    cured_at: int | None = None


def live(strand: Strand, time: int) -> bool:
    """Whether a strand was still there after that many events.

    Parameters
    ----------
    strand : Strand
    time : int

    Returns
    -------
    bool

    Examples
    --------
    >>> live(Strand(0, cured_at=2), 2), live(Strand(0, cured_at=2), 3)
    (True, False)
    """
    return strand.cured_at is None or strand.cured_at >= time


@dataclass(frozen=True, slots=True)
class Watch:
    """When something looked at one fault, and when something looked at each trouble."""

    seen: tuple[int, ...]
    tried: Mapping[str, tuple[int, ...]]
    end: int

    def view(self, strand: Strand) -> tuple[bool, ...]:
        """What all that was looked at could see of a strand."""
        looks = [live(strand, time) for time in (*self.seen, self.end)]
        for trouble, times in sorted(self.tried.items()):
            mine = trouble in strand.behind
            looks += [mine and live(strand, time) for time in (*times, self.end)]
        return tuple(looks)


@dataclass(frozen=True, slots=True)
class Merged:
    """The strands of one fault that are told apart, and the chances of its new hidden roots.

    The strands are parted one after the other: root k says that it is strand k, where it was none
    before; the last one is left.
    """

    strands: tuple[Strand, ...]
    chances: tuple[float, ...]


def merge(group: Sequence[Strand], chances: Sequence[float], watch: Watch) -> Merged:
    """Put strands together that nothing tells apart.

    Parameters
    ----------
    group : sequence of Strand
        Of one fault; they exclude each other, and no other fault has their hidden roots.
    chances : sequence of float
        Of the hidden roots.
    watch : Watch

    Returns
    -------
    Merged
        Gates are numbered among its own chances.

    Notes
    -----
    Hidden roots of one fault are independent of everything else, so strands with one view add up
    and may be parted anew in any way that keeps their chances.

    References
    ----------
    Exact lumping of states that all evidence treats alike (by definition).

    Examples
    --------
    >>> four = [Strand(-1, ((0, a), (1, k)), frozenset("T" if a else ()), 1 if k else None)
    ...         for a in (0, 1) for k in (0, 1)]
    >>> merged = merge(four, [0.6, 0.8], Watch((), {"T": (2,)}, 2))
    >>> len(merged.strands), [round(c, 4) for c in merged.chances]
    (3, [0.12, 0.0909])
    """
    classes: dict[tuple[bool, ...], list[Strand]] = {}
    for strand in group:
        classes.setdefault(watch.view(strand), []).append(strand)
    order = sorted(
        classes.values(), key=lambda one: (one[0].cured_at is not None, not one[0].behind)
    )
    shares = [sum(_chance(strand, chances) for strand in one) for one in order]
    found: list[Strand] = []
    parted: list[float] = []
    left = 1.0
    for number, (one, share) in enumerate(zip(order, shares, strict=True)):
        earlier = tuple((root, 0) for root in range(number))
        if number == len(order) - 1:
            found.append(replace(one[0], gates=earlier))
            break
        parted.append(min(1.0, share / left))
        found.append(replace(one[0], gates=(*earlier, (number, 1))))
        left -= share
    return Merged(tuple(found), tuple(parted))


def _chance(strand: Strand, chances: Sequence[float]) -> float:
    share = 1.0
    for root, state in strand.gates:
        share *= chances[root] if state else 1.0 - chances[root]
    return share


def telling(case: LotCase) -> frozenset[int]:
    """Which events still tell something: of tries that failed, the newest alone.

    Parameters
    ----------
    case : LotCase

    Returns
    -------
    frozenset of int
        Places among what happened. What still shows after an act showed before it too: earlier
        failed tries, and the trouble as it was told, follow from the newest. Not so where a part
        changed places in between: what was tried before was tried with another part.

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> telling(LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=()))
    frozenset()
    """
    last: dict[object, int] = {}
    kept: set[int] = set()
    moves = 0
    for at, one in enumerate(case.happened):
        event = one.event
        if isinstance(event, PartMoved):
            moves += 1
        elif isinstance(event, Trial):
            of = event.trouble or (event.machine, event.group, event.level)
            if event.passes:
                kept.add(at)
            else:
                last[moves, of] = at
        elif isinstance(event, Hunch):
            kept.add(at)
        elif event.KIND == "trouble":
            last.setdefault((moves, one.id), at)
    return frozenset(kept | set(last.values()))


def looks_at(case: LotCase, kinds: Mapping[str, Kind], machine: str, fault: str) -> list[int]:
    """Places of the findings that a fault of a machine can show in, oldest first.

    Parameters
    ----------
    case : LotCase
    kinds : mapping of str to Kind
        By machine.
    machine, fault : str

    Returns
    -------
    list of int

    Examples
    --------
    >>> from retrue.records.facts import Lot, Shop, Terms
    >>> empty = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> looks_at(empty, {}, "A", "F01")
    []
    """
    kind = kinds.get(machine)
    if kind is None:
        return []
    places = []
    for place, kept in enumerate(case.findings):
        finding = kept.finding
        if finding.machine not in (None, machine):
            continue
        check = kind.checks.get(finding.check) if finding.check else None
        measured = kind.measures.get(finding.measure) if finding.measure else None
        shows = (check is not None and fault in check.links) or (
            measured is not None and fault in measured.parts
        )
        if finding.fault == fault or shows:
            places.append(place)
    return places
