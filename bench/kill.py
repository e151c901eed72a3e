"""Kill a writer at random moments: every finding it acknowledged must be there, once.

Run: ``python bench/kill.py [--kills 1000] [--only sqlite|postgresql]``

A warm parent forks; the child opens the shop, adds findings, corrections and files, and tells
each over a pipe after it is kept; it is killed (SIGKILL) at a random moment, also while it opens
the shop. Then the shop is opened again and read. With ``--careless`` the child tells before it
keeps: the losses that this must show prove that the check can fail.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests.fakes.postgresql import Server, programs  # noqa: E402

from retrue.records.chain import verify_chain  # noqa: E402
from retrue.records.facts import Finding  # noqa: E402
from retrue.store.shop import SqlShop, open_shop  # noqa: E402

KILLS_A_SHOP = 40
LONGEST_S = {"sqlite": 0.08, "postgresql": 0.25}  # opening a shop takes part of it


@dataclass
class Tally:
    """What the killings showed."""

    kills: int = 0
    acknowledged: int = 0
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
            f"{name}: {self.kills} kills, {self.acknowledged} acknowledged, {len(self.lost)} lost,"
            f" {len(self.twice)} kept twice, {len(self.damage)} damaged, {seconds:.0f} s"
        )


def clock() -> datetime:
    """The machine's clock."""
    return datetime.now(UTC)


def write_until_killed(place: str, files: Path, tell: Callable[[str], object], round_: int) -> None:
    """Add findings, some of them corrections, and files; tell each that is kept."""
    shop = open_shop(place, clock=clock, files=files)
    for n in range(100_000):
        fact = Finding(lot="l1", machine="m1", check="C01", answer="seen", text=f"{round_}.{n}")
        replaces = f"{round_}.{n - 1}" if n % 5 == 4 else None
        shop.add(fact, by="owner", id=f"{round_}.{n}", replaces=replaces)
        tell(f"record {round_}.{n}")
        if n % 7 == 6:
            tell(f"file {shop.keep_file(f'picture {round_}.{n}'.encode() * 1000)}")


def write_carelessly(place: str, files: Path, tell: Callable[[str], object], round_: int) -> None:
    """Tell first and keep then: what this check is there to catch."""
    shop = open_shop(place, clock=clock, files=files)
    for n in range(100_000):
        tell(f"record {round_}.{n}")
        fact = Finding(lot="l1", machine="m1", check="C01", answer="seen")
        shop.add(fact, by="owner", id=f"{round_}.{n}")


def kill_one(
    place: str, files: Path, write: Callable[..., None], round_: int, s: float
) -> list[str]:
    """Fork a writer, kill it after some seconds, and return what it acknowledged."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write(place, files, lambda line: os.write(writing, f"{line}\n".encode()), round_)
        finally:
            os._exit(1)
    os.close(writing)
    time.sleep(s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading) as told:
        return told.read().splitlines()


def judge(shop: SqlShop, files: Path, told: list[str], tally: Tally) -> None:
    """Compare what was acknowledged with what is there."""
    there = Counter(row.id for row in shop.rows())
    for line in told:
        what, name = line.split()
        if what == "record" and there[name] != 1:
            (tally.twice if there[name] else tally.lost).append(name)
        if what == "file" and not shop.file(name).startswith(b"picture"):
            tally.lost.append(name)
    counting = {one.id for one in shop.current(Finding)}
    replaced = {row.replaces for row in shop.rows() if row.replaces}
    tally.damage += [f"{id}: wrong in the index" for id in set(there) ^ (counting | replaced)]
    tally.damage += map(str, verify_chain(shop))


def kill_many(
    new_place: Callable[[], str],
    kills: int,
    *,
    longest_s: float,
    seed: int,
    careless: bool = False,
) -> Tally:
    """Kill that many writers, forty to a shop, and read each shop again after each."""
    tally, chance = Tally(), Random(seed)
    write = write_carelessly if careless else write_until_killed
    with tempfile.TemporaryDirectory() as name:
        while tally.kills < kills:
            place, files, told = new_place(), Path(name) / f"files{tally.kills}", []
            for round_ in range(min(KILLS_A_SHOP, kills - tally.kills)):
                told += kill_one(place, files, write, round_, chance.uniform(0, longest_s))
                tally.kills += 1
                shop = open_shop(place, clock=clock, files=files)
                shop.add(Finding(lot="l1", machine="m1", check="C01", answer="seen"), by="parent")
                if round_ % 10 == 9:
                    judge(shop, files, told, tally)
                    tally.acknowledged += len(told)
                    told = []
                shop.close()
            shop = open_shop(place, clock=clock, files=files)
            judge(shop, files, told, tally)
            tally.acknowledged += len(told)
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
    """Kill, compare, print one line a database; 1 if anything was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000, help="for each database")
    parser.add_argument("--only", choices=["sqlite", "postgresql"])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--careless", action="store_true", help="must show losses")
    asked = parser.parse_args()
    whole = True
    for database in [asked.only] if asked.only else ["sqlite", "postgresql"]:
        start = time.monotonic()
        with places(database) as new_place:
            tally = kill_many(
                new_place,
                asked.kills,
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
