"""Records as rows of text, each chained by hash to the one before; a changed byte is found."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Protocol

from retrue.base.refusals import Problem, Refusal
from retrue.base.say import say
from retrue.records.packing import unpack
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
    text = json.dumps(parts, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def stamp(when: datetime) -> str:
    """A moment as records keep it, with its offset, to the microsecond.

    Examples
    --------
    >>> stamp(datetime(2026, 11, 25, 21, 40, tzinfo=UTC))
    '2026-11-25T21:40:00.000000+00:00'
    """
    return when.isoformat(timespec="microseconds")


def opened(row: Row) -> Record[Any]:
    """A stored row as a record with its fact.

    Raises
    ------
    Unreadable
        The payload is of an unknown kind, too new, or damaged.
    """
    return Record(
        id=row.id,
        kind=row.kind,
        schema=row.schema,
        seq=row.seq,
        noted_at=datetime.fromisoformat(row.noted_at),
        observed_at=datetime.fromisoformat(row.observed_at),
        by=row.by,
        device=row.device,
        replaces=row.replaces,
        fact=unpack(row.kind, row.schema, row.payload),
        sha256=row.sha256,
        previous=row.previous,
    )


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

    Examples
    --------
    >>> list(broken([]))
    []
    """
    previous, seq = START, 0
    seen: set[str] = set()
    replaced: set[str] = set()
    for row in rows:
        where = f"record {row.seq} ({row.id})"
        if row.seq != seq + 1:
            yield Problem(
                where, say("follows record {seq}: records between them are missing", seq=seq)
            )
        if row.previous != previous:
            yield Problem(where, say("does not name the record before it"))
        if row.sha256 != digest(row):
            yield Problem(where, say("was changed after it was kept"))
        if row.replaces is not None:
            if row.replaces not in seen:
                yield Problem(
                    where,
                    say(
                        "replaces {replaces}, which does not stand before it", replaces=row.replaces
                    ),
                )
            if row.replaces in replaced:
                yield Problem(
                    where,
                    say("replaces {replaces}, which was replaced before", replaces=row.replaces),
                )
            replaced.add(row.replaces)
        try:
            unpack(row.kind, row.schema, row.payload)
        except Refusal as refusal:
            yield Problem(where, refusal.reason, refusal.remedy)
        seen.add(row.id)
        previous, seq = row.sha256, row.seq


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
