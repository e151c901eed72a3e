"""Records as rows of text, each chained by hash to the one before; a changed byte is found."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any, Protocol

from retrue.base.refusals import Problem, Refusal, Unreadable
from retrue.base.say import say
from retrue.records.checking import problems_of
from retrue.records.facts import Fact, Withdrawn
from retrue.records.outside import ID, moment_of, standing
from retrue.records.packing import once, unpack
from retrue.records.shop import Record

START = "0" * 64
"""What stands as the hash before the first record."""


@dataclass(frozen=True, slots=True)
class Row:
    """A record exactly as it is stored; nothing in it is interpreted."""

    id: str
    kind: str
    schema: int
    seq: int
    noted_at: str
    observed_at: str
    by: str
    device: str
    replaces: str | None
    payload: str
    previous: str
    sha256: str = ""


_TEXT = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def digest(row: Row) -> str:
    """The hash a row must carry.

    Parameters
    ----------
    row : Row
        Its own ``sha256`` is not read; ``seq`` is implied by the row's place in the chain.

    Returns
    -------
    str
        SHA-256 in hex over kind, schema, id, by, device, times, replaces, payload, previous.

    References
    ----------
    FIPS 180-4 (SHA-256).

    Examples
    --------
    >>> row = Row(id="a", kind="note", schema=1, seq=1, noted_at="", observed_at="", by="me",
    ...           device="", replaces=None, payload="{}", previous=START)
    >>> digest(row)[:16]
    '098f80fc6672b080'
    """
    parts = (
        row.kind,
        row.schema,
        row.id,
        row.by,
        row.device,
        row.noted_at,
        row.observed_at,
        row.replaces,
        row.payload,
        row.previous,
    )
    return hashlib.sha256(_TEXT.encode(parts).encode("utf-8", "surrogatepass")).hexdigest()


def stamp(when: datetime) -> str:
    """A moment as records keep it, with its offset, to the microsecond.

    Examples
    --------
    >>> stamp(datetime(2026, 11, 25, 21, 40, tzinfo=UTC))
    '2026-11-25T21:40:00.000000+00:00'
    """
    return when.isoformat(timespec="microseconds")


def opened(row: Row) -> Record[Any]:
    """A stored row as a record with its fact; its moments are those of the clock on the wall.

    Raises
    ------
    Unreadable
        The payload is of an unknown kind, too new, or damaged; or a moment beside it is none.
    """
    noted_at, observed_at = moment_of(row.noted_at), moment_of(row.observed_at)
    if noted_at is None or observed_at is None:
        raise Unreadable(
            say("record {id} was changed after it was kept", id=repr(row.id[:80])),
            remedy=say("Restore the shop from its latest backup and verify the chain of records."),
        )
    return Record(
        id=row.id,
        kind=once(row.kind),
        schema=row.schema,
        seq=row.seq,
        noted_at=by_the_wall(noted_at),
        observed_at=by_the_wall(observed_at),
        by=once(row.by),
        device=once(row.device),
        replaces=row.replaces,
        fact=unpack(row.kind, row.schema, row.payload),
        sha256=row.sha256,
        previous=row.previous,
    )


def by_the_wall(moment: datetime) -> datetime:
    """A moment kept in UTC with the offset of this machine's zone; any other as it was said.

    Examples
    --------
    >>> said = datetime.fromisoformat("2026-11-25T22:40+01:00")
    >>> by_the_wall(said) is said
    True
    """
    if moment.tzinfo is not UTC:
        return moment
    try:
        return moment.astimezone()
    except (OverflowError, OSError, ValueError):  # a claim at either end of the calendar
        return moment


class HasRows(Protocol):
    """A shop that shows its rows as they are stored, in the order of ``seq``."""

    def rows(self) -> Iterator[Row]:
        """Every row, oldest first."""
        ...


def verify_chain(shop: HasRows) -> list[Problem]:
    """Read every record and name what is not as it was written.

    Parameters
    ----------
    shop : HasRows
        Any shop; it is only read.

    Returns
    -------
    list of Problem
        Empty if every hash, link, number and payload is whole. Records cut off the end leave
        a whole chain: compare the last hash with the one noted on the backup.
    """
    return list(broken(shop.rows()))


def broken(rows: Iterable[Row]) -> Iterator[Problem]:
    """Yield what is wrong with a chain of rows, in their order.

    Hashes and links; and by the rules that hold when a record is added: ids, names, moments, what
    is replaced, and each field of the fact.

    Examples
    --------
    >>> list(broken([]))
    []
    """
    previous, seq = START, 0
    seen: dict[str, tuple[str, str]] = {}
    replaced: set[str] = set()
    for row in rows:
        where = _where(row)
        if row.seq != seq + 1:
            yield Problem(
                where, say("follows record {seq}: records between them are missing", seq=seq)
            )
        if row.previous != previous:
            yield Problem(where, say("does not name the record before it"))
        if row.sha256 != digest(row):
            yield Problem(where, say("was changed after it was kept"))
        if row.id in seen:
            yield Problem(where, say("has an id that another record before it has"))
        for one in standing(
            row.by, row.device, row.noted_at, row.observed_at, row.id, row.replaces
        ):
            yield _of_field(where, one)
        fact, problems = _told(row)
        yield from (replace(one, where=where) for one in problems)
        yield from _replacing(row, fact, seen, replaced)
        seen[row.id] = (row.kind, fact.of_kind if isinstance(fact, Withdrawn) else "")
        previous, seq = row.sha256, row.seq


def _where(row: Row) -> str:
    shown = row.id if ID.fullmatch(row.id) else repr(row.id[:80])
    return f"record {row.seq} ({shown})"


def _of_field(where: str, one: Problem) -> Problem:
    return Problem(where, say("{where} {what}", where=one.where, what=one.what))


def _told(row: Row) -> tuple[Fact | None, list[Problem]]:
    """What a row says, as far as it can be read, and what is wrong with it."""
    try:
        fact = unpack(row.kind, row.schema, row.payload)
    except Refusal as refusal:
        return None, [Problem("", refusal.reason, refusal.remedy)]
    return fact, [_of_field("", one) for one in problems_of(fact)]


def _replacing(
    row: Row, fact: Fact | None, seen: dict[str, tuple[str, str]], replaced: set[str]
) -> Iterator[Problem]:
    """What is wrong with what a row replaces."""
    where = _where(row)
    if row.replaces is None:
        if isinstance(fact, Withdrawn):
            yield Problem(where, say("{where} {what}", where="replaces", what=say("is missing")))
        return
    if row.replaces not in seen:
        yield Problem(
            where, say("replaces {replaces}, which does not stand before it", replaces=row.replaces)
        )
    elif fact is not None:
        was, of_kind = seen[row.replaces]
        expected = fact.of_kind if isinstance(fact, Withdrawn) else row.kind
        stood = of_kind if was == Withdrawn.KIND and not isinstance(fact, Withdrawn) else was
        if stood not in ("", expected):
            yield Problem(where, say("names a {was}, not a {expected}", was=stood,
                                     expected=expected))  # fmt: skip
    if row.replaces in replaced:
        yield Problem(
            where, say("replaces {replaces}, which was replaced before", replaces=row.replaces)
        )
    replaced.add(row.replaces)


def now_in_utc(moment: datetime) -> datetime:
    """A clock's moment in UTC; a clock without an offset is a mistake of ours.

    Examples
    --------
    >>> now_in_utc(datetime.fromisoformat("2026-11-25T22:40+01:00"))
    datetime.datetime(2026, 11, 25, 21, 40, tzinfo=datetime.timezone.utc)
    """
    if moment.utcoffset() is None:
        raise ValueError("a shop's clock must tell its offset")
    return moment.astimezone(UTC)
