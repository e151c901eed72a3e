"""Which places stand open, which were opened before, and which cannot be opened at all."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.say import say
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.lines import Refused
from retrue.kinds.library import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Openings:
    """The places of one machine as they stand.

    Attributes
    ----------
    open_now : frozenset of str
    opened_before : frozenset of str
        Opened at least once: its bolts have moved.
    closed : frozenset of str
        Opened, and closed again since.
    circular : tuple of tuple of str
        Each a ring of places that wait for each other.
    unknown : frozenset of str
        Places that a way names and the kind does not have.
    """

    kind: Kind
    open_now: frozenset[str]
    opened_before: frozenset[str]
    closed: frozenset[str]
    circular: tuple[tuple[str, ...], ...] = ()
    unknown: frozenset[str] = frozenset()
    refused: tuple[Refused, ...] = ()

    def bad_place(self, place: str | None) -> bool:
        """Whether a place cannot be opened: it is not there, or stands behind itself."""
        if place is None:
            return False
        return place in self.unknown or self._ring(place) is not None

    def refusal(self, card: str, title: str, place: str | None) -> Refused:
        """Why a card of such a place is not planned."""
        ring = self._ring(place or "")
        if ring is None:
            return Refused(
                card=card,
                title=title,
                why=say("it is done at a place this machine does not have: {place}", place=place),
                remedy=say("Name one of its places in your kind of machine."),
            )
        return Refused(
            card=card,
            title=title,
            why=say("its place opens behind itself: {ring}", ring=_ring_words(self.kind, ring)),
            remedy=say("Let one of these places open by itself in your kind of machine."),
        )

    def _ring(self, place: str) -> tuple[str, ...] | None:
        seen: list[str] = []
        at: str | None = place
        while at is not None and at in self.kind.places:
            if at in seen:
                return tuple(seen[seen.index(at) :])
            seen.append(at)
            at = self.kind.places[at].behind
        return None


def openings_of(kept: FixKept, machine: MachineKept) -> Openings:
    """How the places of a machine stand, by what was marked, taken off and done.

    Parameters
    ----------
    kept : FixKept
    machine : MachineKept

    Returns
    -------
    Openings
        A place is open from the first thing taken off it until its closing is marked; where
        nothing was taken off or marked, as long as fault-finding has it open.

    Examples
    --------
    >>> from retrue.cases.case import LotCase
    >>> from retrue.cases.fix.kept import fix_of_case
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> mill = Machine(lot="a", name="mill", kind="vertical_machining_centre")
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,))
    >>> kept = fix_of_case(case, load())
    >>> sorted(openings_of(kept, kept.machines[0]).open_now)
    []
    """
    kind = machine.kind
    opened = set(machine.state.open_places)
    before = set(machine.state.open_places) | {one.place for one in machine.taken}
    closed: set[str] = set()
    opened |= {one.place for one in machine.taken if not one.back}
    for record in sorted(machine.marks, key=lambda one: one.seq):
        sort, _, place = record.fact.card.partition(":")
        if place not in kind.places or sort not in ("open", "close"):
            continue
        done = record.fact.how == "done"
        if sort == "open" and record.fact.how in ("done", "open_again"):
            (opened.add if done else opened.discard)(place)
            before |= {place} if done else set()
            closed.discard(place)
        elif sort == "close" and done:
            opened.discard(place)
            closed.add(place)
        elif sort == "close" and record.fact.how == "open_again":
            opened.add(place)
            closed.discard(place)
    rings = _rings(kind)
    ways = [fix for fixes in kind.fixes.values() for fix in fixes]
    return Openings(
        kind=kind,
        open_now=frozenset(opened),
        opened_before=frozenset(before | opened | closed),
        closed=frozenset(closed - opened),
        circular=rings,
        unknown=frozenset(
            fix.opens for fix in ways if fix.opens is not None and fix.opens not in kind.places
        ),
        refused=tuple(
            Refused(
                card=f"open:{ring[0]}",
                title=say("Open: {place}", place=kind.places[ring[0]].name),
                why=say("these places wait for each other: {ring}", ring=_ring_words(kind, ring)),
                remedy=say("Let one of these places open by itself in your kind of machine."),
            )
            for ring in rings
        ),
    )


def _rings(kind: Kind) -> tuple[tuple[str, ...], ...]:
    """Places that stand behind each other in a ring, each ring once."""
    found: dict[frozenset[str], tuple[str, ...]] = {}
    for start in kind.places:
        seen: list[str] = []
        at: str | None = start
        while at is not None and at in kind.places and at not in seen:
            seen.append(at)
            at = kind.places[at].behind
        if at is not None and at in seen:
            ring = tuple(seen[seen.index(at) :])
            found.setdefault(frozenset(ring), ring)
    return tuple(found.values())


def _ring_words(kind: Kind, ring: tuple[str, ...]) -> str:
    return " → ".join(str(kind.places[one].name) for one in (*ring, ring[0]))
