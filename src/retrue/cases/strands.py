"""Faults parted by what happened since: cured or not, behind the trouble or not, in which slot.

A fault that was worked on, or that may be behind a trouble, is several variables of the network,
its strands: at most one of them is true. Hidden roots choose which: whether it is what makes the
trouble show, and whether an act cured it. So every look knows which strands it could have seen,
and all sums stay exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from retrue.belief.network import Network
from retrue.cases.case import Happened, LotCase
from retrue.cases.complaint import Complaint, complaint
from retrue.cases.merging import Strand, Watch, live, looks_at, merge, telling
from retrue.kinds.library import Kind
from retrue.records.seeking import Act, Hunch, PartMoved, Trial, Trouble

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Slot = tuple[str, str]  # machine, fault

MOST_CURED = 0.99  # no act is so sure that a try after it could not say otherwise


@dataclass(frozen=True, slots=True)
class Behind:
    """What may make a trouble show now; no fault: a cause that is on no list."""

    machine: str
    fault: str | None
    variables: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Strands:
    """The parted network and the way back to the plain one.

    Attributes
    ----------
    plain, network : Network
    of : tuple of tuple of Strand
        Of each fault of the plain network, then of each cause on no list.
    others : mapping of trouble id to place in ``of``
    slots : tuple of mapping of Slot to fault
        After each event; the place of a fault among those of the plain network.
    places : tuple of int
        How many findings came before each event.
    complaints : mapping of trouble id to Complaint
    """

    plain: Network
    network: Network
    of: tuple[tuple[Strand, ...], ...]
    others: Mapping[str, int]
    slots: tuple[Mapping[Slot, int], ...]
    places: tuple[int, ...]
    complaints: Mapping[str, Complaint]

    @property
    def moved(self) -> bool:
        """Whether a part stands in another slot than at first."""
        return self.slots[0] != self.slots[-1]

    def time(self, place: int) -> int:
        """The number of events that a finding at this place came after."""
        return sum(1 for one in self.places if one <= place)

    def live(self, fault: int, time: int) -> tuple[Strand, ...]:
        """The strands of a fault that were not cured before that many events."""
        return tuple(strand for strand in self.of[fault] if live(strand, time))

    def slot(self, slot: Slot, time: int) -> int | None:
        """Which fault stood in a slot after that many events."""
        return self.slots[time].get(slot)

    def there_now(self, states: Bools) -> Bools:
        """Fold drawn states to the plain layout: a fault is true where it is there now."""
        roots = self.plain.roots
        end = len(self.places)
        folded = np.zeros((len(self.plain.names), states.shape[1]), dtype=np.bool_)
        folded[:roots] = states[:roots]
        for row, fault in enumerate(self._faults(), start=roots):
            live = [s.variable for s in self.live(fault, end)]
            folded[row] = states[live].any(axis=0) if live else False
        return folded

    def marginal_now(self, marginal: Floats) -> Floats:
        """Fold marginals to the plain layout; strands exclude each other, so they add up."""
        roots = self.plain.roots
        end = len(self.places)
        folded = np.zeros(len(self.plain.names))
        folded[:roots] = marginal[:roots]
        for row, fault in enumerate(self._faults(), start=roots):
            live = [s.variable for s in self.live(fault, end)]
            folded[row] = min(1.0, float(marginal[live].sum())) if live else 0.0
        return folded

    def _faults(self) -> Iterable[int]:
        """Which fault stands now in each slot of the plain layout, in its order."""
        first, last = self.slots[0], self.slots[-1]
        swapped = {first[slot]: fault for slot, fault in last.items()}
        return (swapped.get(f, f) for f in range(len(self.plain.parents)))


def strands(
    case: LotCase, plain: Network, slots: Mapping[Slot, int], kinds: Mapping[str, Kind]
) -> Strands:
    """Part the faults of a network by what happened.

    Parameters
    ----------
    case : LotCase
    plain : Network
        As nothing had happened.
    slots : mapping of Slot to int
        Variable of the plain network by machine and fault.
    kinds : mapping of str to Kind
        By machine.

    Returns
    -------
    Strands
        The plain network itself where nothing happened.

    Notes
    -----
    Of the faults of one trouble each is behind it with its own link, independently; behind it
    once, behind it for good. An unlisted cause is there with the chance of a false complaint.

    References
    ----------
    Persistence of what an act leaves as it was: Breese and Heckerman, UAI 1996 (from memory).

    Examples
    --------
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=())
    >>> net = Network(("f",), np.empty(0), ((),), (np.array(0.5),))
    >>> strands(case, net, {("A", "F01"): 0}, {}).network is net
    True
    """
    parting = _Parting(case, plain, slots, kinds)
    for at, one in enumerate(case.happened):
        parting.take(at, one)
    return parting.done()


@dataclass
class _Parting:
    """Strands while they are parted, event by event."""

    case: LotCase
    plain: Network
    rows: Mapping[Slot, int]
    kinds: Mapping[str, Kind]
    names: list[str] = field(default_factory=list)  # of hidden roots
    chances: list[float] = field(default_factory=list)
    others: dict[str, int] = field(default_factory=dict)
    complaints: dict[str, Complaint] = field(default_factory=dict)

    def __post_init__(self) -> None:
        roots = self.plain.roots
        self.of: list[list[Strand]] = [[Strand(-1)] for _ in self.plain.parents]
        self.slots: list[dict[Slot, int]] = [
            {slot: variable - roots for slot, variable in self.rows.items()}
        ]

    def take(self, at: int, one: Happened) -> None:
        """Part what this event parts."""
        event, slots = one.event, self.slots[-1]
        if isinstance(event, Trouble):
            self._told(one, event)
        elif isinstance(event, Act):
            self._done(at, event)
        elif isinstance(event, PartMoved):
            slots = self._moved(event)
        self.slots.append(dict(slots))

    def _told(self, one: Happened, event: Trouble) -> None:
        """Each suspect may be behind the trouble or not; so may a cause on no list."""
        kind = self.kinds.get(event.machine)
        if kind is None:
            return
        said = complaint(self.case, one, kind)
        if said is None:
            return
        self.complaints[one.id] = said
        for fault, link in sorted(said.links.items()):
            row = self.slots[-1].get((event.machine, fault))
            if row is not None:
                self._part(row, f"behind.{one.id}.{fault}", link, behind=one.id)
        self.others[one.id] = len(self.of)
        self.of.append([Strand(-1, behind=frozenset({one.id}))])

    def _done(self, at: int, event: Act) -> None:
        kind = self.kinds.get(event.machine)
        if kind is None:
            return
        if event.sort == "call_for_help" and event.trouble is not None:
            self._helped(at, event.trouble)
        for fault, chance in _cures(event, kind).items():
            row = self.slots[-1].get((event.machine, fault))
            if row is not None and chance > 0.0:
                self._part(row, f"cured.{at}.{fault}", min(chance, MOST_CURED), cured_at=at)

    def _helped(self, at: int, trouble: str) -> None:
        """Who was called clears whatever is behind the trouble."""
        for row, group in enumerate(self.of):
            if any(trouble in strand.behind for strand in group):
                self._part(row, f"helped.{at}.{row}", MOST_CURED, cured_at=at, only=trouble)

    def _moved(self, event: PartMoved) -> dict[Slot, int]:
        """Parts change places: what goes along with them is read in the other slot."""
        slots = dict(self.slots[-1])
        kind = self.kinds.get(event.machine)
        part = kind.swappable.get(event.part) if kind else None
        for fault in part.goes_along if part else ():
            here, there = (event.machine, fault), (event.from_machine, fault)
            if here in slots and there in slots:
                slots[here], slots[there] = slots[there], slots[here]
        return slots

    def _part(
        self,
        row: int,
        name: str,
        chance: float,
        *,
        behind: str = "",
        cured_at: int | None = None,
        only: str = "",
    ) -> None:
        """Part every strand that is still there (only those behind a trouble) by a hidden root."""
        live = [s for s in self.of[row] if s.cured_at is None and (not only or only in s.behind)]
        gone = [s for s in self.of[row] if s not in live]
        if not live:
            return
        sure = chance >= 1.0
        root = -1 if sure else self._root(name, chance)
        for strand in live:
            yes = strand if sure else replace(strand, gates=(*strand.gates, (root, 1)))
            more = strand.behind | {behind} if behind else strand.behind
            gone.append(replace(yes, behind=more, cured_at=cured_at))
            if not sure:
                gone.append(replace(strand, gates=(*strand.gates, (root, 0))))
        self.of[row] = gone

    def _root(self, name: str, chance: float) -> int:
        self.names.append(name)
        self.chances.append(chance)
        return len(self.names) - 1

    def done(self) -> Strands:
        """The parted network, strands that nothing tells apart put together."""
        places = tuple(one.place for one in self.case.happened)
        self._merge(places)
        network, of = self.plain, self._numbered()
        if self.names or self.others or any(len(group) > 1 for group in of):
            network = self._network(of)
        return Strands(
            plain=self.plain,
            network=network,
            of=of,
            others=self.others,
            slots=tuple(self.slots),
            places=places,
            complaints=self.complaints,
        )

    def _merge(self, places: tuple[int, ...]) -> None:
        """Fewer strands and hidden roots, fault by fault."""
        if any(slots != self.slots[0] for slots in self.slots):
            return  # parts changed places: what saw which strand is another question
        tried = self._tries()
        slots: dict[int, list[Slot]] = {}
        for slot, row in self.slots[-1].items():
            slots.setdefault(row, []).append(slot)
        names, chances, self.names, self.chances = self.names, self.chances, [], []
        for row, group in enumerate(self.of):
            if not any(strand.gates for strand in group):
                continue
            seen = self._seen(slots.get(row, []), places)
            mine = {t: times for t, times in tried.items() if any(t in s.behind for s in group)}
            merged = merge(group, chances, Watch(seen, mine, len(places)))
            first = len(self.names)
            gate = next(gate for strand in group for gate in strand.gates)
            self.names += [f"{names[gate[0]]}.{n}" for n in range(len(merged.chances))]
            self.chances += merged.chances
            self.of[row] = [
                replace(s, gates=tuple((first + root, state) for root, state in s.gates))
                for s in merged.strands
            ]

    def _seen(self, slots: list[Slot], places: tuple[int, ...]) -> tuple[int, ...]:
        """After how many events something looked at a fault."""
        looks = {
            sum(1 for one in places if one <= place)
            for machine, fault in slots
            for place in looks_at(self.case, self.kinds, machine, fault)
        }
        groups = {
            at
            for at in telling(self.case)
            if isinstance(event := self.case.happened[at].event, Trial)
            and event.group is not None
            and self._of_group(event, slots)
        }
        return tuple(sorted(looks | groups))

    def _of_group(self, event: Trial, slots: list[Slot]) -> bool:
        kind = self.kinds.get(event.machine)
        group = kind.groups.get(str(event.group)) if kind else None
        if kind is None or group is None:
            return False
        return any(
            machine == event.machine and kind.faults[fault].subsystem in group.subsystems
            for machine, fault in slots
        )

    def _tries(self) -> dict[str, tuple[int, ...]]:
        """After how many events each trouble was looked at, in tries that still tell something."""
        times: dict[str, set[int]] = {trouble: set() for trouble in self.others}
        for at in telling(self.case):
            event = self.case.happened[at].event
            if isinstance(event, Trouble) and self.case.happened[at].id in times:
                times[self.case.happened[at].id].add(at + 1)
            elif isinstance(event, Trial | Hunch) and event.trouble in times:
                times[str(event.trouble)].add(at)
        return {trouble: tuple(sorted(found)) for trouble, found in times.items()}

    def _numbered(self) -> tuple[tuple[Strand, ...], ...]:
        """Variables in order: roots, hidden roots, strands fault by fault."""
        roots, found, count = self.plain.roots, [], self.plain.roots + len(self.names)
        for group in self.of:
            row = []
            for strand in group:
                gates = tuple((roots + root, state) for root, state in strand.gates)
                row.append(replace(strand, variable=count, gates=gates))
                count += 1
            found.append(tuple(row))
        return tuple(found)

    def _network(self, of: Sequence[tuple[Strand, ...]]) -> Network:
        plain, roots = self.plain, self.plain.roots
        names: list[str] = []
        parents: list[tuple[int, ...]] = []
        tables: list[Floats] = []
        leaks = [(f"other.{t}", np.array(self.complaints[t].leak)) for t in self.others]
        causes = [
            *zip(plain.names[roots:], plain.parents, plain.tables, strict=True),
            *((name, (), leak) for name, leak in leaks),
        ]
        for (name, own, table), group in zip(causes, of, strict=True):
            for number, strand in enumerate(group):
                names.append(f"{name}/{number}" if len(group) > 1 else name)
                parents.append((*own, *(root for root, _ in strand.gates)))
                tables.append(_gated(table, strand.gates))
        return Network(
            names=(*plain.names[:roots], *self.names, *names),
            root_prior=np.concatenate([plain.root_prior, np.array(self.chances, dtype=np.float64)]),
            parents=tuple(parents),
            tables=tuple(tables),
        )


def _gated(table: Floats, gates: tuple[tuple[int, int], ...]) -> Floats:
    """The fault's own table where every gate stands as it must, nothing elsewhere."""
    if not gates:
        return table
    chosen = np.array(1.0)
    for _, state in gates:
        chosen = np.multiply.outer(chosen, np.arange(2) == state)
    return np.asarray(np.multiply.outer(table, chosen), dtype=np.float64)


def _cures(event: Act, kind: Kind) -> dict[str, float]:
    """What an act may have cured, and how likely."""
    cures: dict[str, float] = {}
    job = kind.jobs.get(event.job) if event.job else None
    if job is not None:
        cures |= job.cures
    if event.fault is None:
        return cures
    way = next((w for w in kind.fixes.get(event.fault, ()) if w.way == event.way), None)
    chance = event.cures if event.cures is not None else (way.cures if way else 1.0)
    if event.sort in ("observe", "measure"):
        chance = event.cures or 0.0
    cures[event.fault] = chance
    for fault, share in (way.also_cures if way else {}).items():
        cures[fault] = chance * share
    return cures
