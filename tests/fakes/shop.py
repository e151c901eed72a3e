"""A shop in memory: it keeps the same rules as the real ones, and forgets when it ends."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any, TypeVar

from retrue.base.refusals import Unknown
from retrue.records.adding import (
    Wish,
    belongs_to,
    is_same,
    link,
    refuse_fields,
    refuse_gone,
    refuse_mismatch,
    refuse_other,
    refuse_replaced,
    refuse_unknown,
    wish,
)
from retrue.records.adding_all import place_all, wishes
from retrue.records.chain import START, Row, opened
from retrue.records.facts import Fact, Withdrawn
from retrue.records.noting import note
from retrue.records.searching import asked_for, matches, words_of
from retrue.records.shop import Record, ToAdd

F = TypeVar("F", bound=Fact)


class TickingClock:
    """A clock that goes on by one second at every look."""

    def __init__(self, start: datetime = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)) -> None:
        self.now = start
        self._turn = threading.Lock()

    def __call__(self) -> datetime:
        with self._turn:
            self.now += timedelta(seconds=1)
            return self.now


class FakeShop:
    """A RecordShop without a disk."""

    def __init__(self, clock: Callable[[], datetime] | None = None) -> None:
        self._clock = clock or TickingClock()
        self._rows: list[Row] = []
        self._by_id: dict[str, Row] = {}
        self._newer: dict[str, Row] = {}
        self._opened: dict[str, tuple[Row, Record[Any]]] = {}
        self._files: dict[str, bytes] = {}
        self._remembered: dict[str, bytes] = {}
        self._turn = threading.Lock()

    def go_on_from(self, other: FakeShop) -> None:
        """Hold what another holds, at its moment; each goes its own way from here."""
        if isinstance(self._clock, TickingClock) and isinstance(other._clock, TickingClock):
            self._clock.now = other._clock.now
        self._rows = list(other._rows)
        self._by_id = dict(other._by_id)
        self._newer = dict(other._newer)
        self._opened = dict(other._opened)
        self._files = dict(other._files)
        self._remembered = dict(other._remembered)

    def add(
        self,
        fact: F,
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        id: str | None = None,
        replaces: str | None = None,
    ) -> Record[F]:
        wanted = wish(fact, by=by, device=device, observed_at=observed_at, id=id, replaces=replaces)
        with self._turn:
            if (kept := self._by_id.get(wanted.id)) is not None:
                if is_same(kept, wanted):
                    return self._record(kept)
                raise refuse_other(wanted.id)
            if replaces is not None:
                if replaces not in self._by_id:
                    raise refuse_unknown(replaces)
                if replaces in self._newer:
                    raise refuse_replaced(replaces)
                if (refusal := refuse_mismatch(wanted, self._by_id[replaces])) is not None:
                    raise refusal
            self._refuse_gone([wanted])
            previous = self._rows[-1].sha256 if self._rows else START
            row = link(wanted, seq=len(self._rows) + 1, previous=previous, now=self._clock())
            self._rows.append(row)
            self._by_id[row.id] = row
            if replaces is not None:
                self._newer[replaces] = row
        made: Record[F] = self._record(row)
        note([made])
        return made

    def add_all(
        self,
        wanted: Sequence[ToAdd],
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        newest: int | None = None,
    ) -> list[Record[Any]]:
        every = wishes(wanted, by=by, device=device, observed_at=observed_at)
        with self._turn:
            last = (len(self._rows), self._rows[-1].sha256) if self._rows else None
            placed = place_all(
                every, self._by_id, self._newer.keys(), last=last, now=self._clock(), newest=newest
            )
            new = {row.id for row in placed.new}
            self._refuse_gone([one for one in every if one.id in new])
            for row in placed.new:
                self._rows.append(row)
                self._by_id[row.id] = row
                if row.replaces is not None:
                    self._newer[row.replaces] = row
        kept = [self._record(row) for row in placed.rows]
        note(kept)
        return kept

    def _refuse_gone(self, wanted: Sequence[Wish]) -> None:
        for id in {id for one in wanted for id in belongs_to(one)}:
            row = self._by_id.get(id)
            while row is not None and row.id in self._newer:
                row = self._newer[row.id]
            if row is not None and row.kind == Withdrawn.KIND:
                raise refuse_gone()

    def withdraw(
        self,
        id: str,
        *,
        by: str,
        reason: str = "",
        device: str = "",
        observed_at: datetime | None = None,
        withdrawal: str | None = None,
    ) -> Record[Withdrawn]:
        if id not in self._by_id:
            raise refuse_unknown(id)
        return self.add(
            Withdrawn(of_kind=self._by_id[id].kind, reason=reason),
            by=by,
            device=device,
            observed_at=observed_at,
            id=withdrawal,
            replaces=id,
        )

    def get(self, kind: type[F], id: str) -> Record[F]:
        row = self._by_id.get(id)
        if row is None or row.kind != kind.KIND:
            raise refuse_unknown(id, kind.KIND)
        return self._record(row)

    def current(self, kind: type[F], **where: Any) -> list[Record[F]]:
        refuse_fields(kind, set(where))
        found = [
            self._record(row)
            for row in self._rows
            if row.kind == kind.KIND and row.id not in self._newer
        ]
        return [
            one
            for one in found
            if all(getattr(one.fact, name) == value for name, value in where.items())
        ]

    def marks(self, kinds: Sequence[type[Fact]]) -> tuple[tuple[int, int], ...]:
        live = [row for row in self._rows if row.id not in self._newer]
        numbers = {kind.KIND: [row.seq for row in live if row.kind == kind.KIND] for kind in kinds}
        return tuple(
            (len(numbers[kind.KIND]), max(numbers[kind.KIND], default=0)) for kind in kinds
        )

    def marks_by_lot(
        self, kinds: Sequence[type[Fact]]
    ) -> dict[str | None, tuple[tuple[str, int, int], ...]]:
        wanted = {kind.KIND for kind in kinds}
        found: dict[str | None, dict[str, list[int]]] = {}
        for row in self._rows:
            if row.id not in self._newer and row.kind in wanted:
                of = getattr(self._record(row).fact, "lot", None)
                found.setdefault(of, {}).setdefault(row.kind, []).append(row.seq)
        return {
            of: tuple(sorted((kind, len(seqs), max(seqs)) for kind, seqs in by.items()))
            for of, by in found.items()
        }

    def newest(self) -> int:
        with self._turn:
            return len(self._rows)

    def seen_since(
        self, moment: datetime, kinds: Collection[type[Fact]], *, most: int | None = None
    ) -> list[tuple[datetime, Record[Any]]]:
        live = [self._record(row) for row in self._rows if row.id not in self._newer]
        wanted = {kind.KIND for kind in kinds}
        live = [one for one in live if one.observed_at >= moment and one.kind in wanted]
        live.sort(key=lambda one: (one.observed_at, one.seq))
        newest = live if most is None else live[len(live) - min(most, len(live)) :]
        first = [(self.history(one.id)[0].observed_at, one) for one in newest]
        return sorted(
            (row for row in first if row[0] >= moment), key=lambda row: (row[0], row[1].seq)
        )

    def found(self, words: str, *, most: int) -> list[Record[Any]]:
        asked = asked_for(words)
        live = (self._record(row) for row in reversed(self._rows) if row.id not in self._newer)
        return [one for one in live if matches(asked, words_of(one.fact))][:most]

    def history(self, id: str) -> list[Record[Any]]:
        if id not in self._by_id:
            raise refuse_unknown(id)
        line = [self._by_id[id]]
        while (before := line[0].replaces) is not None:
            line.insert(0, self._by_id[before])
        while (newer := self._newer.get(line[-1].id)) is not None:
            line.append(newer)
        return [self._record(row) for row in line]

    def _record(self, row: Row) -> Record[Any]:
        """A row is opened once, as the real ones do; one that was changed since is another row."""
        known = self._opened.get(row.id)
        if known is None or known[0] is not row:
            known = self._opened[row.id] = (row, opened(row))
        return known[1]

    def today(self) -> date:
        return self._clock().date()

    def keep_file(self, content: bytes) -> str:
        name = hashlib.sha256(content).hexdigest()
        self._files[name] = content
        return name

    def file(self, sha256: str) -> bytes:
        if sha256 not in self._files:
            raise Unknown(
                f"no file is kept under {sha256[:12]}",
                remedy="Open the page again and choose from it.",
            )
        return self._files[sha256]

    def recall(self, key: str) -> bytes | None:
        return self._remembered.get(key)

    def remember(self, key: str, value: bytes) -> None:
        self._remembered[key] = value

    def rows(self) -> Iterator[Row]:
        return iter(tuple(self._rows))

    def close(self) -> None:
        pass
