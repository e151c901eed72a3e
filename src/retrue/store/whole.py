"""Is a shop whole? Its chain, its kept files, its index, and the hash somebody noted on paper."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, select

from retrue.base.refusals import Problem, Refusal, Unusable
from retrue.base.say import say
from retrue.records.chain import Row, broken
from retrue.records.lines import Tally, files_named
from retrue.records.shop import RecordShop
from retrue.store.beside import leftovers
from retrue.store.index import all_rows, entry, readable
from retrue.store.kept import Kept, Progress, hash_of, kept, quiet, told
from retrue.store.tables import current, records

FEWEST = 16  # digits of a hash noted on paper: two shops never share so many
MOST_NAMED = 20  # records whose index is wrong


@dataclass(frozen=True, slots=True)
class Whole:
    """What a look at all of a shop showed.

    Attributes
    ----------
    records : int
        How many there are.
    until : str
        When the last one was noted.
    last_sha256, content_sha256 : str
        Of the last record; over all of them.
    files : int
        Kept files that are whole.
    left_over : int
        Files that never came to be, left by a program that was killed; no harm.
    since : int or None
        Records that came after the hash that was noted; None: none was given, or it is not there.
    problems : tuple of Problem
        Empty where all of it is whole.
    """

    records: int
    until: str
    last_sha256: str
    content_sha256: str
    files: int
    left_over: int
    since: int | None
    problems: tuple[Problem, ...]

    @property
    def is_whole(self) -> bool:
        """Whether nothing is missing, changed or cut off, as far as that can be told."""
        return not self.problems


@dataclass(slots=True)
class _Seen:
    tally: Tally = field(default_factory=Tally)
    named: set[str] = field(default_factory=set)
    noted_at_seq: int | None = None
    index: dict[int, int] = field(default_factory=dict)  # hash of each entry, by its number


def look_over(shop: RecordShop, *, last: str | None = None, progress: Progress = quiet) -> Whole:
    """Read all of a shop and name what is not as it was written.

    Parameters
    ----------
    shop : RecordShop
        On a disk; it is only read, and a server may go on writing.
    last : str or None
        The hash of a record as it was noted on paper, at least its first sixteen digits. Records
        cut off the end are found by it alone.
    progress : callable
        Hears how far it is.

    Returns
    -------
    Whole
        A verdict; a broken shop is no refusal.

    Raises
    ------
    Unusable
        The hash has too few digits, or letters that no hash has.

    References
    ----------
    FIPS 180-4 (SHA-256).
    """
    noted = None if last is None else noted_hash(last)
    inner, seen = kept(shop), _Seen()
    with inner.gate.snapshot() as db:
        problems = _database(db)
        seen.index = _entries(db)
        gone = set(
            db.execute(select(records.c.replaces).where(records.c.replaces.is_not(None))).scalars()
        )
        rows = told(all_rows(db), progress, "records")
        problems += broken(_watched(rows, seen, gone, noted))
    problems += _index(seen.index)
    looked = list(_files(inner, seen.named, progress))
    problems += [one for one in looked if one is not None]
    tally = seen.tally
    if noted is not None and seen.noted_at_seq is None:
        problems.append(_cut_off(noted, tally))
    return Whole(
        records=tally.count, until=tally.until, last_sha256=tally.last,
        content_sha256=tally.content, files=sum(one is None for one in looked),
        left_over=len(leftovers(inner.files.folder)),
        since=None if seen.noted_at_seq is None else tally.count - seen.noted_at_seq,
        problems=tuple(problems),
    )  # fmt: skip


def noted_hash(text: str) -> str:
    """A hash as somebody copied it from paper: blanks and capitals do not matter.

    Raises
    ------
    Unusable
        It has too few digits, too many, or letters that no hash has.

    Examples
    --------
    >>> noted_hash("098F 80FC 6672 B080")
    '098f80fc6672b080'
    """
    bare = "".join(text.lower().split())
    if FEWEST <= len(bare) <= 64 and set(bare) <= set("0123456789abcdef"):
        return bare
    what = say("is no hash of a record")
    remedy = say("Type at least its first {count} digits: 0 to 9 and a to f.", count=FEWEST)
    raise Unusable(
        say("this cannot be compared"), remedy=remedy, problems=(Problem("last", what, remedy),)
    )


def _watched(rows: Iterable[Row], seen: _Seen, gone: set[str], noted: str | None) -> Iterator[Row]:
    for row in rows:
        seen.tally.take(row)
        seen.named.update(files_named(row))
        if noted is not None and row.sha256.startswith(noted):
            seen.noted_at_seq = seen.tally.count
        if row.id not in gone:
            _taken_off(seen.index, row)
        yield row


def _database(db: Connection) -> list[Problem]:
    """What SQLite itself finds in its file."""
    if db.dialect.name != "sqlite":
        return []
    found = db.exec_driver_sql("PRAGMA quick_check(5)").scalars().all()
    return [Problem("database", str(one)) for one in found if one != "ok"]


def _entries(db: Connection) -> dict[int, int]:
    found = db.execution_options(yield_per=1000).execute(select(current)).mappings()
    return {int(row["seq"]): _hash(dict(row)) for row in found}


def _hash(row: dict[str, Any]) -> int:
    text = json.dumps(row, sort_keys=True, ensure_ascii=False)
    over = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16)
    return int.from_bytes(over.digest(), "big")


def _taken_off(index: dict[int, int], row: Row) -> None:
    """Take off what a rebuilt index would hold of a record; what is left over is wrong."""
    try:
        fact = readable(row)
    except Refusal:
        return  # the chain names it
    if fact is None:  # the chain names it too
        index.pop(row.seq, None)
        return
    if index.pop(row.seq, None) != _hash(entry(row, fact)):
        index[row.seq] = 0


def _index(wrong: dict[int, int]) -> list[Problem]:
    if not wrong:
        return []
    some = ", ".join(map(str, sorted(wrong)[:MOST_NAMED]))
    return [
        Problem(
            current.name,
            say("the index is not what {count} records say: {some}", count=len(wrong), some=some),
            say("Make it anew with retrue note check --rebuild; no record is touched."),
        )
    ]


def _files(inner: Kept, named: set[str], progress: Progress) -> Iterator[Problem | None]:
    """One for each kept file: None where it is whole; then those that are missing."""
    there = list(inner.files.names())
    for done, name in enumerate(there, 1):
        try:
            with inner.files.path(name).open("rb") as stream:
                whole = hash_of(stream) == name
        except OSError:
            whole = False
        yield None if whole else Problem(f"file {name}", say("this kept file is damaged"))
        progress("files", done, len(there))
    for name in sorted(named.difference(there)):
        yield Problem(f"missing {name}", say("this kept file is missing, and a record names it"))


def _cut_off(noted: str, tally: Tally) -> Problem:
    return Problem(
        f"record {noted[:16]}",
        say("no record has this hash: records were cut off the end, or this is another shop; "
            "the last one here is record {count}", count=tally.count),
        say("Restore the backup that it was noted for."),
    )  # fmt: skip
