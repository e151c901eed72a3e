"""What each card comes after, and the order in which all of them may be worked."""

from __future__ import annotations

import heapq
from collections.abc import Iterable
from dataclasses import replace

from retrue.cases.fix.clearing import CLEAR, CLEAR_RUNNING
from retrue.cases.fix.layout import Layout, cleans_outside, is_late
from retrue.cases.fix.lines import Card, Wait
from retrue.cases.fix.looks import LOOK, looked_at
from retrue.cases.fix.needed import FaultNeed, Needed
from retrue.cases.fix.places import chain
from retrue.kinds.library import Job

UNSEEN = "unseen"
PRESSING = ("STOP", "MUST")


def wait_for_all(
    ranked: Iterable[tuple[int, Card]], need: Needed, layout: Layout
) -> tuple[Card, ...]:
    """Give every card what it comes after, and sort them all.

    Parameters
    ----------
    ranked : iterable of (int, Card)
        Rank and card; of two that may be next the lower rank goes first.
    need : Needed
    layout : Layout

    Returns
    -------
    tuple of Card
        In an order that may be worked.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> plain = SimpleNamespace(opened={}, early=(), late=(), after={}, level_place="")
    >>> none = SimpleNamespace(faults=(), rare=(), kind=SimpleNamespace(stages={}, jobs={}))
    >>> wait_for_all((), none, plain)
    ()
    """
    listed = list(ranked)
    weaver = _Weaver({card.key: card for _, card in listed}, need, layout)
    waits = weaver.weave()
    cards = {
        key: replace(card, waits=tuple(waits.get(key, {}).values()))
        for key, card in weaver.cards.items()
    }
    ranks = {card.key: (rank, at) for at, (rank, card) in enumerate(listed)}
    return tuple(cards[key] for key in _sorted(cards, ranks))


def _sorted(cards: dict[str, Card], ranks: dict[str, tuple[int, int]]) -> list[str]:
    """The lowest rank that is free, again and again."""
    left = {key: {wait.card for wait in card.waits} for key, card in cards.items()}
    after: dict[str, list[str]] = {key: [] for key in cards}
    for key, befores in left.items():
        for before in befores:
            after[before].append(key)
    free = [(ranks[key], key) for key, befores in left.items() if not befores]
    heapq.heapify(free)
    order = []
    while free:
        _, key = heapq.heappop(free)
        order.append(key)
        for later in after[key]:
            left[later].discard(key)
            if not left[later]:
                heapq.heappush(free, (ranks[later], later))
    return order


class _Weaver:
    """Writes down card by card what comes before it."""

    def __init__(self, cards: dict[str, Card], need: Needed, layout: Layout) -> None:
        self.cards = cards
        self.need = need
        self.layout = layout
        self.waits: dict[str, dict[str, Wait]] = {}
        self.shuts: dict[str, list[str]] = {}  # by place, what its closing waits for
        # Jobs that are done have cards as well: so it is seen what they made free.
        self.early = [job for job in need.kind.jobs.values() if not is_late(need.kind, job)]
        self.records = [job.id for job in self.early if job.sort == "record"]
        self.tests = {  # by base job, the faults that its dead tests speak of
            job.id: {fault for one in job.reveals if one in need.kind.checks
                     for fault in need.kind.checks[one].links}
            for job in self.early
            if job.sort == "check"
        }  # fmt: skip
        self.looked = looked_at(need, layout)

    def weave(self) -> dict[str, dict[str, Wait]]:
        self._open()
        self._jobs()
        self._looks()
        for one in self.need.faults:
            if not self.layout.is_late(one):
                self._fault(one)
        self._extras()
        self._close()
        self._late()
        return self.waits

    def after(self, key: str, *befores: str, days: float = 0.0, part: str = "") -> None:
        """A card comes after others; what is not on the list is behind us."""
        for before in befores:
            if key in self.cards and before in self.cards and key != before:
                dries = self.cards[before].dries_days
                wait = Wait(card=before, days=max(days, dries), part=part)
                mine = self.waits.setdefault(key, {})
                if before not in mine or wait.days > mine[before].days:
                    mine[before] = wait

    def ready(self, place: str) -> tuple[str, ...]:
        """What makes a place ready for work: opened, and read before it comes apart."""
        return f"open:{place}", f"before:{place}"

    def chain(self, place: str | None) -> list[str]:
        return [one for one in chain(self.need.kind, place) if one in self.layout.opened]

    def _open(self) -> None:
        for place in self.layout.opened:
            self.after(f"open:{place}", *self.records)
            for outer in self.chain(place)[1:2]:
                self.after(f"open:{place}", f"open:{outer}")
            self.after(f"open:{place}", *(job.id for job in self.early
                                          if self.outside_of(job, place)))  # fmt: skip
            self.after(f"before:{place}", f"open:{place}")

    def outside_of(self, job: Job, place: str) -> bool:
        """Whether a pass cleans what lies round a place: else its dirt falls in."""
        kind = self.need.kind
        round_it = chain(kind, place)[1:]
        return cleans_outside(kind, job) and bool(set(job.places) & set(round_it))

    def _jobs(self) -> None:
        cleaning = [job for job in self.early if job.sort == "clean"]
        first = {id for one in self.need.kind.stages.values() if one.stage == "P0"
                 for id in one.jobs}  # fmt: skip
        for job in self.early:
            if job.sort == "record":
                continue
            self.after(job.id, *self.records)
            for place in job.places:
                for inner in self.chain(place)[:1]:
                    self.after(job.id, *self.ready(inner))
                    self.shuts.setdefault(inner, []).append(job.id)
            if job.sort == "check":
                before = [c.id for c in cleaning if set(c.places) & set(job.places)
                          or c.id in first]  # fmt: skip
                self.after(job.id, *before)

    def _looks(self) -> None:
        """What nobody has seen: looked at after the passes and dead tests that show it."""
        for place, mine in self.looked.items():
            key = f"{LOOK}{place}"
            self.after(key, *(self.ready(place) if place in self.layout.opened else self.records))
            self.after(key, *{id for one in mine for id in self.shown_by(one)})
            self.shuts.setdefault(place, []).append(key)
            for one in mine:
                self.after(f"send:{one.line}" if one.sent else one.line, key)

    def shown_by(self, one: FaultNeed) -> list[str]:
        """Base jobs that clean where a fault is, show it, or may cure it."""
        found = []
        for job in self.early:
            here = job.sort == "clean" and (one.fix.opens or one.fault.place) in job.places
            tests = one.fault.id in self.tests.get(job.id, ())
            if here or tests or job.id == one.after:
                found.append(job.id)
        return found

    def _fault(self, one: FaultNeed) -> None:
        send, work = f"send:{one.line}", one.line
        start = send if one.sent else work
        inner = self.layout.inner(self.need.kind, one.fix.opens)
        self.after(start, *(self.ready(inner) if inner else self.records))
        self.after(start, *self.shown_by(one))
        part = next(iter(self.cards[work].parts), None) if work in self.cards else None
        days = part.days if part is not None else 0.0
        if one.sent:
            self.after(work, send, days=days, part=one.line)
        elif part is not None and part.state in ("to_buy", "asked") and not one.confirmed:
            seen = f"open:{inner}" if inner else next(iter(self.records), "")
            self.after(work, seen, days=days, part=one.line)
        if inner:
            self.shuts.setdefault(inner, []).append(work)

    def _extras(self) -> None:
        for key, card in self.cards.items():
            if card.sort not in ("renew", "upgrade") and key != "work:control":
                continue
            inner = self.layout.inner(self.need.kind, card.place or None)
            if inner and card.good_part:
                self.after(key, *self.ready(inner))
                self.shuts.setdefault(inner, []).append(key)
        tests = [job.id for job in self.early if job.sort in ("clean", "check")]
        opened = [f"open:{place}" for place in self.layout.opened
                  if place != self.layout.level_place]  # fmt: skip
        self.after(UNSEEN, *opened, *tests)
        self.after(CLEAR, *tests)

    def _close(self) -> None:
        for place in self.layout.opened:
            self.after(f"close:{place}", *self.ready(place), *self.shuts.get(place, ()))
            if place != self.layout.level_place:
                self.after(f"close:{place}", CLEAR, UNSEEN)
            for outer in self.chain(place)[1:2]:
                self.after(f"close:{outer}", f"close:{place}")

    def _before_power(self) -> list[str]:
        """Everything that must be behind us before anything is switched on."""
        found = [UNSEEN, CLEAR, "work:control", *(f"{LOOK}{place}" for place in self.looked)]
        found += [f"close:{place}" for place in self.layout.opened
                  if place != self.layout.level_place]  # fmt: skip
        late = self.layout.level_place
        for one in self.need.faults:
            inner = self.layout.inner(self.need.kind, one.fix.opens)
            if one.fault.urgency in PRESSING and not self.layout.is_late(one) and inner != late:
                found.append(one.line)
        return [*found, *(job.id for job in self.early)]

    def _late(self) -> None:
        """First power, then one after the other: data, stops, grip, level, geometry, run-in."""
        before = self._before_power()
        level = self.layout.level_place
        for one in self.layout.late:
            job = one.job
            again = self.layout.after.get(job.id, ())
            ways = [key for need in again for key in (f"send:{need.line}", need.line)]
            if job.sort == "level" and level:
                self.after(f"open:{level}", *before)
                self.after(job.id, *self.ready(level), *self.shuts.get(level, ()))
                self.after(f"close:{level}", job.id)
            self.after(job.id, *before)
            if job.sort in ("start", "check"):
                self.after(CLEAR_RUNNING, job.id)
            else:
                self.after(job.id, CLEAR_RUNNING)
            for need in again:
                start = f"send:{need.line}" if need.sent else need.line
                self.after(start, job.id)
                if need.sent and need.line in self.cards:  # else its way is behind us
                    part = next(iter(self.cards[need.line].parts), None)
                    self.after(need.line, f"send:{need.line}", days=part.days if part else 0.0,
                               part=need.line)  # fmt: skip
            closing = [f"close:{level}"] if job.sort == "level" and level else []
            if closing:
                self.after(closing[0], *ways)
            before = [job.id, *ways, *closing]
        for key, card in self.cards.items():
            if card.sort == "upgrade" and not card.good_part:
                self.after(key, *(one.job.id for one in self.layout.late
                                  if one.job.sort != "finish"))  # fmt: skip
