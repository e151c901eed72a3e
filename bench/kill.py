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
import os
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from bench.full_disk import fill_up, room_again  # noqa: E402
from bench.writes import BATCH, MANY, SORTS, clock, finding, one_of_all  # noqa: E402
from tests.fakes.postgresql import Server, programs  # noqa: E402

from retrue.base.refusals import NotKept, Refusal  # noqa: E402
from retrue.records.chain import verify_chain  # noqa: E402
from retrue.records.facts import Finding, Withdrawn  # noqa: E402
from retrue.records.measuring import Reading  # noqa: E402
from retrue.store.shop import SqlShop, open_shop  # noqa: E402
from retrue.store.unpacked import proved  # noqa: E402

ROUNDS_A_SHOP = 15
LONGEST_S = {"sqlite": 0.08, "postgresql": 0.25}  # opening a shop takes part of it
OPENINGS = 4  # that there is time for, however slow the machine is

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
    chance = Random(f"{place.rpartition('shop')[2]} {round_}")  # not of where it is kept
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
    tally, chance, opens_in_s = Tally(), Random(seed), 0.0
    rounds = ["kill"] * kills + ["full"] * full
    chance.shuffle(rounds)
    with tempfile.TemporaryDirectory() as name:
        for at in range(0, len(rounds), ROUNDS_A_SHOP):
            place, files, told = new_place(), Path(name) / f"files{at}", []
            some = rounds[at : at + ROUNDS_A_SHOP]
            for round_, what in enumerate(some):
                if what == "kill":
                    write = write_carelessly if careless else write_until_killed
                    after_s = chance.uniform(0, max(longest_s, OPENINGS * opens_in_s))
                    told += write_apart(place, files, write, round_, after_s)
                    tally.kills += 1
                else:
                    told += write_apart(place, files, write_until_full, round_, None)
                    tally.full += 1
                begins = time.monotonic()
                shop = open_shop(place, clock=clock, files=files)
                opens_in_s = time.monotonic() - begins
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
