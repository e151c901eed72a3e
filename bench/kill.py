"""Kill a writer, or fill its disk, at random moments: all it acknowledged must be there, once.

Run: ``python bench/kill.py [--kills 1000] [--full 200] [--only sqlite|postgresql]``

A warm parent forks. The child opens the shop and writes everything that is ever written: single
records, corrections, withdrawals, readings in a batch, many in one go, files, backups of the
whole shop; it tells each over a pipe after it is kept, and is killed (SIGKILL) at a random moment,
also while it opens the shop. Then the shop is opened again and read. With ``--careless`` the child
tells before it keeps: the losses that this must show prove that the check can fail.

Then the disk is full, again and again, at a random moment: SQLite may have no more pages
(``max_page_count``), no file may grow (RLIMIT_FSIZE, so that the system itself says it, also half
way through a write), the nth call of writing a file fails with ENOSPC; on PostgreSQL a trigger
raises the server's own "disk full" (SQLSTATE 53100) at a row or at the commit. What was refused is
sent again when there is room, and must then be there once.
"""

from __future__ import annotations

import argparse
import errno
import os
import resource
import signal
import sqlite3
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from sqlalchemy import event, text

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests.fakes.postgresql import Server, programs  # noqa: E402

from retrue.base.refusals import NotKept, Refusal  # noqa: E402
from retrue.records.chain import verify_chain  # noqa: E402
from retrue.records.facts import Finding, Withdrawn  # noqa: E402
from retrue.records.measuring import Reading  # noqa: E402
from retrue.records.shop import ToAdd  # noqa: E402
from retrue.store.backup import back_up  # noqa: E402
from retrue.store.beside import DISK, Disk  # noqa: E402
from retrue.store.shop import SqlShop, open_shop  # noqa: E402
from retrue.store.unpacked import proved  # noqa: E402

ROUNDS_A_SHOP = 15
LONGEST_S = {"sqlite": 0.08, "postgresql": 0.25}  # opening a shop takes part of it


MANY = 40  # records in one go
BATCH = 8  # readings sent together

Tell = Callable[[str], object]


@dataclass
class Tally:
    """What the killings and the full disks showed."""

    kills: int = 0
    full: int = 0
    acknowledged: int = 0
    refused: int = 0
    lost: list[str] = field(default_factory=list)
    twice: list[str] = field(default_factory=list)
    damage: list[str] = field(default_factory=list)

    @property
    def is_whole(self) -> bool:
        """Whether nothing was lost, kept twice or damaged."""
        return not (self.lost or self.twice or self.damage)

    def line(self, name: str, seconds: float) -> str:
        """One line for a person."""
        return (
            f"{name}: {self.kills} kills, {self.full} full disks, {self.acknowledged} acknowledged,"
            f" {self.refused} refused, {len(self.lost)} lost, {len(self.twice)} kept twice,"
            f" {len(self.damage)} damaged, {seconds:.0f} s"
        )


def clock() -> datetime:
    """The machine's clock."""
    return datetime.now(UTC)


def finding(words: str) -> Finding:
    return Finding(lot="l1", machine="m1", check="C01", answer="seen", text=words)


def one_of_all(
    shop: SqlShop, files: Path, key: str, sort: int, before: str, disk: Disk = DISK
) -> list[str]:
    """One write of one sort; what may be told once it is kept.

    Parameters
    ----------
    shop, files
        Where to.
    key : str
        Its id, and the beginning of the ids of a batch.
    sort : int
        Which of the sorts.
    before : str
        Id of a single record that nothing has replaced; empty: none.
    disk
        What writes a backup.
    """
    if sort == 1 and before:
        shop.add(finding(f"corrected {key}"), by="owner", id=key, replaces=before)
    elif sort == 2 and before:
        shop.withdraw(before, by="owner", reason="wrong machine", withdrawal=key)
    elif sort == 3:
        some = [reading(n) for n in range(BATCH)]
        shop.add_all([ToAdd(fact=one, id=f"{key}.{n}") for n, one in enumerate(some)], by="owner")
        return [f"record {key}.{n}" for n in range(BATCH)]
    elif sort == 4:
        shop.add_all(
            [ToAdd(fact=finding(f"{key} {n}"), id=f"{key}.{n}") for n in range(MANY)], by="owner"
        )
        return [f"record {key}.{n}" for n in range(MANY)]
    elif sort == 5:
        return [f"file {shop.keep_file(f'picture {key}'.encode() * 1000)}"]
    elif sort == 6:
        target = files.with_name(f"{files.name}-{os.getpid()}.zip")
        made = back_up(shop, target, version="bench", now=clock(), disk=disk)
        return [f"backup {target}:{made.records}"]
    else:
        shop.add(finding(key), by="owner", id=key)
    return [f"record {key}"]


def reading(number: int) -> Reading:
    return Reading(set="s1", cell=str(number), text="+0.02")


SORTS = (0, 0, 1, 0, 5, 3, 0, 2, 0, 4, 0, 1, 5, 0, 3, 0, 2, 6)


def write_until_killed(place: str, files: Path, tell: Tell, round_: int) -> None:
    """Write one sort after the other; tell each that is kept."""
    shop = open_shop(place, clock=clock, files=files)
    before = ""
    for n in range(100_000):
        sort = SORTS[(n + round_) % len(SORTS)]
        key = f"{round_}.{n}"
        for line in one_of_all(shop, files, key, sort, before):
            tell(line)
        before = key if sort == 0 else "" if sort in (1, 2) else before


def write_carelessly(place: str, files: Path, tell: Callable[[str], object], round_: int) -> None:
    """Tell first and keep then: what this check is there to catch."""
    shop = open_shop(place, clock=clock, files=files)
    for n in range(100_000):
        tell(f"record {round_}.{n}")
        fact = Finding(lot="l1", machine="m1", check="C01", answer="seen")
        shop.add(fact, by="owner", id=f"{round_}.{n}")


def write_apart(
    place: str, files: Path, write: Callable[..., None], round_: int, after_s: float | None
) -> list[str]:
    """Fork a writer, kill it after some seconds or let it end, and return what it told."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write(place, files, lambda line: os.write(writing, f"{line}\n".encode()), round_)
        finally:
            if told_wrong := sys.exc_info()[1]:
                traceback.print_exception(told_wrong)
            os._exit(1)
    os.close(writing)
    if after_s is not None:
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
    with os.fdopen(reading) as told:
        lines = told.read().splitlines()
    os.waitpid(child, 0)
    return lines


def write_until_full(place: str, files: Path, tell: Tell, round_: int) -> None:
    """Write on a disk that becomes full; tell what is kept, and what is refused."""
    chance = Random(f"{place} {round_}")
    shop = open_shop(place, clock=clock, files=files)
    disk = fill_up(shop, chance)
    before, refused, first = "", 0, chance.randrange(len(SORTS))
    for n in range(40):
        sort, key = SORTS[(n + first) % len(SORTS)], f"{round_}.{n}"
        try:
            told = one_of_all(shop, files, key, sort, before, disk)
        except NotKept:
            tell(f"refused {sort}:{key}:{before}")
            refused += 1
            if refused == 2:
                break
        else:
            for line in told:
                tell(line)
            before = key if sort == 0 else "" if sort in (1, 2) else before
    os._exit(0)


def fill_up(shop: SqlShop, chance: Random) -> Disk:
    """Let one sort of fullness come; the disk that files and backups are written to."""
    engine = shop._gate.engine
    lite = engine.dialect.name == "sqlite"
    way = chance.choice(("database", "database", "system", "calls"))
    if way == "system":
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        most = chance.randrange(40_000, 900_000) if lite else chance.randrange(1, 30_000)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
    elif way == "calls":
        disk = failing(chance.randrange(6))
        assert shop._files is not None
        shop._files._disk = disk
        return disk
    elif lite:
        few_pages(shop, chance.randrange(12))
    else:
        with shop._gate.writing() as db:
            for statement in refusing_rows(chance):
                db.execute(text(statement))
    return DISK


def failing(after: int) -> Disk:
    """A disk whose calls fail from some call on."""
    left = iter(range(after))

    def ask() -> None:
        if next(left, None) is None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def write(handle: int, data: bytes) -> int:
        ask()
        return os.write(handle, data)

    def sync(handle: int) -> None:
        ask()
        os.fsync(handle)

    return Disk(write, sync)


def few_pages(shop: SqlShop, more: int) -> None:
    """SQLite may have so many more pages than it has."""
    with shop._gate.reading() as db:
        most = db.exec_driver_sql("PRAGMA page_count").scalar_one() + more

    @event.listens_for(shop._gate.engine, "checkout")
    def narrow(raw: sqlite3.Connection, *_: object) -> None:
        raw.execute(f"PRAGMA max_page_count={most}")


def refusing_rows(chance: Random) -> list[str]:
    """Statements by which a PostgreSQL server says that its disk is full: at a row or at commit."""
    table = chance.choice(("records", "current_records"))
    when = chance.choice(
        ("TRIGGER disk_full BEFORE INSERT", "CONSTRAINT TRIGGER disk_full AFTER INSERT")
    )
    deferred = "DEFERRABLE INITIALLY DEFERRED" if when.startswith("CONSTRAINT") else ""
    return [
        "CREATE OR REPLACE FUNCTION disk_full() RETURNS trigger AS $$ BEGIN "
        "IF random() < 0.1 THEN RAISE EXCEPTION 'could not extend file: No space left on device' "
        "USING ERRCODE = '53100'; END IF; RETURN NEW; END $$ LANGUAGE plpgsql",
        f"CREATE {when} ON {table} {deferred} FOR EACH ROW EXECUTE FUNCTION disk_full()",
    ]


def room_again(shop: SqlShop) -> None:
    """Take away what made the server say that it is full."""
    if shop._gate.engine.dialect.name == "postgresql":
        with shop._gate.writing() as db:
            for table in ("records", "current_records"):
                db.execute(text(f"DROP TRIGGER IF EXISTS disk_full ON {table}"))


def send_again(shop: SqlShop, files: Path, told: list[str], tally: Tally) -> list[str]:
    """Send what was refused once more, now that there is room; what is acknowledged then."""
    again = []
    for line in told:
        what, _, rest = line.partition(" ")
        if what == "refused":
            tally.refused += 1
            sort, key, before = rest.split(":")
            try:
                again += one_of_all(shop, files, key, int(sort), before)
            except Refusal as refusal:
                tally.damage.append(f"{key} is refused though there is room: {refusal}")
    return [line for line in told if not line.startswith("refused ")] + again


def judge(shop: SqlShop, told: list[str], tally: Tally) -> None:
    """Compare what was acknowledged with what is there."""
    rows = list(shop.rows())
    there = Counter(row.id for row in rows)
    backups: dict[str, int] = {}
    for line in told:
        what, name = line.split()
        if what == "record" and there[name] != 1:
            (tally.twice if there[name] else tally.lost).append(name)
        if what == "file" and not shop.file(name).startswith(b"picture"):
            tally.lost.append(name)
        if what == "backup":
            path, _, count = name.rpartition(":")
            backups[path] = int(count)
    for path, least in backups.items():
        if proved(Path(path)).records < least:
            tally.lost.append(path)
        Path(path).unlink()
    kinds = (Finding, Reading, Withdrawn)
    counting = {one.id for kind in kinds for one in shop.current(kind)}
    replaced = {row.replaces for row in rows if row.replaces}
    tally.damage += [f"{id}: wrong in the index" for id in set(there) ^ (counting | replaced)]
    batches = Counter(id.rpartition(".")[0] for id in there if id.count(".") == 2)
    tally.damage += [f"{key}: half a batch" for key, n in batches.items() if n not in (BATCH, MANY)]
    tally.damage += map(str, verify_chain(shop))
    tally.acknowledged += len(told)


def disturb(
    new_place: Callable[[], str],
    kills: int,
    full: int,
    *,
    longest_s: float,
    seed: int,
    careless: bool = False,
) -> Tally:
    """Kill so many writers and fill so many disks, fifteen to a shop; read each shop after each."""
    tally, chance = Tally(), Random(seed)
    rounds = ["kill"] * kills + ["full"] * full
    chance.shuffle(rounds)
    with tempfile.TemporaryDirectory() as name:
        for at in range(0, len(rounds), ROUNDS_A_SHOP):
            place, files, told = new_place(), Path(name) / f"files{at}", []
            some = rounds[at : at + ROUNDS_A_SHOP]
            for round_, what in enumerate(some):
                if what == "kill":
                    write = write_carelessly if careless else write_until_killed
                    after_s = chance.uniform(0, longest_s)
                    told += write_apart(place, files, write, round_, after_s)
                    tally.kills += 1
                else:
                    told += write_apart(place, files, write_until_full, round_, None)
                    tally.full += 1
                shop = open_shop(place, clock=clock, files=files)
                room_again(shop)
                shop.add(finding("it goes on"), by="parent")
                told = send_again(shop, files, told, tally)
                if round_ % 8 == 7 or round_ == len(some) - 1:
                    judge(shop, told, tally)
                    told = []
                shop.close()
    return tally


@contextmanager
def places(database: str) -> Iterator[Callable[[], str]]:
    """A way to get new empty places of a database."""
    if database == "sqlite":
        with tempfile.TemporaryDirectory() as name:
            numbers = iter(range(1_000_000))
            yield lambda: str(Path(name) / f"shop{next(numbers)}.sqlite")
        return
    bin = programs()
    if bin is None:
        raise SystemExit("NOT RUN: PostgreSQL is not installed")
    server = Server(bin)
    try:
        server.start()
        yield server.place
    finally:
        server.stop()


def main() -> int:
    """Disturb, compare, print one line a database; 1 if anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000, help="for each database")
    parser.add_argument("--full", type=int, default=200, help="full disks, for each database")
    parser.add_argument("--only", choices=["sqlite", "postgresql"])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--careless", action="store_true", help="must show losses")
    asked = parser.parse_args()
    whole = True
    for database in [asked.only] if asked.only else ["sqlite", "postgresql"]:
        start = time.monotonic()
        with places(database) as new_place:
            tally = disturb(
                new_place,
                asked.kills,
                0 if asked.careless else asked.full,
                longest_s=LONGEST_S[database],
                seed=asked.seed,
                careless=asked.careless,
            )
        print(tally.line(database, time.monotonic() - start), flush=True)
        for what in [*tally.lost, *tally.twice, *tally.damage][:20]:
            print("  ", what)
        whole = whole and tally.is_whole and tally.acknowledged > 0
    return 0 if whole else 1


if __name__ == "__main__":
    sys.exit(main())
