"""What a shop promises: add, get, current, and files by their hash. Nothing is altered."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Generic, Protocol, TypeVar

from retrue.records.facts import Fact

F = TypeVar("F", bound=Fact)


@dataclass(frozen=True, slots=True)
class Record(Generic[F]):
    """A fact as it is kept: who, when, in what order, chained by hash to the one before."""

    id: str
    kind: str
    schema: int
    seq: int
    noted_at: datetime  # the server's clock, kept in UTC, read in this machine's zone
    observed_at: datetime  # the device's claim, with its offset; where it named none, so too
    by: str
    device: str
    replaces: str | None
    fact: F
    sha256: str
    previous: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToAdd:
    """One of many facts that are to be kept together."""

    fact: Fact
    id: str | None = None  # made where the record is born; None: a random one
    replaces: str | None = None  # of the shop, or of those before it
    observed_at: datetime | None = None  # the device's claim; None: that of all of them


class WrittenSince(Exception):
    """Something was written since its writer looked; he looks again."""


class RecordShop(Protocol):
    """A shop kept somewhere; every call is one transaction."""

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
        """Keep a fact. Same id and content again: the kept one; other content: Overtaken."""
        ...

    def add_all(
        self,
        wanted: Sequence[ToAdd],
        *,
        by: str,
        device: str = "",
        observed_at: datetime | None = None,
        newest: int | None = None,
    ) -> list[Record[Any]]:
        """Keep many facts in one transaction: each by the rules of ``add``, all or none.

        ``newest``: the number of the newest record when their writer looked; WrittenSince, and
        nothing is kept, where there is a newer one by now. None: he need not have looked.
        """
        ...

    def get(self, kind: type[F], id: str) -> Record[F]:
        """One record by its id, replaced or not; Unknown if there is none."""
        ...

    def current(self, kind: type[F], **where: Any) -> list[Record[F]]:
        """Records nothing has replaced or withdrawn, oldest first, by equal payload fields."""
        ...

    def marks(self, kinds: Sequence[type[Fact]]) -> tuple[tuple[int, int], ...]:
        """Of each kind how many records count, and the number of the newest that does; 0, 0: none.

        The same marks of the same shop are the same records: numbers only rise, and what is taken
        back lowers the count.
        """
        ...

    def marks_by_lot(
        self, kinds: Sequence[type[Fact]]
    ) -> dict[str | None, tuple[tuple[str, int, int], ...]]:
        """The same of each lot: kind, how many count, the newest; None: of what names no lot.

        The same marks of a lot are the same records of it. Kinds of which nothing counts are left
        out.
        """
        ...

    def newest(self) -> int:
        """The number of the newest record; 0 where there is none."""
        ...

    def seen_since(
        self, moment: datetime, kinds: Collection[type[Fact]], *, most: int | None = None
    ) -> list[tuple[datetime, Record[Any]]]:
        """Records that count, first observed then or later, with when, in the order of time.

        A correction stands at the moment of what it corrects. ``most``: no more than so many, the
        newest; None: all.
        """
        ...

    def found(self, words: str, *, most: int) -> list[Record[Any]]:
        """Records that count and hold all these words of a person, the newest first.

        A word of three signs or more is found by its beginning, a shorter one only whole; accents
        and capitals do not matter. No word: nothing. ``most``: no more than so many.
        """
        ...

    def history(self, id: str) -> list[Record[Any]]:
        """A record with all it replaced and all that replaced it, oldest first."""
        ...

    def today(self) -> date:
        """The day it is by the shop's clock."""
        ...

    def keep_file(self, content: bytes) -> str:
        """Keep bytes by their SHA-256 (hex) and return it; twice is once."""
        ...

    def file(self, sha256: str) -> bytes:
        """The kept bytes; Unknown if there are none."""
        ...

    def recall(self, key: str) -> bytes | None:
        """A remembered calculation, or None; the table may be dropped at any time."""
        ...

    def remember(self, key: str, value: bytes) -> None:
        """Remember a calculation by the hash of all it depends on."""
        ...
