"""A year and more of a shop: 50 machines, 20,000 findings, 5,000 reading sets, 10,000 photographs.

Run: ``python bench/shop_floor.py [--photograph-kb 300] [--folder FOLDER]``

The server runs as a process of its own, as an owner starts it. Printed: how long it takes until its
first page, how long each sort of page takes (the first time it is looked at, and after that), the
memory it holds then, and how long a backup takes. Bars: 150 ms at the 95th percentile, 2 s, 400 MB,
60 s.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

import httpx

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from retrue.kinds.load import load  # noqa: E402
from retrue.records.facts import File, Finding, Lot, Machine, Note, Outcome, Terms  # noqa: E402
from retrue.records.measuring import Reading, ReadingSet  # noqa: E402
from retrue.records.settling import Posting  # noqa: E402
from retrue.records.shop import ToAdd  # noqa: E402
from retrue.store.shop import SqlShop, open_shop  # noqa: E402

LOTS, FINDINGS, SETS, READINGS, PHOTOGRAPHS, LINES = 25, 20_000, 5_000, 10, 10_000, 2_000
NOW = datetime.now(UTC)
PICTURE = sorted((ROOT / "examples" / "photographs").glob("a-*.jpg"))[0]
KINDS = ("vertical_machining_centre", "turning_centre")
ANSWERS = ("not_seen", "not_seen", "not_seen", "seen", "cant_tell")
PAGES = {
    "home": "/",
    "tonight": "/fix",
    "waiting for": "/fix/waiting",
    "search": "/search?words=belt",
    "what was kept": "/kept",
    "notes": "/note",
    "money": "/settle",
    "book": "/settle/book",
    "own hours": "/settle/hours",
    "my shop": "/shop",
    "lot": "{lot}",
    "findings": "{lot}/findings",
    "photographs": "{lot}/pictures",
    "machine": "{machine}",
    "looks": "{machine}/looks",
    "move": "{machine}/move",
    "as found": "{machine}/strip",
    "fault-finding": "{machine}/find",
    "ways": "{machine}/fix",
    "job cards": "{machine}/fix/cards",
    "first power": "{machine}/wake",
    "measure": "{machine}/measure",
    "sound": "{machine}/prove/quiet",
    "cost": "{machine}/settle/cost",
    "sell": "{machine}/settle/sell",
    "record": "{machine}/settle/record",
}


def machines_of(shop: SqlShop) -> list[tuple[str, str]]:
    """Fifty machines in twenty-five lots, most of them won."""
    every = []
    for n in range(LOTS):
        lot = shop.add(Lot(name=f"lot {n}"), by="owner").id
        shop.add(Terms(lot=lot, bid_now=Decimal(4000), premium=0.16), by="owner")
        for kind in KINDS:
            made = shop.add(Machine(lot=lot, name=f"{kind[:4]} {n}", kind=kind), by="owner")
            every.append((lot, made.id))
        if n < LOTS - 3:
            won = Outcome(lot=lot, result="won", amount=Decimal(9000))
            shop.add(won, by="owner", observed_at=NOW - timedelta(days=400))
    return every


def told(shop: SqlShop, every: list[tuple[str, str]]) -> Iterator[ToAdd]:
    """What was seen, measured, noted and paid, spread over a year."""
    chance, kinds = Random(7), load()
    looks = {kind: sorted(kinds[kind].checks) for kind in KINDS}
    for n in range(FINDINGS):
        lot, machine = every[n % len(every)]
        kind = KINDS[n % 2]
        at = NOW - timedelta(days=360 * chance.random())
        fact = Finding(
            lot=lot,
            machine=machine,
            check=looks[kind][n // len(every) % len(looks[kind])],
            answer=chance.choice(ANSWERS),
            grade=3,
            channel="apart",
            text=chance.choice(("", "", "belt dusty", "way wiper gone", "oil in the cabinet")),
        )
        yield ToAdd(fact=fact, observed_at=at)
    for n in range(SETS):
        lot, machine = every[n % len(every)]
        id, at = f"set{n}", NOW - timedelta(days=360 * chance.random())
        made = ReadingSet(lot=lot, machine=machine, test="backlash", place="X")
        yield ToAdd(fact=made, id=id, observed_at=at)
        for cell in range(READINGS):
            yield ToAdd(fact=Reading(set=id, cell=f"{cell}", text=f"+{cell}"), observed_at=at)
    for n in range(LINES):
        lot, machine = every[n % len(every)]
        on = f"{NOW - timedelta(days=n % 360):%Y-%m-%d}"
        yield ToAdd(
            fact=Posting(sort="paid", posted_on=on, what=f"belt {n}", amount=Decimal(n % 90 + 1),
                         lot=lot, machine=machine, bucket="parts")
        )  # fmt: skip
        yield ToAdd(fact=Note(text=f"note {n}: way oil", lot=lot, machine=machine))


def photographed(shop: SqlShop, every: list[tuple[str, str]], size_kb: int) -> Iterator[ToAdd]:
    """Photographs that each differ, of the size a telephone sends after scaling."""
    picture, chance = PICTURE.read_bytes(), Random(8)
    for n in range(PHOTOGRAPHS):
        lot, machine = every[n % len(every)]
        content = picture + chance.randbytes(max(8, size_kb * 1000 - len(picture)))
        kept = shop.keep_file(content)
        at = NOW - timedelta(days=360 * chance.random())
        yield ToAdd(
            observed_at=at,
            fact=File(sha256=kept, name=f"p{n}.jpg", media_type="image/jpeg",
                      size_bytes=len(content), lot=lot, machine=machine, place="cabinet")
        )  # fmt: skip
        if n % 1000 == 999:
            print(f"  {n + 1} photographs kept", flush=True)


def fill(place: Path, size_kb: int) -> None:
    """Make the shop."""
    shop = open_shop(str(place), clock=lambda: datetime.now(UTC))
    every = machines_of(shop)
    for many in (list(told(shop, every)), list(photographed(shop, every, size_kb))):
        start = time.perf_counter()
        shop.add_all(many, by="owner")
        print(f"{len(many)} records kept: {time.perf_counter() - start:.1f} s", flush=True)
    shop.close()


def memory_mb(pid: int) -> float:
    """What a process holds of this machine's memory."""
    found = re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{pid}/status").read_text())
    assert found is not None
    return int(found[1]) / 1000


def busy_s(pid: int) -> float:
    """Seconds of processor that a process has used; others on the machine do not change them."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def started(place: Path, port: int) -> tuple[subprocess.Popen[bytes], float]:
    """The server as an owner starts it, and the seconds until its first answer."""
    retrue = Path(sys.executable).parent / "retrue"
    start = time.perf_counter()
    server = subprocess.Popen([retrue, "open", "--port", str(port), "--shop", place])
    while True:
        try:
            httpx.get(f"http://127.0.0.1:{port}/note", timeout=60)
            return server, time.perf_counter() - start
        except httpx.ConnectError:
            time.sleep(0.01)


def looked_at(base: str, pid: int, every: list[tuple[str, str]], times: int) -> list[float]:
    """Each page of some machines, once and then again; returns the times after the first."""
    later: list[float] = []
    chance = Random(9)
    with httpx.Client(timeout=120) as client:
        start, asked = time.perf_counter(), 1
        while "refresh" in client.get(base).headers:  # until then the front page says that it waits
            asked += 1
        ahead = time.perf_counter() - start
        print(f"  worked ahead: {ahead:.1f} s, {busy_s(pid):.1f} of processor; asked {asked} times")
        for name, path in PAGES.items():
            first, again, work = [], [], []
            for lot, machine in chance.sample(every, 3 if "{" in path else 1):
                here = f"/lots/{lot}"
                address = base + path.format(lot=here, machine=f"{here}/machines/{machine}")
                for n in range(times):
                    start, busy = time.perf_counter(), busy_s(pid)
                    answer = client.get(address)
                    taken = 1000 * (time.perf_counter() - start)
                    assert answer.status_code in (200, 303), (name, answer.status_code)
                    (again if n else first).append(taken)
                    work.append(1000 * (busy_s(pid) - busy))
            later += again
            worst = f"{statistics.quantiles(again, n=20)[-1]:.0f}"
            mean = statistics.mean(work[n] for n in range(len(work)) if n % times)
            print(
                f"  {name:14} first {max(first):6.0f} ms, then 95th percentile {worst:>5} ms;"
                f" of processor first {max(work[::times]):6.0f}, then {mean:5.0f} on average"
            )
    return later


def backed_up(place: Path, target: Path) -> float:
    """Seconds for a backup, with its checking."""
    retrue = Path(sys.executable).parent / "retrue"
    start = time.perf_counter()
    subprocess.run([retrue, "shop", "backup", target, "--shop", place], check=True)
    return time.perf_counter() - start


def main() -> int:
    """Fill, look, weigh, back up."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--photograph-kb", type=int, default=300)
    parser.add_argument("--folder", type=Path, help="where a filled shop is, or is to be kept")
    parser.add_argument("--times", type=int, default=12)
    parser.add_argument("--port", type=int, default=8391)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as spare:
        folder = asked.folder or Path(spare)
        place = folder / "shop.sqlite"
        if not place.exists():
            folder.mkdir(parents=True, exist_ok=True)
            fill(place, asked.photograph_kb)
        shop = open_shop(str(place), clock=lambda: datetime.now(UTC))
        every = [(one.fact.lot, one.id) for one in shop.current(Machine)]
        shop.close()
        server, seconds = started(place, asked.port)
        busy = busy_s(server.pid)
        print(f"started: {seconds:.2f} s (bar 2), {busy:.2f} of processor")
        try:
            base = f"http://127.0.0.1:{asked.port}"
            later = looked_at(base, server.pid, every, asked.times)
            found = statistics.quantiles(later, n=20)[-1]
            print(f"all pages: 95th percentile {found:.0f} ms (bar 150)")
            print(f"memory then: {memory_mb(server.pid):.0f} MB (bar 400)")
        finally:
            server.terminate()
            server.wait(20)
        seconds = backed_up(place, Path(spare) / "backup.zip")
        size = os.path.getsize(Path(spare) / "backup.zip") / 1e6
        print(f"backup, checked: {seconds:.1f} s (bar 60), {size:.0f} MB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
